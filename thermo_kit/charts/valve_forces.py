"""The head of an expansion valve cut open, with the three forces on its diaphragm as arrows and as a balance."""

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text

SIZE = (880, 500)
_MIDDLE, _DIAPHRAGM, _HALF = 282.0, 330.0, 110.0
_SEAT, _PORT = 178.0, 24.0
_LONGEST = 92.0
_LIFT = 20.0
_SCALES = (20.0, 35.0, 50.0, 75.0, 100.0, 125.0, 150.0, 200.0, 250.0, 300.0, 400.0, 600.0, 800.0, 1600.0)
_BAR_LEFT, _BAR_WIDTH = 590.0, 270.0
_UP, _DOWN, _SPRING = style.LOW_SIDE, style.HIGH_SIDE, style.GOOD
_HATCH = {"bulb": "///", "evaporator": "\\\\\\", "spring": "xx"}
# No dots: each takes many curves, and a slider would wait for them.
WORDS = {
    "closed": "CLOSED: the pin rests on its seat",
    "partly open": "PARTLY OPEN: all forces cancel",
    "fully open": "FULLY OPEN: the pin stands at its stop",
}


def force_picture(balance, look, *, bulb_lost=False):
    """Draw the forces on the diaphragm of a valve."""
    needed = max(balance.bulb_force, balance.evaporator_force + balance.spring_force)
    scale = next((value for value in _SCALES if value >= needed), needed)
    return two_layers(
        _draw_body,
        lambda axes: _draw_forces(axes, balance, look, scale, bulb_lost),
        sentence=_sentence(balance, look),
        still=(balance.spec.equalisation,),
        size=SIZE,
    )


def _sentence(balance, look):
    closing = balance.evaporator_force + balance.spring_force
    state = WORDS[balance.state].capitalize()
    return (
        f"Bulb pushes open with {look.text(balance.bulb_force, 'force')}. Evaporator "
        f"({look.text(balance.evaporator_force, 'force')}) and spring ({look.text(balance.spring_force, 'force')}) "
        f"push shut with {look.text(closing, 'force')} together. "
        f"At {look.text(balance.superheat, 'temperature_difference')} of superheat "
        f"the pin is at {balance.opening_share * 100:.0f} % of its way. {state}."
    )


def _draw_body(figure, equalisation):
    from matplotlib.patches import Polygon, Rectangle

    axes = figure.add_axes((0, 0, 1, 1))
    axes.set(xlim=(0, SIZE[0]), ylim=(0, SIZE[1]))
    axes.set_axis_off()
    x, half = _MIDDLE, _HALF
    body = {"facecolor": "#eceff1", "edgecolor": style.SOFT_INK, "linewidth": 1.2}
    axes.add_patch(Rectangle((x - half - 10, _DIAPHRAGM - 76), 2 * half + 20, 76, **body))
    axes.add_patch(Rectangle((x - half - 10, _DIAPHRAGM), 2 * half + 20, 112, **{**body, "facecolor": "#fdf1e8"}))
    axes.add_patch(Rectangle((x - 70, 40), 140, _DIAPHRAGM - 116, **body))
    for side in (-1, 1):
        axes.add_patch(
            Polygon(
                [
                    (x + side * 70, _SEAT),
                    (x + side * _PORT, _SEAT),
                    (x + side * _PORT, _SEAT - 12),
                    (x + side * 70, _SEAT - 12),
                ],
                facecolor=style.SOFT_INK,
                edgecolor=style.INK,
                linewidth=1,
            )
        )
    axes.text(x, _DIAPHRAGM + 97, "head, joined to the bulb", ha="center", va="center", fontsize=style.SMALL_TEXT + 1)
    below = "pressure of the valve's own outlet" if equalisation == "internal" else "pressure of the evaporator's end"
    axes.text(
        x - half - 16,
        _DIAPHRAGM - 58,
        below.replace(" of ", "\nof "),
        ha="right",
        va="center",
        fontsize=style.SMALL_TEXT + 1,
    )
    axes.text(x - half - 16, _DIAPHRAGM, "diaphragm", ha="right", va="center", fontsize=style.SMALL_TEXT + 1)
    axes.text(x + 80, _SEAT - 6, "seat", va="center", fontsize=style.SMALL_TEXT + 1)
    axes.annotate(
        "liquid in",
        (x - 72, 92),
        (x - 150, 92),
        va="center",
        ha="right",
        fontsize=style.SMALL_TEXT + 1,
        arrowprops={"arrowstyle": "-|>", "color": style.LIQUID, "lw": 2},
    )
    axes.annotate(
        "", (x + 150, 212), (x + 72, 212), arrowprops={"arrowstyle": "-|>", "color": style.TWO_PHASE, "lw": 2}
    )
    axes.text(x + 155, 212, "to the evaporator", va="center", fontsize=style.SMALL_TEXT + 1)
    axes.text(_BAR_LEFT, 452, "Who is stronger?", fontsize=style.LARGE_TEXT, fontweight="bold", va="center")


def _draw_forces(axes, balance, look, scale, bulb_lost):
    from matplotlib.patches import Polygon

    x = _MIDDLE
    drop = _LIFT * balance.opening_share
    across = [x - _HALF - 10, x - 60, x, x + 60, x + _HALF + 10]
    add_line(axes, across, [_DIAPHRAGM, *[_DIAPHRAGM - 0.8 * drop] * 3, _DIAPHRAGM], color=style.INK, linewidth=3.0)
    # The cone hangs below the seat: the spring pushes it up and shut, the diaphragm pushes it down and open.
    top = _SEAT + 17 - drop
    add_line(axes, [x, x], [_DIAPHRAGM - 0.8 * drop, top], color=style.SOFT_INK, linewidth=6.0)
    cone = [(x - 32, top - 44), (x + 32, top - 44), (x + 8, top), (x - 8, top)]
    axes.add_artist(Polygon(cone, facecolor="#9aa5ad", edgecolor=style.INK))
    _spring(axes, x, 44.0, top - 44)
    size = _LONGEST / scale
    _arrow(axes, x - 40, _DIAPHRAGM - 0.8 * drop + 4, balance.bulb_force * size, "down", _DOWN)
    bold = {"ha": "left", "fontweight": "bold"}
    add_text(axes, f"bulb {look.text(balance.bulb_force, 'force')}", x - 24, _DIAPHRAGM + 58, color=_DOWN, **bold)
    low = _DIAPHRAGM - 0.8 * drop - 4
    _arrow(axes, x - 66, low, min(balance.evaporator_force * size, 62), "up", _UP)
    _arrow(axes, x + 60, low, min(balance.spring_force * size, 62), "up", _SPRING)
    left, right, y = x - _HALF - 16, x + _HALF + 16, _DIAPHRAGM - 30
    felt = f"evaporator {look.text(balance.evaporator_force, 'force')}"
    add_text(axes, felt, left, y, ha="right", fontweight="bold", color=_UP)
    add_text(axes, f"spring {look.text(balance.spring_force, 'force')}", right, y, color=_SPRING, **bold)
    _draw_balance(axes, balance, look, scale)
    colour = style.WARNING if balance.state != "partly open" else style.GOOD
    head, _, rest = WORDS[balance.state].partition(": ")
    add_text(axes, head, _BAR_LEFT, 190, ha="left", color=colour, fontsize=style.LARGE_TEXT + 2, fontweight="bold")
    add_text(axes, rest, _BAR_LEFT, 168, ha="left")
    add_text(axes, f"opening: {balance.opening_share * 100:.0f} % of its way", _BAR_LEFT, 140, ha="left")
    static = balance.static_superheat
    never = "never: the bulb is empty" if bulb_lost else "never, at this pressure"
    told = never if static is None else look.text(static, "temperature_difference")
    add_text(
        axes, f"superheat now: {look.text(balance.superheat, 'temperature_difference')}", _BAR_LEFT, 116, ha="left"
    )
    add_text(axes, f"opens from: {told}", _BAR_LEFT, 92, ha="left")


def _spring(axes, x, low, high):
    turns = 7
    xs = [x + (22 if k % 2 else -22) for k in range(2 * turns + 1)]
    ys = [low + (high - low) * k / (2 * turns) for k in range(2 * turns + 1)]
    add_line(axes, xs, ys, color=_SPRING, linewidth=2.4)


def _arrow(axes, x, y, length, way, colour):
    length = max(length, 10.0)
    tail = y + length if way == "down" else y - length
    add_line(axes, [x, x], [tail, y], color=colour, linewidth=5.0, solid_capstyle="butt")
    add_line(
        axes,
        [x],
        [y + (4 if way == "down" else -4)],
        color=colour,
        marker="v" if way == "down" else "^",
        markersize=13,
        linestyle="none",
    )


def _draw_balance(axes, balance, look, scale):
    from matplotlib.patches import Rectangle

    unit = _BAR_WIDTH / scale
    pieces = (
        (380, 0.0, balance.bulb_force, "bulb", "#fbe6d8", _DOWN),
        (290, 0.0, balance.evaporator_force, "evaporator", "#e3f0f9", _UP),
        (290, balance.evaporator_force, balance.spring_force, "spring", "#dceee8", _SPRING),
    )
    for y, start, force, name, face, edge in pieces:
        axes.add_artist(
            Rectangle(
                (_BAR_LEFT + start * unit, y),
                force * unit,
                34,
                facecolor=face,
                edgecolor=edge,
                hatch=_HATCH[name],
                linewidth=1.4,
            )
        )
    add_text(axes, f"opens: bulb {look.text(balance.bulb_force, 'force')}", _BAR_LEFT, 425, ha="left", color=_DOWN)
    closing = look.text(balance.evaporator_force + balance.spring_force, "force")
    add_text(axes, f"shuts: evaporator + spring {closing}", _BAR_LEFT, 335, ha="left", color=_UP)
    for force, colour in ((balance.bulb_force, _DOWN), (balance.evaporator_force + balance.spring_force, _UP)):
        place = _BAR_LEFT + force * unit
        for low, high in ((276, 324), (346, 420)):  # the words between the bars stay free
            add_line(axes, [place, place], [low, high], color=colour, linewidth=1.0, linestyle=(0, (3, 2)))
    seat = balance.surplus
    if balance.state == "closed":
        told = f"the seat holds {look.text(-seat, 'force')}"
    elif balance.state == "fully open":
        told = f"the stop holds {look.text(seat, 'force')}"
    else:
        told = (
            "both are equal"
            if abs(seat) < 0.005 * balance.bulb_force
            else f"{look.text(abs(seat), 'force')} are left over"
        )
    add_text(axes, told, _BAR_LEFT, 256, ha="left", color=style.SOFT_INK)
