"""The evaporator as a tube, the temperatures along it, and the readings: sound and with a fault."""

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks
from thermo_kit.units import tell

SIZE = (900, 520)
_TUBE = (90, 410, 560, 46)
_PLOT = (90, 70, 560, 290)
_SIDE = 704.0
COLOURS = {"in balance": style.GOOD, "starved": style.WARNING, "flooding": style.WARNING, "pulled down": style.WARNING}


def readings_picture(case, look):
    """Draw a valve's fault as it shows along the evaporator."""
    coldest = min(case.sound_temperatures[0], case.faulty_temperatures[0])
    air = case.sound.duty.air_temperature
    window = (10.0 * ((coldest - 273.15 - 3.0) // 10.0) + 273.15, 10.0 * -(-(air - 273.15 + 2.0) // 10.0) + 273.15)
    return two_layers(
        _draw_axes,
        lambda tube, plot: _draw(tube, plot, case, look),
        sentence=_sentence(case, look),
        still=(window, look),
        size=SIZE,
    )


def outlet_text(result, look):
    """Say what leaves the evaporator."""
    if result.quality_is_wet:
        return f"wet, {(1.0 - result.outlet_quality) * 100:.0f} % liquid"
    return f"{look.text(result.superheat, 'temperature_difference')} superheat"


def _sentence(case, look):
    sound, own = case.sound, case.faulty
    return (
        f"{tell(case.meaning, look).capitalize()}. Low side {look.text(own.evaporating_pressure, 'pressure')} "
        f"(sound {look.text(sound.evaporating_pressure, 'pressure')}), evaporator outlet {outlet_text(own, look)} "
        f"(sound {outlet_text(sound, look)}), cooling {look.text(own.cooling_capacity, 'power')} "
        f"(sound {look.text(sound.cooling_capacity, 'power')}). Verdict: {own.verdict}: {own.verdict_words}."
    )


def _axes(figure, box):
    left, low, wide, tall = box
    return figure.add_axes((left / SIZE[0], low / SIZE[1], wide / SIZE[0], tall / SIZE[1]))


def _draw_axes(figure, window, look):
    tube, plot = _axes(figure, _TUBE), _axes(figure, _PLOT)
    tube.set(xlim=(0, 1), ylim=(0, 1))
    tube.set_axis_off()
    figure.text(90 / SIZE[0], 490 / SIZE[1], "from the valve →", fontsize=style.SMALL_TEXT + 1)
    figure.text(650 / SIZE[0], 490 / SIZE[1], "bulb, then the compressor", ha="right", fontsize=style.SMALL_TEXT + 1)
    style.dress(plot)
    plot.set(xlim=(0, 1), ylim=window)
    plot.set_xticks([0, 0.25, 0.5, 0.75, 1.0], ["0", "25", "50", "75", "100"])
    set_ticks(plot.yaxis, linear_ticks(look, "temperature", *window, count=7))
    plot.set_xlabel("way through the evaporator, %")
    plot.set_ylabel(axis_title("temperature of the refrigerant", "temperature", look))


def _draw(tube, plot, case, look):
    from matplotlib.patches import Rectangle

    own, sound = case.faulty, case.sound
    boil = own.boiling_share
    tube.add_artist(Rectangle((0, 0), boil, 1, facecolor="#dcecf7", edgecolor=style.LIQUID, hatch="..", linewidth=0))
    tube.add_artist(Rectangle((boil, 0), 1 - boil, 1, facecolor="#f7efdc", edgecolor=style.VAPOUR, linewidth=0))
    for y in (0, 1):
        add_line(tube, [0, 1], [y, y], color=style.INK, linewidth=3.0)
    for low, high, words, colour in ((0, boil, "boiling", style.LIQUID), (boil, 1, "dry", "#6e5208")):
        if high - low > 0.1:
            x, y = tube.transData.transform((0.5 * (low + high), 0.5))
            add_text(tube, f"{words} {(high - low) * 100:.0f} %", x, y, color=colour, fontweight="bold")
    if own.quality_is_wet:
        x, y = tube.transData.transform((1.0, 0.5))
        add_line(
            tube,
            [x + 8, x + 20, x + 32],
            [y, y + 9, y - 9],
            pixels=True,
            color=style.LIQUID,
            marker="o",
            markersize=8,
            linestyle="none",
            clip_on=False,
        )
    _draw_lines(plot, case, look)
    _draw_side(plot, own, sound, look)


def _draw_lines(plot, case, look):
    own, sound = case.faulty, case.sound
    air = sound.duty.air_temperature
    add_line(plot, [0, 1], [air, air], color=style.AIR, linewidth=1.6, linestyle=(0, (6, 2, 1.5, 2)))
    x, y = plot.transData.transform((0.02, air))
    add_text(plot, f"air {look.text(air, 'temperature')}", x, y + 11, ha="left", color=style.AIR)
    add_line(plot, case.places, case.sound_temperatures, color=style.SOFT_INK, linewidth=2.0, linestyle=(0, (5, 3)))
    add_line(plot, case.places, case.faulty_temperatures, color=style.CYCLE, linewidth=3.2)
    right = plot.transData.transform((1.0, own.outlet_temperature))
    add_line(
        plot,
        [right[0]],
        [right[1]],
        pixels=True,
        color=style.CYCLE,
        marker="s",
        markersize=9,
        linestyle="none",
        clip_on=False,
    )
    x, y = plot.transData.transform((0.02, own.evaporating_temperature))
    add_text(
        plot,
        f"boils at {look.text(own.evaporating_temperature, 'temperature')}",
        x,
        y - 13,
        ha="left",
        color=style.CYCLE,
    )
    if abs(own.evaporating_temperature - sound.evaporating_temperature) > 0.3:
        x, y = plot.transData.transform((0.46, sound.evaporating_temperature))
        add_text(plot, "dashed: the sound valve", x, y - 13, ha="left", color=style.SOFT_INK)


def _draw_side(plot, own, sound, look):
    lines = (
        (
            "low-side gauge",
            look.text(own.evaporating_pressure, "pressure"),
            look.text(sound.evaporating_pressure, "pressure"),
        ),
        (
            "line at the bulb",
            look.text(own.outlet_temperature, "temperature"),
            look.text(sound.outlet_temperature, "temperature"),
        ),
        ("evaporator outlet", outlet_text(own, look), outlet_text(sound, look)),
        ("cooling", look.text(own.cooling_capacity, "power"), look.text(sound.cooling_capacity, "power")),
    )
    add_text(
        plot,
        own.verdict.upper(),
        _SIDE,
        450,
        ha="left",
        fontsize=style.LARGE_TEXT + 3,
        fontweight="bold",
        color=COLOURS[own.verdict],
    )
    y = 405.0
    for name, now, usual in lines:
        add_text(plot, name, _SIDE, y, ha="left", color=style.SOFT_INK, fontsize=style.SMALL_TEXT + 1)
        add_text(plot, now, _SIDE, y - 20, ha="left", fontweight="bold", color=style.CYCLE, fontsize=style.LARGE_TEXT)
        add_text(plot, f"sound: {usual}", _SIDE, y - 39, ha="left", fontsize=style.SMALL_TEXT + 1)
        y -= 76
