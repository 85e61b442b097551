"""Where everything lies on the picture of a condenser core: passes, headers, separators, receiver, pipes."""

from dataclasses import dataclass
from itertools import pairwise

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

    @property
    def start_side(self):
        """Side on which it begins."""
        return "left" if self.rightward else "right"

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
