"""A hot cabin that cools: its air, its seats and trim and the vent over an hour."""

from thermo_kit.charts import style
from thermo_kit.charts.strips import Axis, Column, Level, Line, Mark, Strip, strips_picture


def after_text(result):
    """Say when the cabin is cool enough."""
    if result.comfort_time is None:
        return f"not within {result.time[-1] / 60.0:.0f} min"
    return f"after {result.comfort_time / 60.0:.1f} min"


def pull_down_picture(result, look, *, wish, outside):
    """Draw the temperatures of a cabin over time; wish [K], outside [K]."""
    time, last = result.time, result.time[-1]
    told = f"cool enough at {look.text(wish, 'temperature')}: {after_text(result)}"
    cool = result.comfort_time is not None
    things = (
        Line("cabin air", time, result.air, style.AIR, width=3.0, value=True),
        Line("seats, trim", time, result.interior, "#8a6a0c", (0, (8, 2, 1.5, 2)), value=True),
        Line("vent", time, result.vent, style.LOW_SIDE, style.DASHES["low side"], value=True),
        Line("outside", (0.0, last), (outside, outside), style.SOFT_INK, (0, (1.5, 2)), 1.6, value=True),
        Level(wish, "" if cool else told, style.GOOD if cool else style.WARNING, inside=True),
    )
    if cool:
        things += (Mark(result.comfort_time, wish, told, style.GOOD, drop="x"),)
    x = Axis("time after blower and cooling have started", "duration", (0.0, last))
    strip = Strip(Axis("temperature", "temperature", count=8), things)
    sentence = _sentence(result, look, wish)
    return strips_picture(Column(x, (strip,), names=176.0), look, sentence=sentence, size=(900, 520))


def _sentence(result, look, wish):
    start, end = (look.text(result.air[k], "temperature") for k in (0, -1))
    last = f"{result.time[-1] / 60.0:.0f} min"
    cool = look.text(wish, "temperature")
    when = (
        f"is cool enough ({cool}) {after_text(result)}"
        if result.comfort_time is not None
        else f"does not come down to {cool} within {last}"
    )
    seats, vent = (look.text(values[-1], "temperature") for values in (result.interior, result.vent))
    return (
        f"The cabin starts at {start} and {when}. After {last} its air is at {end}, seats and trim at {seats}, "
        f"the vent at {vent}."
    )
