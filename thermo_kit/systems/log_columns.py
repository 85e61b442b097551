"""Understands the header of a log: which column holds what, in which unit."""

import math
import re
from dataclasses import dataclass

from thermo_kit.errors import Problem, ReadingsError, UnitError
from thermo_kit.units import parse_quantity

REQUIRED = (
    "time",
    "suction_pressure",
    "discharge_pressure",
    "suction_temperature",
    "discharge_temperature",
    "liquid_temperature",
)
OPTIONAL = ("evaporator_outlet_temperature", "mass_flow")
# "K" would ask for a temperature difference, so temperatures are asked for in °C; the answer is in kelvin all the same.
_EXPECTED = {"time": "s", "pressure": "Pa", "temperature": "°C", "flow": "kg/s"}
_EXAMPLE_UNIT = {"time": "s", "pressure": "bar(g)", "temperature": "°C", "flow": "g/s"}
_UNCLEAR_PRESSURE = re.compile(r"^(psi|bar|mbar|kpa|mpa|in\.?\s*hg)$")
_BRACKETS = {"(": ")", "[": "]"}


@dataclass(frozen=True, slots=True)
class Column:
    """One used column: SI value = factor × number + offset."""

    name: str
    position: int
    factor: float
    offset: float
    optional: bool


@dataclass(frozen=True, slots=True)
class Columns:
    """used: the columns that are read; width: how many cells each line has."""

    used: tuple[Column, ...]
    width: int


def find_columns(headings, altitude):
    """Return which columns of a log are read and how their numbers turn into SI; altitude [m]."""
    while headings and headings[-1] == "":
        headings = headings[:-1]
    problems, notes, used = [], [], {}
    for position, heading in enumerate(headings):
        name, unit = split_heading(heading)
        if name is None:
            notes.append(f"Column {heading!r} is not used.")
        elif name in used:
            problems.append(Problem("column", repr(name), "stands twice in the header", "keep one of the two"))
        else:
            used[name] = None
            try:
                factor, offset = _to_si(name, unit, altitude)
            except ReadingsError as reason:
                problems.extend(reason.problems)
            else:
                used[name] = Column(name, position, factor, offset, name in OPTIONAL)
    missing = [name for name in REQUIRED if name not in used]
    if len(missing) == len(REQUIRED):
        raise ReadingsError(
            Problem(
                "header",
                repr(", ".join(headings)[:120]),
                "has none of the expected columns",
                f"the first line must name them, each with its unit: {', '.join(_example(name) for name in REQUIRED)}",
            )
        )
    for name in missing:
        problems.append(Problem("column", repr(name), "is missing", f"add it with its unit, as {_example(name)}"))
    if problems:
        raise ReadingsError(*problems)
    return Columns(tuple(used.values()), len(headings)), notes


def split_heading(heading):
    """Return a heading's name and unit.

    Examples
    --------
    >>> split_heading("Suction pressure (psig)")
    ('suction_pressure', 'psig')
    >>> split_heading("discharge_pressure_bar(g)")
    ('discharge_pressure', 'bar(g)')
    """
    plain = heading.strip().strip('"').strip()
    folded = re.sub(r"[\s\-]", "_", plain.lower())
    for name in (*REQUIRED, *OPTIONAL):
        # Letters and digits that follow at once belong to another word, as in "timezone".
        if folded.startswith(name) and not folded[len(name) :][:1].isalnum():
            unit = plain[len(name) :].strip(" _-:,")
            while len(unit) > 1 and _BRACKETS.get(unit[0]) == unit[-1]:
                unit = unit[1:-1].strip()
            return name, unit
    return None, ""


def number_of(cell, name, delimiter):
    """Return the number in a cell."""
    if cell == "":
        raise ReadingsError(f"{name} is empty")
    digits = cell.replace("−", "-")
    if delimiter != "," and digits.count(",") == 1 and "." not in digits:
        digits = digits.replace(",", ".")
    try:
        value = float(digits)
    except ValueError:
        value = math.nan
    if not math.isfinite(value) or "_" in digits:
        raise ReadingsError(f"{name} {cell[:40]!r} is not a number")
    return value


def _kind(name):
    return name.rpartition("_")[2]


def _example(name):
    return f"{name} [{_EXAMPLE_UNIT[_kind(name)]}]"


def _to_si(name, unit, altitude):
    kind = _kind(name)
    if unit == "":
        raise ReadingsError(Problem("column", repr(name), "has no unit", f"write it like {_example(name)}"))
    if kind == "pressure" and _UNCLEAR_PRESSURE.match(unit.lower()):
        raise ReadingsError(
            Problem(
                "column",
                repr(name),
                f"does not say whether its {unit} are gauge or absolute",
                f"write {name} [{unit}(g)] for gauge or {name} [{unit}(a)] for absolute",
            )
        )
    try:
        zero, one = (parse_quantity(f"{n} {unit}", _EXPECTED[kind], altitude) for n in (0, 1))
    except UnitError:
        raise ReadingsError(
            Problem(
                "column",
                repr(name),
                f"has the unit {unit!r}, which is not understood",
                f"write it like {_example(name)}",
            )
        ) from None
    return one - zero, zero
