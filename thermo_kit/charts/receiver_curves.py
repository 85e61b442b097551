"""Curves of the receiver: how deep the mouth must lie, how deep it lies over the years, water in the desiccant."""

import math

from thermo_kit.charts import style
from thermo_kit.charts.scales import nice_ends
from thermo_kit.charts.strips import Axis, Column, Level, Line, Mark, Strip, Zone, strips_picture
from thermo_kit.units import UnitSystem

_DEPTHS = (0.04, 0.06, 0.09, 0.13, 0.2, 0.3, 0.5, 1.0)
_MASSES = (0.004, 0.006, 0.01, 0.015, 0.025, 0.04, 0.08, 0.15, 0.3)
_DEPTH_STEP = 0.05


def depth_picture(curves, look, *, words=None):
    """Draw the two published depths against flow, with the operating point; words: told at it instead."""
    flows, most = curves.flows, curves.flows[-1]
    top = nice_ends(0.0, max(curves.safe[-1], curves.depth), "length", look, steps=_DEPTHS)[1]
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
    sentence = (
        f"With {look.text(curves.mass_flow, 'mass_flow')} through a bore of {look.text(curves.bore, 'length')} "
        f"the surface dips into the mouth at {look.text(curves.onset_here, 'length')}; on the safe side are "
        f"{look.text(curves.safe_here, 'length')} and more. "
        f"The mouth lies {look.text(curves.depth, 'length')} deep: {curves.regime}."
    )
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
            things.append(Mark(first, _read(years, line, first), told, colour, marker))
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


def _read(years, depths, year):
    import numpy as np

    return float(np.interp(year, years, depths))


def water_picture(result, years, held, free, look):
    """Draw how the beads fill with water and what they cannot hold; years [years], held, free [kg]."""
    total = tuple(a + b for a, b in zip(held, free, strict=True))
    last, capacity = years[-1], result.capacity
    top = min(nice_ends(0.0, max(1.1 * capacity, total[-1]), "mass", look, steps=_MASSES)[1], _MASSES[-1])

    def grams(value):
        return look.text(value, "mass", 1 if look.system is UnitSystem.SI else 2)

    in_beads = Line("", years, held, "#b89b52", width=1.0)
    middle = (0.5 * last, 0.45 * held[len(held) // 2])
    things = [
        Zone(None, in_beads, "water in the beads", "solid", at=(middle,)),
        Level(capacity, f"the beads can hold {grams(capacity)}", style.INK, (0, (6, 2)), inside=True),
    ]
    if total[-1] > capacity:
        spots = tuple((share * last, min(0.5 * (held[-1] + total[-1]), 0.9 * top)) for share in (0.85, 0.7))
        words = Line("", years, total, style.WARNING, width=1.0)
        things.append(Zone(in_beads, words, "free water", "bad", at=spots, colour=style.WARNING))
    if result.years_left is None:
        when = "nothing more comes in"
    elif result.years_left > 0:
        when = f"the beads are full after {result.years_left:.1f} years"
    else:
        when = "the beads are full already"
    sentence = (
        f"The beads can hold {grams(capacity)} of water and hold {grams(result.held_at_start)} at the start; {when}."
    )
    strip = Strip(Axis("water", "mass", (0.0, top)), tuple(things))
    column = Column(Axis("years from now", ends=(0.0, last)), (strip,))
    return strips_picture(column, look, sentence=sentence, size=(640, 360))
