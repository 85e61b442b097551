"""Lines and texts for moving layers: drawn as fast as matplotlib can, which a slider needs."""

import functools


def add_line(axes, x, y, *, pixels=False, **look):
    """Add a line without the autoscaling of axes.plot; the limits are fixed.

    Parameters
    ----------
    axes : matplotlib.axes.Axes
        Axes to draw on.
    x, y : sequence of float
        Points, in data units or in pixels.
    pixels : bool
        The points are pixels of the picture.
    look : object
        Settings of a matplotlib line.
    """
    from matplotlib.lines import Line2D
    from matplotlib.transforms import IdentityTransform

    axes.add_artist(Line2D(x, y, transform=IdentityTransform() if pixels else axes.transData, **look))


def add_text(axes, text, x, y, *, ha="center", **look):
    """Add a text whose middle height is at a place given in pixels.

    Parameters
    ----------
    axes : matplotlib.axes.Axes
        Axes to draw on.
    text : str
        What to write.
    x, y : float, [px]
        Place.
    ha : str
        "left", "center" or "right" of the place.
    look : object
        Settings of a matplotlib text.
    """
    axes.add_artist(_plain_text()(x, y, text, ha=ha, va="center_baseline", clip_on=False, **look))


@functools.cache
def _plain_text():
    """Return a text that skips measuring itself: SVG aligns it, and measuring costs half of a moving layer."""
    from matplotlib.text import Text
    from matplotlib.transforms import IdentityTransform

    class PlainText(Text):
        def __init__(self, *arguments, **look):
            super().__init__(*arguments, transform=IdentityTransform(), **look)

        def draw(self, renderer):
            if getattr(renderer, "writer", None) is None:  # a page format that places each letter itself
                super().draw(renderer)
                return
            x, y = self.get_position()
            pen = renderer.new_gc()
            pen.set_foreground(self.get_color())
            baseline = renderer.height - y + 0.36 * self.get_fontsize()
            renderer.draw_text(pen, x, baseline, self.get_text(), self.get_fontproperties(), 0, mtext=self)
            pen.restore()

    return PlainText
