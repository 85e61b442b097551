"""Reads the log of a vacuum gauge, a recovery machine or a nitrogen test, and names every line it cannot use."""

import itertools
import re
import statistics
from dataclasses import dataclass, replace

from thermo_kit.errors import Problem, ReadingsError
from thermo_kit.systems import reading_log
from thermo_kit.units import Amount

_VACUUM, _RECOVERY = ("time", "pressure"), ("time", "mass", "pressure")
_ALIASES = {"elapsed": "time", "vacuum": "pressure", "recovered": "mass", "weight": "mass"}
HIGHEST_VACUUM = 6e4
HEAVIEST = 100.0
_SHOWN = 5


@dataclass(frozen=True, kw_only=True)
class ServiceLog:
    """A log of a job in the workshop, SI.

    times [s], from zero; pressures [Pa absolute]; masses [kg] and temperatures [K], empty where the job has none;
    lines: of the file; skipped: (line, reason) of what could not be used; notes: gaps, columns not used
    """

    times: tuple
    pressures: tuple
    masses: tuple = ()
    temperatures: tuple = ()
    lines: tuple = ()
    skipped: tuple = ()
    notes: tuple = ()


def read_vacuum_log(source, *, altitude=None):
    """Read the log of a vacuum gauge.

    Parameters
    ----------
    source : path, str or bytes. A file's path, or its text (with at least one line end), or its bytes.
    altitude : float, [m]. Of the workshop, for gauges that read vacuum against the air. Overrides the file's line
        "# altitude: ... m"; without both, sea level.

    Returns: ServiceLog. Usable lines in SI, skipped lines with their reasons. Raises ReadingsError if a column is
        missing, doubled, has no unit or an unclear one, if one line or none can be used, or fewer lines than cannot;
        line and fix are named; FileAccessError if the file cannot be read.

    Notes: One header line, then one line for each moment; comma, semicolon or tab; a decimal comma where the separator
        is no comma. Columns: time [s, min or h]; pressure or vacuum [micron, Torr, Pa, mbar, hPa: absolute; bar, psi,
        kPa and inHg say (a) or (g), or vac].

    References: None: reads data, computes nothing.

    Examples
    --------
    >>> log = read_vacuum_log("time [min], vacuum [micron]\\n0, 400\\n1, 450\\n2, -5\\n")
    >>> round(log.pressures[1], 1), log.skipped[0][0]
    (60.0, 4)
    """
    return read_lines(source, _VACUUM, altitude, _judge_vacuum, named=_named)


def read_recovery_log(source, *, altitude=None):
    """Read the log of a recovery machine: time, weight drawn off, pressure in the circuit.

    Parameters
    ----------
    source : path, str or bytes. A file's path, or its text (with at least one line end), or its bytes.
    altitude : float, [m]. Of the workshop, for gauge pressures; overrides the file's as for a vacuum log.

    Returns: ServiceLog. Usable lines in SI, skipped lines with their reasons.

    Raises
    ------
    ReadingsError. As for a vacuum log; also where a weight is below zero or falls by more than 5 g.
    FileAccessError. If the file cannot be read.

    References: None: reads data, computes nothing.

    Examples
    --------
    >>> read_recovery_log("time [s]; recovered [g]; pressure [bar(g)]\\n0; 0; 4,7\\n60; 95; 3,9\\n").masses
    (0.0, 0.095)
    """
    return read_lines(source, _RECOVERY, altitude, _judge_recovery, named=_named)


def read_lines(source, wanted, altitude, judge, *, named=str):
    """Return the `ServiceLog` of the wanted columns; judge refuses values, given the last ones that could be used."""
    text, notes = reading_log.text_of(source)
    settings, lines = reading_log.settings_and_lines(text.removeprefix("\ufeff").splitlines())
    if len(lines) < 2:
        raise ReadingsError.about("log", "has no lines of readings", "", "one header line, then one line a moment")
    (number, header), *rows = lines
    delimiter, altitude = reading_log.delimiter_of(header), reading_log.altitude_of(settings, altitude)
    try:
        headings = [named(cell) for cell in reading_log.cells_of(header, delimiter)]
        columns, unused = reading_log.find_columns(headings, altitude, wanted, ())
    except ReadingsError as reason:
        told = (replace(one, argument=f"line {number}, {one.argument}") for one in reason.problems)
        raise ReadingsError(*told) from None
    used, skipped, last = [], [], None
    for number, line in rows:
        try:
            cells = reading_log.cells_of(line, delimiter)
            values = reading_log.values_of(cells, columns, delimiter, half_written=number == rows[-1][0])
            if last is not None and values["time"] <= last["time"]:
                raise ReadingsError("time does not rise: did the clock restart, or is a line written twice?")
            judge(values, last)
        except ReadingsError as reason:
            skipped.append((number, str(reason)))
            continue
        used.append((number, values))
        last = values
    if len(used) < 2 or len(skipped) > len(used):
        raise ReadingsError(
            Problem("log", f"has {len(rows)} lines of readings", f"of which {len(used)} can be used",
                    "are two columns swapped, or is a unit wrong? The first reasons follow"),
            *(Problem(f"line {n}", reason) for n, reason in skipped[:_SHOWN]),
        )  # fmt: skip
    times, pressures, masses, temperatures = (
        tuple(values[name] for _, values in used if name in wanted)
        for name in ("time", "pressure", "mass", "temperature")
    )
    return ServiceLog(
        times=tuple(t - times[0] for t in times), pressures=pressures, masses=masses, temperatures=temperatures,
        lines=tuple(n for n, _ in used), skipped=tuple(skipped), notes=(*notes, *unused, *_gaps(used, times)),
    )  # fmt: skip


def _named(heading):
    """Return a heading by the name that all logs share; a vacuum gauge's mbar are absolute."""
    word = heading.strip('" ')
    alias = next((one for one in _ALIASES if word.lower().startswith(one)), "")
    return re.sub(r"(?i)mbar(?![\w(])", "mbar(a)", _ALIASES.get(alias, "") + word[len(alias) :])


def _refuse_below_vacuum(p):
    if p < 0.0:
        raise ReadingsError("pressure is below a perfect vacuum: was it a gauge reading? Write the unit as [... (g)]")


def _judge_vacuum(values, _last):
    p = values["pressure"]
    _refuse_below_vacuum(p)
    if p > HIGHEST_VACUUM:
        most = Amount(HIGHEST_VACUUM, "pressure")
        raise ReadingsError(f"pressure is above {most}, no vacuum: check the unit, and begin when the pump is shut off")


def _judge_recovery(values, last):
    p, mass = values["pressure"], values["mass"]
    _refuse_below_vacuum(p)
    if p > 1e7:
        raise ReadingsError("pressure is above anything a circuit stands: check the unit")
    if mass > HEAVIEST:
        raise ReadingsError(f"weight is above {Amount(HEAVIEST, 'mass')}, more than any circuit holds: check the unit")
    if mass < -0.002:
        raise ReadingsError("weight is below zero: set the scale to zero first")
    if last is not None and mass < last["mass"] - 0.005:
        raise ReadingsError("weight falls: was the cylinder lifted, or the column swapped?")


def _gaps(used, times):
    steps = [b - a for a, b in itertools.pairwise(times)]
    usual = statistics.median(steps)
    return [
        f"A gap of {step:.0f} s before line {used[i + 1][0]}; the usual step is {usual:.0f} s."
        for i, step in enumerate(steps)
        if step > 4.0 * usual
    ][:_SHOWN]
