"""A run over time: temperature of every part with its limit, flow of every pump, the fault and what it leads to."""

import numpy as np

from thermo_kit.charts import style
from thermo_kit.charts.strips import Axis, Column, Level, Line, Mark, Strip, strips_picture

SIZE = (860, 500)
HOTTEST_SHOWN = 423.15
"""Temperature [K] above which a number would only be a number: no part lives there, and the model ends."""

_DOTTED = (0, (1.5, 1.5))
_FIRST = ((12, -22, "left"), (-12, -22, "right"), (12, 22, "left"), (-12, 22, "right"), (12, -50, "left"))


def run_picture(run, look, *, cursor, fault_time=None):
    """Draw the temperatures of all parts over time, with their limits, and the pumps' flows below.

    cursor [s], fault_time [s].
    """
    i, time = _nearest(run, cursor), tuple(run.time.tolist())
    flows = {branch.name: run.way_flow[branch.name] for branch in run.spec.branches if branch.pump}
    temperature, flow = _temperatures(run, look), _flow_axis(flows)
    parts, pumps = _curves(time, run.body_temperature, "o"), _curves(time, flows)
    fault = (Mark(fault_time, None, "", style.WARNING, "", dashes=_DOTTED),) if fault_time else ()
    named = (Mark(fault_time, None, "fault", style.WARNING, "", dashes=_DOTTED, places=((4, 9, "left"),)),)
    hottest = max(float(values.max()) for values in run.body_temperature.values())
    limits = tuple(
        _limit(body, style.series_style(k)[0], look)
        for k, body in enumerate(run.spec.bodies)
        if body.temperature_limit < hottest - 2.0
    )
    upper = Strip(
        temperature, (_cursor(time[i]), *_dots(time[i], run.body_temperature, i)), 0.53,
        still=(*parts, *limits, *(named if fault else ()), *_first(run, look)), settled=True,
    )  # fmt: skip
    told = Mark(time[i], None, look.text(time[i], "duration"), style.INK, "", places=((0, 14, "center"),))
    lower = Strip(flow, (told, *_dots(time[i], flows, i)), 0.20, still=(*pumps, *fault), settled=True)
    column = Column(Axis("time", "duration", (time[0], time[-1]), count=8), (upper, lower), names=150.0, event_rows=1)
    return strips_picture(column, look, sentence=run_sentence(run, look, cursor, fault_time), size=SIZE)


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


def _temperatures(run, look):
    """Return the axis of the temperatures: all parts, and the limits that are near."""
    every = np.concatenate(list(run.body_temperature.values()))
    high = float(every.max())
    near = [body.temperature_limit for body in run.spec.bodies if body.temperature_limit < high + 25.0]
    ends = float(every.min()) - 4.0, min(max([high, *near]) + 6.0, HOTTEST_SHOWN)
    return Axis("part", "temperature", ends)


def _flow_axis(flows):
    every = np.concatenate(list(flows.values())) if flows else np.zeros(1)
    return Axis(
        "flow", "mass_flow", (min(0.0, 1.15 * float(every.min())), max(1.15 * float(every.max()), 0.05)), count=3
    )


def _curves(time, values, marker=""):
    """Return the curves of parts or pumps, told apart by colour, dashes and, where there is room, markers."""
    styles = [style.series_style(k) for k in range(len(values))]
    return tuple(
        Line(name, time, tuple(one.tolist()), colour, dashes, 2.0, marker=marker and sign)
        for (name, one), (colour, dashes, sign) in zip(values.items(), styles, strict=True)
    )


def _limit(body, colour, look):
    words = f"limit of the {body.name}, {look.text(body.temperature_limit, 'temperature', 0)}"
    return Level(body.temperature_limit, words, colour, (0, (8, 3)), inside=True)


def _first(run, look):
    first = run.first_over_limit()
    if first is None:
        return ()
    words = f"{first.part} passes its limit\nat {look.text(first.time, 'duration')}"
    return (Mark(first.time, first.temperature, words, style.WARNING, "X", places=_FIRST),)


def _cursor(time):
    return Mark(time, None, "", style.INK, "", dashes=(0, (4, 2)))


def _dots(time, values, i):
    shown = (float(one[i]) for one in values.values() if one[i] <= HOTTEST_SHOWN)
    return tuple(Mark(time, value, "", style.INK, hollow=True) for value in shown)
