"""What happens in a chiller after its coolant has failed: temperatures, ice and pressure over time, with events."""

from thermo_kit.charts import style
from thermo_kit.charts.strips import Axis, Column, Event, Level, Line, Mark, Strip, Zone, strips_picture
from thermo_kit.units.look import percent

_SPANS = (15.0, 30.0, 45.0, 60.0, 90.0, 120.0, 180.0, 240.0, 300.0, 600.0, 1200.0, 3600.0)
_MOST_ICE = 0.5
_DASHES = (0, (2, 2))


def freeze_story(result, look):
    """Draw the transient of a chiller whose coolant flow has failed."""
    time, last, slush = result.time, _span(result), result.spec.slush_limit
    cold, blue = style.DASHES["low side"], style.LOW_SIDE
    temperatures = (
        Line("coolant, mean", time, result.mean_coolant_temperature, style.COLD_COOLANT),
        Line("coldest plate", time, result.coldest_plate_temperature, style.INK, (0, (8, 2, 2, 2))),
        Line("refrigerant", time, result.evaporating_temperature, blue, cold),
        Level(result.freezing_point, "coolant freezes", dashes=_DASHES),
    )
    limit = (
        Zone(slush, None, "above: channel blocked", "bad", colour=style.WARNING),
        Zone(None, slush, "below: slush flows", "none", colour=style.GOOD),
        Level(slush, "", dashes=_DASHES),
    )
    end = next((k for k, t in enumerate(time) if t >= last), len(time) - 1)
    ice = (Line("", time, result.ice, style.INK, width=2.6),)
    if result.ice[end] <= 0.9 * _MOST_ICE:
        here = ((-6, 10, "right"), (-6, -10, "right"))
        ice += (Mark(min(time[end], last), result.ice[end], percent(result.ice[end]), style.INK, "", places=here),)
    pressure = Line("", time, result.evaporating_pressure, blue, cold, value=True)
    most = 1e5 * -(-max(result.evaporating_pressure) * 1.1 // 1e5)
    column = Column(
        Axis("Time after the coolant began to fail", "time", (0.0, last), count=8),
        (
            Strip(Axis("Temperature", "temperature"), temperatures, 2.0),
            Strip(Axis("Ice, % by mass", "percent", (0.0, _MOST_ICE), count=5, bare=True), ice, 1.3, still=limit),
            Strip(Axis("Low side", "pressure", (0.0, most), count=4), (pressure,)),
        ),
        names=176.0,
        events=tuple(Event(when, f"{words} {when:.1f} s", harm) for when, words, harm in story_events(result)),
        event_rows=5,
    )
    return strips_picture(column, look, sentence=story_sentence(result, look), size=(860, 660))


def story_events(result):
    """Return what happens, in order of time [s]: when, in words, whether it is harm or protection."""
    found = (
        (result.wall_below_freezing_time, "plate below freezing", True),
        (result.first_ice_time, "first ice", True),
        (result.blocked_time, "channel blocked", True),
        (result.burst_time, "plates burst", True),
        (result.valve_closed_time, "shut-off valve closed", False),
        (result.compressor_stopped_time, "compressor stops", False),
    )
    return tuple(sorted((float(row[0]), *row[1:]) for row in found if row[0] is not None))


def _span(result):
    """Return how many seconds are worth showing: all of them, unless nothing new happens for most of the time."""
    shown = result.time[-1]
    if result.outcome in ("no ice", "slush") and story_events(result):
        shown = min(shown, max(30.0, 2.5 * story_events(result)[-1][0]))
    return next((span for span in _SPANS if span >= shown - 0.5), shown)


def story_sentence(result, look):
    """Say what happens."""
    told = "; ".join(f"{words} at {time:.1f} s" for time, words, _ in story_events(result))
    coldest = look.text(min(result.coldest_plate_temperature), "temperature")
    freezing = look.text(result.freezing_point, "temperature")
    looked = f"within {result.spec.duration:.0f} s"
    most = f"At most {result.peak_ice * 100:.0f} % ice {looked}"
    end = {
        "no ice": f"No ice forms {looked}.",
        "slush": f"{most}: slush that still flows.",
        "blocked": f"{most}: a channel is blocked, the plates have not burst by then.",
        "burst": "The plates burst.",
    }[result.outcome]
    start = f"This coolant freezes at {freezing}; the coldest plate reaches {coldest}."
    return f"{start} {told[0].upper() + told[1:]}. {end}" if told else f"{start} {end}"
