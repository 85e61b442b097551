"""A cycle on the pressure-enthalpy diagram: its sides, its numbered points and their uncertainty."""

import math
from dataclasses import dataclass

import numpy as np

from thermo_kit.charts import pen, style

_ORDER = {
    1: ((1, -1), (1, 0), (0, -1), (1, -2), (2, -1)),
    2: ((1, 1), (0, 1), (1, 0), (1, 2), (2, 1)),
    3: ((-1, 1), (0, 1), (-1, 0), (-1, 2), (-2, 1)),
    4: ((-1, -1), (-1, 0), (-1, 1), (-2, -1), (-1, -2)),
    5: ((-1, -1), (0, -1), (-1, 0), (-1, -2), (-2, -1)),
    6: ((0, -1), (-1, -1), (-1, -2), (0, -2), (-2, -1)),
}
_REACH = 17.0
_CIRCLE = 8.0
_SAME = 9.0


@dataclass(frozen=True)
class Mark:
    """A single state to show with a cross-hair: p [Pa absolute], h [J/kg] and what it is called."""

    p: float
    h: float
    label: str = ""


@dataclass(frozen=True)
class Badge:
    """A number on the diagram: its text and its box [px]."""

    text: str
    left: float
    bottom: float
    right: float
    top: float

    @property
    def middle(self):
        """Where the box has its centre; → [px]."""
        return (self.left + self.right) / 2, (self.bottom + self.top) / 2

    def circles(self):
        """Return the numbers of the badge, one after the other."""
        x, y = self.middle
        numbers = self.text.split()
        first = x - _CIRCLE * (len(numbers) - 1)
        return [(number, first + 2 * _CIRCLE * i, y) for i, number in enumerate(numbers)]

    def touches(self, other):
        """Tell whether two boxes share room."""
        return (
            self.left < other.right and other.left < self.right and self.bottom < other.top and other.bottom < self.top
        )


def compression_path(start, end, count=16):
    """Return the curve from compressor inlet to outlet.

    Notes: Entropy is taken to rise evenly with the logarithm of pressure, and the curve leaves and arrives with the
        slope that dh = T ds + dp/ρ asks for; in a loss-free compression it is the line of constant entropy.

    References: dh = T ds + v dp: any textbook of thermodynamics, for example Çengel & Boles, chapter on entropy.
    """
    ratio = math.log(end.p / start.p)
    u = np.linspace(0.0, 1.0, count)
    if abs(ratio) < 1e-9:
        return start.h + (end.h - start.h) * u, np.full(count, start.p)
    gain = end.s - start.s
    leave, arrive = (state.T * gain + ratio * state.p / state.rho for state in (start, end))
    h = (
        (2 * u**3 - 3 * u**2 + 1) * start.h
        + (u**3 - 2 * u**2 + u) * leave
        + (3 * u**2 - 2 * u**3) * end.h
        + (u**3 - u**2) * arrive
    )
    return h, start.p * np.exp(ratio * u)


def draw_cycle(axes, cycle, look, spreads=(), to_read=False):
    """Draw one cycle with its numbered points; spreads: the ranges in which they may lie; to_read: as `diagram`."""
    states = [point.state for point in cycle.points]
    up, down = compression_path(states[0], states[1]), _line(states[3:5])
    high, low = _line(states[1:4]), _line([*states[4:], states[0]])
    whole = [[value for line in (up, high, down, low) for value in line[k]] for k in (0, 1)]
    pen.line(axes, *whole, color=style.PLATE, linewidth=6.5, alpha=0.8)
    if spreads:
        boxes = [pen.corners(one.h_low, one.p_low, one.h_high, one.p_high) for one in spreads]
        pen.area(axes, boxes, facecolor="#f3d3e3", edgecolor=style.CYCLE, linewidth=0.9, alpha=0.75, hatch="xxxx")
    pen.line(axes, [*up[0], None, *down[0]], [*up[1], None, *down[1]], color=style.CYCLE, linewidth=2.6)
    pen.line(axes, *high, color=style.HIGH_SIDE, linewidth=3.0, linestyle=style.DASHES["high side"])
    pen.line(axes, *low, color=style.LOW_SIDE, linewidth=3.0, linestyle=style.DASHES["low side"])
    size = 4.0 if spreads else 6.5
    pen.point(axes, *_line(states), size=size, color=style.PLATE, rim=style.INK, wide=1.6)
    words = side_words(axes, cycle, look, to_read)
    plates = [(x, badge.middle[1]) for badge in words for x in (badge.left, badge.right, math.nan)]
    pen.plate(axes, *zip(*plates, strict=True))
    for badge, colour in zip(words, (style.HIGH_SIDE, style.LOW_SIDE), strict=True):
        pen.text(axes, badge.text, *badge.middle, color=colour, size=style.TEXT - 1)
    _draw_badges(axes, point_badges(axes, cycle, words))


def _line(states):
    return [state.h for state in states], [state.p for state in states]


def _draw_badges(axes, badges):
    circles = [circle for badge in badges for circle in badge.circles()]
    places = [x for _, x, _ in circles], [y for _, _, y in circles]
    rim = {"rim": style.INK, "wide": 1.1, "pixels": True, "clip_on": False}
    pen.point(axes, *places, size=2 * _CIRCLE, color=style.PLATE, **rim)
    for text, x, y in circles:
        pen.text(axes, text, x, y, size=style.TEXT - 1, bold=True)


def draw_shadow(axes, cycle, name):
    """Draw a second cycle for comparison: thin, grey, dashed, with its name."""
    states = [point.state for point in cycle.points]
    h_up, p_up = compression_path(states[0], states[1])
    back = _line([*states[2:], states[0]])
    h, p = [*h_up, *back[0]], [*p_up, *back[1]]
    pen.line(axes, h, p, color=style.SOFT_INK, linewidth=1.8, linestyle=(0, (2, 1.5)))
    middle = len(h_up) // 2
    pen.words(axes, name, h_up[middle], p_up[middle], aside=(-3.3 * len(name) - 8, 0), color=style.SOFT_INK)


def draw_mark(axes, mark, look):
    """Draw a single state with a cross-hair and its label."""
    (left, right), (bottom, top) = axes.get_xlim(), axes.get_ylim()
    cross = [left, right, None, mark.h, mark.h], [mark.p, mark.p, None, bottom, top]
    pen.line(axes, *cross, color=style.MARK, linewidth=0.9, linestyle=(0, (5, 2)))
    pen.point(axes, [mark.h], [mark.p], size=11, color="none", rim=style.CYCLE, wide=2.4)
    text = f"{look.text(mark.p, 'pressure')}, {look.text(mark.h, 'specific_enthalpy')}"
    text = f"{mark.label}\n{text}" if mark.label else text
    x, y = axes.transData.transform((mark.h, mark.p))
    across, up = axes.transAxes.inverted().transform((x, y))
    dx, ha = (-12, "right") if across > 0.6 else (12, "left")
    dy, va = (-12, "top") if up > 0.8 else (12, "bottom")
    pen.note(axes, text, x + dx, y + dy, ha=ha, va=va, colour=style.CYCLE)


def side_words(axes, cycle, look, to_read=False):
    """Return the words on the high and the low side, each with its box."""
    states = [point.state for point in cycle.points]
    high = f"high side: {look.text(cycle.condensing_pressure, 'pressure')}"
    low = f"low side: {look.text(cycle.evaporating_pressure, 'pressure')}"
    if cycle.condensing_temperature is None:
        high = high.replace("high side", "high side, gas cooler")
    elif not to_read:
        high += f", condenses at {look.text(cycle.condensing_temperature, 'temperature')}"
    if not to_read:
        low += f", boils at {look.text(cycle.evaporating_temperature, 'temperature')}"
    badges = []
    for text, side, pick, rise in ((high, states[1:4], max, 12.0), (low, (*states[4:], states[0]), min, -12.0)):
        middle = (min(s.h for s in side) + max(s.h for s in side)) / 2
        x, y = axes.transData.transform((middle, pick(s.p for s in side)))
        badges.append(_boxed(text, x, y + rise, 3.05 * len(text), 8.0))
    return badges


def point_badges(axes, cycle, taken=()):
    """Return the numbers of the points with boxes that keep clear of one another."""
    groups = []
    for point in cycle.points:
        at = axes.transData.transform((point.state.h, point.state.p))
        for group in groups:
            if math.hypot(*(at - group[0])) < _SAME:
                group[1].append(point.number)
                break
        else:
            groups.append((at, [point.number]))
    dots = [_boxed("", x, y, 3.5, 3.5) for (x, y), _ in groups]
    placed = list(taken)
    badges = []
    for (x, y), numbers in groups:
        numbers.sort()
        text = " ".join(str(number) for number in numbers)
        half = (_CIRCLE + 0.5) * len(numbers)
        candidates = [
            _boxed(text, x + dx * (_REACH - _CIRCLE + half), y + dy * _REACH, half, _CIRCLE + 0.5)
            for dx, dy in _ORDER[numbers[0]]
        ]
        free = (c for c in candidates if not any(c.touches(other) for other in (*placed, *dots)))
        badge = next(free, candidates[0])
        placed.append(badge)
        badges.append(badge)
    return badges


def _boxed(text, x, y, half_width, half_height):
    return Badge(text, x - half_width, y - half_height, x + half_width, y + half_height)
