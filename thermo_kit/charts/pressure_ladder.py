"""One pressure on two ladders: absolute counts from a perfect vacuum, gauge from the surrounding air."""

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_note
from thermo_kit.charts.scales import linear_ticks
from thermo_kit.charts.shapes import add_box
from thermo_kit.units import STANDARD_ATMOSPHERE, atmosphere_pressure
from thermo_kit.units.look import Look

SIZE = (560, 480)
_TOPS = (1.3e5, 2.5e5, 6e5, 16e5, 40e5, 100e5, 200e5)
_BAR = (0.40, 0.60)


def pressure_ladder(pressure, look, *, label="your reading"):
    """Draw a pressure as a column beside an absolute and a gauge scale; pressure [Pa]."""
    air = atmosphere_pressure(look.altitude)
    top = next((value for value in _TOPS if max(pressure, air) <= 0.93 * value), _TOPS[-1])
    return two_layers(
        _draw_ladders,
        lambda axes: _draw_column(axes, pressure, look, label),
        still=(top, look.system, look.altitude),
        sentence=_sentence(pressure, look, air, label),
        size=SIZE,
    )


def _looks(system, altitude):
    return Look(system, altitude, gauge=False), Look(system, altitude, gauge=True)


def _draw_ladders(figure, top, system, altitude):
    absolute, gauge = _looks(system, altitude)
    axes = figure.add_axes([0.02, 0.04, 0.96, 0.86])
    axes.set(xlim=(0, 1), ylim=(-0.045 * top, top))
    axes.set_axis_off()
    axes.fill_between(_BAR, 0, top, facecolor="#f1f4f6", edgecolor=style.SOFT_INK, linewidth=0.8)
    air = atmosphere_pressure(altitude)
    for look, x, side in ((absolute, _BAR[0], -1), (gauge, _BAR[1], 1)):
        for value, text in linear_ticks(look, "pressure", 0.0, top):
            axes.plot([x, x + side * 0.02], [value, value], color=style.SOFT_INK, linewidth=0.9, clip_on=False)
            axes.text(
                x + side * 0.03, value, text, ha="right" if side < 0 else "left", va="center", zorder=4,
                bbox={"facecolor": style.PLATE, "edgecolor": "none", "pad": 1.0},
            )  # fmt: skip
    titles = ((0.2, f"absolute, {absolute.sign('pressure')}"), (0.8, f"gauge, {gauge.sign('pressure')}"))
    for x, title in titles:
        axes.text(x, 1.035 * top, title, ha="center", va="bottom", fontweight="bold")
    _draw_level(axes, 0.0, "perfect vacuum", "right", "solid", style.INK, below=True)
    here = f"surrounding air\nat {absolute.text(altitude, 'altitude')}"
    apart = abs(air - STANDARD_ATMOSPHERE) > 0.02 * top and min(air, STANDARD_ATMOSPHERE) > 0.1 * top
    # Of two levels close together the upper has its words above and the lower below, so that no line crosses words.
    _draw_level(axes, air, here, "right", (0, (5, 2)), style.AIR, below=apart and air < STANDARD_ATMOSPHERE)
    if apart:
        _draw_level(
            axes, STANDARD_ATMOSPHERE, "air at sea level", "left", (0, (1, 2)), style.SOFT_INK,
            below=air > STANDARD_ATMOSPHERE,
        )  # fmt: skip


def _draw_level(axes, value, words, side, dashes, colour, *, below):
    axes.plot([0.0, 1.0], [value, value], color=colour, linewidth=1.4, linestyle=dashes, clip_on=False)
    axes.annotate(
        words, (1.0 if side == "right" else 0.0, value), (0, -4 if below else 4), textcoords="offset points",
        ha=side, va="top" if below else "bottom", fontsize=style.SMALL_TEXT, color=colour,
    )  # fmt: skip


def _draw_column(axes, pressure, look, label):
    absolute, gauge = _looks(look.system, look.altitude)
    top = axes.get_ylim()[1]
    left, right = _BAR[0] + 0.03, _BAR[1] - 0.03
    look_of_it = {"facecolor": "#f3d3e3", "edgecolor": style.CYCLE, "hatch": "///", "linewidth": 1.2}
    add_box(axes, left, 0.0, right, pressure, **look_of_it)
    add_line(axes, _BAR, [pressure, pressure], color=style.CYCLE, linewidth=2.6)
    leaders = []
    for look_here, x, align in ((absolute, 0.235, "right"), (gauge, 0.765, "left")):
        # The line leaves out the numbers of the scale: a reading that is one of them must not strike it out.
        edge, side = (_BAR[0], -1) if align == "right" else (_BAR[1], 1)
        leaders += [edge, edge + side * 0.025, None, edge + side * 0.11, x, None]
        at = axes.transData.transform((x, pressure))
        add_note(axes, look_here.text(pressure, "pressure"), *at, ha=align, va="center", colour=style.CYCLE, bold=True)
    levels = [None if x is None else pressure for x in leaders]
    add_line(axes, leaders, levels, color=style.CYCLE, linewidth=1.0)
    below = pressure > 0.12 * top
    x, y = axes.transData.transform((0.5, pressure + (-0.012 if below else 0.012) * top))
    add_note(
        axes, label, x, y, ha="center", va="top" if below else "bottom", colour=style.CYCLE, size=style.SMALL_TEXT,
        framed=False,
    )  # fmt: skip


def _sentence(pressure, look, air, label):
    absolute, gauge = _looks(look.system, look.altitude)
    side = "above" if pressure >= air else "below"
    difference = absolute.text(abs(pressure - air), "pressure").replace(" abs", "").replace("psia", "psi")
    return (
        f"{label[:1].upper()}{label[1:]}: {absolute.text(pressure, 'pressure')}, counted from a perfect vacuum; "
        f"the gauge shows {gauge.text(pressure, 'pressure')}, because it is {difference} {side} the surrounding air "
        f"({absolute.text(air, 'pressure')} at {absolute.text(look.altitude, 'altitude')})."
    )
