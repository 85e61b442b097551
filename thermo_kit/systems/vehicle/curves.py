"""What a vehicle shows as its charge grows, each answer the start of the next."""

import functools
from dataclasses import dataclass, replace

from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.systems.vehicle.solve import solve_vehicle


@dataclass(frozen=True, slots=True)
class ChargeCurve:
    """A vehicle over its charge: charges [kg]; results: one each, None where it cannot run; refused: words there."""

    charges: tuple
    results: tuple
    refused: tuple


@functools.lru_cache(maxsize=32)
def charge_curve(spec, conditions, low=0.5, high=1.4, points=19):
    """Return a vehicle solved from little to much charge.

    Parameters
    ----------
    spec : VehicleSpec. The vehicle; its charge is the label's.
    conditions : Conditions. The day.
    low, high : float, [-]. Ends of the curve, as shares of the label charge.
    points : int. How many.

    Returns: ChargeCurve. One result for each charge.

    Notes: The curve ends where a pressure switch would stop the compressor.

    References: As in `solve_vehicle`.
    """
    charges = tuple(spec.charge * (low + (high - low) * i / (points - 1)) for i in range(points))
    near, results, refused = None, [], []
    for charge in charges:
        try:
            near = solve_vehicle(replace(spec, charge=charge), conditions, near=near)
            results.append(near)
        except (NoSolutionError, OutOfRangeError) as error:
            results.append(None)
            refused.append(str(error))
            if near is not None:
                # What is too full at one charge is too full at every larger one.
                break
    results += [None] * (points - len(results))
    return ChargeCurve(charges, tuple(results), tuple(refused))
