"""Properties along a condenser, from a few exact states: an exact state at every step would cost ten times as much."""

import functools
from bisect import bisect_right

from thermo_kit.substances import Refrigerant

HIGHEST_REDUCED_PRESSURE = 0.95


class SinglePhaseLine:
    """Vapour or liquid at one pressure, told by how far its enthalpy is from saturation.

    At another pressure nearby `offset` says how much farther that pressure's own saturation lies.
    """

    def __init__(self, refrigerant, p, saturation_temperature, quality, farthest, steps):
        edge = refrigerant.at(p=p, x=quality)
        first = refrigerant.saturation(saturation_temperature)
        kind = "vapour" if quality == 1.0 else "liquid"
        names = ("specific_heat", "viscosity", "conductivity")
        rows = [(0.0, 0.0, edge.rho, *(getattr(first, f"{kind}_{name}") for name in names))]
        for i in range(1, steps + 1):
            T = saturation_temperature + (farthest - saturation_temperature) * i / steps
            state, transport = refrigerant.at(p=p, T=T), refrigerant.transport(p=p, T=T)
            rows.append(
                (abs(state.h - edge.h), abs(T - saturation_temperature), state.rho,
                 transport.specific_heat, transport.viscosity, transport.conductivity)
            )  # fmt: skip
        self._excess = [row[0] for row in rows]
        self._rows = rows

    def at(self, excess, offset=0.0):
        """Return (temperature distance from saturation, density, specific heat, viscosity, conductivity)."""
        values = self._at(excess + offset)
        return (values[0] - self._at(offset)[0], *values[1:]) if offset else values

    def _at(self, excess):
        index = min(max(bisect_right(self._excess, excess) - 1, 0), len(self._rows) - 2)
        a, b = self._rows[index], self._rows[index + 1]
        span = b[0] - a[0]
        w = (excess - a[0]) / span
        # Hermite's cubic with the exact slopes 1/cp, so that a handful of exact states is enough.
        slope_a, slope_b = span / a[3], span / b[3]
        if 0.0 <= w <= 1.0:
            u = 1.0 - w
            distance = a[1] * u * u * (1.0 + 2.0 * w) + slope_a * w * u * u
            distance += b[1] * w * w * (3.0 - 2.0 * w) - slope_b * w * w * u
        elif w > 1.0:
            distance = b[1] + (w - 1.0) * slope_b
        else:
            distance = a[1] + w * slope_a
        v = min(max(w, 0.0), 1.0)
        return (distance, a[2] + v * (b[2] - a[2]), a[3] + v * (b[3] - a[3]),
                a[4] + v * (b[4] - a[4]), a[5] + v * (b[5] - a[5]))  # fmt: skip


@functools.lru_cache(maxsize=512)
def single_phase_lines(name, p, inlet_temperature, air_temperature):
    """Return (vapour line up to the inlet, liquid line down to the air) at the inlet pressure."""
    refrigerant = Refrigerant(name)
    saturation_temperature = refrigerant.dew_temperature(p)
    top = max(inlet_temperature, saturation_temperature + 1.0)
    vapour = SinglePhaseLine(refrigerant, p, saturation_temperature, 1.0, top, 4)
    liquid = SinglePhaseLine(refrigerant, p, saturation_temperature, 0.0, air_temperature - 1.0, 3)
    return vapour, liquid
