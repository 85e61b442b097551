"""Bars with their names: minutes of measurements, or how likely each cause is."""

from thermo_kit.charts import style
from thermo_kit.charts.picture import one_layer

_ROW, _FOOT, _NAMES, _WIDTH = 30, 42, 300, 590


def named_bars(rows, axis, most, sentence):
    """Draw (name, number, words behind the bar) as bars on an axis up to `most`."""
    return one_layer(_draw, tuple(rows), axis, most, sentence=sentence, size=(_WIDTH, _FOOT + _ROW * max(len(rows), 1)))


def _draw(figure, rows, axis, most):
    height = _FOOT + _ROW * max(len(rows), 1)
    axes = figure.add_axes((_NAMES / _WIDTH, _FOOT / height, 1 - (_NAMES + 150) / _WIDTH, 1 - (_FOOT + 4) / height))
    axes.set(xlim=(0, most), ylim=(max(len(rows), 1) - 0.5, -0.5), yticks=[])
    axes.set_xlabel(axis)
    for spine in ("right", "top"):
        axes.spines[spine].set_visible(False)
    for row, (name, number, words) in enumerate(rows):
        axes.barh(row, number, height=0.6, color=style.TWO_PHASE, edgecolor=style.INK, hatch="//")
        axes.text(-0.02 * most, row, name, ha="right", va="center", fontsize=style.TEXT)
        axes.text(number + 0.02 * most, row, words, va="center", fontsize=style.TEXT)
