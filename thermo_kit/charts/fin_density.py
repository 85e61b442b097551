"""Fins: one inch of them to count, and what more or fewer of them do to air, head pressure and power."""

import math

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line
from thermo_kit.charts.shapes import whole
from thermo_kit.charts.strips import Axis, Column, Line, Mark, Strip, Zone, strips_picture

STRIP_SIZE = (760, 190)
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
    axes = whole(figure, STRIP_SIZE)
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


_COUNTS = tuple((count / _INCH, f"{count}") for count in range(0, 41, 4))
_BANDS = (((16.0, 18.0), "cheaper: 16 to 18", "doubt"), ((19.5, 20.5), "original: near 20", "cold"))


def fin_picture(curve, here, look):
    """Draw air flow, head pressure and power against fin density."""
    now = _density(here)
    rows = (
        (Axis("air flow", "air_flow", count=5), style.AIR, lambda head: head.condenser.air_side.volume_flow),
        (Axis("head pressure", "pressure", count=5), style.HIGH_SIDE, lambda head: head.condensing_pressure),
        (Axis("compressor and fan", "electric_power", count=5), style.CYCLE, _power),
    )
    strips = []
    for axis, colour, read in rows:
        values = tuple(map(read, curve.heads))
        is_top, is_last = not strips, len(strips) == 2
        still = [
            Zone(None, None, words if is_top else "", tone, ((ends[0] / _INCH, min(values)),),
                 tuple(end / _INCH for end in ends))
            for ends, words, tone in _BANDS
        ]  # fmt: skip
        still.append(Line("", curve.fin_densities, values, colour, width=2.2))
        if curve.best_is_inside:
            words = "least power" if is_last else ""
            still.append(Mark(curve.best_fin_density, None, words, style.GOOD, dashes=(0, (6, 2))))
        value = read(here)
        things = (
            Mark(now, None, "", style.INK, dashes="solid"),
            Mark(now, value, look.text(value, axis.kind), colour, "D"),
        )
        strips.append(Strip(axis, things, still=tuple(still)))
    ends = curve.fin_densities[0], curve.fin_densities[-1]
    x = Axis("fins per inch", ends=ends, ticks=tuple(tick for tick in _COUNTS if ends[0] <= tick[0]), bare=True)
    return strips_picture(Column(x, tuple(strips)), look, sentence=fin_sentence(curve, here, look), size=(760, 590))


def fin_sentence(curve, here, look):
    """Say what the curves show, with their numbers."""
    best = look.text(curve.best_fin_density, "fin_density", 0)
    told = f"The least power is taken near {best}." if curve.best_is_inside else f"The best lies beyond {best}."
    return (
        f"With {look.text(_density(here), 'fin_density')} the fan moves "
        f"{look.text(here.condenser.air_side.volume_flow, 'air_flow')}, the head pressure is "
        f"{look.text(here.condensing_pressure, 'pressure')}, and compressor and fan together take "
        f"{look.text(_power(here), 'electric_power')}. {told}"
    )


def _density(head):
    return head.condenser.spec.fins.fin_density


def _power(head):
    return head.compressor_power + head.fan_power
