"""Curves told as data: lines, levels, zones and marks in strips over one x axis, in one or several columns."""

from dataclasses import dataclass, replace

from thermo_kit.charts import pen, style
from thermo_kit.charts.labels import AROUND, EVENT_ROW, ClearSpace, draw_events, name_ends
from thermo_kit.charts.picture import still_layer
from thermo_kit.charts.scales import Axis, dress, nice_ends

TONES = {
    "bad": ("#f6d9dd", "#d98a96", "xx"),
    "doubt": ("#f4efe0", "#cdbb8d", "//"),
    "good": ("#dceee8", "#93c2b2", ""),
    "full": ("#e6e0ee", "#b3a3c9", "\\\\"),
    "solid": ("#efe3c8", "#b89b52", "oo"),
    "cold": ("#eef4f8", "#b9cfe0", "..."),
}
"""Face, edge and hatch of a zone by what it means."""
DASHED = (0, (4, 3))
ALONG = (0.97, 0.75, 0.5, 0.25, 0.03)
_LEFT, _TOP, _BOTTOM, _GAP, _HEAD = 76.0, 14.0, 58.0, 26.0, 22.0
_STEEP = ((8, -10, "left"), (-8, -10, "right"), *((side * 8, -10 - 22 * k, ha) for k in (1, 2, 3, 4)
                                                  for side, ha in ((1, "left"), (-1, "right"))))  # fmt: skip


@dataclass(frozen=True)
class Line:
    """A curve with its name at the right end; `value`: the last number is written there too.

    beside: where along what is seen of it the name stands instead, as a share or several to choose from
    """

    name: str
    x: tuple
    y: tuple
    colour: str
    dashes: object = "solid"
    width: float = 2.4
    value: bool = False
    beside: tuple = ()
    marker: str = ""


@dataclass(frozen=True)
class Level:
    """A line straight across, with its words at the right end or, if `inside`, along it."""

    y: float
    words: str
    colour: str = style.WARNING
    dashes: object = DASHED
    inside: bool = False


@dataclass(frozen=True)
class Zone:
    """What lies between two curves or heights (None: the end of the axis), hatched; `span`: only from x to x.

    at: places (x, y) for the words, the best first; without them they stand to the right of the strip
    """

    below: object
    above: object
    words: str
    tone: str
    at: tuple = ()
    span: tuple | None = None
    colour: str = style.INK


@dataclass(frozen=True)
class Mark:
    """A point with its words; without `y` it is a line through the strip.

    drop: "x" leads a line down to the x axis, "xy" one more to the y axis, "" none; hollow: only a rim is drawn
    """

    x: float
    y: float | None
    words: str
    colour: str = style.CYCLE
    marker: str = "o"
    drop: str = ""
    hollow: bool = False
    dashes: object = (0, (5, 2))
    places: tuple = ()


@dataclass(frozen=True)
class Event:
    """A moment, told above all strips: where on the x axis, in words, whether it is harm or protection."""

    x: float
    words: str
    harm: bool = True


@dataclass(frozen=True)
class Strip:
    """One axes: what its y is and what is drawn in it; `still` (hashable) is drawn only when it changes.

    settled: the words of what is still are still too, and need not keep off what moves
    """

    y: Axis
    things: tuple
    tall: float = 1.0
    still: tuple = ()
    settled: bool = False


@dataclass(frozen=True)
class Column:
    """Strips over one x axis; `names` [px]: room for names to the right; events stand above."""

    x: Axis
    strips: tuple
    wide: float = 1.0
    names: float = 24.0
    heading: str = ""
    events: tuple = ()
    event_rows: int = 0


def strips_picture(columns, look, *, sentence, size=style.SIZE):
    """Draw one Column or several side by side; size [px]."""
    columns = columns if isinstance(columns, tuple) else (columns,)
    frame = tuple(_framed(column, look) for column in columns)
    still = still_layer(_draw_frame, size, frame, look, size)
    return still.under(lambda *axes: _draw_columns(axes, columns, look, size), sentence=sentence)


def _framed(column, look):
    """Return what the still layer of a column depends on."""
    strips = tuple(replace(strip, y=_with_ends(strip.y, (strip,), "y", look), things=()) for strip in column.strips)
    return replace(column, x=_with_ends(column.x, column.strips, "x", look), strips=strips, events=())


def _values(thing, name):
    value = getattr(thing, name, None)
    return value if isinstance(thing, Line) else () if value is None else (value,)


def _with_ends(axis, strips, name, look):
    if axis.ends is not None:
        return axis
    values = [float(v) for s in strips for thing in (*s.still, *s.things) for v in _values(thing, name)]
    return replace(axis, ends=nice_ends(min(values), max(values), axis.kind, look, count=axis.count))


def _draw_frame(figure, columns, look, size):
    wide, tall = size
    room = wide - sum(_LEFT + column.names for column in columns)
    left, parts = 0.0, sum(column.wide for column in columns)
    for column in columns:
        left += _LEFT
        width = room * column.wide / parts
        top = tall - _TOP - (_HEAD if column.heading else 0.0) - EVENT_ROW * column.event_rows
        if column.heading:
            pen.caption(figure, column.heading, left, tall - 20.0, fontweight="bold")
        high = (top - _BOTTOM - _GAP * (len(column.strips) - 1)) / sum(strip.tall for strip in column.strips)
        for strip in column.strips:
            height = high * strip.tall
            axes = pen.placed(figure, (left, top - height, width, height))
            dress(axes, column.x, strip.y, look)
            for thing in sorted(strip.still, key=_order):
                _draw_thing(axes, thing)
            if strip.settled:
                _tell(axes, strip.still, strip.y, look)
            if strip is not column.strips[-1]:
                axes.tick_params(labelbottom=False)
                axes.set_xlabel("")
            top -= height + _GAP
        left += width + column.names


def _draw_columns(all_axes, columns, look, size):
    left = list(all_axes)
    for column in columns:
        own, left = left[: len(column.strips)], left[len(column.strips) :]
        for axes, strip in zip(own, column.strips, strict=True):
            for thing in sorted(strip.things, key=_order):
                _draw_thing(axes, thing)
            _tell(axes, strip.things if strip.settled else (*strip.still, *strip.things), strip.y, look)
        draw_events(own, column.events, top=size[1] - 12.0, rows=column.event_rows)


def _order(thing):
    return (Zone, Level, Line, Mark).index(type(thing))


def _tell(axes, things, y_axis, look):
    """Write the words of things where they are clear of all of them."""
    space, names = ClearSpace(axes), []
    low, high = axes.get_ylim()
    for thing in things:
        if not isinstance(thing, Zone):
            for x, y in _paths(thing, axes):
                space.keep_off_line(x, [min(max(v, low), high) for v in y])
    for thing in sorted(things, key=_order, reverse=True):  # marks have the first choice
        _write(axes, thing, y_axis, look, space, names)
    name_ends(axes, names, axes.bbox.x1 + 8, gap=15.0)


def _paths(thing, axes):
    """Return the lines of a thing as (x, y) pairs."""
    (left, right), (low, high) = axes.get_xlim(), axes.get_ylim()
    if isinstance(thing, Line):
        return ((thing.x, thing.y),)
    if isinstance(thing, Level):
        return (((left, right), (thing.y, thing.y)),)
    if thing.y is None:
        return (((thing.x, thing.x), (low, high)),)
    x, y = {"": ((), ()), "x": ((thing.x,) * 2, (low, thing.y)),
            "xy": ((thing.x, thing.x, left), (low, thing.y, thing.y))}[thing.drop]  # fmt: skip
    return ((x, y),) if x else ()


def _draw_thing(axes, thing):
    if isinstance(thing, Zone):
        if thing.tone == "none":
            return
        face, edge, hatch = TONES[thing.tone]
        pen.area(axes, [_outline(thing, axes)], facecolor=face, edgecolor=edge, hatch=hatch, linewidth=0)
        return
    width = {Line: getattr(thing, "width", 0.0), Level: 1.6, Mark: 1.3}[type(thing)]
    for x, y in _paths(thing, axes):
        pen.line(axes, x, y, color=thing.colour, linestyle=thing.dashes, linewidth=width)
    if isinstance(thing, Line) and thing.marker:
        step = max(len(thing.x) // 9, 1)
        pen.point(axes, thing.x[::step], thing.y[::step], marker=thing.marker, size=5, color=thing.colour)
    if isinstance(thing, Mark) and thing.y is not None and thing.marker:
        low, high = axes.get_ylim()
        face, rim, wide = (style.PLATE, thing.colour, 2.0) if thing.hollow else (thing.colour, style.PLATE, 1.0)
        look = {"size": 10, "color": face, "rim": rim, "wide": wide, "clip_on": False, "zorder": 6}
        pen.point(axes, [thing.x], [min(max(thing.y, low), high)], marker=thing.marker, **look)


def _outline(zone, axes):
    ends, heights = zone.span or axes.get_xlim(), axes.get_ylim()
    edges = []
    for edge, end in ((zone.below, heights[0]), (zone.above, heights[1])):
        flat = end if edge is None else edge
        edges.append([*zip(edge.x, edge.y, strict=True)] if isinstance(edge, Line) else [(x, flat) for x in ends])
    return [*edges[0], *reversed(edges[1])]


def _write(axes, thing, y_axis, look, space, names):
    """Write the words of a thing, or leave its name for the right end."""
    words = thing.name if isinstance(thing, Line) else thing.words
    (left, right), (low, high) = axes.get_xlim(), axes.get_ylim()
    if isinstance(thing, Line) and thing.value:
        words = f"{words} {look.text(_end(thing, right), y_axis.kind)}".strip()
    if not words:
        return
    points, how = [], {"color": thing.colour}
    if isinstance(thing, Mark):
        bold = thing.y is not None
        points = [(thing.x, min(max(thing.y, low), high) if bold else high)]
        how |= {"places": thing.places or (AROUND if bold else _STEEP), "bold": bold}
    elif isinstance(thing, Zone) and thing.at:
        points, how["places"] = thing.at, ((0, 0, "center"), *AROUND)
    elif isinstance(thing, Zone):
        (_, a), (_, b) = (max(_outline(thing, axes), key=lambda p, s=sign: (p[0], s * p[1])) for sign in (1, -1))
        y = 0.5 * sum(axes.transData.transform((right, v))[1] for v in (a, b))
        pen.text(axes, words, axes.bbox.x1 + 8, y, ha="left", **how)
    elif isinstance(thing, Line) and thing.beside:
        seen = [(x, y) for x, y in zip(thing.x, thing.y, strict=True) if left <= x <= right and low <= y <= high]
        points = [seen[min(int(share * len(seen)), len(seen) - 1)] for share in thing.beside if seen]
    elif isinstance(thing, Level) and thing.inside:
        points = [(left + share * (right - left), thing.y) for share in ALONG]
        how["places"] = tuple((0, rise, ha) for rise in (10, -10) for ha in ("right", "center", "left"))
    else:
        end = thing.y if isinstance(thing, Level) else _end(thing, right)
        names.append((min(max(end, low), high), words, thing.colour))
    if points:
        space.write(words, *points, **how)


def _end(line, right):
    """Return the height of a line where its axis ends."""
    return next((y for x, y in zip(line.x, line.y, strict=True) if x >= right), line.y[-1])
