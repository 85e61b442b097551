"""Coolants: water and glycol mixtures, at a point and as a table that is quick to read."""

import functools
from dataclasses import dataclass

import numpy as np

from thermo_kit.errors import OutOfRangeError, UnknownNameError
from thermo_kit.substances.engine import coolprop, kept_state
from thermo_kit.units import Amount, Said, within_ranges

WATER_DENSITY_20C = 998.2
# kind: (CoolProp name by mass, by volume, density of the pure glycol at 20 °C [kg/m³])
_GLYCOLS = {"ethylene glycol": ("MEG", "AEG", 1113.0), "propylene glycol": ("MPG", "APG", 1036.0)}
COOLANT_KINDS = ("water", *_GLYCOLS)
"""The coolants of the workbook."""

HIGHEST_MASS_FRACTION = 0.60
HIGHEST_TEMPERATURE = 373.15
LOOP_PRESSURE = 2.0e5


class Coolant:
    """A coolant of known concentration, with its properties as functions of temperature.

    Parameters
    ----------
    kind : str. "water", "ethylene glycol" or "propylene glycol".
    mass_fraction : float, [kg/kg]. Share of glycol by mass, 0 to 0.60.
    volume_fraction : float, [m³/m³]
        Share of glycol by volume, both measured at 20 °C before mixing; give one of the two.

    Raises
    ------
    UnknownNameError. If the kind is not in the workbook.
    OutOfRangeError. If the concentration is outside the data, or a temperature outside the freezing point to 373.15 K
        (ice: down to the freezing point of the 60 % mixture).

    Notes: Inhibited coolants differ from pure glycol and water by their additives; the label of the product and the
        vehicle maker's sheet come first. Properties at 2 bar absolute.

    References: Melinder, Properties of Secondary Working Fluids for Indirect Systems, IIR 2010, and the ASHRAE Handbook
        - Fundamentals tables of secondary coolants, both as carried by CoolProp. Water: IAPWS-95.

    Examples
    --------
    >>> mixture = Coolant("ethylene glycol", mass_fraction=0.30)
    >>> round(mixture.freezing_point - 273.15, 1), mixture.ice_fraction(mixture.freezing_point + 1)
    (-14.0, 0.0)
    """

    def __init__(self, kind, *, mass_fraction=None, volume_fraction=None):
        if kind not in COOLANT_KINDS:
            told = "is not in this workbook"
            raise UnknownNameError.about("coolant", repr(kind), told, "use one of " + ", ".join(COOLANT_KINDS))
        self.kind = kind
        if kind == "water":
            shares, advice = (mass_fraction, volume_fraction), "water takes none: leave it out"
            within_ranges(*(("glycol share", one, 0.0, 1.0, "ratio", advice) for one in shares if one is not None))
            self.mass_fraction = self.volume_fraction = 0.0
        elif (mass_fraction is None) == (volume_fraction is None):
            advice = "give mass_fraction or volume_fraction"
            raise OutOfRangeError.about("coolant", "concentration", "is needed once", advice)
        else:
            density = _GLYCOLS[kind][2]
            if volume_fraction is not None:
                mass_fraction = _mass_from_volume(volume_fraction, density)
            advice = "a share from 0 to 0.60 by mass: 30 % is 0.30"
            within_ranges(("glycol share by mass", mass_fraction, 0.0, HIGHEST_MASS_FRACTION, "ratio", advice))
            self.mass_fraction = float(mass_fraction)
            self.volume_fraction = _volume_from_mass(self.mass_fraction, density)
        self.freezing_point = float(_liquidus(kind)[0](self.mass_fraction)) if kind != "water" else 273.15

    def __repr__(self):
        if self.kind == "water":
            return "Coolant('water')"
        return f"Coolant({self.kind!r}, mass_fraction={self.mass_fraction:.4f})"

    def density(self, T):
        """Return the density of the liquid; T [K] → [kg/m³]."""
        return self._liquid(T).rhomass()

    def specific_heat(self, T):
        """Return the specific heat of the liquid at constant pressure; T [K] → [J/(kg K)]."""
        return self._liquid(T).cpmass()

    def viscosity(self, T):
        """Return the dynamic viscosity of the liquid; T [K] → [Pa s]."""
        return self._liquid(T).viscosity()

    def conductivity(self, T):
        """Return the thermal conductivity of the liquid; T [K] → [W/(m K)]."""
        return self._liquid(T).conductivity()

    def ice_fraction(self, T):
        """Return the share of ice by mass below the freezing point; water is all ice there; T [K] → [kg/kg].

        Notes: Lever rule: ice is pure water, so the glycol stays in the remaining liquid, whose concentration is the
            one that freezes at T. Holds in equilibrium; undercooled liquid is not covered.

        References: Lever rule (any textbook of physical chemistry) on the liquidus of the class docstring.
        """
        concentration = None if self.kind == "water" else _liquidus(self.kind)[1]
        lowest = 0.0 if concentration is None else float(concentration.x[0])
        advice = "colder or hotter than the data reach"
        within_ranges(("slush temperature", T, min(lowest, self.freezing_point), 373.15, "temperature", advice))
        if self.freezing_point <= T:
            return 0.0
        if concentration is None:
            return 1.0
        return max(0.0, float(1.0 - self.mass_fraction / concentration(T)))

    def liquid_properties(self, T):
        """Return density, specific heat, viscosity and conductivity [SI] at the cost of one; T [K]."""
        state = self._liquid(T)
        return state.rhomass(), state.cpmass(), state.viscosity(), state.conductivity()

    def _liquid(self, T):
        if not self.freezing_point - 1e-9 <= T <= HIGHEST_TEMPERATURE:
            ends = (Amount(end, "temperature") for end in (self.freezing_point, HIGHEST_TEMPERATURE))
            between = Said("is outside {} (freezing point of this mixture) to {}", *ends)
            advice = "check the number, its unit and the concentration"
            raise OutOfRangeError.about(f"{self.kind} temperature", Amount(T, "temperature"), between, advice)
        if self.kind == "water":
            state = kept_state("HEOS", "Water")
            # The equation of state stops a hair above the ice line; 1 mK changes no digit that is used.
            state.update(coolprop().PT_INPUTS, LOOP_PRESSURE, max(T, 273.151))
            return state
        state = kept_state("INCOMP", _GLYCOLS[self.kind][0])
        state.set_mass_fractions([self.mass_fraction])
        # Between its nodes the freezing curve may lie a few millikelvin below this equation's own limit.
        state.update(coolprop().PT_INPUTS, LOOP_PRESSURE, max(T, state.keyed_output(coolprop().iT_freeze) + 1e-6))
        return state


def _mass_from_volume(share, glycol_density):
    return share * glycol_density / (share * glycol_density + (1.0 - share) * WATER_DENSITY_20C)


def _volume_from_mass(share, glycol_density):
    return (share / glycol_density) / (share / glycol_density + (1.0 - share) / WATER_DENSITY_20C)


@functools.cache
def _liquidus(kind):
    """Return (freezing point of a mass fraction, mass fraction that freezes at a temperature).

    Two published fits differ by up to 3 K near 50 %; the warmer of both is taken, the safe side for freeze
    protection. A shape-preserving curve through 2.5 % steps keeps it smooth where they cross.
    """
    from scipy.interpolate import PchipInterpolator
    from scipy.optimize import brentq

    by_mass, by_volume, glycol_density = _GLYCOLS[kind]
    engine = coolprop()
    shares, points = [0.0], [273.15]
    for step in range(1, 25):
        share = 0.025 * step
        state = kept_state("INCOMP", by_mass)
        state.set_mass_fractions([share])
        point = state.keyed_output(engine.iT_freeze)
        volume = _volume_from_mass(share, glycol_density)
        if 0.10 <= volume <= 0.60:
            state = kept_state("INCOMP", by_volume)
            state.set_volu_fractions([volume])
            point = max(point, state.keyed_output(engine.iT_freeze))
        shares.append(share)
        points.append(point)
    share_at = PchipInterpolator(points[::-1], shares[::-1])

    def point_of(share):
        # Solved on the same curve, so that ice begins exactly at the freezing point.
        return brentq(lambda T: share_at(T) - share, points[-1] - 1e-6, points[0] + 1e-6, xtol=1e-10)

    return point_of, share_at


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
