"""Water in the desiccant over the years: a bag that fills, and what it cannot hold."""

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_area, add_line, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks
from thermo_kit.units import UnitSystem

SIZE = (640, 360)
_MASSES = (0.004, 0.006, 0.01, 0.015, 0.025, 0.04, 0.08, 0.15, 0.3)


def water_picture(result, years, held, free, look):
    """Draw how the beads fill with water; years [years], held [kg], free [kg]."""
    total = [a + b for a, b in zip(held, free, strict=True)]
    top = next((value for value in _MASSES if max(1.1 * result.capacity, total[-1]) <= value), _MASSES[-1])
    capacity, start = _mass(result.capacity, look), _mass(result.held_at_start, look)
    if result.years_left is None:
        when = "nothing more comes in"
    else:
        when = (
            f"the beads are full after {result.years_left:.1f} years"
            if result.years_left > 0
            else "the beads are full already"
        )
    return two_layers(
        _draw_axes,
        lambda axes: _draw_water(axes, result, years, held, total, look),
        sentence=f"The beads can hold {capacity} of water and hold {start} at the start; {when}.",
        still=(years[-1], top, look),
        size=SIZE,
    )


def _mass(value, look):
    return look.text(value, "mass", 1 if look.system is UnitSystem.SI else 2)


def _draw_axes(figure, last, top, look):
    axes = figure.add_axes((0.11, 0.16, 0.86, 0.80))
    axes.set(xlim=(0.0, last), ylim=(0.0, top))
    style.dress(axes)
    set_ticks(axes.yaxis, linear_ticks(look, "mass", 0.0, top, count=6))
    axes.set_xlabel("years from now")
    axes.set_ylabel(axis_title("water", "mass", look))


def _draw_water(axes, result, years, held, total, look):
    last, top = axes.get_xlim()[1], axes.get_ylim()[1]
    ground = [(years[0], 0.0), *zip(years, held, strict=True), (last, 0.0)]
    add_area(axes, [ground], facecolor="#efe3c8", edgecolor="#b89b52", hatch="oo", linewidth=0)
    if total[-1] > result.capacity:
        beside = [*zip(years, held, strict=True), *reversed(tuple(zip(years, total, strict=True)))]
        add_area(axes, [beside], facecolor="#f6d9dd", edgecolor=style.WARNING, hatch="xx", linewidth=0)
        x, y = axes.transData.transform((0.98 * last, min(0.5 * (held[-1] + total[-1]), 0.9 * top)))
        add_text(axes, "free water", x, y, ha="right", color=style.WARNING, fontweight="bold")
    add_line(axes, [0.0, last], [result.capacity] * 2, color=style.INK, linewidth=1.6, linestyle=(0, (6, 2)))
    x, y = axes.transData.transform((0.02 * last, result.capacity + 0.01 * top))
    told = f"the beads can hold {_mass(result.capacity, look)}"
    add_text(axes, told, x, y + 0.6 * style.SMALL_TEXT, ha="left", fontsize=style.SMALL_TEXT)
    add_text(axes, "water in the beads", *axes.transData.transform((0.5 * last, 0.45 * held[len(held) // 2])))
