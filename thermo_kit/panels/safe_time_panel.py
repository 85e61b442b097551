"""The learner reads the time to react off a map; a fine one is computed beside the kernel and can be stopped."""

import asyncio
import functools
import threading
from dataclasses import dataclass

import ipywidgets as widgets

from thermo_kit.errors import ThermoKitError
from thermo_kit.panels import html
from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.panels.freeze_parts import CAUTIONS, rpm
from thermo_kit.systems import FreezeSpec
from thermo_kit.systems.chiller_freeze import SafeTimeMap, read_safe_time, safe_time_map

COARSE = 6
_MOST_GLYCOL = 0.5
_ENDS = {"flow": (0.0, 0.30), "compressor_speed": (rpm(1500), rpm(6000))}
_COARSE_ACCURACY = 1.0


@dataclass(frozen=True, kw_only=True)
class SafeTimeSettings:
    """What the map shows, the point read [kg/kg; share of flow; rad/s], and a finer map where one was computed."""

    against: str = "flow"
    avoid: str = "burst"
    mass_fraction: float = 0.20
    flow_left: float = 0.0
    compressor_speed: float = rpm(4000)
    coolant: str = "ethylene glycol"
    fine: SafeTimeMap | None = None


def map_arguments(settings, points):
    """Return what `safe_time_map` needs for the settings."""
    low, high = _ENDS[settings.against]
    steps = [k / (points - 1) for k in range(points)]
    return {
        "spec": FreezeSpec(coolant=settings.coolant),
        "mass_fractions": tuple(_MOST_GLYCOL * s for s in steps),
        "values": tuple(low + (high - low) * s for s in steps),
        "against": settings.against,
        "avoid": settings.avoid,
    }


@functools.lru_cache(maxsize=8)
def _coarse(against, avoid, coolant):
    settings = SafeTimeSettings(against=against, avoid=avoid, coolant=coolant)
    return safe_time_map(**map_arguments(settings, COARSE), accuracy=_COARSE_ACCURACY, workers=1)


def map_of(settings):
    """Return the map that is shown."""
    return settings.fine or _coarse(settings.against, settings.avoid, settings.coolant)


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.safe_time_map import safe_time_picture, short_time

    shown = map_of(settings)
    value = getattr(settings, "flow_left" if settings.against == "flow" else "compressor_speed")
    read = read_safe_time(shown, settings.mass_fraction, value)
    picture = safe_time_picture(shown, look, share=settings.mass_fraction, value=value, read=read)
    points = f"{len(shown.mass_fractions)} × {len(shown.values)}"
    rows = [("Time to react here", short_time(read))]
    for share in (0.0, 0.1, 0.2, 0.3, 0.4, 0.5):
        rows.append((f"at {share * 100:.0f} % glycol", short_time(read_safe_time(shown, share, value))))
    rows.append(("Map", points if shown.complete else f"{points}, stopped"))
    notes = (
        *CAUTIONS,
        f"Read between {points} computed points, each searched over {shown.spec.duration:.0f} s; a finer map moves "
        "the lines a little, most of all near the edge of safety.",
        *(("The compressor runs at 4,000 r/min.",) if settings.against == "flow" else ("No coolant flow is left.",)),
    )
    return Description((picture,), picture.sentence, tuple(rows), notes)


def follow(settings, changed):
    """Drop a fine map that no longer fits."""
    return {"fine": None} if changed in ("against", "avoid", "coolant") else {}


class SafeTimePanel(Panel):
    """A map of the time to react, with a button for a fine one, its progress and a button to stop it."""

    title = "How long is there to react?"
    Settings = SafeTimeSettings
    controls = (
        NumberControl("mass_fraction", "Glycol, by mass", "percent", low=0.0, high=_MOST_GLYCOL, step=0.01, us_step=1,
                      decimals=0),
        NumberControl("flow_left", "Coolant flow that is left", "percent", low=0.0, high=0.30, step=0.01, us_step=1,
                      decimals=0, help="For the map over flow."),
        NumberControl("compressor_speed", "Compressor speed", "rotational_speed", low=rpm(1500), high=rpm(6000),
                      step=rpm(100), us_step=100, decimals=0, help="For the map over speed."),
        ChoiceControl("against", "Map over glycol and", (("flow left", "flow"), ("speed", "compressor_speed"))),
        ChoiceControl("avoid", "To be avoided", (("burst plates", "burst"), ("a blocked channel", "blocked"),
                                                 ("the first ice", "ice"))),
        ChoiceControl("coolant", "Glycol", (("ethylene", "ethylene glycol"), ("propylene", "propylene glycol"))),
    )  # fmt: skip
    describe = staticmethod(describe)
    follow = staticmethod(follow)
    fine_points, accuracy, workers = 20, 0.5, 2

    def __init__(self, **settings):
        self._thread, self._stop, self._told, self._problem = None, threading.Event(), -1, ""
        count = self.fine_points
        self.fine_button = widgets.Button(description=f"Compute the fine map ({count} × {count})")
        self.stop_button = widgets.Button(description="Stop", disabled=True)
        for button in (self.fine_button, self.stop_button):
            button.add_class("tk-reset")
        self.bar = widgets.IntProgress(min=0, max=count * count, layout={"width": "220px", "visibility": "hidden"})
        self.progress_line = widgets.HTML()
        self.fine_button.on_click(lambda _button: self.compute_fine())
        self.stop_button.on_click(lambda _button: self.stop())
        super().__init__(**settings)
        row = widgets.HBox([self.fine_button, self.stop_button, self.bar, self.progress_line])
        row.layout.flex_flow, row.layout.align_items = "row wrap", "center"
        self.children = (*self.children, row)

    def compute_fine(self):
        """Begin a fine map beside the kernel; panels and cells go on working meanwhile."""
        if self._thread is not None and self._thread.is_alive():
            return
        self._stop = threading.Event()
        self.fine_button.disabled, self.stop_button.disabled = True, False
        self.bar.layout.visibility, self._told = "visible", -1
        self._show_progress(0)
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            loop = None
        self._thread = threading.Thread(target=self._work, args=(self.settings, loop, self._stop), daemon=True)
        self._thread.start()

    def stop(self):
        """Stop the fine map; points that are under way are finished first."""
        self._stop.set()
        if self.stop_button.disabled:
            return
        self.stop_button.disabled = True
        self.progress_line.value = html.spoken("Stopping …")

    def wait(self):
        """Wait until the fine map is done or stopped."""
        if self._thread is not None:
            self._thread.join()

    def _work(self, settings, loop, stop):
        def here(function, *arguments):
            # Widgets belong to the kernel's own thread where it has a loop.
            if loop is None:
                function(*arguments)
            else:
                loop.call_soon_threadsafe(function, *arguments)

        found, problem = None, ""
        try:
            found = safe_time_map(
                **map_arguments(settings, self.fine_points), accuracy=self.accuracy, workers=self.workers,
                progress=lambda done, total: here(self._show_progress, done), cancelled=stop.is_set,
            )  # fmt: skip
        except ThermoKitError as error:
            problem = str(error)
        except Exception as error:
            problem = (
                f"the fine map could not be computed ({type(error).__name__}: {error}). The coarse one still holds"
            )
        here(self._finish, settings, found, problem, stop)

    def _show_progress(self, done):
        total = self.bar.max
        self.bar.value = done
        tenth = 10 * done // total
        if tenth != self._told and not self._stop.is_set():
            self._told = tenth
            self.progress_line.value = html.spoken(f"{done} of {total} points")

    def _finish(self, asked, found, problem, stop):
        self.fine_button.disabled, self.stop_button.disabled = False, True
        self.bar.layout.visibility = "hidden"
        if found is None:
            self.progress_line.value = html.alert(problem)
            return
        fits = all(getattr(asked, name) == self._values[name] for name in ("against", "avoid", "coolant"))
        if stop.is_set() or not found.complete:
            self.progress_line.value = html.spoken("Stopped. The map before is still shown.")
        elif not fits:
            self.progress_line.value = html.spoken("The choices have changed meanwhile: compute it again.")
        else:
            self.progress_line.value = html.spoken("Done: the fine map is shown.")
            self.set(fine=found)
