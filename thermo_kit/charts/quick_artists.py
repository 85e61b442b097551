"""Lines, areas and texts for moving layers: drawn as fast as matplotlib can, which a slider needs."""

import copy
import functools

from thermo_kit.charts import style

ROW = 1.2
"""Height of a line of words over its font size."""


@functools.lru_cache(maxsize=2048)
def text_size(text, size, bold=False):
    """Return how much room a text takes, measured with the font it is laid out in; size [px] → [px]."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    font = FontProperties(family="DejaVu Sans", size=size, weight="bold" if bold else "normal")
    width, _, _ = text_to_path.get_text_width_height_descent(text, font, ismath=False)
    return width, size


def add_line(axes, x, y, *, pixels=False, **look):
    """Add a line without the autoscaling of axes.plot; the limits are fixed."""
    from matplotlib.transforms import IdentityTransform

    axes.add_artist(_plain_line()(x, y, transform=IdentityTransform() if pixels else axes.transData, **look))


def add_rings(axes, x, y, *, size, face, edge, width=0.9, zorder=3):
    """Add small rings as two paths of round dots; as markers each of them would be an element of its own.

    size [px], width [px].
    """
    from matplotlib.path import Path

    corners = [point for point in zip(x, y, strict=True) for _ in range(2)]
    dots = Path(corners, [Path.MOVETO, Path.LINETO] * len(x))
    dots.should_simplify = False  # lines without length would be left out
    for colour, wide in ((edge, size + width), (face, size - width)):
        look = {"edgecolor": colour, "linewidth": wide, "capstyle": "round", "fill": False, "zorder": zorder}
        axes.add_artist(_plain_area()(dots, transform=axes.transData, **look))


def add_area(axes, outlines, *, pixels=False, **look):
    """Add one or several areas as one shape, which costs as much as a single one."""
    from matplotlib.path import Path
    from matplotlib.transforms import IdentityTransform

    corners, codes = [], []
    for outline in outlines:
        corners += [*outline, outline[0]]
        codes += [Path.MOVETO, *[Path.LINETO] * (len(outline) - 1), Path.CLOSEPOLY]
    transform = IdentityTransform() if pixels else axes.transData
    axes.add_artist(_plain_area()(Path(corners, codes), transform=transform, **look))


def add_note(axes, text, x, y, *, ha, va, colour, size=style.TEXT, bold=False, framed=True):
    """Add words on a plate that hides what lies below them; x [px], y [px], size [px]."""
    lines = text.split("\n")
    width = max(text_size(line, size, bold)[0] for line in lines)
    pad = 3.0 if framed else 1.0
    height = ROW * size * len(lines)
    left = x - {"left": 0.0, "center": width / 2, "right": width}[ha]
    top = y + {"bottom": height, "center": height / 2, "top": 0.0}[va]
    right, bottom = left + width + pad, top - height - pad
    box = ((left - pad, bottom), (right, bottom), (right, top + pad), (left - pad, top + pad))
    edge = {"edgecolor": colour, "linewidth": 0.8} if framed else {"linewidth": 0.0}
    add_area(axes, [box], pixels=True, facecolor=style.PLATE, clip_on=False, zorder=3, **edge)
    add_rows(axes, text, x, top - height / 2, ha=ha, size=size, bold=bold, color=colour)


def add_rows(axes, text, x, y, *, ha="center", size=style.TEXT, bold=False, **look):
    """Add words of one or several lines; x [px], y [px], size [px]."""
    lines = text.split("\n")
    weight = "bold" if bold else "normal"
    for number, line in enumerate(lines):
        lift = (0.5 * (len(lines) - 1) - number) * ROW * size
        add_text(axes, line, x, y + lift, ha=ha, fontsize=size, fontweight=weight, **look)


def add_text(axes, text, x, y, *, ha="center", **look):
    """Add a text whose middle height is at a place given in pixels; x [px], y [px]."""
    written = copy.copy(_plain_text(ha, **{"fontsize": style.TEXT, "color": style.INK, **look}))
    written.set_position((x, y))
    written.set_text(text)
    axes.add_artist(written)


@functools.cache
def _plain_line():
    """Return a line clipped by the box of its axes; a clip path of its own costs up to 1.4 ms a picture."""
    from matplotlib.lines import Line2D

    class PlainLine(_BoxClipped, Line2D):
        pass

    return PlainLine


@functools.cache
def _plain_area():
    """Return an area that is clipped in the same way."""
    from matplotlib.patches import PathPatch

    class PlainArea(_BoxClipped, PathPatch):
        pass

    return PlainArea


class _BoxClipped:
    def set_clip_path(self, path, transform=None):
        self.set_clip_box(self.axes.bbox)


@functools.cache
def _plain_text(ha, **look):
    """Return a text without words, to copy; making each anew costs up to 1.2 ms a picture."""
    from matplotlib.colors import to_hex
    from matplotlib.transforms import IdentityTransform

    bare = _text_kind()(ha=ha, va="center_baseline", transform=IdentityTransform(), clip_on=False, **look)
    bold = "font-weight: 700; " if bare.get_fontweight() == "bold" else ""
    anchor = {"left": "start", "center": "middle", "right": "end"}[ha]
    # The font's name as matplotlib writes it: for both, `picture` adds what to take where it is missing.
    bare.css = (
        f"{bold}font-size: {bare.get_fontsize():g}px; font-family: 'DejaVu Sans'; "
        f"text-anchor: {anchor}; fill: {to_hex(bare.get_color())}"
    )
    return bare


@functools.cache
def _text_kind():
    """Return a text that skips measuring itself, since SVG aligns it: the depot's layout in 4.2 ms, else 11.6."""
    from matplotlib.text import Text

    class PlainText(Text):
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

    return PlainText
