"""From readings to a fault: which of them a vehicle's model can explain, how surely, and what to measure next."""

import functools
import math
from dataclasses import dataclass, replace

import numpy as np

from thermo_kit.errors import NoSolutionError, OutOfRangeError, Problem, ReadingsError, UnknownNameError
from thermo_kit.systems.vehicle import FAULTS, Fault, fault_fits, solve_vehicle
from thermo_kit.units import Amount, Checks, Said


@dataclass(frozen=True, slots=True)
class Instrument:
    """A way to measure: title; kind of quantity; accuracy: one standard deviation in SI; relative: of the reading;
    minutes of work; low, high: what can be true at all, SI."""

    title: str
    kind: str
    accuracy: float
    minutes: float
    low: float
    high: float
    relative: float = 0.0


# Accuracies: gauges of class 1.6 (EN 837-1, memory) as one and a half standard deviations; clamps and times are our own
# choice, no source.
INSTRUMENTS = {
    "suction_pressure": Instrument("low-side gauge", "gauge_pressure", 0.12e5, 4.0, 2e4, 2e6),
    "discharge_pressure": Instrument("high-side gauge", "gauge_pressure", 0.35e5, 4.0, 1e5, 5e6),
    "suction_temperature": Instrument("clamp on the suction line", "temperature", 1.5, 3.0, 223.15, 373.15),
    "discharge_temperature": Instrument("clamp on the discharge line", "temperature", 2.5, 3.0, 253.15, 453.15),
    "liquid_temperature": Instrument("clamp on the liquid line", "temperature", 1.5, 3.0, 253.15, 373.15),
    "evaporator_outlet_temperature": Instrument(
        "clamp at the evaporator outlet", "temperature", 1.5, 15.0, 223.15, 373.15),
    "valve_temperature": Instrument("clamp before the valve", "temperature", 1.5, 12.0, 233.15, 373.15),
    "vent_temperature": Instrument("thermometer in the vent", "temperature", 0.7, 1.0, 243.15, 343.15),
    "condenser_air_temperature": Instrument("air behind the condenser", "temperature", 2.0, 3.0, 253.15, 393.15),
    "condenser_air_flow": Instrument("anemometer before the condenser", "air_flow", 0.01, 6.0, 0.0, 20.0, 0.06),
    "pass_temperature": Instrument("clamp where the first pass ends", "temperature", 1.5, 6.0, 253.15, 423.15),
    "air_flow": Instrument("anemometer at the vents", "air_flow", 0.003, 5.0, 0.0, 3.0, 0.06),
    "return_air_temperature": Instrument("air in front of the evaporator", "temperature", 1.0, 4.0, 253.15, 353.15),
    "supply_current": Instrument("clamp meter at the compressor", "current", 0.1, 10.0, 0.0, 200.0, 0.02),
    "running_share": Instrument("watching clutch or stroke", "ratio", 0.05, 5.0, 0.0, 1.0),
    "high_side_sensor": Instrument("scan: high-side sensor", "gauge_pressure", 0.3e5, 2.0, 1e4, 6e6),
    "low_side_sensor": Instrument("scan: low-side sensor", "gauge_pressure", 0.1e5, 2.0, 1e4, 3e6),
    "vent_sensor": Instrument("scan: vent sensor", "temperature", 0.7, 2.0, 223.15, 363.15),
    "valve_opening": Instrument("scan: opening of the valve", "ratio", 0.02, 2.0, 0.0, 1.0),
    "superheat_sensor": Instrument("scan: superheat", "temperature_difference", 1.0, 2.0, -30.0, 80.0),
}  # fmt: skip
"""Every measurement by its name."""

PRIOR = {
    "refrigerant": 0.52, "contamination": 0.08, "condenser air": 0.08, "restriction": 0.06, "valve": 0.07,
    "compressor": 0.07, "control": 0.05, "cabin air": 0.05, "sensor": 0.02,
}  # fmt: skip
"""Share of complaints by group. Low charge 53 % and failed components 23.5 %, contaminated 8.6 %: a trade survey of
one country (2016), second hand. How the failed components share among the groups is our own guess, no source."""
OVERCHARGE_SHARE = 0.2
"""Of the refrigerant group; residential field tests found over nearly as often as under (2002), shops refill after
leaks: our own guess between."""
SEVERITIES = (0.12, 0.25, 0.4, 0.55, 0.7, 0.85, 1.0)
_FINE = 4
MODEL_SHARE = {"temperature": 0.5, "temperature_difference": 0.5, "gauge_pressure": 0.01, "ratio": 0.01,
               "air_flow": 0.02, "current": 0.02}  # fmt: skip
"""What the model itself is trusted to: kelvin for temperatures, a share for the rest; our own choice, no source."""
NOTHING_FITS = 1e-3
SURE = 0.6


@dataclass(frozen=True, slots=True)
class Reading:
    """What an instrument shows: name, a key of `INSTRUMENTS`; value [SI unit of its kind], pressures absolute;
    accuracy [SI unit of its kind]: its own standard deviation, None for the usual one."""

    name: str
    value: float
    accuracy: float | None = None


@dataclass(frozen=True, slots=True)
class Candidate:
    """A fault that may be it: name; title; probability; severity: mean, low, high: a 90 % range of the severity."""

    name: str
    title: str
    probability: float
    severity: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Evidence:
    """One reading: name; expected: by the first candidate, sound: by a sound vehicle [SI]; weight: of the reading for
    the first against the second, in powers of e; words."""

    name: str
    expected: float
    sound: float
    weight: float
    words: object


@dataclass(frozen=True, slots=True)
class NextMeasurement:
    """A measurement not yet taken: name; information: expected, in bits; minutes; rate [bits/min]."""

    name: str
    information: float
    minutes: float
    rate: float


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """What readings say: candidates, the likeliest first, "sound" among them; verdict: "one", "several" or "nothing";
    words; evidence; following: what to measure next, the best first; misfit: probability that the best candidate would
    show readings as far off as these."""

    candidates: tuple
    verdict: str
    words: object
    evidence: tuple
    following: tuple
    misfit: float


@dataclass(frozen=True)
class Signatures:
    """What a vehicle shows on a day under every fault: names: of the readings; faults, severities: of each row;
    values: one row each; refused: (fault, severity, why) where the compressor would be stopped."""

    names: tuple
    faults: tuple
    severities: np.ndarray
    values: np.ndarray
    refused: tuple


def value_of(result, name):
    """Return what an instrument would show on a solved vehicle.

    Parameters
    ----------
    result : VehicleResult
        The vehicle.
    name : str
        A key of `INSTRUMENTS`.

    Returns
    -------
    float or None, [SI unit of its kind]
        None where this vehicle has no such reading.

    Notes
    -----
    Definition.
    """
    checks = Checks()
    checks.one_of("measurement", name, INSTRUMENTS)
    checks.raise_if_any(UnknownNameError)
    return result.readings.get(name, result.scan.get(name))


@functools.lru_cache(maxsize=8)
def signatures(spec, conditions):
    """Return what every single fault would show, made once for a vehicle and a day.

    Parameters
    ----------
    spec : VehicleSpec
        The sound vehicle.
    conditions : Conditions
        The day.

    Returns
    -------
    Signatures
        Readings under each fault and severity, straight lines between the solved ones.

    Raises
    ------
    NoSolutionError
        If not even the sound vehicle runs on this day.

    References
    ----------
    `solve_vehicle`.
    """
    sound = solve_vehicle(spec, conditions)
    names = tuple(name for name in INSTRUMENTS if value_of(sound, name) is not None)
    row = [value_of(sound, name) for name in names]
    faults, sizes, values, refused = ["sound"], [0.0], [row], []
    for name in FAULTS:
        if not fault_fits(name, spec):
            continue
        near, solved = sound, []
        for severity in SEVERITIES:
            try:
                near = solve_vehicle(spec, conditions, Fault(name, severity), near=near)
            except (NoSolutionError, OutOfRangeError) as error:
                refused.append((name, severity, str(error)))
                if solved:
                    # What stops the compressor at one size does so at every larger one.
                    break
                continue
            solved.append((severity, [value_of(near, one) for one in names]))
        if solved:
            at = [severity for severity, _ in solved]
            fine = np.linspace(at[0], at[-1], _FINE * (len(at) - 1) + 1)
            rows = np.array([values for _, values in solved])
            faults += [name] * len(fine)
            sizes += fine.tolist()
            values += np.array([np.interp(fine, at, column) for column in rows.T]).T.tolist()
    return Signatures(names, tuple(faults), np.array(sizes), np.array(values), tuple(refused))


def diagnose(spec, conditions, readings, *, done=()):
    """Return which faults explain readings, how surely, and what to measure next.

    Parameters
    ----------
    spec : VehicleSpec
        The vehicle as it should be.
    conditions : Conditions
        The day on which it was measured.
    readings : tuple of Reading
        What instruments show; at least one.
    done : tuple of str
        Measurements that are not to be proposed again, beside those read.

    Returns
    -------
    Diagnosis
        Ranked candidates with severity, evidence, next measurements.

    Raises
    ------
    ReadingsError
        If readings contradict each other, or none is given.
    UnknownNameError
        If an instrument is unknown or this vehicle has no such reading.

    Notes
    -----
    Single faults only. Accuracies are taken as Gaussian and independent; the model's own scatter is added. Faults under
    which a switch would stop the compressor are left out.

    References
    ----------
    Bayes' rule; mutual information per cost as the measure of a test: any textbook of decision analysis.

    Examples
    --------
    >>> from thermo_kit.fleet import fault, vehicle
    >>> from thermo_kit.systems import Conditions, solve_vehicle
    >>> van, day = vehicle("city_van"), Conditions()
    >>> shown = solve_vehicle(van, day, fault("blend_leak", 0.7))
    >>> diagnose(van, day, readings_of(shown, INSTRUMENTS)).candidates[0].name
    'blend_leak'
    """
    table = signatures(spec, conditions)
    _check(readings, table)
    prior = _prior(table)
    columns = [table.names.index(one.name) for one in readings]
    seen = np.array([one.value for one in readings])
    spread = np.array([_spread(one.name, one.value, one.accuracy) for one in readings])
    off = (table.values[:, columns] - seen) / spread
    square = (off**2).sum(axis=1)
    log_weight = np.log(prior) - 0.5 * square
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    candidates = _candidates(table, weight)
    best = int(np.argmin(square))
    misfit = _beyond(float(square[best]), len(readings))
    first, second = (one.name for one in candidates[:2])
    verdict = "nothing" if misfit < NOTHING_FITS else "one" if candidates[0].probability >= SURE else "several"
    return Diagnosis(
        candidates=candidates,
        verdict=verdict,
        words=_words(verdict, candidates),
        evidence=_evidence(table, weight, readings, columns, off, first, second),
        following=_following(table, weight, {one.name for one in readings} | set(done)),
        misfit=misfit,
    )


def _check(readings, table):
    if not readings:
        raise ReadingsError(
            Problem("readings", "are missing", "", "give at least one, for example the vent temperature")
        )
    checks, shown = Checks(), {}
    for one in readings:
        if one.name not in INSTRUMENTS or one.name not in table.names:
            raise UnknownNameError(
                Problem("measurement", repr(one.name), "is not one of this vehicle", "it has " + ", ".join(table.names))
            )
        tool = INSTRUMENTS[one.name]
        if one.name in shown:
            checks.add(tool.title, "is given twice", "", "give each reading once")
        checks.within(tool.title, one.value, tool.low, tool.high, kind=tool.kind,
                      advice="check number and unit, and whether gauge or absolute pressure was typed")  # fmt: skip
        if one.accuracy is not None and not one.accuracy > 0.0:
            checks.add(tool.title, "has an accuracy that is not above zero", "", "leave it out for the usual one")
        shown[one.name] = one.value
    checks.raise_if_any(ReadingsError)
    for low, high, told in (
        ("suction_pressure", "discharge_pressure", "are the two hoses swapped, or is the compressor off?"),
        ("liquid_temperature", "discharge_temperature", "are the two clamps swapped, or is the compressor off?"),
    ):
        if low in shown and high in shown and shown[low] >= shown[high]:
            tool = INSTRUMENTS[low]
            limit = Said(f"is not below the {INSTRUMENTS[high].title}, {{}}", Amount(shown[high], tool.kind))
            checks.add(tool.title, Amount(shown[low], tool.kind), limit, told)
    checks.raise_if_any(ReadingsError)


def _spread(name, value, accuracy=None):
    tool = INSTRUMENTS[name]
    own = accuracy if accuracy is not None else math.hypot(tool.accuracy, tool.relative * value)
    trusted = MODEL_SHARE[tool.kind]
    return math.hypot(own, trusted if "temperature" in tool.kind else max(trusted * abs(value), 1e-4))


def _prior(table):
    """Share the groups' priors among the faults that this vehicle can have, and these among their severities."""
    present = {name for name in table.faults if name != "sound"}
    groups = {}
    for name in present:
        groups.setdefault(FAULTS[name].group, []).append(name)
    whole = sum(PRIOR[group] for group in groups)
    share = {}
    for group, names in groups.items():
        for name in names:
            share[name] = PRIOR[group] / whole / len(names)
    if {"undercharge", "overcharge"} <= present:
        both = share["undercharge"] + share["overcharge"]
        share["undercharge"], share["overcharge"] = (1.0 - OVERCHARGE_SHARE) * both, OVERCHARGE_SHARE * both
    rows = {name: table.faults.count(name) for name in present}
    # One workshop found nothing in 0.7 % of its vehicles (2015, second hand); complaints without a fault are rare.
    return np.array([0.007 if name == "sound" else 0.993 * share[name] / rows[name] for name in table.faults])


def _candidates(table, weight):
    found = []
    names = np.array(table.faults)
    for name in dict.fromkeys(table.faults):
        rows = names == name
        own = weight[rows]
        whole = float(own.sum())
        if name == "sound" or whole <= 0.0:
            found.append(
                Candidate(name, "nothing found" if name == "sound" else FAULTS[name].title, whole, 0.0, 0.0, 0.0)
            )
            continue
        sizes, share = table.severities[rows], own / whole
        run = np.cumsum(share)
        low, high = (float(sizes[min(int(np.searchsorted(run, q)), len(sizes) - 1)]) for q in (0.05, 0.95))
        found.append(Candidate(name, FAULTS[name].title, whole, float(sizes @ share), low, high))
    return tuple(sorted(found, key=lambda one: -one.probability))


def _beyond(square, count):
    from scipy.stats import chi2

    return float(chi2.sf(square, count))


def _words(verdict, candidates):
    first = candidates[0]
    if verdict == "nothing":
        return (
            "These readings fit no single fault of this vehicle: measure again, look for swapped hoses or clamps, or "
            "think of two faults at once."
        )
    if verdict == "one":
        return f"{first.title}: {first.probability:.0%} sure."
    several = [one for one in candidates if one.probability > 0.05][:4]
    return "Several faults fit: " + ", ".join(f"{one.title} {one.probability:.0%}" for one in several) + "."


def _mean(table, weight, name, column):
    rows = [i for i, fault in enumerate(table.faults) if fault == name]
    own = weight[rows]
    return (
        float(table.values[rows, column] @ own / own.sum()) if own.sum() > 0.0 else float(table.values[rows[0], column])
    )


def _evidence(table, weight, readings, columns, off, first, second):
    names = np.array(table.faults)
    found = []
    for i, (one, column) in enumerate(zip(readings, columns, strict=True)):
        log = -0.5 * off[:, i] ** 2

        def fits(name, log=log):
            own = weight[names == name]
            return float(log[names == name] @ own / own.sum()) if own.sum() > 0.0 else float(log[names == name].max())

        pull = fits(first) - fits(second)
        expected, sound = _mean(table, weight, first, column), float(table.values[0, column])
        tool = INSTRUMENTS[one.name]
        title = {"sound": "a sound vehicle"}.get(first) or FAULTS[first].title
        other = {"sound": "a sound vehicle"}.get(second) or FAULTS[second].title
        side = "tells nothing between" if abs(pull) < 0.3 else "speaks for" if pull > 0 else "speaks against"
        rest = f"{title} and {other}" if abs(pull) < 0.3 else f"{title}, held against {other}"
        words = Said(
            f"{tool.title} {{}}: {side} {rest}; expected {{}}, on a sound vehicle {{}}",
            Amount(one.value, tool.kind), Amount(expected, tool.kind), Amount(sound, tool.kind),
        )  # fmt: skip
        found.append(Evidence(one.name, expected, sound, pull, words))
    return tuple(sorted(found, key=lambda one: -abs(one.weight)))


def _following(table, weight, taken):
    """Rank what is left to measure by the information on the fault that it is expected to bring in a minute."""
    # What is out of the running costs time and brings no information.
    live = np.flatnonzero(weight > 1e-5 * weight.max())
    names, share = [table.faults[i] for i in live], weight[live] / weight[live].sum()
    member = np.array([[name == kind for name in names] for kind in dict.fromkeys(names)], dtype=float) * share
    whole = member.sum(axis=1)
    member /= whole[:, None]
    found = []
    for column, name in enumerate(table.names):
        if name in taken:
            continue
        middle = table.values[live, column]
        spread = _spread(name, float(np.median(middle)))
        grid = np.linspace(middle.min() - 3 * spread, middle.max() + 3 * spread, 90)
        step = grid[1] - grid[0]
        if step > spread:
            grid = np.arange(grid[0], grid[-1] + spread, 0.8 * spread)
            step = grid[1] - grid[0]
        shape = np.exp(-0.5 * ((grid[None, :] - middle[:, None]) / spread) ** 2)
        shape /= shape.sum(axis=1, keepdims=True)
        by_kind = member @ shape
        every = whole @ by_kind
        with np.errstate(divide="ignore", invalid="ignore"):
            gain = np.where(by_kind > 1e-300, by_kind * np.log2(by_kind / every), 0.0).sum(axis=1) @ whole
        minutes = INSTRUMENTS[name].minutes
        found.append(NextMeasurement(name, max(float(gain), 0.0), minutes, max(float(gain), 0.0) / minutes))
    return tuple(sorted(found, key=lambda one: -one.rate))


def readings_of(result, names, *, noise=None):
    """Return the readings that instruments would show on a solved vehicle.

    Parameters
    ----------
    result : VehicleResult
        The vehicle.
    names : iterable of str
        Measurements; those that it does not have are left out.
    noise : random.Random or None
        Draws the instruments' errors; None reads exactly.

    Returns
    -------
    tuple of Reading
        In the order of the names.

    Notes
    -----
    Definition.
    """
    found = []
    for name in names:
        value = value_of(result, name)
        if value is None:
            continue
        error = noise.gauss(0.0, _spread(name, value)) if noise else 0.0
        reading = Reading(name, value + error)
        tool = INSTRUMENTS[name]
        found.append(replace(reading, value=min(max(reading.value, tool.low), tool.high)))
    return tuple(found)
