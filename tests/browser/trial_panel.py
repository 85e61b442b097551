"""A panel for testing the shell: every kind of control, and a picture with numbers that are easy to check."""

import threading
import time
from dataclasses import dataclass, replace

from thermo_kit.charts import style
from thermo_kit.charts.picture import still_layer
from thermo_kit.errors import InputError, Problem
from thermo_kit.panels.controls import ChoiceControl, NumberControl, TextControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.units import barg, celsius


def _draw_frame(figure, title):
    axes = figure.add_axes((0.1, 0.12, 0.86, 0.78))
    axes.set(xlim=(-20, 60), ylim=(0, 5e5), title=title, xlabel="line temperature in °C", ylabel="pressure in Pa")


def _draw_point(x, y):
    def draw(axes):
        axes.plot([x], [y], "o", markersize=12)
        axes.annotate("here", (x, y), xytext=(8, 8), textcoords="offset points")

    return draw


@dataclass(frozen=True, kw_only=True)
class TrialSettings:
    kind: str = "round"
    pressure: float = barg(2.0)
    temperature: float = celsius(20)
    counts: tuple = (3, 2, 1)


def read_counts(text):
    try:
        return tuple(int(part) for part in text.split(","))
    except ValueError:
        raise InputError(
            Problem("Counts", repr(text), "is not a list of whole numbers", "write it like 3, 2, 1")
        ) from None


def write_counts(counts):
    return ", ".join(str(count) for count in counts)


def describe(settings, look):
    if settings.kind == "broken":
        raise ZeroDivisionError("on purpose")
    sentence = f"The point lies at {look.text(settings.pressure, 'pressure')}."
    point = _draw_point(settings.temperature - 273.15, settings.pressure)
    picture = still_layer(_draw_frame, style.SIZE, settings.kind).under(point, sentence=sentence)
    rows = (
        ("Pressure", look.text(settings.pressure, "pressure")),
        ("Temperature", look.text(settings.temperature, "temperature")),
        ("Sum of counts", str(sum(settings.counts))),
        ("Thread", threading.current_thread().name),
    )
    return Description((picture,), sentence, rows, ("Only for trying the shell.",))


class TrialPanel(Panel):
    """Every kind of control once."""

    title = "Trial of the shell"
    Settings = TrialSettings
    controls = (
        ChoiceControl("kind", "Kind of frame", (("a round one", "round"), ("a square one", "square"), "broken")),
        NumberControl(
            "pressure", "Suction pressure", "gauge_pressure", low=barg(-0.5), high=barg(4), step=0.05e5, us_step=1
        ),
        NumberControl(
            "temperature",
            "Line temperature",
            "temperature",
            low=celsius(-20),
            high=celsius(60),
            step=0.5,
            us_step=1,
            help="Where the clamp sits.",
        ),
        TextControl("counts", "Counts", read=read_counts, write=write_counts),
    )
    describe = staticmethod(describe)


class SlowPanel(TrialPanel):
    """The same, but each picture takes long; it counts them."""

    title = "Slow trial"
    pictures = 0

    @staticmethod
    def describe(settings, look):
        SlowPanel.pictures += 1
        time.sleep(0.15)
        told = describe(settings, look)
        return replace(told, rows=(*told.rows, ("Pictures", str(SlowPanel.pictures))))
