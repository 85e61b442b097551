"""What the panels of the evaporator share: the depot's van coil and the air in front of it."""

from thermo_kit.components.evaporator import van_coil, van_conditions
from thermo_kit.panels.controls import NumberControl
from thermo_kit.units import atmosphere_pressure, celsius

_LOWEST = celsius(-8)
_WEAKEST = 0.03
INVENTED = "The coil is invented: the depot's parcel van, R-1234yf."
HELD = "The evaporating temperature is held, as a compressor with control and enough capacity does."
_NAMES = ("air_temperature", "relative_humidity", "air_flow", "evaporating_temperature", "superheat")


def air_temperature_control():
    """Make the control of the air in front of the coil."""
    return NumberControl(
        "air_temperature", "Air in front of the coil", "temperature",
        low=celsius(15), high=celsius(50), step=0.5, us_step=1,
    )  # fmt: skip


def humidity_control():
    """Make the control of its humidity."""
    return NumberControl(
        "relative_humidity", "Its relative humidity", "percent", low=0.05, high=0.95, step=0.01, decimals=0
    )


def air_flow_control(*, low=_WEAKEST):
    """Make the control of the blower; low [m³/s]."""
    return NumberControl(
        "air_flow", "Air flow of the blower", "air_flow", low=low, high=0.18, step=10.0 / 3600.0, us_step=5
    )


def boiling_control(*, low=_LOWEST):
    """Make the control of the evaporating temperature; low [K]."""
    return NumberControl(
        "evaporating_temperature", "Refrigerant boils at", "temperature", low=low, high=celsius(12), step=0.5, us_step=1
    )


def superheat_control():
    """Make the control of the superheat."""
    return NumberControl(
        "superheat", "Superheat at the outlet", "temperature_difference", low=0.0, high=20.0, step=0.5, us_step=1
    )


def coil_of(settings):
    """Return the coil that the settings describe."""
    return van_coil(blocked_share=getattr(settings, "blocked_share", 0.0))


def conditions_of(settings, look, **changes):
    """Return what the coil works with, at the altitude of the workshop."""
    own = {name: getattr(settings, name) for name in _NAMES if hasattr(settings, name)}
    return van_conditions(**{**own, "air_pressure": atmosphere_pressure(look.altitude), **changes})
