"""Solve every vehicle of the depot under every fault and keep what it shows, for panels and keys that must be quick.

python .ci/keep_signatures.py    after a change of the vehicle's model, its faults or the depot's vehicles (minutes)
"""

import sys
from concurrent.futures import ProcessPoolExecutor

import numpy as np

from thermo_kit.fleet import vehicle, vehicle_names
from thermo_kit.service.diagnosis import SEVERITIES, solved_faults
from thermo_kit.service.kept import AMBIENTS, FILE, day_at


def together(scatter):
    """Return one column a reading with the same covariance; unlike the columns of one day, these suit the next."""
    size = np.sqrt((scatter**2).sum(axis=1))
    size[size == 0.0] = 1.0
    values, vectors = np.linalg.eigh(scatter @ scatter.T / np.outer(size, size))
    return size[:, None] * (vectors * np.sqrt(values.clip(0.0))) @ vectors.T


def kept(name):
    """Return {key: array} of one vehicle: a row for the sound one, then a row for each fault and severity."""
    spec = vehicle(name)
    days = [solved_faults(spec, day_at(ambient)) for ambient in AMBIENTS]
    names = days[0][0]
    rows = {(fault, size): None for _, _, solved, *_ in days for fault in solved for size in SEVERITIES}
    nothing = [np.nan] * len(names)
    values = [
        [sound, *(dict(solved.get(fault, ())).get(size, nothing) for fault, size in rows)]
        for _, sound, solved, *_ in days
    ]
    return {
        f"{name}/refrigerant": np.array(spec.refrigerant),
        f"{name}/names": np.array(names),
        f"{name}/faults": np.array(["sound", *(fault for fault, _ in rows)]),
        f"{name}/severities": np.array([0.0, *(size for _, size in rows)], dtype=np.float32),
        f"{name}/values": np.array(values, dtype=np.float32),
        f"{name}/scatter": np.array([together(scatter) for _, _, _, scatter in days], dtype=np.float32),
    }


def main():
    found = {}
    with ProcessPoolExecutor(max_workers=2) as pool:
        for name, one in zip(vehicle_names(), pool.map(kept, vehicle_names()), strict=True):
            found |= one
            print(name, one[f"{name}/values"].shape, file=sys.stderr)
    np.savez_compressed(FILE, **found)


if __name__ == "__main__":
    main()
