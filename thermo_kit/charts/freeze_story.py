"""What happens in a chiller after its coolant has failed: temperatures, ice and pressure over time, with events."""

from thermo_kit.charts import style
from thermo_kit.charts.end_names import name_ends
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks
from thermo_kit.charts.story_events import draw_events, story_events

SIZE = (860, 660)
_LEFT, _RIGHT = 74.0, 176.0
_HEIGHTS = {"temperature": (372.0, 198.0), "ice": (206.0, 130.0), "pressure": (70.0, 100.0)}
_LABEL_GAP = 15.0
_SPANS = (15.0, 30.0, 45.0, 60.0, 90.0, 120.0, 180.0, 240.0, 300.0, 600.0, 1200.0, 3600.0)
_FLOORS = tuple(273.15 + t for t in (-10.0, -20.0, -30.0, -40.0, -50.0, -60.0, -80.0))
_MOST_ICE = 0.5


def freeze_story(result, look):
    """Draw the transient of a chiller whose coolant flow has failed."""
    last = _span(result)
    lowest = min(*result.evaporating_temperature, result.freezing_point) - 2.0
    floor = next((T for T in _FLOORS if lowest >= T), lowest)
    top = 273.15 + 10.0 * -(-(result.mean_coolant_temperature[0] - 273.15 + 1.0) // 10.0)
    most = 1e5 * -(-max(result.evaporating_pressure) * 1.1 // 1e5)
    return two_layers(
        _draw_axes,
        lambda *axes: _draw(axes, result, look),
        still=(look, last, floor, top, most, result.spec.slush_limit),
        sentence=story_sentence(result, look),
        size=SIZE,
    )


def _span(result):
    """Return how many seconds are worth showing: all of them, unless nothing new happens for most of the time."""
    shown = result.time[-1]
    if result.outcome in ("no ice", "slush") and story_events(result):
        shown = min(shown, max(30.0, 2.5 * story_events(result)[-1].time))
    return next((span for span in _SPANS if span >= shown - 0.5), shown)


def story_sentence(result, look):
    """Say what happens."""
    told = "; ".join(f"{event.words} at {event.time:.1f} s" for event in story_events(result))
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


def _draw_axes(figure, look, last, floor, top, most, slush_limit):
    made = {}
    for name, (bottom, height) in _HEIGHTS.items():
        width = SIZE[0] - _LEFT - _RIGHT
        axes = figure.add_axes([_LEFT / SIZE[0], bottom / SIZE[1], width / SIZE[0], height / SIZE[1]])
        style.dress(axes)
        axes.set_xlim(0.0, last)
        set_ticks(axes.xaxis, linear_ticks(look, "time", 0.0, last, count=8))
        axes.tick_params(labelbottom=name == "pressure")
        made[name] = axes
    made["temperature"].set_ylim(floor, top)
    set_ticks(made["temperature"].yaxis, linear_ticks(look, "temperature", floor, top, count=6))
    made["temperature"].set_ylabel(axis_title("Temperature", "temperature", look))
    made["ice"].set_ylim(0.0, _MOST_ICE)
    set_ticks(made["ice"].yaxis, [(share / 10, f"{10 * share}") for share in range(0, 6, 1)])
    made["ice"].set_ylabel("Ice, % by mass")
    made["pressure"].set_ylim(0.0, most)
    set_ticks(made["pressure"].yaxis, linear_ticks(look, "pressure", 0.0, most, count=4))
    made["pressure"].set_ylabel(f"Low side, {look.sign('pressure')}")
    made["pressure"].set_xlabel("Time after the coolant began to fail, s")
    _draw_slush_limit(made["ice"], last, slush_limit)


def _draw_slush_limit(ice, last, slush_limit):
    ice.fill_between([0, last], slush_limit, _MOST_ICE, facecolor="#f6d9dd", edgecolor="#d98a96", hatch="xx", lw=0)
    ice.plot([0, last], [slush_limit] * 2, color=style.WARNING, linewidth=1.4, linestyle=(0, (2, 2)))
    right = SIZE[0] - _RIGHT + 8
    for share, words, colour in (
        (0.5 * (slush_limit + _MOST_ICE), "above: channel blocked", style.WARNING),
        (0.5 * slush_limit, "below: slush flows", style.GOOD),
    ):
        y = ice.transData.transform((0, share))[1]
        add_text(ice, words, right, y, ha="left", fontsize=style.SMALL_TEXT + 1, color=colour)


def _draw(axes, result, look):
    temperature, ice, pressure = axes
    time = result.time
    last = temperature.get_xlim()[1]
    add_line(temperature, [0, last], [result.freezing_point] * 2, color=style.WARNING, lw=1.8, linestyle=(0, (2, 2)))
    end = next((k for k, t in enumerate(time) if t >= last), len(time) - 1)
    lines = (
        ("coolant, mean", result.mean_coolant_temperature, style.COLD_COOLANT, "solid"),
        ("coldest plate", result.coldest_plate_temperature, style.INK, (0, (8, 2, 2, 2))),
        ("refrigerant", result.evaporating_temperature, style.LOW_SIDE, style.DASHES["low side"]),
    )
    for _, values, colour, dashes in lines:
        add_line(temperature, time, values, color=colour, linewidth=2.4, linestyle=dashes)
    _name_lines(temperature, lines, result.freezing_point, end)
    add_line(ice, time, result.ice, color=style.INK, linewidth=2.6)
    if result.ice[end] <= 0.9 * _MOST_ICE:
        x, y = ice.transData.transform((time[end], result.ice[end]))
        x = min(x, SIZE[0] - _RIGHT) - 6
        add_text(ice, f"{result.ice[end] * 100:.0f} %", x, y + 10, ha="right", fontweight="bold")
    add_line(pressure, time, result.evaporating_pressure, color=style.LOW_SIDE, lw=2.6, ls=style.DASHES["low side"])
    x = SIZE[0] - _RIGHT + 8
    y = pressure.transData.transform((0, result.evaporating_pressure[end]))[1]
    add_text(pressure, look.text(result.evaporating_pressure[end], "pressure"), x, y, ha="left", color=style.LOW_SIDE)
    draw_events(axes, story_events(result), top=SIZE[1] - 12.0)


def _name_lines(axes, lines, freezing, end):
    named = [(values[end], name, colour) for name, values, colour, _ in lines]
    named.append((freezing, "coolant freezes", style.WARNING))
    name_ends(axes, named, SIZE[0] - _RIGHT + 8, gap=_LABEL_GAP, size=style.SMALL_TEXT + 1)
