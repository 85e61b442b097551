"""Lesson 02: gauge and clamp readings as a cycle with its uncertainty, and a log of them, minute by minute."""

import functools
from pathlib import Path

from thermo_kit.errors import FileAccessError, ThermoKitError
from thermo_kit.panels.cycle_words import cycle_rows, told
from thermo_kit.panels.frame import Description
from thermo_kit.panels.rows import texts_of, told_in
from thermo_kit.panels.settings import choice, degrees, filled, number, panel, text
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.systems import Readings, cycle_from_readings, read_log
from thermo_kit.units import Said, barg

AS_WRITTEN = ""
_SHOWN = 6


def _clamp(label, default):
    return degrees(f"Clamp: {label}", default, -50, 170)


def _accuracy(label, default, high, *step, **more):
    return number(f"{label} good to ±", default, of=Readings, high=high, step=step, **more)


@panel("Your readings on the pressure–enthalpy diagram")
class ReadingsPanel:
    """Your own readings: two gauges, four clamps."""

    refrigerant: str = choice("Refrigerant", "R-134a", REFRIGERANT_NAMES)
    suction_pressure: float = number(
        "Low-side gauge", barg(2.0), "pressure", 2e4, 90e5, step=(0.05e5, 1),
        help='You may type any unit, such as "29 psi" or "200 kPa".',
    )  # fmt: skip
    discharge_pressure: float = number("High-side gauge", barg(12.5), "pressure", 5e4, 180e5)
    evaporator_outlet_temperature: float = _clamp("evaporator outlet", 6)
    suction_temperature: float = _clamp("suction line at compressor", 10)
    discharge_temperature: float = _clamp("discharge line at compressor", 78)
    liquid_temperature: float = _clamp("liquid line (gas cooler outlet)", 43)
    pressure_accuracy: float = _accuracy(
        "Low-side gauge is", 16e3, 2e5, 1e3, 0.1, help="On the dial: class 1.6 means ±1.6 % of the full scale."
    )
    discharge_pressure_accuracy: float = _accuracy("High-side gauge is", 56e3, None, 1e3, 0.1)
    temperature_accuracy: float = _accuracy("Clamps are", 1.5, 10.0, 0.1, 0.2)

    def describe(self, look):
        """Show the cycle behind the readings."""
        cycle = cycle_from_readings(filled(Readings, self, altitude=look.altitude))
        caution = Refrigerant(self.refrigerant).facts.caution
        rows = cycle_rows(cycle, look)
        return Description((_picture(cycle, look),), _sentence(cycle, look), rows, (*cycle.notes, caution))


def _picture(cycle, look):
    """Draw a cycle from readings with the uncertainty of its points."""
    from thermo_kit.charts.pressure_enthalpy import diagram
    from thermo_kit.substances.lines import property_lines
    from thermo_kit.systems.readings import spread_of_points

    lines = property_lines(cycle.refrigerant, look.system)
    return diagram(lines, look, cycles=(cycle,), spreads=spread_of_points(cycle))


def _sentence(cycle, look):
    """Say what readings tell, with their uncertainty."""
    names = ("superheat", "isentropic_efficiency", "coefficient_of_performance")
    numbers = {name: told(cycle, name, look) for name in names}
    if cycle.subcooling is None:
        return texts_of("told of readings above the critical pressure", look, **numbers)[0]
    subcooling = told(cycle, "subcooling", look).rstrip(".")  # the sentence ends behind "°F diff."
    return texts_of("told of readings", look, subcooling=subcooling, **numbers)[0]


def _log_of(settings):
    """Return the log that the settings name; it is read once for each state of the file."""
    if not settings.file.strip():
        log = settings.text if settings.text.strip() else told_in("texts.toml")["an invented log"]
        return _read(log + "\n", 0, settings.refrigerant)
    path = Path(settings.file.strip().strip('"'))
    try:
        changed = path.stat().st_mtime_ns
    except OSError as reason:
        told = f"cannot be opened ({reason.strerror})"
        advice = "put the file beside this notebook and type its name, or empty this box and paste the log as text"
        raise FileAccessError.about("log file", repr(settings.file[:80]), told, advice) from reason
    return _read(path, changed, settings.refrigerant)


@functools.lru_cache(maxsize=8)
def _read(source, _changed, refrigerant):
    return read_log(source, refrigerant=refrigerant or None)


_cycle = functools.lru_cache(maxsize=512)(cycle_from_readings)


def _ends(settings):
    """Return first and last moment [s]; a log that cannot be read is told by `follow`, not by the slider."""
    try:
        times = _log_of(settings).times
    except ThermoKitError:
        return settings.moment, settings.moment + 1.0
    return times[0], max(times[-1], times[0] + 1.0)


@panel("A log of readings, minute by minute")
class LogPanel:
    """A log of readings as a moving cycle; neither file nor text: an invented one."""

    moment: float = number("Moment", 0.0, "time", lambda s: _ends(s)[0], lambda s: _ends(s)[1], step=10.0, decimals=0)
    file: str = text("Log file", help="Name of a CSV file beside this notebook.")
    text: str = text(
        "Log as text", lines=6,
        help="Or paste the lines of a log here, header first. With both boxes empty an invented log is shown.",
    )  # fmt: skip
    refrigerant: str = choice("Refrigerant", AS_WRITTEN, (("as the log says", AS_WRITTEN), *REFRIGERANT_NAMES))

    def describe(self, look):
        """Show the cycle of one moment, and the readings over time."""
        from thermo_kit.charts.reading_strip import reading_strip

        log = _log_of(self)
        row = min(log.rows, key=lambda one: abs(one.time - self.moment))
        cycle, moment = _cycle(row.readings), look.text(row.time, "time", 0)
        pictures = (_picture(cycle, look), reading_strip(log, look, moment=row.time))
        rows = (("Moment", moment), ("Line of the log", str(row.line)), *cycle_rows(cycle, look))
        caution = Refrigerant(log.refrigerant).facts.caution
        notes = (*_skipped(log), *log.notes, *_altitude_note(log, look), *cycle.notes, caution)
        sentence = _sentence(cycle, look)
        return Description(pictures, f"At {moment} {sentence[0].lower()}{sentence[1:]}", rows, notes)

    def follow(self, _changed):
        """Return the moment, moved into the minutes of a newly opened log."""
        _log_of(self)
        first, last = _ends(self)
        return {"moment": min(max(self.moment, first), last)}


def _altitude_note(log, look):
    if not look.gauge or abs(log.altitude - look.altitude) < 1.0:
        return ()
    return texts_of("log from elsewhere", look, there=log.altitude, here=look.altitude)


def _skipped(log):
    told = [Said("Line {} is not used: {}", str(line.line), line.reason) for line in log.skipped[:_SHOWN]]
    if len(log.skipped) > _SHOWN:
        told.append(f"{len(log.skipped) - _SHOWN} more lines are not used.")
    return tuple(told)
