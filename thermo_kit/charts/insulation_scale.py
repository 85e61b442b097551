"""Insulation of a high-voltage system on one scale: compressor, other parts, both together, and the least value."""

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.shapes import add_box
from thermo_kit.units.text import ohms

SIZE = (760, 300)
_LOW, _HIGH = 1e4, 1e9
_ROWS = ("compressor", "other parts", "together")


def insulation_picture(result, look):
    """Draw three bars and the least value."""
    word = "reaches" if result.passes else "does not reach"
    sentence = (
        f"At {look.text(result.spec.voltage, 'voltage')} the system as a whole has {ohms(result.resistance)}, "
        f"{result.ohm_per_volt:,.0f} Ω/V. It {word} the least value of {ohms(result.least_resistance)}. "
        f"Compressor {ohms(result.spec.compressor)}, other parts {ohms(result.spec.others)}; "
        f"{result.leak_current * 1e3:.2f} mA could leak to the body."
    )
    return two_layers(
        _draw_axes, lambda axes: _draw(axes, result), sentence=sentence, still=(result.least_resistance,), size=SIZE
    )


def _draw_axes(figure, least):
    axes = figure.add_axes((0.15, 0.2, 0.8, 0.62))
    style.dress(axes, grid="x")
    axes.set(xscale="log", xlim=(_LOW, _HIGH), ylim=(-0.6, 2.6))
    axes.set_xticks([1e4, 1e5, 1e6, 1e7, 1e8, 1e9], ["10 kΩ", "100 kΩ", "1 MΩ", "10 MΩ", "100 MΩ", "1 GΩ"])
    axes.set_yticks([2, 1, 0], _ROWS)
    axes.set_xticks([], minor=True)
    axes.set_xlabel("insulation to the body")
    axes.axvspan(_LOW, least, facecolor="#fbeaec", edgecolor=style.WARNING, hatch="////", linewidth=0, alpha=0.6)
    axes.axvline(least, color=style.WARNING, linewidth=2.0)
    axes.text(least, 2.72, f"least value {ohms(least)}", ha="center", va="bottom", color=style.WARNING)


def _draw(axes, result):
    values, least = (result.spec.compressor, result.spec.others, result.resistance), result.least_resistance
    colour = style.GOOD if result.passes else style.WARNING
    for y, value, shade in zip((2, 1, 0), values, (style.TWO_PHASE, style.TWO_PHASE, colour), strict=True):
        end = min(max(value, _LOW * 1.02), _HIGH)
        add_box(axes, _LOW, y - 0.27, end, y + 0.28, facecolor=shade, alpha=0.6, edgecolor=style.INK, linewidth=0.6)
        words = ohms(value)
        if y == 0:
            words += ", enough" if result.passes else ", TOO LITTLE"
        inside = end > 5e7
        if end < least < 7 * end:
            end = least  # the words would lie across the line of the least value
        axes.text(
            end / 1.15 if inside else end * 1.15, y, words, ha="right" if inside else "left", va="center",
            fontweight="bold" if y == 0 else "normal",
            bbox={"facecolor": style.PLATE, "edgecolor": "none", "alpha": 0.85, "pad": 2},
        )  # fmt: skip
