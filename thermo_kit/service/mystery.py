"""A vehicle with a hidden fault from a ticket: what each measurement says, what it costs, what a verdict is worth."""

import functools
import hashlib
import math
import random
import tomllib
from dataclasses import dataclass
from importlib.resources import files
from types import SimpleNamespace

from thermo_kit.errors import OutOfRangeError, UnknownNameError
from thermo_kit.service.diagnosis import INSTRUMENTS, SEVERITIES, Reading, diagnose, readings_of
from thermo_kit.service.kept import AMBIENTS, kept_signatures, kept_vehicles
from thermo_kit.systems.vehicle import FAULTS
from thermo_kit.units import Checks

LARGEST_TICKET = 9999
LEAST_SEVERITY = 0.4
_FAIR, _UNSEEN = 0.5, 1e-4
_MISTAKEN = 0.01
_WAY = 3.0  # min, from one measurement to the next; our own choice, no source


@functools.cache
def told_by():
    """Return the tables of what is seen and heard, and of names of readings."""
    return tomllib.loads(files(__package__).joinpath("seen_and_heard.toml").read_text(encoding="utf-8"))


WORDS = {name: (table["title"], table["minutes"]) for name, table in told_by().items() if "answers" in table}
"""(title, minutes) of what is answered in words: asking the driver, looking at the front end."""
MEASUREMENTS = {**{name: (tool.title, tool.minutes) for name, tool in INSTRUMENTS.items()}, **WORDS}
"""(title, minutes) of everything that can be done at a vehicle with a ticket."""


@dataclass(frozen=True)
class Ticket:
    """A vehicle with a hidden fault: number; vehicle: its name; ambient [K]; fault; severity; readings: by name, with
    their instruments' errors; heard: by name, what is answered in words."""

    number: int
    vehicle: str
    ambient: float
    fault: str
    severity: float
    readings: dict
    heard: dict

    @property
    def table(self):
        """What this vehicle shows under every fault."""
        return kept_signatures(self.vehicle, self.ambient)


@dataclass(frozen=True)
class Judged:
    """What became of a verdict: right; score; minutes; model: the diagnosis from the same measurements; best: what
    would have told most for its minutes and the way; shares: probability of the hidden fault after each measurement."""

    right: bool
    score: float
    minutes: float
    model: object
    best: str
    shares: tuple


@functools.lru_cache(maxsize=256)
def draw_ticket(number):
    """Return the vehicle of a ticket: the same number is always the same vehicle.

    Parameters
    ----------
    number : int. From 1 to `LARGEST_TICKET`.

    Returns: Ticket. Vehicle, day, hidden fault, and all that can be measured, seen and heard. Raises OutOfRangeError if
        there is no such ticket.

    Notes: Drawn from a digest of the number. Only faults are drawn that all readings together tell from a sound vehicle
        and from others.

    References: `solve_vehicle`, by the kept signatures.
    """
    if not isinstance(number, int) or not 1 <= number <= LARGEST_TICKET:
        advice = "see your hand-out"
        raise OutOfRangeError.about("ticket", repr(number), f"is not a whole number from 1 to {LARGEST_TICKET}", advice)
    chance = random.Random(hashlib.sha256(b"a vehicle with a hidden fault, ticket %d" % number).digest())
    while True:
        name, ambient = chance.choice(sorted(kept_vehicles())), chance.choice(AMBIENTS)
        table = kept_signatures(name, ambient)
        kinds = sorted(set(table.faults) - {"sound"})
        group = chance.choice(sorted({FAULTS[one].group for one in kinds}))
        kind = chance.choice([one for one in kinds if FAULTS[one].group == group])
        severity = chance.choice([one for one in SEVERITIES if LEAST_SEVERITY <= one < 1.0])
        rows = [i for i, fault in enumerate(table.faults) if fault == kind]
        row = min(rows, key=lambda i: abs(table.severities[i] - severity))
        truth = tuple(map(Reading, table.names, table.values[row].tolist()))
        found = diagnose(None, None, truth, table=table, done=INSTRUMENTS, even=True)
        if found.chance_of(kind) >= _FAIR and found.chance_of("sound") < _UNSEEN:
            break
    shown = SimpleNamespace(readings={one.name: one.value for one in truth}, scan={})
    readings = {one.name: one for one in readings_of(shown, table.names, noise=chance)}
    heard = {name: _heard(name, kind, chance) for name in WORDS}
    return Ticket(number, name, ambient, kind, float(table.severities[row]), readings, heard)


def _heard(name, kind, chance):
    mine = _points_to(name, kind)
    return mine if chance.random() < told_by()[name]["right"] else told_by()[name]["else"]


def _points_to(name, fault):
    table = told_by()[name]
    return next((one["says"] for one in table["answers"] if fault in one["faults"]), table["else"])


def hints_of(heard):
    """Return how well what was seen and heard fits each fault, for `diagnose(hints=...)`.

    Parameters
    ----------
    heard : dict of str to str. Answers by their names, such as "driver".

    Returns: dict of str to float. A factor for each fault.

    References: Bayes' rule; how often an answer points the right way is our own choice, no source.
    """
    weights = dict.fromkeys(("sound", *FAULTS), 1.0)
    for name, says in heard.items():
        table = told_by()[name]
        for fault in weights:
            own = _points_to(name, fault)
            missed = 1.0 - table["right"] if says == table["else"] else _MISTAKEN
            weights[fault] *= 1.0 if own == says == table["else"] else table["right"] if own == says else missed
    return weights


def model_verdict(ticket, taken, *, ahead=True):
    """Return the model's diagnosis of a ticket from some measurements.

    Parameters
    ----------
    ticket : Ticket. The vehicle.
    taken : iterable of str. Keys of `MEASUREMENTS`; what this vehicle does not have is left out.
    ahead : bool. Whether to rank what might be measured next.

    Returns: Diagnosis. Also without any measurement: then it says where to begin. Raises UnknownNameError if there is
        no such measurement.

    References: `diagnose`.
    """
    unknown = [name for name in taken if name not in MEASUREMENTS]
    if unknown:
        raise UnknownNameError.about("measurement", repr(unknown[0]), "is not known", ", ".join(MEASUREMENTS))
    readings = tuple(ticket.readings[name] for name in dict.fromkeys(taken) if name in ticket.readings)
    hints = hints_of({name: ticket.heard[name] for name in taken if name in ticket.heard})
    return diagnose(None, None, readings, table=ticket.table, hints=hints, even=True,
                    done=() if ahead else INSTRUMENTS)  # fmt: skip


def confidence_score(right, confidence):
    """Return what a verdict with its confidence is worth: 1 at best, 0 at worst; honest confidence pays most.

    Parameters
    ----------
    right : bool. Whether the verdict was right.
    confidence : float, [-]. How sure it was called, 0 to 1.

    Returns: float, [-]. One less the Brier score of the statement "my verdict is right". Raises OutOfRangeError if the
        confidence is not a share.

    References: Brier, Monthly Weather Review 78 (1950) 1; proper: Gneiting & Raftery, J. Am. Stat. Assoc. 102 (2007)
        359.

    Examples
    --------
    >>> round(confidence_score(True, 0.8), 2), round(confidence_score(False, 0.8), 2)
    (0.96, 0.36)
    """
    with Checks() as checks:
        checks.within("confidence", confidence, 0.0, 1.0, kind="ratio", advice="80 % is 0.8")
    return 1.0 - (float(right) - confidence) ** 2


def judge_verdict(ticket, taken, verdict, confidence):
    """Return what a verdict on a ticket is worth, and what the measurements had said.

    Parameters
    ----------
    ticket : Ticket. The vehicle.
    taken : tuple of str. Measurements in their order.
    verdict : str. Name of a fault.
    confidence : float, [-]. 0 to 1.

    Returns: Judged. Score, minutes, the model's diagnosis, the best measurement.

    References: `confidence_score`; `diagnose`.
    """
    with Checks(UnknownNameError) as checks:
        checks.one_of("verdict", verdict, ("sound", *FAULTS))
    right = verdict == ticket.fault
    before = _share(ticket, ())
    gains = {
        name: math.log2(max(_share(ticket, (name,)), 1e-9) / before) / (_WAY + MEASUREMENTS[name][1])
        for name in (*ticket.readings, *ticket.heard)
    }
    return Judged(
        right=right, score=confidence_score(right, confidence), minutes=sum(MEASUREMENTS[name][1] for name in taken),
        model=model_verdict(ticket, taken), best=max(gains, key=gains.get),
        shares=tuple(_share(ticket, taken[: i + 1]) for i in range(len(taken))),
    )  # fmt: skip


def _share(ticket, taken):
    return model_verdict(ticket, taken, ahead=False).chance_of(ticket.fault)
