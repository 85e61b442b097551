"""Water that boils, ice that sublimes: what a vacuum pump has to deal with."""

import math

from thermo_kit.substances.engine import coolprop, kept_state
from thermo_kit.units import within_ranges

TRIPLE_TEMPERATURE = 273.16
TRIPLE_PRESSURE = 611.657
LOWEST_ICE_TEMPERATURE = 193.15
HIGHEST_TEMPERATURE = 473.15


def _sublimation_pressure(T):
    theta = T / TRIPLE_TEMPERATURE
    factors = (-0.212144006e2, 0.273203819e2, -0.610598130e1)
    exponents = (0.333333333e-2, 0.120666667e1, 0.170333333e1)
    total = sum(a * theta**b for a, b in zip(factors, exponents, strict=True))
    return TRIPLE_PRESSURE * math.exp(total / theta)


def water_saturation_pressure(T):
    """Return the pressure below which water boils away, or ice sublimes, at a temperature.

    Parameters
    ----------
    T : float, [K]. Temperature, 193.15 to 473.15; below 273.16 the value is that over ice.

    Returns: float, [Pa]. Absolute saturation pressure.

    Raises: OutOfRangeError. Outside the range.

    References: Liquid: IAPWS-95 as carried by CoolProp. Ice: IAPWS R14-08(2011), sublimation pressure.

    Examples
    --------
    >>> round(water_saturation_pressure(293.15))
    2339
    """
    within_ranges(("water temperature", T, LOWEST_ICE_TEMPERATURE, HIGHEST_TEMPERATURE, "temperature"))
    if T < TRIPLE_TEMPERATURE:
        return _sublimation_pressure(T)
    state = kept_state("HEOS", "Water")
    state.update(coolprop().QT_INPUTS, 1.0, T)
    return state.p()


def water_boiling_temperature(p):
    """Return the temperature at which water boils, or ice sublimes, under a pressure or vacuum.

    Parameters
    ----------
    p : float, [Pa]. Absolute pressure, 0.055 Pa (ice at 193.15 K) to 1.55 MPa.

    Returns: float, [K]. Boiling or sublimation temperature.

    Raises: OutOfRangeError. Outside the range.

    References: Liquid: IAPWS-95 as carried by CoolProp. Ice: IAPWS R14-08(2011), solved for the temperature.

    Examples
    --------
    >>> round(water_boiling_temperature(2339.3), 2)
    293.15
    """
    within_ranges(("pressure over water", p, _sublimation_pressure(LOWEST_ICE_TEMPERATURE), 1.5549e6, "pressure"))
    if p < TRIPLE_PRESSURE:
        from scipy.optimize import brentq

        return brentq(lambda T: math.log(_sublimation_pressure(T) / p), LOWEST_ICE_TEMPERATURE, TRIPLE_TEMPERATURE)
    state = kept_state("HEOS", "Water")
    state.update(coolprop().PQ_INPUTS, p, 1.0)
    return state.T()
