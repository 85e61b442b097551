"""Somebody's own vehicle, of which only the label is known: its readings read, doubted and turned into causes."""

import functools
import re
from dataclasses import replace

import numpy as np

from thermo_kit.errors import Problem, ReadingsError, ThermoKitError
from thermo_kit.service.diagnosis import INSTRUMENTS, LEFT_SOUND, Reading, diagnose
from thermo_kit.service.kept import kept_signatures, kept_vehicles
from thermo_kit.service.mystery import told_by
from thermo_kit.substances import Refrigerant
from thermo_kit.systems.reading_log import text_of
from thermo_kit.units import Amount, Said, Spec, atmosphere_pressure, one_of, parse_quantity, quantity, within_ranges
from thermo_kit.units.checks import Checks

LIKE = told_by()["like"]
"""Which vehicle of the depot stands in for a kind of somebody's own."""
REFRIGERANTS = ("R-1234yf", "R-134a")
_OFF_RATIO = 1.25
_NEXT_TO_NOTHING = 0.6e5
_CHARGE_AT_WORST = 0.6  # of the label, as the faults of too little and too much refrigerant have it
_WIDER = 4.0  # times what sound vehicles of one kind differ by; our own choice, no source
_ODD = 0.02
_WHY = "two clamps swapped, a loose clamp, an absolute pressure typed, or another refrigerant?"
_CONTRADICTS = 5.0  # K, beyond what clamp and gauge may be off; our own choice, no source


class OwnVehicle(Spec):
    """What a label tells: kind of feeding and drive, refrigerant, charge."""

    kind: str = one_of(tuple(LIKE), "kind of vehicle")
    refrigerant: str = one_of(REFRIGERANTS, "refrigerant")
    charge: float = quantity("mass", 0.1, 8.0, "charge on the label", advice="600 g is 0.6 kg")


def read_sheet(source, look):
    """Read a sheet or CSV of readings, one on each line: its name, then the value with its unit.

    Parameters
    ----------
    source : str, path or bytes. A text with at least one line end, or a file. Between name and value stands a colon,
        semicolon, tab, equals sign or comma; a line without a value was not measured.
    look : Look. The unit of a number that has none, and the altitude of gauges.

    Returns: tuple. Readings in SI, pressures absolute; and (line, reason) of each line that could not be used. Raises
        ReadingsError if no line can be used; FileAccessError if the file cannot be read.

    References: None: reads data, computes nothing.

    Examples
    --------
    >>> from thermo_kit.units.look import Look
    >>> readings, skipped = read_sheet("low side: 30 psi\\nvent; 9,5\\nhigh side, oops\\n", Look())
    >>> [one.name for one in readings], skipped[0][0]
    (['suction_pressure', 'vent_temperature'], 3)
    """
    text, _ = text_of(source)
    found, skipped = {}, []
    for number, line in enumerate(text.removeprefix("\ufeff").splitlines(), 1):
        plain = line.strip().strip('"')
        if not plain or plain.startswith("#") or plain.lower().startswith(("reading,", "reading;", "name,", "name;")):
            continue
        try:
            name, value = _parts(plain)
            if not value:
                continue
            tool = INSTRUMENTS[name]
            if name in found:
                raise ReadingsError(f"{tool.title} stands there twice: keep one of the two")
            number_of = parse_quantity(value, look.sign(tool.kind), look.altitude, tool.title)
            with Checks(ReadingsError) as checks:
                checks.within(
                    tool.title, number_of, tool.low, tool.high, kind=tool.kind, advice="check number and unit"
                )
            found[name] = Reading(name, number_of)
        except ThermoKitError as error:
            skipped.append((number, error))
    if not found:
        raise ReadingsError(
            Problem("readings", "have no line that can be used", "", "write, for example, vent: 9.5 °C"),
            *(Problem(f"line {number}", Said("{}", error)) for number, error in skipped[:3]),
        )  # fmt: skip
    return tuple(found.values()), tuple(skipped)


def _parts(line):
    # The value begins with a digit: a name may hold a colon itself, as "scan: vent sensor" does.
    match = re.match(r"^(.*?)\s*[:;=,\t]\s*\"?([-−+]?[\d.,][^\"]*|)\"?$", line)
    if match is None:
        raise ReadingsError(f"{line[:40]!r} has no number behind a colon: write it like vent: 9.5 °C")
    name, value = match.groups()
    if _plain(name) not in _names():
        known = ", ".join(names[0] for names in told_by()["names"].values())
        raise ReadingsError(f"{name.strip()[:40]!r} is no reading known here: write one of {known}")
    return _names()[_plain(name)], value


def _plain(name):
    return re.sub(r"[\s_:\-]+", " ", name.strip().strip('"').lower())


@functools.cache
def _names():
    found = {_plain(name): name for name in INSTRUMENTS} | {_plain(t.title): n for n, t in INSTRUMENTS.items()}
    return found | {_plain(alias): name for name, aliases in told_by()["names"].items() for alias in aliases}


def diagnose_own(own, ambient, readings, *, altitude=0.0):
    """Return which causes explain the readings of somebody's own vehicle, kept as wide as what is not known of it.

    Parameters
    ----------
    own : OwnVehicle. What the label tells.
    ambient : float, [K]. Outside air, within what is kept.
    readings : tuple of Reading. Pressures absolute.
    altitude : float, [m]. Of the workshop.

    Returns: tuple. Diagnosis; and remarks: whether a sound vehicle would do, slips that would explain a misfit. Raises
        ReadingsError if readings contradict each other, the compressor is off, or there is next to no refrigerant;
        OutOfRangeError if the outside air is not within what is kept; UnknownNameError if such a vehicle has no such
        reading.

    Notes: A vehicle of the depot of the same kind stands in; another refrigerant is taken at the same saturation
        temperatures. All by which sound vehicles of one kind differ is taken four times as wide, tied over all
        readings.

    References: `diagnose`; linear propagation of uncertainty: JCGM 100:2008, clause 5.2.
    """
    within_ranges(
        ("outside air", ambient, 223.15, 333.15, "temperature"), ("altitude", altitude, -500.0, 5000.0, "altitude")
    )
    _doubt(own, readings, altitude)
    told = functools.partial(diagnose, None, None, table=_as_labelled(LIKE[own.kind], ambient, own.refrigerant))
    found = told(readings)
    remarks = ["A sound vehicle shows readings like these too."] if found.chance_of("sound") > LEFT_SOUND else []
    air = {"gauge_pressure": atmosphere_pressure(altitude)}
    lowered = tuple(replace(one, value=one.value - air.get(INSTRUMENTS[one.name].kind, 0.0)) for one in readings)
    if found.misfit < _ODD and told(lowered).misfit > max(0.05, 30.0 * found.misfit):
        remarks.append("The readings would fit if the pressures had been typed as absolute.")
    return found, tuple(remarks)


def _doubt(own, readings, altitude):
    """Refuse what cannot be, with the field named."""
    shown, checks, fluid = {one.name: one.value for one in readings}, Checks(), Refrigerant(own.refrigerant)
    low, high = (shown.get(name) for name in ("suction_pressure", "discharge_pressure"))
    if low and high and low * _OFF_RATIO > high:
        empty = max(low, high) - atmosphere_pressure(altitude) < _NEXT_TO_NOTHING
        advice = (
            "the two hoses are swapped, or two lines of the sheet" if low > _OFF_RATIO * high
            else "there is next to no refrigerant: do not run it, find the leak first" if empty
            else "the compressor is off or does not pump: a parked system tells less (lesson 01)"
        )  # fmt: skip
        said = Said("is not well below the high-side gauge, {}", Amount(high, "gauge_pressure"))
        checks.add("low-side gauge", Amount(low, "gauge_pressure"), said, advice)
        checks.raise_if_any(ReadingsError)
    for pressure, name, sign, words in (
        (low, "suction_temperature", 1.0, "is far below the boiling point at the low side, {}"),
        (low, "evaporator_outlet_temperature", 1.0, "is far below the boiling point at the low side, {}"),
        (low, "vent_temperature", 1.0, "is colder than the boiling point at the low side, {}"),
        (high, "liquid_temperature", -1.0, "is far above the condensing point at the high side, {}"),
        (high, "discharge_temperature", 1.0, "is below the condensing point at the high side, {}"),
    ):
        if pressure and name in shown:
            saturated = fluid.dew_temperature(min(pressure, 0.95 * fluid.critical_pressure))
            if sign * (shown[name] - saturated) < -_CONTRADICTS:
                said = Said(words, Amount(saturated, "temperature"))
                checks.add(INSTRUMENTS[name].title, Amount(shown[name], "temperature"), said, _WHY)
    checks.raise_if_any(ReadingsError)


@functools.lru_cache(maxsize=32)
def _as_labelled(like, ambient, refrigerant):
    """Return the kept signatures kept wide, with their pressures turned into those of another refrigerant."""
    table = kept_signatures(like, ambient)
    table = replace(table, scatter=_WIDER * table.scatter)
    if "exchanger_fouled" in table.faults:
        # Whether somebody's own vehicle has an internal heat exchanger, and how long, is one more unknown.
        faults = np.array(table.faults)
        missing = table.values[faults == "exchanger_fouled"][-1] - table.values[0]
        stays = faults != "exchanger_fouled"
        table = replace(table, faults=tuple(faults[stays].tolist()), severities=table.severities[stays],
                        values=table.values[stays], scatter=np.column_stack([table.scatter, missing]))  # fmt: skip
    old, new = Refrigerant(kept_vehicles()[like]), Refrigerant(refrigerant)
    if old.name == new.name:
        return table
    was, becomes = ([fluid.dew_pressure(T) for T in np.linspace(233.15, 360.0, 80)] for fluid in (old, new))
    values, scatter = table.values.copy(), table.scatter.copy()
    at = [i for i, name in enumerate(table.names) if INSTRUMENTS[name].kind == "gauge_pressure"]
    moved = np.interp(values[0, at][:, None] + scatter[at], was, becomes)
    values[:, at] = np.interp(values[:, at], was, becomes)
    scatter[at] = moved - values[0, at][:, None]
    return replace(table, values=values, scatter=scatter)


def verdict_words(own, found):
    """Return what a diagnosis of somebody's own vehicle comes to, in words.

    Parameters
    ----------
    own : OwnVehicle. What the label tells.
    found : Diagnosis. What was found.

    Returns: Said or str. "Fits nothing" and "fits several" said plainly; for a charge, how much is missing or too much.

    References: None: words.
    """
    first = found.candidates[0]
    if found.verdict != "one" or first.name not in ("undercharge", "overcharge"):
        return found.words
    amounts = (Amount(_CHARGE_AT_WORST * share * own.charge, "mass") for share in (first.low, first.high))
    side = "missing" if first.name == "undercharge" else "too much"
    return Said(f"{found.words} By the model {{}} to {{}} are {side}: recover and weigh.", *amounts)
