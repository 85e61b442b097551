"""The double tube cut open, and below it both temperatures along its length."""

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks
from thermo_kit.units import UnitSystem

SIZE = (860, 520)
_LEFT, _RIGHT = 150.0, 150.0
_TUBE = (350.0, 120.0)
_PLOT = (52.0, 250.0)
_SPANS = (0.5, 1.0, 2.5, 5.0)
_LEAD = 0.06


def exchanger_profile(result, look, *, span=None):
    """Draw an internal heat exchanger: the cut through its tubes above, the temperatures below; span [m]."""
    length = result.spec.length
    if span is None or span < length:
        span = next((s for s in _SPANS if s >= length), length)
    cold, warm = result.vapour_inlet.T, result.liquid_inlet.T
    window = (10.0 * ((cold - 273.15 - 2.0) // 10.0) + 273.15, 10.0 * -(-(warm - 273.15 + 2.0) // 10.0) + 273.15)
    return two_layers(
        _draw_axes,
        lambda tube, plot: _draw(tube, plot, result, look),
        still=(look, span, window, result.spec.vapour_path, warm_word(result)),
        sentence=_sentence(result, look),
        size=SIZE,
    )


def length_text(length, look):
    """Write the length of a tube, to the millimetre or the tenth of an inch; length [m]."""
    return look.text(length, "length", 0 if look.system is UnitSystem.SI else 1)


def warm_word(result):
    """Return what the warm stream is called."""
    return "cooled gas" if result.liquid_inlet.phase == "supercritical" else "liquid"


def _axes(figure, box, span):
    bottom, height = box
    width = SIZE[0] - _LEFT - _RIGHT
    axes = figure.add_axes([_LEFT / SIZE[0], bottom / SIZE[1], width / SIZE[0], height / SIZE[1]])
    axes.set_xlim(-_LEAD * span, span)
    return axes


def _draw_axes(figure, look, span, window, vapour_path, warm):
    tube, plot = _axes(figure, _TUBE, span), _axes(figure, _PLOT, span)
    tube.set_ylim(0, 1)
    tube.set_axis_off()
    inside, around = ("vapour", warm) if vapour_path == "inner tube" else (warm, "vapour")
    tube.text(
        0.5, 1.12, f"cut along the tube: {inside} inside, {around} in the gap round it", transform=tube.transAxes,
        ha="center", fontsize=style.SMALL_TEXT + 1, color=style.SOFT_INK,
    )  # fmt: skip
    style.dress(plot)
    plot.set_ylim(*window)
    set_ticks(plot.yaxis, linear_ticks(look, "temperature", *window, count=6))
    set_ticks(plot.xaxis, linear_ticks(look, "length", 0.0, span, count=8))
    plot.set_xlabel(axis_title("Distance from the condenser end", "length", look))
    plot.set_ylabel(axis_title("Temperature", "temperature", look))


def _draw(tube, plot, result, look):
    _draw_tube(tube, result, look)
    warm, cold, place = result.liquid_temperature, result.vapour_temperature, result.position
    inlet, most = result.vapour_inlet.T, result.liquid_inlet.T
    low = plot.get_xlim()[0]
    for T in (inlet, most):
        add_line(plot, [low, result.spec.length], [T, T], color=style.SOFT_INK, linewidth=0.9, linestyle=(0, (1, 2)))
    _draw_share(plot, result, low)
    _draw_heat(plot, place, warm, cold)
    add_line(plot, place, warm, color=style.HIGH_SIDE, linewidth=3.0, linestyle=style.DASHES["high side"])
    add_line(plot, place, cold, color=style.LOW_SIDE, linewidth=3.0, linestyle=style.DASHES["low side"])
    at = plot.transData.transform
    x, y = at((place[-1], warm[-1]))
    add_text(
        plot,
        f"{warm_word(result)} out {look.text(result.liquid_outlet.T, 'temperature')}",
        x + 8,
        y,
        ha="left",
        color=style.HIGH_SIDE,
    )
    x, low_y = at((place[-1], cold[-1]))
    add_text(
        plot,
        f"vapour in {look.text(result.vapour_inlet.T, 'temperature')}",
        x + 8,
        min(low_y, y - 15),
        ha="left",
        color=style.LOW_SIDE,
    )
    middle = len(place) // 3
    x, y = at((place[middle], warm[middle]))
    add_text(plot, f"{warm_word(result)} →", x, y + 18, color=style.HIGH_SIDE, fontsize=style.TEXT)
    x, y = at((place[middle], cold[middle]))
    add_text(plot, "← vapour", x, y - 18, color=style.LOW_SIDE, fontsize=style.TEXT)


def _draw_share(plot, result, low):
    """The vapour's way towards the liquid's inlet temperature as a bar beside the condenser end."""
    inlet, outlet, most = result.vapour_inlet.T, result.vapour_outlet.T, result.liquid_inlet.T
    x = 0.5 * low
    add_line(plot, [x, x], [inlet, most], color="#d5dade", linewidth=9.0, solid_capstyle="butt")
    add_line(plot, [x, x], [inlet, outlet], color=style.LOW_SIDE, linewidth=9.0, solid_capstyle="butt")
    left, y = plot.transData.transform((low, outlet))
    words = f"{result.effectiveness:.2f}"
    add_text(plot, words, left + 15, y + 11, color=style.LOW_SIDE, fontweight="bold")


def _draw_heat(plot, place, warm, cold):
    x, y, heads = [], [], []
    for i in range(2, len(place) - 1, 4):
        gap = warm[i] - cold[i]
        x += [place[i], place[i], None]
        y += [warm[i] - 0.12 * gap, cold[i] + 0.2 * gap, None]
        heads.append((place[i], cold[i] + 0.2 * gap))
    add_line(plot, x, y, color=style.SOFT_INK, linewidth=1.1)
    add_line(
        plot, [h[0] for h in heads], [h[1] for h in heads], color=style.SOFT_INK, linestyle="none", marker="v",
        markersize=5,
    )  # fmt: skip


def _draw_tube(tube, result, look):
    from matplotlib.patches import Rectangle

    spec, length = result.spec, result.spec.length
    scale = 0.86 / spec.outer_diameter
    half_outer, half_tube, half_bore = (
        0.5 * d * scale for d in (spec.outer_diameter, spec.tube_outside, spec.inner_diameter)
    )
    liquid = {"facecolor": "#fbe6d8", "edgecolor": style.HIGH_SIDE, "hatch": style.HATCHES["liquid"], "linewidth": 0.0}
    vapour = {"facecolor": "#e3f0f9", "edgecolor": style.LOW_SIDE, "linewidth": 0.0}
    vapour_inside = spec.vapour_path == "inner tube"
    inside, around = (vapour, liquid) if vapour_inside else (liquid, vapour)
    tube.add_artist(Rectangle((0, 0.5 - half_outer), length, 2 * half_outer, **around))
    tube.add_artist(Rectangle((0, 0.5 - half_tube), length, 2 * half_tube, facecolor=style.SOFT_INK, linewidth=0))
    tube.add_artist(Rectangle((0, 0.5 - half_bore), length, 2 * half_bore, **({**inside, "facecolor": style.PLATE})))
    tube.add_artist(Rectangle((0, 0.5 - half_bore), length, 2 * half_bore, **inside))
    for y in (0.5 - half_outer, 0.5 + half_outer):
        add_line(tube, [0, length], [y, y], color=style.INK, linewidth=3.0)
    gap_y, tube_y = 0.5 + 0.5 * (half_outer + half_tube), 0.5
    liquid_y, vapour_y = (gap_y, tube_y) if vapour_inside else (tube_y, gap_y)
    warm, cold = result.liquid_inlet.T, result.vapour_outlet.T
    gaps = (gap_y, 1.0 - gap_y)
    _draw_arrows(tube, length, gaps if vapour_inside else (tube_y,), ">", style.HIGH_SIDE)
    _draw_arrows(tube, length, (tube_y,) if vapour_inside else gaps, "<", style.LOW_SIDE)
    left, _ = tube.transData.transform((0, 0))
    right, _ = tube.transData.transform((length, 0))
    for y, words, is_liquid in ((liquid_y, warm_word(result), True), (vapour_y, "vapour", False)):
        _, at = tube.transData.transform((0, y))
        colour = style.HIGH_SIDE if is_liquid else style.LOW_SIDE
        T = look.text(warm if is_liquid else cold, "temperature")
        add_text(
            tube, f"{words} in {T} →" if is_liquid else f"← {words} out {T}", left - 8, at, ha="right", color=colour
        )
        add_text(tube, "→ to the valve" if is_liquid else "← from evaporator", right + 8, at, ha="left", color=colour)


def _draw_arrows(tube, length, heights, head, colour):
    places = [share * length for share in (0.12, 0.31, 0.5, 0.69, 0.88)]
    add_line(
        tube, places * len(heights), [y for y in heights for _ in places], color=colour, linestyle="none", marker=head,
        markersize=7,
    )  # fmt: skip


def _sentence(result, look):
    spec, name = result.spec, warm_word(result).capitalize()
    ends = {"a": result.liquid_inlet, "b": result.liquid_outlet, "c": result.vapour_inlet, "d": result.vapour_outlet}
    T = {name: look.text(state.T, "temperature") for name, state in ends.items()}
    return (
        f"An internal heat exchanger of {length_text(spec.length, look)}. {name} flows one way and cools from "
        f"{T['a']} to {T['b']}; vapour flows the other way and warms from {T['c']} to {T['d']}. "
        f"{look.text(result.heat_flow, 'power')} pass through the wall: effectiveness {result.effectiveness:.2f}. The "
        f"vapour loses {look.text(result.vapour_pressure_drop, 'pressure_difference')} by friction."
    )
