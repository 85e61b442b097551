"""The receiver-drier cut open: the whole vessel, and a close-up of the mouth below its tilted surface."""

import math
from dataclasses import dataclass

from thermo_kit.charts import pen, style
from thermo_kit.charts.labels import name_ends
from thermo_kit.charts.picture import still_layer
from thermo_kit.charts.told import sentence_of
from thermo_kit.units.look import percent

SIZE = (760, 600)
_WHOLE, _CLOSE = (0, 62, 350, 500), (352, 62, 382, 500)
_WALL, _THICK = "#6b747d", 5
_BUBBLES = {"flooded": 0, "vapour possible": 0, "vapour pulled down": 9, "uncovered": 14}
_LIQUID = {"facecolor": (0.0, 0.447, 0.698, 0.17), "edgecolor": "#7fb8d8", "hatch": style.HATCHES["liquid"]}
_DRAWN = {"facecolor": "#b9d9ea", "edgecolor": "#7fb8d8", "hatch": "///"}


@dataclass(frozen=True)
class View:
    """One window on the vessel: its box [px], the lowest height shown [m], and how much it shows [m]."""

    box: tuple
    bottom: float
    tall: float

    @property
    def per_pixel(self):
        """Metres that a pixel stands for [m]."""
        return self.tall / self.box[3]

    @property
    def top(self):
        """The highest height shown [m]."""
        return self.bottom + self.tall

    def axes(self, figure):
        """Add the window's axes to a figure."""
        half = 0.5 * self.box[2] * self.per_pixel
        return pen.window(figure, self.box, x=(-half, half), y=(self.bottom, self.top))


def _views_of(spec):
    tall = max(0.078, 2.0 * spec.diameter)
    return View(_WHOLE, -0.05 * spec.height, 1.22 * spec.height), View(_CLOSE, -0.07 * tall, tall)


def cutaway_picture(result, look):
    """Draw a receiver with its liquid, its standpipe and its desiccant bag."""
    still = still_layer(_draw_vessel, SIZE, result.spec)
    return still.under(_draw_liquid, result, look, sentence=_sentence(result, look))


def _sentence(result, look):
    depth = look.text(abs(result.submergence), "length")
    where = f"{depth} below the surface" if result.submergence > 0 else f"{depth} above the surface, in vapour"
    angle = look.text(result.surface_angle, "angle")
    stands = f"the surface tilts by {angle}" if result.surface_angle > 0 else "the surface is level"
    return sentence_of("receiver cut open", look, result, stands=stands, where=where)


def _draw_vessel(figure, spec):
    for view, title in zip(_views_of(spec), ("The whole vessel", "Close-up of the mouth"), strict=True):
        axes = view.axes(figure)
        _draw_parts(axes, spec, view)
        if view.box is _WHOLE:
            _label_whole(axes, spec, view)
        pen.caption(figure, title, view.box[0] + view.box[2] / 2, 585, ha="center", va="top", fontweight="bold")


def _draw_parts(axes, spec, view):
    radius, thick = spec.radius, _THICK * view.per_pixel
    top = min(spec.height, view.top)
    lids = (0.0, spec.height + thick) if top == spec.height else (0.0,)
    for side in (-1, 1):
        pen.box(axes, side * radius, -thick, side * (radius + thick), lids[-1] or top, facecolor=_WALL, linewidth=0)
    for lid in lids:
        pen.box(axes, -radius, lid - thick, radius, lid, facecolor=_WALL, linewidth=0)
    if spec.desiccant_mass and spec.desiccant_bottom < top:
        bag = {"facecolor": "#efe3c8", "edgecolor": "#7a5c14", "hatch": "ooo", "linewidth": 0.8}
        pen.box(axes, -0.94 * radius, spec.desiccant_bottom, 0.94 * radius, min(spec.bag_top, top), **bag)
    left, right, mouth, end = _standpipe(spec, view)
    pen.box(axes, left, mouth, right, end, facecolor=style.PLATE, linewidth=0, zorder=3)
    for x in (left, right):
        axes.plot([x, x], [mouth, end], color=style.INK, linewidth=2.2, zorder=6)


def _standpipe(spec, view):
    """Return left, right, mouth and end of the standpipe as far as it is in view; → [m]."""
    bore, x = spec.standpipe_diameter / 2, -spec.standpipe_offset
    return x - bore, x + bore, spec.mouth_height, min(1.10 * spec.height, view.top)


def _label_whole(axes, spec, view):
    radius, tall, unit = spec.radius, spec.height, view.per_pixel
    wall, inlet = radius + _THICK * unit, 0.93 * tall
    x, end = -spec.standpipe_offset, 1.10 * tall
    small = {"va": "center", "fontsize": style.SMALL_TEXT}
    pipe = radius - 2 * unit, inlet - 10 * unit, radius + 38 * unit, inlet + 10 * unit
    pen.box(axes, *pipe, facecolor="#f6efe0", edgecolor=_WALL, linewidth=0.8)
    pen.arrow(axes, (radius + 36 * unit, inlet), (radius + 2 * unit, inlet), style.VAPOUR, wide=2.2)
    pen.arrow(axes, (x, end - 4 * unit), (x, end + 26 * unit), style.LIQUID, wide=2.2)
    axes.text(wall + 40 * unit, inlet, "in, larger line:\nliquid and vapour\nfrom the condenser", **small)
    axes.text(x - 12 * unit, end + 12 * unit, "out, smaller line: to\nthe subcooling pass", ha="right", **small)
    labels = [("standpipe", 0.62 * tall, x), ("mouth", spec.mouth_height + 2 * unit, x)]
    if spec.desiccant_mass:
        labels[0] = ("standpipe", min(spec.bag_top + 0.08 * tall, 0.9 * tall), x)
        labels.append(("desiccant\nbag", spec.desiccant_bottom + 0.3 * spec.desiccant_height, -0.8 * radius))
    for words, height, at in labels:
        axes.annotate(words, (at, height), (-wall - 22 * unit, height), ha="right", zorder=7, **small,
                      arrowprops={"arrowstyle": "-", "color": style.SOFT_INK, "lw": 0.8})  # fmt: skip


def _draw_liquid(whole, close, result, look):
    views = _views_of(result.spec)
    for axes, view in zip((whole, close), views, strict=True):
        _fill(axes, result, view)
        _fill_pipe(axes, result, view)
        _name_phases(axes, result, view)
    _tell_depths(close, result, look, views[1])
    _tell_motion(whole, result, look)
    colours = {"flooded": style.GOOD, "vapour possible": style.INK}
    colour = colours.get(result.regime, style.WARNING)
    pen.text(whole, result.regime.upper(), 14, _WHOLE[1] - 19, ha="left", color=colour, bold=True,
             size=style.LARGE_TEXT)  # fmt: skip
    pen.text(whole, result.regime_words, 14, _WHOLE[1] - 39, ha="left")


def _surface(result, x):
    return result.axis_height + math.tan(result.surface_angle) * x


def _below(result, top):
    """Corners of the liquid: the part of the vessel's section below the surface, up to `top` [m]."""
    radius = result.spec.radius
    corners = [(-radius, 0.0), (radius, 0.0), (radius, top), (-radius, top)]
    kept = []
    for (x1, z1), (x2, z2) in zip(corners, corners[1:] + corners[:1], strict=True):
        over1, over2 = z1 - _surface(result, x1), z2 - _surface(result, x2)
        if over1 <= 0:
            kept.append((x1, z1))
        if (over1 <= 0) != (over2 <= 0):
            share = over1 / (over1 - over2)
            kept.append((x1 + share * (x2 - x1), z1 + share * (z2 - z1)))
    return kept


def _fill(axes, result, view):
    spec, radius, top = result.spec, result.spec.radius, min(result.spec.height, view.top)
    corners = _below(result, top)
    if len(corners) < 3:
        return
    pen.area(axes, [corners], linewidth=0, zorder=2, **_LIQUID)
    bore, at = spec.standpipe_diameter, -spec.standpipe_offset
    across = sorted({-radius + 2 * radius * k / 30 for k in range(31)} | {at + bore * k / 6 for k in range(-9, 10)})
    # The dip is drawn, not computed: a funnel of a pipe's width down to the mouth.
    dip = _surface(result, at) - spec.mouth_height if result.regime == "vapour pulled down" else 0.0
    heights = [_surface(result, x) - dip * math.exp(-(((x - at) / (0.45 * bore)) ** 2)) for x in across]
    shown = [(x, z) for x, z in zip(across, heights, strict=True) if -1e-9 <= z <= top and abs(x) <= radius]
    if shown:
        pen.line(axes, *zip(*shown, strict=True), color=style.LIQUID, linewidth=2.6, zorder=4)


def _fill_pipe(axes, result, view):
    left, right, mouth, end = _standpipe(result.spec, view)
    x, bore = 0.5 * (left + right), 0.5 * (right - left)
    if result.regime != "uncovered":
        pen.box(axes, left, mouth, right, end, linewidth=0.8, zorder=4, **_DRAWN)
    for side in (left, right):
        pen.line(axes, [side, side], [mouth, end], color=style.INK, linewidth=2.0, zorder=5)
    count = _BUBBLES[result.regime]
    if count:
        up = [mouth + (end - mouth) * (k + 0.5) / count for k in range(count)]
        across = [x + 0.45 * bore * (-1) ** k for k in range(count)]
        pen.point(axes, across, up, size=4.5 if bore / view.per_pixel < 12 else 9, color=style.PLATE,
                  rim=style.VAPOUR, wide=1.4, zorder=5)  # fmt: skip


def _name_phases(axes, result, view):
    spec, unit = result.spec, view.per_pixel
    top, x = min(spec.height, view.top), 0.42 * spec.radius
    surface = min(max(_surface(result, x), 0.0), top)
    size = style.SMALL_TEXT if 2 * spec.radius / unit < 120 else style.TEXT
    bag_in_view = spec.desiccant_mass and spec.desiccant_bottom < top
    if surface > 26 * unit:
        clear_of_bag = min(surface, spec.desiccant_bottom) if bag_in_view else surface
        height = max((0.25 if result.surface_angle > 0 else 0.5) * clear_of_bag, 10 * unit)
        pen.words(axes, "liquid", x, height, size=size, color="#00496f", zorder=8)
    low = surface
    if bag_in_view:
        over_bag = spec.bag_top < top - 26 * unit
        low, top = (max(surface, spec.bag_top), top) if over_bag else (surface, spec.desiccant_bottom)
    if top - low > 26 * unit:
        pen.words(axes, "vapour", x, 0.5 * (low + top), size=size, color="#6e5208", zorder=8)


def _tell_depths(axes, result, look, view):
    """Draw where the surface would have to stand, by both published depths, and how deep the mouth lies."""
    spec, radius, unit = result.spec, result.spec.radius, view.per_pixel
    slope, at, mouth = math.tan(result.surface_angle), -spec.standpipe_offset, spec.mouth_height
    square = math.hypot(1.0, slope)

    def line(depth, **how):
        heights = [mouth + depth * square + slope * (x - at) for x in (-radius, radius)]
        pen.line(axes, (-radius, radius), heights, zorder=5, **how)
        return heights[1]

    names = []
    for words, depth, dashes, colour in (
        ("safe side", result.safe_submergence, (0, (7, 3)), style.GOOD),
        ("dips in", result.onset_submergence, (0, (2, 2)), style.WARNING),
    ):
        height = line(depth, color=colour, linewidth=1.8, linestyle=dashes)
        higher = "\n(higher up)" if height > view.top else ""
        shown = min(max(height, 4 * unit), view.top - 24 * unit)
        names.append((shown, f"{words}:\n{look.text(depth, 'length')}{higher}", colour))
    right, highest = axes.transData.transform((radius + 10 * unit, view.top - 24 * unit))
    name_ends(axes, names, right, gap=36.0, size=style.SMALL_TEXT, high=highest)
    if slope:
        line(0.0, color=style.SOFT_INK, linewidth=0.8)
    depth = result.submergence
    # Square to the surface, as the two published depths are counted; the foot slides along so that it stays inside.
    foot = 0.86 * radius
    foot = (foot, mouth + slope * (foot - at))
    tip = (foot[0] - depth * slope / square, foot[1] + depth / square)
    if depth > 30 * unit and tip[1] < view.top and tip[0] > at + spec.standpipe_diameter:
        pen.arrow(axes, foot, tip, wide=1.6, zorder=9, arrowstyle="<|-|>", shrinkA=0, shrinkB=0)
    middle = min(max(mouth + 0.5 * depth, 18 * unit), view.top - 24 * unit)
    words = f"depth of\nthe mouth:\n{look.text(depth, 'length')}"
    pen.words(axes, words, -radius - 14 * unit, middle, ha="right", size=style.SMALL_TEXT)


def _tell_motion(axes, result, look):
    if result.surface_angle <= 0:
        return
    conditions = result.conditions
    words = [f"surface tilts {look.text(result.surface_angle, 'angle')}"]
    if conditions.tilt > 0:
        words.append(f"slope {look.text(conditions.tilt, 'angle')}")
    if conditions.lateral_acceleration > 0:
        words.append(f"bend {percent(conditions.lateral_acceleration / 9.80665)} of gravity")
    x, y = axes.transData.transform((result.spec.radius, 0.37 * result.spec.height))
    x += 18
    small = {"ha": "left", "size": style.SMALL_TEXT}
    pen.text(axes, "\n".join(words), x, y + 12 + 6 * len(words), **small)
    pen.line(axes, [x, x + 76], [y, y], pixels=True, color=style.INK, linewidth=1.6)
    pen.point(axes, [x + 76], [y], marker=">", size=7, color=style.INK, pixels=True)
    pen.text(axes, "pushed this way", x, y - 14, **small)
