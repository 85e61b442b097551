"""The whole vehicle: its circuit, its readings over the charge, and bars with names beside them."""

from thermo_kit.charts import pen, style
from thermo_kit.charts.picture import one_layer, still_layer
from thermo_kit.charts.strips import Axis, Column, Line, Mark, Strip, strips_picture
from thermo_kit.charts.told import sentence_of
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
    "chiller": (270, 142, 370, 58),
    "its valve": (186, 190, 60, 26),
}
# Corners of the lines, run by run.
_HIGH = (((750, 360), (750, 451), (610, 451)), ((250, 451), (110, 451), (110, 190)))
_CABIN = (((110, 120), (110, 71), (250, 71)), ((610, 71), (750, 71), (750, 171)))
_TO_CHILLER = (((110, 203), (186, 203)),)
_CHILLER = (((216, 190), (216, 171), (270, 171)), ((640, 171), (750, 171)))
_SUCTION = (((750, 171), (750, 290)),)
_SHUT = {"cabin": (180, 71), "chiller": (148, 203)}


_TOLD = (
    ("high side {discharge_pressure:gauge_pressure}", 430, 398, style.HIGH_SIDE),
    ("low side {suction_pressure:gauge_pressure}", 430, 22, style.LOW_SIDE),
    ("hot gas {discharge_temperature:temperature}", 672, 405, style.HIGH_SIDE),
    ("suction {suction_temperature:temperature}", 675, 100, style.LOW_SIDE),
    ("liquid {liquid_temperature:temperature}\n{liquid}", 228, 300, style.HIGH_SIDE),
    ("condenses at {condensing_temperature:temperature}", 430, 437, style.INK),
    ("{boils}", 430, 57, style.INK),
    ("{cooled}", 455, 158, style.INK),
    ("vent {vent_temperature:temperature}", 430, 122, style.AIR),
    ("air in front {conditions.ambient_temperature:temperature}", 430, 503, style.AIR),
)
"""What is written, as `Look.say` reads it, where [px], and its colour."""


def circuit_picture(result, look, *, faulty=""):
    """Draw a solved vehicle; faulty: words for what is wrong, empty where nothing is told."""
    spec = result.spec
    store = "receiver" if spec.receiver else "accumulator"
    cabin, chiller = result.open_branches
    parts = (spec.drive, spec.feed, store, spec.internal_heat_exchanger is not None, cabin,
             chiller if spec.chiller else None)  # fmt: skip
    liquid = "bubbles in it"
    if result.liquid_quality <= 1e-3:
        liquid = f"{look.text(result.subcooling, 'temperature_difference')} subcooled"
    coil = f"{look.text(result.superheat, 'temperature_difference')} superheat"
    if result.outlet_quality < 0.999:
        coil = f"{percent(1.0 - result.outlet_quality)} liquid leaves"
    boils = "shut off: no cooling of the cabin"
    if cabin:
        boils = f"boils at {look.text(result.evaporating_temperature, 'temperature')}, {coil}"
    cooled = _chiller_words(result, look, chiller) if spec.chiller else ""
    named = {"liquid": liquid, "boils": boils, "cooled": cooled}
    told = [(look.say(text, result, **named), *place) for text, *place in _TOLD]
    full = min(max(result.fill, 0.0), 1.0)
    named |= {
        "title": f"{spec.title[0].upper()}{spec.title[1:]}{', ' + faulty if faulty else ''}",
        "coil": coil if cabin else "the branch of the cabin is shut off",
        "store": _store_words(result.fill, store),
        "chilled": f"; chiller {cooled}" if cooled else "",
    }
    sentence = sentence_of("circuit of a vehicle", look, result, **named)
    still = still_layer(_draw_still, SIZE, parts)
    return still.under(_draw_moving, told, full, store, sentence=sentence)


def _chiller_words(result, look, is_open):
    one = result.parts["chiller"]
    if one is None:
        return "shut off: its coolant is not cooled"
    told = "coolant {warm:temperature} to {coolant_outlet_temperature:temperature}"
    told = f"{told}, {{superheat:temperature_difference}} superheat" if is_open else f"shut off but leaks, {told}"
    return look.say(told, one, warm=result.conditions.coolant_temperature)


def _store_words(fill, store):
    if fill < 0.0:
        return f"the {store} is empty of liquid"
    return f"the {store} is full" if fill > 1.0 else f"the {store} is {percent(fill)} full"


def _draw_still(figure, parts):
    drive, feed, store, exchanger, cabin, chiller = parts
    axes = pen.whole(figure)
    _lines(axes, _HIGH, style.HIGH_SIDE, style.DASHES["high side"])
    _lines(axes, _SUCTION, style.LOW_SIDE, style.DASHES["low side"])
    for name, before, behind, is_open in (("cabin", (), _CABIN, cabin), ("chiller", _TO_CHILLER, _CHILLER, chiller)):
        if is_open:
            _lines(axes, before, style.HIGH_SIDE, style.DASHES["high side"])
            _lines(axes, behind, style.LOW_SIDE, style.DASHES["low side"])
        elif is_open is not None:
            _lines(axes, before + behind, style.SOFT_INK, style.DASHES["sea"])
            pen.note(axes, "shut", *_SHUT[name], ha="center", va="center", colour=style.WARNING, bold=True)
    words = {
        "condenser": "condenser", "evaporator": "evaporator", "compressor": f"compressor\n{drive}",
        "valve": feed.replace("thermostatic valve", "thermostatic\nvalve"), store: store,
    }  # fmt: skip
    if exchanger:
        words["exchanger"] = "internal heat exchanger: liquid goes down on the left, vapour up on the right"
    if chiller is not None:
        words |= {"chiller": "chiller", "its valve": "valve"}
    for name, text in words.items():
        x, y, wide, tall = _BOX[name]
        pen.box(axes, x, y, x + wide, y + tall, facecolor=style.PLATE, edgecolor=style.INK, linewidth=1.6, zorder=2)
        high = dict.fromkeys(("condenser", "evaporator", "chiller"), 0.74 * tall) | {store: tall - 12}
        pen.text(axes, text, x + wide / 2, y + high.get(name, 0.5 * tall))


def _lines(axes, runs, colour, dashes):
    for run in runs:
        pen.line(axes, *zip(*run, strict=True), color=colour, linewidth=3.0, linestyle=dashes)


def _draw_moving(axes, told, full, store):
    x, y, wide, _ = _BOX[store]
    if full > 0.0:
        liquid = {"facecolor": style.LIQUID, "edgecolor": style.LIQUID, "alpha": 0.45, "hatch": "///", "zorder": 3}
        pen.box(axes, x + 2, y + 2, x + wide - 2, y + 2 + 34 * full, **liquid)
    for text, x, y, colour in told:
        if text:
            pen.note(axes, text, x, y, ha="center", va="center", colour=colour, framed=False)


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
    plateau = [at for at, one in rows if 0.0 <= one.fill <= 1.0]
    flat = "there is no plateau on this day"
    if plateau:
        flat = f"from {look.text(plateau[0], 'mass')} to {look.text(plateau[-1], 'mass')} the readings hardly move"
    ends = {"low": charges[0], "high": charges[-1], "first": rows[0][1], "last": rows[-1][1]}
    sentence = sentence_of("charge curve", look, label=label, flat=flat, **ends)
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
        axes.text(-0.02 * most, row, name, ha="right", va="center")
        axes.text(number + 0.02 * most, row, words, va="center")
