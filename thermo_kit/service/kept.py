"""What the depot's vehicles show under every fault, solved once and kept: for panels and keys that must be quick."""

import functools
from pathlib import Path

import numpy as np

from thermo_kit.service.diagnosis import table_of
from thermo_kit.systems.vehicle import Conditions
from thermo_kit.units import Checks, celsius

FILE = Path(__file__).with_name("kept.npz")
AMBIENTS = tuple(map(celsius, (24.0, 30.0, 36.0)))
"""Outside air of the days that are kept [K]; all else as `Conditions` has it."""


def day_at(ambient):
    """Return the conditions of a kept day; ambient [K]."""
    return Conditions(ambient_temperature=ambient)


@functools.cache
def _kept():
    with np.load(FILE) as file:
        return dict(file)


def kept_vehicles():
    """Return {name: refrigerant} of the vehicles that are kept."""
    return {key.split("/")[0]: str(one) for key, one in _kept().items() if key.endswith("/refrigerant")}


def kept_signatures(name, ambient):
    """Return the kept signatures of a vehicle of the depot.

    Parameters
    ----------
    name : str. A vehicle of `thermo_kit.fleet.vehicle_names`.
    ambient : float, [K]. Outside air; between two kept days straight lines are drawn.

    Returns: Signatures. As `signatures` would solve them, for `diagnose(table=...)`. Raises OutOfRangeError if no such
        day is kept.

    References: `solve_vehicle`, through the script that keeps them.
    """
    with Checks() as checks:
        checks.within("outside air", ambient, AMBIENTS[0], AMBIENTS[-1], kind="temperature",
                      advice="measure on a warmer or cooler day: fans and switches work differently there")  # fmt: skip
        checks.one_of("vehicle", name, kept_vehicles())
    return _between_days(name, ambient)


@functools.lru_cache(maxsize=32)
def _between_days(name, ambient):
    upper = min(int(np.searchsorted(AMBIENTS, ambient, side="right")), len(AMBIENTS) - 1)
    share = (ambient - AMBIENTS[upper - 1]) / (AMBIENTS[upper] - AMBIENTS[upper - 1])
    names, faults, sizes, *days = (
        _kept()[f"{name}/{what}"] for what in ("names", "faults", "severities", "values", "scatter")
    )
    # A day whose share is nothing must not bring in what was refused on it.
    rows, scatter = (
        (low if share == 0.0 else high if share == 1.0 else low + share * (high - low)).astype(float)
        for low, high in (array[upper - 1 : upper + 1] for array in days)
    )
    solved = {}
    for fault, size, row in zip(faults[1:].tolist(), sizes[1:].tolist(), rows[1:], strict=True):
        if not np.isnan(row).any():
            solved.setdefault(fault, []).append((round(size, 6), row))
    return table_of(names.tolist(), rows[0], solved, scatter)
