"""Saturation of a refrigerant as a table: an exact state at every step of a march would cost ten times as much."""

import functools
import math
from bisect import bisect_right

from thermo_kit.substances.refrigerant import Refrigerant
from thermo_kit.substances.states import Saturation

STEP = 1.0
COLDEST = 225.15


class SaturationTable:
    """Saturation of one refrigerant every kelvin, from −48 °C to 1 K below critical.

    points: exact `Saturation` at each kelvin; values between are straight lines over ln p.
    """

    def __init__(self, refrigerant):
        top = refrigerant.critical_temperature - 1.0
        count = int((top - COLDEST) / STEP)
        self.points = tuple(refrigerant.saturation(COLDEST + STEP * i) for i in range(count + 1))
        self._log_p = [math.log(point.p) for point in self.points]

    def at(self, p):
        """Return saturated liquid and vapour at a pressure inside the table; p [Pa]."""
        log_p = math.log(p)
        index = min(max(bisect_right(self._log_p, log_p) - 1, 0), len(self.points) - 2)
        low, high = self._log_p[index], self._log_p[index + 1]
        w = (log_p - low) / (high - low)
        T, _, *rest = [a + w * (b - a) for a, b in zip(self.points[index], self.points[index + 1], strict=True)]
        return Saturation(T, p, *rest)


@functools.cache
def saturation_table(name):
    """Return the table of a refrigerant, made once (about 1 ms)."""
    return SaturationTable(Refrigerant(name))
