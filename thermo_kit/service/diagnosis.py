"""From readings to a fault: which of them a vehicle's model can explain, how surely, and what to measure next."""

import contextlib
import functools
import math
import tomllib
from collections import Counter
from dataclasses import dataclass, replace
from importlib.resources import files

import numpy as np

from thermo_kit.errors import NoSolutionError, OutOfRangeError, ReadingsError, UnknownNameError
from thermo_kit.systems.vehicle import FAULTS, SCATTER, Fault, fault_fits, scattered, solve_vehicle
from thermo_kit.units import STANDARD_ATMOSPHERE, Amount, Quantity, Said
from thermo_kit.units.checks import Checks
from thermo_kit.units.look import percent


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


INSTRUMENTS = {
    name: Instrument(**told)
    for name, told in tomllib.loads(files(__package__).joinpath("instruments.toml").read_text(encoding="utf-8")).items()
}
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
LEFT_SOUND = 0.007
"""Share of complaints without a fault: one workshop found nothing in 0.7 % of its vehicles (2015, second hand)."""
SEVERITIES = (0.12, 0.25, 0.4, 0.55, 0.7, 0.85, 1.0)
_FINE = 8
MODEL_SHARE = {"temperature": 0.5, "temperature_difference": 0.5, "gauge_pressure": 0.01, "ratio": 0.01,
               "air_flow": 0.02, "current": 0.02}  # fmt: skip
"""What the model itself is trusted to: kelvin for temperatures, a share for the rest; our own choice, no source."""
DIFFERENCE = {"temperature": "temperature_difference", "gauge_pressure": "pressure_difference"}
HINT = Quantity("ratio", 1e-9, 1e9, "weight of a hint", "1 tells nothing, more speaks for the fault")
NOTHING_FITS = 1e-3
SURE = 0.6
SHOWS = 3.0
"""What all readings together show by fewer standard deviations brings nobody to a workshop: our own choice, no source.
"""


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
    """One reading: name; weight: of the reading for the first candidate against the second, in powers of e; words."""

    name: str
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
    show readings as far off as these; pair: two faults that together explain what no single one does, or ()."""

    candidates: tuple
    verdict: str
    words: object
    evidence: tuple
    following: tuple
    misfit: float
    pair: tuple = ()

    def chance_of(self, name):
        """Return the probability of a fault, or of "sound"; 0 where this vehicle cannot have it."""
        return next((one.probability for one in self.candidates if one.name == name), 0.0)


@dataclass(frozen=True)
class Signatures:
    """What a vehicle shows on a day under every fault: names: of the readings; faults, severities: of each row;
    values: one row each; scatter: how each reading moves with each row of `SCATTER`, for a sound vehicle and a broken
    one of each group, so that its product with itself is the mean covariance."""

    names: tuple
    faults: tuple
    severities: np.ndarray
    values: np.ndarray
    scatter: np.ndarray

    def covariance(self, spreads):
        """Of readings at one true fault: instruments and model on the diagonal, and what vehicles differ by."""
        return self.scatter @ self.scatter.T + np.diag(np.asarray(spreads) ** 2)


def value_of(result, name):
    """Return what an instrument would show on a solved vehicle.

    Parameters
    ----------
    result : VehicleResult. The vehicle.
    name : str. A key of `INSTRUMENTS`.

    Returns: float or None, [SI unit of its kind]. None where this vehicle has no such reading.

    Notes: Definition.
    """
    with Checks(UnknownNameError) as checks:
        checks.one_of("measurement", name, INSTRUMENTS)
    return result.readings.get(name, result.scan.get(name))


@functools.lru_cache(maxsize=8)
def signatures(spec, conditions):
    """Return what every single fault would show, made once for a vehicle and a day.

    Parameters
    ----------
    spec : VehicleSpec. The sound vehicle.
    conditions : Conditions. The day.

    Returns: Signatures. Readings under each fault and severity that shows and lets the compressor run, straight lines
        between the solved ones. Raises NoSolutionError if not even the sound vehicle runs on this day.

    References: `solve_vehicle`.
    """
    return table_of(*solved_faults(spec, conditions))


def solved_faults(spec, conditions):
    """Solve a vehicle under every fault: (names of readings, sound, {fault: [(severity, row)]}, scatter)."""
    sound = solve_vehicle(spec, conditions)
    names = tuple(name for name in INSTRUMENTS if value_of(sound, name) is not None)
    row = [value_of(sound, name) for name in names]
    found, states = {}, {"": ((), sound)}
    for name in FAULTS:
        if not fault_fits(name, spec):
            continue
        near, solved = sound, []
        for severity in SEVERITIES:
            try:
                near = solve_vehicle(spec, conditions, Fault(name, severity), near=near)
            except (NoSolutionError, OutOfRangeError):
                if solved:
                    # What stops the compressor at one size does so at every larger one.
                    break
                continue
            solved.append((severity, [value_of(near, one) for one in names]))
            if severity > 0.5:
                states.setdefault(FAULTS[name].group, (near.faults, near))
        if solved:
            found[name] = solved
    moves = [_moved(spec, conditions, names, *state) for state in states.values()]
    return names, row, found, np.concatenate(moves).T / math.sqrt(len(states))


def table_of(names, sound, solved, scatter):
    """Return the table of solved faults, with straight lines between their severities."""
    faults, sizes, values = ["sound"], [0.0], [list(sound)]
    for name, rows in solved.items():
        at = [severity for severity, _ in rows]
        fine = np.linspace(at[0], at[-1], _FINE * (len(at) - 1) + 1)
        columns = np.array([row for _, row in rows]).T
        faults += [name] * len(fine)
        sizes += fine.tolist()
        values += np.array([np.interp(fine, at, column) for column in columns]).T.tolist()
    every = Signatures(tuple(names), tuple(faults), np.array(sizes), np.array(values), scatter)
    covariance = every.covariance([_spread(*shown) for shown in zip(names, sound, strict=True)])
    off = every.values - every.values[0]
    kept = (off * np.linalg.solve(covariance, off.T).T).sum(axis=1) >= SHOWS**2
    kept[0] = True
    shown = tuple(name for name, one in zip(faults, kept, strict=True) if one)
    return replace(every, faults=shown, severities=every.severities[kept], values=every.values[kept])


def _moved(spec, day, names, faults, near):
    """Return how readings move with each row of `SCATTER` by one standard deviation; what does not run is left out."""
    found = []
    for draws in np.eye(len(SCATTER)):
        moved = scattered(spec, day, draws)
        if moved == (spec, day):
            continue
        with contextlib.suppress(NoSolutionError, OutOfRangeError):
            other = solve_vehicle(*moved, faults, near=near)
            found.append([value_of(other, name) - value_of(near, name) for name in names])
    return np.array(found).reshape(-1, len(names))


def diagnose(spec, conditions, readings, *, done=(), even=False, table=None, hints=None):
    """Return which faults explain readings, how surely, and what to measure next.

    Parameters
    ----------
    spec : VehicleSpec. The vehicle as it should be.
    conditions : Conditions. The day on which it was measured.
    readings : tuple of Reading. What instruments show; at least one.
    done : tuple of str. Measurements that are not to be proposed again, beside those read.
    even : bool
        All faults equally likely beforehand, as where a case was drawn and no workshop's share of faults holds.
    table : Signatures or None. Kept signatures, vehicle and day may then be None; without, the vehicle is solved.
    hints : dict or None
        How well what was seen and heard fits each fault [-], by its name, above 0; with hints, readings may be missing.

    Returns: Diagnosis. Ranked candidates with severity, evidence, next measurements. Raises ReadingsError if readings
        contradict each other, or none is given; UnknownNameError if an instrument is unknown or this vehicle has no
        such reading.

    Notes: Accuracies are taken as Gaussian and independent; the model's own scatter is added, and what sound vehicles
        of one kind differ by, which moves several readings at once. Two faults at once are told only where no single
        one fits, as the sum of what each does alone. Faults under which a switch would stop the compressor are left
        out.

    References: Bayes' rule; mutual information per cost as the measure of a test: any textbook of decision analysis.

    Examples
    --------
    >>> from thermo_kit.fleet import fault, vehicle
    >>> from thermo_kit.systems import Conditions, solve_vehicle
    >>> van, day = vehicle("city_van"), Conditions()
    >>> shown = solve_vehicle(van, day, fault("blend_leak", 0.7))
    >>> diagnose(van, day, readings_of(shown, INSTRUMENTS)).candidates[0].name
    'blend_leak'
    """
    table = table or signatures(spec, conditions)
    if hints is None or readings:
        _check(readings, table)
    with Checks() as checks:
        for name, weight in (hints or {}).items():
            checks.one_of("fault of a hint", name, ("sound", *FAULTS))
            HINT.check(checks, weight)
    columns = [table.names.index(one.name) for one in readings]
    seen = np.array([one.value for one in readings])
    spread = {name: _spread(name, float(table.values[0, i])) for i, name in enumerate(table.names)}
    spread |= {one.name: _spread(one.name, one.value, one.accuracy) for one in readings}
    covariance = table.covariance([spread[name] for name in table.names])
    own = covariance[np.ix_(columns, columns)]
    whiten = np.linalg.inv(np.linalg.cholesky(own)).T

    def whitened(shown):
        return (table.values[:, columns] - shown) @ whiten

    off = whitened(seen)
    square = (off**2).sum(axis=1)
    log_weight = np.log(_prior(table, even) * [(hints or {}).get(name, 1.0) for name in table.faults]) - 0.5 * square
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    candidates = _candidates(table, weight)
    misfit = _beyond(float(square.min()), len(readings))
    first, second = (one.name for one in candidates[:2])
    verdict = "nothing" if misfit < NOTHING_FITS else "one" if candidates[0].probability >= SURE else "several"
    pair = slip = ()
    if verdict == "nothing":
        slip = _slip(readings, seen, lambda shown: _beyond((whitened(shown) ** 2).sum(axis=1).min(), len(seen)))
        pair = () if slip else _pair(table, off, square)
    alone = (table.values[:, columns] - seen) / np.sqrt(np.diag(own))
    return Diagnosis(
        candidates=candidates,
        verdict=verdict,
        words=slip or _words(verdict, candidates, pair),
        evidence=_evidence(table, weight, readings, columns, alone, first, second),
        following=_following(table, weight, covariance, columns, seen, set(done)),
        misfit=misfit,
        pair=pair,
    )


def _slip(readings, seen, fit):
    """Return words on the one slip that would make readings fit after all: clamps swapped, or an absolute pressure."""
    kinds = [INSTRUMENTS[one.name].kind for one in readings]
    titles = [INSTRUMENTS[one.name].title for one in readings]
    tried = []
    for i, kind in enumerate(kinds):
        for j in (j for j in range(i) if kind == kinds[j] == "temperature"):
            moved = seen.copy()
            moved[[i, j]] = seen[[j, i]]
            tried.append((fit(moved), f"{titles[j]} and {titles[i]} were swapped"))
        typed = {"an absolute pressure typed as gauge": -1.0, "a gauge pressure typed as absolute": 1.0}
        for what, sign in typed.items() if kind == "gauge_pressure" else ():
            moved = seen.copy()
            moved[i] += sign * STANDARD_ATMOSPHERE
            tried.append((fit(moved), f"the {titles[i]} shows {what}"))
    best, what = max(tried, default=(0.0, ""))
    return f"These readings fit nothing as they are; they would fit if {what}: check that first." if best > 0.05 else ()


def _pair(table, off, square):
    """Return the two faults whose effects, added, explain the readings, or () where no two do."""
    # |w + a + b|² = |w + a|² + |w + b|² - |w|² + 2 a·b, with the sound vehicle's w in row 0.
    own = slice(1, None, _FINE // 2)
    names, alone, moved = np.array(table.faults)[own], square[own], (off - off[0])[own]
    both = alone[:, None] + alone[None, :] - square[0] + 2.0 * moved @ moved.T
    both[names[:, None] == names[None, :]] = np.inf
    i, j = np.unravel_index(np.argmin(both), both.shape)
    return tuple(sorted((str(names[i]), str(names[j])))) if _beyond(float(both[i, j]), off.shape[1]) > 0.01 else ()


def _check(readings, table):
    if not readings:
        raise ReadingsError.about("readings", "are missing", "", "give at least one, for example the vent temperature")
    checks, shown = Checks(), {}
    for one in readings:
        if one.name not in INSTRUMENTS or one.name not in table.names:
            advice = "it has " + ", ".join(table.names)
            raise UnknownNameError.about("measurement", repr(one.name), "is not one of this vehicle", advice)
        tool = INSTRUMENTS[one.name]
        if one.name in shown:
            checks.add(tool.title, "is given twice", "", "give each reading once")
        checks.within(tool.title, one.value, tool.low, tool.high, kind=tool.kind,
                      advice="check number and unit, and whether gauge or absolute pressure was typed")  # fmt: skip
        if one.accuracy is not None:
            name, kind = f"accuracy of the {tool.title}", DIFFERENCE.get(tool.kind, tool.kind)
            checks.within(name, one.accuracy, 0.0, tool.high - tool.low, kind=kind, exclusive=True,
                          advice="leave it out for the usual one")  # fmt: skip
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


def _prior(table, even=False):
    """Share the groups' priors among the faults that show here; a fault counts by the sizes at which it does."""
    present = set(table.faults) - {"sound"}
    groups = Counter(FAULTS[name].group for name in present)
    share = {name: 1.0 if even else PRIOR[FAULTS[name].group] / groups[FAULTS[name].group] for name in present}
    if not even and {"undercharge", "overcharge"} <= present:
        share["undercharge"] *= 2.0 * (1.0 - OVERCHARGE_SHARE)
        share["overcharge"] *= 2.0 * OVERCHARGE_SHARE
    rows = np.array([share.get(name, 0.0) for name in table.faults])
    return np.where(rows > 0.0, (1.0 - LEFT_SOUND) * rows / rows.sum(), LEFT_SOUND)


def _candidates(table, weight):
    found = []
    names = np.array(table.faults)
    for name in dict.fromkeys(table.faults):
        rows = names == name
        own = weight[rows]
        whole, title = float(own.sum()), "nothing found" if name == "sound" else FAULTS[name].title
        if name == "sound" or whole <= 0.0:
            found.append(Candidate(name, title, whole, 0.0, 0.0, 0.0))
            continue
        sizes, share = table.severities[rows], own / whole
        run = np.cumsum(share)
        low, high = (float(sizes[min(int(np.searchsorted(run, q)), len(sizes) - 1)]) for q in (0.05, 0.95))
        found.append(Candidate(name, title, whole, float(sizes @ share), low, high))
    return tuple(sorted(found, key=lambda one: -one.probability))


def _beyond(square, count):
    from scipy.stats import chi2

    return float(chi2.sf(square, count)) if count else 1.0


def _words(verdict, candidates, pair):
    first = candidates[0]
    if pair:
        return "No single fault fits; two at once would: " + " and ".join(FAULTS[name].title for name in pair) + "."
    if verdict == "nothing":
        return (
            "These readings fit no single fault of this vehicle: measure again, look for swapped hoses or clamps, or "
            "think of two faults at once."
        )
    if verdict == "one":
        return f"{first.title}: {percent(first.probability)} sure."
    several = [one for one in candidates if one.probability > 0.05][:4]
    return "Several faults fit: " + ", ".join(f"{one.title} {percent(one.probability)}" for one in several) + "."


def _evidence(table, weight, readings, columns, off, first, second):
    names, found = np.array(table.faults), []
    title, other = ("a sound vehicle" if one == "sound" else FAULTS[one].title for one in (first, second))

    def mean(name, values):
        rows = names == name
        own = weight[rows]
        return float(values[rows] @ own / own.sum()) if own.sum() > 0.0 else float(values[rows].max())

    for i, (one, column) in enumerate(zip(readings, columns, strict=True)):
        log = -0.5 * off[:, i] ** 2
        pull = mean(first, log) - mean(second, log)
        expected, sound = mean(first, table.values[:, column]), float(table.values[0, column])
        tool = INSTRUMENTS[one.name]
        side = "tells nothing between" if abs(pull) < 0.3 else "speaks for" if pull > 0 else "speaks against"
        rest = f"{title} and {other}" if abs(pull) < 0.3 else f"{title}, held against {other}"
        words = Said(
            f"{tool.title} {{}}: {side} {rest}; expected {{}}, on a sound vehicle {{}}",
            Amount(one.value, tool.kind), Amount(expected, tool.kind), Amount(sound, tool.kind),
        )  # fmt: skip
        found.append(Evidence(one.name, pull, words))
    return tuple(sorted(found, key=lambda one: -abs(one.weight)))


def _following(table, weight, covariance, columns, seen, done):
    """Rank what is left to measure by the information on the fault that it is expected to bring in a minute.

    What the readings so far told about this one vehicle shifts and narrows what the next is expected to show.
    """
    known = np.linalg.inv(covariance[np.ix_(columns, columns)])
    # What is out of the running costs time and brings no information.
    live = np.flatnonzero(weight > 1e-5 * weight.max())
    names, share = [table.faults[i] for i in live], weight[live] / weight[live].sum()
    member = np.array([[name == kind for name in names] for kind in dict.fromkeys(names)], dtype=float) * share
    whole = member.sum(axis=1)
    member /= whole[:, None]
    found = []
    for column, name in enumerate(table.names):
        if name in done or column in columns:
            continue
        gain = covariance[column, columns] @ known
        middle = table.values[live, column] + (seen - table.values[np.ix_(live, columns)]) @ gain
        spread = math.sqrt(covariance[column, column] - gain @ covariance[columns, column])
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
        bits, minutes = max(float(gain), 0.0), INSTRUMENTS[name].minutes
        found.append(NextMeasurement(name, bits, minutes, bits / minutes))
    return tuple(sorted(found, key=lambda one: -one.rate))


def readings_of(result, names, *, noise=None):
    """Return the readings that instruments would show on a solved vehicle.

    Parameters
    ----------
    result : VehicleResult. The vehicle.
    names : iterable of str. Measurements; those that it does not have are left out.
    noise : random.Random or None. Draws the instruments' errors; None reads exactly.

    Returns: tuple of Reading. In the order of the names.

    Notes: Definition.
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
