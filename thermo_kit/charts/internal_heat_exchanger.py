"""An internal heat exchanger: cut open, in the cycle, by effectiveness, and by length."""

from dataclasses import dataclass

from thermo_kit.charts import pen, pressure_enthalpy, style
from thermo_kit.charts.cycle_drawing import draw_cycle, draw_shadow
from thermo_kit.charts.picture import still_layer
from thermo_kit.charts.scales import dress
from thermo_kit.charts.strips import Axis, Column, Level, Line, Mark, Strip, Zone, strips_picture
from thermo_kit.charts.told import sentence_of
from thermo_kit.substances.names import REFRIGERANT_NAMES
from thermo_kit.units import UnitSystem
from thermo_kit.units.look import signed_percent

_TUBE_SIZE = (860, 520)
_TUBE, _PLOT = (150.0, 350.0, 560.0, 120.0), (150.0, 52.0, 560.0, 250.0)
_SPANS = (0.5, 1.0, 2.5, 5.0)
_LEAD = 0.06
_COLOURS = {"high side": style.HIGH_SIDE, "low side": style.LOW_SIDE}


def exchanger_profile(result, look, *, span=None):
    """Draw an internal heat exchanger: the cut through its tubes above, the temperatures below; span [m]."""
    length = result.spec.length
    if span is None or span < length:
        span = next((s for s in _SPANS if s >= length), length)
    ends = pen.tens(result.vapour_inlet.T - 2.0, result.liquid_inlet.T + 2.0)
    warm = warm_word(result.liquid_inlet)
    still = still_layer(_draw_tube_axes, _TUBE_SIZE, look, span, ends, result.spec.vapour_path, warm)
    named = {"length": length_text(length, look), "name": warm.capitalize()}
    sentence = sentence_of("internal heat exchanger", look, result, **named)
    return still.under(_draw_inside, result, look, sentence=sentence)


def length_text(length, look):
    """Write the length of a tube, to the millimetre or the tenth of an inch; length [m]."""
    return look.text(length, "length", 0 if look.system is UnitSystem.SI else 1)


def warm_word(state):
    """Return what the warm stream is called."""
    return "cooled gas" if state.phase == "supercritical" else "liquid"


def _draw_tube_axes(figure, look, span, ends, vapour_path, warm):
    along = (-_LEAD * span, span)
    tube, plot = pen.window(figure, _TUBE, x=along), pen.placed(figure, _PLOT)
    inside, around = ("vapour", warm) if vapour_path == "inner tube" else (warm, "vapour")
    words = f"cut along the tube: {inside} inside, {around} in the gap round it"
    tube.text(0.5, 1.12, words, transform=tube.transAxes, ha="center", color=style.SOFT_INK)
    distance = Axis("Distance from the condenser end", "length", along, count=8)
    dress(plot, distance, Axis("Temperature", "temperature", ends), look)


def _draw_inside(tube, plot, result, look):
    _draw_tube(tube, result, look)
    warm, cold, place = result.liquid_temperature, result.vapour_temperature, result.position
    inlet, most = result.vapour_inlet.T, result.liquid_inlet.T
    low, name = plot.get_xlim()[0], warm_word(result.liquid_inlet)
    for T in (inlet, most):
        pen.line(plot, [low, result.spec.length], [T, T], color=style.SOFT_INK, linewidth=0.9, linestyle=(0, (1, 2)))
    _draw_share(plot, result, low)
    _draw_heat(plot, place, warm, cold)
    (x, out), (_, into) = plot.transData.transform(((place[-1], warm[-1]), (place[-1], cold[-1])))
    k = len(place) // 3
    for T, words, end, y, along, rise, side in (
        (warm, f"{name} out", result.liquid_outlet.T, out, f"{name} →", 18, "high side"),
        (cold, "vapour in", inlet, min(into, out - 15), "← vapour", -18, "low side"),
    ):
        colour = _COLOURS[side]
        pen.line(plot, place, T, color=colour, linewidth=3.0, linestyle=style.DASHES[side])
        pen.text(plot, f"{words} {look.text(end, 'temperature')}", x + 8, y, ha="left", color=colour)
        pen.words(plot, along, place[k], T[k], aside=(0, rise), color=colour)


def _draw_share(plot, result, low):
    """The vapour's way towards the liquid's inlet temperature as a bar beside the condenser end."""
    inlet, outlet, most = result.vapour_inlet.T, result.vapour_outlet.T, result.liquid_inlet.T
    x = 0.5 * low
    pen.line(plot, [x, x], [inlet, most], color="#d5dade", linewidth=9.0, solid_capstyle="butt")
    pen.line(plot, [x, x], [inlet, outlet], color=style.LOW_SIDE, linewidth=9.0, solid_capstyle="butt")
    words = f"{result.effectiveness:.2f}"
    pen.words(plot, words, low, outlet, aside=(15, 11), color=style.LOW_SIDE, bold=True)


def _draw_heat(plot, place, warm, cold):
    x, y = [], []
    for i in range(2, len(place) - 1, 4):
        gap = warm[i] - cold[i]
        x += [place[i], place[i], None]
        y += [warm[i] - 0.12 * gap, cold[i] + 0.2 * gap, None]
    pen.line(plot, x, y, color=style.SOFT_INK, linewidth=1.1)
    pen.point(plot, x[1::3], y[1::3], marker="v", size=5, color=style.SOFT_INK)


def _draw_tube(tube, result, look):
    spec, length = result.spec, result.spec.length
    outer, wall, bore = (0.43 * d / spec.outer_diameter
                         for d in (spec.outer_diameter, spec.tube_outside, spec.inner_diameter))  # fmt: skip
    liquid = {"facecolor": "#fbe6d8", "edgecolor": style.HIGH_SIDE, "hatch": style.HATCHES["liquid"], "linewidth": 0.0}
    vapour = {"facecolor": "#e3f0f9", "edgecolor": style.LOW_SIDE, "linewidth": 0.0}
    vapour_inside = spec.vapour_path == "inner tube"
    inside, around = (vapour, liquid) if vapour_inside else (liquid, vapour)
    for half, shade in ((outer, around), (wall, {"facecolor": style.SOFT_INK, "linewidth": 0}), (bore, inside)):
        pen.box(tube, 0, 0.5 - half, length, 0.5 + half, **shade)
    for y in (0.5 - outer, 0.5 + outer):
        pen.line(tube, [0, length], [y, y], color=style.INK, linewidth=3.0)
    gap = 0.5 + 0.5 * (outer + wall)
    ways = ((gap, 1.0 - gap), (0.5,)) if vapour_inside else ((0.5,), (gap, 1.0 - gap))
    hot, cold = (look.text(state.T, "temperature") for state in (result.liquid_inlet, result.vapour_outlet))
    for heights, head, colour, words, end in (
        (ways[0], ">", style.HIGH_SIDE, f"{warm_word(result.liquid_inlet)} in {hot} →", "→ to the valve"),
        (ways[1], "<", style.LOW_SIDE, f"← vapour out {cold}", "← from evaporator"),
    ):
        places = [share * length for share in (0.12, 0.31, 0.5, 0.69, 0.88)] * len(heights)
        pen.point(tube, places, [y for y in heights for _ in range(5)], marker=head, size=7, color=colour)
        pen.words(tube, words, 0.0, heights[0], aside=(-8, 0), ha="right", color=colour)
        pen.words(tube, end, length, heights[0], aside=(8, 0), ha="left", color=colour)


_RISE, _DROP = 34.0, -54.0


def exchange_diagram(lines, effect, look):
    """Draw the cycle with the exchanger, the one without as a dashed shadow, and the heat given and taken."""
    still = still_layer(pressure_enthalpy.draw_lines, pressure_enthalpy.SIZE, lines, look)
    return still.under(_draw_cycles, effect, look, sentence=_cycles_told(effect, look))


def _draw_cycles(axes, effect, look):
    draw_shadow(axes, effect.without, "without exchanger")
    draw_cycle(axes, effect.with_exchanger, look)
    if effect.heat <= 0.0:
        return
    one, _two, three, four, _five, six = (point.state for point in effect.with_exchanger.points)
    amount = look.text(effect.heat, "specific_enthalpy")
    _bracket(axes, (four, three), _RISE, f"{warm_word(three)} gives {amount}", style.HIGH_SIDE)
    _bracket(axes, (six, one), _DROP, f"vapour takes {amount}", style.LOW_SIDE)


def _bracket(axes, ends, rise, words, colour):
    """A flat bracket between two points, off the line by so many pixels, with its words beside it."""
    (x1, y1), (x2, y2) = (axes.transData.transform((state.h, state.p)) for state in ends)
    y = (max(y1, y2) if rise > 0 else min(y1, y2)) + rise
    tick = -6.0 if rise > 0 else 6.0
    legs = {"pixels": True, "color": colour, "linewidth": 0.9, "linestyle": (0, (1, 2))}
    pen.line(axes, [x1, x1, None, x2, x2], [y + tick, y1, None, y + tick, y2], **legs)
    flat = {"pixels": True, "solid_capstyle": "butt"}
    pen.line(axes, [x1, x1, x2, x2], [y + tick, y, y, y + tick], color=colour, linewidth=2.2, **flat)
    half = 3.2 * len(words)
    # Below the low side the points' own numbers take the room under the bracket.
    x, outside = ((x1 + x2) / 2, y + 11.0) if rise > 0 else (x2 + 8.0 + half, y)
    pen.plate(axes, [x - half, x + half], [outside, outside])
    pen.text(axes, words, x, outside, color=colour, size=style.TEXT - 1)


def _cycles_told(effect, look):
    bare, own = effect.without, effect.with_exchanger
    if effect.heat <= 0.0:
        return f"{own.refrigerant} on the pressure–enthalpy diagram, without heat exchanged between the lines."
    warm = warm_word(own.points[2].state)
    return sentence_of("cycle with exchanger", look, own, bare=bare, heat=effect.heat, warm=warm)


_NAME_ROOM, _CHOSEN = 84.0, {"colour": style.INK, "dashes": (0, (4, 3))}
_ZERO = Level(0.0, "", style.INK, "solid")
_CHANGE = {"kind": "percent", "bare": True, "count": 7}


def exchange_curves(compared, effectiveness, discharge_limit, look):
    """Draw three charts side by side, each with one line a refrigerant; effectiveness [-], discharge_limit [K]."""
    compared = tuple(compared)
    columns = []
    for field, title in (
        ("volumetric_capacity_change", "Cooling, same compressor"),
        ("cop_change", "COP"),
        ("discharge_temperature", "Hot gas"),
    ):
        is_heat = field == "discharge_temperature"
        axis = Axis("hot gas", "temperature", count=7) if is_heat else Axis("change, %", **_CHANGE)
        things = _limit(discharge_limit, compared, look) if is_heat else (_ZERO,)
        things += tuple(thing for row in compared for thing in _row(row, field, effectiveness))
        strip = Strip(axis, (*things, Mark(effectiveness, None, "", **_CHOSEN)))
        columns.append(
            Column(Axis("effectiveness", ends=(0.0, 1.0), count=5), (strip,), names=_NAME_ROOM, heading=title)
        )
    sentence = _curves_told(compared, effectiveness, discharge_limit, look)
    return strips_picture(tuple(columns), look, sentence=sentence, size=(890, 430))


def _limit(limit, compared, look):
    """The limit, what lies above it, and where a line crosses it."""
    found = [row.largest_effectiveness for row in compared if row.limited_by == "discharge temperature"]
    return (
        Zone(limit, None, "", "bad"),
        Level(limit, f"limit {look.text(limit, 'temperature', 0)}", dashes="solid", inside=True),
        *(Mark(x, limit, "", style.WARNING, "X") for x in found if x is not None),
    )


def _row(row, field, effectiveness):
    colour, dashes, marker = style.series_style(REFRIGERANT_NAMES.index(row.curve.refrigerant))
    yield Line(row.curve.refrigerant, row.curve.effectiveness, getattr(row.curve, field), colour, dashes, 2.2)
    if row.chosen is not None:
        yield Mark(effectiveness, getattr(row.chosen, field), "", colour, marker)


def _curves_told(compared, effectiveness, limit, look):
    told = [f"An internal heat exchanger of effectiveness {effectiveness:.2f}."]
    for row in compared:
        name, chosen = row.curve.refrigerant, row.chosen
        if chosen is None:
            told.append(f"{name}: so much heat cannot flow; its curve ends at {row.curve.effectiveness[-1]:.2f}.")
            continue
        hot = look.text(chosen.discharge_temperature, "temperature")
        told.append(
            f"{name}: cooling with the same compressor {signed_percent(chosen.volumetric_capacity_change)}, COP "
            f"{signed_percent(chosen.cop_change)}, hot gas {hot}."
        )
    shown = look.text(limit, "temperature")
    crossing = [row for row in compared if row.limited_by == "discharge temperature"]
    told += [
        f"{row.curve.refrigerant} passes the limit {shown} "
        + ("even without one." if row.largest_effectiveness is None else f"beyond {row.largest_effectiveness:.2f}.")
        for row in crossing
    ]
    if not crossing:
        told.append(f"None passes the limit {shown}.")
    return " ".join(told)


@dataclass(frozen=True)
class LengthSeries:
    """What is drawn: lengths [m], rising, and for each of them changes as shares and the hot gas [K].

    frictionless, cooling: of each litre drawn in, without and with pressure losses; cop: of the COP;
    chosen: one of the lengths; best: the length that cools most [m], None where none pays;
    discharge_limit: highest allowed temperature behind the compressor [K]
    """

    refrigerant: str
    lengths: tuple
    frictionless: tuple
    cooling: tuple
    cop: tuple
    discharge_temperature: tuple
    chosen: float
    best: float | None
    discharge_limit: float


def exchange_length(shown, look):
    """Draw gains and hot gas against length."""
    chosen, x = shown.lengths.index(shown.chosen), Axis("Length", "length", (0.0, shown.lengths[-1]), count=4)
    through = Mark(shown.chosen, None, "", **_CHOSEN)
    free, cooling, cop = (
        Line("cooling,\nno friction", shown.lengths, shown.frictionless, style.SOFT_INK, (0, (2, 1.5))),
        Line("cooling", shown.lengths, shown.cooling, style.LOW_SIDE),
        Line("COP", shown.lengths, shown.cop, style.GOOD, (0, (7, 2, 1.5, 2))),
    )
    points = (Mark(shown.chosen, line.y[chosen], "", line.colour) for line in (free, cooling, cop))
    gain = (_ZERO, Zone(cooling, free, "", "full"), free, cooling, cop, *points, through)
    hot = (
        *_limit(shown.discharge_limit, (), look),
        Line("", shown.lengths, shown.discharge_temperature, style.HIGH_SIDE),
        Mark(shown.chosen, shown.discharge_temperature[chosen], "", style.HIGH_SIDE, "s"),
        through,
    )
    columns = (
        Column(x, (Strip(Axis("change against no exchanger, %", **_CHANGE), gain),), 1.7, 96.0, "What it brings"),
        Column(x, (Strip(Axis("hot gas", "temperature", count=7), hot),), heading="Hot gas"),
    )
    return strips_picture(columns, look, sentence=_length_told(shown, look), size=(860, 400))


def _length_told(shown, look):
    i = shown.lengths.index(shown.chosen)
    here = {name: getattr(shown, name)[i] for name in ("frictionless", "cooling", "cop")}
    hot, limit = (look.text(T, "temperature") for T in (shown.discharge_temperature[i], shown.discharge_limit))
    verdict = "below" if shown.discharge_temperature[i] <= shown.discharge_limit else "above"
    reached = f"at the limit {limit}" if hot == limit else f"{verdict} the limit {limit}"
    if shown.best is None:
        peak = "No length pays."
    elif shown.best < shown.lengths[-1]:
        peak = f"More than {length_text(shown.best, look)} brings no more."
    else:
        peak = "It still grows at the end of the chart."
    told = {"hot": hot, "reached": reached, "peak": peak, "lost": 100 * (here["frictionless"] - here["cooling"])}
    length = length_text(shown.chosen, look)
    return sentence_of("length of an exchanger", look, shown, length=length, **here, **told)
