"""The still part of the receiver's cut-away: walls, standpipe, desiccant bag and lines, in two windows."""

from dataclasses import dataclass

from thermo_kit.charts import style

SIZE = (760, 600)
_WHOLE = (0, 62, 350, 500)
_CLOSE = (378, 62, 382, 500)
WALL = "#6b747d"
_BAG = "#efe3c8"
_BAG_EDGE = "#7a5c14"


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

    def limits(self):
        """Return the ends of both axes; → [m]."""
        wide = self.box[2] * self.per_pixel
        return (-wide / 2, wide / 2), (self.bottom, self.bottom + self.tall)

    def axes(self, figure):
        """Add the window's axes to a figure."""
        left, low, wide, tall = self.box
        axes = figure.add_axes((left / SIZE[0], low / SIZE[1], wide / SIZE[0], tall / SIZE[1]))
        across, up = self.limits()
        axes.set(xlim=across, ylim=up)
        axes.set_axis_off()
        return axes


def views_of(spec):
    """Return both windows on a vessel."""
    whole = View(_WHOLE, -0.05 * spec.height, 1.22 * spec.height)
    tall = max(0.078, 2.0 * spec.diameter)
    return whole, View(_CLOSE, -0.07 * tall, tall)


def draw_vessel(figure, spec):
    """Draw both windows without liquid."""
    whole, close = views_of(spec)
    for view in (whole, close):
        axes = view.axes(figure)
        _draw_parts(axes, spec, view)
        if view is whole:
            _label_whole(axes, spec, view)
    figure.text(_WHOLE[2] / 2 / SIZE[0], 0.975, "The whole vessel", ha="center", va="top", fontweight="bold")
    middle = (_CLOSE[0] + _CLOSE[2] / 2) / SIZE[0]
    figure.text(middle, 0.975, "Close-up of the mouth", ha="center", va="top", fontweight="bold")


def _draw_parts(axes, spec, view):
    radius, thick = spec.radius, 5 * view.per_pixel
    top = min(spec.height, view.bottom + view.tall)
    for side in (-1, 1):
        left = radius if side > 0 else -radius - thick
        axes.add_patch(box(left, -thick, thick, top + thick + (thick if top == spec.height else 0), WALL))
    axes.add_patch(box(-radius, -thick, 2 * radius, thick, WALL))
    if top == spec.height:
        axes.add_patch(box(-radius, spec.height, 2 * radius, thick, WALL))
    if spec.desiccant_mass and spec.desiccant_bottom < top:
        high = min(spec.desiccant_height, top - spec.desiccant_bottom)
        axes.add_patch(
            box(-0.94 * radius, spec.desiccant_bottom, 1.88 * radius, high, _BAG, edge=_BAG_EDGE, hatch="ooo")
        )
    bore, x, mouth = spec.standpipe_diameter / 2, -spec.standpipe_offset, spec.mouth_height
    end = view.bottom + view.tall if top < spec.height else 1.10 * spec.height
    axes.add_patch(box(x - bore, mouth, 2 * bore, end - mouth, style.PLATE, zorder=3))
    for side in (-1, 1):
        axes.plot([x + side * bore] * 2, [mouth, end], color=style.INK, linewidth=2.2, zorder=6)


def box(left, low, wide, tall, face, *, edge="none", hatch=None, zorder=1):
    """Make a rectangle; left [m], low [m], wide [m], tall [m]."""
    from matplotlib.patches import Rectangle

    return Rectangle((left, low), wide, tall, facecolor=face, edgecolor=edge, hatch=hatch, linewidth=0.8, zorder=zorder)


def _label_whole(axes, spec, view):
    radius, tall, unit = spec.radius, spec.height, view.per_pixel
    wall = radius + 5 * unit
    inlet = 0.93 * tall
    axes.add_patch(box(radius - 2 * unit, inlet - 10 * unit, 40 * unit, 20 * unit, "#f6efe0", edge=WALL))
    axes.annotate(
        "",
        (radius + 2 * unit, inlet),
        (radius + 36 * unit, inlet),
        arrowprops={"arrowstyle": "-|>", "color": style.VAPOUR, "lw": 2.4},
    )
    axes.text(
        wall + 40 * unit,
        inlet,
        "in, larger line:\nliquid and vapour\nfrom the condenser",
        va="center",
        fontsize=style.SMALL_TEXT,
    )
    x, end = -spec.standpipe_offset, 1.10 * tall
    axes.annotate(
        "",
        (x, end + 26 * unit),
        (x, end - 4 * unit),
        arrowprops={"arrowstyle": "-|>", "color": style.LIQUID, "lw": 2.0},
    )
    axes.text(
        x - 12 * unit,
        end + 12 * unit,
        "out, smaller line: to\nthe subcooling pass",
        ha="right",
        va="center",
        fontsize=style.SMALL_TEXT,
    )
    labels = [("standpipe", 0.62 * tall, x), ("mouth", spec.mouth_height + 2 * unit, x)]
    if spec.desiccant_mass:
        labels.append(("desiccant\nbag", spec.desiccant_bottom + 0.3 * spec.desiccant_height, -0.8 * radius))
    for words, height, at in sorted(labels, key=lambda row: row[1]):
        if words == "standpipe" and spec.desiccant_mass:
            height = min(spec.desiccant_bottom + spec.desiccant_height + 0.08 * tall, 0.9 * tall)
        axes.annotate(
            words,
            (at, height),
            (-wall - 22 * unit, height),
            ha="right",
            va="center",
            fontsize=style.SMALL_TEXT,
            arrowprops={"arrowstyle": "-", "color": style.SOFT_INK, "lw": 0.8},
            zorder=7,
        )
