"""A picture in two layers of the same axes: the still one is drawn once, the moving one at each change."""

import functools
import hashlib
import io
import math
import re
import threading
from dataclasses import dataclass

from thermo_kit.charts import style


@dataclass(frozen=True)
class Picture:
    """What a panel shows: two SVG texts to lay on top of each other, and the sentence that says what is seen.

    still: SVG text with its own light plate; moving: SVG text of the same size, transparent;
    sentence: what the picture shows, with its numbers, also the alternative text;
    width, height [px]: natural size; both layers scale with the page
    """

    still: str
    moving: str
    sentence: str
    width: int
    height: int

    def whole(self):
        """Return both layers as one SVG text, for a file or a printed page."""
        title = self.sentence.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" role="img" '
            f'viewBox="0 0 {self.width} {self.height}" width="{self.width}" height="{self.height}">'
            f"<title>{title}</title>{self.still}{self.moving}</svg>"
        )

    def framed(self):
        """Return both layers in a box for a page, no wider than the picture was drawn."""
        return f'<div class="tk-still" style="max-width:{self.width}px">{self.whole()}</div>'


def one_layer(draw, *arguments, sentence, size=style.SIZE):
    """Draw a picture without a moving part; size [px]."""
    _, svg = _plate(draw, size, arguments)
    return Picture(svg, _open(size) + "</svg>", sentence, *size)


def _plate(draw, size, arguments):
    """Return a figure that is drawn, and its SVG text with a light plate."""
    figure = new_figure(size)
    draw_on(figure, draw, *arguments)
    with _house_style():
        return figure, _svg_text(figure, size, plate=True)


def new_figure(size):
    """Make an empty figure in which one unit of length is one pixel of the picture; size [px]."""
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    figure = Figure(figsize=(size[0] / 72, size[1] / 72), dpi=72, frameon=False)
    FigureCanvasSVG(figure)
    return figure


def draw_on(figure, draw, *arguments):
    """Call a drawing function under the house style."""
    with _house_style():
        draw(figure, *arguments)


def _house_style():
    import matplotlib

    return matplotlib.rc_context(style.RC)


class StillLayer:
    """A finished still layer, and an empty figure with the same axes on which moving layers are drawn."""

    def __init__(self, draw, size, *arguments):
        self._size = size
        self._lock = threading.Lock()
        figure, self._svg = _plate(draw, size, arguments)
        self._over = new_figure(size)
        with _house_style():
            for axes in figure.axes:
                twin = self._over.add_axes(axes.get_position(), frameon=False)
                twin.set(xscale=axes.get_xscale(), yscale=axes.get_yscale())
                twin.set(xlim=axes.get_xlim(), ylim=axes.get_ylim(), autoscale_on=False)
                twin.set_axis_off()

    def under(self, draw, *arguments, sentence):
        """Return the picture with what moves over it; draw: called with all axes of this layer and the arguments."""
        with self._lock, _house_style():
            kept = [set(axes.get_children()) for axes in self._over.axes]
            try:
                draw(*self._over.axes, *arguments)
                moving = _svg_text(self._over, self._size, plate=False)
            finally:
                for axes, children in zip(self._over.axes, kept, strict=True):
                    for artist in axes.get_children():
                        if artist not in children:
                            artist.remove()
                    axes.set_prop_cycle(None)  # colours must not depend on what was drawn before
        return Picture(self._svg, moving, sentence, *self._size)


@functools.lru_cache(maxsize=64)
def still_layer(draw, size, *arguments):
    """Draw what stands still on a figure, or return it as it was drawn the last time it was asked for; size [px]."""
    return StillLayer(draw, size, *arguments)


def _svg_text(figure, size, *, plate):
    """Write a figure as SVG text that may stand beside others on one page; size [px]."""
    file = io.StringIO()
    figure.canvas.print_svg(file, metadata={"Date": None, "Creator": None, "Format": None, "Type": None})
    return _tidy(file.getvalue(), size, plate)


_OUTER = re.compile(r"^.*?<svg [^>]*>|</svg>\s*$", re.DOTALL)
_METADATA = re.compile(r"<metadata>.*?</metadata>|<style[^>]*>.*?</style>|<!--.*?-->", re.DOTALL)
_ID = re.compile(r' id="([^"]*)"')
_POINTED_AT = re.compile(r'(?:url\(#|href="#)([^")]+)')
_FONT = re.compile(r"'DejaVu Sans'(?:, ?sans-serif)?")
_EMPTY = re.compile(r"<defs>\s*</defs>")
_SPACE = re.compile(r">\s*\n\s*<")
_PATH = re.compile(r' d="([^"]*)"')
_BEYOND_TWO_DECIMALS = re.compile(r"(?<=\.\d\d)\d+")
_CIRCLE = re.compile(r"M \S+ \S+((?: C(?: [-.\d]+){6}){8}) z")
_MANY_CIRCLES = 2000
"""Length [letters] of a path from which on it pays to look for circles in it: the dots of a hatch."""


def _tidy(svg, size, plate):
    """Keep only what is drawn; a style element or a shared id would act on the whole page."""
    # Paths first: the long ones become short, and all that follows has less to read.
    svg = _PATH.sub(lambda m: f' d="{_tidy_path(m.group(1))}"', svg)
    body = _METADATA.sub("", _OUTER.sub("", svg))
    pointed_at = set(_POINTED_AT.findall(body))
    prefix = "k" + hashlib.sha256(body.encode()).hexdigest()[:10] + "-"
    body = _ID.sub(lambda m: f' id="{prefix}{m.group(1)}"' if m.group(1) in pointed_at else "", body)
    body = _POINTED_AT.sub(lambda m: m.group(0).replace("#" + m.group(1), "#" + prefix + m.group(1)), body)
    body = _FONT.sub(style.FONT_FAMILY, body)
    body = body.replace('<text style="', '<text style="' + style.HALO)
    body = _SPACE.sub("><", _EMPTY.sub("", body)).strip()
    ground = f'<rect width="{size[0]}" height="{size[1]}" fill="{style.PLATE}"/>' if plate else ""
    return _open(size) + ground + body + "</svg>"


def _tidy_path(path):
    return _tidy_hatch(path) if len(path) > _MANY_CIRCLES else _shorter(path)


@functools.lru_cache(maxsize=64)
def _tidy_hatch(path):
    """Write the dots of a hatch short: a receiver lift weighs 34 kB and takes 4.2 ms; else 146 kB and 9.7 ms."""
    return _shorter(_CIRCLE.sub(_as_arcs, " ".join(path.split())))


def _shorter(path):
    return _BEYOND_TWO_DECIMALS.sub("", " ".join(path.split()))


def _as_arcs(circle):
    """Write a circle of eight curves as two arcs; a dotted hatch alone would else weigh 200 kB."""
    numbers = [float(word) for word in circle.group(1).replace("C", " ").split()]
    ends = list(zip(numbers[4::6], numbers[5::6], strict=True))
    x, y = (sum(values) / len(ends) for values in zip(*ends, strict=True))
    radius = max(math.hypot(a - x, b - y) for a, b in ends)
    (a, b), (c, d) = ends[0], ends[1]
    turn = int((a - x) * (d - y) - (b - y) * (c - x) > 0.0)  # a hole turns the other way, and has to go on doing so
    half = f"a{radius:.2f} {radius:.2f} 0 1 {turn} 0 "
    return f"M{x:.2f} {y + radius:.2f}{half}{-2 * radius:.2f}{half}{2 * radius:.2f}z"


def _open(size):
    width, height = size
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'viewBox="0 0 {width} {height}" width="{width}" height="{height}" aria-hidden="true" focusable="false" '
        f'style="max-width:100%;height:auto;stroke-linejoin:round;stroke-linecap:butt">'
    )
