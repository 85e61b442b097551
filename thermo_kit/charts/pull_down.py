"""A hot cabin that cools: its air, its seats and trim and the vent over an hour."""

from thermo_kit.charts import style
from thermo_kit.charts.end_names import name_ends
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks

SIZE = (900, 520)
_BOX = (70.0, 62.0, 640.0, 420.0)
_GAP = 17.0


def after_text(result):
    """Say when the cabin is cool enough."""
    if result.comfort_time is None:
        return f"not within {result.time[-1] / 60.0:.0f} min"
    return f"after {result.comfort_time / 60.0:.1f} min"


def pull_down_picture(result, look, *, wish, outside):
    """Draw the temperatures of a cabin over time; wish [K], outside [K]."""
    top = max(*result.air, *result.interior)
    low = 10.0 * ((min(*result.vent, wish) - 273.15 - 1.0) // 10.0)
    window = (low + 273.15, 10.0 * -(-(top - 273.15 + 1.0) // 10.0) + 273.15)
    return two_layers(
        _draw_still,
        lambda axes: _draw(axes, result, look, wish, outside),
        sentence=_sentence(result, look, wish),
        still=(window, result.time[-1], look),
        size=SIZE,
    )


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


def _draw_still(figure, window, last, look):
    left, low, wide, tall = _BOX
    axes = figure.add_axes((left / SIZE[0], low / SIZE[1], wide / SIZE[0], tall / SIZE[1]))
    style.dress(axes)
    axes.set(xlim=(0.0, last), ylim=window)
    set_ticks(axes.xaxis, linear_ticks(look, "duration", 0.0, last, count=6))
    set_ticks(axes.yaxis, linear_ticks(look, "temperature", *window, count=8))
    axes.set_xlabel("time after blower and cooling have started, min")
    axes.set_ylabel(axis_title("temperature", "temperature", look))


def _draw(axes, result, look, wish, outside):
    time, last = result.time, result.time[-1]
    lines = (
        ("cabin air", time, result.air, style.AIR, "solid", 3.0),
        ("seats, trim", time, result.interior, "#8a6a0c", (0, (8, 2, 1.5, 2)), 2.2),
        ("vent", time, result.vent, style.LOW_SIDE, style.DASHES["low side"], 2.2),
        ("outside", (0.0, last), (outside, outside), style.SOFT_INK, (0, (1.5, 2)), 1.6),
    )
    for _, x, y, colour, dashes, width in lines:
        add_line(axes, x, y, color=colour, linestyle=dashes, linewidth=width)
    add_line(axes, [0, last], [wish, wish], color=style.GOOD, linewidth=1.4, linestyle=(0, (4, 3)))
    left, low = axes.transAxes.transform((0, 0))
    right, wished = axes.transData.transform((last, wish))
    told = f"cool enough at {look.text(wish, 'temperature')}"
    if result.comfort_time is None:
        add_text(
            axes,
            f"{told}: {after_text(result)}",
            left + 200,
            wished - 11,
            ha="left",
            color=style.WARNING,
            fontweight="bold",
        )
    else:
        x = axes.transData.transform((result.comfort_time, wish))[0]
        add_line(axes, [x, x], [wished, low], pixels=True, color=style.GOOD, linewidth=1.6)
        add_line(
            axes,
            [x],
            [wished],
            pixels=True,
            color=style.GOOD,
            marker="o",
            markersize=10,
            linestyle="none",
            markeredgecolor=style.PLATE,
        )
        ha, at = ("left", x + 9) if x < 0.6 * right else ("right", x - 9)
        add_text(axes, f"{told}: {after_text(result)}", at, low + 16, ha=ha, color=style.GOOD, fontweight="bold")
    ends = [(y[-1], f"{name} {look.text(y[-1], 'temperature')}", colour) for name, _, y, colour, *_ in lines]
    name_ends(axes, ends, right + 10, gap=_GAP)
