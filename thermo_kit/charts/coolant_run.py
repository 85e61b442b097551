"""A run over time: temperature of every part with its limit, flow of every pump, the fault and what it leads to."""

import numpy as np

from thermo_kit.charts import style
from thermo_kit.charts.labels import ClearSpace, name_ends
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks

SIZE = (860, 500)
_UPPER, _LOWER = (0.085, 0.40, 0.73, 0.53), (0.085, 0.11, 0.73, 0.20)
_NAME_GAP = 15.0
HOTTEST_SHOWN = 423.15
"""Temperature [K] above which a number would only be a number: no part lives there, and the model ends."""

_ALONG = (0.86, 0.7, 0.5, 0.3, 0.14)
_BESIDE = ((0, 9, "center"), (0, -9, "center"))


def run_picture(run, look, *, cursor, fault_time=None):
    """Draw the temperatures of all parts over time, with their limits, and the pumps' flows below.

    cursor [s], fault_time [s].
    """
    return two_layers(
        _draw_strips, lambda *axes: _draw_cursor(axes, run, look, cursor), still=(run, look, fault_time),
        sentence=run_sentence(run, look, cursor, fault_time), size=SIZE,
    )  # fmt: skip


def run_sentence(run, look, cursor, fault_time=None):
    """Say what the run shows at a moment, and which part passes its limit first; cursor [s], fault_time [s]."""
    i = _nearest(run, cursor)
    values = ", ".join(f"{name} {part_text(t[i], look)}" for name, t in run.body_temperature.items())
    first = run.first_over_limit()
    if first is None:
        told = "No part passes its limit."
    else:
        told = f"First over its limit: {first.part}, at {look.text(first.time, 'duration')}"
        if fault_time and first.time >= fault_time:
            told += f", {look.text(first.time - fault_time, 'duration')} after the fault"
        told += "."
    return f"At {look.text(run.time[i], 'duration')}: {values}. {told}"


def part_text(temperature, look):
    """Write the temperature of a part, but no figure beyond what the model can know; temperature [K]."""
    if temperature > HOTTEST_SHOWN:
        return f"above {look.text(HOTTEST_SHOWN, 'temperature', 0)}"
    return look.text(temperature, "temperature")


def _nearest(run, moment):
    return int(np.argmin(np.abs(run.time - moment)))


def _pumps(run):
    return [branch.name for branch in run.spec.branches if branch.pump]


def _draw_strips(figure, run, look, fault_time):
    upper, lower = figure.add_axes(_UPPER), figure.add_axes(_LOWER)
    named = _draw_temperatures(upper, run, look)
    _draw_pump_flows(lower, run, look)
    for axes in (upper, lower):
        axes.set_xlim(run.time[0], run.time[-1])
        set_ticks(axes.xaxis, linear_ticks(look, "duration", run.time[0], run.time[-1]))
    upper.tick_params(labelbottom=False)
    lower.set_xlabel(axis_title("time", "duration", look))
    if fault_time:
        for axes in (upper, lower):
            axes.axvline(fault_time, color=style.WARNING, linewidth=1.4, linestyle=(0, (1.5, 1.5)))
        upper.annotate("fault", (fault_time, 1.0), (4, 3), xycoords=("data", "axes fraction"),
                       textcoords="offset points", color=style.WARNING, fontsize=style.TEXT)  # fmt: skip
    space = _space_of(upper, run, named, fault_time)
    _draw_first(upper, space, run, look)
    for limit, words, colour in named:
        points = [(run.time[0] + share * (run.time[-1] - run.time[0]), limit) for share in _ALONG]
        space.write_at_one_of(words, points, places=_BESIDE, color=colour, size=style.SMALL_TEXT + 0.5)
    _name_ends(
        upper, [(name, t[-1], style.series_style(k)[0]) for k, (name, t) in enumerate(run.body_temperature.items())]
    )
    _name_ends(lower, [(name, run.way_flow[name][-1], style.series_style(k)[0]) for k, name in enumerate(_pumps(run))])


def _draw_temperatures(axes, run, look):
    style.dress(axes)
    every = np.concatenate(list(run.body_temperature.values()))
    limits = {body.name: body.temperature_limit for body in run.spec.bodies}
    low, high = float(every.min()), float(every.max())
    named, near = [], [limit for limit in limits.values() if limit < high + 25.0]
    low, high = low - 4.0, min(max([high, *near]) + 6.0, HOTTEST_SHOWN)
    axes.set_ylim(low, high)
    set_ticks(axes.yaxis, linear_ticks(look, "temperature", low, high, count=6))
    axes.set_ylabel(axis_title("part", "temperature", look))
    for k, (name, values) in enumerate(run.body_temperature.items()):
        colour, dashes, marker = style.series_style(k)
        axes.plot(run.time, values, color=colour, linestyle=dashes, linewidth=2.0, marker=marker, markersize=5,
                  markevery=max(len(run.time) // 9, 1))  # fmt: skip
        if limits[name] < high - 2.0:
            axes.plot(run.time[[0, -1]], [limits[name]] * 2, color=colour, linewidth=1.0, linestyle=(0, (8, 3)))
            named.append((limits[name], f"limit of the {name}, {look.text(limits[name], 'temperature', 0)}", colour))
    return named


def _space_of(axes, run, named, fault_time):
    """Return what words have to keep off: temperatures, limits, the moment of the fault."""
    low, high = axes.get_ylim()
    space = ClearSpace(axes)
    for values in run.body_temperature.values():
        space.keep_off_line(run.time, np.clip(values, low, high))
    for limit, _, _ in named:
        space.keep_off_line(run.time[[0, -1]], [limit] * 2)
    if fault_time:
        space.keep_off_line([fault_time] * 2, [low, high])
    return space


def _draw_pump_flows(axes, run, look):
    style.dress(axes)
    flows = {name: run.way_flow[name] for name in _pumps(run)}
    every = np.concatenate(list(flows.values())) if flows else np.zeros(1)
    low, high = min(0.0, 1.15 * float(every.min())), max(1.15 * float(every.max()), 0.05)
    axes.set_ylim(low, high)
    set_ticks(axes.yaxis, linear_ticks(look, "mass_flow", low, high, count=3))
    axes.set_ylabel(axis_title("flow", "mass_flow", look))
    for k, values in enumerate(flows.values()):
        colour, dashes, _ = style.series_style(k)
        axes.plot(run.time, values, color=colour, linestyle=dashes, linewidth=2.0)


def _draw_first(axes, space, run, look):
    first = run.first_over_limit()
    if first is None:
        return
    limit = next(body.temperature_limit for body in run.spec.bodies if body.name == first.part)
    axes.plot([first.time], [limit], marker="X", markersize=13, color=style.WARNING, markeredgecolor=style.PLATE)
    words = f"{first.part} passes its limit\nat {look.text(first.time, 'duration')}"
    places = ((12, -22, "left"), (-12, -22, "right"), (12, 22, "left"), (-12, 22, "right"), (12, -50, "left"))
    space.write(words, first.time, limit, places=places, bold=True, color=style.WARNING)


def _name_ends(axes, rows):
    top = axes.get_ylim()[1]
    x = axes.transData.transform((axes.get_xlim()[1], 0))[0]
    name_ends(axes, [(min(value, top), name, colour) for name, value, colour in rows], x + 7, gap=_NAME_GAP)


def _draw_cursor(all_axes, run, look, cursor):
    upper, lower = all_axes
    i = _nearest(run, cursor)
    for axes in all_axes:
        add_line(axes, [run.time[i]] * 2, axes.get_ylim(), color=style.INK, linewidth=1.4, linestyle=(0, (4, 2)))
    _dots(upper, run.time[i], [values[i] for values in run.body_temperature.values()])
    _dots(lower, run.time[i], [run.way_flow[name][i] for name in _pumps(run)])
    x, _ = lower.transData.transform((run.time[i], 0.0))
    y = lower.transData.transform((0.0, lower.get_ylim()[1]))[1]
    add_text(lower, look.text(run.time[i], "duration"), min(max(x, 100), 660), y + 14, fontsize=style.TEXT,
             fontweight="bold")  # fmt: skip


def _dots(axes, time, values):
    add_line(
        axes, [time] * len(values), values, linestyle="none", marker="o", markersize=7, markerfacecolor=style.PLATE,
        markeredgecolor=style.INK, markeredgewidth=1.5,
    )  # fmt: skip
