"""Coolant properties on a row of temperatures: read once, then looked up at the speed of an array."""

import functools
from dataclasses import dataclass

import numpy as np

from thermo_kit.substances import Coolant

HIGHEST_COOLANT_TEMPERATURE = 333.15


@dataclass(frozen=True, eq=False)
class CoolantTable:
    """Coolant properties on a row of temperatures, from the freezing point up; arrays in SI.

    enthalpy counts from liquid at the freezing point; below it, temperature and enthalpy go on straight
    """

    freezing_point: float
    temperature: np.ndarray
    enthalpy: np.ndarray
    density: np.ndarray
    specific_heat: np.ndarray
    viscosity: np.ndarray
    conductivity: np.ndarray

    def at(self, name, T):
        """Return one property; T [K] → [SI]."""
        return np.interp(T, self.temperature, getattr(self, name))

    def enthalpy_at(self, T):
        """Return the specific enthalpy above liquid at the freezing point; T [K] → [J/kg]."""
        below = np.minimum(T - self.freezing_point, 0.0) * self.specific_heat[0]
        return np.interp(T, self.temperature, self.enthalpy) + below

    def temperature_at(self, enthalpy):
        """Return the temperature that belongs to an enthalpy; enthalpy [J/kg] → [K]."""
        below = np.minimum(enthalpy, 0.0) / self.specific_heat[0]
        return np.interp(enthalpy, self.enthalpy, self.temperature) + below


@functools.lru_cache(maxsize=512)
def coolant_table(kind, mass_fraction):
    """Return the properties of a coolant from its freezing point to 60 °C, read once; mass_fraction [kg/kg].

    References
    ----------
    The sources named at `thermo_kit.substances.Coolant`.
    """
    coolant = Coolant(kind) if kind == "water" else Coolant(kind, mass_fraction=mass_fraction)
    T = np.linspace(coolant.freezing_point, HIGHEST_COOLANT_TEMPERATURE, 33)
    names = ("density", "specific_heat", "viscosity", "conductivity")
    columns = {name: np.array([getattr(coolant, name)(t) for t in T]) for name in names}
    cp = columns["specific_heat"]
    enthalpy = np.concatenate(([0.0], np.cumsum(0.5 * (cp[1:] + cp[:-1]) * np.diff(T))))
    return CoolantTable(coolant.freezing_point, T, enthalpy, **columns)
