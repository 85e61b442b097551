"""The double tube cut open, and below it both temperatures along its length."""

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks
from thermo_kit.charts.shapes import add_box, add_words, placed, temperature_axis, tens, window
from thermo_kit.units import UnitSystem

SIZE = (860, 520)
_TUBE, _PLOT = (150.0, 350.0, 560.0, 120.0), (150.0, 52.0, 560.0, 250.0)
_SPANS = (0.5, 1.0, 2.5, 5.0)
_LEAD = 0.06
_COLOURS = {"high side": style.HIGH_SIDE, "low side": style.LOW_SIDE}


def exchanger_profile(result, look, *, span=None):
    """Draw an internal heat exchanger: the cut through its tubes above, the temperatures below; span [m]."""
    length = result.spec.length
    if span is None or span < length:
        span = next((s for s in _SPANS if s >= length), length)
    ends = tens(result.vapour_inlet.T - 2.0, result.liquid_inlet.T + 2.0)
    return two_layers(
        _draw_axes,
        lambda tube, plot: _draw(tube, plot, result, look),
        still=(look, span, ends, result.spec.vapour_path, warm_word(result)),
        sentence=_sentence(result, look),
        size=SIZE,
    )


def length_text(length, look):
    """Write the length of a tube, to the millimetre or the tenth of an inch; length [m]."""
    return look.text(length, "length", 0 if look.system is UnitSystem.SI else 1)


def warm_word(result):
    """Return what the warm stream is called."""
    return "cooled gas" if result.liquid_inlet.phase == "supercritical" else "liquid"


def _draw_axes(figure, look, span, ends, vapour_path, warm):
    along = (-_LEAD * span, span)
    tube, plot = window(figure, SIZE, _TUBE, x=along), placed(figure, SIZE, _PLOT)
    inside, around = ("vapour", warm) if vapour_path == "inner tube" else (warm, "vapour")
    tube.text(
        0.5, 1.12, f"cut along the tube: {inside} inside, {around} in the gap round it", transform=tube.transAxes,
        ha="center", fontsize=style.SMALL_TEXT + 1, color=style.SOFT_INK,
    )  # fmt: skip
    temperature_axis(plot, ends, look, "Temperature")
    plot.set_xlim(along)
    set_ticks(plot.xaxis, linear_ticks(look, "length", 0.0, span, count=8))
    plot.set_xlabel(axis_title("Distance from the condenser end", "length", look))


def _draw(tube, plot, result, look):
    _draw_tube(tube, result, look)
    warm, cold, place = result.liquid_temperature, result.vapour_temperature, result.position
    inlet, most = result.vapour_inlet.T, result.liquid_inlet.T
    low, name = plot.get_xlim()[0], warm_word(result)
    for T in (inlet, most):
        add_line(plot, [low, result.spec.length], [T, T], color=style.SOFT_INK, linewidth=0.9, linestyle=(0, (1, 2)))
    _draw_share(plot, result, low)
    _draw_heat(plot, place, warm, cold)
    (x, out), (_, into) = plot.transData.transform(((place[-1], warm[-1]), (place[-1], cold[-1])))
    k = len(place) // 3
    for T, words, end, y, along, rise, side in (
        (warm, f"{name} out", result.liquid_outlet.T, out, f"{name} →", 18, "high side"),
        (cold, "vapour in", inlet, min(into, out - 15), "← vapour", -18, "low side"),
    ):
        colour = _COLOURS[side]
        add_line(plot, place, T, color=colour, linewidth=3.0, linestyle=style.DASHES[side])
        add_text(plot, f"{words} {look.text(end, 'temperature')}", x + 8, y, ha="left", color=colour)
        add_words(plot, along, place[k], T[k], aside=(0, rise), color=colour)


def _draw_share(plot, result, low):
    """The vapour's way towards the liquid's inlet temperature as a bar beside the condenser end."""
    inlet, outlet, most = result.vapour_inlet.T, result.vapour_outlet.T, result.liquid_inlet.T
    x = 0.5 * low
    add_line(plot, [x, x], [inlet, most], color="#d5dade", linewidth=9.0, solid_capstyle="butt")
    add_line(plot, [x, x], [inlet, outlet], color=style.LOW_SIDE, linewidth=9.0, solid_capstyle="butt")
    words = f"{result.effectiveness:.2f}"
    add_words(plot, words, low, outlet, aside=(15, 11), color=style.LOW_SIDE, fontweight="bold")


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
    spec, length = result.spec, result.spec.length
    outer, wall, bore = (0.43 * d / spec.outer_diameter
                         for d in (spec.outer_diameter, spec.tube_outside, spec.inner_diameter))  # fmt: skip
    liquid = {"facecolor": "#fbe6d8", "edgecolor": style.HIGH_SIDE, "hatch": style.HATCHES["liquid"], "linewidth": 0.0}
    vapour = {"facecolor": "#e3f0f9", "edgecolor": style.LOW_SIDE, "linewidth": 0.0}
    vapour_inside = spec.vapour_path == "inner tube"
    inside, around = (vapour, liquid) if vapour_inside else (liquid, vapour)
    for half, shade in ((outer, around), (wall, {"facecolor": style.SOFT_INK, "linewidth": 0}), (bore, inside)):
        add_box(tube, 0, 0.5 - half, length, 0.5 + half, **shade)
    for y in (0.5 - outer, 0.5 + outer):
        add_line(tube, [0, length], [y, y], color=style.INK, linewidth=3.0)
    gap = 0.5 + 0.5 * (outer + wall)
    ways = ((gap, 1.0 - gap), (0.5,)) if vapour_inside else ((0.5,), (gap, 1.0 - gap))
    hot, cold = (look.text(state.T, "temperature") for state in (result.liquid_inlet, result.vapour_outlet))
    for heights, head, colour, words, end in (
        (ways[0], ">", style.HIGH_SIDE, f"{warm_word(result)} in {hot} →", "→ to the valve"),
        (ways[1], "<", style.LOW_SIDE, f"← vapour out {cold}", "← from evaporator"),
    ):
        _draw_arrows(tube, length, heights, head, colour)
        add_words(tube, words, 0.0, heights[0], aside=(-8, 0), ha="right", color=colour)
        add_words(tube, end, length, heights[0], aside=(8, 0), ha="left", color=colour)


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
