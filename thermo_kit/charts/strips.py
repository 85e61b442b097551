"""Curves told as data: lines, levels, zones and marks in strips over one x axis, in one or several columns."""

from dataclasses import dataclass, replace

from thermo_kit.charts import style
from thermo_kit.charts.labels import AROUND, EVENT_ROW, ClearSpace, draw_events, name_ends
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_area, add_line, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks, log_ticks, nice_ends, set_ticks

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
_NAME = style.SMALL_TEXT + 1
_STEEP = ((8, -10, "left"), (-8, -10, "right"), *((side * 8, -10 - 22 * k, ha) for k in (1, 2, 3, 4)
                                                  for side, ha in ((1, "left"), (-1, "right"))))  # fmt: skip


@dataclass(frozen=True)
class Axis:
    """What an axis measures; `ends` are whole ticks about the data where not given, `ticks` are (value, text).

    bare: the title stands as it is, without the unit
    """

    title: str
    kind: str = "ratio"
    ends: tuple | None = None
    ticks: tuple = ()
    count: int = 6
    logarithmic: bool = False
    bare: bool = False


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
    return two_layers(_draw_frame, lambda *axes: _draw_columns(axes, columns, look, size), still=(frame, look, size),
                      sentence=sentence, size=size)  # fmt: skip


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
            figure.text(left / wide, (tall - 20.0) / tall, column.heading, fontweight="bold")
        high = (top - _BOTTOM - _GAP * (len(column.strips) - 1)) / sum(strip.tall for strip in column.strips)
        for strip in column.strips:
            height = high * strip.tall
            axes = figure.add_axes((left / wide, (top - height) / tall, width / wide, height / tall))
            _dress(axes, column.x, strip.y, look)
            for thing in sorted(strip.still, key=_order):
                _draw_thing(axes, thing)
            if strip.settled:
                _tell(axes, strip.still, strip.y, look)
            axes.tick_params(labelbottom=False)
            top -= height + _GAP
        axes.tick_params(labelbottom=True)
        axes.set_xlabel(_title(column.x, look))
        left += width + column.names


def _dress(axes, x, y, look):
    style.dress(axes)
    axes.set(xscale="log" if x.logarithmic else "linear", yscale="log" if y.logarithmic else "linear")
    axes.set(xlim=x.ends, ylim=y.ends)
    for one, axis, length in ((x, axes.xaxis, axes.bbox.width), (y, axes.yaxis, axes.bbox.height)):
        if one.ticks:
            ticks = one.ticks
        elif one.logarithmic:
            ticks = log_ticks(look, one.kind, *one.ends, length, spacing=60.0 if one is x else 26.0)
        else:
            ticks = linear_ticks(look, one.kind, *one.ends, count=one.count)
        set_ticks(axis, ticks)
    title = _title(y, look)
    axes.set_ylabel(title if 6.6 * len(title) < axes.bbox.height else title.replace(" at ", "\nat "))


def _title(axis, look):
    return axis.title if axis.bare or not look.sign(axis.kind) else axis_title(axis.title, axis.kind, look)


def _draw_columns(all_axes, columns, look, size):
    left = list(all_axes)
    for column in columns:
        own, left = left[: len(column.strips)], left[len(column.strips) :]
        for axes, strip in zip(own, column.strips, strict=True):
            _draw_strip(axes, strip, look)
        draw_events(own, column.events, top=size[1] - 12.0, rows=column.event_rows)


def _order(thing):
    return (Zone, Level, Line, Mark).index(type(thing))


def _draw_strip(axes, strip, look):
    for thing in sorted(strip.things, key=_order):
        _draw_thing(axes, thing)
    _tell(axes, strip.things if strip.settled else (*strip.still, *strip.things), strip.y, look)


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
    name_ends(axes, names, axes.bbox.x1 + 8, gap=15.0, size=_NAME)


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
        add_area(axes, [_outline(thing, axes)], facecolor=face, edgecolor=edge, hatch=hatch, linewidth=0)
        return
    width = {Line: getattr(thing, "width", 0.0), Level: 1.6, Mark: 1.3}[type(thing)]
    for x, y in _paths(thing, axes):
        add_line(axes, x, y, color=thing.colour, linestyle=thing.dashes, linewidth=width)
    if isinstance(thing, Line) and thing.marker:
        step = max(len(thing.x) // 9, 1)
        add_line(axes, thing.x[::step], thing.y[::step], color=thing.colour, marker=thing.marker, markersize=5,
                 linestyle="none")  # fmt: skip
    if isinstance(thing, Mark) and thing.y is not None and thing.marker:
        low, high = axes.get_ylim()
        rim = {"markerfacecolor": style.PLATE, "markeredgecolor": thing.colour, "markeredgewidth": 2.0}
        look = rim if thing.hollow else {"color": thing.colour, "markeredgecolor": style.PLATE}
        add_line(axes, [thing.x], [min(max(thing.y, low), high)], marker=thing.marker, markersize=10,
                 linestyle="none", clip_on=False, zorder=6, **look)  # fmt: skip


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
    if isinstance(thing, Mark):
        bold = thing.y is not None
        y = high if thing.y is None else min(max(thing.y, low), high)
        space.write(words, thing.x, y, places=thing.places or (AROUND if bold else _STEEP), bold=bold,
                    color=thing.colour)  # fmt: skip
    elif isinstance(thing, Zone):
        if thing.at:
            space.write_at_one_of(words, thing.at, places=((0, 0, "center"), *AROUND), color=thing.colour, size=_NAME)
        else:
            (_, a), (_, b) = (max(_outline(thing, axes), key=lambda p, s=sign: (p[0], s * p[1])) for sign in (1, -1))
            y = 0.5 * sum(axes.transData.transform((right, v))[1] for v in (a, b))
            add_text(axes, words, axes.bbox.x1 + 8, y, ha="left", color=thing.colour, fontsize=_NAME)
    elif isinstance(thing, Line) and thing.beside:
        seen = [(x, y) for x, y in zip(thing.x, thing.y, strict=True) if left <= x <= right and low <= y <= high]
        if seen:
            points = [seen[min(int(share * len(seen)), len(seen) - 1)] for share in thing.beside]
            space.write_at_one_of(words, points, color=thing.colour, size=_NAME)
    elif isinstance(thing, Level) and thing.inside:
        points = [(left + share * (right - left), thing.y) for share in ALONG]
        aside = tuple((0, rise, ha) for rise in (10, -10) for ha in ("right", "center", "left"))
        space.write_at_one_of(words, points, places=aside, color=thing.colour, size=_NAME)
    else:
        end = thing.y if isinstance(thing, Level) else _end(thing, right)
        names.append((min(max(end, low), high), words, thing.colour))


def _end(line, right):
    """Return the height of a line where its axis ends."""
    return next((y for x, y in zip(line.x, line.y, strict=True) if x >= right), line.y[-1])
