"""Where the electric power of a compressor goes, and how hot the gas leaves."""

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks
from thermo_kit.charts.shapes import add_box, draw_pieces, rail
from thermo_kit.units import celsius

SIZE = (820, 360)
_TOPS = (0.4e3, 0.6e3, 1e3, 1.5e3, 2e3, 3e3, 4e3, 6e3, 8e3, 12e3, 20e3, 40e3)
_COLDEST, _HOTTEST = celsius(-20), celsius(140)
_FACES = (
    ("loss-free work", "#cfe3f1", ""),
    ("scroll and leak", "#efe3c8", "||"),
    ("friction", "#dceee8", "xx"),
    ("motor", "#e6e0ee", "//"),
    ("inverter", "#f6d9cf", "\\\\"),
)


def power_picture(result, look):
    """Draw the electric power piece by piece, and the temperatures before and behind."""
    pieces = _pieces(result)
    top = next((value for value in _TOPS if 1.04 * result.electric_power <= value), _TOPS[-1])
    told = ", ".join(f"{name} {look.text(watts, 'electric_power')}" for name, watts in pieces)
    limit = result.spec.discharge_temperature_limit
    side = "below" if result.temperature_margin >= 0.0 else "above"
    sentence = (
        f"The compressor moves {look.text(result.mass_flow, 'mass_flow')} and draws "
        f"{look.text(result.electric_power, 'electric_power')}: {told}. Direct current "
        f"{look.text(result.supply_current, 'current')}, each motor line {look.text(result.line_current, 'current')}. "
        f"The gas leaves at {look.text(result.discharge_temperature, 'temperature')}, "
        f"{look.text(abs(result.temperature_margin), 'temperature_difference')} {side} the limit."
    )
    return two_layers(
        _draw_axes,
        lambda power, heat: _draw(power, heat, result, pieces, look),
        sentence=sentence,
        still=(top, limit, look),
        size=SIZE,
    )


def _pieces(result):
    loss_free = result.isentropic_efficiency * result.electric_power
    watts = (loss_free, result.gas_power - loss_free, result.friction_loss, result.motor_loss, result.inverter_loss)
    return tuple((name, value) for (name, _, _), value in zip(_FACES, watts, strict=True))


def _draw_axes(figure, top, limit, look):
    ticks = linear_ticks(look, "electric_power", 0.0, top)
    rail(figure, (0.03, 0.58, 0.94, 0.17), (0.0, top), ticks, axis_title("electric power", "electric_power", look))
    ends = (_COLDEST, _HOTTEST)
    title = axis_title("temperature of the gas", "temperature", look)
    heat = rail(figure, (0.03, 0.15, 0.94, 0.12), ends, linear_ticks(look, "temperature", *ends, count=9), title)
    heat.axvspan(limit, _HOTTEST, facecolor="#fbeaec", edgecolor=style.WARNING, hatch="////", linewidth=0)
    heat.text(
        limit, 1.12, f"limit {look.text(limit, 'temperature', 0)}", ha="center", va="bottom", color=style.WARNING,
        fontsize=style.SMALL_TEXT + 1,
    )  # fmt: skip


def _draw(power, heat, result, pieces, look):
    _draw_pieces(power, result, pieces, look)
    start, end = result.suction_temperature, min(result.discharge_temperature, _HOTTEST)
    hot = result.temperature_margin < 0.0
    colour = style.WARNING if hot else style.HIGH_SIDE
    add_box(heat, start, 0.22, end, 0.77, facecolor=colour, alpha=0.35, linewidth=0)
    add_line(heat, [end, end], [0.0, 1.0], color=colour, linewidth=3.0)
    y = heat.transAxes.transform((0, 1.35))[1]
    x = min(max(heat.transData.transform((end, 0))[0], 220.0), 560.0)
    word = "hot gas, beyond the limit" if hot else "hot gas"
    add_text(
        heat, f"{word} {look.text(result.discharge_temperature, 'temperature')}", x - 12, y, ha="right", color=style.INK
    )


def _draw_pieces(axes, result, pieces, look):
    room, y = -1e9, axes.bbox.y1
    shown = ((name, max(watts, 0.0), *face) for (name, watts), (_, *face) in zip(pieces, _FACES, strict=True))
    for name, place, _ in draw_pieces(axes, shown):
        middle = axes.transData.transform((place, 0.0))[0]
        wide = 7.2 * len(name)
        x = max(middle, room + wide / 2 + 6)
        room = x + wide / 2
        add_line(axes, [middle, x], [y + 2, y + 9], pixels=True, color=style.SOFT_INK, linewidth=0.7, clip_on=False)
        add_text(axes, name, x, y + 18, fontsize=style.SMALL_TEXT + 1)
    voltage = look.text(result.conditions.supply_voltage, "voltage")
    words = (
        f"{look.text(result.electric_power, 'electric_power')} = {voltage} × "
        f"{look.text(result.supply_current, 'current')} direct;  each of the three motor lines "
        f"{look.text(result.line_current, 'current')} at {look.text(result.line_voltage, 'voltage')}"
    )
    add_text(axes, words, 26, SIZE[1] - 24, ha="left", fontsize=style.TEXT, fontweight="bold")
