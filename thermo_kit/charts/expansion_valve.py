"""The expansion valve: forces on its diaphragm, how it opens, what a fault shows, and four ways to feed a coil."""

from dataclasses import dataclass

from thermo_kit.charts import pen, style
from thermo_kit.charts.picture import still_layer
from thermo_kit.charts.scales import QUARTERS, dress
from thermo_kit.charts.strips import Axis, Column, Line, Mark, Strip, Zone, strips_picture
from thermo_kit.charts.told import sentence_of
from thermo_kit.units import tell
from thermo_kit.units.look import percent

_BOILING, _DRY = {"facecolor": "#dcecf7", "hatch": ".."}, {"facecolor": "#f7efdc"}
_DRY_WORDS = "#6e5208"
_DROPS = {"color": style.LIQUID, "pixels": True, "clip_on": False}


_FORCES = (880, 500)
_MIDDLE, _DIAPHRAGM, _HALF = 282.0, 330.0, 110.0
_SEAT, _PORT = 178.0, 24.0
_LONGEST = 92.0
_LIFT = 20.0
_SCALES = (20.0, 35.0, 50.0, 75.0, 100.0, 125.0, 150.0, 200.0, 250.0, 300.0, 400.0, 600.0, 800.0, 1600.0)
_BAR_LEFT, _BAR_WIDTH = 590.0, 270.0
_UP, _DOWN, _SPRING = style.LOW_SIDE, style.HIGH_SIDE, style.GOOD
WORDS = {
    "closed": "CLOSED: the pin rests on its seat",
    "partly open": "PARTLY OPEN: all forces cancel",
    "fully open": "FULLY OPEN: the pin stands at its stop",
}


def force_picture(balance, look, *, bulb_lost=False):
    """Draw the head of a valve cut open, with the three forces on its diaphragm as arrows and as a balance."""
    closing = balance.evaporator_force + balance.spring_force
    needed, state = max(balance.bulb_force, closing), WORDS[balance.state].capitalize()
    scale = next((value for value in _SCALES if value >= needed), needed)
    still = still_layer(_draw_body, _FORCES, balance.spec.equalisation)
    sentence = sentence_of("forces on a diaphragm", look, balance, closing=closing, state=state)
    return still.under(_draw_forces, balance, look, scale, bulb_lost, sentence=sentence)


def _draw_body(figure, equalisation):
    axes, x, edge = pen.whole(figure), _MIDDLE, _HALF + 10
    body = {"edgecolor": style.SOFT_INK, "linewidth": 1.2}
    pen.box(axes, x - edge, _DIAPHRAGM - 76, x + edge, _DIAPHRAGM, facecolor="#eceff1", **body)
    pen.box(axes, x - edge, _DIAPHRAGM, x + edge, _DIAPHRAGM + 112, facecolor="#fdf1e8", **body)
    pen.box(axes, x - 70, 40, x + 70, _DIAPHRAGM - 76, facecolor="#eceff1", **body)
    for side in (-1, 1):
        seat = x + side * 70, _SEAT - 12, x + side * _PORT, _SEAT
        pen.box(axes, *seat, facecolor=style.SOFT_INK, edgecolor=style.INK, linewidth=1)
    felt = "the valve's own outlet" if equalisation == "internal" else "the evaporator's end"
    for left, y, words, ha in (
        (x, _DIAPHRAGM + 97, "head, joined to the bulb", "center"),
        (x - edge - 6, _DIAPHRAGM - 58, f"pressure\nof {felt}", "right"),
        (x - edge - 6, _DIAPHRAGM, "diaphragm", "right"),
        (x + 80, _SEAT - 6, "seat", "left"),
        (x - 150, 92, "liquid in", "right"),
        (x + 155, 212, "to the evaporator", "left"),
    ):
        axes.text(left, y, words, ha=ha, va="center")
    pen.arrow(axes, (x - 148, 92), (x - 72, 92), style.LIQUID)
    pen.arrow(axes, (x + 72, 212), (x + 150, 212), style.TWO_PHASE)
    axes.text(_BAR_LEFT, 452, "Who is stronger?", fontsize=style.LARGE_TEXT, fontweight="bold", va="center")


def _draw_forces(axes, balance, look, scale, bulb_lost):
    x, drop = _MIDDLE, _LIFT * balance.opening_share
    pressed = _DIAPHRAGM - 0.8 * drop
    across = [x - _HALF - 10, x - 60, x, x + 60, x + _HALF + 10]
    pen.line(axes, across, [_DIAPHRAGM, *[pressed] * 3, _DIAPHRAGM], color=style.INK, linewidth=3.0)
    # The cone hangs below the seat: the spring pushes it up and shut, the diaphragm pushes it down and open.
    top = _SEAT + 17 - drop
    pen.line(axes, [x, x], [pressed, top], color=style.SOFT_INK, linewidth=6.0)
    cone = [(x - 32, top - 44), (x + 32, top - 44), (x + 8, top), (x - 8, top)]
    pen.area(axes, [cone], facecolor="#9aa5ad", edgecolor=style.INK)
    coils = [(x + (22 if k % 2 else -22), 44.0 + (top - 88.0) * k / 14) for k in range(15)]
    pen.line(axes, *zip(*coils, strict=True), color=_SPRING, linewidth=2.4)
    size = _LONGEST / scale
    _draw_force(axes, x - 40, pressed + 4, balance.bulb_force * size, -1, _DOWN)
    _draw_force(axes, x - 66, pressed - 4, min(balance.evaporator_force * size, 62), 1, _UP)
    _draw_force(axes, x + 60, pressed - 4, min(balance.spring_force * size, 62), 1, _SPRING)
    for name, force, left, y, ha, colour in (
        ("bulb", balance.bulb_force, x - 24, _DIAPHRAGM + 58, "left", _DOWN),
        ("evaporator", balance.evaporator_force, x - _HALF - 16, _DIAPHRAGM - 30, "right", _UP),
        ("spring", balance.spring_force, x + _HALF + 16, _DIAPHRAGM - 30, "left", _SPRING),
    ):
        words = f"{name} {look.text(force, 'force')}"
        pen.text(axes, words, left, y, ha=ha, bold=True, color=colour)
    _draw_balance(axes, balance, look, scale)
    colour = style.WARNING if balance.state != "partly open" else style.GOOD
    head, _, rest = WORDS[balance.state].partition(": ")
    pen.text(axes, head, _BAR_LEFT, 190, ha="left", color=colour, size=style.LARGE_TEXT + 2, bold=True)
    never = "never: the bulb is empty" if bulb_lost else "never, at this pressure"
    opens = f"{{static_superheat:temperature_difference|{never}}}"
    for y, words in (
        (168, rest),
        (140, f"opening: {percent(balance.opening_share)} of its way"),
        (116, look.say("superheat now: {superheat:temperature_difference}", balance)),
        (92, look.say(f"opens from: {opens}", balance)),
    ):
        pen.text(axes, words, _BAR_LEFT, y, ha="left")


def _draw_force(axes, x, y, length, way, colour):
    """Draw a force as an arrow that ends at a place; way: 1 up, -1 down."""
    tail = y - way * max(length, 10.0)
    pen.line(axes, [x, x], [tail, y], color=colour, linewidth=5.0, solid_capstyle="butt")
    pen.point(axes, [x], [y - 4 * way], marker="^" if way > 0 else "v", size=13, color=colour)


def _draw_balance(axes, balance, look, scale):
    unit, bulb = _BAR_WIDTH / scale, balance.bulb_force
    closing = balance.evaporator_force + balance.spring_force
    # No dots for a hatch: each takes many curves, and a slider would wait for them.
    for y, start, force, hatch, face, edge in (
        (380, 0.0, bulb, "///", "#fbe6d8", _DOWN),
        (290, 0.0, balance.evaporator_force, "\\\\\\", "#e3f0f9", _UP),
        (290, balance.evaporator_force, balance.spring_force, "xx", "#dceee8", _SPRING),
    ):
        ends = _BAR_LEFT + start * unit, y, _BAR_LEFT + (start + force) * unit, y + 34
        pen.box(axes, *ends, facecolor=face, edgecolor=edge, hatch=hatch, linewidth=1.4)
    for force, colour in ((bulb, _DOWN), (closing, _UP)):
        place = [_BAR_LEFT + force * unit] * 2
        for heights in ((276, 324), (346, 420)):  # the words between the bars stay free
            pen.line(axes, place, heights, color=colour, linewidth=1.0, linestyle=(0, (3, 2)))
    surplus = balance.surplus
    left_over = f"{look.text(abs(surplus), 'force')} are left over"
    told = {
        "closed": f"the seat holds {look.text(-surplus, 'force')}",
        "fully open": f"the stop holds {look.text(surplus, 'force')}",
        "partly open": "both are equal" if abs(surplus) < 0.005 * bulb else left_over,
    }[balance.state]
    for y, words, colour in (
        (425, f"opens: bulb {look.text(bulb, 'force')}", _DOWN),
        (335, f"shuts: evaporator + spring {look.text(closing, 'force')}", _UP),
        (256, told, style.SOFT_INK),
    ):
        pen.text(axes, words, _BAR_LEFT, y, ha="left", color=colour)


_TOPS = (0.01, 0.02, 0.03, 0.05, 0.08, 0.12, 0.2, 0.3, 0.5, 0.8, 1.2, 2.0)


def opening_picture(curves, look):
    """Draw how a valve opens."""
    most = max(curves.full_flow, *(max(flows) for _, flows in curves.flows_by_charge))
    top = next((flow for flow in _TOPS if flow >= 1.32 * most), 1.32 * most)
    flow = Axis("flow", "mass_flow", (0.0, top))
    columns = (
        Column(
            Axis("superheat at the bulb", "temperature_difference", (0.0, curves.superheats[-1])),
            (Strip(flow, _over_superheat(curves, look, top)),),
            heading="More superheat, more flow", names=24.0,
        ),
        Column(
            Axis("evaporating temperature", "temperature", (curves.boiling[0], curves.boiling[-1])),
            (Strip(flow, _by_charge(curves, look)),), heading="The same superheat, another boiling point",
        ),
    )  # fmt: skip
    return strips_picture(columns, look, sentence=_opening_told(curves, look), size=(900, 440))


def _over_superheat(curves, look, top):
    widest = curves.superheats[-1]
    things = [
        Line("", curves.superheats, curves.flows, style.LIQUID, width=3.0),
        Mark(curves.superheat, curves.flow, f"now {look.text(curves.flow, 'mass_flow')}"),
    ]
    edges = ((curves.static_superheat, "opens", (0, (2, 2))), (curves.full_superheat, "fully open", (0, (6, 2))))
    shown = [edge for edge in edges if edge[0] is not None and 0.0 <= edge[0] <= widest]
    told = ", ".join(f"{words} {look.text(value, 'temperature_difference')}" for value, words, _ in shown)
    for place, (value, _words, dashes) in enumerate(shown, 1):
        # Between the two lines there is no room for a name of each.
        things.append(Mark(value, None, told if place == len(shown) else "", style.SOFT_INK, dashes=dashes))
    if curves.static_superheat is None:
        middle = ((0.5 * widest, 0.5 * top),)
        words = "stays shut at this boiling point"
        things.append(Zone(None, None, words, "none", at=middle, colour=style.WARNING))
    return tuple(things)


def _by_charge(curves, look):
    things = []
    for index, (name, flows) in enumerate(curves.flows_by_charge):
        colour, dashes, _ = style.series_style(index)
        own = name == curves.spec.charge
        words, width = (f"{name} (this valve)", 3.2) if own else (name, 1.8)
        beside = (0.15 + 0.2 * index, 0.35, 0.6, 0.85)
        things.append(Line(words, curves.boiling, flows, colour, dashes, width, beside=beside))
    things.append(Mark(curves.evaporating_temperature, None, "", style.INK, dashes=(0, (4, 3))))
    limit = curves.maximum_operating_temperature
    if curves.boiling[0] <= limit <= curves.boiling[-1]:
        words = f"limit {look.text(curves.maximum_operating_pressure, 'pressure')}"
        things.append(Mark(limit, 0.0, words, style.SERIES[2][0], "^"))
    return tuple(things)


def _opening_told(curves, look):
    static, full = curves.static_superheat, curves.full_superheat
    opens = "It cannot leave its seat here"
    if static is not None:
        opens = f"It leaves its seat at {look.text(static, 'temperature_difference')} of superheat"
    if full is not None:
        opens += f" and is fully open with {look.text(full, 'temperature_difference')} of it"
    return sentence_of("valve that opens", look, curves, opens=opens)


_READINGS = (900, 520)
_TUBE, _PLOT = (90, 410, 560, 46), (90, 70, 560, 290)
_SIDE = 704.0


def readings_picture(case, look):
    """Draw the evaporator as a tube, the temperatures along it, and the readings: sound and with a fault."""
    sound, own = case.sound, case.faulty
    meaning, outlet, usual = tell(case.meaning, look).capitalize(), outlet_text(own, look), outlet_text(sound, look)
    named = {"own": own, "sound": sound, "meaning": meaning, "outlet": outlet, "usual": usual}
    sentence = sentence_of("fault of a valve", look, **named)
    coldest = min(case.sound_temperatures[0], case.faulty_temperatures[0])
    ends = pen.tens(coldest - 3.0, case.sound.duty.air_temperature + 2.0)
    still = still_layer(_draw_tube_and_axes, _READINGS, ends, look)
    return still.under(_draw_readings, case, look, sentence=sentence)


def outlet_text(result, look):
    """Say what leaves the evaporator."""
    if result.quality_is_wet:
        return f"wet, {percent(1.0 - result.outlet_quality)} liquid"
    return f"{look.text(result.superheat, 'temperature_difference')} superheat"


def _draw_tube_and_axes(figure, ends, look):
    pen.window(figure, _TUBE)
    plot = pen.placed(figure, _PLOT)
    for x, words, ha in ((90, "from the valve →", "left"), (650, "bulb, then the compressor", "right")):
        pen.caption(figure, words, x, 490, ha=ha)
    temperature = Axis("temperature of the refrigerant", "temperature", ends, count=7)
    dress(plot, Axis("way through the evaporator, %", ends=(0, 1), ticks=QUARTERS), temperature, look)


def _draw_readings(tube, plot, case, look):
    own, sound, boil = case.faulty, case.sound, case.faulty.boiling_share
    _draw_parts(tube, (0, 0, 1, 1), boil, least=0.1, rim=3.0)
    if own.quality_is_wet:
        x, y = tube.transData.transform((1.0, 0.5))
        pen.point(tube, [x + 8, x + 20, x + 32], [y, y + 9, y - 9], size=8, **_DROPS)
    air, boils, usual = sound.duty.air_temperature, own.evaporating_temperature, sound.evaporating_temperature
    lines = (
        ([0, 1], [air, air], style.AIR, 1.6, (0, (6, 2, 1.5, 2))),
        (case.places, case.sound_temperatures, style.SOFT_INK, 2.0, (0, (5, 3))),
        (case.places, case.faulty_temperatures, style.CYCLE, 3.2, "solid"),
    )
    pen.lines(plot, lines)
    pen.point(plot, [1.0], [own.outlet_temperature], marker="s", size=9, color=style.CYCLE, clip_on=False)
    words = [
        (f"air {look.text(air, 'temperature')}", 0.02, air, 11, style.AIR),
        (f"boils at {look.text(boils, 'temperature')}", 0.02, boils, -13, style.CYCLE),
    ]
    if abs(boils - usual) > 0.3:
        words.append(("dashed: the sound valve", 0.46, usual, -13, style.SOFT_INK))
    for told, x, T, rise, colour in words:
        pen.words(plot, told, x, T, aside=(0, rise), ha="left", color=colour)
    colour = style.GOOD if own.verdict == "in balance" else style.WARNING
    loud = {"ha": "left", "size": style.LARGE_TEXT + 3, "bold": True}
    pen.text(plot, own.verdict.upper(), _SIDE, 450, color=colour, **loud)
    rows = []
    for name, told in (
        ("low-side gauge", "{evaporating_pressure:pressure}"),
        ("line at the bulb", "{outlet_temperature:temperature}"),
        ("evaporator outlet", "{outlet}"),
        ("cooling", "{cooling_capacity:power}"),
    ):
        now, usual = (look.say(told, one, outlet=outlet_text(one, look)) for one in (own, sound))
        rows.append((name, now, f"sound: {usual}"))
    pen.now_and_sound(plot, rows, _SIDE, 405.0, step=76.0, size=style.LARGE_TEXT)


def _draw_parts(axes, box, boiling, *, least, rim):
    """Draw an evaporator between four ends: the part that boils, the dry one, each named where it is long enough."""
    left, low, right, high = box
    wide, boil = right - left, left + (right - left) * boiling
    for start, end, shade, words, edge, colour in (
        (left, boil, _BOILING, "boiling", style.LIQUID, style.LIQUID),
        (boil, right, _DRY, "dry", style.VAPOUR, _DRY_WORDS),
    ):
        pen.box(axes, start, low, end, high, edgecolor=edge, linewidth=0, **shade)
        share = (end - start) / wide
        if share > least:
            told = f"{words} {percent(share)}"
            pen.words(axes, told, 0.5 * (start + end), 0.5 * (low + high), color=colour, bold=True)
    for y in (low, high):
        pen.line(axes, [left, right], [y, y], color=style.INK, linewidth=rim)


_FEEDINGS = (900, 470)
_TOP, _STEP = 408.0, 108.0
_LEFT, _WIDE, _HIGH = 250.0, 300.0, 40.0
_BESIDE = 590.0


@dataclass(frozen=True)
class Lane:
    """One feeding as it is drawn: name; opens: what moves it, in words; boiling: share of the evaporator, 0 to 1; wet:
    whether liquid leaves; outlet, gauge, scan: readings in words, scan empty where there is nothing to plug into; good:
    whether it runs as meant"""

    name: str
    opens: str
    boiling: float
    wet: bool
    outlet: str
    gauge: str
    scan: str
    good: bool


def feedings_picture(lanes, *, sentence):
    """Draw ways to feed one evaporator, a lane each: what opens, how far it boils, what gauge and scan tool show."""
    names = tuple((lane.name, lane.opens) for lane in lanes)
    still = still_layer(_draw_names, _FEEDINGS, names)
    return still.under(_draw_lanes, lanes, sentence=sentence)


def _draw_names(figure, names):
    axes = pen.whole(figure)
    for x, words, ha in (
        (_LEFT, "from the valve →", "left"), (_LEFT + _WIDE, "outlet", "right"),
        (_BESIDE, "low-side gauge, evaporator outlet, scan tool", "left"),
    ):  # fmt: skip
        axes.text(x, 452, words, ha=ha, va="center")
    for k, (name, opens) in enumerate(names):
        y = _TOP - k * _STEP
        axes.text(16, y + 12, name, fontsize=style.LARGE_TEXT, fontweight="bold", va="center")
        for row, words in enumerate(opens.split("\n")):
            axes.text(16, y - 10 - 17 * row, words, color=style.SOFT_INK, va="center")


def _draw_lanes(axes, lanes):
    for k, lane in enumerate(lanes):
        y, right = _TOP - k * _STEP, _LEFT + _WIDE
        _draw_parts(axes, (_LEFT, y - 0.5 * _HIGH, right, y + 0.5 * _HIGH), lane.boiling, least=62 / _WIDE, rim=2.5)
        if lane.wet:
            pen.point(axes, [right + 8, right + 18, right + 28], [y, y + 8, y - 8], size=7, **_DROPS)
        colour, mark = (style.GOOD, "✓") if lane.good else (style.WARNING, "!")
        pen.text(axes, lane.gauge, _BESIDE, y + 20, ha="left", bold=True, color=style.CYCLE)
        pen.text(axes, f"{mark} {lane.outlet}", _BESIDE, y, ha="left", bold=True, color=colour)
        pen.text(axes, lane.scan or "nothing to plug into", _BESIDE, y - 20, ha="left", color=style.SOFT_INK)
