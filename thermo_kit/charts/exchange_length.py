"""What more length brings, what friction takes of it, and how hot the gas gets."""

from dataclasses import dataclass

from thermo_kit.charts import style
from thermo_kit.charts.exchanger_profile import length_text
from thermo_kit.charts.labels import name_ends
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks
from thermo_kit.units.look import signed_percent

SIZE = (860, 400)
_LEFT, _RIGHT = (58.0, 52.0, 390.0, 290.0), (616.0, 52.0, 230.0, 290.0)


@dataclass(frozen=True)
class LengthSeries:
    """What is drawn: lengths [m], rising, and for each of them changes as shares and the hot gas [K].

    frictionless, cooling: of each litre drawn in, without and with pressure losses; cop: of the COP;
    chosen: one of the lengths; best: the length that cools most [m], None where none pays;
    discharge_limit: highest allowed temperature behind the compressor [K]
    """

    refrigerant: str
    lengths: tuple
    frictionless: tuple
    cooling: tuple
    cop: tuple
    discharge_temperature: tuple
    chosen: float
    best: float | None
    discharge_limit: float


def exchange_length(shown, look):
    """Draw gains and hot gas against length."""
    values = (*shown.frictionless, *shown.cooling, *shown.cop)
    top, bottom = 0.02 * -(-max(*values, 0.02) * 1.05 // 0.02), min(0.01 * (min(values) // 0.01), 0.0)
    hot = (*shown.discharge_temperature, shown.discharge_limit)
    window = (10.0 * ((min(hot) - 275.15) // 10.0) + 273.15, 10.0 * -(-(max(hot) - 271.15) // 10.0) + 273.15)
    return two_layers(
        _draw_axes,
        lambda gain, heat: _draw(gain, heat, shown, look),
        still=(look, shown.lengths[-1], (bottom, top), window),
        sentence=_sentence(shown, look),
        size=SIZE,
    )


def _draw_axes(figure, look, longest, gains, window):
    for (left, bottom, width, height), title, kind, limits in (
        (_LEFT, "What it brings: change against no exchanger, %", "percent", gains),
        (_RIGHT, axis_title("Hot gas", "temperature", look), "temperature", window),
    ):
        axes = figure.add_axes([left / SIZE[0], bottom / SIZE[1], width / SIZE[0], height / SIZE[1]])
        style.dress(axes)
        axes.set(xlim=(0, longest), ylim=limits)
        set_ticks(axes.xaxis, linear_ticks(look, "length", 0.0, longest, count=5))
        set_ticks(axes.yaxis, linear_ticks(look, kind, *limits, count=7))
        axes.set_xlabel(axis_title("Length", "length", look))
        figure.text(left / SIZE[0], 374 / SIZE[1], title, fontsize=style.TEXT, fontweight="bold")
        if kind == "percent":
            axes.axhline(0.0, color=style.INK, linewidth=1.1)


def _draw(gain, heat, shown, look):
    from matplotlib.patches import Polygon, Rectangle

    chosen = shown.lengths.index(shown.chosen)
    outline = [*zip(shown.lengths, shown.frictionless, strict=True)]
    outline += [*zip(reversed(shown.lengths), reversed(shown.cooling), strict=True)]
    gain.add_artist(
        Polygon(outline, closed=True, facecolor="#f3eef8", edgecolor=style.AIR, hatch="\\\\\\", linewidth=0)
    )
    rows = (
        ("cooling, no friction", shown.frictionless, style.SOFT_INK, (0, (2, 1.5)), "o"),
        ("cooling", shown.cooling, style.LOW_SIDE, "solid", "o"),
        ("COP", shown.cop, style.GOOD, (0, (7, 2, 1.5, 2)), "^"),
    )
    ends = []
    for name, values, colour, dashes, marker in rows:
        add_line(gain, shown.lengths, values, color=colour, linestyle=dashes, linewidth=2.4)
        add_line(
            gain, [shown.chosen], [values[chosen]], color=colour, linestyle="none", marker=marker, markersize=7,
            markeredgecolor=style.PLATE,
        )  # fmt: skip
        ends.append((values[-1], name, colour))
    name_ends(gain, ends, gain.bbox.x1 + 5, gap=15.0, size=style.SMALL_TEXT)
    limit, top, longest = shown.discharge_limit, heat.get_ylim()[1], shown.lengths[-1]
    forbidden = {"facecolor": "#fbeaec", "edgecolor": style.WARNING, "hatch": "////", "linewidth": 0}
    heat.add_artist(Rectangle((0, limit), longest, top - limit, **forbidden))
    add_line(heat, [0, longest], [limit, limit], color=style.WARNING, linewidth=2.0)
    right, above = heat.transAxes.transform((1, 1))
    words = f"hatched: above {look.text(limit, 'temperature', 0)}"
    add_text(heat, words, right, above + 14, ha="right", color=style.WARNING, fontsize=style.SMALL_TEXT + 1)
    add_line(heat, shown.lengths, shown.discharge_temperature, color=style.HIGH_SIDE, linewidth=2.4)
    add_line(
        heat, [shown.chosen], [shown.discharge_temperature[chosen]], color=style.HIGH_SIDE, linestyle="none",
        marker="s", markersize=7, markeredgecolor=style.PLATE,
    )  # fmt: skip
    for axes in (gain, heat):
        add_line(axes, [shown.chosen] * 2, axes.get_ylim(), color=style.INK, linewidth=1.0, linestyle=(0, (4, 3)))


def _sentence(shown, look):
    i = shown.lengths.index(shown.chosen)
    lost = shown.frictionless[i] - shown.cooling[i]
    hot, limit = (look.text(T, "temperature") for T in (shown.discharge_temperature[i], shown.discharge_limit))
    verdict = "below" if shown.discharge_temperature[i] <= shown.discharge_limit else "above"
    reached = f"at the limit {limit}" if hot == limit else f"{verdict} the limit {limit}"
    if shown.best is None:
        peak = "No length pays."
    elif shown.best < shown.lengths[-1]:
        peak = f"More than {length_text(shown.best, look)} brings no more."
    else:
        peak = "It still grows at the end of the chart."
    return (
        f"{shown.refrigerant}, {length_text(shown.chosen, look)} long: with the same compressor the cooling changes by "
        f"{signed_percent(shown.cooling[i])}; without friction it would be {signed_percent(shown.frictionless[i])}, so "
        f"friction takes {lost * 100:.1f} points. COP {signed_percent(shown.cop[i])}. Hot gas {hot}, {reached}. {peak}"
    )
