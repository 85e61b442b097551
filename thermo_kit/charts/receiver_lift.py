"""The pressure that the way from the liquid's surface to the subcooling pass takes, piece by piece."""

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_area, add_line, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks

SIZE = (700, 260)
_TOPS = (1e3, 2e3, 3e3, 5e3, 8e3, 12e3, 2e4, 3e4, 5e4, 1e5, 2e5, 5e5, 1e6)
_PIECES = (
    ("lift", "rise_pressure_drop", "#cfe3f1", "//"),
    ("mouth", "entrance_pressure_drop", "#efe3c8", ".."),
    ("pipe", "friction_pressure_drop", "#dceee8", "xx"),
    ("filter", "filter_pressure_drop", "#e6e0ee", "oo"),
)


def lift_picture(lift, look):
    """Draw the pressure drops end to end, and what they make of saturated liquid."""
    total = max(lift.total_pressure_drop, 0.0)
    top = next((value for value in _TOPS if 1.05 * total <= value), _TOPS[-1])
    parts = ", ".join(
        f"{name} {look.text(getattr(lift, field), 'pressure_difference', 2)}" for name, field, _, _ in _PIECES
    )
    sentence = (
        f"From the surface to the subcooling pass the pressure falls by "
        f"{look.text(lift.total_pressure_drop, 'pressure_difference', 2)}: "
        f"{parts}. Of saturated liquid {lift.flash_quality * 100:.2f} % by mass boils, "
        f"{lift.flash_volume_share * 100:.1f} % by volume; "
        f"to condense it again takes {lift.recondensing_share * 100:.1f} % of the subcooling pass."
    )
    return two_layers(
        _draw_axes, lambda axes: _draw_bar(axes, lift, look), sentence=sentence, still=(top, look), size=SIZE
    )


def _draw_axes(figure, top, look):
    axes = figure.add_axes((0.03, 0.26, 0.94, 0.40))
    axes.set(xlim=(0.0, top), ylim=(0.0, 1.0), yticks=[])
    for side in ("left", "right", "top"):
        axes.spines[side].set_visible(False)
    set_ticks(axes.xaxis, linear_ticks(look, "pressure_difference", 0.0, top))
    axes.set_xlabel(axis_title("pressure lost", "pressure_difference", look))


def _draw_bar(axes, lift, look):
    top = axes.get_xlim()[1]
    left, room = 0.0, -1.0
    for name, field, face, hatch in _PIECES:
        value = max(getattr(lift, field), 0.0)
        if value > 0.0:
            corners = ((left, 0.05), (left + value, 0.05), (left + value, 0.95), (left, 0.95))
            add_area(axes, [corners], facecolor=face, edgecolor=style.SOFT_INK, hatch=hatch, linewidth=0.8)
        middle = left + value / 2
        if value > 0.09 * top:
            add_text(axes, name, *axes.transData.transform((middle, 0.5)))
        else:
            room = max(middle, room + 0.09 * top)
            x, y = axes.transData.transform((room, 1.22))
            add_line(axes, [middle, room], [0.95, 1.2], color=style.SOFT_INK, linewidth=0.7, clip_on=False)
            add_text(axes, name, x, y + 0.6 * style.SMALL_TEXT, fontsize=style.SMALL_TEXT)
        left += value
    x, y = axes.transData.transform((0.0, 1.62))
    told = (
        f"boils on the way, by volume: {lift.flash_volume_share * 100:.1f} %; "
        f"takes {lift.recondensing_share * 100:.1f} % of the subcooling pass"
    )
    add_text(axes, told, x, y + 0.6 * style.TEXT, ha="left")
