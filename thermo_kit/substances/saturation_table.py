"""Saturation of a refrigerant as a table: an exact state at every step of a march would cost ten times as much."""

import functools
import math
from bisect import bisect_right
from dataclasses import dataclass

from thermo_kit.substances.refrigerant import Refrigerant

STEP = 1.0
COLDEST = 225.15


@dataclass(frozen=True, slots=True)
class SaturatedPoint:
    """Saturated liquid and vapour at one pressure; names as in `Saturation`."""

    p: float
    T: float
    liquid_density: float
    vapour_density: float
    liquid_enthalpy: float
    vapour_enthalpy: float
    liquid_specific_heat: float
    liquid_viscosity: float
    vapour_viscosity: float
    liquid_conductivity: float
    surface_tension: float


_NAMES = tuple(SaturatedPoint.__dataclass_fields__)


class SaturationTable:
    """Saturation of one refrigerant every kelvin, from −48 °C to 1 K below critical.

    points: exact `Saturation` at each kelvin; values between are straight lines over ln p.
    """

    def __init__(self, refrigerant):
        top = refrigerant.critical_temperature - 1.0
        count = int((top - COLDEST) / STEP)
        self.points = tuple(refrigerant.saturation(COLDEST + STEP * i) for i in range(count + 1))
        self._log_p = [math.log(point.p) for point in self.points]
        self._rows = [tuple(getattr(point, name) for name in _NAMES[1:]) for point in self.points]

    def at(self, p):
        """Return saturated liquid and vapour at a pressure inside the table; p [Pa]."""
        log_p = math.log(p)
        index = min(max(bisect_right(self._log_p, log_p) - 1, 0), len(self._rows) - 2)
        low, high = self._log_p[index], self._log_p[index + 1]
        w = (log_p - low) / (high - low)
        rows = zip(self._rows[index], self._rows[index + 1], strict=True)
        return SaturatedPoint(p, *[a + w * (b - a) for a, b in rows])


@functools.cache
def saturation_table(name):
    """Return the table of a refrigerant, made once (about 1 ms)."""
    return SaturationTable(Refrigerant(name))
