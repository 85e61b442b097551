"""The protection of a chiller as a state chart: boxes and arrows, failed guards crossed out, the path taken heavy."""

import math
from itertools import pairwise

from thermo_kit.charts import pen, style
from thermo_kit.charts.picture import still_layer
from thermo_kit.systems.guard_table import GUARD_NAMES, TRANSITIONS, GuardEvent, GuardState

SIZE = (860, 500)
_S, _E = GuardState, GuardEvent
_HALF = (68.0, 29.0)
_COLUMNS = (96.0, 312.0, 528.0, 744.0)
_ROWS = (300.0, 170.0)
_DETOUR = 34.0
_PLACES = {
    _S.WATCHING: (0, 0, ("watching,", "valve open")),
    _S.CLOSING: (1, 0, ("valve closing",)),
    _S.FEED_SHUT: (2, 0, ("feed shut off",)),
    _S.VALVE_STUCK: (3, 0, ("valve did", "not close")),
    _S.STOPPED: (0, 1, ("stopped,", "valve open")),
    _S.STOPPED_CLOSING: (1, 1, ("stopped,", "valve closing")),
    _S.SAFE: (2, 1, ("stopped,", "feed shut off")),
    _S.STOPPED_STUCK: (3, 1, ("stopped, valve", "did not close")),
}
_VALVE = "shut-off valve"
_WORKS = ("#e4f3ee", style.GOOD, "solid", "✓ works")
_BROKEN = ("#f6d9dd", style.WARNING, (0, (4, 2)), "FAILED")


def guard_chart(steps, failed, *, outcome, note="", interlock_stops_compressor=True):
    """Draw the state chart of the protection and what it did in one case."""
    steps, failed = tuple(steps), tuple(failed)
    still = still_layer(_draw_chart, SIZE, failed, bool(interlock_stops_compressor))
    return still.under(_draw_path, steps, outcome, note, sentence=f"{_told(steps, failed, outcome)} {note}".strip())


def _told(steps, failed, outcome):
    broken = f"Failed: {' and '.join(failed)}." if failed else "No guard has failed."
    done = "; ".join(f"at {step.time:.1f} s {step.event}, now {step.state}" for step in steps)
    done = f"{done[0].upper()}{done[1:]}." if done else "No guard acts."
    return f"{broken} {done} {outcome[0].upper()}{outcome[1:]}."


def arrows(interlock_stops_compressor):
    """Return every arrow of the chart, read from the protection's own table."""
    lost = _E.FLOW_LOST if interlock_stops_compressor else _E.FLOW_LOST_CABIN_RUNS
    meaning = {
        lost: ("flow watch", "flow"),
        _E.TOO_COLD: ("cold watch", "cold"),
        _E.PRESSURE_LOW: ("pressure watch", "pressure"),
        _E.VALVE_CLOSED: (_VALVE, "closed"),
        _E.VALVE_FAILED: (None, "no move"),
    }
    found = {}
    for (start, event), end in TRANSITIONS.items():
        if event in meaning:
            found.setdefault((start, end), []).append(meaning[event])
    return {ends: tuple(causes) for ends, causes in found.items()}


def is_dead(causes, failed):
    """Return whether nothing that still works can lead along an arrow."""
    return all(_VALVE not in failed if guard is None else guard in failed for guard, _ in causes)


def _draw_chart(figure, failed, interlock_stops_compressor):
    axes = pen.whole(figure)
    _draw_guards(axes, failed)
    for words, y in (("compressor runs", _ROWS[0] + 44), ("compressor stopped", _ROWS[1] - 44)):
        axes.text(26, y, words, color=style.SOFT_INK, va="center", style="italic")
    for ends, causes in arrows(interlock_stops_compressor).items():
        _draw_arrow(axes, ends, " or ".join(word for _, word in causes), is_dead(causes, failed))
    for state in GuardState:
        _draw_box(axes, state)


def _draw_guards(axes, failed):
    for x, guard in zip(_COLUMNS, GUARD_NAMES, strict=True):
        broken = guard in failed
        face, colour, dashes, told = _BROKEN if broken else _WORKS
        edge = {"edgecolor": colour, "linestyle": dashes, "linewidth": 1.8}
        pen.round_box(axes, x - 88, 428, 176, 44, 20, facecolor=face, **edge)
        axes.text(x, 458, guard, ha="center", va="center", fontweight="bold")
        axes.text(x, 440, told, ha="center", va="center", color=colour)
        for y in ((430, 470), (470, 430)) if broken else ():
            axes.plot([x - 84, x + 84], y, color=style.WARNING, linewidth=1.8)


def _draw_box(axes, state):
    (x, y), (wide, tall), words = _middle(state), _HALF, _PLACES[state][2]
    look = {"facecolor": style.PLATE, "edgecolor": style.SOFT_INK, "linewidth": 1.4}
    pen.round_box(axes, x - wide, y - tall, 2 * wide, 2 * tall, 8, **look)
    for k, line in enumerate(words):
        axes.text(x, y + 8.5 * (len(words) - 1) - 17 * k, line, ha="center", va="center")


def _middle(state):
    column, row, _ = _PLACES[state]
    return _COLUMNS[column], _ROWS[row]


def _way(ends):
    """Return the corners of an arrow, and where its word and its number stand: (x, y, side of the place)."""
    start, end = ends
    (x0, y0), (x1, y1) = _middle(start), _middle(end)
    columns = _PLACES[end][0] - _PLACES[start][0]
    if columns == 0:
        middle = 0.5 * (y0 + y1)
        return [(x0, y0 - _HALF[1]), (x1, y1 + _HALF[1])], (x0 + 9, middle, "left"), (x0 - 9, middle, "right")
    if columns == 2:
        up = 1.0 if _PLACES[start][1] == 0 else -1.0
        level = y0 + up * (_HALF[1] + _DETOUR)
        corners = [(x0 + 30, y0 + up * _HALF[1]), (x0 + 30, level), (x1, level), (x1, y1 + up * _HALF[1])]
        return corners, (x0 + 0.3 * (x1 - x0), level + up * 10, "center"), (0.5 * (x0 + x1), level - up * 12, "center")
    if y0 == y1:
        middle = 0.5 * (x0 + x1)
        corners = [(x0 + _HALF[0], y0), (x1 - _HALF[0], y1)]
        return corners, (middle, y0 + 11, "center"), (middle, y0 - 13, "center")
    corners = [(x0 + _HALF[0] - 12, y0 - _HALF[1]), (x1 - _HALF[0] + 12, y1 + _HALF[1])]
    x, y = 0.5 * (corners[0][0] + corners[1][0]), 0.5 * (y0 + y1)
    return corners, (x + 12, y + 10, "left"), (x - 12, y - 12, "right")


def _draw_arrow(axes, ends, word, dead):
    corners, (x, y, side), _ = _way(ends)
    colour, dashes = ("#8a9099", (0, (2, 3))) if dead else (style.INK, "-")
    for first, second in pairwise(corners[:-1]):
        axes.plot(*zip(first, second, strict=True), color=colour, linewidth=1.3, linestyle=dashes)
    pen.arrow(axes, corners[-2], corners[-1], colour, wide=1.3, shrinkA=0, shrinkB=0, linestyle=dashes)
    axes.text(x, y, word, ha=side, va="center", fontsize=style.SMALL_TEXT + 0.5, color=style.SOFT_INK)
    if dead:
        (x0, y0), (x1, y1) = max(pairwise(corners), key=lambda piece: math.dist(*piece))
        cross = {"marker": "x", "markersize": 11, "markeredgewidth": 2.4, "color": style.WARNING}
        axes.plot([0.5 * (x0 + x1)], [0.5 * (y0 + y1)], **cross)


def _draw_path(axes, steps, outcome, note):
    state = GuardState.WATCHING
    _draw_visited(axes, state, last=not steps)
    for number, step in enumerate(steps, 1):
        following = GuardState(step.state)
        corners, _, (x, y, side) = _way((state, following))
        thick = {"linewidth": 6.0, "solid_capstyle": "round", "alpha": 0.75}
        pen.line(axes, *zip(*corners, strict=True), color=style.CYCLE, **thick)
        pen.point(axes, *zip(corners[-1], strict=True), marker="D", size=11, color=style.CYCLE)
        pen.text(axes, f"{number}: {step.time:.1f} s", x, y, ha=side, color=style.CYCLE, bold=True)
        state = following
        _draw_visited(axes, state, last=step is steps[-1])
    pen.text(axes, outcome[0].upper() + outcome[1:], 0.5 * SIZE[0], 34, size=style.LARGE_TEXT, bold=True,
             color=style.WARNING if "burst" in outcome else style.INK)  # fmt: skip
    if note:
        pen.text(axes, note, 0.5 * SIZE[0], 14, color=style.SOFT_INK)


def _draw_visited(axes, state, *, last):
    x, y = _middle(state)
    for grow in (0.0, 5.0) if last else (0.0,):
        w, h = _HALF[0] + grow, _HALF[1] + grow
        pen.line(axes, [x - w, x + w, x + w, x - w, x - w], [y - h, y - h, y + h, y + h, y - h], color=style.CYCLE,
                 linewidth=3.0)  # fmt: skip
