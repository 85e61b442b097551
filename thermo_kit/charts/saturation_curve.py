"""Pressure over temperature along the boiling line: above it liquid, below it vapour, on it both."""

import numpy as np

from thermo_kit.charts import style
from thermo_kit.charts.strips import Axis, Column, Level, Line, Mark, Strip, Zone, strips_picture

_HOTTEST = 368.15
_BESIDE_POINT = ((12, 26, "left"), (-12, 26, "right"), (-12, -26, "right"), (12, -26, "left"))


def saturation_picture(curves, look, *, marks=(), hottest=_HOTTEST):
    """Draw the boiling line of one or several refrigerants; marks: (T [K], p [Pa absolute], words); hottest [K]."""
    curves, several = tuple(curves), len(curves) > 1
    T_end = min(hottest, max(curve.critical_temperature for curve in curves))
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
    return strips_picture(Column(x, (strip,)), look, sentence=_sentence(curves, look, marks), size=(760, 480))


def _mark(mark, look):
    T, p, words = mark
    told = f"{look.text(T, 'temperature')}, {look.text(p, 'pressure')}"
    return Mark(T, p, f"{words}\n{told}" if words else told, drop="xy", places=_BESIDE_POINT)


def _sentence(curves, look, marks):
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
