"""Coolant that freezes: temperature, ice and conductivity from enthalpy, and heat crossing a gap that freezes."""

import functools
import math
from dataclasses import dataclass

import numpy as np

from thermo_kit.substances import Coolant
from thermo_kit.substances.coolant_table import coolant_table

LATENT_HEAT = 333.4e3
ICE_SPECIFIC_HEAT = 2.1e3
ICE_CONDUCTIVITY = 2.2
ICE_EXPANSION = 0.0907
_LOWEST_SLUSH = 226.0
# Water melts at one temperature; a narrow ramp keeps enthalpy and temperature one-to-one.
_WATER_RAMP = 0.10
# A layer's share of ice over which its wall side turns from liquid to ice, and at the end its core side.
_SWITCH = 0.10


@dataclass(frozen=True, eq=False)
class SlushCurve:
    """A freezing liquid along its enthalpy; arrays rise with enthalpy, which is 0 for liquid at the freezing point.

    enthalpy [J/kg]; temperature [K]; ice [kg/kg]; density [kg/m³], held constant so that energy stays exact (the
    room that ice needs is treated apart); wallward and coreward [W/(m K)]: conductivity between the middle of a
    layer and its side towards the wall or the core. Slush conducts alike on both sides; water freezes with a front,
    so that ice lies on the wall side of a layer and liquid on the other
    """

    freezing_point: float
    density: float
    enthalpy: np.ndarray
    temperature: np.ndarray
    ice: np.ndarray
    wallward: np.ndarray
    coreward: np.ndarray

    def temperature_at(self, enthalpy):
        """Return the temperature at an enthalpy; enthalpy [J/kg] → [K]."""
        return np.interp(enthalpy, self.enthalpy, self.temperature)

    def ice_at(self, enthalpy):
        """Return the share of ice at an enthalpy; enthalpy [J/kg] → [kg/kg]."""
        return np.interp(enthalpy, self.enthalpy, self.ice)

    def conductivities_at(self, enthalpy):
        """Return the conductivity towards the wall and towards the core; enthalpy [J/kg] → [W/(m K)]."""
        wallward = np.interp(enthalpy, self.enthalpy, self.wallward)
        if self.coreward is self.wallward:
            return wallward, wallward
        return wallward, np.interp(enthalpy, self.enthalpy, self.coreward)

    def enthalpy_at(self, T):
        """Return the enthalpy at a temperature; T [K] → [J/kg]."""
        return np.interp(T, self.temperature, self.enthalpy)


def front_branch(colder, liquid_conductivity, solid_conductivity, latent_heat, solid_specific_heat, ramp):
    """Return enthalpy, temperature below freezing, ice and both conductivities of a liquid that freezes at once."""
    share = np.array([1.0, 1.0 - _SWITCH, _SWITCH])
    solid, liquid = solid_conductivity, liquid_conductivity
    deep = np.ones_like(colder)
    return (
        np.append(-latent_heat + solid_specific_heat * (colder + ramp), -latent_heat * share),
        np.append(colder, -ramp * share),
        np.append(deep, share),
        np.append(deep * solid, (solid, solid, solid)),
        np.append(deep * solid, (solid, liquid, liquid)),
    )


@functools.lru_cache(maxsize=512)
def slush_curve(kind, mass_fraction):
    """Return how a coolant freezes: slush along its liquidus, or solid for water; mass_fraction [kg/kg].

    Notes: Equilibrium: no undercooling, which in reality delays the first ice by an uncertain while, and then freezes
        at once. Heat of fusion held at 333.4 kJ/kg, heat of mixing left out. Below the coldest data no more ice forms.

    References: Lever rule on the published liquidus (`thermo_kit.substances.Coolant.ice_fraction`). Heat of fusion and
        specific heat of ice: IAPWS R10-06(2009). Conductivity of ice: handbooks, 2.14 to 2.25 W/(m K).
    """
    table = coolant_table(kind, mass_fraction)
    liquid_heat = float(table.heats[0])
    liquid = float(table.conductivities[0])
    if kind == "water" or mass_fraction < 1e-4:
        enthalpy, below, ice, wallward, coreward = front_branch(
            np.array([-80.0]), liquid, ICE_CONDUCTIVITY, LATENT_HEAT, ICE_SPECIFIC_HEAT, _WATER_RAMP
        )
    else:
        below, ice, enthalpy = _glycol_branch(Coolant(kind, mass_fraction=mass_fraction), liquid_heat)
        wallward = coreward = (1.0 - ice) * liquid + ice * ICE_CONDUCTIVITY
    towards_wall = np.concatenate((wallward, table.conductivities))
    one_kind = coreward is wallward
    return SlushCurve(
        table.freezing_point,
        float(table.densities[0]),
        np.concatenate((enthalpy, table.enthalpies)),
        np.concatenate((table.freezing_point + below, table.temperature)),
        np.concatenate((ice, np.zeros_like(table.temperature))),
        towards_wall,
        towards_wall if one_kind else np.concatenate((coreward, table.conductivities)),
    )


def _glycol_branch(coolant, liquid_heat):
    # Ice comes fastest just below the freezing point, so the steps are finest there.
    depth = coolant.freezing_point - _LOWEST_SLUSH
    below = -depth * np.linspace(1.0, 0.0, 48, endpoint=False) ** 2
    ice = np.array([coolant.ice_fraction(coolant.freezing_point + step) for step in below])
    steps, shares = np.append(below, 0.0), np.append(ice, 0.0)
    mean_ice = 0.5 * (shares[1:] + shares[:-1])
    heat = ((1.0 - mean_ice) * liquid_heat + mean_ice * ICE_SPECIFIC_HEAT) * np.diff(steps)
    heat += LATENT_HEAT * (shares[:-1] - shares[1:])
    enthalpy = -np.cumsum(heat[::-1])[::-1]
    coldest = below[0] - 40.0
    tail = enthalpy[0] - 40.0 * ((1.0 - ice[0]) * liquid_heat + ice[0] * ICE_SPECIFIC_HEAT)
    return np.append(coldest, below), np.append(ice[0], ice), np.append(tail, enthalpy)


def slush_thickening(ice):
    """Return how many times thicker slush flows than its liquid; ice [-] → [-].

    References: Thomas, J. Colloid Science 20 (1965) 267-277 (coefficients from memory), as used for ice slurries.
    """
    return 1.0 + 2.5 * ice + 10.05 * ice**2 + 0.00273 * math.exp(16.6 * ice)


def gap_heat(temperature, wallward, coreward, wall_temperature, *, half_gap, wall_resistance):
    """Return the heat that flows from the wall and between the layers of half a gap.

    temperature [K], wallward [W/(m K)], coreward [W/(m K)], wall_temperature [K], half_gap [m], wall_resistance [m²
    K/W] → [W/m²].

    References: Enthalpy method on a fixed grid: Alexiades & Solomon, Mathematical Modeling of Melting and Freezing
        Processes, 1993.
    """
    width = half_gap / temperature.shape[0]
    from_wall = (wall_temperature - temperature[0]) / (wall_resistance + 0.5 * width / wallward[0])
    resistance = 0.5 * width * (1.0 / coreward[:-1] + 1.0 / wallward[1:])
    inward = (temperature[:-1] - temperature[1:]) / resistance
    gained = np.empty_like(temperature)
    gained[0] = from_wall
    gained[1:] = inward
    gained[:-1] -= inward
    return gained, from_wall
