"""Where words go: along their line, at its right end, beside a point, or in rows above; never over one another."""

import math
from dataclasses import dataclass

import numpy as np

from thermo_kit.charts import pen, style

EVENT_ROWS, EVENT_ROW = 5, 15.0
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
    width, height = pen.text_size(label.text, label.size)
    points, shares = _resampled(label.line)
    if len(points) < 3:
        return
    x, y = points[:, 0], points[:, 1]
    seen = (x > window[0]) & (x < window[2]) & (y > window[1]) & (y < window[3])
    if not seen.any():
        return
    first, last = shares[seen].min(), shares[seen].max()
    span = max(last - first, 1e-9)
    lengths = _lengths(label.line)
    best_shares = [lengths[anchor] / lengths[-1] for anchor in label.anchors]
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
        away = min(abs(shares[i] - share) / span + 0.12 * rank for rank, share in enumerate(best_shares))
        cost = away + 0.15 * bend
        if label.text.startswith("−") and abs(angle) > 45.0:
            cost += 3.0  # on a steep line a minus sign looks like one more dash of the line
        if avoid and avoid[0] < x[i] < avoid[2] and avoid[1] < y[i] < avoid[3]:
            cost += 0.8
        yield cost, PlacedLabel(label.text, label.kind, label.size, float(x[i]), float(y[i]), angle, width, height)


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
    return bool(np.all(corners.min(axis=0) >= window[:2]) and np.all(corners.max(axis=0) <= window[2:]))


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


_NEAR, _FAR = ((10, 13), (10, -13), (13, 0), (16, 26), (16, -26)), ((22, 42), (22, -42), (30, 64), (30, -64))


def _aside(offsets):
    return tuple((side * right, rise, "left" if side > 0 else "right") for right, rise in offsets for side in (1, -1))


AROUND = (*_aside(_NEAR), *((shift, rise, "center") for rise in (20, -20) for shift in (0, -36, 36)), *_aside(_FAR))
"""Offsets [px] and alignment of words about their point, the best first."""


class ClearSpace:
    """What is already drawn on some axes, as far as words have to keep off it."""

    def __init__(self, axes):
        self._axes = axes
        box = axes.bbox
        self._window = (box.x0 + 2, box.y0 + 2, box.x1 - 2, box.y1 - 2)
        self._points = np.empty((0, 2))
        self._boxes = []

    def keep_off_line(self, x, y):
        """Keep later words off a line."""
        line = self._axes.transData.transform(np.column_stack([x, y]))
        self._points = np.vstack([self._points, resampled(line)])

    def keep_off_words(self, text, x, y, *, ha="left"):
        """Keep later words off words that have their place; x [px], y [px]."""
        self._boxes.append(_box(text, x, y, ha, style.TEXT, False))

    def write(self, text, *points, places=AROUND, size=style.TEXT, bold=False, **look):
        """Write words beside one of their points where they are clear of all that is told, in the first place that is;
        size [px]."""
        spots = self._axes.transData.transform(np.array(points, dtype=float))
        at, fewest = None, math.inf
        for place in ((px + dx, py + dy, ha) for px, py in spots for dx, dy, ha in places):
            crossed = self._crossed(_box(text, *place, size, bold))
            if crossed < fewest:
                at, fewest = place, crossed
            if not crossed:
                break
        self._boxes.append(_box(text, *at, size, bold))
        pen.text(self._axes, text, at[0], at[1], ha=at[2], size=size, bold=bold, **look)

    def _crossed(self, box):
        """Count what is wrong with a place: points of lines in it, other words, parts outside."""
        left, low, right, high = box
        x, y = self._points[:, 0], self._points[:, 1]
        found = int(((x > left) & (x < right) & (y > low) & (y < high)).sum())
        found += 30 * sum(left < b[2] and b[0] < right and low < b[3] and b[1] < high for b in self._boxes)
        west, south, east, north = self._window
        return found + 30 * (left < west or low < south or right > east or high > north)


def contour_label_places(axes, lines, *, lines_to_avoid=(), room=26.0):
    """Return where the labels of contour lines read best: away from the edges, from other lines and from each other.

    room [px].
    """
    window = axes.bbox
    to_pixels, others = axes.transData.transform, np.empty((0, 2))
    for x, y in lines_to_avoid:
        others = np.vstack([others, resampled(to_pixels(np.column_stack([x, y])))])
    found = []
    for path in lines.get_paths():
        pieces = [resampled(to_pixels(piece)) for piece in path.to_polygons(closed_only=False)]
        if not pieces:
            continue
        points = max(pieces, key=len)
        x, y = points[:, 0], points[:, 1]
        free = np.minimum.reduce([x - window.x0, window.x1 - x, y - window.y0, window.y1 - y])
        if len(others):
            free = np.minimum(free, np.hypot(*(points[:, None] - others[None]).T).min(axis=0))
        middle = np.abs(np.linspace(-1.0, 1.0, len(points)))
        at = points[int(np.argmax(np.minimum(free, room) - 0.2 * room * middle))]
        others = np.vstack([others, at + np.array([[-room / 2, 0], [0, 0], [room / 2, 0]])])
        found.append(tuple(axes.transData.inverted().transform(at)))
    return found


def _box(text, x, y, ha, size, bold):
    rows = text.split("\n")
    width = max(pen.text_size(row, size, bold)[0] for row in rows)
    half = 0.5 * pen.ROW * size * len(rows)
    left = {"left": x, "center": x - 0.5 * width, "right": x - width}[ha]
    return left - 2, y - half, left + width + 2, y + half


_ROUNDS = 30


def spread_apart(heights, gap, low=-math.inf, high=math.inf):
    """Move rising heights apart until each has room, as little as can be, and no further than to the ends [px].

    Examples
    --------
    >>> spread_apart([10.0, 12.0], 6.0), spread_apart([10.0, 12.0], 6.0, high=13.0)
    ([8.0, 14.0], [7.0, 13.0])
    """
    y = list(heights)
    for _ in range(_ROUNDS):
        for k in range(len(y) - 1):
            overlap = gap - (y[k + 1] - y[k])
            if overlap > 0:
                y[k], y[k + 1] = y[k] - overlap / 2, y[k + 1] + overlap / 2
    for k in reversed(range(len(y))):
        y[k] = min(y[k], high)
        high = y[k] - gap
    for k in range(len(y)):
        y[k] = max(y[k], low)
        low = y[k] + gap
    return y


def name_ends(axes, rows, x, *, gap, size=style.TEXT, high=math.inf):
    """Write each name beside the end of its line; rows: (value, name, colour); x, gap, size, high [px]."""
    left, to_pixels = axes.get_xlim()[0], axes.transData.transform
    ends = sorted((to_pixels((left, value))[1], name, colour) for value, name, colour in rows)
    heights = spread_apart([end[0] for end in ends], gap, high=high)
    for y, (_, name, colour) in zip(heights, ends, strict=True):
        pen.text(axes, name, x, y, ha="left", color=colour, size=size)


def event_rows(starts, ends, most=EVENT_ROWS):
    """Return a row for the words of each event, so that no stem of a later one runs through the words of an earlier.

    starts [px], ends [px].
    """
    rows = []
    for k in reversed(range(len(starts))):
        later = [row for row, start in zip(rows, starts[k + 1 :], strict=True) if start < ends[k]]
        rows.insert(0, min(max(later, default=-1) + 1, most - 1))
    return rows


def draw_events(axes, events, *, top, rows=EVENT_ROWS):
    """Draw each event as a line through all strips, with its words in one of so many rows above; top [px]."""
    upper = axes[0]
    right = upper.bbox.x1
    places = [upper.transData.transform((event.x, 0.0))[0] for event in events]
    wide = [pen.text_size(event.words, style.TEXT, event.harm)[0] for event in events]
    starts = [min(x + 8.0, right + 150.0 - width) for x, width in zip(places, wide, strict=True)]
    ends = [start + width + 8.0 for start, width in zip(starts, wide, strict=True)]
    strips = [(strip.bbox.y0, strip.bbox.y1) for strip in axes]
    through = [y for strip in strips for y in (*strip, None)]
    for event, x, start, row in zip(events, places, starts, event_rows(starts, ends, rows), strict=True):
        colour = style.WARNING if event.harm else style.GOOD
        y = top - EVENT_ROW * (rows - 1 - row)
        heights = [*through, strips[0][1], y - 5.0]
        pen.line(axes[-1], [None if height is None else x for height in heights], heights, pixels=True, color=colour,
                 linewidth=1.3, linestyle="solid" if event.harm else (0, (5, 2)), clip_on=False)  # fmt: skip
        pen.line(axes[-1], [x], [y], pixels=True, color=colour, marker="v" if event.harm else "s", markersize=6,
                 clip_on=False)  # fmt: skip
        pen.text(axes[-1], event.words, start, y, ha="left", color=colour, bold=event.harm)
