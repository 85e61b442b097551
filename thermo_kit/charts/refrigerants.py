"""Refrigerants at the same job side by side, and a leaked charge beside the limits of the standards."""

import math
from operator import attrgetter

from thermo_kit.charts import pen, style
from thermo_kit.charts.picture import still_layer
from thermo_kit.charts.scales import Axis
from thermo_kit.charts.told import listed
from thermo_kit.units import UnitSystem

_ROW, _HEAD, _FOOT, _NAMES, _WIDTH = 46.0, 70.0, 30.0, 92.0, 900
_ZERO_CELSIUS = 273.15
_COLUMNS = (
    ("Low side", attrgetter("cycle.evaporating_pressure"), "pressure", "bar starts at vacuum"),
    ("High side", attrgetter("cycle.condensing_pressure"), "pressure", "bar starts at vacuum"),
    ("Hot gas", attrgetter("cycle.discharge_temperature"), "temperature", "bar starts at freezing"),
    ("Suction volume", attrgetter("suction_volume_flow"), "volume_flow", "for 1 kW of cooling"),
    ("COP", attrgetter("cycle.coefficient_of_performance"), "ratio", "cooling per work"),
)
"""Title, how its value is read off a row, kind, and words below the title."""


def refrigerant_bars(rows, look):
    """Draw the same job done with several refrigerants, as `compare_refrigerants` returns them."""
    rows = tuple(rows)
    size = (_WIDTH, round(_HEAD + _FOOT + _ROW * len(rows)))
    still = still_layer(_draw_table, size, tuple(row.refrigerant for row in rows), look, size)
    return still.under(_draw_bars, rows, look, sentence=_sentence(rows, look))


def _column(index):
    width = (_WIDTH - _NAMES - 8.0) / len(_COLUMNS)
    return _NAMES + index * width, width


def _draw_table(figure, names, look, size):
    axes, top = pen.striped(figure, names, _HEAD, _ROW, fontweight="bold"), size[1] - _HEAD
    for i, (words, _, kind, zero) in enumerate(_COLUMNS):
        x, _ = _column(i)
        sign = look.sign(kind)
        axes.text(x, top + 48, words, fontweight="bold")
        axes.text(x, top + 31, sign or "–", fontsize=style.TEXT - 1)
        axes.text(x, top + 14, zero, fontsize=style.SMALL_TEXT, color=style.SOFT_INK)
        axes.plot([x, x], [_FOOT - 4, top + 4], color=style.SOFT_INK, linewidth=0.9)
    axes.text(
        12, 9, "hatched: above the critical pressure, cooled as a gas", fontsize=style.SMALL_TEXT, color=style.SOFT_INK
    )


def _draw_bars(axes, rows, look):
    top = axes.get_ylim()[1] - _HEAD
    boxes = {False: [], True: []}
    for i, (title, read, kind, _) in enumerate(_COLUMNS):
        x, width = _column(i)
        values = [read(row) for row in rows]
        lengths = [value - (_ZERO_CELSIUS if kind == "temperature" else 0.0) for value in values]
        longest = max(*lengths, 1e-12)
        for j, (row, value, length) in enumerate(zip(rows, values, lengths, strict=True)):
            y = top - (j + 0.5) * _ROW
            end = x + max(0.0, length / longest) * (width - 66.0)
            boxes[row.above_critical and title == "High side"].append(pen.corners(x, y - 9, end, y + 9))
            text = f"{look.number(value, kind):,.{_decimals(kind, look, value)}f}".replace("-", "−")
            pen.text(axes, text, end + 6, y, ha="left")
    for is_hatched, found in boxes.items():
        if found:
            pen.area(axes, found, facecolor="#8fb8d6", edgecolor=style.LIQUID, linewidth=0.9,
                     hatch="////" if is_hatched else None)  # fmt: skip


def _decimals(kind, look, value):
    if kind == "pressure":
        return 1 if look.number(value, kind) < 100 else 0
    return {"temperature": 0, "volume_flow": 1, "ratio": 2}[kind]


def _sentence(rows, look):
    told = ["The same job with " + ", ".join(row.refrigerant for row in rows) + "."]
    for words, read, kind, _ in _COLUMNS:
        low, high = (choose(rows, key=read) for choose in (min, max))
        if low is not high:
            low_text, high_text = (look.text(read(row), kind) for row in (low, high))
            told.append(f"{words}: from {low_text} ({low.refrigerant}) to {high_text} ({high.refrigerant}).")
    above = [row.refrigerant for row in rows if row.above_critical]
    if above:
        told.append(f"Above the critical pressure: {', '.join(above)}.")
    return " ".join(told)


SIZE = (640, 250)
_LOWEST, _HIGHEST = 1e-3, 3.0
# Names stand in steps above the scale, so that limits close to one another stay readable.
_STEP, _FIRST = 0.30, 1.14
_ROOM = 1.15
_BARS = {
    "below": (style.GOOD, "", "below all of them"),
    "between": (style.CAUTION, "..", "above a limit"),
    "danger": (style.WARNING, "///", "danger"),
}


def concentration_picture(result, look):
    """Draw a leaked charge against the limits."""
    names = [limit.name for limit in result.passed]
    verdict = f"above the {listed(names, 'the ')}" if names else "below every limit"
    told = ", ".join(f"{limit.name} {look.text(limit.concentration, 'concentration')}" for limit in result.limits)
    there = look.text(result.concentration, "concentration")
    still = still_layer(_draw_scale, SIZE, result.limits, look)
    sentence = f"{result.spec.refrigerant}: {there} in the air, {verdict}. Limits: {told}."
    return still.under(_draw_bar, result, there, sentence=sentence)


def _draw_scale(figure, limits, look):
    from matplotlib.ticker import LogLocator

    marks = (1, 10, 100, 1000) if look.system is UnitSystem.SI else (1e-3, 1e-2, 1e-1, 1)
    ticks = tuple((look.stored(mark, "concentration"), f"{mark:,g}") for mark in marks)
    x = Axis("refrigerant in the air", "concentration", (_LOWEST, _HIGHEST), ticks, logarithmic=True)
    axes = pen.rail(figure, (0.03, 0.21, 0.94, 0.27), x, look)
    axes.xaxis.set_minor_locator(LogLocator(subs=range(2, 10)))
    for i, limit in enumerate(reversed(limits)):
        height, value = _FIRST + _STEP * i, limit.concentration
        dashes = "solid" if limit.is_danger else (0, (5, 2))
        axes.plot([value, value], [0, height - 0.02], color=style.INK, linewidth=1.4, linestyle=dashes, clip_on=False)
        is_right = math.log(value / _LOWEST) > 0.6 * math.log(_HIGHEST / _LOWEST)
        x, ha = (value / _ROOM, "right") if is_right else (value * _ROOM, "left")
        words = f"{limit.name}: {look.text(value, 'concentration')}"
        pen.plated(axes, x, height - 0.04, words, pad=1, ha=ha, va="center", fontsize=style.TEXT - 1)


def _draw_bar(axes, result, there):
    end = min(max(result.concentration, 1.05 * _LOWEST), _HIGHEST)
    colour, hatch, word = _BARS[result.level]
    axes.barh(0.4, end - _LOWEST, left=_LOWEST, height=0.5, color=colour, alpha=0.55, hatch=hatch, edgecolor=colour)
    pen.plated(axes, 1.15e-3, 0.4, f"{there}, {word}", pad=2, alpha=0.85, va="center")
