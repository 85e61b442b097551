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
10,44.2,202,19.6,78.4,47.3
20,42.7,199,18.5,77.8,46.7
30,41.3,196,17.4,77.3,46.1
40,40.1,194,16.5,76.9,45.6
50,39.0,191,15.7,76.4,45.1
60,38.1,189,14.9,76.1,44.6
70,37.3,188,14.3,75.7,44.2
80,36.5,186,13.7,75.4,43.9
90,35.9,184,13.2,75.1,43.5
100,35.3,183,12.8,74.8,43.2
110,34.8,182,12.4,74.6,42.9
120,34.3,180,12.1,74.4,42.7
130,34.0,179,11.8,74.1,42.5
140,33.6,178,11.5,74.0,42.2
150,33.3,177,11.3,73.8,42.0
160,33.0,177,11.1,73.6,41.9
170,32.8,176,10.9,73.5,41.7
180,32.6,175,10.7,73.4,41.6
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
    """Return the log that the settings name; it is read once for each state of the file."""
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
    """Return what the panel shows."""
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
    """Return the moment, moved into the minutes of a newly opened log."""
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
            high=lambda settings: _minutes(settings)[1], step=10.0, decimals=0,
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
