"""An evaporator coil cut open along the air, and the air's way on a moist-air chart of our own."""

import math

from thermo_kit.charts import pen, style
from thermo_kit.charts.labels import name_ends
from thermo_kit.charts.picture import still_layer
from thermo_kit.charts.scales import QUARTERS, Axis, dress
from thermo_kit.charts.told import sentence_of
from thermo_kit.units.look import percent

_WATER = 1000.0
_DRY_INK = "#6e5208"


def drip_text(condensate, look):
    """Write how much water drips off, by weight and by the cup under the drain; condensate [kg/s].

    Notes: One litre of water weighs one kilogram: true within half a per cent at these temperatures.
    """
    if condensate <= 0.0:
        return "none"
    return f"{look.text(condensate, 'drip_rate')} ({look.text(condensate / _WATER, 'drip_volume')})"


def frost_text(process, look):
    """Say how far the coldest fin is from frost."""
    text = look.text(abs(process.frost_margin), "temperature_difference")
    if process.result.frost:
        return f"{text} below: frost"
    below = process.result.inlet.dew_point < 273.15
    return f"{text} above {'the frost point of the air' if below else 'freezing'}"


def fins_text(process):
    """Say which fins of the boiling part are wet."""
    if process.wet_from >= 1.0:
        return "the fins stay dry"
    if process.wet_from <= 0.0:
        return "the fins are wet from the front on"
    return f"the first {percent(process.wet_from)} of the depth stays dry, the rest is wet"


_COIL_SIZE = (900, 620)
_LEFT, _WIDE, _LOW, _TALL = 214.0, 370.0, 362.0, 200.0
_COIL, _PLOT = (_LEFT, _LOW, _WIDE, _TALL), (_LEFT, 62.0, _WIDE, 230.0)
_FRONT, _VENT = 24.0, 726.0
_GAP = 17.0
_PARTS = {
    "wet": {"facecolor": "#cfe6f5", "edgecolor": "#5fa8d3", "hatch": "///"},
    "dry": {"facecolor": "#f3f4f6", "edgecolor": "#b9bfc6", "hatch": ""},
    "superheated": {"facecolor": "#f7ecd0", "edgecolor": "#c9a548", "hatch": "\\\\"},
}


def coil_picture(process, look):
    """Draw a coil in section with the temperatures through its depth below."""
    result = process.result
    hot = f"; {percent(result.superheated_share)} of the face only superheats vapour" if result.dry_side else ""
    told = {"drips": drip_text(result.condensate, look), "fins": fins_text(process), "frost": frost_text(process, look)}
    ends = pen.tens(min(result.evaporating_temperature, *process.dew_points) - 1.0, result.inlet.T + 0.5)
    still = still_layer(_draw_frame, _COIL_SIZE, ends, look)
    return still.under(_draw_coil, process, look, sentence=sentence_of("coil", look, result, hot=hot, **told))


def _draw_frame(figure, ends, look):
    coil, plot = pen.window(figure, _COIL), pen.placed(figure, _PLOT)
    way = Axis("way of the air through the boiling part, %", ends=(0, 1), ticks=QUARTERS)
    dress(plot, way, Axis("temperature", "temperature", ends), look)
    for start, end in ((-50, -8), (_WIDE + 8, _WIDE + 50)):
        for share in (0.12, 0.5, 0.88):
            pen.arrow(coil, (start / _WIDE, share), (end / _WIDE, share), **pen.AIR_ARROW)
    air = {"fontweight": "bold", "color": style.AIR}
    told = "air side cut open: the air goes from left to right"
    for x, words, look_of_it in ((_LEFT, told, {}), (_FRONT, "IN FRONT", air), (_VENT, "AT THE VENT", air)):
        pen.caption(figure, words, x, _LOW + _TALL + 14, **look_of_it)


def _draw_coil(coil, plot, process, look):
    boil, wet = 1.0 - process.result.superheated_share, process.wet_from
    for name, *ends in (
        ("dry", 0.0, 0.0, wet, boil), ("wet", wet, 0.0, 1.0, boil), ("superheated", 0.0, boil, 1.0, 1.0),
    ):  # fmt: skip
        if ends[0] < ends[2] and ends[1] < ends[3]:
            pen.box(coil, *ends, linewidth=0, **_PARTS[name])
    for x, y in (([0, 1, 1, 0, 0], [0, 0, 1, 1, 0]), ([0, 1], [boil, boil])):
        pen.line(coil, x, y, color=style.INK, linewidth=1.6, clip_on=False)
    _name_parts(coil, process, look, boil)
    _name_air(coil, process, look, boil)
    _draw_temperatures(plot, process, look)


def _name_parts(coil, process, look, boil):
    result, wet, middle = process.result, process.wet_from, _LOW + 0.5 * boil * _TALL
    for share, start, words in ((wet, 0.0, "dry fins"), (1.0 - wet, wet, "wet fins")):
        if share * _WIDE > 60.0 and boil > 0.12:
            pen.text(coil, words, _LEFT + (start + 0.5 * share) * _WIDE, middle + 9, bold=True)
    if boil > 0.3:
        boils = look.text(result.evaporating_temperature, "temperature")
        pen.text(coil, f"refrigerant boils at {boils}", _LEFT + 0.5 * _WIDE, _LOW + 13)
    if result.frost:
        loud = {"color": style.WARNING, "bold": True, "size": style.LARGE_TEXT + 2}
        pen.text(coil, "FROST", _LEFT + 0.75 * _WIDE, middle - 14, **loud)
    if result.superheated_share * _TALL > 15.0:
        water = "some water" if process.superheated_is_wet else "no water"
        words = f"superheated vapour inside: warm fins, {water}"
        dry = {"color": _DRY_INK, "bold": True, "size": style.SMALL_TEXT}
        pen.words(coil, words, 0.5, 0.5 * (1.0 + boil), **dry)


def _name_air(coil, process, look, boil):
    result = process.result
    front = ("{T:temperature}", "humidity {relative_humidity:share}", "dew point {dew_point:temperature}",
             "air flow {air_flow:air_flow}")  # fmt: skip
    water = "no water" if result.condensate <= 0 else "water {condensate:drip_rate}"
    vent = ("{T:temperature}", "humidity {relative_humidity:share}", "cooling {cooling_capacity:power}", water)
    large, top = {"size": style.LARGE_TEXT + 6, "bold": True, "color": style.AIR}, _LOW + _TALL
    for x, air, texts in ((_FRONT, result.inlet, front), (_VENT, result.vent, vent)):
        first, *others = (look.say(text, air, result) for text in texts)
        pen.text(coil, first, x, top - 16.0, ha="left", **large)
        for k, text in enumerate(others):
            pen.text(coil, text, x, top - 46.0 - 22.0 * k, ha="left")
    x, y = _LEFT + _WIDE + 56.0, _LOW + 0.5 * boil * _TALL
    for air, colour, height in (
        (result.wet_side, style.LIQUID, y),
        (result.dry_side, _DRY_INK, max(_LOW + (1.0 + boil) * 0.5 * _TALL, y + _GAP)),
    ):
        if air is not None:
            words = look.text(air.T, "temperature")
            pen.text(coil, words, x, height, ha="left", color=colour, bold=True)
    colour = style.WARNING if result.frost else style.INK
    pen.text(coil, f"coldest fin {frost_text(process, look)}", _LEFT, _LOW - 16, ha="left", color=colour)


def _draw_temperatures(plot, process, look):
    result = process.result
    steps, boils = len(result.surface_path), result.evaporating_temperature
    middles = [(i + 0.5) / steps for i in range(steps)]
    lines = {
        "air": (result.depth, result.air_path, style.AIR, 2.4, "solid"),
        "its dew point": (result.depth, process.dew_points, style.GOOD, 2.4, (0, (1.5, 1.5))),
        "fin surface": (middles, result.surface_path, style.INK, 2.4, (0, (8, 2, 1.5, 2))),
        "refrigerant": ((0.0, 1.0), (boils, boils), style.LOW_SIDE, 2.4, style.DASHES["low side"]),
    }
    pen.lines(plot, lines.values())
    ends = [(y[-1], f"{name} {look.text(y[-1], 'temperature')}", own) for name, (_, y, own, *_) in lines.items()]
    low, high = plot.get_ylim()
    if low < 273.15 < high:
        pen.line(plot, [0, 1], [273.15, 273.15], color=style.WARNING, linewidth=1.2, linestyle=(0, (2, 3)))
        words = f"{look.text(273.15, 'temperature', 0)}, water freezes"
        pen.words(plot, words, 0.0, 273.15, aside=(6, -9), ha="left", color=style.WARNING, size=style.SMALL_TEXT)
    name_ends(plot, ends, _LEFT + _WIDE + 10, gap=_GAP)


_AIR_SIZE = (900, 560)
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
    """Draw the air's way on the chart: temperature across, water in the air up."""
    result = process.result
    top = next((top for top in _TOPS if top >= _ROOM * result.inlet.humidity_ratio), _TOPS[-1])
    # Few windows: a slider that crosses into another has to wait for a new chart.
    cold, warm = pen.tens(min(result.coldest_surface, result.inlet.dew_point) - 5.0, result.inlet.T + 2.0)
    lost = look.text(result.inlet.humidity_ratio - result.vent.humidity_ratio, "humidity_ratio")
    water = "loses no water"
    if result.condensate > 0:
        water = f"loses {lost} of water, {drip_text(result.condensate, look)}"
    still = still_layer(_draw_chart, _AIR_SIZE, lines, (min(cold, 273.15), warm, top), look)
    sentence = sentence_of("moist air", look, result, fins=fins_text(process), water=water)
    return still.under(_draw_way, process, look, sentence=sentence)


def _draw_chart(figure, lines, ends, look):
    axes = pen.placed(figure, _BOX)
    cold, warm, top = ends
    temperature = Axis("air temperature", "temperature", (cold, warm), count=9)
    dress(axes, temperature, Axis("water in the air", "humidity_ratio", (0.0, top), count=8), look)
    for side, is_seen in (("left", False), ("right", True)):
        axes.spines[side].set_visible(is_seen)
    axes.yaxis.tick_right()
    axes.yaxis.set_label_position("right")
    axes.fill_between(lines.temperatures, lines.curves[-1], 1.0, color="#eef1f4", linewidth=0, zorder=0.5)
    for share, curve in zip(_SHARES, lines.curves, strict=True):
        name, colour, width, dashes = percent(share), style.QUALITY, 1.0, (0, (5, 3))
        if share == 1.0:
            name, colour, width, dashes = "saturated, 100 %", style.INK, 2.2, "solid"
        axes.plot(lines.temperatures, curve, color=colour, linewidth=width, linestyle=dashes)
        _name_curve(axes, lines.temperatures, curve, name, colour, ends)


def _name_curve(axes, temperatures, curve, name, colour, ends):
    """Write the name near the end of the curve that can be seen, turned along it."""
    cold, warm, top = ends
    seen = [(T, w) for T, w in zip(temperatures, curve, strict=True) if cold < T < warm - 1 and w < 0.97 * top]
    if len(seen) < 4:
        return
    (x0, y0), (x1, y1) = axes.transData.transform([seen[-3], seen[-1]])
    turned = {"rotation": math.degrees(math.atan2(y1 - y0, x1 - x0)), "rotation_mode": "anchor"}
    look = {"ha": "right", "va": "bottom", "fontsize": style.SMALL_TEXT, "color": colour}
    axes.annotate(name, seen[-2], xytext=(-3, 4), textcoords="offset points", **turned, **look)


def _draw_way(axes, process, look):
    result = process.result
    inlet, dry = result.inlet, result.dry_side
    floor = axes.get_ylim()[0]
    dew_x, low_x = axes.transData.transform((inlet.dew_point, 0))[0], axes.bbox.x0
    dew, water = inlet.dew_point, inlet.humidity_ratio
    for x, y in (((dew, inlet.T), (water, water)), ((dew, dew), (water, floor))):
        pen.line(axes, x, y, color=style.GOOD, linewidth=1.6, linestyle=(0, (4, 3)))
    words = f"dew point {look.text(inlet.dew_point, 'temperature')}"
    *aside, ha = (-8, 2, "right") if dew_x - low_x > 135 else (8, 14, "left")
    bold = {"ha": ha, "color": style.GOOD, "bold": True}
    pen.words(axes, words, dew, water, aside=aside, **bold)
    fins = zip(result.surface_path, process.surface_humidity, result.humidity_path, strict=False)
    wet = [(T, w) for T, w, air in fins if w < air]
    if len(wet) > 1:
        pen.line(axes, *zip(*wet, strict=True), color=style.LOW_SIDE, linewidth=7.0, alpha=0.75, solid_capstyle="round")
        bold = {"ha": "right", "color": style.LOW_SIDE, "bold": True}
        pen.words(axes, "wet fins", *wet[len(wet) // 2], aside=(-10, 8), **bold)
    pen.line(axes, result.air_path, result.humidity_path, color=style.AIR, linewidth=3.2)
    if dry is not None:
        first, then = (((air.T, dry.T), (air.humidity_ratio, dry.humidity_ratio)) for air in (inlet, result.wet_side))
        pen.lines(axes, ((*first, "#8a6a0c", 1.8, (0, (6, 2))), (*then, style.SOFT_INK, 1.4, (0, (1.5, 2)))))
    _draw_places(axes, result, look)


def _draw_places(axes, result, look):
    left, top = axes.transAxes.transform((0, 1))
    told = "{name}: {T:temperature}, {relative_humidity:share}, {humidity_ratio:humidity_ratio}"
    for k, (number, name, air) in enumerate(places_of(result)):
        x, y = axes.transData.transform((air.T, air.humidity_ratio))
        right, up = _BADGES[number]
        pen.line(axes, [x, x + right], [y, y + up], pixels=True, color=style.INK, linewidth=1.0)
        pen.point(axes, [x], [y], size=6, color=style.INK, pixels=True)
        row = top - 16 - 21 * k
        for at in ((x + right, y + up), (left + 12, row)):
            pen.point(axes, [at[0]], [at[1]], size=15, color=style.PLATE, rim=style.INK, wide=1.4, pixels=True)
            pen.text(axes, number, *at, bold=True)
        pen.text(axes, look.say(told, air, name=name), left + 26, row, ha="left")
