"""What several drawings share: axes placed in pixels, boxes, words at a place, round ends of a temperature scale."""

from thermo_kit.charts import style
from thermo_kit.charts.quick_artists import add_area, add_line, add_text
from thermo_kit.charts.scales import axis_title, linear_ticks, set_ticks

AIR_ARROW = {"arrowstyle": "-|>,head_width=0.35,head_length=0.7", "colour": style.AIR, "wide": 2.2}
"""How an arrow of air is drawn."""


def window(figure, size, box, *, x=(0, 1), y=(0, 1)):
    """Add bare axes to draw in; size, box (left, bottom, width, height) [px]."""
    axes = placed(figure, size, box)
    axes.set(xlim=x, ylim=y)
    axes.set_axis_off()
    return axes


def whole(figure, size):
    """Add bare axes over the whole picture, one unit of length one pixel; size [px]."""
    return window(figure, size, (0, 0, *size), x=(0, size[0]), y=(0, size[1]))


def placed(figure, size, box):
    """Add axes; size, box (left, bottom, width, height) [px]."""
    left, low, wide, tall = box
    return figure.add_axes((left / size[0], low / size[1], wide / size[0], tall / size[1]))


def rail(figure, place, ends, ticks, title, scale="linear"):
    """Add axes with a foot line only, 1 high, for bars that lie along it; place: shares of the figure."""
    axes = figure.add_axes(place)
    axes.set(xscale=scale, xlim=ends, ylim=(0.0, 1.0), yticks=[])
    for side in ("left", "right", "top"):
        axes.spines[side].set_visible(False)
    set_ticks(axes.xaxis, ticks)
    axes.set_xlabel(title)
    return axes


def temperature_axis(axes, window, look, title, count=6):
    """Dress axes for curves of temperatures; window [K]."""
    style.dress(axes)
    axes.set_ylim(*window)
    set_ticks(axes.yaxis, linear_ticks(look, "temperature", *window, count=count))
    axes.set_ylabel(axis_title(title, "temperature", look))


def tens(low, high):
    """Return the whole tens of degrees Celsius about two temperatures; low [K], high [K] → [K]."""
    return 10.0 * ((low - 273.15) // 10.0) + 273.15, 10.0 * -(-(high - 273.15) // 10.0) + 273.15


def striped(figure, size, names, head, row, **look):
    """Add bare axes with names in rows, each second one shaded; size, head, row [px]."""
    axes = whole(figure, size)
    for index in range(len(names)):
        y = size[1] - head - (index + 0.5) * row
        if index % 2 == 0:
            axes.fill_between([0, size[0]], y - row / 2, y + row / 2, color="#f4f6f8", linewidth=0)
        axes.text(12, y, names[index], va="center", **look)
    return axes


def add_box(axes, left, bottom, right, top, **look):
    """Add a rectangle between four ends on the axes."""
    add_area(axes, [((left, bottom), (right, bottom), (right, top), (left, top))], **look)


def add_words(axes, text, x, y, *, aside=(0, 0), **look):
    """Add a text at a place on the axes, moved aside by so many pixels."""
    px, py = axes.transData.transform((x, y))
    add_text(axes, text, px + aside[0], py + aside[1], **look)


def add_point(axes, x, y, *, marker="o", size, color, rim=None, wide=1.0, **look):
    """Add a marker, or several; size, wide [px]; rim: colour of its edge."""
    edge = {"markeredgecolor": rim, "markeredgewidth": wide} if rim else {}
    add_line(axes, x, y, marker=marker, markersize=size, color=color, linestyle="none", **edge, **look)


def round_box(axes, left, bottom, wide, tall, rounding, **look):
    """Add a rectangle with round corners to what stands still."""
    from matplotlib.patches import FancyBboxPatch

    shape = f"round,pad=0,rounding_size={rounding}"
    axes.add_patch(FancyBboxPatch((left, bottom), wide, tall, boxstyle=shape, **look))


def add_arrow(axes, start, end, colour=style.INK, *, wide=2.0, zorder=3, **look):
    """Add an arrow to what stands still; wide [px]."""
    axes.annotate("", end, start, annotation_clip=False, zorder=zorder,
                  arrowprops={"arrowstyle": "-|>", "color": colour, "lw": wide, **look})  # fmt: skip


def along_the_way(axes, title):
    """Number the x axis by the share of a way, in quarters."""
    axes.set_xticks([0, 0.25, 0.5, 0.75, 1.0], ["0", "25", "50", "75", "100"])
    axes.set(xlim=(0, 1), xlabel=title)


def now_and_sound(axes, rows, x, y, *, step, size):
    """Write quantities below each other: name, what is read now, in large, and of a sound one; all [px]."""
    small = {"ha": "left", "fontsize": style.SMALL_TEXT + 1}
    for name, now, sound in rows:
        add_text(axes, name, x, y, color=style.SOFT_INK, **small)
        add_text(axes, now, x, y - 20, ha="left", fontweight="bold", color=style.CYCLE, fontsize=size)
        add_text(axes, sound, x, y - 40, **small)
        y -= step


def draw_pieces(axes, pieces):
    """Draw pieces end to end along a rail: (name, length, face, hatch); return name, middle and length of each."""
    left, places = 0.0, []
    for name, length, face, hatch in pieces:
        if length > 0.0:
            add_box(axes, left, 0.03, left + length, 0.96, facecolor=face, edgecolor=style.SOFT_INK, hatch=hatch,
                    linewidth=0.8)  # fmt: skip
        places.append((name, left + length / 2, length))
        left += length
    return places
