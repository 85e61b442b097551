"""What drawings are made of: lines, areas, texts, boxes and arrows; axes placed in pixels; what several of them share.

What moves is drawn as fast as matplotlib can, which a slider needs.
"""

import copy
import functools

from matplotlib.colors import to_hex
from matplotlib.font_manager import FontProperties
from matplotlib.lines import Line2D
from matplotlib.patches import FancyBboxPatch, PathPatch
from matplotlib.path import Path
from matplotlib.text import Text
from matplotlib.textpath import text_to_path
from matplotlib.transforms import IdentityTransform

from thermo_kit.charts import style
from thermo_kit.charts.scales import set_ticks, ticks_of, titled

ROW = 1.2
"""Height of a line of words over its font size."""
AIR_ARROW = {"arrowstyle": "-|>,head_width=0.35,head_length=0.7", "colour": style.AIR, "wide": 2.2}
"""How an arrow of air is drawn."""


@functools.lru_cache(maxsize=2048)
def text_size(text, size, bold=False):
    """Return how much room a text takes, measured with the font it is laid out in; size [px] → [px]."""
    font = FontProperties(family="DejaVu Sans", size=size, weight="bold" if bold else "normal")
    width, _, _ = text_to_path.get_text_width_height_descent(text, font, ismath=False)
    return width, size


def line(axes, x, y, *, pixels=False, **look):
    """Add a line without the autoscaling of axes.plot; the limits are fixed."""
    axes.add_artist(_Line(x, y, transform=IdentityTransform() if pixels else axes.transData, **look))


def lines(axes, rows):
    """Add lines: (x, y, colour, width, dashes)."""
    for x, y, colour, width, dashes in rows:
        line(axes, x, y, color=colour, linewidth=width, linestyle=dashes)


def plate(axes, x, y):
    """Add a light plate on which one line of words is read where it covers others; x [px], y [px]."""
    line(axes, x, y, pixels=True, color=style.PLATE, linewidth=15, alpha=0.85, solid_capstyle="butt")


def point(axes, x, y, *, marker="o", size, color, rim=None, wide=1.0, **look):
    """Add a marker, or several; size, wide [px]; rim: colour of its edge."""
    edge = {"markeredgecolor": rim, "markeredgewidth": wide} if rim else {}
    line(axes, x, y, marker=marker, markersize=size, color=color, linestyle="none", **edge, **look)


def rings(axes, x, y, *, size, face, edge, width=0.9, zorder=3):
    """Add small rings as two paths of round dots; as markers each of them would be an element of its own.

    size [px], width [px].
    """
    places = [place for place in zip(x, y, strict=True) for _ in range(2)]
    dots = Path(places, [Path.MOVETO, Path.LINETO] * len(x))
    dots.should_simplify = False  # lines without length would be left out
    for colour, wide in ((edge, size + width), (face, size - width)):
        look = {"edgecolor": colour, "linewidth": wide, "capstyle": "round", "fill": False, "zorder": zorder}
        axes.add_artist(_Area(dots, transform=axes.transData, **look))


def area(axes, outlines, *, pixels=False, **look):
    """Add one or several areas as one shape, which costs as much as a single one."""
    points, codes = [], []
    for outline in outlines:
        points += [*outline, outline[0]]
        codes += [Path.MOVETO, *[Path.LINETO] * (len(outline) - 1), Path.CLOSEPOLY]
    transform = IdentityTransform() if pixels else axes.transData
    axes.add_artist(_Area(Path(points, codes), transform=transform, **look))


def corners(left, bottom, right, top):
    """Return the corners of a rectangle."""
    return (left, bottom), (right, bottom), (right, top), (left, top)


def box(axes, left, bottom, right, top, **look):
    """Add a rectangle between four ends on the axes."""
    area(axes, [corners(left, bottom, right, top)], **look)


def note(axes, words, x, y, *, ha, va, colour, size=style.TEXT, bold=False, framed=True):
    """Add words on a plate that hides what lies below them; x [px], y [px], size [px]."""
    lines = words.split("\n")
    width = max(text_size(one, size, bold)[0] for one in lines)
    pad = 3.0 if framed else 1.0
    height = ROW * size * len(lines)
    left = x - {"left": 0.0, "center": width / 2, "right": width}[ha]
    top = y + {"bottom": height, "center": height / 2, "top": 0.0}[va]
    edge = {"edgecolor": colour, "linewidth": 0.8} if framed else {"linewidth": 0.0}
    ends = left - pad, top - height - pad, left + width + pad, top + pad
    box(axes, *ends, pixels=True, facecolor=style.PLATE, clip_on=False, zorder=3, **edge)
    text(axes, words, x, top - height / 2, ha=ha, size=size, bold=bold, color=colour)


def text(axes, words, x, y, *, ha="center", size=style.TEXT, bold=False, color=style.INK, **look):
    """Add words of one or several lines whose middle height is at a place given in pixels; x, y, size [px]."""
    bare = _bare_text(ha, fontsize=size, fontweight="bold" if bold else "normal", color=color, **look)
    lines = words.split("\n")
    for number, one in enumerate(lines):
        written = copy.copy(bare)
        written.set_position((x, y + (0.5 * (len(lines) - 1) - number) * ROW * size))
        written.set_text(one)
        axes.add_artist(written)


def words(axes, told, x, y, *, aside=(0, 0), **look):
    """Add a text at a place on the axes, moved aside by so many pixels."""
    px, py = axes.transData.transform((x, y))
    text(axes, told, px + aside[0], py + aside[1], **look)


class _BoxClipped:
    """Clipped by the box of its axes; a clip path of its own costs up to 1.4 ms a picture."""

    def set_clip_path(self, path, transform=None):
        self.set_clip_box(self.axes.bbox)


class _Line(_BoxClipped, Line2D):
    pass


class _Area(_BoxClipped, PathPatch):
    pass


class _Text(Text):
    """A text that skips measuring itself, since SVG aligns it: the depot's layout in 4.2 ms, else 11.6."""

    def set_clip_path(self, path, transform=None):
        """Nothing is clipped, so no clip is made."""

    def draw(self, renderer):
        writer = getattr(renderer, "writer", None)
        if writer is None:  # a page format that places each letter itself
            super().draw(renderer)
            return
        x, y = self.get_position()
        baseline = renderer.height - y + 0.36 * self.get_fontsize()
        writer.element("text", self.get_text(), style=self.css, x=f"{x:.2f}", y=f"{baseline:.2f}")


@functools.cache
def _bare_text(ha, **look):
    """Return a text without words, to copy; making each anew costs up to 1.2 ms a picture."""
    bare = _Text(ha=ha, va="center_baseline", transform=IdentityTransform(), clip_on=False, **look)
    bold = "font-weight: 700; " if bare.get_fontweight() == "bold" else ""
    anchor = {"left": "start", "center": "middle", "right": "end"}[ha]
    # The font's name as matplotlib writes it: for both, `picture` adds what to take where it is missing.
    bare.css = (
        f"{bold}font-size: {bare.get_fontsize():g}px; font-family: 'DejaVu Sans'; "
        f"text-anchor: {anchor}; fill: {to_hex(bare.get_color())}"
    )
    return bare


def placed(figure, box):
    """Add axes; box (left, bottom, width, height) [px]."""
    left, low, wide, tall = box
    across, up = _size(figure)
    return figure.add_axes((left / across, low / up, wide / across, tall / up))


def _size(figure):
    return 72.0 * figure.get_size_inches()


def window(figure, box, *, x=(0, 1), y=(0, 1)):
    """Add bare axes to draw in; box (left, bottom, width, height) [px]."""
    axes = placed(figure, box)
    axes.set(xlim=x, ylim=y)
    axes.set_axis_off()
    return axes


def whole(figure):
    """Add bare axes over the whole picture, one unit of length one pixel."""
    wide, tall = _size(figure)
    return window(figure, (0, 0, wide, tall), x=(0, wide), y=(0, tall))


def caption(figure, told, x, y, **look):
    """Add words that stand still to a figure; x [px], y [px]."""
    wide, tall = _size(figure)
    figure.text(x / wide, y / tall, told, **look)


def rail(figure, place, x, look):
    """Add axes with a foot line only, the Axis x, 1 high, for bars that lie along it; place: shares of the figure."""
    axes = figure.add_axes(place)
    axes.set(xscale="log" if x.logarithmic else "linear", xlim=x.ends, ylim=(0.0, 1.0), yticks=[])
    axes.set_xlabel(titled(x, look))
    for side in ("left", "right", "top"):
        axes.spines[side].set_visible(False)
    set_ticks(axes.xaxis, ticks_of(x, look, axes.bbox.width, spacing=60.0))
    return axes


def tens(low, high):
    """Return the whole tens of degrees Celsius about two temperatures; low [K], high [K] → [K]."""
    return 10.0 * ((low - 273.15) // 10.0) + 273.15, 10.0 * -(-(high - 273.15) // 10.0) + 273.15


def striped(figure, names, head, row, **look):
    """Add bare axes with names in rows, each second one shaded; head, row [px]."""
    axes, (wide, tall) = whole(figure), _size(figure)
    for index in range(len(names)):
        y = tall - head - (index + 0.5) * row
        if index % 2 == 0:
            axes.fill_between([0, wide], y - row / 2, y + row / 2, color="#f4f6f8", linewidth=0)
        axes.text(12, y, names[index], va="center", **look)
    return axes


def round_box(axes, left, bottom, wide, tall, rounding, **look):
    """Add a rectangle with round corners to what stands still."""
    shape = f"round,pad=0,rounding_size={rounding}"
    axes.add_patch(FancyBboxPatch((left, bottom), wide, tall, boxstyle=shape, **look))


def plated(axes, x, y, told, *, pad, alpha=None, **look):
    """Add words on a light plate to what stands still; pad [px]."""
    axes.text(x, y, told, bbox={"facecolor": style.PLATE, "edgecolor": "none", "alpha": alpha, "pad": pad}, **look)


def arrow(axes, start, end, colour=style.INK, *, wide=2.0, zorder=3, **look):
    """Add an arrow to what stands still; wide [px]."""
    axes.annotate("", end, start, annotation_clip=False, zorder=zorder,
                  arrowprops={"arrowstyle": "-|>", "color": colour, "lw": wide, **look})  # fmt: skip


def now_and_sound(axes, told, x, y, *, step, size):
    """Write quantities below each other: name, what is read now, in large, and of a sound one; all [px]."""
    for name, now, sound in told:
        text(axes, name, x, y, ha="left", color=style.SOFT_INK)
        text(axes, now, x, y - 20, ha="left", bold=True, color=style.CYCLE, size=size)
        text(axes, sound, x, y - 40, ha="left")
        y -= step


def pieces(axes, told):
    """Draw pieces end to end along a rail: (name, length, face, hatch); return name, middle and length of each."""
    left, places = 0.0, []
    for name, length, face, hatch in told:
        if length > 0.0:
            box(axes, left, 0.03, left + length, 0.96, facecolor=face, edgecolor=style.SOFT_INK, hatch=hatch,
                linewidth=0.8)  # fmt: skip
        places.append((name, left + length / 2, length))
        left += length
    return places
