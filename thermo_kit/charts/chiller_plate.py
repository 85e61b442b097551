"""Two channels of a plate chiller cut open, and below them the temperatures along the plate down to freezing."""

from thermo_kit.charts import style
from thermo_kit.charts.labels import name_ends
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_area, add_line, add_text
from thermo_kit.charts.scales import set_ticks
from thermo_kit.charts.shapes import add_box, add_words, placed, temperature_axis, tens, window

SIZE = (860, 540)
_CUT, _PLOT = (70.0, 414.0, 618.0, 84.0), (70.0, 56.0, 618.0, 322.0)
_FLOORS = tuple(273.15 + t for t in (-10.0, -20.0, -30.0, -40.0, -60.0, -80.0))


def chiller_plate(result, look):
    """Draw a chiller in steady work: channels with the directions of flow, temperatures, freezing point, margin."""
    lowest = min(result.freezing_point, min(result.refrigerant_temperature)) - 3.0
    floor = next((T for T in _FLOORS if lowest >= T), lowest - 5.0)
    top = tens(floor, max(result.coolant_temperature) + 1.0)[1]
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


def _draw_axes(figure, look, floor, top, counterflow):
    cut, plot = window(figure, SIZE, _CUT), placed(figure, SIZE, _PLOT)
    _draw_channels(cut, counterflow)
    temperature_axis(plot, (floor, top), look, "Temperature", count=8)
    set_ticks(plot.xaxis, [(0.0, "refrigerant inlet"), (0.25, "¼"), (0.5, "half way"), (0.75, "¾"), (1.0, "outlet")])
    plot.set_xlim(0.0, 1.0)
    for words, side in zip(plot.xaxis.get_ticklabels(), ("left", "center", "center", "center", "right"), strict=True):
        words.set_ha(side)
    plot.set_xlabel("Place along the plate", labelpad=4)


def _draw_channels(cut, counterflow):
    cut.set_title(
        "two of the channels, cut along the plates: " + ("counterflow" if counterflow else "parallel flow"),
        fontsize=style.SMALL_TEXT + 1, color=style.SOFT_INK, pad=8,
    )  # fmt: skip
    add_box(cut, 0, 0.56, 1, 0.92, facecolor="#e4f3ee", edgecolor=style.COLD_COOLANT, hatch="...", lw=0)
    add_box(cut, 0, 0.08, 1, 0.44, facecolor="#e3f0f9", edgecolor="#9cc8e4", hatch="///", lw=0)
    for bottom, top in ((0.0, 0.08), (0.44, 0.56), (0.92, 1.0)):
        add_box(cut, 0, bottom, 1, top, facecolor=style.SOFT_INK, lw=0)
    places = (0.1, 0.3, 0.5, 0.7, 0.9)
    head = "<" if counterflow else ">"
    cut.plot(places, [0.74] * 5, linestyle="none", marker=head, markersize=10, color=style.COLD_COOLANT)
    cut.plot(places, [0.26] * 5, linestyle="none", marker=">", markersize=10, color=style.LOW_SIDE)


def _draw(cut, plot, result, look):
    wall, freezing, along = result.wall_temperature, result.freezing_point, result.position
    _name_channels(cut, result, look)
    frozen = [(x, T) for x, T in zip(along, wall, strict=True) if freezing > T]
    if frozen:
        outline = [*frozen, (frozen[-1][0], freezing), (frozen[0][0], freezing)]
        add_area(plot, [outline], facecolor="#f6d9dd", edgecolor=style.WARNING, hatch="xxx", linewidth=0)
    names = []
    for name, x, T, colour, width, dashes in (
        ("coolant freezes", (0, 1), (freezing, freezing), style.WARNING, 2.0, (0, (2, 2))),
        ("coolant", along, result.coolant_temperature, style.COLD_COOLANT, 3.0, "solid"),
        ("wall, coolant side", along, wall, style.INK, 2.4, (0, (8, 2, 2, 2))),
        ("refrigerant", along, result.refrigerant_temperature, style.LOW_SIDE, 2.6, style.DASHES["low side"]),
    ):
        add_line(plot, x, T, color=colour, linewidth=width, linestyle=dashes)
        names.append((T[-1], name, colour))
    name_ends(plot, names, plot.bbox.x1 + 8, gap=16.0)
    _draw_margin(plot, result, look)


def _name_channels(cut, result, look):
    warm = look.text(result.spec.coolant_inlet_temperature, "temperature")
    cold = look.text(result.coolant_outlet_temperature, "temperature")
    near, far = ("out", f"coolant in {warm}") if result.spec.counterflow else ("in", f"coolant out {cold}")
    for y, left, right, colour in (
        (0.74, near, far, style.COLD_COOLANT), (0.26, "in", "refrigerant vapour out", style.LOW_SIDE),
    ):  # fmt: skip
        add_words(cut, left, 0, y, aside=(-8, 0), ha="right", color=colour)
        add_words(cut, right, 1, y, aside=(8, 0), ha="left", color=colour)


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
