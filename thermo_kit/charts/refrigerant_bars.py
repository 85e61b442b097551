"""Several refrigerants doing the same job, side by side: one column for each quantity, one row for each refrigerant."""

from thermo_kit.charts import style
from thermo_kit.charts.picture import two_layers
from thermo_kit.charts.quick_artists import add_area, add_text
from thermo_kit.charts.shapes import striped

_ROW, _HEAD, _FOOT, _NAMES, _WIDTH = 46.0, 70.0, 30.0, 92.0, 900
_ZERO_CELSIUS = 273.15
_COLUMNS = (
    ("Low side", "evaporating_pressure", "pressure", "bar starts at vacuum"),
    ("High side", "condensing_pressure", "pressure", "bar starts at vacuum"),
    ("Hot gas", "discharge_temperature", "temperature", "bar starts at freezing"),
    ("Suction volume", "", "volume_flow", "for 1 kW of cooling"),
    ("COP", "coefficient_of_performance", "ratio", "cooling per work"),
)


def _value(row, field):
    return getattr(row.cycle, field) if field else row.suction_volume_flow


def refrigerant_bars(rows, look):
    """Draw the same job done with several refrigerants, as `compare_refrigerants` returns them."""
    rows = tuple(rows)
    size = (_WIDTH, round(_HEAD + _FOOT + _ROW * len(rows)))
    return two_layers(
        _draw_table,
        lambda axes: _draw_bars(axes, rows, look),
        still=(tuple(row.refrigerant for row in rows), look, size),
        sentence=_sentence(rows, look),
        size=size,
    )


def _column(index):
    width = (_WIDTH - _NAMES - 8.0) / len(_COLUMNS)
    return _NAMES + index * width, width


def _draw_table(figure, names, look, size):
    axes, top = striped(figure, size, names, _HEAD, _ROW, fontweight="bold"), size[1] - _HEAD
    for i, (words, _, kind, zero) in enumerate(_COLUMNS):
        x, _ = _column(i)
        sign = look.sign(kind)
        axes.text(x, top + 48, words, fontweight="bold", fontsize=style.TEXT)
        axes.text(x, top + 31, sign or "–", fontsize=style.TEXT - 1)
        axes.text(x, top + 14, zero, fontsize=style.SMALL_TEXT, color=style.SOFT_INK)
        axes.plot([x, x], [_FOOT - 4, top + 4], color=style.SOFT_INK, linewidth=0.9)
    axes.text(
        12, 9, "hatched: above the critical pressure, cooled as a gas", fontsize=style.SMALL_TEXT, color=style.SOFT_INK
    )


def _draw_bars(axes, rows, look):
    top = axes.get_ylim()[1] - _HEAD
    boxes = {False: [], True: []}
    for i, (_, field, kind, _) in enumerate(_COLUMNS):
        x, width = _column(i)
        lengths = [_value(row, field) - (_ZERO_CELSIUS if kind == "temperature" else 0.0) for row in rows]
        longest = max(*lengths, 1e-12)
        for j, (row, length) in enumerate(zip(rows, lengths, strict=True)):
            y = top - (j + 0.5) * _ROW
            end = x + max(0.0, length / longest) * (width - 66.0)
            boxes[row.above_critical and field == "condensing_pressure"].append(
                ((x, y - 9), (end, y - 9), (end, y + 9), (x, y + 9))
            )
            value = _value(row, field)
            text = f"{look.number(value, kind):,.{_decimals(kind, look, value)}f}".replace("-", "−")
            add_text(axes, text, end + 6, y, ha="left", fontsize=style.TEXT, color=style.INK)
    for is_hatched, found in boxes.items():
        if found:
            add_area(axes, found, facecolor="#8fb8d6", edgecolor=style.LIQUID, linewidth=0.9,
                     hatch="////" if is_hatched else None)  # fmt: skip


def _decimals(kind, look, value):
    if kind == "pressure":
        return 1 if look.number(value, kind) < 100 else 0
    return {"temperature": 0, "volume_flow": 1, "ratio": 2}[kind]


def _sentence(rows, look):
    told = ["The same job with " + ", ".join(row.refrigerant for row in rows) + "."]
    for words, field, kind, _ in _COLUMNS:
        low, high = (choose(rows, key=lambda row: _value(row, field)) for choose in (min, max))
        if low is not high:
            low_text, high_text = (look.text(_value(row, field), kind) for row in (low, high))
            told.append(f"{words}: from {low_text} ({low.refrigerant}) to {high_text} ({high.refrigerant}).")
    above = [row.refrigerant for row in rows if row.above_critical]
    if above:
        told.append(f"Above the critical pressure: {', '.join(above)}.")
    return " ".join(told)
