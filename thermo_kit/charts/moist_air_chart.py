"""A moist-air chart of our own: temperature across, water in the air up, and the way of the air through a coil."""

import math

from thermo_kit.charts import style
from thermo_kit.charts.evaporator_words import drip_text, fins_text
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks
from thermo_kit.charts.shapes import add_words, placed, tens
from thermo_kit.units.look import percent

SIZE = (900, 560)
_BOX = (30.0, 62.0, 790.0, 470.0)
_TOPS = (0.020, 0.030, 0.050, 0.080, 0.130)
_ROOM = 1.3
_SHARES = (0.2, 0.4, 0.6, 0.8, 1.0)
_BADGES = {"1": (16.0, 12.0), "2": (-17.0, -13.0), "3": (12.0, -17.0), "4": (15.0, -15.0)}


def places_of(result):
    """Return the places of the air that the chart marks."""
    places = [("1", "in front of the coil", result.inlet), ("2", "behind the boiling part", result.wet_side)]
    if result.dry_side is not None:
        places.append(("3", "behind the superheated part", result.dry_side))
        places.append(("4", "vent, both mixed", result.vent))
    return tuple(places)


def moist_air_picture(process, lines, look):
    """Draw the air's way on the chart."""
    result = process.result
    top = next((top for top in _TOPS if top >= _ROOM * result.inlet.humidity_ratio), _TOPS[-1])
    # Few windows: a slider that crosses into another has to wait for a new chart.
    cold, warm = tens(min(result.coldest_surface, result.inlet.dew_point) - 5.0, result.inlet.T + 2.0)
    window = (min(cold, 273.15), warm, top)
    return two_layers(
        _draw_chart,
        lambda axes: _draw_way(axes, process, look),
        sentence=_sentence(process, look),
        still=(lines, window, look),
        size=SIZE,
    )


def _sentence(process, look):
    result = process.result
    inlet, vent = result.inlet, result.vent
    lost = look.text(inlet.humidity_ratio - vent.humidity_ratio, "humidity_ratio")
    fins = look.text(result.mean_surface, "temperature")
    water = (
        f"the air loses {lost} of water, {drip_text(result.condensate, look)}"
        if result.condensate > 0
        else "the air loses no water"
    )
    return (
        f"Air at {look.text(inlet.T, 'temperature')} and {percent(inlet.relative_humidity)} has its dew point at "
        f"{look.text(inlet.dew_point, 'temperature')}. The fins of the boiling part are at {fins} on average: "
        f"{fins_text(process)}, and {water}. Cooling {look.text(result.cooling_capacity, 'power')} = "
        f"{look.text(result.sensible, 'power')} sensible + {look.text(result.latent, 'power')} latent. The vent gets "
        f"{look.text(vent.T, 'temperature')} at {percent(vent.relative_humidity)}."
    )


def _draw_chart(figure, lines, window, look):
    axes = placed(figure, SIZE, _BOX)
    cold, warm, top = window
    axes.set(xlim=(cold, warm), ylim=(0.0, top))
    for side in ("top", "left"):
        axes.spines[side].set_visible(False)
    axes.yaxis.tick_right()
    axes.yaxis.set_label_position("right")
    axes.set_axisbelow(True)
    axes.grid(True)
    set_ticks(axes.xaxis, linear_ticks(look, "temperature", cold, warm, count=9))
    set_ticks(axes.yaxis, linear_ticks(look, "humidity_ratio", 0.0, top, count=8))
    axes.set_xlabel(axis_title("air temperature", "temperature", look))
    axes.set_ylabel(axis_title("water in the air", "humidity_ratio", look))
    saturation = lines.curves[-1]
    axes.fill_between(lines.temperatures, saturation, 1.0, color="#eef1f4", linewidth=0, zorder=0.5)
    for share, curve in zip(_SHARES, lines.curves, strict=True):
        is_saturation = share == 1.0
        colour, width, dashes = (style.INK, 2.2, "solid") if is_saturation else (style.QUALITY, 1.0, (0, (5, 3)))
        axes.plot(lines.temperatures, curve, color=colour, linewidth=width, linestyle=dashes)
        _name_curve(axes, lines.temperatures, curve, "saturated, 100 %" if is_saturation else percent(share), window)


def _name_curve(axes, temperatures, curve, words, window):
    """Write the name near the end of the curve that can be seen, turned along it."""
    cold, warm, top = window
    seen = [
        i for i, (T, w) in enumerate(zip(temperatures, curve, strict=True)) if cold < T < warm - 1 and w < 0.97 * top
    ]
    if len(seen) < 4:
        return
    at = seen[-1] - 1
    (x0, y0), (x1, y1) = axes.transData.transform([(temperatures[i], curve[i]) for i in (at - 1, at + 1)])
    axes.annotate(
        words, (temperatures[at], curve[at]), xytext=(-3, 4), textcoords="offset points", ha="right", va="bottom",
        rotation=math.degrees(math.atan2(y1 - y0, x1 - x0)), rotation_mode="anchor", fontsize=style.SMALL_TEXT,
        color=style.INK if "sat" in words else style.QUALITY,
    )  # fmt: skip


def _draw_way(axes, process, look):
    result = process.result
    inlet = result.inlet
    low_x, low_y = axes.transAxes.transform((0, 0))
    dew = axes.transData.transform((inlet.dew_point, inlet.humidity_ratio))
    dashed = {"color": style.GOOD, "linewidth": 1.6, "linestyle": (0, (4, 3))}
    add_line(axes, [inlet.dew_point, inlet.T], [inlet.humidity_ratio] * 2, **dashed)
    add_line(axes, [dew[0], dew[0]], [dew[1], low_y], pixels=True, **dashed)
    words = f"dew point {look.text(inlet.dew_point, 'temperature')}"
    aside, up, ha = (-8, 2, "right") if dew[0] - low_x > 135 else (8, 14, "left")
    add_text(axes, words, dew[0] + aside, dew[1] + up, ha=ha, color=style.GOOD, fontweight="bold")
    wet = [
        (T, w)
        for T, w, x in zip(result.surface_path, process.surface_humidity, result.humidity_path, strict=False)
        if w < x
    ]
    if len(wet) > 1:
        add_line(axes, *zip(*wet, strict=True), color=style.LOW_SIDE, linewidth=7.0, alpha=0.75, solid_capstyle="round")
        add_words(axes, "wet fins", *wet[len(wet) // 2], aside=(-10, 8), ha="right", color=style.LOW_SIDE,
                  fontweight="bold")  # fmt: skip
    add_line(axes, result.air_path, result.humidity_path, color=style.AIR, linewidth=3.2)
    dry = result.dry_side
    if dry is not None:
        for start, colour, width, dashes in (
            (inlet, "#8a6a0c", 1.8, (0, (6, 2))),
            (result.wet_side, style.SOFT_INK, 1.4, (0, (1.5, 2))),
        ):
            way = (start.T, dry.T), (start.humidity_ratio, dry.humidity_ratio)
            add_line(axes, *way, color=colour, linewidth=width, linestyle=dashes)
    _draw_places(axes, result, look)


def _draw_places(axes, result, look):
    left, top = axes.transAxes.transform((0, 1))
    for k, (number, name, air) in enumerate(places_of(result)):
        x, y = axes.transData.transform((air.T, air.humidity_ratio))
        right, up = _BADGES[number]
        add_line(axes, [x, x + right], [y, y + up], pixels=True, color=style.INK, linewidth=1.0)
        add_line(axes, [x], [y], pixels=True, color=style.INK, marker="o", markersize=6, linestyle="none")
        for at in ((x + right, y + up), (left + 12, top - 16 - 21 * k)):
            badge = {"color": style.PLATE, "markeredgecolor": style.INK, "markeredgewidth": 1.4, "linestyle": "none"}
            add_line(axes, [at[0]], [at[1]], pixels=True, marker="o", markersize=15, **badge)
            add_text(axes, number, *at, fontweight="bold", fontsize=style.SMALL_TEXT + 1)
        told = (
            f"{name}: {look.text(air.T, 'temperature')}, {percent(air.relative_humidity)}, "
            f"{look.text(air.humidity_ratio, 'humidity_ratio')}"
        )
        add_text(axes, told, left + 26, top - 16 - 21 * k, ha="left", fontsize=style.SMALL_TEXT + 1)
