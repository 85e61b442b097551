"""What an internal heat exchanger does to several refrigerants: cooling, COP and hot gas against effectiveness."""

from thermo_kit.charts import style
from thermo_kit.charts.labels import name_ends
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.scales import linear_ticks, set_ticks
from thermo_kit.substances.names import REFRIGERANT_NAMES
from thermo_kit.units.look import signed_percent

SIZE = (940, 430)
_BOTTOM, _HEIGHT = 52.0, 318.0
_BOXES = ((50.0, 210.0), (352.0, 210.0), (654.0, 210.0))
_GAP = 13.5
_STEPS = (0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.6, 0.8, 1.2, 2.0)


def exchange_curves(compared, effectiveness, discharge_limit, look):
    """Draw three charts side by side, each with one line a refrigerant; effectiveness [-], discharge_limit [K]."""
    compared = tuple(compared)
    shares = [value for row in compared for value in row.curve.volumetric_capacity_change]
    gains = [value for row in compared for value in row.curve.cop_change]
    heats = [value for row in compared for value in row.curve.discharge_temperature]
    hottest = max(*heats, discharge_limit)
    windows = (
        _window(shares),
        _window(gains),
        (20.0 * ((min(heats) - 273.15) // 20.0) + 273.15, 20.0 * -(-(hottest - 273.15 + 4.0) // 20.0) + 273.15),
    )
    return two_layers(
        _draw_axes,
        lambda *axes: _draw(axes, compared, effectiveness, discharge_limit, look),
        still=(windows, look),
        sentence=_sentence(compared, effectiveness, discharge_limit, look),
        size=SIZE,
    )


def _window(values):
    top = next((s for s in _STEPS if s >= max(values) * 1.02), max(values))
    bottom = -next((s for s in _STEPS if s >= -min(values) * 1.02), 2.0) if min(values) < -0.002 else -0.02 * top
    return bottom, top


def _draw_axes(figure, windows, look):
    titles = (
        ("Cooling, same compressor", "change, %", "percent"),
        ("COP", "change, %", "percent"),
        ("Hot gas behind the compressor", look.sign("temperature"), "temperature"),
    )
    for (left, width), window, (title, sign, kind) in zip(_BOXES, windows, titles, strict=True):
        axes = figure.add_axes([left / SIZE[0], _BOTTOM / SIZE[1], width / SIZE[0], _HEIGHT / SIZE[1]])
        style.dress(axes)
        axes.set(xlim=(0, 1), ylim=window)
        axes.set_xticks([0, 0.2, 0.4, 0.6, 0.8, 1.0], ["0", "0.2", "0.4", "0.6", "0.8", "1"])
        set_ticks(axes.yaxis, linear_ticks(look, kind, *window, count=7))
        axes.set_xlabel("effectiveness")
        figure.text(left / SIZE[0], 406 / SIZE[1], title, fontsize=style.TEXT, fontweight="bold")
        figure.text(left / SIZE[0], 386 / SIZE[1], sign, fontsize=style.SMALL_TEXT + 1, color=style.SOFT_INK)
        if kind == "percent":
            axes.axhline(0.0, color=style.INK, linewidth=1.1)


def _draw(axes, compared, effectiveness, limit, look):
    from matplotlib.patches import Rectangle

    top = axes[2].get_ylim()[1]
    axes[2].add_artist(
        Rectangle((0, limit), 1, top - limit, facecolor="#fbeaec", edgecolor=style.WARNING, hatch="////", linewidth=0)
    )
    add_line(axes[2], [0, 1], [limit, limit], color=style.WARNING, linewidth=2.0)
    right, top = axes[2].transAxes.transform((1, 1))
    words = f"hatched: above {look.text(limit, 'temperature', 0)}"
    add_text(axes[2], words, right + 70, top + 16, ha="right", color=style.WARNING, fontsize=style.SMALL_TEXT + 1)
    fields = ("volumetric_capacity_change", "cop_change", "discharge_temperature")
    for one, field in zip(axes, fields, strict=True):
        add_line(one, [effectiveness] * 2, one.get_ylim(), color=style.INK, linewidth=1.0, linestyle=(0, (4, 3)))
        ends = []
        for row in compared:
            colour, dashes, marker = style.series_style(REFRIGERANT_NAMES.index(row.curve.refrigerant))
            values = getattr(row.curve, field)
            add_line(one, row.curve.effectiveness, values, color=colour, linestyle=dashes, linewidth=2.2)
            if row.chosen is not None:
                add_line(
                    one, [effectiveness], [getattr(row.chosen, field)], color=colour, linestyle="none", marker=marker,
                    markersize=7, markeredgecolor=style.PLATE, markeredgewidth=0.8,
                )  # fmt: skip
            ends.append((values[-1], row.curve.refrigerant, colour))
        name_ends(one, ends, one.bbox.x1 + 6, gap=_GAP, size=style.TEXT - 1, high=one.bbox.y1)
    _mark_crossings(axes[2], compared, limit)


def _mark_crossings(axes, compared, limit):
    found = [row.largest_effectiveness for row in compared if row.limited_by == "discharge temperature"]
    x = [value for value in found if value is not None]
    add_line(
        axes, x, [limit] * len(x), linestyle="none", marker="X", markersize=10, color=style.WARNING,
        markeredgecolor=style.PLATE,
    )  # fmt: skip


def _sentence(compared, effectiveness, limit, look):
    told = [f"An internal heat exchanger of effectiveness {effectiveness:.2f}."]
    for row in compared:
        name, chosen = row.curve.refrigerant, row.chosen
        if chosen is None:
            told.append(f"{name}: so much heat cannot flow; its curve ends at {row.curve.effectiveness[-1]:.2f}.")
            continue
        hot = look.text(chosen.discharge_temperature, "temperature")
        told.append(
            f"{name}: cooling with the same compressor {signed_percent(chosen.volumetric_capacity_change)}, COP "
            f"{signed_percent(chosen.cop_change)}, hot gas {hot}."
        )
    shown = look.text(limit, "temperature")
    crossing = [row for row in compared if row.limited_by == "discharge temperature"]
    told += [
        f"{row.curve.refrigerant} passes the limit {shown} "
        + ("even without one." if row.largest_effectiveness is None else f"beyond {row.largest_effectiveness:.2f}.")
        for row in crossing
    ]
    if not crossing:
        told.append(f"None passes the limit {shown}.")
    return " ".join(told)
