"""The whole vehicle: its circuit, its readings over the charge, and bars with names beside them."""

from dataclasses import dataclass

from thermo_kit.charts import style
from thermo_kit.charts.picture import one_layer, two_layers
from thermo_kit.charts.quick_artists import add_line, add_note, add_text
from thermo_kit.charts.shapes import add_box, whole
from thermo_kit.charts.strips import Axis, Column, Line, Mark, Strip, strips_picture
from thermo_kit.units.look import percent

SIZE = (860, 520)
_BOX = {
    "condenser": (250, 420, 360, 62),
    "evaporator": (250, 40, 360, 62),
    "compressor": (690, 290, 120, 70),
    "valve": (50, 120, 120, 70),
    "receiver": (62, 320, 96, 62),
    "accumulator": (702, 130, 96, 62),
    "exchanger": (90, 222, 680, 40),
}
# Corners of the lines, from part to part.
_HIGH = ((750, 360), (750, 451), (610, 451), None, (250, 451), (110, 451), (110, 190))
_LOW = ((110, 120), (110, 71), (250, 71), None, (610, 71), (750, 71), (750, 290))


@dataclass(frozen=True, slots=True)
class Told:
    """What is written at one place: text, and where [px]."""

    text: str
    x: float
    y: float
    colour: str = style.INK


def circuit_picture(result, look, *, faulty=""):
    """Draw a solved vehicle; faulty: words for what is wrong, empty where nothing is told."""
    spec = result.spec
    store = "receiver" if spec.receiver else "accumulator"
    parts = (spec.drive, spec.feed, store, spec.internal_heat_exchanger is not None)
    t, p = (lambda T: look.text(T, "temperature")), (lambda pressure: look.text(pressure, "gauge_pressure"))
    liquid = "bubbles in it" if result.liquid_quality > 1e-3 else f"{_difference(result.subcooling, look)} subcooled"
    coil = (
        f"{percent(1.0 - result.outlet_quality)} liquid leaves" if result.outlet_quality < 0.999
        else f"{_difference(result.superheat, look)} superheat"
    )  # fmt: skip
    told = (
        Told(f"high side {p(result.discharge_pressure)}", 430, 398, style.HIGH_SIDE),
        Told(f"low side {p(result.suction_pressure)}", 430, 22, style.LOW_SIDE),
        Told(f"hot gas {t(result.discharge_temperature)}", 672, 405, style.HIGH_SIDE),
        Told(f"suction {t(result.suction_temperature)}", 675, 100, style.LOW_SIDE),
        Told(f"liquid {t(result.liquid_temperature)}\n{liquid}", 228, 300, style.HIGH_SIDE),
        Told(f"condenses at {t(result.condensing_temperature)}", 430, 437),
        Told(f"boils at {t(result.evaporating_temperature)}, {coil}", 430, 57),
        Told(f"vent {t(result.vent_temperature)}", 430, 122, style.AIR),
        Told(f"air in front {t(result.conditions.ambient_temperature)}", 430, 503, style.AIR),
    )
    full = min(max(result.fill, 0.0), 1.0)
    sentence = (
        f"{spec.title[0].upper()}{spec.title[1:]}{', ' + faulty if faulty else ''}: high side "
        f"{p(result.discharge_pressure)}, low side {p(result.suction_pressure)}, vent {t(result.vent_temperature)}; "
        f"{coil}, liquid line: {liquid}; {_store_words(result.fill, store)}."
    )
    return two_layers(
        _draw_still, lambda axes: _draw_moving(axes, told, full, store), sentence=sentence, still=(parts,), size=SIZE
    )


def _difference(value, look):
    return look.text(value, "temperature_difference")


def _store_words(fill, store):
    if fill < 0.0:
        return f"the {store} is empty of liquid"
    return f"the {store} is full" if fill > 1.0 else f"the {store} is {percent(fill)} full"


def _draw_still(figure, parts):
    drive, feed, store, exchanger = parts
    axes = whole(figure, SIZE)
    for corners, colour, side in ((_HIGH, style.HIGH_SIDE, "high side"), (_LOW, style.LOW_SIDE, "low side")):
        x, y = ([corner and corner[k] for corner in corners] for k in (0, 1))
        add_line(axes, x, y, color=colour, linewidth=3.0, linestyle=style.DASHES[side])
    words = {
        "condenser": "condenser", "evaporator": "evaporator", "compressor": f"compressor\n{drive}",
        "valve": feed.replace("thermostatic valve", "thermostatic\nvalve"), store: store,
    }  # fmt: skip
    if exchanger:
        words["exchanger"] = "internal heat exchanger: liquid goes down on the left, vapour up on the right"
    for name, text in words.items():
        x, y, wide, tall = _BOX[name]
        add_box(axes, x, y, x + wide, y + tall, facecolor=style.PLATE, edgecolor=style.INK, linewidth=1.6, zorder=2)
        rise = {"condenser": 0.74 * tall, "evaporator": 0.74 * tall, store: tall - 12}.get(name, 0.5 * tall)
        for row, line in enumerate(text.split("\n")):
            add_text(axes, line, x + wide / 2, y + rise - 15 * row + (7 if "\n" in text else 0))


def _draw_moving(axes, told, full, store):
    x, y, wide, _ = _BOX[store]
    if full > 0.0:
        liquid = {"facecolor": style.LIQUID, "edgecolor": style.LIQUID, "alpha": 0.45, "hatch": "///", "zorder": 3}
        add_box(axes, x + 2, y + 2, x + wide - 2, y + 2 + 34 * full, **liquid)
    for one in told:
        add_note(axes, one.text, one.x, one.y, ha="center", va="center", colour=one.colour, framed=False)


def charge_picture(curve, charge, label, look):
    """Draw three curves over the charge, with a line at the charge asked for; charge, label [kg]."""
    rows = [(at, one) for at, one in zip(curve.charges, curve.results, strict=True) if one is not None]
    charges = tuple(at for at, _ in rows)
    strips = []
    for title, kind, name, colour in (
        ("subcooling", "temperature_difference", "subcooling", style.LIQUID),
        ("high side", "gauge_pressure", "discharge_pressure", style.HIGH_SIDE),
        ("vent air", "temperature", "vent_temperature", style.AIR),
    ):
        y = tuple(getattr(one, name) for _, one in rows)
        things = (
            Line("", charges, y, colour),
            Mark(min(max(charge, charges[0]), charges[-1]), None, "", dashes="solid"),
        )
        strips.append(Strip(Axis(title, kind), things))
    first, last = rows[0][1], rows[-1][1]
    plateau = [at for at, one in rows if 0.0 <= one.fill <= 1.0]
    flat = (
        f"from {look.text(plateau[0], 'mass')} to {look.text(plateau[-1], 'mass')} the readings hardly move"
        if plateau else "there is no plateau on this day"
    )  # fmt: skip
    sentence = (
        f"From {look.text(charges[0], 'mass')} to {look.text(charges[-1], 'mass')} of charge, label "
        f"{look.text(label, 'mass')}: {flat}; vent {look.text(first.vent_temperature, 'temperature')} at the low end, "
        f"high side {look.text(last.discharge_pressure, 'gauge_pressure')} at the high end."
    )
    return strips_picture(Column(Axis("charge", "mass"), tuple(strips)), look, sentence=sentence, size=(720, 560))


_ROW, _FOOT, _NAMES, _WIDTH = 30, 42, 300, 590


def named_bars(rows, axis, most, sentence):
    """Draw (name, number, words behind the bar) as bars on an axis up to `most`."""
    return one_layer(_draw, tuple(rows), axis, most, sentence=sentence, size=(_WIDTH, _FOOT + _ROW * max(len(rows), 1)))


def _draw(figure, rows, axis, most):
    height = _FOOT + _ROW * max(len(rows), 1)
    axes = figure.add_axes((_NAMES / _WIDTH, _FOOT / height, 1 - (_NAMES + 150) / _WIDTH, 1 - (_FOOT + 4) / height))
    axes.set(xlim=(0, most), ylim=(max(len(rows), 1) - 0.5, -0.5), yticks=[])
    axes.set_xlabel(axis)
    for spine in ("right", "top"):
        axes.spines[spine].set_visible(False)
    for row, (name, number, words) in enumerate(rows):
        axes.barh(row, number, height=0.6, color=style.TWO_PHASE, edgecolor=style.INK, hatch="//")
        axes.text(-0.02 * most, row, name, ha="right", va="center", fontsize=style.TEXT)
        axes.text(number + 0.02 * most, row, words, va="center", fontsize=style.TEXT)
