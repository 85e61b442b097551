"""Words beside a point: at the first of several places where no line runs through them and no other words stand."""

import numpy as np

from thermo_kit.charts import style
from thermo_kit.charts.line_labels import resampled, text_size
from thermo_kit.charts.quick_artists import ROW, add_rows

_NEAR, _FAR = ((10, 13), (10, -13), (13, 0), (16, 26), (16, -26)), ((22, 42), (22, -42), (30, 64), (30, -64))


def _aside(offsets):
    return tuple((side * right, rise, "left" if side > 0 else "right") for right, rise in offsets for side in (1, -1))


AROUND = (
    *_aside(_NEAR),
    *((shift, rise, "center") for rise in (20, -20) for shift in (0, -36, 36)),
    *_aside(_FAR),
)
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

    def keep_off_words(self, text, x, y, *, ha="left", size=style.TEXT, bold=False):
        """Keep later words off words that have their place; x [px], y [px], size [px]."""
        self._boxes.append(_box(text, x, y, ha, size, bold))

    def write(self, text, x, y, *, places=AROUND, size=style.TEXT, bold=False, **look):
        """Write words where they are clear of all that is told, as near to the first place as can be; size [px]."""
        self.write_at_one_of(text, [(x, y)], places=places, size=size, bold=bold, **look)

    def write_at_one_of(self, text, points, *, places=AROUND, size=style.TEXT, bold=False, **look):
        """Write words that may belong to any of several points; size [px]."""
        spots = self._axes.transData.transform(np.array(points, dtype=float))
        tried = [(px + dx, py + dy, ha) for px, py in spots for dx, dy, ha in places]
        crossed = [self._crossed(_box(text, *place, size, bold)) for place in tried]
        at = tried[int(np.argmin(crossed))]
        self._boxes.append(_box(text, *at, size, bold))
        add_rows(self._axes, text, at[0], at[1], ha=at[2], size=size, bold=bold, **look)

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
    width = max(text_size(row, size, bold)[0] for row in rows)
    half = 0.5 * ROW * size * len(rows)
    left = {"left": x, "center": x - 0.5 * width, "right": x - width}[ha]
    return left - 2, y - half, left + width + 2, y + half
