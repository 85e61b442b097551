"""For practice: dial gauges with what else was measured, and what is expected of each topic."""

import math
from dataclasses import dataclass

from thermo_kit.charts import pen, style
from thermo_kit.charts.picture import one_layer
from thermo_kit.units.kinds import UNITS

_BAR, _PSI = (UNITS[unit].stored(1.0) for unit in ("bar", "psi"))
_WIDE, _TALL, _DIAL_ROW, _REACH = 330, 322, 22, 112.0
_START, _SWEEP = 225.0, 270.0
_STEPS = ((12.0, 1.0, 0.2, 20.0), (40.0, 5.0, 1.0, 100.0), (200.0, 20.0, 4.0, 500.0))
"""Span [bar] up to which a dial has these steps: numbers [bar], marks [bar], inner numbers [psi]."""


@dataclass(frozen=True, slots=True)
class Dial:
    """One gauge: its name, what it shows above the surrounding air [Pa], and the two ends of its scale [Pa]."""

    name: str
    shown: float
    low: float
    high: float


def gauge_pair(dials, told, *, sentence):
    """Draw gauges with rows of words below; a needle beyond its scale rests at the stop."""
    size = (_WIDE * len(dials), _TALL + _DIAL_ROW * len(told))
    return one_layer(_draw_dials, tuple(dials), tuple(told), size, sentence=sentence, size=size)


def _draw_dials(figure, dials, told, size):
    axes = pen.whole(figure)
    for number, dial in enumerate(dials):
        _draw_dial(axes, dial, _WIDE * (number + 0.5), size[1] - _TALL / 2 - 8)
    for row, words in enumerate(told):
        pen.text(axes, words, size[0] / 2, _DIAL_ROW * (len(told) - row) - 8)


def _draw_dial(axes, dial, x, y):
    colour = style.HIGH_SIDE if "high" in dial.name else style.LOW_SIDE
    _, numbers, marks, inner = next(step for step in _STEPS if step[0] * _BAR >= dial.high - dial.low)

    def at(value, radius):
        share = min(max((value - dial.low) / (dial.high - dial.low), -0.02), 1.02)
        turn = math.radians(_START - _SWEEP * share)
        return x + radius * math.cos(turn), y + radius * math.sin(turn)

    rim = [(x + 148 * math.cos(k / 30), y + 148 * math.sin(k / 30)) for k in range(189)]
    pen.area(axes, [rim], facecolor="#f8f9fa", edgecolor=style.SOFT_INK, linewidth=3.0)
    for unit, step, ends, words in ((_BAR, marks, (_REACH, _REACH - 7), 0), (_BAR, numbers, (_REACH, _REACH - 12), 17),
                                    (_PSI, inner, (78, 73), -19)):  # fmt: skip
        size = style.TEXT if unit == _BAR else style.TEXT - 1
        for k in range(math.ceil(dial.low / unit / step - 1e-9), math.floor(dial.high / unit / step + 1e-9) + 1):
            value = k * step * unit
            pen.line(axes, *zip(*(at(value, end) for end in ends), strict=True), color=style.INK, linewidth=1.2)
            if words:
                text = f"{k * step:g}".replace("-", "−")
                pen.text(axes, text, *at(value, ends[0] + words), size=size,
                         color=style.INK if unit == _BAR else style.SOFT_INK)  # fmt: skip
    side = at(dial.shown, 1.0)
    across = (y - side[1], side[0] - x)
    tip, tail = at(dial.shown, _REACH - 3), at(dial.shown, -20)
    body = [tip, *((tail[0] + 4 * s * across[0], tail[1] + 4 * s * across[1]) for s in (1, -1))]
    # Below the numbers, so that each one it crosses is still read.
    pen.area(axes, [body], facecolor=colour, edgecolor=style.INK, linewidth=0.8, zorder=2.5)
    pen.line(axes, [x], [y], marker="o", markersize=11, color=style.INK, zorder=2.6)
    pen.text(axes, dial.name, x, y - 92, color=colour, bold=True)
    pen.text(axes, "outside bar, inside psi", x, y - 110, size=style.TEXT - 1, color=style.SOFT_INK)


_WIDTH, _HEAD, _FOOT, _OUTLOOK_ROW = 640, 26, 30, 24
_LEFT, _SPAN = 250.0, 300.0


def outlook_picture(readiness):
    """Draw a topic a row."""
    size = (_WIDTH, _HEAD + _FOOT + _OUTLOOK_ROW * len(readiness.topics))
    return one_layer(_draw_outlook, readiness, size, sentence=readiness.sentence, size=size)


def _draw_outlook(figure, readiness, size):
    names = [f"{one.title}, {one.questions} questions" for one in readiness.topics]
    axes = pen.striped(figure, names, _HEAD, _OUTLOOK_ROW, fontsize=style.SMALL_TEXT)
    foot, top = size[1] - _HEAD - _OUTLOOK_ROW * len(names), size[1] - _HEAD
    mark = _LEFT + _SPAN * readiness.pass_share
    axes.plot([mark, mark], [foot, top], color=style.INK, linewidth=1.4, linestyle=(0, (5, 2)))
    axes.text(mark, top + 6, f"pass mark {readiness.pass_share * 100:.0f} %", ha="center", fontsize=style.SMALL_TEXT)
    for number, one in enumerate(readiness.topics):
        y = top - (number + 0.5) * _OUTLOOK_ROW
        low, share, high = (_LEFT + _SPAN * end for end in (one.low, one.share, one.high))
        colour = style.GOOD if one.share >= readiness.pass_share else style.WARNING
        axes.plot([low, high], [y, y], color=colour, linewidth=5, alpha=0.5, solid_capstyle="butt")
        axes.plot([share], [y], color=colour, marker="o" if one.share >= readiness.pass_share else "s", markersize=7)
        tries = f"{one.tries} tries" if one.tries else "no try yet"
        axes.text(_LEFT + _SPAN + 16, y, tries, va="center", fontsize=style.SMALL_TEXT)
    for share in (0, 0.25, 0.5, 0.75, 1):
        axes.text(_LEFT + _SPAN * share, foot - 18, f"{share * 100:.0f} %", ha="center", fontsize=style.SMALL_TEXT)
