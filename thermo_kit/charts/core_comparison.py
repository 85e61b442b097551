"""Two condenser cores side by side: the same quantities of both, and how far the second is off the first."""

from dataclasses import dataclass

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_line, add_text
from thermo_kit.charts.shapes import add_box, striped

_WIDTH, _HEAD, _ROW, _FOOT = 900, 84.0, 50.0, 34.0
_NAME, _FIRST, _SECOND, _ZERO, _REACH = 12.0, 236.0, 348.0, 660.0, 138.0
_CLIP, _LEAST = 0.20, 5e-4


@dataclass(frozen=True)
class ComparedQuantity:
    """One row: name; first and second [SI]; kind: key of `thermo_kit.units.KINDS`; dearer_when: "more" or "less" of it
    costs, "" if neither; has_bar: False where a share would mean nothing; difference: told instead of the share."""

    name: str
    first: float
    second: float
    kind: str
    dearer_when: str = ""
    has_bar: bool = True
    difference: str = ""

    @property
    def shift(self):
        """Second minus first, as a share of the first [-]."""
        return self.second / self.first - 1.0


def comparison_picture(rows, names, look):
    """Draw two cores side by side."""
    rows = tuple(rows)
    size = (_WIDTH, round(_HEAD + _FOOT + _ROW * len(rows)))
    return two_layers(
        _draw_table,
        lambda axes: _draw_rows(axes, rows, size, look),
        sentence=comparison_sentence(rows, names, look),
        still=(tuple(row.name for row in rows), tuple(names), size),
        size=size,
    )


def comparison_sentence(rows, names, look):
    """Say what the comparison shows, with its numbers."""
    told = [f"{names[0]} against {names[1]}."]
    for row in rows:
        first, second = (look.text(value, row.kind) for value in (row.first, row.second))
        apart = row.difference or percent_words(row.shift)
        told.append(f"{row.name}: {first} and {second}, {apart.rstrip('.')}.")  # a unit may end in a point of its own
    return " ".join(told)


def percent_words(share):
    """Write how far one thing is off another; share [-].

    Examples
    --------
    >>> percent_words(-0.1)
    '10.0 % less'
    """
    shown = round(100 * abs(share), 1)
    if shown == 0:
        return "the same"
    return f"{shown:.1f} % {'more' if share > 0 else 'less'}"


def _draw_table(figure, names, cores, size):
    axes, top = striped(figure, size, names, _HEAD, _ROW), size[1] - _HEAD
    for x, name in zip((_FIRST, _SECOND), cores, strict=True):
        axes.text(x, top + 14, name.replace(", ", ",\n"), fontweight="bold", va="bottom")
    axes.text(_ZERO, top + 48, "second against first", fontweight="bold", ha="center", va="bottom")
    axes.text(_ZERO - 10, top + 18, "← less", ha="right", va="bottom", color=style.SOFT_INK)
    axes.text(_ZERO + 10, top + 18, "more →", ha="left", va="bottom", color=style.SOFT_INK)
    axes.plot([_ZERO] * 2, [_FOOT - 4, top + 8], color=style.INK, linewidth=1.2)
    axes.text(
        _NAME, 10, f"hatched bar: the change costs; plain bar: it does not. A full bar is {100 * _CLIP:.0f} % or more",
        fontsize=style.SMALL_TEXT, color=style.SOFT_INK,
    )  # fmt: skip


def _draw_rows(axes, rows, size, look):
    top = size[1] - _HEAD
    for index, row in enumerate(rows):
        y = top - (index + 0.5) * _ROW
        for x, value in ((_FIRST, row.first), (_SECOND, row.second)):
            add_text(axes, look.text(value, row.kind), x, y, ha="left", fontsize=style.TEXT)
        has_bar = row.has_bar and abs(row.shift) >= _LEAST
        shown = min(max(row.shift, -_CLIP), _CLIP) / _CLIP * _REACH if has_bar else 0.0
        costs = (row.dearer_when == "more" and shown > 0) or (row.dearer_when == "less" and shown < 0)
        if shown:
            face, edge, hatch = ("#f3cdb4", style.HIGH_SIDE, "////") if costs else ("#cfe3ef", style.LIQUID, None)
            add_box(
                axes, _ZERO, y - 10, _ZERO + shown, y + 10, facecolor=face, edgecolor=edge, hatch=hatch, linewidth=0.9
            )
        words = row.difference or percent_words(row.shift)
        left = shown < 0
        add_text(
            axes, words, _ZERO + shown + (-7 if left else 7), y, ha="right" if left else "left",
            fontsize=style.TEXT, fontweight="bold", color=style.HIGH_SIDE if costs else style.INK,
        )  # fmt: skip
    add_line(axes, [_ZERO] * 2, [_FOOT - 4, top + 8], color=style.INK, linewidth=1.2)
