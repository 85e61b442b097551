"""Where everything of a coolant layout lies on its picture: lines, boxes, valve circles, labels that do not collide."""

import functools
import math
from dataclasses import dataclass
from itertools import pairwise

SIZE = (860, 620)
_LEFT, _TOP, _ACROSS, _DOWN = 56.0, 34.0, 7.5, 4.95
_BOX = (126.0, 52.0)
_NODE_LABEL = (98.0, 15.0)
_HOSE_LABEL = (112.0, 30.0)
_RING = 34.0


@dataclass(frozen=True)
class Line:
    """A branch as drawn: name, points [px], box (middle x, y, width, height) or None, title of the box,
    label (x, y, side) of a plain hose or None."""

    name: str
    points: tuple
    box: tuple | None
    title: str
    label: tuple | None


@dataclass(frozen=True)
class Ring:
    """A valve as drawn: name, middle, radius, ports as (port, node point, point on the ring), label (x, y, side)."""

    name: str
    middle: tuple
    radius: float
    ports: tuple
    label: tuple


@dataclass(frozen=True)
class Places:
    """A whole layout as drawn: lines, rings, nodes as (name, point, is a reservoir, label (x, y, side))."""

    lines: tuple
    rings: tuple
    nodes: tuple


def places_of(spec):
    """Return where the parts of a network are drawn."""
    bodies = {body.branch: body.name for body in spec.bodies}
    nodes = tuple((node.name, node.x, node.y, node.volume > 0.0) for node in spec.nodes)
    branches = tuple(
        (branch.name, branch.start, branch.end, branch.corners, _title(branch, bodies)) for branch in spec.branches
    )
    valves = tuple((link.name, link.x, link.y, link.nodes) for link in spec.valves)
    return _places(nodes, branches, valves)


def _title(branch, bodies):
    if branch.pump or branch.radiator or branch.chiller:
        return branch.name
    return bodies.get(branch.name, "")


def _pixel(x, y):
    return _LEFT + _ACROSS * x, _TOP + _DOWN * y


@functools.lru_cache(maxsize=32)
def _places(nodes, branches, valves):
    at = {name: _pixel(x, y) for name, x, y, _ in nodes}
    ways = [(name, (at[a], *(_pixel(*c) for c in corners), at[b]), title) for name, a, b, corners, title in branches]
    taken, boxes, rings = [], {}, []
    for name, points, title in ways:
        if title:
            others = [pair for other, lines, _ in ways if other != name for pair in pairwise(lines)]
            boxes[name] = _box(points, others, taken)
    segments = [pair for _, points, _ in ways for pair in pairwise(points)]
    for name, x, y, ports in valves:
        middle = _pixel(x, y)
        ends = [(port, at[node]) for port, node in ports]
        radius = min(_RING, 0.75 * min(math.dist(middle, end) for _, end in ends))
        edges = tuple((port, end, between(middle, end, radius / math.dist(middle, end))) for port, end in ends)
        rings.append((name, middle, radius, edges))
        taken.append(_rectangle(*middle, 2.6 * radius, 2.6 * radius))
        segments += [(end, middle) for _, end in ends]
    rings = tuple(Ring(*one, _free_place(one[1], one[2] + 14, (150.0, 32.0), taken, segments)) for one in rings)
    lines = tuple(
        Line(name, points, boxes.get(name), title, None if title else _hose_label(points, taken, segments))
        for name, points, title in ways
    )
    dots = tuple(
        (name, at[name], tank, _free_place(at[name], 16 if tank else 9, _NODE_LABEL, taken, segments))
        for name, _, _, tank in nodes
    )
    return Places(lines, rings, dots)


def between(start, end, share):
    """Return the place a share of the way from start to end; all [px]."""
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])


def longest(points):
    """Return the ends of the longest stretch of a line; points [px]."""
    return max(pairwise(points), key=lambda pair: math.dist(*pair))


def _box(points, others, taken):
    """Return the box of a part: on its longest stretch, unless another line or box lies there."""
    spots = []
    for start, end in pairwise(points):
        length, flat = math.dist(start, end), abs(end[0] - start[0]) > abs(end[1] - start[1])
        width, height = _BOX
        if flat:
            width = max(104.0, min(width, length - 36.0))
        for share in (0.5, 0.35, 0.65):
            room = length * min(share, 1 - share) - (width if flat else height) / 2
            cost = -0.02 * length + 20.0 * abs(share - 0.5) + (200.0 if room < 10 else 0.0)
            spots.append((cost, (*between(start, end, share), width, height)))
    best = min(spots, key=lambda spot: spot[0] + _crowded(_rectangle(*spot[1]), taken, 300.0, others, 1.0))[1]
    taken.append(_rectangle(*best))
    return best


def _rectangle(x, y, width, height):
    return x - width / 2, y - height / 2, x + width / 2, y + height / 2


def _hose_label(points, taken, segments):
    return _free_place(between(*longest(points), 0.5), 9, _HOSE_LABEL, taken, segments, beside=True)


def _free_place(point, gap, size, taken, segments, *, beside=False):
    """Return the place round a point where a label meets the least; it is taken from then on."""
    (x, y), (width, height) = point, size
    up = gap + height / 2
    if beside:
        spots = [(0, -up, "center"), (gap, 0, "left"), (-gap, 0, "right"), (0, up, "center")]
    else:
        spots = [
            (gap, -up + 4, "left"), (-gap, -up + 4, "right"), (gap, up - 4, "left"), (-gap, up - 4, "right"),
            (gap + 6, 0, "left"), (-gap - 6, 0, "right"), (0, -up, "center"), (0, up, "center"),
            (0, -35, "center"), (0, 35, "center"),
        ]  # fmt: skip

    def area(spot):
        dx, dy, side = spot
        middle = x + dx + {"left": 0.5, "right": -0.5, "center": 0.0}[side] * width
        return _rectangle(middle, y + dy, width, height)

    def cost(ranked):
        rank, (left, low, right, high) = ranked[0], area(ranked[1])
        outside = left < 4 or low < 4 or right > SIZE[0] - 4 or high > SIZE[1] - 60
        return rank + 200.0 * outside + _crowded((left, low, right, high), taken, 60.0, segments, 0.5)

    _, best = min(enumerate(spots), key=cost)
    taken.append(area(best))
    return x + best[0], y + best[1], best[2]


def _crowded(area, taken, of_areas, segments, of_lines):
    """Say how much of an area is taken, and how many pixels of segments lie in it; each counts as much as given."""
    left, low, right, high = area
    shared = sum(
        max(min(right, a[2]) - max(left, a[0]), 0.0) * max(min(high, a[3]) - max(low, a[1]), 0.0) for a in taken
    )
    inside = sum(_inside(area, *pair) for pair in segments)
    return of_areas * shared / ((right - left) * (high - low)) + of_lines * inside


def _inside(area, start, end):
    """Return about how many pixels of a segment lie in an area."""
    count = max(int(math.dist(start, end) / 4.0), 1)
    steps = (between(start, end, k / count) for k in range(count + 1))
    return 4 * sum(area[0] - 2 <= x <= area[2] + 2 and area[1] - 2 <= y <= area[3] + 2 for x, y in steps)
