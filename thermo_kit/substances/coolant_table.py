"""The coolant table of the package: properties read once, then looked up at the speed of an array."""

import functools
from dataclasses import dataclass

import numpy as np

from thermo_kit.substances.coolant import HIGHEST_TEMPERATURE, Coolant

_READ_STEP = 3.0
_STEP = 0.5


@dataclass(frozen=True, eq=False)
class CoolantTable:
    """A coolant along its temperature, from the freezing point to 100 °C; arrays in SI, held at their ends outside.

    enthalpy counts from liquid at the freezing point; below it, temperature and enthalpy go on straight
    """

    freezing_point: float
    temperature: np.ndarray
    enthalpies: np.ndarray
    densities: np.ndarray
    heats: np.ndarray
    viscosities: np.ndarray
    conductivities: np.ndarray

    def density(self, T):
        """Return the density; T [K] → [kg/m³]."""
        return np.interp(T, self.temperature, self.densities)

    def specific_heat(self, T):
        """Return the specific heat; T [K] → [J/(kg K)]."""
        return np.interp(T, self.temperature, self.heats)

    def viscosity(self, T):
        """Return the dynamic viscosity; T [K] → [Pa s]."""
        return np.interp(T, self.temperature, self.viscosities)

    def conductivity(self, T):
        """Return the thermal conductivity; T [K] → [W/(m K)]."""
        return np.interp(T, self.temperature, self.conductivities)

    def prandtl(self, T):
        """Return the Prandtl number; T [K] → [-]."""
        return self.specific_heat(T) * self.viscosity(T) / self.conductivity(T)

    def enthalpy_at(self, T):
        """Return the specific enthalpy above liquid at the freezing point; T [K] → [J/kg]."""
        below = np.minimum(T - self.freezing_point, 0.0) * self.heats[0]
        return np.interp(T, self.temperature, self.enthalpies) + below

    def temperature_at(self, enthalpy):
        """Return the temperature that belongs to an enthalpy; enthalpy [J/kg] → [K]."""
        below = np.minimum(enthalpy, 0.0) / self.heats[0]
        return np.interp(enthalpy, self.enthalpies, self.temperature) + below


@functools.lru_cache(maxsize=512)
def coolant_table(kind, mass_fraction):
    """Return the table of a coolant, read once; mass_fraction [kg/kg], of no account for water.

    References: The sources named at `thermo_kit.substances.Coolant`.
    """
    from scipy.interpolate import CubicSpline

    coolant = Coolant(kind, mass_fraction=mass_fraction)
    span = HIGHEST_TEMPERATURE - coolant.freezing_point
    read = np.linspace(coolant.freezing_point, HIGHEST_TEMPERATURE, round(span / _READ_STEP) + 1)
    # Finer rows through a spline: a call of the library costs as much as a hundred of them.
    T = np.linspace(coolant.freezing_point, HIGHEST_TEMPERATURE, round(span / _STEP) + 1)
    rows = [coolant.liquid_properties(t) for t in read]
    density, heat, viscosity, conductivity = np.exp(CubicSpline(read, np.log(rows))(T)).T
    enthalpy = np.concatenate(([0.0], np.cumsum(0.5 * (heat[1:] + heat[:-1]) * np.diff(T))))
    return CoolantTable(coolant.freezing_point, T, enthalpy, density, heat, viscosity, conductivity)
