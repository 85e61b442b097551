"""Conversions between trade units and SI; a gauge reads absolute pressure minus the local atmosphere."""

import functools

from thermo_kit.errors import OutOfRangeError
from thermo_kit.units.kinds import KINDS, UNITS, UnitSystem, kind_of

STANDARD_ATMOSPHERE = 101_325.0
LOWEST_ALTITUDE = -500.0
HIGHEST_ALTITUDE = 5_000.0


@functools.cache
def unit_registry():
    """Return the one registry of units; it takes half a second, so only a unit outside our table asks for it."""
    import pint

    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


def atmosphere_pressure(altitude):
    """Return the standard air pressure at an altitude, −500 to 5,000 [m] → [Pa]; weather moves it by about ±3 kPa.

    References: ISO 2533:1975 Standard Atmosphere, layer with a gradient of −6.5 K per km.

    Examples
    --------
    >>> round(atmosphere_pressure(1600))
    83524
    """
    if not LOWEST_ALTITUDE <= altitude <= HIGHEST_ALTITUDE:
        told = f"is outside {LOWEST_ALTITUDE:g} to {HIGHEST_ALTITUDE:g} m"
        raise OutOfRangeError.about("altitude", f"{altitude:g} m", told, "check the unit (5,000 ft are 1,524 m)")
    gravity, gas_constant, gradient, sea_level = 9.80665, 287.05287, 0.0065, 288.15
    return STANDARD_ATMOSPHERE * (1 - gradient * altitude / sea_level) ** (gravity / (gas_constant * gradient))


def psig(x, altitude=0):
    """Return the absolute pressure of a gauge reading; x [psi gauge], altitude of the workshop [m] → [Pa]."""
    return UNITS["psi"].stored(x) + atmosphere_pressure(altitude)


def barg(x, altitude=0):
    """Return the absolute pressure of a gauge reading; x [bar gauge], altitude of the workshop [m] → [Pa]."""
    return x * 1e5 + atmosphere_pressure(altitude)


def bar(x):
    """Return an absolute pressure in SI; x [bar] → [Pa]."""
    return x * 1e5


def kpa(x):
    """Return an absolute pressure in SI; x [kPa] → [Pa]."""
    return x * 1e3


def celsius(x):
    """Return a temperature in SI; x [°C] → [K]."""
    return x + 273.15


def fahrenheit(x):
    """Return a temperature in SI; x [°F] → [K]."""
    return (x + 459.67) / 1.8


def to_display(value, kind, system=UnitSystem.SI, altitude=0):
    """Turn a stored SI number (or array) of a kind, a key of `KINDS`, into the one shown; altitude [m], for gauges.

    Examples
    --------
    >>> round(to_display(298.15, "temperature", UnitSystem.US), 1), round(to_display(301325.0, "gauge_pressure"), 6)
    (77.0, 2.0)
    """
    facts = kind_of(kind)
    if kind == "gauge_pressure":
        value = value - atmosphere_pressure(altitude)
    return UNITS[facts.si if system is UnitSystem.SI else facts.us].shown(value)


def from_display(number, kind, system=UnitSystem.SI, altitude=0):
    """Turn a shown number back into the stored SI number, as `to_display` reversed; altitude [m]."""
    facts = kind_of(kind)
    value = UNITS[facts.si if system is UnitSystem.SI else facts.us].stored(number)
    if kind == "gauge_pressure":
        value = value + atmosphere_pressure(altitude)
    return value


def us_beside_si():
    """Return (factor, offset, US sign) for each SI sign that always becomes another one in US customary units."""
    kept = {kind.si_sign for kind in KINDS.values() if kind.si_sign == kind.us_sign}
    shown = [(kind.si_sign, kind.si, kind.us, kind.us_sign) for kind in KINDS.values() if kind.si_sign not in kept]
    shown += [("bar", "bar", "psi", "psi"), ("mbar", "mbar", "psi", "psi"), ("kg", "kg", "lb", "lb")]
    lines = {}
    for sign, si, us, us_sign in shown:
        factor = UNITS[us].per * UNITS[si].of / (UNITS[us].of * UNITS[si].per)
        lines[sign] = factor, UNITS[us].offset - UNITS[si].offset * factor, us_sign.removesuffix(" diff.")
    return lines
