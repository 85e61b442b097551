"""Properties of one coolant as short tables, since a network asks for them thousands of times."""

import functools
from dataclasses import dataclass

import numpy as np

from thermo_kit.substances import Coolant

HOTTEST = 373.15


@dataclass(frozen=True, eq=False)
class LiquidTable:
    """Density, specific heat, logarithm of viscosity over temperature, from the freezing point to 100 °C."""

    coolant: Coolant
    temperature: np.ndarray
    density_values: np.ndarray
    heat_values: np.ndarray
    log_viscosity: np.ndarray

    def density(self, T):
        """Density [kg/m³] at temperatures [K]; held at its ends outside the data."""
        return np.interp(T, self.temperature, self.density_values)

    def specific_heat(self, T):
        """Specific heat [J/(kg K)] at temperatures [K]; held at its ends outside the data."""
        return np.interp(T, self.temperature, self.heat_values)

    def viscosity(self, T):
        """Dynamic viscosity [Pa s] at temperatures [K]; held at its ends outside the data."""
        return np.exp(np.interp(T, self.temperature, self.log_viscosity))


@functools.lru_cache(maxsize=64)
def liquid_table(kind, mass_fraction):
    """Return the tables of one coolant, computed once; mass_fraction [kg/kg].

    References
    ----------
    As `thermo_kit.substances.Coolant`.
    """
    coolant = Coolant(kind, mass_fraction=mass_fraction)
    count = int(HOTTEST - coolant.freezing_point) + 2
    temperature = np.linspace(coolant.freezing_point, HOTTEST, count)
    return LiquidTable(
        coolant,
        temperature,
        np.array([coolant.density(T) for T in temperature]),
        np.array([coolant.specific_heat(T) for T in temperature]),
        np.log([coolant.viscosity(T) for T in temperature]),
    )
