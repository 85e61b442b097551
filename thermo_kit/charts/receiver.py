"""The receiver's charge between bubbles and overfilled, what the way up costs, and its curves over flow and years."""

import math
from itertools import pairwise

import numpy as np

from thermo_kit.charts import pen, style
from thermo_kit.charts.picture import still_layer
from thermo_kit.charts.strips import TONES, Axis, Column, Level, Line, Mark, Strip, Zone, strips_picture
from thermo_kit.charts.told import sentence_of

_BAND_SIZE, _LIFT_SIZE = (760, 230), (700, 260)
_STEP = 0.05
_ZONES = (
    ("bubbles:\nsubcooling falls", "bad", ".."),
    ("doubtful", "doubt", "//"),
    ("plateau: subcooling stays", "good", ""),
    ("overfilled:\nhead pressure rises", "full", "xx"),
)
_DROPS = (1e3, 2e3, 3e3, 5e3, 8e3, 12e3, 2e4, 3e4, 5e4, 1e5, 2e5, 5e5, 1e6)
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
    then = places_in_words(*places)
    sentence = sentence_of("band of the charge", look, band, years=years, left=left, then=then)
    x = Axis("charge in the whole system", "mass", ends, count=9)
    still = still_layer(pen.rail, _BAND_SIZE, (0.02, 0.24, 0.96, 0.36), x, look)
    return still.under(_draw_marks, edges, band.bend_onset_charge, spec.charge, later, years, look, sentence=sentence)


def places_in_words(level, bend):
    """Say in which zone a charge lies, and where the bend changes it, there too."""
    return level if level == bend else f"{level}, in the hardest bend {bend}"


def _draw_zones(axes, edges, bend):
    ends = axes.get_xlim()
    for (words, tone, hatch), (low, high) in zip(_ZONES, pairwise((ends[0], *edges, ends[1])), strict=True):
        face, edge, _ = TONES[tone]
        pen.box(axes, low, 0.0, high, 1.0, facecolor=face, edgecolor=edge, hatch=hatch, linewidth=0)
        if (high - low) / (ends[1] - ends[0]) > 0.1:
            pen.words(axes, words, 0.5 * (low + high), 0.38, size=style.SMALL_TEXT)
        pen.line(axes, [high, high], [0, 1], color=style.INK, linewidth=1.2)
    if edges[0] < bend < ends[1]:
        pen.line(axes, [bend, bend], [0, 1], color=style.WARNING, linewidth=1.4, linestyle=(0, (2, 2)))
        pen.words(axes, "in the bend", bend, 1.0, aside=(5, 8), ha="left", color=style.WARNING, size=style.SMALL_TEXT)


def _draw_marks(axes, edges, bend, filled, later, years, look):
    _draw_zones(axes, edges, bend)
    marks = [(filled, f"when filled: {look.text(filled, 'mass')}", 1.42)]
    if later != filled:
        marks.append((later, f"after {years:.1f} years: {look.text(later, 'mass')}", 1.85))
    low, high = axes.get_xlim()
    for value, words, height in marks:
        pen.line(axes, [value, value], [0.74, height - 0.06], color=style.CYCLE, linewidth=2.0, clip_on=False)
        pen.point(axes, [value], [0.80], marker="v", size=9, color=style.CYCLE, clip_on=False)
        share = (value - low) / (high - low)
        ha = "left" if share < 0.15 else "right" if share > 0.85 else "center"
        pen.words(axes, words, value, height, aside=(0, 0.6 * style.TEXT), ha=ha, color=style.CYCLE, bold=True)


def lift_picture(lift, look):
    """Draw the pressure drops end to end, and what they make of saturated liquid."""
    total = max(lift.total_pressure_drop, 0.0)
    top = next((drop for drop in _DROPS if drop >= 1.05 * total), _DROPS[-1])
    parts = ", ".join(
        f"{name} {look.text(getattr(lift, field), 'pressure_difference', 2)}" for name, field, _, _ in _PIECES
    )
    x = Axis("pressure lost", "pressure_difference", (0.0, top), count=8)
    still = still_layer(pen.rail, _LIFT_SIZE, (0.03, 0.26, 0.94, 0.40), x, look)
    return still.under(_draw_lift, lift, look, sentence=sentence_of("way up a standpipe", look, lift, parts=parts))


def _draw_lift(axes, lift, look):
    top = axes.get_xlim()[1]
    room = -1.0
    shown = ((name, max(getattr(lift, field), 0.0), *face) for name, field, *face in _PIECES)
    for name, middle, value in pen.pieces(axes, shown):
        if value > 0.09 * top:
            pen.words(axes, name, middle, 0.5)
        else:
            room = max(middle, room + 0.09 * top)
            pen.line(axes, [middle, room], [0.96, 1.2], color=style.SOFT_INK, linewidth=0.7, clip_on=False)
            pen.words(axes, name, room, 1.22, aside=(0, 0.6 * style.SMALL_TEXT), size=style.SMALL_TEXT)
    told = sentence_of("what boils on the way up", look, lift)
    pen.words(axes, told, 0.0, 1.62, aside=(0, 0.6 * style.TEXT), ha="left")


_DEPTHS = (0.04, 0.06, 0.09, 0.13, 0.2, 0.3, 0.5, 1.0)
_MASSES = (0.004, 0.006, 0.01, 0.015, 0.025, 0.04, 0.08, 0.15, 0.3)
_DEPTH_STEP = 0.05


def depth_picture(curves, look, *, words=None):
    """Draw the two published depths against flow, with the operating point; words: told at it instead."""
    flows, most = curves.flows, curves.flows[-1]
    deepest = max(curves.safe[-1], curves.depth)
    top = next((depth for depth in _DEPTHS if depth >= deepest), deepest)
    safe = Line("safe side, ANSI/HI 9.8", flows, curves.safe, style.GOOD, (0, (7, 3)), beside=(0.36, 0.6, 0.8))
    onset = Line("onset, Lubin & Springer", flows, curves.onset, style.WARNING, (0, (2, 2)), beside=(0.85, 0.6, 0.4))
    middles = [
        (flows[k], 0.5 * (curves.safe[k] + curves.onset[k]))
        for k in (int(share * len(flows)) for share in (0.7, 0.36, 0.5, 0.8))
    ]
    told = words or f"this receiver:\n{look.text(curves.depth, 'length')}, {curves.regime}"
    # These words must stay within their narrow zone, so they slide along its lower edge only.
    below = Mark(
        0.97 * most, 0.0, "below: the surface dips in, bubbles go up", style.WARNING, marker="",
        places=tuple((-40 * step, 9, "right") for step in range(8)),
    )  # fmt: skip
    high = tuple((0.3 * most, share * top) for share in (0.96, 0.9, 0.84, 0.78))
    things = (
        Zone(None, onset, "", "bad"),
        Zone(onset, safe, "doubtful: swirl decides", "doubt", at=tuple(middles)),
        Zone(safe, None, "above: flooded, only liquid goes up", "none", at=high, colour=style.GOOD),
        safe,
        onset,
        Mark(curves.mass_flow, curves.depth, told, marker="D"),
        below,
    )
    sentence = sentence_of("depth of a mouth", look, curves)
    x = Axis("flow up the standpipe", "mass_flow", (0.0, most), count=8)
    strip = Strip(Axis("depth of the mouth", "length", (0.0, top), count=8), things)
    return strips_picture(Column(x, (strip,)), look, sentence=sentence, size=(680, 460))


def years_picture(band, years, depths, look, *, at=0.0):
    """Draw how deep the mouth lies over the years, standing level and in the bend; years, at [years], depths [m]."""
    level, bend = depths
    last = years[-1]
    low, top = _depth_ends(level)
    rows = [("standing level", level, style.LIQUID, "solid", band.years_to_bubble, "o", (0.12, 0.3, 0.5))]
    if band.spec.lateral_acceleration > 0 or band.spec.tilt > 0:
        first, dashes = band.bend_years_to_bubble, (0, (6, 2))
        rows.append(("in the hardest bend", bend, style.HIGH_SIDE, dashes, first, "s", (0.4, 0.25, 0.6)))
    spots = tuple((share * last, 0.5 * low) for share in (0.1, 0.9, 0.5))
    still = (Zone(None, 0.0, "mouth in vapour", "solid", at=spots), Level(0.0, "", style.INK, "solid"))
    things = []
    for words, line, colour, dashes, first, marker, beside in rows:
        things.append(Line(words, years, line, colour, dashes, beside=beside))
        if first is not None and first < last:
            when = f"at the latest {first:.1f} years" if first > 0 else "at once"
            told = f"first bubble {words}:\n{when}"
            things.append(Mark(first, float(np.interp(first, years, line)), told, colour, marker))
    if at > 0:
        things.append(Mark(at, None, f"{at:.1f} years", dashes="solid"))
    sentence = (
        f"Standing level, the first bubble goes up the pipe {_when(band.years_to_bubble)}; in the hardest bend "
        f"{_when(band.bend_years_to_bubble)}. {_reserve(band.years_safe, band.bend_years_safe)}"
    )
    x, y = Axis("years after filling", ends=(0.0, last)), Axis("depth of the mouth", "length", (low, top))
    return strips_picture(Column(x, (Strip(y, tuple(things), still=still),)), look, sentence=sentence, size=(760, 400))


def _depth_ends(level):
    """Return the ends of the axis in steps, whatever part of the depths is below the mouth; [m]."""
    top = max(math.ceil(1.12 * max(level) / _DEPTH_STEP + 0.01), 1) * _DEPTH_STEP
    if max(level) > 0.0:
        return -0.16 * top, top
    return math.floor(1.12 * min(level) / _DEPTH_STEP - 0.01) * _DEPTH_STEP, top


def _when(years, none="never, since nothing leaks", later="at the latest after {:.1f} years", now="at once"):
    """Say after how many years something comes, if ever."""
    return none if years is None else later.format(years) if years > 0 else now


def _reserve(level, bend):
    if level == bend:
        return f"Standing level and in the hardest bend alike, the reserve on the safe side {_ends(level)}."
    return f"The reserve on the safe side {_ends(level)} standing level; in the hardest bend it {_ends(bend)}."


def _ends(years):
    return _when(years, "stays, since nothing leaks", "ends after {:.1f} years", "is used up from the start")


def water_picture(result, years, held, free, look):
    """Draw how the beads fill with water and what they cannot hold; years [years], held, free [kg]."""
    total = tuple(a + b for a, b in zip(held, free, strict=True))
    last, capacity = years[-1], result.capacity
    top = next((mass for mass in _MASSES if mass >= max(1.1 * capacity, total[-1])), _MASSES[-1])
    holds = look.say("the beads can hold {capacity:mass.1/2}", result)
    in_beads = Line("", years, held, "#b89b52", width=1.0)
    middle = (0.5 * last, 0.45 * held[len(held) // 2])
    things = [
        Zone(None, in_beads, "water in the beads", "solid", at=(middle,)),
        Level(capacity, holds, style.INK, (0, (6, 2)), inside=True),
    ]
    if total[-1] > capacity:
        spots = tuple((share * last, min(0.5 * (held[-1] + total[-1]), 0.9 * top)) for share in (0.85, 0.7))
        words = Line("", years, total, style.WARNING, width=1.0)
        things.append(Zone(in_beads, words, "free water", "bad", at=spots, colour=style.WARNING))
    later = "the beads are full after {:.1f} years"
    when = _when(result.years_left, "nothing more comes in", later, "the beads are full already")
    sentence = sentence_of("water in the beads", look, result, when=when)
    strip = Strip(Axis("water", "mass", (0.0, top)), tuple(things))
    column = Column(Axis("years from now", ends=(0.0, last)), (strip,))
    return strips_picture(column, look, sentence=sentence, size=(640, 360))
