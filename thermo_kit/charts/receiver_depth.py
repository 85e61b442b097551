"""How deep the standpipe's mouth must lie: both published depths against flow, and the band between them."""

from thermo_kit.charts import style
from thermo_kit.charts.labels import ClearSpace
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_area, add_line
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks

SIZE = (680, 460)
_DEPTHS = (0.04, 0.06, 0.09, 0.13, 0.2, 0.3, 0.5, 1.0)


def depth_picture(curves, look, *, words=None):
    """Draw the two published depths against flow, with the operating point."""
    tallest = max(curves.safe[-1], curves.depth)
    top = next((value for value in _DEPTHS if tallest <= value), _DEPTHS[-1])
    sentence = (
        f"With {look.text(curves.mass_flow, 'mass_flow')} through a bore of {look.text(curves.bore, 'length')} "
        f"the surface dips into the mouth at {look.text(curves.onset_here, 'length')}; on the safe side are "
        f"{look.text(curves.safe_here, 'length')} and more. "
        f"The mouth lies {look.text(curves.depth, 'length')} deep: {curves.regime}."
    )
    return two_layers(
        _draw_axes,
        lambda axes: _draw_curves(axes, curves, look, words),
        sentence=sentence,
        still=(curves.flows[-1], top, look),
        size=SIZE,
    )


def _draw_axes(figure, most, top, look):
    axes = figure.add_axes((0.11, 0.13, 0.86, 0.84))
    axes.set(xlim=(0.0, most), ylim=(0.0, top))
    style.dress(axes)
    set_ticks(axes.xaxis, linear_ticks(look, "mass_flow", 0.0, most))
    set_ticks(axes.yaxis, linear_ticks(look, "length", 0.0, top))
    axes.set_xlabel(axis_title("flow up the standpipe", "mass_flow", look))
    axes.set_ylabel(axis_title("depth of the mouth", "length", look))


def _draw_curves(axes, curves, look, words):
    most, top = axes.get_xlim()[1], axes.get_ylim()[1]
    safe, onset = (list(zip(curves.flows, line, strict=True)) for line in (curves.safe, curves.onset))
    for outline, face, edge, hatch in (
        ([(curves.flows[0], 0.0), *onset, (curves.flows[-1], 0.0)], "#f6d9dd", "#d98a96", ".."),
        ([*onset, *reversed(safe)], "#f4efe0", "#cdbb8d", "//"),
    ):
        add_area(axes, [outline], facecolor=face, edgecolor=edge, hatch=hatch, linewidth=0)
    add_line(axes, curves.flows, curves.safe, color=style.GOOD, linewidth=2.2, linestyle=(0, (7, 3)))
    add_line(axes, curves.flows, curves.onset, color=style.WARNING, linewidth=2.2, linestyle=(0, (2, 2)))
    space = ClearSpace(axes)
    space.keep_off_line(curves.flows, curves.safe)
    space.keep_off_line(curves.flows, curves.onset)
    depth = min(max(curves.depth, 0.0), top)
    add_line(
        axes, [curves.mass_flow], [depth], marker="D", markersize=10, color=style.CYCLE, markeredgecolor=style.PLATE,
        clip_on=False, zorder=6,
    )  # fmt: skip
    told = words or f"this receiver:\n{look.text(curves.depth, 'length')}, {curves.regime}"
    space.write(told, curves.mass_flow, depth, bold=True, color=style.CYCLE, zorder=7)
    _name_zones(space, curves, most, top)


def _name_zones(space, curves, most, top):
    down = tuple((0, -14 - 20 * step, "left") for step in range(6))
    space.write("above: flooded, only liquid goes up", 0.03 * most, top, places=down, bold=True, color=style.GOOD)
    spots = [int(share * len(curves.flows)) for share in (0.7, 0.36, 0.5, 0.8)]
    middles = [(curves.flows[k], 0.5 * (curves.safe[k] + curves.onset[k])) for k in spots]
    space.write_at_one_of("doubtful: swirl decides", middles, places=((0, 0, "center"),))
    small = {"size": style.SMALL_TEXT}
    left = tuple((-60 * step, 8, "right") for step in range(6))
    words = "below: the surface dips in, bubbles go up"
    space.write(words, 0.97 * most, 0.0, places=left, color=style.WARNING, **small)
    space.write("onset, Lubin & Springer", 0.97 * most, curves.onset[-1], places=left, color=style.WARNING, **small)
    beside = tuple((-6 - 12 * step, 10 + 6 * step, "right") for step in range(4))
    spots = [int(share * len(curves.flows)) for share in (0.36, 0.6, 0.8)]
    points = [(curves.flows[k], curves.safe[k]) for k in spots]
    space.write_at_one_of("safe side, ANSI/HI 9.8", points, places=beside, color=style.GOOD, **small)
