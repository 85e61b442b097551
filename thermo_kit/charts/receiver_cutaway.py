"""The receiver-drier cut open: the whole vessel, and a close-up of the mouth below its tilted surface."""

import math

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.receiver_vessel import SIZE, box, draw_vessel, views_of


def cutaway_picture(result, look):
    """Draw a receiver with its liquid, its standpipe and its desiccant bag."""
    return two_layers(
        draw_vessel,
        lambda whole, close: _draw_liquid(whole, close, result, look),
        sentence=cutaway_sentence(result, look),
        still=(result.spec,),
        size=SIZE,
    )


def cutaway_sentence(result, look):
    """Say what the cut-away shows, with its numbers."""
    depth = look.text(abs(result.submergence), "length")
    where = f"{depth} below the surface" if result.submergence > 0 else f"{depth} above the surface, in vapour"
    angle = look.text(result.surface_angle, "angle")
    stands = f"the surface tilts by {angle}" if result.surface_angle > 0 else "the surface is level"
    return (
        f"{result.conditions.refrigerant}: liquid stands {look.text(result.level, 'length')} high "
        f"in the receiver when level; "
        f"{stands}; the mouth of the standpipe is {where}. Needed: {look.text(result.onset_submergence, 'length')} "
        f"before the surface dips in, {look.text(result.safe_submergence, 'length')} to be safe. "
        f"Verdict: {result.regime}: {result.regime_words}."
    )


def _draw_liquid(whole, close, result, look):
    spec = result.spec
    for axes, view in zip((whole, close), views_of(spec), strict=True):
        _fill(axes, result, view)
        _fill_pipe(axes, result, view)
        _name_phases(axes, result, view)
    _needed_lines(close, result, look, views_of(spec)[1])
    _state_motion(whole, result, look, views_of(spec)[0])
    colour = (
        style.GOOD if result.regime == "flooded" else style.INK if result.regime == "vapour possible" else style.WARNING
    )
    window = views_of(spec)[0]
    left = window.limits()[0][0] + 14 * window.per_pixel
    low = window.bottom - 12 * window.per_pixel
    bold = {"fontsize": style.LARGE_TEXT, "fontweight": "bold", "color": colour}
    whole.text(left, low, result.regime.upper(), va="top", clip_on=False, **bold)
    whole.text(left, low - 20 * window.per_pixel, result.regime_words, va="top", clip_on=False, fontsize=style.TEXT)


def _surface(result, x):
    return result.axis_height + math.tan(result.surface_angle) * x


def _below(result, top):
    """Corners of the liquid: the part of the vessel's section below the surface, up to `top`."""
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
    top = min(result.spec.height, view.bottom + view.tall)
    corners = _below(result, top)
    if len(corners) < 3:
        return
    axes.add_artist(_area(corners, face=(0.0, 0.447, 0.698, 0.17), edge="#7fb8d8", hatch=style.HATCHES["liquid"]))
    radius = result.spec.radius
    line = [(-radius + 2 * radius * k / 30) for k in range(31)]
    heights = [_surface(result, x) for x in line]
    if result.regime == "vapour pulled down":
        # The dip is drawn, not computed: a funnel of a pipe's width down to the mouth.
        bore, at, mouth = result.spec.standpipe_diameter, -result.spec.standpipe_offset, result.spec.mouth_height
        line = sorted({*line, *(at + bore * k / 6 for k in range(-9, 10))})
        heights = [
            _surface(result, x) - (_surface(result, at) - mouth) * math.exp(-(((x - at) / (0.45 * bore)) ** 2))
            for x in line
        ]
    shown = [(x, z) for x, z in zip(line, heights, strict=True) if -1e-9 <= z <= top and abs(x) <= radius]
    if shown:
        _line(axes, shown, color=style.LIQUID, linewidth=2.6, zorder=4)


def _line(axes, points, **how):
    """Add a line without the search for new limits that `plot` makes: it costs most of the time."""
    from matplotlib.lines import Line2D

    axes.add_artist(Line2D(*zip(*points, strict=True), **how))


def _area(corners, *, face, edge, hatch, zorder=2):
    from matplotlib.patches import Polygon

    return Polygon(corners, facecolor=face, edgecolor=edge, hatch=hatch, linewidth=0, zorder=zorder)


def _fill_pipe(axes, result, view):
    spec = result.spec
    x, bore, mouth = -spec.standpipe_offset, spec.standpipe_diameter / 2, spec.mouth_height
    end = min(1.10 * spec.height, view.bottom + view.tall)
    if result.regime != "uncovered":
        axes.add_artist(box(x - bore, mouth, 2 * bore, end - mouth, "#b9d9ea", edge="#7fb8d8", hatch="///", zorder=4))
    for side in (-1, 1):
        _line(axes, [(x + side * bore, mouth), (x + side * bore, end)], color=style.INK, linewidth=2.0, zorder=5)
    count = {"flooded": 0, "vapour possible": 0, "vapour pulled down": 9, "uncovered": 14}[result.regime]
    if count:
        up = [mouth + (end - mouth) * (k + 0.5) / count for k in range(count)]
        across = [x + 0.45 * bore * (-1) ** k for k in range(count)]
        _line(
            axes,
            list(zip(across, up, strict=True)),
            linestyle="none",
            marker="o",
            markerfacecolor=style.PLATE,
            markersize=4.5 if bore / view.per_pixel < 12 else 9,
            markeredgecolor=style.VAPOUR,
            markeredgewidth=1.4,
            zorder=5,
        )


def _name_phases(axes, result, view):
    spec, unit = result.spec, view.per_pixel
    top = min(spec.height, view.bottom + view.tall)
    x = 0.42 * spec.radius
    surface = min(max(_surface(result, x), 0.0), top)
    size = style.SMALL_TEXT if 2 * spec.radius / unit < 120 else style.TEXT
    if surface > 26 * unit:
        clear_of_bag = (
            min(surface, spec.desiccant_bottom) if spec.desiccant_mass and spec.desiccant_bottom < top else surface
        )
        share = 0.25 if result.surface_angle > 0 else 0.5
        axes.text(
            x,
            max(share * clear_of_bag, 10 * unit),
            "liquid",
            ha="center",
            va="center",
            fontsize=size,
            color="#00496f",
            zorder=8,
        )
    low = surface
    if spec.desiccant_mass and spec.desiccant_bottom < top:
        bag = spec.desiccant_bottom + spec.desiccant_height
        low, top = (max(surface, bag), top) if bag < top - 26 * unit else (surface, spec.desiccant_bottom)
    if top - low > 26 * unit:
        axes.text(x, 0.5 * (low + top), "vapour", ha="center", va="center", fontsize=size, color="#6e5208", zorder=8)


def _needed_lines(axes, result, look, view):
    spec, radius = result.spec, result.spec.radius
    slope = math.tan(result.surface_angle)
    square = math.hypot(1.0, slope)
    top = view.bottom + view.tall
    at = -spec.standpipe_offset
    taken = []
    for words, depth, dashes, colour in (
        ("safe side", result.safe_submergence, (0, (7, 3)), style.GOOD),
        ("dips in", result.onset_submergence, (0, (2, 2)), style.WARNING),
    ):
        ends = [(x, spec.mouth_height + depth * square + slope * (x - at)) for x in (-radius, radius)]
        _line(axes, ends, color=colour, linewidth=1.8, linestyle=dashes, zorder=5)
        height = ends[1][1]
        text = f"{words}:\n{look.text(depth, 'length')}"
        if height > top - 24 * view.per_pixel:
            height, text = top - 24 * view.per_pixel, text + "\n(higher up)" if height > top else text
        while any(abs(height - other) < 32 * view.per_pixel for other in taken):
            height += 4 * view.per_pixel if height >= taken[0] else -4 * view.per_pixel
        taken.append(height)
        axes.text(
            radius + 10 * view.per_pixel,
            max(height, 4 * view.per_pixel),
            text,
            va="center",
            fontsize=style.SMALL_TEXT,
            color=colour,
        )
    depth, mouth = result.submergence, spec.mouth_height
    if slope:
        ends = [(x, mouth + slope * (x - at)) for x in (-radius, radius)]
        _line(axes, ends, color=style.SOFT_INK, linewidth=0.8, zorder=5)
    # Square to the surface, as the two published depths are counted; the foot slides along so that it stays inside.
    foot = 0.86 * radius
    foot = (foot, mouth + slope * (foot - at))
    tip = (foot[0] - depth * slope / square, foot[1] + depth / square)
    if depth > 30 * view.per_pixel and tip[1] < top and tip[0] > at + spec.standpipe_diameter:
        axes.annotate(
            "",
            tip,
            foot,
            zorder=9,
            arrowprops={"arrowstyle": "<|-|>", "color": style.INK, "lw": 1.6, "shrinkA": 0, "shrinkB": 0},
        )
    middle = min(max(mouth + 0.5 * depth, 18 * view.per_pixel), top - 24 * view.per_pixel)
    axes.text(
        -radius - 14 * view.per_pixel,
        middle,
        f"depth of\nthe mouth:\n{look.text(depth, 'length')}",
        ha="right",
        va="center",
        fontsize=style.SMALL_TEXT,
    )


def _state_motion(axes, result, look, view):
    if result.surface_angle <= 0:
        return
    unit, tall = view.per_pixel, result.spec.height
    words = [f"surface tilts {look.text(result.surface_angle, 'angle')}"]
    if result.conditions.tilt > 0:
        words.append(f"slope {look.text(result.conditions.tilt, 'angle')}")
    if result.conditions.lateral_acceleration > 0:
        words.append(f"bend {result.conditions.lateral_acceleration / 9.80665:.2f} g")
    left = result.spec.radius + 18 * unit
    axes.text(left, 0.40 * tall, "\n".join(words), va="bottom", fontsize=style.SMALL_TEXT)
    axes.annotate(
        "",
        (left + 80 * unit, 0.37 * tall),
        (left, 0.37 * tall),
        arrowprops={"arrowstyle": "-|>", "color": style.INK, "lw": 1.6},
    )
    axes.text(left, 0.35 * tall, "pushed this way", va="top", fontsize=style.SMALL_TEXT)
