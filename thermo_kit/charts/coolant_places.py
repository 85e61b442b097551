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
    taken, boxes = [], []
    for name, points, title in ways:
        others = [pair for other, lines, _ in ways if other != name for pair in _pairs(lines)]
        boxes.append(_box(points, others, taken) if title else None)
    segments = [pair for _, points, _ in ways for pair in _pairs(points)]
    rings = []
    for name, x, y, ports in valves:
        middle = _pixel(x, y)
        radius = min(_RING, 0.75 * min(math.dist(middle, at[node]) for _, node in ports))
        rings.append(
            (name, middle, radius, tuple((port, at[node], _edge(middle, at[node], radius)) for port, node in ports))
        )
        taken.append(_rectangle(*middle, 2.6 * radius, 2.6 * radius))
        segments += [(at[node], middle) for _, node in ports]
    rings = tuple(
        Ring(name, middle, radius, ports, _free_place(middle, radius + 14, (150.0, 32.0), taken, segments))
        for name, middle, radius, ports in rings
    )
    labels = [
        None if box else _hose_label(points, taken, segments) for (_, points, _), box in zip(ways, boxes, strict=True)
    ]
    lines = tuple(
        Line(name, points, box, title, label)
        for (name, points, title), box, label in zip(ways, boxes, labels, strict=True)
    )
    dots = tuple(
        (name, at[name], tank, _free_place(at[name], 16 if tank else 9, _NODE_LABEL, taken, segments))
        for name, _, _, tank in nodes
    )
    return Places(lines, rings, dots)


def _pairs(points):
    return list(pairwise(points))


def _longest(points):
    return max(_pairs(points), key=lambda pair: math.dist(*pair))


def _box(points, others, taken):
    """Return the box of a part: on its longest stretch, unless another line or box lies there."""
    best = None
    for start, end in _pairs(points):
        length, flat = math.dist(start, end), abs(end[0] - start[0]) > abs(end[1] - start[1])
        width, height = _BOX
        if flat:
            width = max(104.0, min(width, length - 36.0))
        for share in (0.5, 0.35, 0.65):
            x, y = start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])
            area = _rectangle(x, y, width, height)
            room = length * min(share, 1 - share) - (width if flat else height) / 2
            cost = -0.02 * length + 20.0 * abs(share - 0.5) + (200.0 if room < 10 else 0.0)
            cost += 300.0 * sum(_overlap(area, other) for other in taken) / (width * height)
            cost += sum(_inside(area, *pair) for pair in others)
            if best is None or cost < best[0]:
                best = (cost, (x, y, width, height), area)
    taken.append(best[2])
    return best[1]


def _edge(middle, point, radius):
    share = radius / math.dist(middle, point)
    return tuple(m + share * (p - m) for m, p in zip(middle, point, strict=True))


def _rectangle(x, y, width, height):
    return x - width / 2, y - height / 2, x + width / 2, y + height / 2


def _hose_label(points, taken, segments):
    (x1, y1), (x2, y2) = _longest(points)
    return _free_place(((x1 + x2) / 2, (y1 + y2) / 2), 9, _HOSE_LABEL, taken, segments, beside=True)


def _free_place(point, gap, size, taken, segments, *, beside=False):
    """Return the place round a point where a label meets the least; it is taken from then on."""
    x, y = point
    width, height = size
    up = gap + height / 2
    if beside:
        spots = [(0, -up, "center"), (gap, 0, "left"), (-gap, 0, "right"), (0, up, "center")]
    else:
        spots = [
            (gap, -up + 4, "left"), (-gap, -up + 4, "right"), (gap, up - 4, "left"), (-gap, up - 4, "right"),
            (gap + 6, 0, "left"), (-gap - 6, 0, "right"), (0, -up, "center"), (0, up, "center"),
            (0, -35, "center"), (0, 35, "center"),
        ]  # fmt: skip
    best = None
    for rank, (dx, dy, side) in enumerate(spots):
        left = x + dx - {"left": 0.0, "right": width, "center": width / 2}[side]
        area = (left, y + dy - height / 2, left + width, y + dy + height / 2)
        cost = rank + 60.0 * sum(_overlap(area, other) for other in taken) / (width * height)
        cost += sum(0.5 * _inside(area, *pair) for pair in segments)
        if area[0] < 4 or area[1] < 4 or area[2] > SIZE[0] - 4 or area[3] > SIZE[1] - 60:
            cost += 200.0
        if best is None or cost < best[0]:
            best = (cost, (x + dx, y + dy, side), area)
    taken.append(best[2])
    return best[1]


def _overlap(one, other):
    width = min(one[2], other[2]) - max(one[0], other[0])
    height = min(one[3], other[3]) - max(one[1], other[1])
    return width * height if width > 0 and height > 0 else 0.0


def _inside(area, start, end):
    """Return about how many pixels of a segment lie in an area."""
    count = max(int(math.dist(start, end) / 4.0), 1)
    steps = [
        (start[0] + (end[0] - start[0]) * k / count, start[1] + (end[1] - start[1]) * k / count)
        for k in range(count + 1)
    ]
    return 4 * sum(area[0] - 2 <= x <= area[2] + 2 and area[1] - 2 <= y <= area[3] + 2 for x, y in steps)
