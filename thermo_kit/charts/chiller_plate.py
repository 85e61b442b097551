"""Two channels of a plate chiller cut open, and below them the temperatures along the plate down to freezing."""

from thermo_kit.charts import style
from thermo_kit.charts.labels import name_ends
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks

SIZE = (860, 540)
_LEFT, _RIGHT = 70.0, 172.0
_CUT = (414.0, 84.0)
_PLOT = (56.0, 322.0)
_LABEL_GAP = 16.0
_FLOORS = tuple(273.15 + t for t in (-10.0, -20.0, -30.0, -40.0, -60.0, -80.0))


def chiller_plate(result, look):
    """Draw a chiller in steady work: channels with the directions of flow, temperatures, freezing point, margin."""
    lowest = min(result.freezing_point, min(result.refrigerant_temperature)) - 3.0
    floor = next((T for T in _FLOORS if lowest >= T), lowest - 5.0)
    top = 273.15 + 10.0 * -(-(max(result.coolant_temperature) - 273.15 + 1.0) // 10.0)
    return two_layers(
        _draw_axes,
        lambda cut, plot: _draw(cut, plot, result, look),
        still=(look, floor, top, result.spec.counterflow),
        sentence=plate_sentence(result, look),
        size=SIZE,
    )


def plate_sentence(result, look):
    """Say what the picture shows."""
    way = "the other way" if result.spec.counterflow else "the same way"
    T = {name: look.text(value, "temperature") for name, value in {
        "boils": result.evaporating_temperature, "wall": result.coldest_wall_temperature,
        "freezes": result.freezing_point, "in": result.spec.coolant_inlet_temperature,
        "out": result.coolant_outlet_temperature}.items()}  # fmt: skip
    margin = look.text(abs(result.freeze_margin), "temperature_difference")
    told = f"The freeze margin is {margin}" if result.freeze_margin > 0 else f"It is {margin} too cold, ice can grow"
    return (
        f"Refrigerant boils at {T['boils']} on one side of the plates. Coolant flows {way} on the other side and cools "
        f"from {T['in']} to {T['out']}. {told} (the coldest spot of the wall has {T['wall']}, this coolant freezes at "
        f"{T['freezes']})."
    )


def _axes(figure, box):
    bottom, height = box
    width = SIZE[0] - _LEFT - _RIGHT
    axes = figure.add_axes([_LEFT / SIZE[0], bottom / SIZE[1], width / SIZE[0], height / SIZE[1]])
    axes.set_xlim(0.0, 1.0)
    return axes


def _draw_axes(figure, look, floor, top, counterflow):
    cut, plot = _axes(figure, _CUT), _axes(figure, _PLOT)
    cut.set_ylim(0, 1)
    cut.set_axis_off()
    _draw_channels(cut, counterflow)
    style.dress(plot)
    plot.set_ylim(floor, top)
    set_ticks(plot.yaxis, linear_ticks(look, "temperature", floor, top, count=8))
    set_ticks(plot.xaxis, [(0.0, "refrigerant inlet"), (0.25, "¼"), (0.5, "half way"), (0.75, "¾"), (1.0, "outlet")])
    for words, side in zip(plot.xaxis.get_ticklabels(), ("left", "center", "center", "center", "right"), strict=True):
        words.set_ha(side)
    plot.set_xlabel("Place along the plate", labelpad=4)
    plot.set_ylabel(axis_title("Temperature", "temperature", look))


def _draw_channels(cut, counterflow):
    from matplotlib.patches import Rectangle

    cut.set_title(
        "two of the channels, cut along the plates: " + ("counterflow" if counterflow else "parallel flow"),
        fontsize=style.SMALL_TEXT + 1, color=style.SOFT_INK, pad=8,
    )  # fmt: skip
    cut.add_patch(Rectangle((0, 0.56), 1, 0.36, facecolor="#e4f3ee", edgecolor=style.COLD_COOLANT, hatch="...", lw=0))
    cut.add_patch(Rectangle((0, 0.08), 1, 0.36, facecolor="#e3f0f9", edgecolor="#9cc8e4", hatch="///", lw=0))
    for bottom in (0.0, 0.44, 0.92):
        cut.add_patch(Rectangle((0, bottom), 1, 0.12 if bottom == 0.44 else 0.08, facecolor=style.SOFT_INK, lw=0))
    places = (0.1, 0.3, 0.5, 0.7, 0.9)
    head = "<" if counterflow else ">"
    cut.plot(places, [0.74] * 5, linestyle="none", marker=head, markersize=10, color=style.COLD_COOLANT)
    cut.plot(places, [0.26] * 5, linestyle="none", marker=">", markersize=10, color=style.LOW_SIDE)


def _draw(cut, plot, result, look):
    place, coolant, wall = result.position, result.coolant_temperature, result.wall_temperature
    boiling, freezing = result.refrigerant_temperature, result.freezing_point
    _name_channels(cut, result, look)
    _draw_frozen_zone(plot, place, wall, freezing)
    add_line(plot, [0, 1], [freezing] * 2, color=style.WARNING, linewidth=2.0, linestyle=(0, (2, 2)))
    add_line(plot, place, coolant, color=style.COLD_COOLANT, linewidth=3.0)
    add_line(plot, place, wall, color=style.INK, linewidth=2.4, linestyle=(0, (8, 2, 2, 2)))
    add_line(plot, place, boiling, color=style.LOW_SIDE, linewidth=2.6, linestyle=style.DASHES["low side"])
    _name_lines(plot, result)
    _draw_margin(plot, result, look)


def _name_channels(cut, result, look):
    left, _ = cut.transData.transform((0, 0))
    right, high = cut.transData.transform((1, 0.74))
    _, low = cut.transData.transform((1, 0.26))
    warm = look.text(result.spec.coolant_inlet_temperature, "temperature")
    cold = look.text(result.coolant_outlet_temperature, "temperature")
    counter = result.spec.counterflow
    add_text(cut, f"coolant in {warm}" if counter else f"coolant out {cold}", right + 8, high, ha="left",
             color=style.COLD_COOLANT)  # fmt: skip
    add_text(cut, "out" if counter else "in", left - 8, high, ha="right", color=style.COLD_COOLANT)
    add_text(cut, "in", left - 8, low, ha="right", color=style.LOW_SIDE)
    add_text(cut, "refrigerant vapour out", right + 8, low, ha="left", color=style.LOW_SIDE)


def _draw_frozen_zone(plot, place, wall, freezing):
    cold = [(x, T) for x, T in zip(place, wall, strict=True) if freezing > T]
    if not cold:
        return
    x, T = zip(*cold, strict=True)
    plot.fill_between(x, T, freezing, facecolor="#f6d9dd", edgecolor=style.WARNING, hatch="xxx", linewidth=0)


def _name_lines(plot, result):
    lines = [
        (result.coolant_temperature[-1], "coolant", style.COLD_COOLANT),
        (result.wall_temperature[-1], "wall, coolant side", style.INK),
        (result.refrigerant_temperature[-1], "refrigerant", style.LOW_SIDE),
        (result.freezing_point, "coolant freezes", style.WARNING),
    ]
    right = plot.transData.transform((1.0, result.freezing_point))[0]
    name_ends(plot, lines, right + 8, gap=_LABEL_GAP)


def _draw_margin(plot, result, look):
    coldest = min(range(len(result.wall_temperature)), key=result.wall_temperature.__getitem__)
    x, wall, freezing = result.position[coldest], result.coldest_wall_temperature, result.freezing_point
    add_line(plot, [x], [wall], color=style.INK, marker="o", markersize=9, markerfacecolor=style.PLATE,
             markeredgewidth=2.0, linestyle="none")  # fmt: skip
    (x_px, low), (_, high) = plot.transData.transform(((x, freezing), (x, wall)))
    margin = look.text(abs(result.freeze_margin), "temperature_difference")
    words = f"freeze margin {margin}" if result.freeze_margin > 0 else f"{margin} below freezing: ice can grow here"
    beside = 14 if x < 0.6 else -14
    if abs(high - low) > 12:
        add_line(plot, [x_px, x_px], [low, high], pixels=True, color=style.INK, linewidth=1.6)
        add_line(plot, [x_px], [min(low, high) + 4], pixels=True, color=style.INK, marker="v", markersize=8, ls="none")
        add_line(plot, [x_px], [max(low, high) - 9], pixels=True, color=style.INK, marker="^", markersize=8, ls="none")
    y = 0.5 * (low + high) if high - low > 26 else min(low, high) - 16
    add_text(plot, words, x_px + beside, y, ha="left" if beside > 0 else "right", fontweight="bold")
