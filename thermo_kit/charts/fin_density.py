"""Fins: one inch of them to count, and what more or fewer of them do to air, head pressure and power."""

import math

from thermo_kit.charts import style
from thermo_kit.charts.labels import ClearSpace
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks

STRIP_SIZE = (760, 190)
CURVE_SIZE = (760, 590)
_BOXES = ((0.12, 0.70, 0.85, 0.24), (0.12, 0.395, 0.85, 0.24), (0.12, 0.09, 0.85, 0.24))
_INCH = 0.0254
_PER_INCH = 660.0
_LEFT = 50.0
_TUBE_LOW, _TUBE_HIGH, _TUBE = 60.0, 160.0, 14.0


def fin_strip(fins, look, *, sentence=None):
    """Draw the fins between two tubes over a ruler, true to scale along the tube."""
    told = sentence or (
        f"One inch of the core, seen from the front: {fins.fin_density * _INCH:.1f} fins to the inch, "
        f"one every {look.text(1 / fins.fin_density, 'length', 2)}."
    )
    return two_layers(_draw_ruler, lambda axes: _draw_fins(axes, fins), sentence=told, size=STRIP_SIZE)


def _draw_ruler(figure):
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set(xlim=(0, STRIP_SIZE[0]), ylim=(0, STRIP_SIZE[1]))
    axes.set_axis_off()
    for bottom in (_TUBE_LOW, _TUBE_HIGH):
        axes.fill_between([0, STRIP_SIZE[0]], bottom, bottom + _TUBE, color="#c8ced4", linewidth=0)
        axes.text(6, bottom + _TUBE / 2, "tube", va="center", fontsize=style.SMALL_TEXT)
    axes.plot([_LEFT, _LEFT + _PER_INCH], [40, 40], color=style.INK, linewidth=1.4)
    for mark in range(9):
        x = _LEFT + mark * _PER_INCH / 8
        axes.plot([x, x], [40, 52 if mark % 8 == 0 else 47], color=style.INK, linewidth=1.2)
    for x, words in ((_LEFT, "0"), (_LEFT + _PER_INCH, "1 in")):
        axes.plot([x, x], [40, _TUBE_HIGH + _TUBE], color=style.CYCLE, linewidth=1.0, linestyle=(0, (3, 2)))
        axes.text(x, 34, words, ha="center", va="top", fontsize=style.SMALL_TEXT)
    axes.text(
        _LEFT + _PER_INCH / 2, 34, "each slanting line is one fin; ruler in eighths of an inch (25.4 mm in all)",
        ha="center", va="top", fontsize=style.SMALL_TEXT,
    )  # fmt: skip


def _draw_fins(axes, fins):
    pitch = _PER_INCH / (fins.fin_density * _INCH)
    places = range(-math.ceil(_LEFT / pitch) - 1, math.ceil((STRIP_SIZE[0] - _LEFT) / pitch) + 2)
    heights = [_TUBE_LOW + _TUBE if place % 2 == 0 else _TUBE_HIGH for place in places]
    add_line(axes, [_LEFT + place * pitch for place in places], heights, color=style.INK, linewidth=1.5)


def fin_picture(curve, here, look):
    """Draw air flow, head pressure and power against fin density."""
    ends = (curve.fin_densities[0], curve.fin_densities[-1])
    best = curve.best_fin_density if curve.best_is_inside else None
    return two_layers(
        _draw_curves,
        lambda *strips: _draw_here(*strips, curve, here, look),
        sentence=fin_sentence(curve, here, look),
        still=(curve.fin_densities, _series(curve), ends, best, look),
        size=CURVE_SIZE,
    )


def _series(curve):
    return (
        tuple(head.condenser.air_side.volume_flow for head in curve.heads),
        tuple(head.condensing_pressure for head in curve.heads),
        tuple(head.compressor_power + head.fan_power for head in curve.heads),
    )


def fin_sentence(curve, here, look):
    """Say what the curves show, with their numbers."""
    best = look.text(curve.best_fin_density, "fin_density", 0)
    told = f"The least power is taken near {best}." if curve.best_is_inside else f"The best lies beyond {best}."
    return (
        f"With {look.text(_density(here), 'fin_density')} the fan moves "
        f"{look.text(here.condenser.air_side.volume_flow, 'air_flow')}, the head pressure is "
        f"{look.text(here.condensing_pressure, 'pressure')}, and compressor and fan together take "
        f"{look.text(here.compressor_power + here.fan_power, 'electric_power')}. {told}"
    )


def _density(head):
    return head.condenser.spec.fins.fin_density


_ROWS = (
    ("air flow", "air_flow", style.AIR),
    ("head pressure", "pressure", style.HIGH_SIDE),
    ("compressor and fan", "electric_power", style.CYCLE),
)


def _draw_curves(figure, densities, series, ends, best, look):
    for box, values, (name, kind, colour) in zip(_BOXES, series, _ROWS, strict=True):
        axes = figure.add_axes(box)
        low, high = min(values), max(values)
        room = 0.14 * (high - low)
        axes.set(xlim=ends, ylim=(low - room, high + room))
        style.dress(axes)
        set_ticks(axes.xaxis, [(count / _INCH, f"{count}") for count in range(0, 41, 4) if count / _INCH >= ends[0]])
        set_ticks(axes.yaxis, linear_ticks(look, kind, low - room, high + room, count=5))
        axes.set_ylabel(axis_title(name, kind, look).replace(", ", ",\n", 1), fontsize=style.SMALL_TEXT + 1)
        for first, last, hatch in ((16, 18, "//"), (19.5, 20.5, "..")):
            axes.axvspan(
                first / _INCH, last / _INCH, facecolor="#f2eee6", edgecolor="#c9bd9f", hatch=hatch, linewidth=0
            )
        axes.plot(densities, values, color=colour, linewidth=2.2)
        if best is not None:
            axes.plot([best] * 2, [low - room, high + room], color=style.GOOD, linewidth=1.4, linestyle=(0, (6, 2)))
    top = figure.axes[0]
    above = top.get_ylim()[1]
    for per_inch, words, ha in ((18, "cheaper: 16 to 18", "right"), (19.6, "original: near 20", "left")):
        top.text(per_inch / _INCH, above, words, va="bottom", ha=ha, fontsize=style.SMALL_TEXT)
    power = figure.axes[-1]
    if best is not None:
        right = best > 36 / _INCH
        power.annotate(
            "least power", (best, power.get_ylim()[1]), (-6 if right else 6, -2), textcoords="offset points",
            ha="right" if right else "left", va="top", fontsize=style.SMALL_TEXT, color=style.GOOD,
        )  # fmt: skip
    power.set_xlabel("fins per inch")


def _draw_here(air, pressure, power, curve, here, look):
    x = _density(here)
    values = (
        here.condenser.air_side.volume_flow, here.condensing_pressure, here.compressor_power + here.fan_power,
    )  # fmt: skip
    for axes, value, values_along, (_, kind, colour) in zip(
        (air, pressure, power), values, _series(curve), _ROWS, strict=True
    ):
        add_line(axes, [x, x], axes.get_ylim(), color=style.INK, linewidth=1.0)
        add_line(axes, [x], [value], marker="D", markersize=9, color=colour, markeredgecolor=style.INK)
        space = ClearSpace(axes)
        space.keep_off_line(curve.fin_densities, values_along)
        if curve.best_is_inside:
            space.keep_off_line([curve.best_fin_density] * 2, axes.get_ylim())
        space.write(look.text(value, kind), x, value, bold=True, color=style.INK)
