"""A refrigerant at a point and along saturation: the one door to CoolProp's equations of state."""

import functools
import itertools
import math
from bisect import bisect_right
from typing import NamedTuple

from thermo_kit.errors import OutOfRangeError, Problem
from thermo_kit.substances.engine import coolprop, kept_state
from thermo_kit.substances.facts import facts_of
from thermo_kit.substances.names import ENGINE_NAMES, canonical_name
from thermo_kit.units import Amount, Said


class StatePoint(NamedTuple):
    """A refrigerant at one point.

    p: pressure, absolute [Pa]; T: temperature [K]; h: specific enthalpy [J/kg];
    s: specific entropy [J/(kg K)]; rho: density [kg/m³]; x: quality [0 to 1], None outside the two-phase dome;
    phase: "liquid", "two-phase", "vapour" or "supercritical"
    """

    p: float
    T: float
    h: float
    s: float
    rho: float
    x: float | None
    phase: str


class Saturation(NamedTuple):
    """Saturated liquid and vapour at one temperature, with what heat-transfer correlations ask for.

    T [K]; p [Pa]; liquid_density, vapour_density [kg/m³]; liquid_enthalpy, vapour_enthalpy [J/kg];
    liquid_specific_heat, vapour_specific_heat [J/(kg K)]; liquid_viscosity, vapour_viscosity [Pa s];
    liquid_conductivity, vapour_conductivity [W/(m K)]; surface_tension [N/m]
    """

    T: float
    p: float
    liquid_density: float
    vapour_density: float
    liquid_enthalpy: float
    vapour_enthalpy: float
    liquid_specific_heat: float
    vapour_specific_heat: float
    liquid_viscosity: float
    vapour_viscosity: float
    liquid_conductivity: float
    vapour_conductivity: float
    surface_tension: float


class Transport(NamedTuple):
    """Transport properties of liquid or vapour: specific_heat [J/(kg K)], viscosity [Pa s], conductivity [W/(m K)]."""

    specific_heat: float
    viscosity: float
    conductivity: float


_KIND_OF = {"p": "pressure", "T": "temperature", "h": "specific_enthalpy", "s": "specific_entropy", "rho": "density"}
_WORD_OF = {"p": "pressure", "T": "temperature", "h": "enthalpy", "s": "entropy", "rho": "density", "x": "quality"}


_IN_SI = "check the number and its unit; inside the package pressures are absolute pascal and temperatures kelvin"


def _shown(name, value):
    return Amount(value, _KIND_OF[name]) if name in _KIND_OF else Amount(value, "ratio", 2)


def _refused(argument, name, value, low, high, advice):
    limit = Said("is outside {} to {}", _shown(name, low), _shown(name, high))
    return OutOfRangeError.about(argument, _shown(name, value), limit, advice)


def no_saturation(refrigerant, name, value, low, high):
    """Return the error for a pressure or temperature at which nothing boils.

    value [SI unit of the property], low [SI unit of the property], high [SI unit of the property]."""
    advice = "check the number, its unit and whether it is gauge or absolute"
    if value > high:
        advice = "above the critical point nothing boils or condenses at one temperature; " + advice
    return _refused(f"{refrigerant} saturation {_WORD_OF[name]}", name, value, low, high, advice)


HIGHEST_TEMPERATURE = 473.15
LOWEST_TEMPERATURE = 193.15


_ENGINE_KEYS = {"p": "iP", "T": "iT", "h": "iHmass", "s": "iSmass", "rho": "iDmass", "x": "iQ"}
_PAIRS = {"p": ("T", "h", "s", "rho", "x"), "T": ("s", "rho", "x"), "s": ("h", "rho")}


@functools.cache
def _inputs(first, second):
    """Return (CoolProp's input pair, whether the engine wants the two swapped); None where they fix no state."""
    if second not in _PAIRS.get(first, ()) and first not in _PAIRS.get(second, ()):
        return None
    engine = coolprop()
    one, other = (getattr(engine, _ENGINE_KEYS[name]) for name in (first, second))
    pair, begins_with, _ = engine.CoolProp.generate_update_pair(one, 1.0, other, 2.0)
    return int(pair), begins_with != 1.0


@functools.cache
def _phases():
    """Return what the trade calls the engine's phases; all others are vapour, also above the critical temperature."""
    engine = coolprop()
    return {
        engine.iphase_liquid: "liquid",
        engine.iphase_twophase: "two-phase",
        engine.iphase_supercritical: "supercritical",
        # Colder than critical above the critical pressure: nothing boils there, the trade calls it liquid.
        engine.iphase_supercritical_liquid: "liquid",
        engine.iphase_critical_point: "supercritical",
    }


class Refrigerant:
    """One of the workbook's refrigerants, with its properties as functions.

    Parameters
    ----------
    name : str. One of `REFRIGERANT_NAMES`; spellings such as "r134a" or "CO2" are understood.

    Raises
    ------
    UnknownNameError. If the refrigerant is not in the workbook.
    OutOfRangeError. From every function, where a value is outside the valid range or there is no such state.

    Notes: Pressures are absolute. Valid from 193.15 K (or the triple point, if warmer) to 473.15 K (R-134a 455 K,
        R-1234yf 410 K) and up to 20 MPa. Enthalpy is 200 kJ/kg and entropy 1 kJ/(kg K) for saturated liquid at 0 °C.
        Viscosity of R-1234yf and R-152a in CoolProp 8 is a general model, off by up to 10 % from measured data (Huber &
        Assael 2016; Krauss et al. 1996).

    References: Equations of state and transport models as carried by CoolProp (Bell et al., Ind. Eng. Chem. Res. 53
        (2014) 2498-2508): R-134a Tillner-Roth & Baehr 1994; R-1234yf Lemmon & Akasaka 2022 (CoolProp 8; Richter et al.
        2011 before); R-744 Span & Wagner 1996; R-152a Outcalt & McLinden 1996; R-290 Lemmon et al. 2009.

    Examples
    --------
    >>> r134a = Refrigerant("R-134a")
    >>> round(r134a.dew_pressure(273.15))
    292803
    """

    highest_pressure = 20e6

    def __new__(cls, name):
        return _made(canonical_name(name))

    def _set_up(self, name):
        self.name = name
        self._fluid = ENGINE_NAMES[self.name]
        state = self._state
        self.critical_temperature = state.T_critical()
        self.critical_pressure = state.p_critical()
        self.molar_mass = state.molar_mass()
        self.lowest_temperature = max(state.Ttriple(), LOWEST_TEMPERATURE)
        self.highest_temperature = min(state.Tmax(), HIGHEST_TEMPERATURE)
        state.update(coolprop().QT_INPUTS, 1.0, self.lowest_temperature)
        self.lowest_pressure = state.p()
        self._limits = {
            "p": (self.lowest_pressure * 0.5, self.highest_pressure),
            "T": (self.lowest_temperature, self.highest_temperature),
            "x": (0.0, 1.0),
            "rho": (0.0, 2000.0),
            "h": (-1e6, 2e6),
            "s": (-1e6, 2e6),
        }
        # An isotherm just below critical is ill-conditioned; 1 mK is far below any gauge's resolution.
        self._highest_saturation = self.critical_temperature - 1e-3
        state.update(coolprop().QT_INPUTS, 1.0, self._highest_saturation)
        self._highest_saturation_pressure = state.p()

    def __repr__(self):
        return f"Refrigerant({self.name!r})"

    def __reduce__(self):
        return Refrigerant, (self.name,)

    @property
    def _state(self):
        return kept_state("HEOS", self._fluid)

    @property
    def facts(self):
        """Safety class, limits and climate figures, each with its source."""
        return facts_of(self.name)

    def bubble_pressure(self, T):
        """Return the pressure at which the liquid just starts to boil; T [K] → [Pa]."""
        return self._saturation_pressure(T, 0.0)

    def dew_pressure(self, T):
        """Return the pressure at which the vapour just starts to condense; T [K] → [Pa]."""
        return self._saturation_pressure(T, 1.0)

    def bubble_temperature(self, p):
        """Return where the liquid just starts to boil: subcooling is measured against it; p [Pa] → [K]."""
        return self._saturation_temperature(p, 0.0)

    def dew_temperature(self, p):
        """Return where the vapour just starts to condense: superheat is measured against it; p [Pa] → [K]."""
        return self._saturation_temperature(p, 1.0)

    def at(self, **given):
        """Return the state at two given properties.

        Parameters
        ----------
        given : float. Two of p [Pa], T [K], h [J/kg], s [J/(kg K)], rho [kg/m³], x [-] by name; pairs of p with any
            other, of T with s, rho or x, and s with h or rho.

        Returns: StatePoint. Pressure, temperature, enthalpy, entropy, density, quality and phase, SI.

        Examples
        --------
        >>> state = Refrigerant("R-134a").at(p=292803, T=283.15)
        >>> state.phase, round(state.h / 1000, 1)
        ('vapour', 407.5)
        """
        known = _inputs(*given) if len(given) == 2 else None
        if known is None:
            advice = "give p with T, h, s, rho or x, or T with s, rho or x, or s with h or rho"
            told = "needs exactly two properties that fix it"
            raise OutOfRangeError.about("state", "given by " + (", ".join(given) or "nothing"), told, advice)
        for name, value in given.items():
            low, high = self._limits[name]
            if not low <= value <= high:
                raise _refused(f"{self.name} {_WORD_OF[name]}", name, value, low, high, _IN_SI)
        inputs, swapped = known
        first, second = reversed(given.values()) if swapped else given.values()
        state = self._state
        try:
            state.update(inputs, first, second)
            p, T, h = state.p(), state.T(), state.hmass()
            phase = _phases().get(state.phase(), "vapour")
            quality = state.Q() if phase == "two-phase" else None
            point = StatePoint(p, T, h, state.smass(), state.rhomass(), quality, phase)
        except ValueError as reason:
            raise self._no_state(given) from reason
        inside = self.lowest_temperature - 0.01 <= T <= self.highest_temperature + 0.01
        if not (inside and 0.0 < p <= self.highest_pressure * 1.001 and math.isfinite(h)):
            raise self._no_state(given)
        return point

    def saturation(self, T):
        """Return saturated liquid and vapour with their transport properties; T [K] → a `Saturation` [SI]."""
        p = self._saturation_pressure(T, 0.0)
        state = self._state
        liquid = self._read_transport(state)
        tension = state.surface_tension()
        state.update(coolprop().QT_INPUTS, 1.0, T)
        vapour = self._read_transport(state)
        return Saturation(T, p, *itertools.chain(*zip(liquid, vapour, strict=True)), tension)

    def transport(self, *, p, T):
        """Return the `Transport` properties [SI] of liquid or vapour off the saturation line; p [Pa], T [K]."""
        self.at(p=p, T=T)
        return Transport(*self._read_transport(self._state)[2:])

    @staticmethod
    def _read_transport(state):
        return state.rhomass(), state.hmass(), state.cpmass(), state.viscosity(), state.conductivity()

    def _saturation_pressure(self, T, quality):
        if not self.lowest_temperature <= T <= self._highest_saturation:
            raise no_saturation(self.name, "T", T, self.lowest_temperature, self.critical_temperature)
        state = self._state
        state.update(coolprop().QT_INPUTS, quality, T)
        return state.p()

    def _saturation_temperature(self, p, quality):
        if not self.lowest_pressure <= p <= self._highest_saturation_pressure:
            raise no_saturation(self.name, "p", p, self.lowest_pressure, self.critical_pressure)
        state = self._state
        state.update(coolprop().PQ_INPUTS, p, quality)
        return state.T()

    def _no_state(self, given):
        """Return the error for two properties that no state has; on the saturation line p and T fix none either."""
        advice = "check both numbers and their units"
        if set(given) == {"p", "T"}:
            advice += "; this cold and under this pressure the refrigerant may be solid"
            boils = self.lowest_pressure <= given["p"] <= self._highest_saturation_pressure
            if boils and abs(self._saturation_temperature(given["p"], 1.0) - given["T"]) < 0.01:
                advice = (
                    "on the saturation line pressure and temperature do not fix the state: give the quality x instead"
                )
        shown = [Said("{} {}", _WORD_OF[name], _shown(name, value)) for name, value in sorted(given.items())]
        ends = (Amount(T, "temperature") for T in (self.lowest_temperature, self.highest_temperature))
        told = "lies outside the range {} to {}, up to {}, or does not exist"
        limit = Said(told, *ends, Amount(self.highest_pressure, "pressure"))
        return OutOfRangeError.about(f"{self.name} state", Said("with {}, {}", *shown), limit, advice)


@functools.cache
def _made(name):
    """Make each refrigerant once: its limits cost several saturation calls."""
    refrigerant = object.__new__(Refrigerant)
    refrigerant._set_up(name)
    return refrigerant


STEP = 1.0
COLDEST = 225.15


class SaturationTable:
    """Saturation of one refrigerant every kelvin, from −48 °C to 1 K below critical.

    points: exact `Saturation` at each kelvin; values between are straight lines over ln p, at a fifth of the cost.
    """

    def __init__(self, refrigerant):
        top = refrigerant.critical_temperature - 1.0
        count = int((top - COLDEST) / STEP)
        self.points = tuple(refrigerant.saturation(COLDEST + STEP * i) for i in range(count + 1))
        self._p = [point.p for point in self.points]
        self._log_p = [math.log(p) for p in self._p]

    def at(self, p):
        """Return saturated liquid and vapour at a pressure inside the table; p [Pa]."""
        index = bisect_right(self._p, p) - 1
        if not 0 <= index < len(self._p) - 1:
            lowest, highest = (Amount(end, "pressure") for end in (self._p[0], self._p[-1]))
            advice = "above, the critical point is near and liquid and vapour hardly differ"
            limit = Said("is not between {} and {}, where it boils here", lowest, highest)
            raise OutOfRangeError(Problem("pressure of the refrigerant", Amount(p, "pressure"), limit, advice))
        low, high = self._log_p[index], self._log_p[index + 1]
        w = (math.log(p) - low) / (high - low)
        values = [a + w * (b - a) for a, b in zip(self.points[index], self.points[index + 1], strict=True)]
        values[1] = p
        return Saturation._make(values)


@functools.cache
def saturation_table(name):
    """Return the table of a refrigerant, made once (about 1 ms)."""
    return SaturationTable(Refrigerant(name))
