"""The charge on a line from bubbles to an overfilled receiver, and the mouth's depth over the years of leakage."""

import math
from itertools import pairwise

from thermo_kit.charts import style
from thermo_kit.charts.labels import AROUND, ClearSpace
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_area, add_line, add_rows, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks

BAND_SIZE = (760, 230)
YEARS_SIZE = (760, 400)
_STEP, _DEPTH_STEP = 0.05, 0.05
_ZONES = (
    ("bubbles:\nsubcooling falls", "#f6d9dd", "#d98a96", ".."),
    ("doubtful", "#f4efe0", "#cdbb8d", "//"),
    ("plateau: subcooling stays", "#dceee8", "#93c2b2", ""),
    ("overfilled:\nhead pressure rises", "#e6e0ee", "#b3a3c9", "xx"),
)


def band_picture(band, look, *, years=0.0):
    """Draw the charge of a vehicle on the line from bubbles to overfilled; years [years]."""
    spec = band.spec
    edges = (band.onset_charge, band.safe_charge, band.full_charge)
    span = band.full_charge - spec.held_elsewhere
    low, high = min(spec.held_elsewhere - 0.15 * span, spec.charge), max(band.full_charge + 0.28 * span, spec.charge)
    # Ends in steps, so that the axis is drawn anew only now and then.
    ends = (max(math.floor(low / _STEP) * _STEP, 0.0), math.ceil(high / _STEP + 0.2) * _STEP)
    left, *places = band.after(years)
    later = max(left, ends[0])  # so that the mark stays on the line
    sentence = (
        f"Filled with {look.text(spec.charge, 'mass')}: {band.place}. The plateau runs from "
        f"{look.text(band.safe_charge, 'mass')} to {look.text(band.full_charge, 'mass')}: "
        f"a band of {look.text(band.band, 'mass')} on which the level hides the charge. "
        f"After {years:.1f} years of leakage {look.text(left, 'mass')} are left: {places_in_words(*places)}."
    )
    return two_layers(
        _draw_axis,
        lambda axes: _draw_marks(axes, edges, band.bend_onset_charge, spec.charge, later, years, look),
        sentence=sentence,
        still=(ends, look),
        size=BAND_SIZE,
    )


def places_in_words(level, bend):
    """Say in which zone a charge lies, and where the bend changes it, there too."""
    return level if level == bend else f"{level}, in the hardest bend {bend}"


def _draw_axis(figure, ends, look):
    axes = figure.add_axes((0.02, 0.24, 0.96, 0.36))
    axes.set(xlim=ends, ylim=(0, 1), yticks=[])
    for side in ("left", "right", "top"):
        axes.spines[side].set_visible(False)
    set_ticks(axes.xaxis, linear_ticks(look, "mass", *ends, count=9))
    axes.set_xlabel(axis_title("charge in the whole system", "mass", look))


def _draw_zones(axes, edges, bend):
    ends = axes.get_xlim()
    for (words, face, edge, hatch), (low, high) in zip(_ZONES, pairwise((ends[0], *edges, ends[1])), strict=True):
        zone = ((low, 0.0), (high, 0.0), (high, 1.0), (low, 1.0))
        add_area(axes, [zone], facecolor=face, edgecolor=edge, hatch=hatch, linewidth=0)
        if (high - low) / (ends[1] - ends[0]) > 0.1:
            x, y = axes.transData.transform((0.5 * (low + high), 0.38))
            add_rows(axes, words, x, y, size=style.SMALL_TEXT)
        add_line(axes, [high, high], [0, 1], color=style.INK, linewidth=1.2)
    if edges[0] < bend < ends[1]:
        add_line(axes, [bend, bend], [0, 1], color=style.WARNING, linewidth=1.4, linestyle=(0, (2, 2)))
        x, y = axes.transData.transform((bend, 1.0))
        add_text(axes, "in the bend", x + 5, y + 8, ha="left", color=style.WARNING, fontsize=style.SMALL_TEXT)


def _draw_marks(axes, edges, bend, filled, later, years, look):
    _draw_zones(axes, edges, bend)
    marks = [(filled, f"when filled: {look.text(filled, 'mass')}", 1.42)]
    if later != filled:
        marks.append((later, f"after {years:.1f} years: {look.text(later, 'mass')}", 1.85))
    low, high = axes.get_xlim()
    for value, words, height in marks:
        add_line(axes, [value, value], [0.74, height - 0.06], color=style.CYCLE, linewidth=2.0, clip_on=False)
        add_line(axes, [value], [0.80], marker="v", color=style.CYCLE, markersize=9, clip_on=False)
        share = (value - low) / (high - low)
        x, y = axes.transData.transform((value, height))
        ha = "left" if share < 0.15 else "right" if share > 0.85 else "center"
        add_text(axes, words, x, y + 0.6 * style.TEXT, ha=ha, color=style.CYCLE, fontweight="bold")


def years_picture(band, years, depths, look, *, at=0.0):
    """Draw how deep the mouth lies over the years, standing level and in the bend.

    years [years], depths [m], at [years].
    """
    level, bend = depths
    # The end in steps here too.
    top = math.ceil(1.12 * max(level) / _DEPTH_STEP + 0.01) * _DEPTH_STEP
    low = -0.16 * top
    sentence = (
        f"Standing level, the first bubble goes up the pipe {_when(band.years_to_bubble)}; in the hardest bend "
        f"{_when(band.bend_years_to_bubble)}. {_reserve(band.years_safe, band.bend_years_safe)}"
    )
    return two_layers(
        _draw_years,
        lambda axes: _draw_lines(axes, band, years, level, bend, at),
        sentence=sentence,
        still=(years[-1], low, top, look),
        size=YEARS_SIZE,
    )


def _when(years):
    if years is None:
        return "never, since nothing leaks"
    return f"at the latest after {years:.1f} years" if years > 0 else "at once"


def _reserve(level, bend):
    if level == bend:
        return f"Standing level and in the hardest bend alike, the reserve on the safe side {_ends(level)}."
    return f"The reserve on the safe side {_ends(level)} standing level; in the hardest bend it {_ends(bend)}."


def _ends(years):
    if years is None:
        return "stays, since nothing leaks"
    return f"ends after {years:.1f} years" if years > 0 else "is used up from the start"


def _draw_years(figure, last, low, top, look):
    axes = figure.add_axes((0.10, 0.15, 0.87, 0.82))
    axes.set(xlim=(0.0, last), ylim=(low, top))
    style.dress(axes)
    set_ticks(axes.yaxis, linear_ticks(look, "length", low, top, count=6))
    axes.set_xlabel("years after filling")
    axes.set_ylabel(axis_title("depth of the mouth", "length", look))
    axes.axhspan(low, 0.0, facecolor="#f6efe0", edgecolor="#d8c48c", hatch="..", linewidth=0)
    axes.text(0.01 * last, 0.5 * low, "mouth in vapour", va="center", fontsize=style.SMALL_TEXT)
    axes.plot([0.0, last], [0.0, 0.0], color=style.INK, linewidth=1.0)


_FAR = ((40, 60, "left"), (60, 100, "left"), (80, 140, "left"), (-40, -40, "right"))


def _draw_lines(axes, band, years, level, bend, at):
    last, (low, top) = axes.get_xlim()[1], axes.get_ylim()
    moves = band.spec.lateral_acceleration > 0 or band.spec.tilt > 0
    space = ClearSpace(axes)
    for depths in (level, bend) if moves else (level,):
        space.keep_off_line(years, [min(max(depth, low), top) for depth in depths])
    space.keep_off_line([0.0, last], [0.0, 0.0])
    if at > 0:
        space.keep_off_line([at, at], [low, top])
    space.keep_off_words("mouth in vapour", *axes.transData.transform((0.01 * last, 0.5 * low)), size=style.SMALL_TEXT)
    rows = [("standing level", level, style.LIQUID, "solid", band.years_to_bubble, "o")]
    if moves:
        rows.append(("in the hardest bend", bend, style.HIGH_SIDE, (0, (6, 2)), band.bend_years_to_bubble, "s"))
    for place, (words, depths, colour, dashes, first, marker) in enumerate(rows):
        add_line(axes, years, depths, color=colour, linewidth=2.2, linestyle=dashes)
        if first is not None and first < last:
            depth = min(max(_read(years, depths, first), low), top)
            add_line(
                axes, [first], [depth], marker=marker, color=colour, markersize=9, markeredgecolor=style.PLATE, zorder=6
            )
            above = AROUND if place == 0 else AROUND[1:]
            when = f"at the latest {first:.1f} years" if first > 0 else "at once"
            text = f"first bubble {words}:\n{when}"
            space.write(text, first, depth, places=(*above, *_FAR), size=style.SMALL_TEXT, color=colour)
        index = int((0.12, 0.4)[place] * sum(depth > 0 for depth in depths))
        beside = ((10, 12, "left"), (-6, -14, "right"), (10, 30, "left"), (-6, -34, "right"), (20, -14, "left"))
        beside = beside if place == 0 else (beside[1], beside[0], *beside[2:])
        if depths[index] > low:
            space.write(words, years[index], depths[index], places=(*beside, *AROUND), color=colour)
    if at > 0:
        add_line(axes, [at, at], [low, top], color=style.CYCLE, linewidth=1.2, zorder=1)
        sides = ((5, "left"), (-5, "right"))
        beside = tuple((shift, -10 - 18 * step, ha) for step in range(5) for shift, ha in sides)
        space.write(f"{at:.1f} years", at, top, places=beside, size=style.SMALL_TEXT, color=style.CYCLE)


def _read(years, depths, year):
    for index in range(1, len(years)):
        if years[index] >= year:
            share = (year - years[index - 1]) / (years[index] - years[index - 1])
            return depths[index - 1] + share * (depths[index] - depths[index - 1])
    return depths[-1]
