"""What a cell shows without controls: a table, the glossary, a picture; plain text for the regression run and for
screen readers."""

from dataclasses import dataclass
from html import escape

from thermo_kit.units import UnitSystem, sign_of
from thermo_kit.units.words import WORDS


def aligned(rows):
    """Return rows of text as lines in which all columns stand one below the other."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return ["  ".join(map(str.ljust, row, widths)).rstrip() for row in rows]


@dataclass(frozen=True)
class Table:
    """A table with a caption, column heads and rows of text."""

    caption: str
    heads: tuple
    rows: tuple

    def __repr__(self):
        line = ["-" * max(map(len, column)) for column in zip(self.heads, *self.rows, strict=True)]
        return "\n".join([self.caption, *aligned([self.heads, line, *self.rows])])

    def _repr_html_(self):
        heads = "".join(
            f'<th scope="col" style="text-align:left">{escape(head)}</th>' if head else "<td></td>"
            for head in self.heads
        )
        rows = "".join(
            "<tr>" + "".join(f'<td style="text-align:left">{escape(cell)}</td>' for cell in row) + "</tr>"
            for row in self.rows
        )
        caption = f'<caption style="text-align:left;caption-side:top">{escape(self.caption)}</caption>'
        return f"<table>{caption}<thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>"


def table(caption, heads, rows):
    """Make a table of text to show as the result of a cell.

    Examples
    --------
    >>> table("Steps", ["step", "result"], [["add the air", 3.0]])
    Steps
    step         result
    -----------  ------
    add the air  3.0
    """
    return Table(caption, tuple(str(head) for head in heads), tuple(tuple(str(cell) for cell in row) for row in rows))


def glossary():
    """Return the words of the workbook as a table, sorted by the field's name."""
    rows = []
    for entry in sorted(WORDS.values(), key=lambda w: w.name):
        signs = dict.fromkeys(sign_of(entry.kind, system) for system in UnitSystem)
        rows.append([entry.name.replace("_", " "), entry.sign, ", ".join(signs) or "–", entry.meaning, entry.trade])
    return table("Words of the trade", ["word", "sign", "unit", "what it means", "at the vehicle"], rows)


@dataclass(frozen=True)
class StillPicture:
    """A chart shown as the result of a cell; its text equivalent is the chart's sentence."""

    picture: object

    def __repr__(self):
        return f"Picture: {self.picture.sentence}"

    def _repr_html_(self):
        return self.picture.framed()


def show_picture(picture):
    """Show a chart as the result of a cell."""
    return StillPicture(picture)
