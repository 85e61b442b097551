"""What an internal heat exchanger brings: by effectiveness for several refrigerants, and by length."""

from dataclasses import dataclass

from thermo_kit.charts import style
from thermo_kit.charts.exchanger_profile import length_text
from thermo_kit.charts.strips import Axis, Column, Level, Line, Mark, Strip, Zone, strips_picture
from thermo_kit.substances.names import REFRIGERANT_NAMES
from thermo_kit.units.look import signed_percent

_NAME_ROOM, _CHOSEN = 84.0, {"colour": style.INK, "dashes": (0, (4, 3))}
_CHANGE = {"kind": "percent", "bare": True, "count": 7}


def exchange_curves(compared, effectiveness, discharge_limit, look):
    """Draw three charts side by side, each with one line a refrigerant; effectiveness [-], discharge_limit [K]."""
    compared = tuple(compared)
    columns = []
    for field, title in (
        ("volumetric_capacity_change", "Cooling, same compressor"),
        ("cop_change", "COP"),
        ("discharge_temperature", "Hot gas behind the compressor"),
    ):
        is_heat = field == "discharge_temperature"
        axis = Axis("hot gas", "temperature", count=7) if is_heat else Axis("change, %", **_CHANGE)
        things = _limit(discharge_limit, compared, look) if is_heat else _zero()
        things += tuple(thing for row in compared for thing in _row(row, field, effectiveness))
        strip = Strip(axis, (*things, Mark(effectiveness, None, "", **_CHOSEN)))
        columns.append(
            Column(Axis("effectiveness", ends=(0.0, 1.0), count=5), (strip,), names=_NAME_ROOM, heading=title)
        )
    sentence = _curves_told(compared, effectiveness, discharge_limit, look)
    return strips_picture(tuple(columns), look, sentence=sentence, size=(980, 430))


def _zero():
    return (Level(0.0, "", style.INK, "solid"),)


def _limit(limit, compared, look):
    """The limit, what lies above it, and where a line crosses it."""
    found = [row.largest_effectiveness for row in compared if row.limited_by == "discharge temperature"]
    return (
        Zone(limit, None, "", "bad"),
        Level(limit, f"hatched: above {look.text(limit, 'temperature', 0)}", dashes="solid", inside=True),
        *(Mark(x, limit, "", style.WARNING, "X") for x in found if x is not None),
    )


def _row(row, field, effectiveness):
    colour, dashes, marker = style.series_style(REFRIGERANT_NAMES.index(row.curve.refrigerant))
    yield Line(row.curve.refrigerant, row.curve.effectiveness, getattr(row.curve, field), colour, dashes, 2.2)
    if row.chosen is not None:
        yield Mark(effectiveness, getattr(row.chosen, field), "", colour, marker)


def _curves_told(compared, effectiveness, limit, look):
    told = [f"An internal heat exchanger of effectiveness {effectiveness:.2f}."]
    for row in compared:
        name, chosen = row.curve.refrigerant, row.chosen
        if chosen is None:
            told.append(f"{name}: so much heat cannot flow; its curve ends at {row.curve.effectiveness[-1]:.2f}.")
            continue
        hot = look.text(chosen.discharge_temperature, "temperature")
        told.append(
            f"{name}: cooling with the same compressor {signed_percent(chosen.volumetric_capacity_change)}, COP "
            f"{signed_percent(chosen.cop_change)}, hot gas {hot}."
        )
    shown = look.text(limit, "temperature")
    crossing = [row for row in compared if row.limited_by == "discharge temperature"]
    told += [
        f"{row.curve.refrigerant} passes the limit {shown} "
        + ("even without one." if row.largest_effectiveness is None else f"beyond {row.largest_effectiveness:.2f}.")
        for row in crossing
    ]
    if not crossing:
        told.append(f"None passes the limit {shown}.")
    return " ".join(told)


@dataclass(frozen=True)
class LengthSeries:
    """What is drawn: lengths [m], rising, and for each of them changes as shares and the hot gas [K].

    frictionless, cooling: of each litre drawn in, without and with pressure losses; cop: of the COP;
    chosen: one of the lengths; best: the length that cools most [m], None where none pays;
    discharge_limit: highest allowed temperature behind the compressor [K]
    """

    refrigerant: str
    lengths: tuple
    frictionless: tuple
    cooling: tuple
    cop: tuple
    discharge_temperature: tuple
    chosen: float
    best: float | None
    discharge_limit: float


def exchange_length(shown, look):
    """Draw gains and hot gas against length."""
    chosen, x = shown.lengths.index(shown.chosen), Axis("Length", "length", (0.0, shown.lengths[-1]), count=5)
    through = Mark(shown.chosen, None, "", **_CHOSEN)
    free, cooling, cop = (
        Line("cooling,\nno friction", shown.lengths, shown.frictionless, style.SOFT_INK, (0, (2, 1.5))),
        Line("cooling", shown.lengths, shown.cooling, style.LOW_SIDE),
        Line("COP", shown.lengths, shown.cop, style.GOOD, (0, (7, 2, 1.5, 2))),
    )
    points = (Mark(shown.chosen, line.y[chosen], "", line.colour) for line in (free, cooling, cop))
    gain = (*_zero(), Zone(cooling, free, "", "full"), free, cooling, cop, *points, through)
    hot = (
        *_limit(shown.discharge_limit, (), look),
        Line("", shown.lengths, shown.discharge_temperature, style.HIGH_SIDE),
        Mark(shown.chosen, shown.discharge_temperature[chosen], "", style.HIGH_SIDE, "s"),
        through,
    )
    columns = (
        Column(x, (Strip(Axis("change against no exchanger, %", **_CHANGE), gain),), 1.7, 96.0, "What it brings"),
        Column(x, (Strip(Axis("hot gas", "temperature", count=7), hot),), heading="Hot gas"),
    )
    return strips_picture(columns, look, sentence=_length_told(shown, look), size=(860, 400))


def _length_told(shown, look):
    i = shown.lengths.index(shown.chosen)
    lost = shown.frictionless[i] - shown.cooling[i]
    hot, limit = (look.text(T, "temperature") for T in (shown.discharge_temperature[i], shown.discharge_limit))
    verdict = "below" if shown.discharge_temperature[i] <= shown.discharge_limit else "above"
    reached = f"at the limit {limit}" if hot == limit else f"{verdict} the limit {limit}"
    if shown.best is None:
        peak = "No length pays."
    elif shown.best < shown.lengths[-1]:
        peak = f"More than {length_text(shown.best, look)} brings no more."
    else:
        peak = "It still grows at the end of the chart."
    return (
        f"{shown.refrigerant}, {length_text(shown.chosen, look)} long: with the same compressor the cooling changes by "
        f"{signed_percent(shown.cooling[i])}; without friction it would be {signed_percent(shown.frictionless[i])}, so "
        f"friction takes {lost * 100:.1f} points. COP {signed_percent(shown.cop[i])}. Hot gas {hot}, {reached}. {peak}"
    )
