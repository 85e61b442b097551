"""Moist air: what the blower pushes over the coil."""

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
    T : float, [K]
        Dry-bulb temperature, 223.15 to 373.15.
    p : float, [Pa]
        Air pressure, 40 to 200 kPa.
    moisture : float
        Exactly one of relative_humidity [0 to 1], humidity_ratio [kg/kg], wet_bulb [K], dew_point [K], by name.

    Returns
    -------
    MoistAir
        The state, SI.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range or the air cannot hold that much water.

    References
    ----------
    ASHRAE RP-1485 (Herrmann, Kretzschmar & Gatley 2009) as carried by CoolProp.

    Examples
    --------
    >>> air = moist_air(T=298.15, relative_humidity=0.5)
    >>> round(air.humidity_ratio, 5)
    0.00993
    """
    checks = Checks()
    checks.within("air temperature", T, 223.15, 373.15, kind="temperature")
    checks.within("air pressure", p, 4e4, 2e5, kind="pressure")
    if len(moisture) != 1 or next(iter(moisture)) not in _INPUTS:
        given = ", ".join(moisture) or "nothing"
        checks.add("moisture", f"given by {given}", "needs exactly one measure", "give one of " + ", ".join(_INPUTS))
        checks.raise_if_any()
    name, value = next(iter(moisture.items()))
    sign, low, high, kind = _INPUTS[name]
    advice = "relative humidity is a share from 0 to 1: 50 % is 0.5" if name == "relative_humidity" else ""
    checks.within(name.replace("_", " "), value, low, high, kind=kind, advice=advice)
    if kind == "temperature" and value > T:
        checks.add(name.replace("_", " "), "is above the air temperature", "", "swap the two or check the units")
    checks.raise_if_any()
    from CoolProp.HumidAirProp import HAPropsSI

    coolprop()
    try:
        W, R, B, D, h, v = (HAPropsSI(out, "T", T, "P", p, sign, value) for out in ("W", "R", "B", "D", "H", "V"))
    except ValueError as reason:
        raise OutOfRangeError(*_no_air(name)) from reason
    if R > 1.0 + 1e-6:
        raise OutOfRangeError(*_no_air(name))
    return MoistAir(p, T, W, min(R, 1.0), B, D, h, (1.0 + W) / v)


def _no_air(name):
    checks = Checks()
    checks.add(
        "moist air",
        f"with this temperature and {name.replace('_', ' ')}",
        "does not exist",
        "air this cold cannot hold so much water: lower the moisture or raise the temperature",
    )
    return checks.problems
