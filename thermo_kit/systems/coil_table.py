"""A coil read from a table that fills itself: a cabin that cools asks for nearly the same air many times."""

import functools
import math
from dataclasses import dataclass, replace

from thermo_kit.components.evaporator import EvaporatorConditions, EvaporatorSpec, solve_evaporator
from thermo_kit.errors import ThermoKitError
from thermo_kit.substances.moist_air import ZERO, air_temperature, humidity_at, moist_enthalpy

STEPS = 8
_SPACING = 2.0
_HUMIDITY_ROWS = 36


@dataclass(frozen=True, slots=True)
class Behind:
    """What a coil gives for the air in front of it.

    h: enthalpy of the vent air [J/kg dry air]; humidity_ratio: of the vent air, with droplets [kg/kg];
    T: its temperature [K]; dry_air_flow [kg/s];
    cooling: taken by the refrigerant [W]; condensate: water that drips off [kg/s];
    drained: heat that this water carries off, zero at 0 °C [W]
    """

    h: float
    humidity_ratio: float
    T: float
    dry_air_flow: float
    cooling: float
    condensate: float
    drained: float


class CoilTable:
    """One coil at one blower speed and one evaporating temperature, for any air in front of it."""

    def __init__(self, coil: EvaporatorSpec, conditions: EvaporatorConditions):
        self._coil, self._conditions, self._nodes = coil, conditions, {}

    def solved(self, T, relative_humidity):
        """Solve the coil for one air; T [K], relative_humidity [-]."""
        front = replace(self._conditions, air_temperature=T, relative_humidity=relative_humidity)
        result = solve_evaporator(self._coil, front, steps=STEPS)
        return Behind(
            result.vent.h,
            result.vent.humidity_ratio,
            result.vent.T,
            result.dry_air_flow,
            result.cooling_capacity,
            result.condensate,
            result.drained_heat,
        )

    def read(self, T, relative_humidity):
        """Read the coil for one air between its four neighbours in the table; T [K], relative_humidity [-].

        Notes: Flow, cooling, condensate and its heat are read; vent temperature and humidity follow from the balances,
            so that reading between neighbours neither makes nor loses heat or water. At the border of what the coil can
            be asked, where a neighbour has no solution, the coil is solved itself.
        """
        # Rows lie closer in dry air, where hot air turns from leaving the fins dry to wetting them.
        across, along = (T - ZERO) / _SPACING, math.sqrt(relative_humidity) * _HUMIDITY_ROWS
        column, row = math.floor(across), min(math.floor(along), _HUMIDITY_ROWS - 1)
        try:
            corners = [self._node(column + i, row + j) for i, j in ((0, 0), (1, 0), (0, 1), (1, 1))]
        except ThermoKitError:
            return self.solved(T, relative_humidity)
        low, high = (((row + i) / _HUMIDITY_ROWS) ** 2 for i in (0, 1))
        x, y = across - column, (relative_humidity - low) / (high - low)
        shares = ((1.0 - x) * (1.0 - y), x * (1.0 - y), (1.0 - x) * y, x * y)
        a, b, c, d = shares
        p, q, r, s = corners
        flow, cooling, condensate, drained = (
            a * k + b * m + c * n + d * o for k, m, n, o in zip(p, q, r, s, strict=True)
        )
        p = self._conditions.air_pressure
        w = humidity_at(T, relative_humidity, p)
        h, behind = moist_enthalpy(T, w) - (cooling + drained) / flow, w - condensate / flow
        return Behind(h, behind, air_temperature(h, behind, p), flow, cooling, condensate, drained)

    def _node(self, column, row):
        node = self._nodes.get((column, row))
        if node is None:
            here = self.solved(ZERO + column * _SPACING, (row / _HUMIDITY_ROWS) ** 2)
            node = (here.dry_air_flow, here.cooling, here.condensate, here.drained)
            self._nodes[column, row] = node
        return node


@functools.lru_cache(maxsize=64)
def _kept(coil, conditions):
    return CoilTable(coil, conditions)


def coil_table(coil, conditions):
    """Return the table of a coil, kept from the last time it was asked for."""
    return _kept(coil, replace(conditions, air_temperature=300.0, relative_humidity=0.5))
