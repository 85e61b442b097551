"""Coolant: pump and loop, a run over time, and the freezing curve of its mixture."""

import numpy as np

from thermo_kit.charts import style
from thermo_kit.charts.labels import AROUND
from thermo_kit.charts.strips import Axis, Column, Level, Line, Mark, Strip, Zone, strips_picture
from thermo_kit.charts.told import sentence_of
from thermo_kit.units.look import percent

_PUMP_SIZE = (860, 430)
_PALE = "#dd9a8a"
# Straight below the crossing both curves have drawn apart; near the floor there is room above instead.
_BELOW = ((10, -116, "left"), (10, -92, "left"), (-10, -78, "right"), (10, 56, "left"), *AROUND)


def operating_picture(curves, look, *, point_shown=True):
    """Draw what the pump gives and what the loop takes."""
    ends = (0.0, round(1.12 * curves.pump.shut_off_head * 9.80665 * 1090.0, -3))
    x = Axis("flow", "volume_flow", (0.0, curves.flows[-1]), count=8)
    things = (*_lines(curves, ends[1]), *(_point(curves, look, ends[1]) if point_shown else ()))
    strip = Strip(Axis("pressure", "pressure_difference", ends), things)
    if not point_shown:
        sentence = "Pump curve and loop curve cross once: where?"
        return strips_picture(Column(x, (strip,), names=250.0), look, sentence=sentence, size=_PUMP_SIZE)
    columns = (Column(x, (strip,), 2.0, names=10.0), _shares(curves, look, ends[1]))
    return strips_picture(columns, look, sentence=operating_sentence(curves, look), size=_PUMP_SIZE)


def operating_sentence(curves, look):
    """Say where pump and loop agree."""
    if curves.point is None:
        return "The pump lifts nothing: no flow, no operating point."
    name, most = max(curves.shares, key=lambda share: share[1])
    total = sum(value for _, value in curves.shares)
    return sentence_of("pump and loop", look, curves.point, share=most / total, name=name)


def _lines(curves, top):
    """Return the curves as far as they are in sight."""

    def line(name, pressures, colour, dashes, width, at):
        seen = [pair for pair in zip(curves.flows, pressures, strict=True) if 0.0 <= pair[1] <= top] or [(0.0, 0.0)]
        x, y = zip(*seen, strict=True)
        return Line(name if max(y) > 0.0 else "", x, y, colour, dashes, width, beside=at)

    lines = [
        line("the pump gives", curves.pump_pressure, style.LIQUID, "solid", 2.4, (0.7, 0.4)),
        line("the loop takes", curves.loop_pressure, style.HIGH_SIDE, (0, (6, 2)), 2.4, (0.92, 0.8)),
    ]
    if curves.pump_pressure != curves.healthy_pressure:
        words = "pump, healthy, full speed"
        lines.append(line(words, curves.healthy_pressure, style.SOFT_INK, (0, (1.5, 2)), 1.4, (0.5, 0.3)))
    return lines


def _point(curves, look, top):
    if curves.point is None:
        words = "no flow: the pump lifts nothing"
        centre = ((0, 0, "center"), (0, 40, "center"))
        return (Mark(0.5 * curves.flows[-1], 0.06 * top, words, style.WARNING, "", places=centre),)
    flow, pressure = curves.point.volume_flow, curves.point.pressure_rise
    words = f"{look.text(flow, 'volume_flow')}\n{look.text(pressure, 'pressure_difference')}"
    return (Mark(flow, pressure, words, style.INK, drop="xy", hollow=True, dashes=(0, (4, 3)), places=_BELOW),)


def _shares(curves, look, top):
    """Return a bar for each part of the loop, as long as the pressure lost in it."""
    rows = [row for row in curves.shares if row[1] > 0.0]
    things = []
    for place, (name, value) in enumerate(reversed(rows)):
        text = look.text(value, "pressure_difference")
        things.append(Line("", (0.0, value), (place, place), _PALE, width=11.0))
        things.append(Mark(0.0, place, f"{name}, {text}", style.INK, "", places=((4, 17, "left"),)))
    end = 0.5 * top if max((value for _, value in rows), default=0.0) < 0.45 * top else 1.02 * top
    x = Axis("lost at this flow", "pressure_difference", (0.0, end), count=4)
    y = Axis("", ends=(-0.6, max(len(rows), 1) - 0.2), ticks=((-0.6, ""),), bare=True)
    return Column(x, (Strip(y, tuple(things)),), 1.0, heading="pressure lost, by part")


_RUN_SIZE = (860, 500)
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
    here = Mark(time[i], None, "", style.INK, "", dashes=(0, (4, 2)))
    still = (*parts, *limits, *(named if fault else ()), *_first(run, look))
    upper = Strip(temperature, (here, *_dots(time[i], run.body_temperature, i)), 0.53, still=still, settled=True)
    told = Mark(time[i], None, look.text(time[i], "duration"), style.INK, "", places=((0, 14, "center"),))
    lower = Strip(flow, (told, *_dots(time[i], flows, i)), 0.20, still=(*pumps, *fault), settled=True)
    column = Column(Axis("time", "duration", (time[0], time[-1]), count=8), (upper, lower), names=150.0, event_rows=1)
    return strips_picture(column, look, sentence=run_sentence(run, look, cursor, fault_time), size=_RUN_SIZE)


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


def _dots(time, values, i):
    shown = (float(one[i]) for one in values.values() if one[i] <= HOTTEST_SHOWN)
    return tuple(Mark(time, value, "", style.INK, hollow=True) for value in shown)


def mixture_picture(curve, reading, state, plan, coldest, look):
    """Draw a mixture on the freezing curve; coldest [K]."""
    shares, points = curve
    right, low, high = shares[-1], points[-1] - 3.0, 280.15
    freezes = Line("", shares, points, style.LIQUID)
    beside = ((0, 0, "center"), (-140, 0, "center"), (100, -22, "center"))
    still = (
        freezes,
        Zone(None, freezes, "", "cold"),
        Mark(0.3 * right, low + 4.0, "slush: ice crystals in stronger glycol", style.INK, "",
             places=((0, 0, "center"), (0, 20, "center"), (0, 50, "center"))),
        Mark(0.72 * right, 271.0, "liquid", style.INK, "", places=beside),
        Mark(0.0, points[0], "line: freezing point, the first ice", style.LIQUID, "",
             places=((40, 22, "left"), (200, 4, "left"))),
    )  # fmt: skip
    band = (reading.warmest_freezing_point, reading.coldest_freezing_point)
    # The curve falls to the right: there is room above it to the right, and below it to the left.
    aside = ((12, 17, "left"), (-12, -19, "right"), *AROUND)
    things = [Line("", (reading.volume_fraction,) * 2, band, style.WARM_COOLANT, width=5.0)]
    if low < coldest < high:
        night, here = f"coldest night {look.text(coldest, 'temperature', 0)}", reading.volume_fraction
        colour = style.GOOD if state.condition == "liquid" else style.WARNING
        things += [
            Level(coldest, night, style.INK, (0, (6, 3)), inside=True),
            Mark(here, coldest, "", colour, "X"),
            # A stem under the cross, since words keep off lines only.
            Line("", (here, here), (coldest - 1.0, coldest + 1.0), colour, width=2.0),
        ]
    for told, marker, name in ((reading, "o", "in the loop"), (plan, "s", "after topping up")):
        words = f"{name}: {percent(told.volume_fraction)}, {look.text(told.freezing_point, 'temperature', 0)}"
        things.append(
            Mark(told.volume_fraction, told.freezing_point, words, style.INK, marker, hollow=True, places=aside)
        )
    x = Axis("glycol in the mixture, % by volume", "percent", (0.0, right), bare=True)
    strip = Strip(Axis("temperature", "temperature", (low, high), count=8), tuple(things), still=still)
    named = {"kind": reading.kind.capitalize(), "coldest": coldest, "state": state, "plan": plan}
    sentence = sentence_of("mixture", look, reading, **named)
    return strips_picture(Column(x, (strip,)), look, sentence=sentence, size=(760, 440))
