"""Reads gauge and clamp readings that were logged over minutes, line by line, and names every line it cannot use."""

import csv
import io
import math
import re
from dataclasses import dataclass
from pathlib import Path

from thermo_kit.errors import FileAccessError, Problem, ReadingsError, ThermoKitError, UnitError
from thermo_kit.substances import Refrigerant
from thermo_kit.systems.readings_states import MEASURED, Readings, find_problems
from thermo_kit.units import parse_quantity, within_ranges
from thermo_kit.units.convert import HIGHEST_ALTITUDE, LOWEST_ALTITUDE

LARGEST_LOG = 20_000_000
LARGEST_VALUE = 1e13
"""Of any column, in SI: a clock that counts milliseconds since 1970, read as seconds, stays below it."""
REQUIRED = ("time", *MEASURED[:-1])
OPTIONAL = (MEASURED[-1], "mass_flow")
_SHOWN = 5
# "K" would ask for a temperature difference, so temperatures are asked for in °C; the answer is in kelvin all the same.
_EXPECTED = {"time": "s", "pressure": "Pa", "temperature": "°C", "flow": "kg/s", "mass": "kg"}
_EXAMPLE_UNIT = {"time": "s", "pressure": "bar(g)", "temperature": "°C", "flow": "g/s", "mass": "g"}
_UNCLEAR_PRESSURE = re.compile(r"^(psi|bar|mbar|kpa|mpa|in\.?\s*hg)$")
_BRACKETS = {"(": ")", "[": "]"}


@dataclass(frozen=True, slots=True)
class LogRow:
    """One usable line. time: seconds since the log began [s]; line: its number in the file; readings: in SI."""

    time: float
    line: int
    readings: Readings


@dataclass(frozen=True, slots=True)
class SkippedLine:
    """One line that cannot be used.

    line: its number in the file; reason: the error that tells why; time: where it could be read, else None [s]
    """

    line: int
    reason: ThermoKitError
    time: float | None = None


@dataclass(frozen=True, kw_only=True)
class ReadingLog:
    """A log of readings. rows: usable lines in order of time; skipped: all others, each with its reason; notes: what
    else a reader should know (columns not used, last line without line end, unusual encoding)."""

    refrigerant: str
    altitude: float
    rows: tuple[LogRow, ...]
    skipped: tuple[SkippedLine, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def times(self):
        """Times of the usable lines in rising order; → [s]."""
        return tuple(row.time for row in self.rows)


def read_log(source, *, refrigerant=None, altitude=None):
    """Read a table of logged readings and say for every line that cannot be used why not.

    Parameters
    ----------
    source : path, str or bytes. A file's path, or the text itself (then with at least one line end), or its bytes.
    refrigerant : str. Overrides the file's line "# refrigerant: ...".
    altitude : float, [m]. Overrides the file's line "# altitude: ... m"; without both, sea level.

    Returns: ReadingLog. Usable rows in SI, skipped lines with reasons, notes. Raises ReadingsError if there is no
        table, a column is missing, doubled or without unit, or no line can be used; FileAccessError if the file cannot
        be read; UnknownNameError if the refrigerant is not in the workbook.

    Notes: Reads data, computes nothing. One header line, then one line for each moment; separated by comma, semicolon
        or tab; decimal point, or decimal comma where the separator is not a comma. Each heading is a name with its
        unit, as `suction_pressure [psig]`, `suction pressure (bar(g))` or `suction_pressure_kPa(a)`; capitals do not
        matter. Names: time, suction_pressure, discharge_pressure, suction_temperature, discharge_temperature,
        liquid_temperature, and where measured evaporator_outlet_temperature and mass_flow. A pressure heading says
        gauge or absolute. Lines that begin with # are comments; "# refrigerant: R-1234yf" and "# altitude: 250 m" are
        read.

    Examples
    --------
    >>> header = "time_s; suction_pressure [psig]; Discharge pressure (psig); suction_temperature [°C]; "
    >>> header += "discharge_temperature_°C; liquid_temperature [°C]"
    >>> lines = ["# refrigerant: R-134a", header, "0; 29,0; 181; 9; 72; 43", "10; 29,2; 182; oops; 72; 43"]
    >>> log = read_log("\\n".join(lines))
    >>> len(log.rows), str(log.skipped[0].reason)
    (1, "suction_temperature 'oops' is not a number")
    """
    text, notes = text_of(source)
    settings, table = settings_and_lines(text.removeprefix("\ufeff").splitlines())
    if not table:
        raise ReadingsError.about("log", "is empty", "", "it needs one header line and one line for each moment")
    altitude = altitude_of(settings, altitude)
    name = refrigerant or settings.get("refrigerant")
    if not name:
        advice = 'add the line "# refrigerant: R-134a" or choose one'
        raise ReadingsError.about("log", "does not say which refrigerant", "", advice)
    fluid = Refrigerant(name)
    (_, header), *lines = table
    delimiter = delimiter_of(header)
    columns, unused = find_columns(cells_of(header, delimiter), altitude)
    if not lines:
        raise ReadingsError.about("log", "has a header but no readings", "", "was the logger stopped at once?")
    ends_cleanly = text.endswith(("\n", "\r"))
    rows, skipped, last = [], [], None
    for number, line in lines:
        half_written, time = number == lines[-1][0] and not ends_cleanly, None
        try:
            values = values_of(cells_of(line, delimiter), columns, delimiter, half_written=half_written)
            time = values.pop("time")
            before, last = last, time if last is None else max(last, time)
            readings = Readings(refrigerant=fluid.name, altitude=altitude, **values)
            if before is not None and time <= before:
                step = "repeats" if time == before else "goes back behind"
                told = f"time {time:g} s {step} {before:g} s of the line before: did the clock restart?"
                raise ReadingsError(told)
            problems = find_problems(readings, fluid)
            if problems:
                raise ReadingsError(*problems)
            rows.append(LogRow(time, number, readings))
        except ThermoKitError as reason:
            skipped.append(SkippedLine(number, reason, time))
    if not rows:
        raise ReadingsError(
            Problem("log", f"has {len(skipped)} lines of readings", "and none can be used", "the first reasons follow"),
            *(Problem(f"line {s.line}", s.reason) for s in skipped[:_SHOWN]),
        )
    if half_written and rows[-1].line == number:
        unused.append("The last line has no line end: its last number may be cut short.")
    return ReadingLog(
        refrigerant=fluid.name, altitude=altitude, rows=tuple(rows), skipped=tuple(skipped), notes=(*notes, *unused)
    )


def text_of(source, what="log"):
    """Return (text, notes) of a path, a text or its bytes; what: its name in messages."""
    if isinstance(source, str) and ("\n" in source or "\r" in source or source.strip() == ""):
        return source, []
    if isinstance(source, bytes | bytearray | memoryview):
        return _decoded(bytes(source), what)
    path = Path(source)
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_LOG + 1)
    except (OSError, ValueError) as reason:
        # A ValueError is a path that no file can have, with a NUL character in it.
        told = f"cannot be read ({getattr(reason, 'strerror', None) or reason})"
        raise FileAccessError.about(what, repr(path.name)[:80], told, "check name and folder") from reason
    return _decoded(data, what)


def _decoded(data, what):
    if len(data) > LARGEST_LOG:
        raise ReadingsError.about(what, "is larger than 20 MB", "", "cut it to the minutes of interest")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", errors="replace"), []
    try:
        return data.decode("utf-8"), []
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace"), ["The file is not UTF-8; it was read as Windows text."]


def settings_and_lines(lines):
    """Return the settings of the comment lines, and the other lines as (number, text)."""
    settings, table = {}, []
    for number, line in enumerate(lines, 1):
        stripped = line.strip().strip("\x00")
        if stripped.startswith("#"):
            key, colon, value = stripped.lstrip("# ").partition(":")
            if colon:
                settings[key.strip().lower()] = value.strip().rstrip(",;\t ")
        elif stripped.strip(",;\t "):
            table.append((number, stripped))
    return settings, table


def altitude_of(settings, given):
    """Return the altitude [m]: as given, else as the file says, else sea level."""
    altitude = given
    if given is None:
        altitude = parse_quantity(settings.get("altitude", "0 m"), "m", argument="altitude of the log")
    within_ranges(("altitude of the log", altitude, LOWEST_ALTITUDE, HIGHEST_ALTITUDE, "altitude"))
    return float(altitude)


def delimiter_of(header):
    """Return what stands between the cells of a table."""
    return next((mark for mark in ("\t", ";") if mark in header), ",")


def cells_of(line, delimiter):
    """Return the cells of a line without the blanks around them."""
    try:
        return [cell.strip() for cell in next(csv.reader(io.StringIO(line), delimiter=delimiter), [])]
    except csv.Error as reason:
        raise ReadingsError.about("line", f"cannot be parted into cells ({reason})", "", "is the file a log?") from None


def values_of(cells, columns, delimiter, *, half_written):
    """Return {name: SI value} of one line; None where an optional cell is empty."""
    while len(cells) > columns.width and cells[-1] == "":
        cells.pop()
    if len(cells) != columns.width:
        text = f"has {len(cells)} of {columns.width} cells"
        raise ReadingsError("is half-written: it " + text if half_written and len(cells) < columns.width else text)
    values = {}
    for column in columns.used:
        cell = cells[column.position]
        if cell == "" and column.optional:
            values[column.name] = None
        else:
            value = column.factor * number_of(cell, column.name, delimiter) + column.offset
            if abs(value) > LARGEST_VALUE:
                raise ReadingsError(f"{column.name} {cell[:40]!r} is beyond all that can be measured: check the unit")
            values[column.name] = value
    return values


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


def find_columns(headings, altitude, required=REQUIRED, optional=OPTIONAL):
    """Return which columns of a log are read and how their numbers turn into SI; altitude [m]."""
    while headings and headings[-1] == "":
        headings = headings[:-1]
    problems, notes, used = [], [], {}
    for position, heading in enumerate(headings):
        name, unit = split_heading(heading, (*required, *optional))
        if name is None:
            notes.append(f"Column {heading!r} is not used.")
        elif name in used:
            problems.append(Problem("column", repr(name), "stands twice in the header", "keep one of the two"))
        else:
            used[name] = None
            try:
                used[name] = Column(name, position, *_to_si(name, unit, altitude), name in optional)
            except ReadingsError as reason:
                problems.extend(reason.problems)
    missing = [name for name in required if name not in used]
    if len(missing) == len(required):
        advice = f"the first line must name them, each with its unit: {', '.join(_example(name) for name in required)}"
        raise ReadingsError.about("header", repr(", ".join(headings)[:120]), "has none of the expected columns", advice)
    for name in missing:
        problems.append(Problem("column", repr(name), "is missing", f"add it with its unit, as {_example(name)}"))
    if problems:
        raise ReadingsError(*problems)
    return Columns(tuple(used.values()), len(headings)), notes


def split_heading(heading, names=(*REQUIRED, *OPTIONAL)):
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
    for name in names:
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
        raise ReadingsError.about("column", repr(name), "has no unit", f"write it like {_example(name)}")
    if kind == "pressure" and _UNCLEAR_PRESSURE.match(unit.lower()):
        advice = f"write {name} [{unit}(g)] for gauge or {name} [{unit}(a)] for absolute"
        told = f"does not say whether its {unit} are gauge or absolute"
        raise ReadingsError.about("column", repr(name), told, advice)
    try:
        zero, one = (parse_quantity(f"{n} {unit}", _EXPECTED[kind], altitude) for n in (0, 1))
    except UnitError:
        told = f"has the unit {unit!r}, which is not understood"
        raise ReadingsError.about("column", repr(name), told, f"write it like {_example(name)}") from None
    return one - zero, zero
