"""The freezing curve of a glycol with the mixture in the loop, the mixture wanted and the coldest night."""

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks

SIZE = (760, 440)


def mixture_picture(curve, reading, state, plan, coldest, look):
    """Draw a mixture on the freezing curve.

    Parameters
    ----------
    curve : FreezingCurve
        What `freezing_curve` returned.
    reading : MixtureReading
        What the instrument says.
    state : ColdState
        That mixture on the coldest night.
    plan : TopUp
        What would be in the loop after topping up.
    coldest : float, [K]
        Temperature of the coldest night.
    look : Look
        How numbers are shown.

    Returns
    -------
    Picture
        Curve between liquid and slush, both mixtures, the cold line.
    """
    sentence = (
        f"{reading.kind.capitalize()}, {100 * reading.volume_fraction:.0f} % by volume: freezes at "
        f"{look.text(reading.freezing_point, 'temperature')}, the instrument allows "
        f"{look.text(reading.warmest_freezing_point, 'temperature')} to "
        f"{look.text(reading.coldest_freezing_point, 'temperature')}. At {look.text(coldest, 'temperature', 0)} it is "
        f"{state.condition}. After topping up: {100 * plan.volume_fraction:.0f} %, freezes at "
        f"{look.text(plan.freezing_point, 'temperature')}."
    )
    return two_layers(
        _draw_curve, lambda axes: _draw_mixtures(axes, reading, state, plan, coldest, look), sentence=sentence,
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
    axes.text(0.40, 271.0, "liquid", fontsize=style.LARGE_TEXT, fontweight="bold")
    axes.text(0.05, 236.0, "slush: ice crystals in stronger glycol", fontsize=style.LARGE_TEXT, fontweight="bold")
    axes.text(0.225, 264.0, "freezing point:\nthe first ice", fontsize=style.TEXT, color=style.LIQUID)


def _draw_mixtures(axes, reading, state, plan, coldest, look):
    right = axes.get_xlim()[1]
    low, high = axes.get_ylim()
    if low < coldest < high:
        add_line(axes, [0.0, right], [coldest] * 2, color=style.INK, linewidth=1.3, linestyle=(0, (6, 3)))
        x, y = axes.transData.transform((right, coldest))
        add_text(axes, f"coldest night {look.text(coldest, 'temperature', 0)}", x - 4, y + 9, ha="right",
                 fontsize=style.TEXT)  # fmt: skip
        add_line(
            axes, [reading.volume_fraction], [coldest], linestyle="none", marker="X", markersize=12,
            color=style.GOOD if state.condition == "liquid" else style.WARNING, markeredgecolor=style.PLATE,
        )  # fmt: skip
    add_line(
        axes, [reading.volume_fraction] * 2, [reading.warmest_freezing_point, reading.coldest_freezing_point],
        color=style.WARM_COOLANT, linewidth=5, alpha=0.55,
    )  # fmt: skip
    _point(axes, reading.volume_fraction, reading.freezing_point, "o", "in the loop", reading, look, 1)
    _point(axes, plan.volume_fraction, plan.freezing_point, "s", "after topping up", plan, look, -1)


def _point(axes, share, temperature, marker, name, told, look, turn):
    add_line(axes, [share], [temperature], linestyle="none", marker=marker, markersize=10, markerfacecolor=style.PLATE,
             markeredgecolor=style.INK, markeredgewidth=2)  # fmt: skip
    x, y = axes.transData.transform((share, temperature))
    text = f"{name}: {100 * share:.0f} %, {look.text(told.freezing_point, 'temperature', 0)}"
    side = "left" if turn > 0 else "right"
    if x + 210 > SIZE[0] and turn > 0:
        side, turn = "right", -1
    if x - 210 < 80 and turn < 0:
        side, turn = "left", 1
    lift = 17 if name == "in the loop" else -19
    add_text(axes, text, x + 12 * turn, y + lift, ha=side, fontsize=style.TEXT, fontweight="bold")
