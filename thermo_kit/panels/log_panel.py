"""The learner opens a log of readings and watches the cycle move through its minutes."""

import functools
from dataclasses import dataclass
from pathlib import Path

from thermo_kit.errors import FileAccessError, Problem, ThermoKitError
from thermo_kit.panels.controls import ChoiceControl, NumberControl, TextControl
from thermo_kit.panels.cycle_words import cycle_rows
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.panels.readings_panel import picture_of, sentence_of
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.systems import cycle_from_readings, read_log

AS_WRITTEN = ""
_SHOWN = 6
SAMPLE = """# refrigerant: R-134a
# Invented readings: a shuttle bus pulls down after standing in the sun.
time_s,suction_pressure_psig,discharge_pressure_psig,suction_temperature_C,discharge_temperature_C,liquid_temperature_C
0,46.0,205,21.0,79.0,48.0
60,42.5,198,18.5,78.0,46.5
120,39.0,190,16.0,76.5,45.0
180,36.5,184,14.0,75.5,43.5
240,34.5,179,12.5,74.5,42.5
300,33.0,175,11.5,74.0,41.5
360,32.0,172,10.5,73.0,41.0
420,31.5,170,10.0,72.5,40.5
"""


@dataclass(frozen=True, kw_only=True)
class LogSettings:
    """A log by its file name or as text (neither: an invented one), the refrigerant [name, empty: as the log says]
    and the moment shown [s]."""

    file: str = ""
    text: str = ""
    refrigerant: str = AS_WRITTEN
    moment: float = 0.0


def log_of(settings):
    """Return the log that the settings name; it is read once for each state of the file.

    Parameters
    ----------
    settings : LogSettings
        File name, or text where no file is named.

    Returns
    -------
    ReadingLog
        Usable rows and skipped lines.

    Raises
    ------
    ReadingsError
        If nothing in it can be used.
    FileAccessError
        If the file cannot be read.
    """
    if settings.file.strip():
        path = Path(settings.file.strip().strip('"'))
        try:
            changed = path.stat().st_mtime_ns
        except OSError as reason:
            raise FileAccessError(
                Problem(
                    "log file", repr(settings.file[:80]), f"cannot be opened ({reason.strerror})",
                    "put the file beside this notebook and type its name, or paste its text into the box below",
                )
            ) from reason  # fmt: skip
        return _read(path, changed, settings.refrigerant)
    return _read((settings.text if settings.text.strip() else SAMPLE) + "\n", 0, settings.refrigerant)


def _minutes(settings):
    """Return first and last moment; a log that cannot be read is told by `follow`, not by the slider."""
    try:
        times = log_of(settings).times
    except ThermoKitError:
        return settings.moment, settings.moment + 1.0
    return times[0], max(times[-1], times[0] + 1.0)


@functools.lru_cache(maxsize=8)
def _read(source, _changed, refrigerant):
    return read_log(source, refrigerant=refrigerant or None)


@functools.lru_cache(maxsize=512)
def _cycle(readings):
    return cycle_from_readings(readings)


def describe(settings, look):
    """Return what the panel shows.

    Parameters
    ----------
    settings : LogSettings
        What the learner set.
    look : Look
        How numbers are shown.

    Returns
    -------
    Description
        Picture, sentence, rows and notes.
    """
    log = log_of(settings)
    row = min(log.rows, key=lambda one: abs(one.time - settings.moment))
    cycle = _cycle(row.readings)
    pictures = (picture_of(cycle, look), _strip(log, row, look))
    rows = (("Moment", look.text(row.time, "time", 0)), ("Line of the log", str(row.line)), *cycle_rows(cycle, look))
    sentence = sentence_of(cycle, look, f"At {look.text(row.time, 'time', 0)} ")
    return Description(
        pictures, sentence, rows, (*_skipped(log), *log.notes, *_altitude_note(log, look), *cycle.notes, _caution(log))
    )


def _altitude_note(log, look):
    if not look.gauge or abs(log.altitude - look.altitude) < 1.0:
        return ()
    there, here = (look.text(altitude, "altitude") for altitude in (log.altitude, look.altitude))
    return (
        f"The log was written at {there}, the switch above says {here}: gauge pressures differ from the logged ones.",
    )


def _caution(log):
    return Refrigerant(log.refrigerant).facts.caution


def _strip(log, row, look):
    from thermo_kit.charts.reading_strip import reading_strip

    skipped = tuple(line.time for line in log.skipped if line.time is not None)
    return reading_strip(log.times, _series(log), look, cursor=row.time, skipped=skipped)


@functools.lru_cache(maxsize=8)
def _series(log):
    from thermo_kit.charts.reading_strip import Series

    wanted = (
        ("high side", "pressure", "discharge_pressure"),
        ("low side", "pressure", "suction_pressure"),
        ("discharge line", "temperature", "discharge_temperature"),
        ("liquid line", "temperature", "liquid_temperature"),
        ("suction line", "temperature", "suction_temperature"),
        ("evaporator outlet", "temperature", "evaporator_outlet_temperature"),
    )
    found = []
    for name, kind, field in wanted:
        values = tuple(getattr(row.readings, field) for row in log.rows)
        if None not in values:
            found.append(Series(name, kind, values))
    return tuple(found)


def _skipped(log):
    told = [f"Line {line.line} is not used: {line.reason}" for line in log.skipped[:_SHOWN]]
    if len(log.skipped) > _SHOWN:
        told.append(f"{len(log.skipped) - _SHOWN} more lines are not used.")
    return tuple(told)


def follow(settings, changed):
    """Return the moment, moved into the minutes of a newly opened log.

    Parameters
    ----------
    settings : LogSettings
        With the control that was changed.
    changed : str or None
        Its name.

    Returns
    -------
    dict
        New value by name.
    """
    log_of(settings)
    first, last = _minutes(settings)
    return {"moment": min(max(settings.moment, first), last)}


class LogPanel(Panel):
    """A log of readings as a moving cycle."""

    title = "A log of readings, minute by minute"
    Settings = LogSettings
    controls = (
        NumberControl(
            "moment", "Moment", "time", low=lambda settings: _minutes(settings)[0],
            high=lambda settings: _minutes(settings)[1], step=1.0, decimals=0,
        ),
        TextControl(
            "file", "Log file", help="Name of a CSV file beside this notebook.",
        ),
        TextControl(
            "text", "Log as text", lines=6,
            help="Or paste the lines of a log here, header first. With both boxes empty an invented log is shown.",
        ),
        ChoiceControl("refrigerant", "Refrigerant", (("as the log says", AS_WRITTEN), *REFRIGERANT_NAMES)),
    )  # fmt: skip
    describe = staticmethod(describe)
    follow = staticmethod(follow)
