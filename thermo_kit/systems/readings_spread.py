"""How far the points of a cycle from readings may lie from where they are drawn."""

import math
from dataclasses import dataclass

from thermo_kit.substances import Refrigerant
from thermo_kit.systems.readings_states import MEASURED, accuracies_of, change_caused, either_side, states_of

_STATE_OF_POINT = {1: "one", 2: "two", 3: "three", 4: "three", 5: "three", 6: "six"}
_LOW_SIDE = (1, 5, 6)


@dataclass(frozen=True, slots=True)
class PointSpread:
    """Range of one numbered point: lowest and highest pressure [Pa] and enthalpy [J/kg]."""

    number: int
    p_low: float
    p_high: float
    h_low: float
    h_high: float


def spread_of_points(result):
    """Return the range in which each point of a cycle from readings lies, given the instruments' ±.

    Notes
    -----
    Pressure: the gauge's own ±. Enthalpy: root sum of squares of the changes that each instrument's ± causes.
    States beyond saturation are put onto the saturation line, as in `cycle_from_readings`.

    References
    ----------
    JCGM 100:2008 (GUM), section 5.1 (combining independent uncertainties).
    """
    readings = result.spec
    fluid = Refrigerant(readings.refrigerant)
    accuracies = accuracies_of(readings, fluid)
    squares = dict.fromkeys(("one", "two", "three", "six"), 0.0)
    found = states_of(readings, fluid)
    for name in MEASURED:
        if getattr(readings, name) is None:
            continue
        sides = either_side(lambda moved: states_of(moved, fluid), readings, name, accuracies[name])
        for key in squares:
            above, below = (None if side is None else getattr(side, key).h for side in sides)
            squares[key] += change_caused(getattr(found, key).h, above, below) ** 2
    spreads = []
    for point in result.points:
        gauge = "suction_pressure" if point.number in _LOW_SIDE else "discharge_pressure"
        p, h = point.state.p, point.state.h
        dp, dh = accuracies[gauge], math.sqrt(squares[_STATE_OF_POINT[point.number]])
        # On a logarithmic axis a range that reaches down to zero cannot be drawn: it ends at a tenth.
        spreads.append(PointSpread(point.number, max(p - dp, 0.1 * p), p + dp, h - dh, h + dh))
    return tuple(spreads)
