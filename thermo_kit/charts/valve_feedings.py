"""Four ways to feed one evaporator, one lane each: what opens, how far it boils, what gauge and scan tool show."""

from dataclasses import dataclass

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text

SIZE = (900, 470)
_TOP, _STEP = 408.0, 108.0
_LEFT, _WIDE, _HIGH = 250.0, 300.0, 40.0
_SIDE = 590.0


@dataclass(frozen=True)
class Lane:
    """One feeding as it is drawn: name; opens: what moves it, in words; boiling: share of the evaporator, 0 to 1; wet:
    whether liquid leaves; outlet, gauge, scan: readings in words, scan empty where there is nothing to plug into; good:
    whether it runs as meant"""

    name: str
    opens: str
    boiling: float
    wet: bool
    outlet: str
    gauge: str
    scan: str
    good: bool


def feedings_picture(lanes, *, sentence):
    """Draw feedings below each other."""
    names = tuple((lane.name, lane.opens) for lane in lanes)
    return two_layers(_draw_names, lambda axes: _draw(axes, lanes), sentence=sentence, still=(names,), size=SIZE)


def _draw_names(figure, names):
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set(xlim=(0, SIZE[0]), ylim=(0, SIZE[1]))
    axes.set_axis_off()
    small = style.SMALL_TEXT + 1
    axes.text(_LEFT, 452, "from the valve →", fontsize=small, va="center")
    axes.text(_LEFT + _WIDE, 452, "outlet", fontsize=small, va="center", ha="right")
    axes.text(_SIDE, 452, "low-side gauge, evaporator outlet, scan tool", fontsize=small, va="center")
    for k, (name, opens) in enumerate(names):
        y = _TOP - k * _STEP
        axes.text(16, y + 12, name, fontsize=style.LARGE_TEXT, fontweight="bold", va="center")
        for row, words in enumerate(opens.split("\n")):
            axes.text(16, y - 10 - 17 * row, words, fontsize=small, va="center", color=style.SOFT_INK)


def _draw(axes, lanes):
    from matplotlib.patches import Rectangle

    for k, lane in enumerate(lanes):
        y = _TOP - k * _STEP
        boil = _LEFT + _WIDE * lane.boiling
        low = y - 0.5 * _HIGH
        wet, dry = {"facecolor": "#dcecf7", "hatch": ".."}, {"facecolor": "#f7efdc"}
        axes.add_artist(Rectangle((_LEFT, low), boil - _LEFT, _HIGH, edgecolor=style.LIQUID, linewidth=0, **wet))
        axes.add_artist(Rectangle((boil, low), _LEFT + _WIDE - boil, _HIGH, edgecolor=style.VAPOUR, linewidth=0, **dry))
        for edge in (low, low + _HIGH):
            add_line(axes, [_LEFT, _LEFT + _WIDE], [edge, edge], color=style.INK, linewidth=2.5)
        for start, end, words, colour in (
            (_LEFT, boil, "boiling", style.LIQUID),
            (boil, _LEFT + _WIDE, "dry", "#6e5208"),
        ):
            if end - start > 62:
                told = f"{words} {(end - start) / _WIDE * 100:.0f} %"
                add_text(axes, told, 0.5 * (start + end), y, color=colour, fontweight="bold")
        if lane.wet:
            x = _LEFT + _WIDE
            add_line(axes, [x + 8, x + 18, x + 28], [y, y + 8, y - 8], color=style.LIQUID, marker="o", markersize=7,
                     linestyle="none")  # fmt: skip
        colour = style.GOOD if lane.good else style.WARNING
        add_text(axes, lane.gauge, _SIDE, y + 20, ha="left", fontweight="bold", color=style.CYCLE)
        mark = "✓" if lane.good else "!"
        add_text(axes, f"{mark} {lane.outlet}", _SIDE, y, ha="left", fontweight="bold", color=colour)
        add_text(axes, lane.scan or "nothing to plug into", _SIDE, y - 20, ha="left", color=style.SOFT_INK)
