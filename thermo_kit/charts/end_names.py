"""Names at the right ends of lines; those that would collide move apart."""

from thermo_kit.charts import style
from thermo_kit.charts.quick_artists import add_text

_ROUNDS = 30


def spread_apart(heights, gap):
    """Move neighbours apart until each has room, as little as can be; heights [px], gap [px] → [px].

    Examples
    --------
    >>> spread_apart([10.0, 12.0], 6.0)
    [8.0, 14.0]
    """
    y = list(heights)
    for _ in range(_ROUNDS):
        for k in range(len(y) - 1):
            overlap = gap - (y[k + 1] - y[k])
            if overlap > 0:
                y[k], y[k + 1] = y[k] - overlap / 2, y[k + 1] + overlap / 2
    return y


def name_ends(axes, rows, x, *, gap, size=style.TEXT):
    """Write each name beside the end of its line; x [px], gap [px], size [px]."""
    ends = sorted((axes.transData.transform((0.0, value))[1], name, colour) for value, name, colour in rows)
    for y, (_, name, colour) in zip(spread_apart([end[0] for end in ends], gap), ends, strict=True):
        add_text(axes, name, x, y, ha="left", color=colour, fontsize=size)
