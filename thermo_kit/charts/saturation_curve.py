"""Pressure over temperature along the boiling line: above it liquid, below it vapour, on it both."""

from dataclasses import dataclass

import numpy as np

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_note
from thermo_kit.charts.scales import axis_title, linear_ticks, log_ticks, set_ticks

SIZE = (760, 480)
_BOX = (0.105, 0.115, 0.865, 0.855)
_HOTTEST = 368.15


@dataclass(frozen=True)
class SaturationMark:
    """A point to mark: T [K], p [Pa absolute], and a word for it."""

    T: float
    p: float
    label: str = ""


def saturation_picture(curves, look, *, marks=(), hottest=_HOTTEST):
    """Draw the boiling line of one or several refrigerants, with marked points; hottest [K]."""
    curves, marks = tuple(curves), tuple(marks)
    return two_layers(
        _draw_curves,
        lambda axes: _draw_marks(axes, look, marks),
        still=(curves, look, hottest),
        sentence=_sentence(curves, look, marks),
        size=SIZE,
    )


def _window(curves, hottest):
    T = min(hottest, max(curve.critical_temperature for curve in curves))
    coldest = min(curve.T[0] for curve in curves)
    highest = max(float(np.interp(min(T, curve.T[-1]), curve.T, curve.p)) for curve in curves)
    return coldest, T + 4.0, min(curve.p[0] for curve in curves), 1.06 * highest


def _draw_curves(figure, curves, look, hottest):
    axes = figure.add_axes(_BOX)
    style.dress(axes)
    T_low, T_high, p_low, p_high = _window(curves, hottest)
    several = len(curves) > 1
    if several:
        axes.set_yscale("log")
        bottom = 0.8 * p_low
    else:
        bottom = 0.0
    axes.set(xlim=(T_low, T_high), ylim=(bottom, p_high))
    height = _BOX[3] * SIZE[1]
    finer = 2 if hottest < _HOTTEST else 1
    if several:
        set_ticks(axes.yaxis, log_ticks(look, "pressure", bottom, p_high, height))
    else:
        set_ticks(axes.yaxis, linear_ticks(look, "pressure", 0.0, p_high, count=8 * finer))
    set_ticks(axes.xaxis, linear_ticks(look, "temperature", T_low, T_high, count=10 * finer))
    axes.set_xlabel(axis_title("Temperature", "temperature", look))
    axes.set_ylabel(axis_title("Pressure", "pressure", look))
    for number, curve in enumerate(curves):
        _draw_curve(axes, number, curve, several, (T_high, p_high))
    if several:
        words = "◆ critical point: above it there is no boiling"
        axes.text(
            0.99, 0.02, words, transform=axes.transAxes, ha="right", fontsize=style.SMALL_TEXT, color=style.SOFT_INK
        )
    else:
        _name_sides(axes, curves[0], (T_low, T_high, p_high))
    if look.gauge:
        _draw_air_line(axes, look, T_high)


def _draw_curve(axes, number, curve, several, corner):
    colour, dashes, _ = style.series_style(number) if several else (style.DOME, "solid", "o")
    axes.plot(curve.T, curve.p, color=colour, linestyle=dashes, linewidth=2.2)
    if curve.T[-1] < corner[0]:
        axes.plot(curve.T[-1], curve.p[-1], marker="D", color=colour, markersize=6)
        if not several:
            axes.annotate(
                "critical point", (curve.T[-1], curve.p[-1]), (-8, 6), textcoords="offset points", ha="right",
                fontsize=style.SMALL_TEXT, color=style.SOFT_INK,
            )  # fmt: skip
    if several:
        share = 0.16 + 0.15 * number
        i = int(share * (len(curve.T) - 1))
        axes.text(
            curve.T[i], curve.p[i], curve.refrigerant, color=colour, ha="center", va="center", fontweight="bold",
            bbox={"facecolor": style.PLATE, "edgecolor": "none", "pad": 1.5},
        )  # fmt: skip


def _name_sides(axes, curve, corner):
    T_low, T_high, p_high = corner
    p = np.minimum(curve.p, p_high)
    axes.fill_between(
        curve.T, p, p_high, facecolor="none", edgecolor=style.LIQUID, hatch="///", alpha=0.18, linewidth=0
    )
    large = {"fontsize": style.LARGE_TEXT, "ha": "center", "va": "center"}
    plate = {"facecolor": style.PLATE, "edgecolor": "none", "pad": 3.0}
    axes.text(T_low + 0.3 * (T_high - T_low), 0.66 * p_high, "liquid", color=style.LIQUID, bbox=plate, **large)
    axes.text(T_low + 0.8 * (T_high - T_low), 0.16 * p_high, "vapour", color="#8a6400", bbox=plate, **large)
    i = int(np.searchsorted(curve.T, T_low + 0.62 * (T_high - T_low)))
    axes.annotate(
        f"boiling line of {curve.refrigerant}:\nliquid and vapour together", (curve.T[i], curve.p[i]), (-150, 52),
        textcoords="offset points", ha="center", fontsize=style.SMALL_TEXT + 1, bbox=plate,
        arrowprops={"arrowstyle": "-", "color": style.SOFT_INK, "linewidth": 0.8},
    )  # fmt: skip


def _draw_air_line(axes, look, T_high):
    level = look.stored(0.0, "pressure")
    axes.axhline(level, color=style.SOFT_INK, linewidth=1.0, linestyle=(0, (2, 2)))
    axes.annotate(
        "surrounding air", (T_high, level), (-6, 3), textcoords="offset points", ha="right",
        fontsize=style.SMALL_TEXT, color=style.SOFT_INK,
    )  # fmt: skip


def _draw_marks(axes, look, marks):
    T_low, T_high = axes.get_xlim()
    bottom = axes.get_ylim()[0]
    for mark in marks:
        add_line(
            axes, [mark.T, mark.T, T_low], [bottom, mark.p, mark.p],
            color=style.CYCLE, linewidth=1.1, linestyle=(0, (4, 2)),
        )  # fmt: skip
        add_line(
            axes, [mark.T], [mark.p], marker="o", color=style.CYCLE, markersize=9, markeredgecolor=style.PLATE,
            clip_on=False,
        )  # fmt: skip
        text = f"{look.text(mark.T, 'temperature')}, {look.text(mark.p, 'pressure')}"
        if mark.label:
            text = f"{mark.label}\n{text}"
        right = T_low + 0.62 * (T_high - T_low) < mark.T
        x, y = axes.transData.transform((mark.T, mark.p))
        low = axes.transAxes.inverted().transform((x, y))[1] < 0.86
        add_note(
            axes, text, x + (-12 if right else 12), y + (10 if low else -10),
            ha="right" if right else "left", va="bottom" if low else "top", colour=style.CYCLE,
        )  # fmt: skip


def _sentence(curves, look, marks):
    names = ", ".join(curve.refrigerant for curve in curves)
    told = [f"Pressure over temperature along the boiling line of {names}; above the line liquid, below it vapour."]
    for mark in marks:
        name = mark.label or "Marked point"
        point = f"{name}: {look.text(mark.T, 'temperature')} and {look.text(mark.p, 'pressure')}"
        told.append(f"{point[:1].upper()}{point[1:]}{_side(curves, mark)}.")
    return " ".join(told)


def _side(curves, mark):
    if len(curves) != 1 or not curves[0].T[0] <= mark.T <= curves[0].T[-1]:
        return ""
    line = float(np.interp(mark.T, curves[0].T, np.log(curves[0].p)))
    distance = np.log(mark.p) - line
    if abs(distance) < 0.004:
        return ", on the boiling line"
    return ", above the line: liquid" if distance > 0 else ", below the line: vapour"
