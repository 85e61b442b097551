"""Logged readings over time, with a cursor at one moment."""

from dataclasses import dataclass

import numpy as np

from thermo_kit.charts import style
from thermo_kit.charts.labels import name_ends
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks

SIZE = (860, 380)
_BOXES = {"pressure": (0.085, 0.58, 0.755, 0.38), "temperature": (0.085, 0.125, 0.755, 0.40)}
_LABEL_GAP = 14.0


@dataclass(frozen=True)
class Series:
    """One line of the strip: its name, kind ("pressure" or "temperature") and values [Pa absolute or K]."""

    name: str
    kind: str
    values: tuple[float, ...]


def reading_strip(times, series, look, *, cursor=None, skipped=()):
    """Draw logged pressures and temperatures over time; times [s], cursor [s], skipped [s]."""
    times, series, skipped = tuple(times), tuple(series), tuple(skipped)
    return two_layers(
        _draw_strips,
        lambda *axes: _draw_cursor(axes, times, series, look, cursor),
        still=(times, series, look, skipped),
        sentence=_sentence(times, series, look, cursor, skipped),
        size=SIZE,
    )


def _draw_strips(figure, times, series, look, skipped):
    last = times[-1] if times[-1] > times[0] else times[0] + 1.0
    for kind, box in _BOXES.items():
        axes = figure.add_axes(box)
        style.dress(axes)
        shown = [one for one in series if one.kind == kind]
        values = np.concatenate([one.values for one in shown])
        low, high = float(values.min()), float(values.max())
        room = 0.12 * max(high - low, 1.0)
        axes.set(xlim=(times[0], last), ylim=(low - room, high + room))
        set_ticks(axes.yaxis, linear_ticks(look, kind, *axes.get_ylim(), count=4))
        axes.set_ylabel(f"{kind.capitalize()}, {look.sign(kind)}")
        for number, one in enumerate(shown):
            colour, dashes, _ = style.series_style(number)
            axes.plot(times, one.values, color=colour, linestyle=dashes, linewidth=1.8)
        _name_lines(axes, shown)
        set_ticks(axes.xaxis, linear_ticks(look, "time", times[0], last, count=8))
        if kind == "pressure":
            axes.tick_params(labelbottom=False)
            _draw_skipped(axes, skipped)
        else:
            axes.set_xlabel(axis_title("Time", "time", look))


def _name_lines(axes, shown):
    rows = [(one.values[-1], one.name, style.series_style(number)[0]) for number, one in enumerate(shown)]
    right = axes.transAxes.transform((1.0, 0.0))[0]
    name_ends(axes, rows, right + 6, gap=_LABEL_GAP, size=style.SMALL_TEXT + 0.5)


def _draw_skipped(axes, skipped):
    if not skipped:
        return
    bottom = axes.get_ylim()[0]
    axes.plot(skipped, [bottom] * len(skipped), "x", color=style.WARNING, markersize=7, clip_on=False)
    axes.annotate(
        "× line not used", (1.0, 0.0), (6, -4), xycoords="axes fraction", textcoords="offset points",
        fontsize=style.SMALL_TEXT, color=style.WARNING,
    )  # fmt: skip


def _draw_cursor(axes_of_kind, times, series, look, cursor):
    if cursor is None:
        return
    i = _nearest(times, cursor)
    for axes, kind in zip(axes_of_kind, _BOXES, strict=True):
        add_line(axes, [times[i]] * 2, axes.get_ylim(), color=style.INK, linewidth=1.4, linestyle=(0, (4, 2)))
        values = [one.values[i] for one in series if one.kind == kind]
        add_line(
            axes, [times[i]] * len(values), values, linestyle="none", marker="o", markersize=7,
            markerfacecolor=style.PLATE, markeredgecolor=style.INK, markeredgewidth=1.5,
        )  # fmt: skip
    x, y = axes_of_kind[0].transData.transform((times[i], axes_of_kind[0].get_ylim()[1]))
    half = SIZE[0] * _BOXES["pressure"][0] + 30
    add_text(
        axes_of_kind[0], look.text(times[i], "time", 0), max(x, half), y + 6, fontsize=style.TEXT, fontweight="bold"
    )


def _nearest(times, moment):
    return int(np.argmin(np.abs(np.asarray(times) - moment)))


def _sentence(times, series, look, cursor, skipped):
    told = [
        f"{len(times)} lines of readings from {look.text(times[0], 'time', 0)} to {look.text(times[-1], 'time', 0)}."
    ]
    if cursor is not None:
        i = _nearest(times, cursor)
        values = ", ".join(f"{one.name} {look.text(one.values[i], one.kind)}" for one in series)
        told.append(f"At {look.text(times[i], 'time', 0)}: {values}.")
    if skipped:
        told.append(f"{len(skipped)} lines could not be used.")
    return " ".join(told)
