"""Moist air: what the blower pushes over the coil, as a real gas and, fast enough for a slider, as ideal gases.

The ideal-gas formulas and their numbers: ASHRAE Handbook - Fundamentals (2017), chapter 1, without the enhancement
factor (0.5 %). T [K], p [Pa], humidity ratio w [kg water/kg dry air], enthalpy h [J/kg dry air], zero for dry air and
liquid water at 0 °C.
"""

import math
from dataclasses import dataclass

from thermo_kit.errors import OutOfRangeError
from thermo_kit.substances.engine import coolprop
from thermo_kit.units import STANDARD_ATMOSPHERE
from thermo_kit.units.checks import Checks


@dataclass(frozen=True, slots=True)
class MoistAir:
    """Moist air at one point.

    p: pressure [Pa]; T: dry-bulb temperature [K]; humidity_ratio: water per dry air [kg/kg];
    relative_humidity: 0 to 1; wet_bulb: [K]; dew_point: [K]; h: enthalpy per dry air [J/kg];
    density: mass of moist air per volume [kg/m³]
    """

    p: float
    T: float
    humidity_ratio: float
    relative_humidity: float
    wet_bulb: float
    dew_point: float
    h: float
    density: float


_INPUTS = {
    "relative_humidity": ("R", 0.0, 1.0, "ratio"),
    "humidity_ratio": ("W", 0.0, 0.1, "ratio"),
    "wet_bulb": ("B", 223.15, 373.15, "temperature"),
    "dew_point": ("D", 203.15, 373.15, "temperature"),
}


def moist_air(*, T, p=STANDARD_ATMOSPHERE, **moisture):
    """Return the state of moist air from its temperature and one measure of its moisture.

    Parameters
    ----------
    T : float, [K]. Dry-bulb temperature, 223.15 to 373.15.
    p : float, [Pa]. Air pressure, 40 to 200 kPa.
    moisture : float
        Exactly one of relative_humidity [0 to 1], humidity_ratio [kg/kg], wet_bulb [K], dew_point [K], by name.

    Returns: MoistAir. The state, SI. Raises OutOfRangeError if a value is outside its range or the air cannot hold that
        much water.

    References: ASHRAE RP-1485 (Herrmann, Kretzschmar & Gatley 2009) as carried by CoolProp.

    Examples
    --------
    >>> air = moist_air(T=298.15, relative_humidity=0.5)
    >>> round(air.humidity_ratio, 5)
    0.00993
    """
    with Checks() as checks:
        checks.within("air temperature", T, 223.15, 373.15, kind="temperature")
        checks.within("air pressure", p, 4e4, 2e5, kind="pressure")
        if len(moisture) != 1 or next(iter(moisture)) not in _INPUTS:
            given = ", ".join(moisture) or "nothing"
            told = "needs exactly one measure"
            checks.add("moisture", f"given by {given}", told, "give one of " + ", ".join(_INPUTS))
            checks.raise_if_any()
        name, value = next(iter(moisture.items()))
        sign, low, high, kind = _INPUTS[name]
        advice = "relative humidity is a share from 0 to 1: 50 % is 0.5" if name == "relative_humidity" else ""
        checks.within(name.replace("_", " "), value, low, high, kind=kind, advice=advice)
        if kind == "temperature" and value > T:
            checks.add(name.replace("_", " "), "is above the air temperature", "", "swap the two or check the units")
    from CoolProp.HumidAirProp import HAPropsSI

    coolprop()
    try:
        W, R, B, D, h, v = (HAPropsSI(out, "T", T, "P", p, sign, value) for out in ("W", "R", "B", "D", "H", "V"))
        if R > 1.0 + 1e-6:
            raise ValueError("more water than saturated air carries")
    except ValueError as reason:
        advice = "air this cold cannot hold so much water: lower the moisture or raise the temperature"
        given = f"with this temperature and {name.replace('_', ' ')}"
        raise OutOfRangeError.about("moist air", given, "does not exist", advice) from reason
    return MoistAir(p, T, W, min(R, 1.0), B, D, h, (1.0 + W) / v)


ZERO = 273.15
TRIPLE = 273.16
DRY_AIR_HEAT = 1006.0
VAPOUR_HEAT = 1860.0
WATER_HEAT = 4186.0
EVAPORATION = 2.501e6
MASS_RATIO = 0.621945
AIR_CONSTANT = 287.042
COLDEST_DEW = 173.15


@dataclass(frozen=True)
class AirState:
    """Air at one place, by ideal-gas relations; where it is foggy, air and droplets in balance.

    T: temperature [K]; humidity_ratio: water per dry air, vapour and droplets together [kg/kg];
    relative_humidity: 0 to 1; dew_point [K]; h: enthalpy per dry air [J/kg]; droplets: of the water [kg/kg]
    """

    T: float
    humidity_ratio: float
    relative_humidity: float
    dew_point: float
    h: float
    droplets: float = 0.0


def saturation_pressure(T):
    """Return the pressure at which water vapour is saturated, over ice below the triple point; T [K] → [Pa].

    Equations 5 and 6 (Hyland and Wexler 1983); the one over ice is scaled by one part in ten thousand, so that both
    meet at the triple point.
    """
    return _over_water(T) if T >= TRIPLE else _ICE_SCALE * _over_ice(T)


def _over_water(T):
    return math.exp(
        -5.8002206e3 / T
        + 1.3914993
        + T * (-4.8640239e-2 + T * (4.1764768e-5 - 1.4452093e-8 * T))
        + 6.5459673 * math.log(T)
    )


def _over_ice(T):
    return math.exp(
        -5.6745359e3 / T
        + 6.3925247
        + T * (-9.6778430e-3 + T * (6.2215701e-7 + T * (2.0747825e-9 - 9.4840240e-13 * T)))
        + 4.1635019 * math.log(T)
    )


_ICE_SCALE = _over_water(TRIPLE) / _over_ice(TRIPLE)
_DRIEST = _ICE_SCALE * _over_ice(COLDEST_DEW)


def _steepness(T):
    """Derivative of the logarithm of the saturation pressure [1/K]."""
    if T >= TRIPLE:
        return 5.8002206e3 / T**2 - 4.8640239e-2 + T * (8.3529536e-5 - 4.3356279e-8 * T) + 6.5459673 / T
    return (
        5.6745359e3 / T**2 - 9.6778430e-3 + T * (1.24431402e-6 + T * (6.2243475e-9 - 3.7936096e-12 * T)) + 4.1635019 / T
    )


def saturated_humidity(T, p):
    """Return how much water saturated air carries (equation 21); T [K], p [Pa] → [kg/kg]."""
    return humidity_at(T, 1.0, p)


def saturated_humidity_and_slope(T, p):
    """Return how much water saturated air carries, and how fast that grows with the temperature; T [K], p [Pa]."""
    vapour = saturation_pressure(T)
    rest = p - vapour
    return MASS_RATIO * vapour / rest, MASS_RATIO * p * vapour * _steepness(T) / (rest * rest)


def humidity_at(T, relative_humidity, p):
    """Return how much water air of a relative humidity carries (20 and 22); T [K], [-], p [Pa] → [kg/kg]."""
    vapour = relative_humidity * saturation_pressure(T)
    return MASS_RATIO * vapour / (p - vapour)


def relative_humidity_at(T, humidity_ratio, p):
    """Return the relative humidity of air that carries a given amount of water; above 1 it cannot stay.

    T [K], humidity_ratio [kg/kg], p [Pa] → [-].
    """
    return p * humidity_ratio / (MASS_RATIO + humidity_ratio) / saturation_pressure(T)


def moist_enthalpy(T, humidity_ratio):
    """Return the enthalpy of air with all its water as vapour (equation 30); T [K], [kg/kg] → [J/kg dry air]."""
    t = T - ZERO
    return DRY_AIR_HEAT * t + humidity_ratio * (EVAPORATION + VAPOUR_HEAT * t)


def air_temperature(enthalpy, humidity_ratio, p):
    """Return the temperature of air from its enthalpy and all its water; fog and air are in balance.

    Water beyond saturation hangs as droplets as warm as the air, and stays liquid below 0 °C: adiabatic saturation.
    enthalpy [J/kg dry air], humidity_ratio [kg/kg], p [Pa] → [K].
    """
    T = ZERO + (enthalpy - humidity_ratio * EVAPORATION) / (DRY_AIR_HEAT + humidity_ratio * VAPOUR_HEAT)
    if relative_humidity_at(T, humidity_ratio, p) <= 1.0:
        return T
    return _fog_temperature(enthalpy, humidity_ratio, p, T)


def _fog_temperature(h, w, p, T):
    """Temperature of saturated air with droplets, warmer than the same air would be as vapour alone [K].

    Newton's method: the enthalpy grows ever faster with the temperature, so that after one step too far it comes
    down safely. Brent's method takes five times as long, which a cabin that cools notices.
    """
    for _ in range(50):
        vapour, slope = saturated_humidity_and_slope(T, p)
        t = T - ZERO
        freed = EVAPORATION + (VAPOUR_HEAT - WATER_HEAT) * t
        heat = DRY_AIR_HEAT + vapour * VAPOUR_HEAT + (w - vapour) * WATER_HEAT
        step = (h - DRY_AIR_HEAT * t - w * WATER_HEAT * t - vapour * freed) / (heat + slope * freed)
        T += step
        if abs(step) < 1e-10:
            break
    return T


def dew_point(humidity_ratio, p):
    """Return the temperature at which the water in this air begins to condense; [kg/kg], p [Pa] → [K]."""
    vapour = p * humidity_ratio / (MASS_RATIO + humidity_ratio)
    if vapour <= _DRIEST:
        return COLDEST_DEW
    # The logarithm of the pressure is nearly straight in 1/T: from above, Newton's method needs four or five rounds.
    aim, T = math.log(vapour), 300.0
    for _ in range(50):
        step = (math.log(saturation_pressure(T)) - aim) / _steepness(T)
        # In 1/T, since the step in T itself would overshoot from far away.
        T = T / (1.0 + step / T)
        if abs(step) < 1e-10 * T:
            break
    return T


def air_state(h, humidity_ratio, p):
    """Return air of a given enthalpy and water, vapour and droplets together; h [J/kg], [kg/kg], p [Pa]."""
    T = air_temperature(h, humidity_ratio, p)
    share = relative_humidity_at(T, humidity_ratio, p)
    if share <= 1.0:
        return AirState(T, humidity_ratio, share, dew_point(humidity_ratio, p), h)
    return AirState(T, humidity_ratio, 1.0, T, h, humidity_ratio - saturated_humidity(T, p))
