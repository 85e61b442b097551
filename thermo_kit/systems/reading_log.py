"""Reads gauge and clamp readings that were logged over minutes, line by line, and names every line it cannot use."""

import csv
import io
from dataclasses import dataclass
from pathlib import Path

from thermo_kit.errors import FileAccessError, Problem, ReadingsError, ThermoKitError
from thermo_kit.substances import Refrigerant
from thermo_kit.systems.log_columns import find_columns, number_of
from thermo_kit.systems.readings import Readings
from thermo_kit.systems.readings_checks import find_problems
from thermo_kit.units import parse_quantity

LARGEST_LOG = 20_000_000
_SHOWN = 5


@dataclass(frozen=True, slots=True)
class LogRow:
    """One usable line. time: seconds since the log began [s]; line: its number in the file; readings: in SI."""

    time: float
    line: int
    readings: Readings


@dataclass(frozen=True, slots=True)
class SkippedLine:
    """One line that cannot be used.

    line: its number in the file; text: what stands there; reason: why, in plain words;
    time and readings: where they could be read although they contradict each other, else None
    """

    line: int
    text: str
    reason: str
    time: float | None = None
    readings: Readings | None = None


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
        """Times of the usable lines.

        Returns
        -------
        tuple of float, [s]
            In rising order.
        """
        return tuple(row.time for row in self.rows)


def read_log(source, *, refrigerant=None, altitude=None, pressure_accuracy=None, temperature_accuracy=None):
    """Read a table of logged readings and say for every line that cannot be used why not.

    Parameters
    ----------
    source : path, str or bytes
        A file's path, or the text itself (then with at least one line end), or its bytes.
    refrigerant : str
        Overrides the file's line "# refrigerant: ...".
    altitude : float, [m]
        Overrides the file's line "# altitude: ... m"; without both, sea level.
    pressure_accuracy : float, [Pa]
        ± of both gauges; None: the default of `Readings`.
    temperature_accuracy : float, [K]
        ± of each clamp; None: the default of `Readings`.

    Returns
    -------
    ReadingLog
        Usable rows in SI, skipped lines with reasons, notes.

    Raises
    ------
    ReadingsError
        If there is no table, a column is missing, doubled or without unit, or no line can be used.
    FileAccessError
        If the file cannot be read.
    UnknownNameError
        If the refrigerant is not in the workbook.

    Notes
    -----
    Reads data, computes nothing. One header line, then one line for each moment; separated by comma, semicolon
    or tab; decimal point, or decimal comma where the separator is not a comma. Each heading is a name with its unit, as
    `suction_pressure [psig]`, `suction pressure (bar(g))` or `suction_pressure_kPa(a)`; capitals do not matter.
    Names: time, suction_pressure, discharge_pressure, suction_temperature, discharge_temperature,
    liquid_temperature, and where measured evaporator_outlet_temperature and mass_flow. A pressure heading says
    gauge or absolute. Lines that begin with # are comments; "# refrigerant: R-1234yf" and "# altitude: 250 m"
    are read.

    Examples
    --------
    >>> header = "time_s; suction_pressure [psig]; Discharge pressure (psig); suction_temperature [°C]; "
    >>> header += "discharge_temperature_°C; liquid_temperature [°C]"
    >>> lines = ["# refrigerant: R-134a", header, "0; 29,0; 181; 9; 72; 43", "10; 29,2; 182; oops; 72; 43"]
    >>> log = read_log("\\n".join(lines))
    >>> len(log.rows), log.skipped[0].reason
    (1, "suction_temperature 'oops' is not a number")
    """
    text, notes = _text_of(source)
    settings, table = _split(text.removeprefix("\ufeff").splitlines())
    if not table:
        raise ReadingsError(Problem("log", "is empty", "", "it needs one header line and one line for each moment"))
    altitude = _altitude(settings, altitude)
    name = refrigerant or settings.get("refrigerant")
    if not name:
        raise ReadingsError(
            Problem("log", "does not say which refrigerant", "", 'add the line "# refrigerant: R-134a" or choose one')
        )
    fluid = Refrigerant(name)
    header = table[0][1]
    delimiter = _delimiter(header)
    columns, more_notes = find_columns(_cells(header, delimiter), altitude)
    if len(table) == 1:
        raise ReadingsError(Problem("log", "has a header but no readings", "", "was the logger stopped at once?"))
    common = {
        "refrigerant": fluid.name,
        "altitude": altitude,
        "pressure_accuracy": pressure_accuracy,
        "temperature_accuracy": temperature_accuracy,
    }
    ends_cleanly = text.endswith(("\n", "\r"))
    rows, skipped = _read_rows(table[1:], columns, delimiter, common, fluid, ends_cleanly)
    if not rows:
        raise ReadingsError(
            Problem("log", f"has {len(skipped)} lines of readings", "and none can be used", "the first reasons follow"),
            *(Problem(f"line {s.line}", s.reason) for s in skipped[:_SHOWN]),
        )
    if not ends_cleanly and rows[-1].line == table[-1][0]:
        more_notes.append("The last line has no line end: its last number may be cut short.")
    return ReadingLog(
        refrigerant=fluid.name,
        altitude=altitude,
        rows=tuple(rows),
        skipped=tuple(skipped),
        notes=(*notes, *more_notes),
    )


def _text_of(source):
    if isinstance(source, str) and ("\n" in source or "\r" in source or source.strip() == ""):
        return source, []
    if isinstance(source, bytes | bytearray | memoryview):
        return _decoded(bytes(source))
    path = Path(source)
    try:
        if path.stat().st_size > LARGEST_LOG:
            raise ReadingsError(
                Problem("log", f"{path.name} is larger than 20 MB", "", "cut it to the minutes of interest")
            )
        return _decoded(path.read_bytes())
    except OSError as reason:
        raise FileAccessError(
            Problem(
                "log", str(path.name)[:80], f"cannot be read ({reason.strerror or reason})", "check name and folder"
            )
        ) from reason


def _decoded(data):
    if len(data) > LARGEST_LOG:
        raise ReadingsError(Problem("log", "is larger than 20 MB", "", "cut it to the minutes of interest"))
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", errors="replace"), []
    try:
        return data.decode("utf-8"), []
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace"), ["The file is not UTF-8; it was read as Windows text."]


def _split(lines):
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


def _altitude(settings, given):
    if given is not None:
        return float(given)
    if "altitude" not in settings:
        return 0.0
    return parse_quantity(settings["altitude"], "m", argument="altitude of the log")


def _delimiter(header):
    return next((mark for mark in ("\t", ";") if mark in header), ",")


def _cells(line, delimiter):
    return [cell.strip() for cell in next(csv.reader(io.StringIO(line), delimiter=delimiter), [])]


def _read_rows(table, columns, delimiter, common, fluid, ends_cleanly):
    rows, skipped = [], []
    last_time = None
    for number, line in table:
        is_last = number == table[-1][0]
        try:
            values = _values(_cells(line, delimiter), columns, delimiter, half_written=is_last and not ends_cleanly)
        except (ReadingsError, csv.Error) as reason:
            skipped.append(SkippedLine(number, line[:200], str(reason)))
            continue
        time = values.pop("time")
        readings = Readings(**common, **values)
        try:
            problems = find_problems(readings, fluid)
        except ThermoKitError as reason:
            problems = reason.problems
        if last_time is not None and time <= last_time:
            step = "repeats" if time == last_time else "goes back behind"
            reason = f"time {time:g} s {step} {last_time:g} s of the line before: did the clock restart?"
            skipped.append(SkippedLine(number, line[:200], reason, time, readings))
        elif problems:
            skipped.append(SkippedLine(number, line[:200], "; ".join(str(p) for p in problems), time, readings))
        else:
            rows.append(LogRow(time, number, readings))
        last_time = time if last_time is None else max(last_time, time)
    return rows, skipped


def _values(cells, columns, delimiter, *, half_written):
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
            values[column.name] = column.factor * number_of(cell, column.name, delimiter) + column.offset
    return values
