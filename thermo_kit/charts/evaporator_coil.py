"""An evaporator coil cut open along the air: boiling and superheated part, dry and wet fins, both airs."""

from thermo_kit.charts import style
from thermo_kit.charts.evaporator_words import drip_text, fins_text, frost_text
from thermo_kit.charts.labels import name_ends
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.shapes import add_box, add_words, placed, temperature_axis, tens, window
from thermo_kit.units.look import percent

SIZE = (900, 620)
_LEFT, _WIDE = 214.0, 370.0
_COIL = (_LEFT, 362.0, _WIDE, 200.0)
_PLOT = (_LEFT, 62.0, _WIDE, 230.0)
_GAP = 17.0
_PARTS = {
    "wet": {"facecolor": "#cfe6f5", "edgecolor": "#5fa8d3", "hatch": "///"},
    "dry": {"facecolor": "#f3f4f6", "edgecolor": "#b9bfc6", "hatch": ""},
    "superheated": {"facecolor": "#f7ecd0", "edgecolor": "#c9a548", "hatch": "\\\\"},
}


def coil_picture(process, look):
    """Draw a coil in section with the temperatures through its depth below."""
    result = process.result
    ends = tens(min(result.evaporating_temperature, *process.dew_points) - 1.0, result.inlet.T + 0.5)
    return two_layers(
        _draw_still,
        lambda coil, plot: _draw(coil, plot, process, look),
        sentence=_sentence(process, look),
        still=(ends, look),
        size=SIZE,
    )


def _sentence(process, look):
    result = process.result
    inlet, vent = result.inlet, result.vent
    hot = f"; {percent(result.superheated_share)} of the face only superheats vapour" if result.dry_side else ""
    return (
        f"Air at {look.text(inlet.T, 'temperature')} and {percent(inlet.relative_humidity)} goes in, air at "
        f"{look.text(vent.T, 'temperature')} and {percent(vent.relative_humidity)} comes out of the vent. Cooling "
        f"{look.text(result.cooling_capacity, 'power')}: {look.text(result.sensible, 'power')} sensible, "
        f"{look.text(result.latent, 'power')} latent. Water that drips off: {drip_text(result.condensate, look)}. "
        f"In the boiling part {fins_text(process)}{hot}. Coldest fin: {frost_text(process, look)}."
    )


def _draw_still(figure, ends, look):
    coil, plot = window(figure, SIZE, _COIL), placed(figure, SIZE, _PLOT)
    temperature_axis(plot, ends, look, "temperature")
    plot.set_xticks([0, 0.25, 0.5, 0.75, 1.0], ["0", "25", "50", "75", "100"])
    plot.set(xlim=(0, 1), xlabel="way of the air through the boiling part, %")
    low, tall = _COIL[1], _COIL[3]
    arrow = {"arrowstyle": "-|>,head_width=0.35,head_length=0.7", "color": style.AIR, "linewidth": 2.2}
    for start, end in ((_LEFT - 50, _LEFT - 8), (_LEFT + _WIDE + 8, _LEFT + _WIDE + 50)):
        for share in (0.12, 0.5, 0.88):
            y = (low + share * tall) / SIZE[1]
            coil.annotate("", (end / SIZE[0], y), (start / SIZE[0], y), xycoords="figure fraction", arrowprops=arrow)
    air = {"fontweight": "bold", "color": style.AIR}
    small = {"fontsize": style.SMALL_TEXT + 1}
    told = "air side cut open: the air goes from left to right"
    for x, words, look_of_it in ((_LEFT, told, small), (24, "IN FRONT", air), (726, "AT THE VENT", air)):
        figure.text(x / SIZE[0], (low + tall + 14) / SIZE[1], words, **look_of_it)


def _draw(coil, plot, process, look):
    result = process.result
    boil, wet = 1.0 - result.superheated_share, process.wet_from
    for name, *ends in (
        ("dry", 0.0, 0.0, wet, boil), ("wet", wet, 0.0, 1.0, boil), ("superheated", 0.0, boil, 1.0, 1.0),
    ):  # fmt: skip
        if ends[0] < ends[2] and ends[1] < ends[3]:
            add_box(coil, *ends, linewidth=0, **_PARTS[name])
    for x, y in (([0, 1, 1, 0, 0], [0, 0, 1, 1, 0]), ([0, 1], [boil, boil])):
        add_line(coil, x, y, color=style.INK, linewidth=1.6, clip_on=False)
    _name_parts(coil, process, look)
    _name_air(coil, process, look)
    _draw_lines(plot, process, look)


def _name_parts(coil, process, look):
    result, (left, low, wide, tall) = process.result, _COIL
    boil, wet = 1.0 - result.superheated_share, process.wet_from
    middle = low + 0.5 * boil * tall
    boils = look.text(result.evaporating_temperature, "temperature")
    for share, start, words in ((wet, 0.0, "dry fins"), (1.0 - wet, wet, "wet fins")):
        if share * wide > 60.0 and boil > 0.12:
            add_text(coil, words, left + (start + 0.5 * share) * wide, middle + 9, fontweight="bold")
    if boil > 0.3:
        add_text(coil, f"refrigerant boils at {boils}", left + 0.5 * wide, low + 13, fontsize=style.SMALL_TEXT + 1)
    if result.frost:
        loud = {"color": style.WARNING, "fontweight": "bold", "fontsize": style.LARGE_TEXT + 2}
        add_text(coil, "FROST", left + 0.75 * wide, middle - 14, **loud)
    if result.superheated_share * tall > 15.0:
        water = "some water" if process.superheated_is_wet else "no water"
        words = f"superheated vapour inside: warm fins, {water}"
        small = {"color": "#6e5208", "fontweight": "bold", "fontsize": style.SMALL_TEXT}
        add_text(coil, words, left + 0.5 * wide, low + (1.0 + boil) * 0.5 * tall, **small)


def _name_air(coil, process, look):
    result, (left, low, wide, tall) = process.result, _COIL
    inlet, vent = result.inlet, result.vent
    front = (
        look.text(inlet.T, "temperature"),
        f"humidity {percent(inlet.relative_humidity)}",
        f"dew point {look.text(inlet.dew_point, 'temperature')}",
        f"air flow {look.text(result.air_flow, 'air_flow')}",
    )
    behind = (
        look.text(vent.T, "temperature"),
        f"humidity {percent(vent.relative_humidity)}",
        f"cooling {look.text(result.cooling_capacity, 'power')}",
        "no water" if result.condensate <= 0 else f"water {look.text(result.condensate, 'drip_rate')}",
    )
    large = {"fontsize": style.LARGE_TEXT + 6, "fontweight": "bold", "color": style.AIR}
    for x, (first, *others) in ((24.0, front), (726.0, behind)):
        add_text(coil, first, x, low + tall - 16.0, ha="left", **large)
        for k, text in enumerate(others):
            add_text(coil, text, x, low + tall - 46.0 - 22.0 * k, ha="left", fontsize=style.TEXT, color=style.INK)
    boil = 1.0 - result.superheated_share
    x, at = left + wide + 56.0, low + 0.5 * boil * tall
    add_text(coil, look.text(result.wet_side.T, "temperature"), x, at, ha="left", color=style.LIQUID, fontweight="bold")
    if result.dry_side is not None:
        y = max(low + (1.0 + boil) * 0.5 * tall, at + _GAP)
        add_text(coil, look.text(result.dry_side.T, "temperature"), x, y, ha="left", color="#6e5208", fontweight="bold")
    colour = style.WARNING if result.frost else style.INK
    add_text(coil, f"coldest fin {frost_text(process, look)}", left, low - 16, ha="left", color=colour)


def _draw_lines(plot, process, look):
    result = process.result
    steps = len(result.surface_path)
    middles = [(i + 0.5) / steps for i in range(steps)]
    boils = result.evaporating_temperature
    lines = (
        ("air", result.depth, result.air_path, style.AIR, "solid"),
        ("its dew point", result.depth, process.dew_points, style.GOOD, (0, (1.5, 1.5))),
        ("fin surface", middles, result.surface_path, style.INK, (0, (8, 2, 1.5, 2))),
        ("refrigerant", (0.0, 1.0), (boils, boils), style.LOW_SIDE, style.DASHES["low side"]),
    )
    for _, x, y, colour, dashes in lines:
        add_line(plot, x, y, color=colour, linewidth=2.4, linestyle=dashes)
    low, high = plot.get_ylim()
    if low < 273.15 < high:
        add_line(plot, [0, 1], [273.15, 273.15], color=style.WARNING, linewidth=1.2, linestyle=(0, (2, 3)))
        words = f"{look.text(273.15, 'temperature', 0)}, water freezes"
        add_words(plot, words, 0.0, 273.15, aside=(6, -9), ha="left", color=style.WARNING, fontsize=style.SMALL_TEXT)
    ends = [(y[-1], f"{name} {look.text(y[-1], 'temperature')}", colour) for name, _, y, colour, _ in lines]
    name_ends(plot, ends, _LEFT + _WIDE + 10, gap=_GAP)
