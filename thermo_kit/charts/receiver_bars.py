"""Two bars of the receiver: the charge from bubbles to overfilled, and the pressure that the way up costs."""

import math
from itertools import pairwise

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_rows
from thermo_kit.charts.scales import axis_title, linear_ticks, nice_ends
from thermo_kit.charts.shapes import add_box, add_words, draw_pieces, rail

BAND_SIZE, LIFT_SIZE = (760, 230), (700, 260)
_STEP = 0.05
_ZONES = (
    ("bubbles:\nsubcooling falls", "#f6d9dd", "#d98a96", ".."),
    ("doubtful", "#f4efe0", "#cdbb8d", "//"),
    ("plateau: subcooling stays", "#dceee8", "#93c2b2", ""),
    ("overfilled:\nhead pressure rises", "#e6e0ee", "#b3a3c9", "xx"),
)
_TOPS = (1e3, 2e3, 3e3, 5e3, 8e3, 12e3, 2e4, 3e4, 5e4, 1e5, 2e5, 5e5, 1e6)
_PIECES = (
    ("lift", "rise_pressure_drop", "#cfe3f1", "//"),
    ("mouth", "entrance_pressure_drop", "#efe3c8", ".."),
    ("pipe", "friction_pressure_drop", "#dceee8", "xx"),
    ("filter", "filter_pressure_drop", "#e6e0ee", "oo"),
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
    title = axis_title("charge in the whole system", "mass", look)
    rail(figure, (0.02, 0.24, 0.96, 0.36), ends, linear_ticks(look, "mass", *ends, count=9), title)


def _draw_zones(axes, edges, bend):
    ends = axes.get_xlim()
    for (words, face, edge, hatch), (low, high) in zip(_ZONES, pairwise((ends[0], *edges, ends[1])), strict=True):
        add_box(axes, low, 0.0, high, 1.0, facecolor=face, edgecolor=edge, hatch=hatch, linewidth=0)
        if (high - low) / (ends[1] - ends[0]) > 0.1:
            x, y = axes.transData.transform((0.5 * (low + high), 0.38))
            add_rows(axes, words, x, y, size=style.SMALL_TEXT)
        add_line(axes, [high, high], [0, 1], color=style.INK, linewidth=1.2)
    if edges[0] < bend < ends[1]:
        add_line(axes, [bend, bend], [0, 1], color=style.WARNING, linewidth=1.4, linestyle=(0, (2, 2)))
        add_words(axes, "in the bend", bend, 1.0, aside=(5, 8), ha="left", color=style.WARNING,
                  fontsize=style.SMALL_TEXT)  # fmt: skip


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
        ha = "left" if share < 0.15 else "right" if share > 0.85 else "center"
        add_words(axes, words, value, height, aside=(0, 0.6 * style.TEXT), ha=ha, color=style.CYCLE, fontweight="bold")


def lift_picture(lift, look):
    """Draw the pressure drops end to end, and what they make of saturated liquid."""
    total = max(lift.total_pressure_drop, 0.0)
    top = min(nice_ends(0.0, 1.05 * total, "pressure_difference", look, steps=_TOPS)[1], _TOPS[-1])
    parts = ", ".join(
        f"{name} {look.text(getattr(lift, field), 'pressure_difference', 2)}" for name, field, _, _ in _PIECES
    )
    sentence = (
        f"From the surface to the subcooling pass the pressure falls by "
        f"{look.text(lift.total_pressure_drop, 'pressure_difference', 2)}: "
        f"{parts}. Of saturated liquid {lift.flash_quality * 100:.2f} % by mass boils, "
        f"{lift.flash_volume_share * 100:.1f} % by volume; "
        f"to condense it again takes {lift.recondensing_share * 100:.1f} % of the subcooling pass."
    )
    return two_layers(
        _draw_lift_axis, lambda axes: _draw_bar(axes, lift, look), sentence=sentence, still=(top, look), size=LIFT_SIZE
    )


def _draw_lift_axis(figure, top, look):
    title = axis_title("pressure lost", "pressure_difference", look)
    rail(figure, (0.03, 0.26, 0.94, 0.40), (0.0, top), linear_ticks(look, "pressure_difference", 0.0, top), title)


def _draw_bar(axes, lift, look):
    top = axes.get_xlim()[1]
    room = -1.0
    shown = ((name, max(getattr(lift, field), 0.0), *face) for name, field, *face in _PIECES)
    for name, middle, value in draw_pieces(axes, shown):
        if value > 0.09 * top:
            add_words(axes, name, middle, 0.5)
        else:
            room = max(middle, room + 0.09 * top)
            add_line(axes, [middle, room], [0.96, 1.2], color=style.SOFT_INK, linewidth=0.7, clip_on=False)
            add_words(axes, name, room, 1.22, aside=(0, 0.6 * style.SMALL_TEXT), fontsize=style.SMALL_TEXT)
    told = (
        f"boils on the way, by volume: {lift.flash_volume_share * 100:.1f} %; "
        f"takes {lift.recondensing_share * 100:.1f} % of the subcooling pass"
    )
    add_words(axes, told, 0.0, 1.62, aside=(0, 0.6 * style.TEXT), ha="left")
