"""A pressure on an absolute and a gauge scale, and pressure over temperature along the boiling line."""

import numpy as np

from thermo_kit.charts import pen, style
from thermo_kit.charts.picture import still_layer
from thermo_kit.charts.scales import linear_ticks
from thermo_kit.charts.strips import Axis, Column, Level, Line, Mark, Strip, Zone, strips_picture
from thermo_kit.units import STANDARD_ATMOSPHERE, atmosphere_pressure
from thermo_kit.units.look import Look

SIZE = (560, 480)
_TOPS = (1.3e5, 2.5e5, 6e5, 16e5, 40e5, 100e5, 200e5)
_BAR = (0.40, 0.60)


def pressure_ladder(pressure, look):
    """Draw a pressure as a column beside an absolute and a gauge scale; pressure [Pa]."""
    air = atmosphere_pressure(look.altitude)
    top = next((value for value in _TOPS if max(pressure, air) <= 0.93 * value), _TOPS[-1])
    still = still_layer(_draw_ladders, SIZE, top, look.system, look.altitude)
    return still.under(_draw_column, pressure, look, sentence=_ladder_told(pressure, look, air))


def _looks(system, altitude):
    return Look(system, altitude, gauge=False), Look(system, altitude, gauge=True)


def _draw_ladders(figure, top, system, altitude):
    absolute, gauge = _looks(system, altitude)
    axes = figure.add_axes([0.02, 0.04, 0.96, 0.86])
    axes.set(xlim=(0, 1), ylim=(-0.045 * top, top))
    axes.set_axis_off()
    axes.fill_between(_BAR, 0, top, facecolor="#f1f4f6", edgecolor=style.SOFT_INK, linewidth=0.8)
    air = atmosphere_pressure(altitude)
    for look, x, side in ((absolute, _BAR[0], -1), (gauge, _BAR[1], 1)):
        for value, text in linear_ticks(look, "pressure", 0.0, top):
            axes.plot([x, x + side * 0.02], [value, value], color=style.SOFT_INK, linewidth=0.9, clip_on=False)
            ha = "right" if side < 0 else "left"
            pen.plated(axes, x + side * 0.03, value, text, pad=1.0, ha=ha, va="center", zorder=4)
    titles = ((0.2, f"absolute, {absolute.sign('pressure')}"), (0.8, f"gauge, {gauge.sign('pressure')}"))
    for x, title in titles:
        axes.text(x, 1.035 * top, title, ha="center", va="bottom", fontweight="bold")
    _draw_level(axes, 0.0, "perfect vacuum", "right", "solid", style.INK, below=True)
    here = f"surrounding air\nat {absolute.text(altitude, 'altitude')}"
    sea = STANDARD_ATMOSPHERE
    apart = abs(air - sea) > 0.02 * top and min(air, sea) > 0.1 * top
    # Of two levels close together the upper has its words above and the lower below, so that no line crosses words.
    _draw_level(axes, air, here, "right", (0, (5, 2)), style.AIR, below=apart and air < sea)
    if apart:
        _draw_level(axes, sea, "air at sea level", "left", (0, (1, 2)), style.SOFT_INK, below=air > sea)


def _draw_level(axes, value, words, side, dashes, colour, *, below):
    axes.plot([0.0, 1.0], [value, value], color=colour, linewidth=1.4, linestyle=dashes, clip_on=False)
    aside, va = ((0, -4), "top") if below else ((0, 4), "bottom")
    look = {"ha": side, "va": va, "fontsize": style.SMALL_TEXT, "color": colour}
    axes.annotate(words, (1.0 if side == "right" else 0.0, value), aside, textcoords="offset points", **look)


def _draw_column(axes, pressure, look):
    absolute, gauge = _looks(look.system, look.altitude)
    top = axes.get_ylim()[1]
    left, right = _BAR[0] + 0.03, _BAR[1] - 0.03
    look_of_it = {"facecolor": "#f3d3e3", "edgecolor": style.CYCLE, "hatch": "///", "linewidth": 1.2}
    pen.box(axes, left, 0.0, right, pressure, **look_of_it)
    pen.line(axes, _BAR, [pressure, pressure], color=style.CYCLE, linewidth=2.6)
    leaders = []
    for look_here, x, align in ((absolute, 0.235, "right"), (gauge, 0.765, "left")):
        # The line leaves out the numbers of the scale: a reading that is one of them must not strike it out.
        edge, side = (_BAR[0], -1) if align == "right" else (_BAR[1], 1)
        leaders += [edge, edge + side * 0.025, None, edge + side * 0.11, x, None]
        at = axes.transData.transform((x, pressure))
        pen.note(axes, look_here.text(pressure, "pressure"), *at, ha=align, va="center", colour=style.CYCLE, bold=True)
    levels = [None if x is None else pressure for x in leaders]
    pen.line(axes, leaders, levels, color=style.CYCLE, linewidth=1.0)
    aside, va = (-0.012, "top") if pressure > 0.12 * top else (0.012, "bottom")
    small = {"colour": style.CYCLE, "size": style.SMALL_TEXT, "framed": False}
    at = axes.transData.transform((0.5, pressure + aside * top))
    pen.note(axes, "your reading", *at, ha="center", va=va, **small)


def _ladder_told(pressure, look, air):
    absolute, gauge = _looks(look.system, look.altitude)
    side = "above" if pressure >= air else "below"
    difference = absolute.text(abs(pressure - air), "pressure").replace(" abs", "").replace("psia", "psi")
    return (
        f"Your reading: {absolute.text(pressure, 'pressure')}, counted from a perfect vacuum; "
        f"the gauge shows {gauge.text(pressure, 'pressure')}, because it is {difference} {side} the surrounding air "
        f"({absolute.text(air, 'pressure')} at {absolute.text(look.altitude, 'altitude')})."
    )


_HOTTEST = 368.15
_BESIDE_POINT = ((12, 26, "left"), (-12, 26, "right"), (-12, -26, "right"), (12, -26, "left"))


def saturation_picture(curves, look, *, marks=(), hottest=_HOTTEST):
    """Draw the boiling line of one or several refrigerants; marks: (T [K], p [Pa absolute], words); hottest [K]."""
    curves, several = tuple(curves), len(curves) > 1
    T_end = min(hottest, max(curve.T[-1] for curve in curves))
    T_ends = min(curve.T[0] for curve in curves), T_end + 4.0
    p_low = 0.8 * min(curve.p[0] for curve in curves) if several else 0.0
    p_ends = p_low, 1.06 * max(float(np.interp(T_end, curve.T, curve.p)) for curve in curves)
    finer = 2 if hottest < _HOTTEST else 1
    still = []
    for number, curve in enumerate(curves):
        colour, dashes, _ = style.series_style(number) if several else (style.DOME, "solid", "o")
        shown = [(T, p) for T, p in zip(curve.T, curve.p, strict=True) if T_ends[1] >= T and p_ends[1] >= p]
        T, p = zip(*shown, strict=True)
        name = curve.refrigerant if several else f"boiling line of {curve.refrigerant}:\nliquid and vapour together"
        line = Line(name, T, p, colour, dashes, 2.2, beside=(0.16 + 0.15 * number,) if several else (0.72, 0.6, 0.8))
        still.append(line)
        if T[-1] == curve.T[-1]:
            still.append(Mark(T[-1], p[-1], "" if several else "critical point", style.SOFT_INK, "D"))
    if several:
        told, at = "◆ critical point: above it there is no boiling", (T_ends[1] - 60.0, 1.12 * p_low)
        still.append(Zone(None, None, told, "none", at=(at,), colour=style.SOFT_INK))
    else:
        width = T_end - T_ends[0]
        liquid, vapour = ((T_ends[0] + share * width, high * p_ends[1]) for share, high in ((0.3, 0.66), (0.8, 0.16)))
        still += [
            Zone(still[0], None, "liquid", "cold", at=(liquid,), colour=style.LIQUID),
            Zone(None, None, "vapour", "none", at=(vapour,), colour="#8a6400"),
        ]
    if look.gauge:
        air = look.stored(0.0, "pressure")
        still.append(Level(air, "surrounding air", style.SOFT_INK, (0, (2, 2)), inside=True))
    strip = Strip(
        Axis("Pressure", "pressure", p_ends, count=8 * finer, logarithmic=several),
        tuple(_mark(one, look) for one in marks),
        still=tuple(still),
    )
    x = Axis("Temperature", "temperature", T_ends, count=10 * finer)
    return strips_picture(Column(x, (strip,)), look, sentence=_curve_told(curves, look, marks), size=(760, 480))


def _mark(mark, look):
    T, p, words = mark
    told = f"{look.text(T, 'temperature')}, {look.text(p, 'pressure')}"
    return Mark(T, p, f"{words}\n{told}" if words else told, drop="xy", places=_BESIDE_POINT)


def _curve_told(curves, look, marks):
    names = ", ".join(curve.refrigerant for curve in curves)
    told = [f"Pressure over temperature along the boiling line of {names}; above the line liquid, below it vapour."]
    for T, p, words in marks:
        point = f"{words or 'Marked point'}: {look.text(T, 'temperature')} and {look.text(p, 'pressure')}"
        told.append(f"{point[:1].upper()}{point[1:]}{_side(curves, T, p)}.")
    return " ".join(told)


def _side(curves, T, p):
    if len(curves) != 1 or not curves[0].T[0] <= T <= curves[0].T[-1]:
        return ""
    distance = np.log(p) - float(np.interp(T, curves[0].T, np.log(curves[0].p)))
    if abs(distance) < 0.004:
        return ", on the boiling line"
    return ", above the line: liquid" if distance > 0 else ", below the line: vapour"
