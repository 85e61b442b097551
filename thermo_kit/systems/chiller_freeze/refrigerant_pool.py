"""The boiling refrigerant in the chiller: one pool of liquid and vapour at one pressure."""

import bisect
import functools
from dataclasses import dataclass

import numpy as np

from thermo_kit.substances import Refrigerant
from thermo_kit.substances.saturation_table import COLDEST, saturation_table

__all__ = ["COLDEST", "PoolTable", "pool_table"]
_WARMEST = 323.15
_STEP = 0.25


@dataclass(frozen=True, eq=False)
class PoolTable:
    """Saturation of a refrigerant on a row of temperatures, in the form the pool's balance needs; arrays in SI."""

    temperature: np.ndarray
    pressure: np.ndarray
    vapour_density: np.ndarray
    liquid_density: np.ndarray
    vapour_enthalpy: np.ndarray
    liquid_enthalpy: np.ndarray
    per_mass: np.ndarray
    per_volume: np.ndarray
    vapour_from_volume: np.ndarray
    vapour_from_mass: np.ndarray

    def temperature_of(self, mass, energy, volume):
        """Return the temperature of a pool of known mass and internal energy in a fixed volume.

        mass [kg], energy [J], volume [m³] → [K].
        """
        spare = self.per_mass[:, None] * mass + self.per_volume[:, None] * volume - energy
        index = np.minimum(np.maximum((spare < 0.0).sum(axis=0), 1), len(self.temperature) - 1)
        column = np.arange(spare.shape[1])
        low, high = spare[index - 1, column], spare[index, column]
        return self.temperature[index - 1] - _STEP * low / (high - low)

    def energy_of(self, mass, T, volume):
        """Return the internal energy of a pool at a temperature; mass [kg], T [K], volume [m³] → [J]."""
        return self.read("per_mass", T) * mass + self.read("per_volume", T) * volume

    def read(self, name, T):
        """Return one column at a temperature; T [K] → [SI]."""
        return np.interp(T, self.temperature, getattr(self, name))

    @functools.cached_property
    def rows(self):
        """The table as plain numbers, which a search through a single pool reads faster than arrays; → [SI]."""
        names = ("per_mass", "per_volume", "pressure", "vapour_density", "vapour_enthalpy", "vapour_from_volume",
                 "vapour_from_mass")  # fmt: skip
        return list(zip(*(getattr(self, name).tolist() for name in names), strict=True))

    def pool(self, mass, energy, volume):
        """Return one pool of known mass and internal energy in a fixed volume.

        mass [kg], energy [J], volume [m³] → [SI].
        """

        def spare(row):
            return row[0] * mass + row[1] * volume - energy

        rows = self.rows
        index = min(max(bisect.bisect_left(rows, 0.0, key=spare), 1), len(rows) - 1) - 1
        below, above = rows[index], rows[index + 1]
        low, high = spare(below), spare(above)
        share = low / (low - high)
        T = self.coldest + _STEP * (index + share)
        share = min(max(share, 0.0), 1.0)
        pressure, density, enthalpy, from_volume, from_mass = (
            a + share * (b - a) for a, b in zip(below[2:], above[2:], strict=True)
        )
        return index, share, T, pressure, density, enthalpy, mass - from_volume * volume - from_mass * mass

    @functools.cached_property
    def coldest(self):
        """Temperature of the first row [K]."""
        return float(self.temperature[0])


@functools.lru_cache(maxsize=8)
def pool_table(refrigerant):
    """Return the pool table of a refrigerant, read once.

    References: Equations of state named at `thermo_kit.substances.Refrigerant`.
    """
    fluid = Refrigerant(refrigerant)
    warmest = min(_WARMEST, fluid.critical_temperature - 3.0)
    rows = [point for point in saturation_table(refrigerant).points if warmest > point.T]
    read = np.array([row.T for row in rows])
    # Finer rows through a spline: at each corner of a coarse table the integrator would shorten its steps.
    T = np.arange(read[0], read[-1] + 1e-9, _STEP)
    names = ("liquid_density", "vapour_density", "liquid_enthalpy", "vapour_enthalpy")
    liquid, vapour, h_liquid, h_vapour = (_fine(T, read, [getattr(row, name) for row in rows]) for name in names)
    pressure = np.exp(_fine(T, read, np.log([row.p for row in rows])))
    u_liquid, u_vapour = h_liquid - pressure / liquid, h_vapour - pressure / vapour
    swelling = 1.0 / vapour - 1.0 / liquid
    per_volume = (u_vapour - u_liquid) / swelling
    return PoolTable(
        T, pressure, vapour, liquid, h_vapour, h_liquid, u_liquid - per_volume / liquid, per_volume,
        1.0 / swelling, -1.0 / liquid / swelling,
    )  # fmt: skip


def _fine(T, read, values):
    from scipy.interpolate import CubicSpline

    return CubicSpline(read, values)(T)
