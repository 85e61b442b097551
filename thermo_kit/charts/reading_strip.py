"""Logged readings over time, with a cursor at one moment."""

from thermo_kit.charts import style
from thermo_kit.charts.scales import nice_ends
from thermo_kit.charts.strips import Axis, Column, Line, Mark, Strip, strips_picture

_LINES = {
    "pressure": {"high side": "discharge_pressure", "low side": "suction_pressure"},
    "temperature": {
        "discharge line": "discharge_temperature",
        "liquid line": "liquid_temperature",
        "suction line": "suction_temperature",
        "evaporator outlet": "evaporator_outlet_temperature",
    },
}


_MOST = 400


def _shown(times, values):
    """Return a line with no more points than can be seen: of each stretch its extremes, so that no spike is lost."""
    stretch = len(times) // _MOST
    if stretch < 4:
        return times, values
    kept = {0, len(times) - 1}
    for start in range(0, len(times), stretch):
        part = range(start, min(start + stretch, len(times)))
        kept |= {min(part, key=values.__getitem__), max(part, key=values.__getitem__)}
    return tuple(zip(*((times[i], values[i]) for i in sorted(kept)), strict=True))


def reading_strip(log, look, *, moment):
    """Draw the pressures and temperatures of a log over time; a line that has gaps is left out; moment [s]."""
    times = log.times
    at = min(range(len(times)), key=lambda i: abs(times[i] - moment))
    skipped = [line.time for line in log.skipped if line.time is not None]
    span = times[0], times[-1] if times[-1] > times[0] else times[0] + 1.0
    strips, said = [], []
    for kind, fields in _LINES.items():
        series = {name: tuple(getattr(row.readings, field) for row in log.rows) for name, field in fields.items()}
        series = {name: values for name, values in series.items() if None not in values}
        ends = [pick(value for values in series.values() for value in values) for pick in (min, max)]
        ends = nice_ends(*ends, kind, look, count=4)
        now = [Mark(times[at], values[at], "", style.INK, hollow=True) for values in series.values()]
        now.append(Mark(times[at], None, "" if strips else look.text(times[at], "time", 0), style.INK))
        lines = [
            Line(name, *_shown(times, values), *style.series_style(i)[:2], 1.8)
            for i, (name, values) in enumerate(series.items())
        ]
        if kind == "pressure":
            lines += [Mark(time, ends[0], "", style.WARNING, "x", hollow=True) for time in skipped[:-1]]
            lines += [Mark(time, ends[0], "line not used", style.WARNING, "x", hollow=True) for time in skipped[-1:]]
        said += [f"{name} {look.text(values[at], kind)}" for name, values in series.items()]
        strips.append(Strip(Axis(kind.capitalize(), kind, ends, count=4), tuple(now), still=tuple(lines)))
    first, last, here = (look.text(time, "time", 0) for time in (times[0], times[-1], times[at]))
    told = f"{len(times)} lines of readings from {first} to {last}. At {here}: {', '.join(said)}."
    told += f" {len(skipped)} lines could not be used." if skipped else ""
    column = Column(Axis("Time", "time", span, count=8), tuple(strips), names=140.0)
    return strips_picture(column, look, sentence=told, size=(860, 380))
