"""Axes in display units: the data stay SI, the ticks stand at round numbers of the unit that is shown."""

import math
from dataclasses import dataclass

from matplotlib.ticker import NullLocator

from thermo_kit.charts import style

QUARTERS = tuple((k / 4, f"{25 * k}") for k in range(5))
"""Ticks of a share, or of a way, in per cent."""
_LADDER = (1.0, 2.0, 5.0, 3.0, 1.5, 4.0, 2.5, 8.0, 6.0, 7.0)
_LEVEL, _ROOM = 1e-4, 0.01


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


def dress(axes, x, y, look):
    """Give axes the house look, and the ends, ticks and title of the Axis x and the Axis y."""
    style.dress(axes)
    axes.set(xscale="log" if x.logarithmic else "linear", yscale="log" if y.logarithmic else "linear")
    axes.set(xlim=x.ends, ylim=y.ends, xlabel=titled(x, look))
    for one, axis, length in ((x, axes.xaxis, axes.bbox.width), (y, axes.yaxis, axes.bbox.height)):
        set_ticks(axis, ticks_of(one, look, length, spacing=60.0 if one is x else 26.0))
    title = titled(y, look)
    axes.set_ylabel(title if 6.6 * len(title) < axes.bbox.height else title.replace(" at ", "\nat "))


def ticks_of(axis, look, length, *, spacing):
    """Return the ticks of an Axis, its own or round numbers of the unit shown; length, spacing [px]."""
    if axis.ticks:
        return axis.ticks
    if axis.logarithmic:
        return log_ticks(look, axis.kind, *axis.ends, length, spacing=spacing)
    return linear_ticks(look, axis.kind, *axis.ends, count=axis.count)


def titled(axis, look):
    """Return the title of an Axis: the quantity, its unit and, for a gauge away from sea level, the altitude."""
    title, sign = axis.title, look.sign(axis.kind)
    if sign and not axis.bare:
        title = f"{title}, {sign}"
        if look.kind(axis.kind) == "gauge_pressure" and look.altitude:
            title += f" at {look.text(look.altitude, 'altitude')}"
    return title


def log_ticks(look, kind, low, high, length, *, spacing=26.0):
    """Choose round display numbers for a logarithmic axis of stored values.

    low [SI unit of the kind], high [SI unit of the kind], length [px], spacing [px].

    Notes: A gauge scale has its zero at the local atmosphere, so its round numbers are not evenly spread.
    """
    per_log = length / math.log(high / low)
    shown_low, shown_high = look.number(low, kind), look.number(high, kind)
    top_decade = math.ceil(math.log10(max(abs(shown_low), abs(shown_high))))
    wanted = [0.0] + [
        sign * digit * 10.0**decade
        for digit in _LADDER
        for decade in range(top_decade, top_decade - 7, -1)
        for sign in (1.0, -1.0)
    ]
    kept = []
    for number in wanted:
        value = look.stored(number, kind)
        if low <= value <= high and all(abs(math.log(value / other)) * per_log >= spacing for other, _ in kept):
            kept.append((value, _text(number)))
    return sorted(kept)


def linear_ticks(look, kind, low, high, *, count=8):
    """Choose round display numbers for an even axis of stored values.

    low [SI unit of the kind], high [SI unit of the kind].
    """
    first, last = look.number(low, kind), look.number(high, kind)
    step = tick_step(first, last, count)
    start, end = math.ceil(first / step - 1e-9), math.floor(last / step + 1e-9)
    return [(look.stored(k * step, kind), _text(k * step)) for k in range(start, end + 1)]


def nice_ends(low, high, kind, look, *, count=6):
    """Widen a range to each second tick of the unit shown, so that a still layer changes only now and then.

    low, high [SI unit of the kind].

    Examples
    --------
    >>> from thermo_kit.units.look import Look
    >>> nice_ends(0.0, 4.3, "ratio", Look())
    (0.0, 6.0)
    >>> nice_ends(800.0, 800.0001, "ratio", Look())
    (790.0, 810.0)
    """
    first, last = (look.number(value, kind) for value in (low, high))
    if last - first <= _LEVEL * max(abs(first), abs(last)):
        # A level line, but for the last digits of its numbers: an axis whose ticks can be told apart.
        room = _ROOM * max(abs(first), abs(last))
        first, last = (first - room, last + room) if room else (0.0, 1.0)
    step = tick_step(first, last, max(count / 2, 2))
    ends = math.floor(first / step + 1e-9), math.ceil(last / step - 1e-9)
    return tuple(look.stored(end * step, kind) for end in ends)


def tick_step(first, last, count):
    """Return the round step that divides a range best into so many; first, last in the unit shown."""
    rough = (last - first) / count
    decade = 10.0 ** math.floor(math.log10(rough))
    return min((digit * decade for digit in (1.0, 2.0, 2.5, 5.0, 10.0)), key=lambda s: abs(math.log(s / rough)))


def set_ticks(axis, ticks):
    """Put ticks on an axis, and none between them."""
    axis.set_minor_locator(NullLocator())
    axis.set_ticks([value for value, _ in ticks], [text for _, text in ticks])


def _text(number):
    return f"{round(number, 6) + 0.0:{',.0f' if abs(number) >= 1e3 else 'g'}}".replace("-", "−")
