"""Two cycles on the pressure-enthalpy diagram, without and with an internal heat exchanger, and the heat they trade."""

from thermo_kit.charts import style
from thermo_kit.charts.cycle_drawing import draw_cycle, draw_shadow
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.pressure_enthalpy import SIZE, draw_lines
from thermo_kit.charts.quick_artists import add_line, add_text

_RISE, _DROP = 34.0, -54.0


def exchange_diagram(lines, effect, look):
    """Draw the cycle with the exchanger, the one without as a dashed shadow, and the heat given and taken."""
    return two_layers(
        draw_lines,
        lambda axes: _draw(axes, effect, look),
        still=(lines, look),
        sentence=_sentence(effect, look),
        size=SIZE,
    )


def _draw(axes, effect, look):
    draw_shadow(axes, effect.without, "without exchanger")
    draw_cycle(axes, effect.with_exchanger, look)
    if effect.heat <= 0.0:
        return
    one, _two, three, four, _five, six = (point.state for point in effect.with_exchanger.points)
    amount = look.text(effect.heat, "specific_enthalpy")
    _bracket(axes, (four, three), _RISE, f"{_warm(three)} gives {amount}", style.HIGH_SIDE)
    _bracket(axes, (six, one), _DROP, f"vapour takes {amount}", style.LOW_SIDE)


def _bracket(axes, ends, rise, words, colour):
    """A flat bracket between two points, off the line by so many pixels, with its words beside it."""
    (x1, y1), (x2, y2) = (axes.transData.transform((state.h, state.p)) for state in ends)
    y = (max(y1, y2) if rise > 0 else min(y1, y2)) + rise
    tick = -6.0 if rise > 0 else 6.0
    legs = {"pixels": True, "color": colour, "linewidth": 0.9, "linestyle": (0, (1, 2))}
    add_line(axes, [x1, x1, None, x2, x2], [y + tick, y1, None, y + tick, y2], **legs)
    add_line(
        axes, [x1, x1, x2, x2], [y + tick, y, y, y + tick], pixels=True, color=colour, linewidth=2.2,
        solid_capstyle="butt",
    )  # fmt: skip
    half = 3.2 * len(words)
    # Below the low side the points' own numbers take the room under the bracket.
    x, outside = ((x1 + x2) / 2, y + 11.0) if rise > 0 else (x2 + 8.0 + half, y)
    add_line(
        axes, [x - half, x + half], [outside, outside], pixels=True, color=style.PLATE, linewidth=15,
        alpha=0.85, solid_capstyle="butt",
    )  # fmt: skip
    add_text(axes, words, x, outside, color=colour, fontsize=style.TEXT - 1)


def _warm(state):
    return "cooled gas" if state.phase == "supercritical" else "liquid"


def _sentence(effect, look):
    bare, own = effect.without, effect.with_exchanger
    if effect.heat <= 0.0:
        return f"{own.refrigerant} on the pressure–enthalpy diagram, without heat exchanged between the lines."
    inlet, warm = own.points[0].state.T, _warm(own.points[2].state)
    valve = look.text(own.points[3].state.T, "temperature")
    return (
        f"{own.refrigerant} on the pressure–enthalpy diagram, with and without an internal heat exchanger. The {warm} "
        f"gives {look.text(effect.heat, 'specific_enthalpy')} and reaches the valve at {valve}; "
        f"the vapour takes the same and reaches the compressor at {look.text(inlet, 'temperature')}. Cooling from "
        f"5 to 6 grows from {look.text(bare.refrigerating_effect, 'specific_enthalpy')} to "
        f"{look.text(own.refrigerating_effect, 'specific_enthalpy')}; the hot gas from "
        f"{look.text(bare.discharge_temperature, 'temperature')} to "
        f"{look.text(own.discharge_temperature, 'temperature')}."
    )
