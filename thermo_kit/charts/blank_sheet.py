"""A pressure-enthalpy sheet to print and draw on by hand."""

import io

from thermo_kit.charts import style
from thermo_kit.charts.picture import draw_on, new_figure
from thermo_kit.charts.pressure_enthalpy import draw_lines
from thermo_kit.units import UnitSystem

PAPER = {UnitSystem.SI: (842.0, 595.0), UnitSystem.US: (792.0, 612.0)}
"""A4 and US letter, lying, in points."""
_ROWS = ("pressure", "temperature", "specific_enthalpy")
_WORDS = {"pressure": "Pressure", "temperature": "Temperature", "specific_enthalpy": "Enthalpy (read off)"}
_EDGE = 36.0


def sheet_bytes(lines, look):
    """Return the printable sheet as PDF bytes."""
    import matplotlib

    size = PAPER[look.system]
    sheet = new_figure(size)
    draw_on(sheet, _draw_sheet, lines, look, size)
    data = io.BytesIO()
    facts = {"Title": f"Pressure-enthalpy sheet {lines.refrigerant}", "CreationDate": None, "Producer": None}
    with matplotlib.rc_context(style.RC):
        sheet.savefig(data, format="pdf", metadata={**facts, "Creator": None})
    return data.getvalue()


def _draw_sheet(sheet, lines, look, size):
    width, height = size
    left, bottom, top = 72.0, 158.0, 62.0
    draw_lines(sheet, lines, look, size, box=(left, bottom, width - left - _EDGE, height - bottom - top))
    _draw_header(sheet, size)
    _draw_table(sheet, look, size)


def _draw_header(sheet, size):
    width, height = size
    x = _EDGE
    for words, room in (("Name", 190.0), ("Date", 90.0), ("Vehicle", 150.0), ("Outside air", 150.0)):
        sheet.text(x / width, (height - 26) / height, words, fontsize=style.SMALL_TEXT)
        start = x + 8 + 6.2 * len(words)
        _draw_rule(sheet, size, (start, height - 28), (x + room, height - 28))
        x += room + 12


def _draw_table(sheet, look, size):
    width, height = size
    columns = ("", "1", "2", "3", "4", "5", "6")
    first, row_height = 150.0, 18.0
    column = (width - 2 * _EDGE - first) / 6
    top = 20.0 + 4 * row_height
    for row in range(5):
        y = top - row * row_height
        _draw_rule(sheet, size, (_EDGE, y), (width - _EDGE, y))
    for i in range(8):
        x = _EDGE if i == 0 else _EDGE + first + (i - 1) * column
        _draw_rule(sheet, size, (x, top), (x, top - 4 * row_height))
    for i, words in enumerate(columns[1:]):
        x = _EDGE + first + (i + 0.5) * column
        sheet.text(x / width, (top - 12.5) / height, words, ha="center", fontsize=style.SMALL_TEXT, fontweight="bold")
    sheet.text((_EDGE + 4) / width, (top - 12.5) / height, "Point", fontsize=style.SMALL_TEXT)
    for i, kind in enumerate(_ROWS):
        words = f"{_WORDS[kind]}, {look.sign(kind)}"
        sheet.text(
            (_EDGE + 4) / width, (top - 12.5 - (i + 1) * row_height) / height, words, fontsize=style.SMALL_TEXT - 1
        )
    note = (
        "1 compressor inlet   2 compressor outlet   3 condenser or gas cooler outlet   4 valve inlet   "
        "5 evaporator inlet   6 evaporator outlet"
    )
    sheet.text(_EDGE / width, 8 / height, note, fontsize=style.SMALL_TEXT - 2)


def _draw_rule(sheet, size, start, end):
    from matplotlib.lines import Line2D

    x, y = [start[0] / size[0], end[0] / size[0]], [start[1] / size[1], end[1] / size[1]]
    sheet.add_artist(Line2D(x, y, color=style.SOFT_INK, linewidth=0.7))
