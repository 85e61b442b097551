"""What is expected of each topic of an examination: the share of right answers with its range, beside the pass mark."""

from thermo_kit.charts import style
from thermo_kit.charts.picture import one_layer
from thermo_kit.charts.shapes import striped

_WIDTH, _HEAD, _FOOT, _ROW = 640, 26, 30, 24
_LEFT, _SPAN = 250.0, 300.0


def outlook_picture(readiness):
    """Draw a topic a row."""
    size = (_WIDTH, _HEAD + _FOOT + _ROW * len(readiness.topics))
    return one_layer(_draw, readiness, size, sentence=readiness.sentence, size=size)


def _draw(figure, readiness, size):
    names = [f"{one.title}, {one.questions} questions" for one in readiness.topics]
    axes = striped(figure, size, names, _HEAD, _ROW, fontsize=style.SMALL_TEXT)
    foot, top = size[1] - _HEAD - _ROW * len(names), size[1] - _HEAD
    mark = _LEFT + _SPAN * readiness.pass_share
    axes.plot([mark, mark], [foot, top], color=style.INK, linewidth=1.4, linestyle=(0, (5, 2)))
    axes.text(mark, top + 6, f"pass mark {readiness.pass_share:.0%}", ha="center", fontsize=style.SMALL_TEXT)
    for number, one in enumerate(readiness.topics):
        y = top - (number + 0.5) * _ROW
        low, share, high = (_LEFT + _SPAN * end for end in (one.low, one.share, one.high))
        colour = style.GOOD if one.share >= readiness.pass_share else style.WARNING
        axes.plot([low, high], [y, y], color=colour, linewidth=5, alpha=0.5, solid_capstyle="butt")
        axes.plot([share], [y], color=colour, marker="o" if one.share >= readiness.pass_share else "s", markersize=7)
        tries = f"{one.tries} tries" if one.tries else "no try yet"
        axes.text(_LEFT + _SPAN + 16, y, tries, va="center", fontsize=style.SMALL_TEXT)
    for share in (0, 0.25, 0.5, 0.75, 1):
        axes.text(_LEFT + _SPAN * share, foot - 18, f"{share:.0%}", ha="center", fontsize=style.SMALL_TEXT)
