"""One concentration as a bar, with the published limits as lines across it."""

import math

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.shapes import rail
from thermo_kit.units import UnitSystem

SIZE = (640, 250)
_LOWEST, _HIGHEST = 1e-3, 3.0
# Names stand in steps above the scale, so that limits close to one another stay readable.
_STEP, _FIRST = 0.30, 1.14
_ROOM = 1.15
_BARS = {
    "below": (style.GOOD, "", "below all of them"),
    "between": (style.CAUTION, "..", "above a limit"),
    "danger": (style.WARNING, "///", "danger"),
}


def concentration_picture(result, look):
    """Draw a leaked charge against the limits."""
    names = [limit.name for limit in result.passed]
    verdict = f"above the {_listed(names)}" if names else "below every limit"
    told = ", ".join(f"{limit.name} {look.text(limit.concentration, 'concentration')}" for limit in result.limits)
    there = look.text(result.concentration, "concentration")
    return two_layers(
        _draw_scale,
        lambda axes: _draw_bar(axes, result, there),
        sentence=f"{result.spec.refrigerant}: {there} in the air, {verdict}. Limits: {told}.",
        still=(result.limits, look),
        size=SIZE,
    )


def _listed(names):
    return " and the ".join((", the ".join(names[:-1]), names[-1])) if names[1:] else names[0]


def _draw_scale(figure, limits, look):
    from matplotlib.ticker import LogLocator

    marks = (1, 10, 100, 1000) if look.system is UnitSystem.SI else (1e-3, 1e-2, 1e-1, 1)
    ticks = [(look.stored(mark, "concentration"), f"{mark:,g}") for mark in marks]
    title = f"refrigerant in the air, {look.sign('concentration')}"
    axes = rail(figure, (0.03, 0.21, 0.94, 0.27), (_LOWEST, _HIGHEST), ticks, title, scale="log")
    axes.xaxis.set_minor_locator(LogLocator(subs=range(2, 10)))
    for i, limit in enumerate(reversed(limits)):
        height, value = _FIRST + _STEP * i, limit.concentration
        dashes = "solid" if limit.is_danger else (0, (5, 2))
        axes.plot([value, value], [0, height - 0.02], color=style.INK, linewidth=1.4, linestyle=dashes, clip_on=False)
        is_right = math.log(value / _LOWEST) > 0.6 * math.log(_HIGHEST / _LOWEST)
        words = f"{limit.name}: {look.text(value, 'concentration')}"
        axes.text(
            value / _ROOM if is_right else value * _ROOM, height - 0.04, words,
            ha="right" if is_right else "left", va="center", fontsize=style.TEXT - 1,
            bbox={"facecolor": style.PLATE, "edgecolor": "none", "pad": 1},
        )  # fmt: skip


def _draw_bar(axes, result, there):
    end = min(max(result.concentration, 1.05 * _LOWEST), _HIGHEST)
    colour, hatch, word = _BARS[result.level]
    axes.barh(0.4, end - _LOWEST, left=_LOWEST, height=0.5, color=colour, alpha=0.55, hatch=hatch, edgecolor=colour)
    axes.text(
        1.15e-3, 0.4, f"{there}, {word}", va="center", fontsize=style.TEXT, color=style.INK,
        bbox={"facecolor": style.PLATE, "edgecolor": "none", "alpha": 0.85, "pad": 2},
    )  # fmt: skip
