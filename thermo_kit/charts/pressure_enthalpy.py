"""The pressure-enthalpy diagram of one refrigerant, with cycles and marked states on it, and as a sheet to print."""

import io
import math

import numpy as np
from matplotlib.lines import Line2D

from thermo_kit.charts import pen, style
from thermo_kit.charts.cycle_drawing import draw_cycle, draw_mark, draw_shadow
from thermo_kit.charts.labels import PlacedLabel, WantedLabel, place_labels, resampled
from thermo_kit.charts.picture import draw_on, new_figure, still_layer
from thermo_kit.charts.scales import Axis, dress
from thermo_kit.charts.told import sentence_of
from thermo_kit.units import UnitSystem

SIZE = (860, 560)
_LEFT, _RIGHT, _BOTTOM, _TOP = 68, 12, 46, 30
_FAMILIES = {
    "temperature": ("isotherm", style.ISOTHERM, "temperature"),
    "specific_entropy": ("isentrope", style.ISENTROPE, "entropy s"),
    "density": ("isochore", style.ISOCHORE, "density ρ"),
    "ratio": ("quality", style.QUALITY, "vapour share x"),
}


def diagram(lines, look, *, cycles=(), marks=(), spreads=(), names=(), to_read=False):
    """Draw the diagram as a picture in two layers; to_read: a learner reads it off, it tells only the pressures."""
    told = sentence(lines, look, cycles=cycles, marks=marks, spreads=spreads, names=names, to_read=to_read)
    still = still_layer(draw_lines, SIZE, lines, look)
    return still.under(draw_over, look, cycles, marks, spreads, names, to_read, sentence=told)


def draw_over(axes, look, cycles, marks, spreads, names, to_read=False):
    """Draw what moves: cycles and marks."""
    for number, cycle in enumerate(cycles[1:]):
        draw_shadow(axes, cycle, names[number] if number < len(names) else "")
    if cycles:
        draw_cycle(axes, cycles[0], look, spreads, to_read)
    for mark in marks:
        draw_mark(axes, mark, look)


def draw_lines(sheet, lines, look, size=SIZE, *, box=None):
    """Draw what stays: dome, lines with their labels, axes; size [px], box [px]."""
    usual = _LEFT, _BOTTOM, size[0] - _LEFT - _RIGHT, size[1] - _BOTTOM - _TOP
    left, bottom, width, height = box or usual
    axes = pen.placed(sheet, (left, bottom, width, height))
    ends = lines.lowest_enthalpy, lines.highest_enthalpy
    y = Axis("Pressure", "pressure", (lines.lowest_pressure, lines.highest_pressure), logarithmic=True)
    dress(axes, Axis("Specific enthalpy", "specific_enthalpy", ends, count=10), y, look)
    axes.set_ylabel(f"{axes.get_ylabel()}, logarithmic")
    _draw_dome(axes, lines)
    for line in every_line(lines):
        pattern, colour, _ = _FAMILIES[line.kind]
        axes.plot(line.h, line.p, color=colour, linewidth=0.9, linestyle=style.DASHES[pattern], alpha=0.85)
    for label in labels(axes, lines, look):
        x, y = axes.transData.inverted().transform((label.x, label.y))
        is_region = label.kind == "region"
        colour, slant = (style.SOFT_INK, "italic") if is_region else (_FAMILIES[label.kind][1], "normal")
        place = {"rotation": label.angle, "rotation_mode": "anchor", "ha": "center", "va": "center_baseline"}
        letters = {"fontsize": label.size, "color": colour, "fontstyle": slant}
        pen.plated(axes, x, y, label.text, pad=1.6, alpha=0.9, **place, **letters)
    _draw_key(sheet, size, lines, look, left, bottom + height)


def every_line(lines):
    """Return all labelled lines of a diagram."""
    return (*lines.isotherms, *lines.isentropes, *lines.isochores, *lines.qualities)


def labels(axes, lines, look):
    """Return every label with its place; none covers another."""
    to_pixel = axes.transData.transform
    (left, bottom), (right, top) = axes.transAxes.transform(((0, 0), (1, 1)))
    regions = _region_words(to_pixel, lines)
    family = [(line, to_pixel(np.column_stack([line.h, line.p]))) for line in every_line(lines)]
    wanted = [
        WantedLabel(_line_text(line, look), line.kind, style.SMALL_TEXT - 0.5, pixels, line.anchors)
        for line, pixels in family
        if line.kind != "ratio" or round(10 * line.value) % 2 == 0
    ]
    dome = to_pixel(np.column_stack([lines.dome.h, lines.dome.p]))
    obstacles = np.concatenate([resampled(pixels) for pixels in (dome, *(pixels for _, pixels in family))])
    window, avoid = (left + 2, bottom + 2, right - 2, top - 2), _usual_cycle(to_pixel, lines)
    return regions + place_labels(wanted, window=window, taken=regions, avoid=avoid, obstacles=obstacles)


def _usual_cycle(to_pixel, lines):
    """Where a running system mostly lies: from below the freezing point of water to a hot day's head pressure."""
    T, dew, bubble = lines.saturation_temperature, lines.dew, lines.bubble
    low = np.interp(263.15, T, dew.p)
    hot = min(333.15, lines.critical_temperature - 1.0)
    high = max(np.interp(hot, T, dew.p), 1.3 * lines.critical_pressure if hot < 310 else 0.0)
    h_low = np.interp(min(293.15, hot), T, bubble.h)
    h_high = lines.dew.h.max() + 0.12 * (lines.highest_enthalpy - lines.lowest_enthalpy)
    return (*to_pixel((h_low, low)), *to_pixel((h_high, high)))


def _region_words(to_pixel, lines):
    p_c = lines.critical_pressure
    low, width = lines.lowest_enthalpy, lines.highest_enthalpy - lines.lowest_enthalpy
    p_liquid, p_inside = 0.42 * p_c, 1.7 * lines.lowest_pressure
    p_vapour = math.sqrt(lines.lowest_pressure * p_c) * 0.55
    bubble_at = float(np.interp(p_liquid, lines.bubble.p, lines.bubble.h))
    inside = [float(np.interp(p_inside, side.p, side.h)) for side in (lines.bubble, lines.dew)]
    dew_at = float(np.interp(p_vapour, lines.dew.p, lines.dew.h))
    places = (
        ("liquid", (low + bubble_at) / 2, p_liquid),
        ("liquid and vapour together", sum(inside) / 2, p_inside),
        ("vapour", (dew_at + lines.highest_enthalpy) / 2, p_vapour),
        ("above the critical pressure: no boiling", low + 0.22 * width, 1.13 * p_c),
    )
    words = []
    for text, h, p in places:
        x, y = to_pixel((h, p))
        words.append(PlacedLabel(text, "region", style.TEXT, x, y, 0.0, *pen.text_size(text, style.TEXT)))
    return words


def _line_text(line, look):
    if line.kind == "temperature":
        return look.text(line.value, "temperature", 0)
    if line.kind == "ratio":
        return f"x {line.value:.1f}"
    if line.kind == "density":
        return f"ρ {look.number(line.value, 'density'):g}"
    return f"s {look.number(line.value, 'specific_entropy'):.2f}"


def _draw_dome(axes, lines):
    axes.fill(lines.dome.h, lines.dome.p, facecolor="#eef6fb", edgecolor="none")
    axes.plot(lines.dome.h, lines.dome.p, color=style.DOME, linewidth=2.0)
    axes.plot(lines.critical_enthalpy, lines.critical_pressure, "D", color=style.DOME, markersize=5)
    axes.axhline(lines.critical_pressure, color=style.SOFT_INK, linewidth=0.9, linestyle=(0, (1, 3)))


def _draw_key(sheet, size, lines, look, left, top):
    """One line above the axes that says which pattern is which family."""
    y = top + 14
    name = {"fontsize": style.LARGE_TEXT, "fontweight": "bold", "va": "center"}
    pen.caption(sheet, lines.refrigerant, left, y, **name)
    x, drawn = left + 90.0, {line.kind for line in every_line(lines)}
    for kind, (pattern, colour, words) in _FAMILIES.items():
        if kind not in drawn:
            continue
        ends = [x / size[0], (x + 26) / size[0]]
        sheet.add_artist(Line2D(ends, [y / size[1]] * 2, color=colour, linestyle=style.DASHES[pattern], linewidth=1.4))
        sign = "" if kind == "temperature" else look.sign(kind)
        text = f"{words}, {sign}" if sign else words
        pen.caption(sheet, text, x + 31, y, fontsize=style.SMALL_TEXT, color=colour, va="center")
        x += 31 + pen.text_size(text, style.SMALL_TEXT)[0] + 18


def sentence(lines, look, *, cycles=(), marks=(), spreads=(), names=(), to_read=False):
    """Say in words what the diagram shows."""
    told = [f"Pressure–enthalpy diagram of {lines.refrigerant}."]
    for number, cycle in enumerate(cycles):
        name = "The cycle" if number == 0 else (names[number - 1] if number <= len(names) else "Another cycle")
        told.append(f"{name[:1].upper()}{name[1:]} {_cycle_words(cycle, look, to_read)}")
    if cycles and spreads:
        told.append("Hatched boxes show how far the points may be off.")
    for mark in marks:
        name = mark.label or "Marked point"
        told.append(
            f"{name[:1].upper()}{name[1:]}: {look.text(mark.p, 'pressure')}, {look.text(mark.h, 'specific_enthalpy')}."
        )
    return " ".join(told)


def _cycle_words(cycle, look, to_read):
    high = look.text(cycle.condensing_pressure, "pressure")
    if to_read:
        low = look.text(cycle.evaporating_pressure, "pressure")
        return f"runs between {low} and {high}; its points are numbered 1 to 6, all else is to be read off."
    if cycle.condensing_temperature is None:
        high = f"cools its gas at {high}, above the critical pressure"
    else:
        high = f"condenses at {high} and {look.text(cycle.condensing_temperature, 'temperature')}"
        if cycle.subcooling is not None:
            high += f" with {look.text(cycle.subcooling, 'temperature_difference')} of subcooling"
    return sentence_of("cycle", look, cycle, high=high)


PAPER = {UnitSystem.SI: (842.0, 595.0), UnitSystem.US: (792.0, 612.0)}
"""A4 and US letter, lying, in points."""
_WORDS = {"pressure": "Pressure", "temperature": "Temperature", "specific_enthalpy": "Enthalpy (read off)"}
_EDGE = 36.0


def sheet_bytes(lines, look):
    """Return a sheet to print and draw on by hand as PDF bytes."""
    import matplotlib

    size = PAPER[look.system]
    sheet = new_figure(size)
    draw_on(sheet, _draw_sheet, lines, look, size)
    data = io.BytesIO()
    facts = {"Title": f"Pressure-enthalpy sheet {lines.refrigerant}", "CreationDate": None, "Producer": None}
    with matplotlib.rc_context(style.RC):
        sheet.savefig(data, format="pdf", metadata={**facts, "Creator": None})
    return data.getvalue()


def _draw_sheet(sheet, lines, look, size):
    width, height = size
    left, bottom, top = 72.0, 158.0, 62.0
    draw_lines(sheet, lines, look, size, box=(left, bottom, width - left - _EDGE, height - bottom - top))
    page, x = pen.whole(sheet), _EDGE
    small, rule = {"fontsize": style.SMALL_TEXT}, {"color": style.SOFT_INK, "linewidth": 0.7}
    for words, room in (("Name", 190.0), ("Date", 90.0), ("Vehicle", 150.0), ("Outside air", 150.0)):
        page.text(x, height - 26, words, **small)
        page.plot([x + 8 + 6.2 * len(words), x + room], [height - 28] * 2, **rule)
        x += room + 12
    first, row, right = _EDGE + 150.0, 18.0, width - _EDGE
    column, top = (right - first) / 6, 20.0 + 4 * row
    for k in range(5):
        page.plot([_EDGE, right], [top - k * row] * 2, **rule)
    for x in (_EDGE, *(first + k * column for k in range(7))):
        page.plot([x, x], [top, top - 4 * row], **rule)
    for k in range(6):
        page.text(first + (k + 0.5) * column, top - 12.5, f"{k + 1}", ha="center", fontweight="bold", **small)
    page.text(_EDGE + 4, top - 12.5, "Point", **small)
    for k, (kind, words) in enumerate(_WORDS.items(), start=1):
        told = f"{words}, {look.sign(kind)}"
        page.text(_EDGE + 4, top - 12.5 - k * row, told, fontsize=style.SMALL_TEXT - 1)
    note = (
        "1 compressor inlet   2 compressor outlet   3 condenser or gas cooler outlet   4 valve inlet   "
        "5 evaporator inlet   6 evaporator outlet"
    )
    page.text(_EDGE, 8, note, fontsize=style.SMALL_TEXT - 2)
