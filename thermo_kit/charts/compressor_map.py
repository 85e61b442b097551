"""How well a compressor works over speed and pressure ratio, and what one pocket does on its way."""

from thermo_kit.charts import style
from thermo_kit.charts.labels import ClearSpace, contour_label_places
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text

SIZE = (900, 440)
_MAP = (62 / 900, 62 / 440, 420 / 900, 320 / 440)
_POCKET = (566 / 900, 62 / 440, 314 / 900, 320 / 440)
_NAMED = (0.2, 0.3, 0.4, 0.5, 0.6, 0.7)
_BETWEEN = (0.55, 0.65, 0.75)  # without names, which would crowd there
_TOP_RATIO = 7.0
_BESIDE = ((13, 0, "left"), (-13, 0, "right"), (13, 16, "left"), (-13, 16, "right"))


def map_picture(efficiency, result, look):
    """Draw the efficiency map with one operating point, and the path of a pocket beside it."""
    speed = look.text(result.conditions.speed, "rotational_speed")
    sentence = (
        f"At {speed} and pressure ratio {result.pressure_ratio:.1f} the isentropic efficiency is "
        f"{result.isentropic_efficiency * 100:.0f} %. The best on this map is {efficiency.best_efficiency * 100:.0f} % "
        f"near {look.text(efficiency.best_speed, 'rotational_speed')} and ratio {efficiency.best_ratio:.1f}. The "
        f"pocket opens at {look.text(result.pocket.opening_pressure, 'pressure')}, outside it meets "
        f"{look.text(result.pocket.discharge_pressure, 'pressure')}: {result.mismatch}, which costs "
        f"{look.text(max(result.mismatch_loss, 0.0), 'electric_power')}."
    )
    return two_layers(
        _draw_still,
        lambda chart, pocket: _draw(chart, pocket, result, look),
        sentence=sentence,
        still=(efficiency, look.system),
        size=SIZE,
    )


def _draw_still(figure, efficiency, system):
    import numpy

    axes = figure.add_axes(_MAP)
    style.dress(axes, grid="none")
    speeds = [n * 30.0 / numpy.pi for n in efficiency.speeds]
    values = numpy.array([[numpy.nan if v is None else v for v in row] for row in efficiency.efficiency])
    axes.set(xlim=(0, speeds[-1]), ylim=(1.0, _TOP_RATIO))
    axes.set_facecolor("#f3f4f6")
    field, line = (speeds, efficiency.ratios, values), {"colors": style.INK, "linewidths": 0.9}
    axes.contourf(*field, levels=sorted((0.0, *_NAMED, *_BETWEEN, 1.0)), cmap="Blues", alpha=0.55)
    axes.contour(*field, levels=_BETWEEN, **line)
    lines = axes.contour(*field, levels=_NAMED, **line)
    axes.clabel(
        lines, fmt=lambda value: f"{value * 100:.0f} %", fontsize=style.SMALL_TEXT, inline_spacing=3,
        manual=contour_label_places(
            axes, lines, lines_to_avoid=[([0, speeds[-1]], [efficiency.built_in_pressure_ratio] * 2)]
        ),
    )  # fmt: skip
    built_in = efficiency.built_in_pressure_ratio
    axes.axhline(built_in, color=style.WARNING, linewidth=1.8, linestyle=(0, (7, 3)))
    axes.text(
        speeds[-1], 1.04, "dashed: pocket fits here", ha="right", va="bottom", color=style.WARNING,
        fontsize=style.SMALL_TEXT + 1, bbox={"facecolor": style.PLATE, "edgecolor": "none", "alpha": 0.8, "pad": 1.5},
    )  # fmt: skip
    axes.set_xlabel("speed, r/min")
    axes.set_ylabel("pressure ratio")
    figure.text(_MAP[0], 0.935, "Isentropic efficiency", fontsize=style.TEXT, fontweight="bold")
    axes.text(60, 6.85, "grey: cannot run", va="top", fontsize=style.SMALL_TEXT, color=style.SOFT_INK)
    pocket = figure.add_axes(_POCKET)
    style.dress(pocket)
    pocket.set(xlim=(0.0, 1.05), ylim=(0.0, _TOP_RATIO + 1.0))
    pocket.set_xlabel("volume of the pocket, share")
    pocket.set_ylabel("pressure by suction pressure")
    figure.text(_POCKET[0], 0.935, "One pocket", fontsize=style.TEXT, fontweight="bold")


def _draw(chart, pocket, result, look):
    x, y = result.conditions.speed * 30.0 / 3.141592653589793, min(result.pressure_ratio, _TOP_RATIO)
    add_line(
        chart, [x], [y], linestyle="none", marker="D", markersize=11, color=style.CYCLE, markeredgecolor=style.PLATE,
        markeredgewidth=1.4, clip_on=False,
    )  # fmt: skip
    space = ClearSpace(chart)
    foot = chart.transData.transform((chart.get_xlim()[1], 1.18))
    space.keep_off_words("dashed: pocket fits here", *foot, ha="right")
    words = f"{result.isentropic_efficiency * 100:.0f} % here"
    space.write(words, x, y, places=_BESIDE, color=style.CYCLE, bold=True)
    _draw_pocket(pocket, result)


def _draw_pocket(axes, result):
    pocket, base = result.pocket, result.suction.pressure
    small = 1.0 / pocket.volume_ratio
    shares = [1.0 - k * (1.0 - small) / 20 for k in range(21)]
    closed, outside = pocket.pressure / base, pocket.discharge_pressure / base
    opening = pocket.opening_pressure / base
    path = [pocket.pressure_at(v) / base for v in shares]
    fits = (closed / outside) ** (1.0 / pocket.exponent)
    low, high = sorted((small, fits))
    along = [low + k * (high - low) / 12 for k in range(13)]
    curve = [pocket.pressure_at(v) / base for v in along]
    if abs(outside / opening - 1.0) > 0.02:
        lost = {"facecolor": "#fbeaec", "edgecolor": style.WARNING, "hatch": "////", "linewidth": 0.6}
        axes.fill([*along, small], [*curve, outside], **lost)
    for x, y, colour, width, dashes in (
        ([0.0, 1.0], [closed, closed], style.LOW_SIDE, 2.0, style.DASHES["low side"]),
        (shares, path, style.INK, 2.4, "solid"),
        ([small, small], [opening, outside], style.WARNING, 2.4, "solid"),
        ([small, 0.0], [outside, outside], style.HIGH_SIDE, 2.4, "solid"),
    ):
        add_line(axes, x, y, color=colour, linewidth=width, linestyle=dashes)
    at = axes.transData.transform
    right = at((1.0, 0))[0]
    add_text(axes, "in", *(at((0.35, closed)) - (0, 11)), color=style.LOW_SIDE)
    add_text(axes, "out", at((small / 2, 0))[0], at((0, outside))[1] + 11, color=style.HIGH_SIDE)
    x, y = at((small, opening))
    add_text(axes, "opens", x + 12, y + 6, ha="left")
    add_text(axes, result.mismatch, right, SIZE[1] - 74, ha="right", color=style.WARNING, fontweight="bold")
    if result.mismatch != "matched":
        add_text(axes, "hatched: work for nothing", right, SIZE[1] - 92, ha="right", fontsize=style.SMALL_TEXT + 1)
