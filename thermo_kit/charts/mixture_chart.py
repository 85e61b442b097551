"""The freezing curve of a glycol with the mixture in the loop, the mixture wanted and the coldest night."""

from thermo_kit.charts import style
from thermo_kit.charts.labels import AROUND, ClearSpace
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks

SIZE = (760, 440)


def mixture_picture(curve, reading, state, plan, coldest, look):
    """Draw a mixture on the freezing curve; coldest [K]."""
    sentence = (
        f"{reading.kind.capitalize()}, {100 * reading.volume_fraction:.0f} % by volume: freezes at "
        f"{look.text(reading.freezing_point, 'temperature')}, the instrument allows "
        f"{look.text(reading.warmest_freezing_point, 'temperature')} to "
        f"{look.text(reading.coldest_freezing_point, 'temperature')}. At {look.text(coldest, 'temperature', 0)} it is "
        f"{state.condition}. After topping up: {100 * plan.volume_fraction:.0f} %, freezes at "
        f"{look.text(plan.freezing_point, 'temperature')}."
    )
    return two_layers(
        _draw_curve, lambda axes: _draw_mixtures(axes, curve, reading, state, plan, coldest, look), sentence=sentence,
        still=(curve, look), size=SIZE,
    )  # fmt: skip


def _draw_curve(figure, curve, look):
    axes = figure.add_axes((0.105, 0.135, 0.865, 0.82))
    style.dress(axes)
    low, high = curve.freezing_points[-1] - 3.0, 280.15
    shares, points = curve.volume_fractions, curve.freezing_points
    axes.set(xlim=(0.0, shares[-1]), ylim=(low, high))
    ticks = [share / 100 for share in range(0, 61, 10) if share / 100 <= shares[-1]]
    axes.set_xticks(ticks, [f"{100 * share:.0f}" for share in ticks])
    set_ticks(axes.yaxis, linear_ticks(look, "temperature", low, high))
    axes.set_xlabel("glycol in the mixture, % by volume")
    axes.set_ylabel(axis_title("temperature", "temperature", look))
    axes.fill_between(shares, points, low, facecolor="#eef4f8", hatch="...", edgecolor="#b9cfe0", linewidth=0)
    axes.plot(shares, points, color=style.LIQUID, linewidth=2.4)
    axes.text(0.04, 0.93, "line: freezing point, the first ice", transform=axes.transAxes, color=style.LIQUID)


def _draw_mixtures(axes, curve, reading, state, plan, coldest, look):
    right = axes.get_xlim()[1]
    low, high = axes.get_ylim()
    space = ClearSpace(axes)
    space.keep_off_line(curve.volume_fractions, curve.freezing_points)
    if low < coldest < high:
        add_line(axes, [0.0, right], [coldest] * 2, color=style.INK, linewidth=1.3, linestyle=(0, (6, 3)))
        space.keep_off_line([0.0, right], [coldest] * 2)
        space.keep_off_line([reading.volume_fraction] * 2, [coldest - 1.0, coldest + 1.0])
        points = [(share * right, coldest) for share in (0.99, 0.6, 0.32)]
        words = f"coldest night {look.text(coldest, 'temperature', 0)}"
        space.write_at_one_of(words, points, places=((0, 9, "right"), (0, -9, "right")))
        add_line(
            axes, [reading.volume_fraction], [coldest], linestyle="none", marker="X", markersize=12,
            color=style.GOOD if state.condition == "liquid" else style.WARNING, markeredgecolor=style.PLATE,
        )  # fmt: skip
    add_line(
        axes, [reading.volume_fraction] * 2, [reading.warmest_freezing_point, reading.coldest_freezing_point],
        color=style.WARM_COOLANT, linewidth=5, alpha=0.55,
    )  # fmt: skip
    _point(axes, space, reading, "o", "in the loop", look)
    _point(axes, space, plan, "s", "after topping up", look)
    _name_regions(space, right, low)


def _name_regions(space, right, low):
    big = {"size": style.LARGE_TEXT, "bold": True}
    at_top = [(share * right, 271.0) for share in (0.72, 0.5, 0.9)]
    space.write_at_one_of("liquid", at_top, places=((0, 0, "center"), (0, -22, "center")), **big)
    below = [(0.08 * right, low + lift) for lift in (4.0, 2.0, 7.0, 11.0)]
    space.write_at_one_of("slush: ice crystals in stronger glycol", below, places=((0, 0, "left"),), **big)


def _point(axes, space, told, marker, name, look):
    share, temperature = told.volume_fraction, told.freezing_point
    add_line(axes, [share], [temperature], linestyle="none", marker=marker, markersize=10, markerfacecolor=style.PLATE,
             markeredgecolor=style.INK, markeredgewidth=2)  # fmt: skip
    text = f"{name}: {100 * share:.0f} %, {look.text(temperature, 'temperature', 0)}"
    # The curve falls to the right: there is room above it to the right, and below it to the left.
    space.write(text, share, temperature, places=((12, 17, "left"), (-12, -19, "right"), *AROUND), bold=True)
