"""A wet coil solved another way: continuous through its depth, with real-gas humid air and water of CoolProp."""

from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAPropsSI
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

SMALL_T, SMALL_W = 1e-2, 1e-5


def wet_coil(spec, conditions):
    """Return vent temperature, vent humidity ratio, heat and condensate of a coil without superheat."""
    p, boils = conditions.air_pressure, conditions.evaporating_temperature
    T_in, phi = conditions.air_temperature, conditions.relative_humidity

    def humid(name, T, **moisture):
        (sign, value), *_ = moisture.items()
        return HAPropsSI(name, "T", T, "P", p, sign, value)

    w_in = humid("W", T_in, R=phi)
    dry_air = conditions.air_flow / humid("V", T_in, R=phi)
    side = spec.air_conductance * (dry_air / spec.reference_air_flow) ** spec.air_exponent
    units = side / (dry_air * humid("C", T_in, W=w_in))

    def slopes(T, w, surface):
        dT, dw = -units * (T - surface), -units * max(w - humid("W", surface, R=1.0), 0.0)
        h = humid("H", T, W=w)
        by_T = (h - humid("H", T - SMALL_T, W=w)) / SMALL_T
        by_w = (humid("H", T, W=w + SMALL_W) - h) / SMALL_W
        water = PropsSI("H", "T", max(surface, 273.17), "Q", 0, "Water")
        return dT, dw, dry_air * (water * dw - by_T * dT - by_w * dw)

    def step(_, y):
        T, w = y[0], y[1]
        surface = brentq(lambda x: slopes(T, w, x)[2] - spec.boiling_conductance * (x - boils), boils, T, xtol=1e-6)
        dT, dw, heat = slopes(T, w, surface)
        return [dT, dw, heat, -dry_air * dw]

    solved = solve_ivp(step, (0.0, 1.0), [T_in, w_in, 0.0, 0.0], rtol=1e-5, atol=[1e-3, 1e-7, 0.1, 1e-8])
    T, w, heat, condensate = solved.y[:, -1].tolist()
    return settled(humid, T, w), w, heat, condensate


def settled(humid, T, w):
    """Temperature of air and droplets in balance where the air has more water than it can hold."""
    if w <= humid("W", T, R=1.0):
        return T
    h = humid("H", T, W=w)

    def excess(x):
        held = humid("W", x, R=1.0)
        return humid("H", x, R=1.0) + (w - held) * PropsSI("H", "T", max(x, 273.17), "Q", 0, "Water") - h

    return brentq(excess, T, T + 20.0, xtol=1e-6)
