"""Flow of an expansion valve over superheat, and over the evaporating temperature for three bulb charges."""

from thermo_kit.charts import style
from thermo_kit.charts.labels import AROUND, ClearSpace
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks

SIZE = (900, 440)
_BOXES = ((70, 60, 360, 310), (520, 60, 300, 310))
_TOPS = (0.01, 0.02, 0.03, 0.05, 0.08, 0.12, 0.2, 0.3, 0.5, 0.8, 1.2, 2.0)


def opening_picture(curves, look):
    """Draw how a valve opens."""
    most = max(curves.full_flow, *(max(flows) for _, flows in curves.flows_by_charge))
    top = next((value for value in _TOPS if value >= 1.32 * most), most)
    window = (curves.boiling[0], curves.boiling[-1])
    return two_layers(
        _draw_axes,
        lambda left, right: _draw(left, right, curves, look),
        sentence=_sentence(curves, look),
        still=(top, curves.superheats[-1], window, look),
        size=SIZE,
    )


_BESIDE = ((6, 0, "left"), (-6, 0, "right"), (6, -22, "left"), (-6, -22, "right"), (6, -44, "left"), (-6, -44, "right"))
_FAR = tuple((side * far, rise, "left" if side > 0 else "right")
             for far in (34, 60, 90) for rise in (0, -16, 16) for side in (1, -1))  # fmt: skip


def _sentence(curves, look):
    static = curves.static_superheat
    opens = (
        f"It leaves its seat at {look.text(static, 'temperature_difference')} of superheat"
        if static is not None
        else "It cannot leave its seat here"
    )
    full = curves.full_superheat
    if full is not None:
        opens += f" and is fully open with {look.text(full, 'temperature_difference')} of it"
    return (
        f"Evaporating at {look.text(curves.evaporating_temperature, 'temperature')}. {opens}. At "
        f"{look.text(curves.superheat, 'temperature_difference')} it passes {look.text(curves.flow, 'mass_flow')}. "
        f"A gas charge would shut it above {look.text(curves.maximum_operating_pressure, 'pressure')}, where it "
        f"boils at {look.text(curves.maximum_operating_temperature, 'temperature')}."
    )


def _draw_axes(figure, top, widest, window, look):
    titles = ("More superheat, more flow", "The same superheat, another boiling point")
    for (left, low, wide, tall), title in zip(_BOXES, titles, strict=True):
        axes = figure.add_axes((left / SIZE[0], low / SIZE[1], wide / SIZE[0], tall / SIZE[1]))
        style.dress(axes)
        axes.set_ylim(0, top)
        set_ticks(axes.yaxis, linear_ticks(look, "mass_flow", 0.0, top, count=6))
        figure.text(left / SIZE[0], 410 / SIZE[1], title, fontsize=style.TEXT, fontweight="bold")
    first, second = figure.axes
    first.set_xlim(0, widest)
    set_ticks(first.xaxis, linear_ticks(look, "temperature_difference", 0.0, widest, count=6))
    first.set_xlabel(axis_title("superheat at the bulb", "temperature_difference", look))
    first.set_ylabel(axis_title("flow", "mass_flow", look))
    second.set_xlim(*window)
    set_ticks(second.xaxis, linear_ticks(look, "temperature", *window, count=6))
    second.set_xlabel(axis_title("evaporating temperature", "temperature", look))


def _draw(left, right, curves, look):
    add_line(left, curves.superheats, curves.flows, color=style.LIQUID, linewidth=3.0)
    bottom, top = left.get_ylim()
    at = left.transData.transform
    static, full = curves.static_superheat, curves.full_superheat
    named = []
    space = ClearSpace(left)
    space.keep_off_line(curves.superheats, curves.flows)
    for value, words, share, dashes in ((static, "opens", 0.95, (0, (2, 2))), (full, "fully open", 0.87, (0, (6, 2)))):
        if value is None or not 0.0 <= value <= left.get_xlim()[1]:
            continue
        add_line(left, [value, value], [bottom, share * top], color=style.SOFT_INK, linewidth=1.2, linestyle=dashes)
        space.keep_off_line([value, value], [bottom, share * top])
        named.append((value, share, f"{words} {look.text(value, 'temperature_difference')}"))
    for value, share, text in named:
        space.write(text, value, share * top, places=_BESIDE, color=style.SOFT_INK)
    add_line(left, [curves.superheat], [curves.flow], color=style.CYCLE, marker="o", markersize=10, linestyle="none")
    words = f"now {look.text(curves.flow, 'mass_flow')}"
    space.write(words, curves.superheat, curves.flow, places=(*AROUND, *_FAR), color=style.CYCLE, bold=True)
    if static is None:
        add_text(
            left, "stays shut at this boiling point", *at((0.5 * left.get_xlim()[1], 0.5 * top)), color=style.WARNING
        )
    _draw_charges(right, curves, look)


def _draw_charges(right, curves, look):
    bottom, top = right.get_ylim()
    for index, (name, flows) in enumerate(curves.flows_by_charge):
        colour, dashes, _ = style.series_style(index)
        own = name == curves.spec.charge
        add_line(right, curves.boiling, flows, color=colour, linestyle=dashes, linewidth=3.2 if own else 1.8)
    here = curves.evaporating_temperature
    add_line(right, [here, here], [bottom, 0.76 * top], color=style.INK, linewidth=1.0, linestyle=(0, (4, 3)))
    limit = curves.maximum_operating_temperature
    low, high = right.get_xlim()
    if low <= limit <= high:
        add_line(
            right, [limit], [0.0], color=style.SERIES[2][0], marker="^", markersize=10, linestyle="none", clip_on=False
        )
    left_px, top_px = right.transAxes.transform((0, 1))
    for index, (name, _) in enumerate(curves.flows_by_charge):
        colour, dashes, _ = style.series_style(index)
        y = top_px - 8 - 15 * index
        add_line(right, [left_px + 8, left_px + 40], [y, y], pixels=True, color=colour, linestyle=dashes, linewidth=2.4)
        mark = " (this valve)" if name == curves.spec.charge else ""
        add_text(right, name + mark, left_px + 46, y, ha="left", color=colour, fontsize=style.SMALL_TEXT + 1)
    words = f"▲ gas charge: limit {look.text(curves.maximum_operating_pressure, 'pressure')}"
    add_text(right, words, left_px + 8, top_px - 54, ha="left", color=style.SERIES[2][0], fontsize=style.SMALL_TEXT + 1)
