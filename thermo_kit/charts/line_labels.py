"""Where the labels of many lines go: along their line, turned with it, and never over one another."""

import functools
import math
from dataclasses import dataclass

import numpy as np

STEP = 6.0
GAP = 2.0
MOST_BEND = 3.0


@dataclass(frozen=True)
class WantedLabel:
    """A label that looks for a place: its text and size, its line in pixels, and where along it reads best."""

    text: str
    kind: str
    size: float
    line: np.ndarray
    anchors: tuple[int, ...]


@dataclass(frozen=True)
class PlacedLabel:
    """A label that has its place: centre [px], angle [degrees], width and height [px]."""

    text: str
    kind: str
    size: float
    x: float
    y: float
    angle: float
    width: float
    height: float

    def corners(self, gap=0.0):
        """Return the four corners of the label's box; gap [px] → [px]."""
        turn = math.radians(self.angle)
        along = np.array([math.cos(turn), math.sin(turn)]) * (self.width / 2 + gap)
        across = np.array([-math.sin(turn), math.cos(turn)]) * (self.height / 2 + gap)
        centre = np.array([self.x, self.y])
        turns = (along + across, across - along, -along - across, along - across)
        return np.array([centre + offset for offset in turns])


@functools.lru_cache(maxsize=2048)
def text_size(text, size, bold=False):
    """Return how much room a text takes, measured with the font it is laid out in; size [px] → [px]."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    font = FontProperties(family="DejaVu Sans", size=size, weight="bold" if bold else "normal")
    width, _, _ = text_to_path.get_text_width_height_descent(text, font, ismath=False)
    return width, size


def overlap(first, second):
    """Tell whether two boxes, turned as they may be, share any room; first [px], second [px]."""
    for box in (first, second):
        for i in (0, 1):
            edge = box[i + 1] - box[i]
            normal = np.array([-edge[1], edge[0]])
            a, b = first @ normal, second @ normal
            if a.max() <= b.min() or b.max() <= a.min():
                return False
    return True


def place_labels(wanted, *, window, taken=(), avoid=None, obstacles=None):
    """Find a place for each label, best places first; a label that fits nowhere is left out.

    window [px], avoid [px], obstacles [px].
    """
    placed = list(taken)
    boxes = [label.corners(GAP) for label in placed]
    found = []
    for label in wanted:
        best = None
        for cost, candidate in sorted(_candidates(label, window, avoid), key=lambda pair: pair[0]):
            if best is not None and cost >= best[0]:
                break
            corners = candidate.corners(GAP)
            if not _inside(corners, window) or any(_near(corners, box) and overlap(corners, box) for box in boxes):
                continue
            covered = 0 if obstacles is None else _covered(candidate, obstacles, label.line)
            total = cost + 0.05 * covered
            if best is None or total < best[0]:
                best = (total, candidate, corners)
        if best is not None:
            found.append(best[1])
            boxes.append(best[2])
    return found


def _candidates(label, window, avoid):
    """Yield (cost, place) along the part of the line that is seen."""
    width, height = text_size(label.text, label.size)
    points, shares = _resampled(label.line)
    if len(points) < 3:
        return
    x, y = points[:, 0], points[:, 1]
    seen = (x > window[0]) & (x < window[2]) & (y > window[1]) & (y < window[3])
    if not seen.any():
        return
    first, last = shares[seen].min(), shares[seen].max()
    span = max(last - first, 1e-9)
    best_shares = [_share_of(label, anchor) for anchor in label.anchors]
    half = math.ceil(0.5 * width / STEP)
    for i in np.flatnonzero(seen):
        a, b = points[max(0, i - half)], points[min(len(points) - 1, i + half)]
        chord = b - a
        length = math.hypot(*chord)
        if length < 0.75 * width:
            continue
        bend = np.abs(np.cross(np.append(chord, 0), np.append(points[i] - a, 0))[2]) / length
        if bend > MOST_BEND:
            continue
        # Steep text reads from below upwards, as on the axis title.
        angle = (math.degrees(math.atan2(chord[1], chord[0])) + 65.0) % 180.0 - 65.0
        away = min(
            abs(shares[i] - share) / span + 0.12 * rank for rank, share in enumerate(best_shares) if share is not None
        )
        cost = away + 0.15 * bend
        if label.text.startswith("−") and abs(angle) > 45.0:
            cost += 3.0  # on a steep line a minus sign looks like one more dash of the line
        if avoid and avoid[0] < x[i] < avoid[2] and avoid[1] < y[i] < avoid[3]:
            cost += 0.8
        yield cost, PlacedLabel(label.text, label.kind, label.size, float(x[i]), float(y[i]), angle, width, height)


def _share_of(label, anchor):
    lengths = _lengths(label.line)
    return lengths[anchor] / lengths[-1] if lengths[-1] > 0 else None


def _lengths(line):
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])


def _resampled(line):
    lengths = _lengths(line)
    if lengths[-1] < STEP:
        return line[:1], np.zeros(1)
    at = np.linspace(0.0, lengths[-1], int(lengths[-1] / STEP) + 1)
    return np.column_stack([np.interp(at, lengths, line[:, 0]), np.interp(at, lengths, line[:, 1])]), at / lengths[-1]


def resampled(line):
    """Return points evenly spaced along a line, a few pixels apart; line [px] → [px]."""
    return _resampled(line)[0]


def _inside(corners, window):
    return (
        corners[:, 0].min() >= window[0]
        and corners[:, 0].max() <= window[2]
        and corners[:, 1].min() >= window[1]
        and corners[:, 1].max() <= window[3]
    )


def _near(a, b):
    return bool(np.all(a.min(axis=0) <= b.max(axis=0)) and np.all(b.min(axis=0) <= a.max(axis=0)))


def _covered(place, obstacles, own_line):
    turn = math.radians(place.angle)
    offset = obstacles - (place.x, place.y)
    along = offset @ (math.cos(turn), math.sin(turn))
    across = offset @ (-math.sin(turn), math.cos(turn))
    inside = (np.abs(along) < place.width / 2) & (np.abs(across) < place.height / 2)
    # The label's own line passes through its middle over its whole width; that is not an obstacle.
    return max(0, int(inside.sum()) - int(place.width / STEP))
