"""Pump curve and loop curve in one chart, the point where they meet, and who takes the pressure there."""

from thermo_kit.charts import style
from thermo_kit.charts.labels import AROUND, ClearSpace
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks

SIZE = (860, 430)
_BAR_TOP, _BAR_STEP, _BAR_LEFT, _BAR_LONG = 352.0, 46.0, 620.0, 150.0


def operating_picture(curves, look, *, point_shown=True):
    """Draw what the pump gives and what the loop takes."""
    ends = (curves.flows[-1], round(1.12 * curves.pump.shut_off_head * 9.80665 * 1090.0, -3))
    sentence = operating_sentence(curves, look) if point_shown else "Pump curve and loop curve cross once: where?"
    return two_layers(
        _draw_axes, lambda axes: _draw_curves(axes, curves, look, point_shown), sentence=sentence,
        still=(*ends, look, point_shown), size=SIZE,
    )  # fmt: skip


def operating_sentence(curves, look):
    """Say where pump and loop agree."""
    if curves.point is None:
        return "The pump lifts nothing: no flow, no operating point."
    name, most = max(curves.shares, key=lambda share: share[1])
    total = sum(value for _, value in curves.shares)
    return (
        f"Pump and loop agree at {look.text(curves.point.volume_flow, 'volume_flow')} and "
        f"{look.text(curves.point.pressure_rise, 'pressure_difference')}. The largest share, "
        f"{100 * most / total:.0f} %, is lost in: {name}."
    )


def _draw_axes(figure, flow_end, pressure_end, look, point_shown):
    axes = figure.add_axes((0.085, 0.14, 0.58, 0.80))
    style.dress(axes)
    axes.set(xlim=(0.0, flow_end), ylim=(0.0, pressure_end))
    set_ticks(axes.xaxis, linear_ticks(look, "volume_flow", 0.0, flow_end))
    set_ticks(axes.yaxis, linear_ticks(look, "pressure_difference", 0.0, pressure_end, count=6))
    axes.set_xlabel(axis_title("flow", "volume_flow", look))
    axes.set_ylabel(axis_title("pressure", "pressure_difference", look))
    if not point_shown:
        return
    figure.text(
        _BAR_LEFT / SIZE[0], 0.93, "pressure lost at this flow, by part", fontsize=style.TEXT, fontweight="bold",
        va="center",
    )  # fmt: skip


def _draw_curves(axes, curves, look, point_shown):
    top = axes.get_ylim()[1]
    changed = curves.pump_pressure != curves.healthy_pressure
    if changed:
        _curve(axes, curves.flows, curves.healthy_pressure, top, style.SOFT_INK, (0, (1.5, 2)), 1.4)
    _curve(axes, curves.flows, curves.pump_pressure, top, style.LIQUID, "solid", 2.4)
    _curve(axes, curves.flows, curves.loop_pressure, top, style.HIGH_SIDE, (0, (6, 2)), 2.4)
    space = ClearSpace(axes)
    for pressures in (curves.pump_pressure, curves.loop_pressure, *([curves.healthy_pressure] if changed else ())):
        space.keep_off_line(*zip(*_in_sight(curves.flows, pressures, top), strict=True))
    if point_shown and curves.point is None:
        words = "no flow: the pump lifts nothing"
        space.write(words, 0.5 * curves.flows[-1], 0.06 * top, places=((0, 0, "center"), (0, 40, "center")),
                    size=style.LARGE_TEXT, color=style.WARNING)  # fmt: skip
    elif point_shown:
        _draw_point(axes, space, curves, look)
    _name(space, curves.flows, curves.loop_pressure, "the loop takes", style.HIGH_SIDE, 0.86, top)
    _name(space, curves.flows, curves.pump_pressure, "the pump gives", style.LIQUID, 0.5, top)
    if changed:
        _name(space, curves.flows, curves.healthy_pressure, "pump, healthy, full speed", style.SOFT_INK, 0.75, top)
    if point_shown:
        _draw_shares(axes, curves, look)


def _curve(axes, flows, pressures, top, colour, dashes, width):
    seen = _in_sight(flows, pressures, top)
    if len(seen) > 1:
        add_line(axes, *zip(*seen, strict=True), color=colour, linestyle=dashes, linewidth=width)


def _in_sight(flows, pressures, top):
    return [(flow, value) for flow, value in zip(flows, pressures, strict=True) if 0.0 <= value <= top] or [(0.0, 0.0)]


def _name(space, flows, pressures, text, colour, height, top):
    """Name a curve beside the point where it is nearest to a height, as a share of what is seen of it."""
    seen = _in_sight(flows, pressures, top)
    wanted = height * max(value for _, value in seen)
    if wanted <= 0.0:
        return
    space.write(text, *min(seen, key=lambda point: abs(point[1] - wanted)), color=colour)


def _draw_point(axes, space, curves, look):
    flow, pressure = curves.point.volume_flow, curves.point.pressure_rise
    add_line(axes, [flow, flow, 0.0], [0.0, pressure, pressure], color=style.INK, linewidth=1.0, linestyle=(0, (4, 3)))
    add_line(
        axes, [flow], [pressure], linestyle="none", marker="o", markersize=11, markerfacecolor=style.PLATE,
        markeredgecolor=style.INK, markeredgewidth=2.2,
    )  # fmt: skip
    space.keep_off_line([flow, flow, 0.0], [0.0, pressure, pressure])
    words = f"{look.text(flow, 'volume_flow')}\n{look.text(pressure, 'pressure_difference')}"
    # Straight below the crossing both curves have drawn apart; near the floor there is room above instead.
    below = ((10, -92, "left"), (10, -78, "left"), (-10, -78, "right"), (10, 56, "left"))
    space.write(words, flow, pressure, places=(*below, *AROUND), bold=True)


def _draw_shares(axes, curves, look):
    rows = [row for row in curves.shares if row[1] > 0.0]
    most = max((value for _, value in rows), default=1.0)
    y, step = _BAR_TOP, min(_BAR_STEP, 320.0 / max(len(rows), 1))
    for name, value in rows:
        add_text(axes, name, _BAR_LEFT, y + 12, ha="left", fontsize=style.SMALL_TEXT + 1)
        long = max(_BAR_LONG * value / most, 1.5)
        add_line(
            axes,
            [_BAR_LEFT, _BAR_LEFT + long],
            [y - 4] * 2,
            pixels=True,
            linewidth=11,
            color=style.HIGH_SIDE,
            alpha=0.6,
            clip_on=False,
            solid_capstyle="butt",
        )
        add_text(axes, look.text(value, "pressure_difference"), _BAR_LEFT + long + 7, y - 4, ha="left",
                 fontsize=style.SMALL_TEXT + 1)  # fmt: skip
        y -= step
