"""Moist air fast enough for a slider: ideal gases and a closed formula for the saturation pressure."""

import math

from thermo_kit.components.evaporator.spec import CoilAir

ZERO = 273.15
TRIPLE = 273.16
DRY_AIR_HEAT = 1006.0
VAPOUR_HEAT = 1860.0
WATER_HEAT = 4186.0
EVAPORATION = 2.501e6
MASS_RATIO = 0.621945
AIR_CONSTANT = 287.042
COLDEST_DEW = 173.15


def saturation_pressure(T):
    """Return the pressure at which water vapour is saturated, over ice below the triple point; T [K] → [Pa].

    Notes
    -----
    The branch over ice is scaled by one part in ten thousand, so that both meet at the triple point.

    References
    ----------
    ASHRAE Handbook - Fundamentals (2017), chapter 1, equations 5 and 6 (Hyland and Wexler 1983).
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
    """Return how much water saturated air carries.

    Parameters
    ----------
    T : float, [K]
        Temperature.
    p : float, [Pa]
        Air pressure.

    Returns
    -------
    float, [kg/kg]
        Water per dry air.

    References
    ----------
    ASHRAE Handbook - Fundamentals (2017), chapter 1, equation 21, without the enhancement factor (0.5 %).
    """
    vapour = saturation_pressure(T)
    return MASS_RATIO * vapour / (p - vapour)


def saturated_humidity_and_slope(T, p):
    """Return how much water saturated air carries, and how fast that grows with the temperature; T [K], p [Pa].

    References
    ----------
    As in `saturated_humidity`; the slope is its derivative.
    """
    vapour = saturation_pressure(T)
    rest = p - vapour
    return MASS_RATIO * vapour / rest, MASS_RATIO * p * vapour * _steepness(T) / (rest * rest)


def humidity_at(T, relative_humidity, p):
    """Return how much water air of a given relative humidity carries.

    Parameters
    ----------
    T : float, [K]
        Temperature.
    relative_humidity : float, [-]
        0 to 1.
    p : float, [Pa]
        Air pressure.

    Returns
    -------
    float, [kg/kg]
        Water per dry air.

    References
    ----------
    ASHRAE Handbook - Fundamentals (2017), chapter 1, equations 20 and 22.
    """
    vapour = relative_humidity * saturation_pressure(T)
    return MASS_RATIO * vapour / (p - vapour)


def relative_humidity_at(T, humidity_ratio, p):
    """Return the relative humidity of air that carries a given amount of water; above 1 it is fog.

    T [K], humidity_ratio [kg/kg], p [Pa] → [-].

    References
    ----------
    ASHRAE Handbook - Fundamentals (2017), chapter 1, equations 20 and 22.
    """
    return p * humidity_ratio / (MASS_RATIO + humidity_ratio) / saturation_pressure(T)


def moist_enthalpy(T, humidity_ratio):
    """Return the enthalpy of moist air per kilogram of dry air, zero for dry air at 0 °C.

    Parameters
    ----------
    T : float, [K]
        Temperature.
    humidity_ratio : float, [kg/kg]
        Water per dry air.

    Returns
    -------
    float, [J/kg]
        Enthalpy per dry air.

    References
    ----------
    ASHRAE Handbook - Fundamentals (2017), chapter 1, equation 30.
    """
    t = T - ZERO
    return DRY_AIR_HEAT * t + humidity_ratio * (EVAPORATION + VAPOUR_HEAT * t)


def air_temperature(enthalpy, humidity_ratio):
    """Return the temperature of moist air from its enthalpy.

    Parameters
    ----------
    enthalpy : float, [J/kg]
        Per dry air.
    humidity_ratio : float, [kg/kg]
        Water per dry air.

    Returns
    -------
    float, [K]
        Temperature.

    References
    ----------
    ASHRAE Handbook - Fundamentals (2017), chapter 1, equation 30 solved for the temperature.
    """
    return ZERO + (enthalpy - humidity_ratio * EVAPORATION) / (DRY_AIR_HEAT + humidity_ratio * VAPOUR_HEAT)


def dew_point(humidity_ratio, p):
    """Return the temperature at which the water in this air begins to condense.

    humidity_ratio [kg/kg], p [Pa] → [K].

    References
    ----------
    ASHRAE Handbook - Fundamentals (2017), chapter 1, definition of the dew point.
    """
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


def coil_air(h, humidity_ratio, p):
    """Return everything the coil tells about air of a given enthalpy and water.

    Parameters
    ----------
    h : float, [J/kg]
        Per dry air, zero for dry air at 0 °C.
    humidity_ratio : float, [kg/kg]
        Water per dry air, vapour and any droplets together.
    p : float, [Pa]
        Air pressure.

    Returns
    -------
    CoilAir
        Fog is shown as 100 % relative humidity.

    References
    ----------
    ASHRAE Handbook - Fundamentals (2017), chapter 1, equations 20, 22 and 30.
    """
    T = air_temperature(h, humidity_ratio)
    return CoilAir(
        T=T,
        humidity_ratio=humidity_ratio,
        relative_humidity=min(relative_humidity_at(T, humidity_ratio, p), 1.0),
        dew_point=dew_point(humidity_ratio, p),
        h=h,
    )
