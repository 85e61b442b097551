"""A condenser core laid out, and what stands still on its picture: headers, separators, receiver, lines, arrows."""

from dataclasses import dataclass
from itertools import pairwise

from thermo_kit.charts import style
from thermo_kit.charts.shapes import add_box, whole

SIZE = (900, 610)
LEFT, RIGHT, BOTTOM, TOP = 160.0, 560.0, 86.0, 540.0
HEADER = 22.0
LABELS = 690.0
_VESSEL = 46.0


@dataclass(frozen=True)
class PassBox:
    """One pass: number from 1; tubes; bottom and top [px]; whether it runs to the right."""

    number: int
    tubes: int
    bottom: float
    top: float
    rightward: bool

    @property
    def middle(self):
        """Middle height [px]."""
        return 0.5 * (self.bottom + self.top)

    @property
    def end_side(self):
        """Side on which it ends."""
        return "right" if self.rightward else "left"

    def across(self, position):
        """Return the place of a share of the way; position [-] → [px]."""
        share = position if self.rightward else 1.0 - position
        return LEFT + share * (RIGHT - LEFT)


@dataclass(frozen=True)
class CoreLayout:
    """A core laid out: passes in flow order; receiver_after: pass number or None; separators: (side, height [px])."""

    passes: tuple[PassBox, ...]
    receiver_after: int | None
    separators: tuple[tuple[str, float], ...]

    @property
    def vessel(self):
        """The receiver's box: left, bottom, width, height [px], or None."""
        if self.receiver_after is None:
            return None
        feeds = self.passes[self.receiver_after - 1]
        left = RIGHT + HEADER + 36 if feeds.rightward else LEFT - HEADER - 36 - _VESSEL
        top = BOTTOM + 0.52 * (TOP - BOTTOM)
        if not feeds.rightward:
            # The vapour comes in from the left: the vessel stays below that line.
            top = max(min(top, self.passes[0].middle - 34), BOTTOM + 70)
        return left, BOTTOM, _VESSEL, top - BOTTOM


def header_middle(side):
    """Return the middle of a header; → [px]."""
    return LEFT - HEADER / 2 if side == "left" else RIGHT + HEADER / 2


def layout_of(tubes, spans, receiver_after):
    """Lay out a core; spans [-]."""
    tall = TOP - BOTTOM
    passes = tuple(
        PassBox(number, count, TOP - bottom * tall, TOP - top * tall, number % 2 == 1)
        for number, (count, (top, bottom)) in enumerate(zip(tubes, spans, strict=True), start=1)
    )
    return CoreLayout(passes, receiver_after, tuple(_separators(passes, receiver_after)))


def _separators(passes, receiver_after):
    """A header is shut between two neighbours unless the refrigerant turns from one into the other there."""
    down = sorted(passes, key=lambda box: -box.top)
    for upper, lower in pairwise(down):
        turns = lower.number == upper.number + 1 and upper.number != receiver_after
        for side in ("left", "right"):
            if not (turns and side == upper.end_side):
                yield side, upper.bottom


_METAL, _EDGE = "#e4e8ec", "#6b747d"
_LARGE, _SMALL = 9.0, 4.5


def draw_frame(figure, layout):
    """Draw everything that does not depend on the state of the refrigerant."""
    axes = whole(figure, SIZE)
    for left in (LEFT - HEADER, RIGHT):
        add_box(axes, left, BOTTOM - 6, left + HEADER, TOP + 6, facecolor=_METAL, edgecolor=_EDGE, linewidth=1.4)
    for side, height in layout.separators:
        left = LEFT - HEADER if side == "left" else RIGHT
        add_box(
            axes, left - 2, height - 2, left + HEADER + 2, height + 2, facecolor=style.INK, edgecolor="none", zorder=5
        )
    _inlet(axes, layout)
    _turns(axes, layout)
    if layout.receiver_after is not None:
        _receiver(axes, layout)
    _outlet(axes, layout)
    _titles(axes, layout)


def _pipe(axes, xs, ys, *, wide, colour, zorder=2.0):
    ends = {"solid_capstyle": "butt", "solid_joinstyle": "miter"}
    axes.plot(xs, ys, color=_EDGE, linewidth=wide + 2.4, zorder=zorder, **ends)
    axes.plot(xs, ys, color=colour, linewidth=wide, zorder=zorder + 0.1, **ends)
    _arrow(axes, (xs[-2], ys[-2]), (xs[-1], ys[-1]))


def _arrow(axes, start, end, *, zorder=6):
    axes.annotate(
        "", end, start,
        arrowprops={
            "arrowstyle": "-|>", "color": style.INK, "lw": 1.6, "shrinkA": 0, "shrinkB": 0, "mutation_scale": 13,
        },
        zorder=zorder,
    )  # fmt: skip


def _inlet(axes, layout):
    height = layout.passes[0].middle
    _pipe(axes, [8, LEFT - HEADER], [height, height], wide=_LARGE, colour="#f3e2b8", zorder=3)
    axes.text(8, height + 12, "in, larger line:\nhot vapour", fontsize=style.SMALL_TEXT + 1, va="bottom", zorder=9)


def _turns(axes, layout):
    for before, after in pairwise(layout.passes):
        if before.number == layout.receiver_after:
            continue
        side = before.end_side
        middle = header_middle(side)
        if abs(before.bottom - after.top) < 1e-6:
            reach = 0.5 * min(before.top - before.bottom, after.top - after.bottom, 60.0)
            start, end = before.bottom + reach, after.top - reach
            _arrow(axes, (middle, start), (middle, end))
        else:
            _around(axes, side, before.middle, after.middle)


def _around(axes, side, start, end):
    out = LEFT - HEADER - 20 if side == "left" else RIGHT + HEADER + 20
    edge = LEFT - HEADER if side == "left" else RIGHT + HEADER
    _pipe(axes, [edge, out, out, edge], [start, start, end, end], wide=_SMALL, colour="#a9d3ec")


def _receiver(axes, layout):
    left, bottom, wide, tall = layout.vessel
    feeds = layout.passes[layout.receiver_after - 1]
    right_hand = feeds.rightward
    edge = RIGHT + HEADER if right_hand else LEFT - HEADER
    near = left if right_hand else left + wide
    top = bottom + tall
    height = min(max(feeds.middle, bottom + 0.72 * tall), top - 12)
    between = edge + (18 if right_hand else -18)
    if abs(height - feeds.middle) < 1e-6:
        _pipe(axes, [edge, near], [height, height], wide=_LARGE, colour="#cfe9f8")
    else:
        _pipe(axes, [edge, between, between, near], [feeds.middle] * 2 + [height] * 2, wide=_LARGE, colour="#cfe9f8")
    _vessel(axes, left, bottom, wide, tall)
    if layout.receiver_after == len(layout.passes):
        return
    after = layout.passes[layout.receiver_after]
    mouth, middle = bottom + 8, left + 0.5 * wide
    if after.middle < height - 20 and after.middle < bottom + 0.45 * tall:
        low = min(max(after.middle, mouth), bottom + 0.4 * tall)
        _pipe(axes, [middle, middle, edge], [mouth, low, low], wide=_SMALL, colour="#7fb8dc")
        if abs(low - after.middle) > 6:
            _arrow(axes, (edge, low), (edge, after.middle))
    else:
        over = max(after.middle, top + 12)
        _pipe(axes, [middle, middle, edge], [mouth, over, over], wide=_SMALL, colour="#7fb8dc")


def _vessel(axes, left, bottom, wide, tall):
    from matplotlib.patches import FancyBboxPatch

    shape = {"boxstyle": "round,pad=0,rounding_size=9", "zorder": 1}
    axes.add_patch(FancyBboxPatch((left, bottom), wide, tall, facecolor=style.PLATE, edgecolor=_EDGE, lw=2.2, **shape))
    liquid = {"facecolor": "#7fb8dc", "edgecolor": "#0a4f78", "hatch": style.HATCHES["liquid"], "linewidth": 0}
    add_box(axes, left + 2, bottom + 4, left + wide - 2, bottom + 4 + 0.46 * tall, zorder=1.5, **liquid)
    axes.text(left + 0.27 * wide, bottom + 0.6 * tall, "receiver", ha="center", va="bottom", rotation=90,
              fontsize=style.SMALL_TEXT + 1, zorder=9)  # fmt: skip


def _outlet(axes, layout):
    last = layout.passes[-1]
    if layout.receiver_after == len(layout.passes):
        left, bottom, wide, _ = layout.vessel
        middle = left + 0.5 * wide
        _pipe(axes, [middle, middle], [bottom + 8, 34], wide=_SMALL, colour="#7fb8dc")
        x, y = middle + 10, 44
    else:
        side = last.end_side
        edge = LEFT - HEADER if side == "left" else RIGHT + HEADER
        out = edge + (-14 if side == "left" else 14)
        upward = last.number > 1 and last.middle > layout.passes[0].middle
        end = TOP + 42 if upward else 36
        _pipe(axes, [edge, out, out], [last.middle, last.middle, end], wide=_SMALL, colour="#7fb8dc")
        x, y = (out + 10, end - 8) if upward else (max(out + 10, LEFT if side == "left" else 0), end + 4)
    axes.text(x, y, "out, smaller line: liquid", fontsize=style.SMALL_TEXT + 1, va="center")


def _titles(axes, layout):
    words = "the core from the front; air flows into the page"
    if layout.separators:
        words += "; black bars: separators in the headers"
    axes.text(LEFT - HEADER, SIZE[1] - 6, words, va="top", fontsize=style.SMALL_TEXT + 1, color=style.SOFT_INK)
