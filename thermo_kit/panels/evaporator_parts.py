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
    """Make the control of the air in front of the coil.

    Returns
    -------
    NumberControl
        15 to 50 °C.
    """
    return NumberControl(
        "air_temperature", "Air in front of the coil", "temperature",
        low=celsius(15), high=celsius(50), step=0.5, us_step=1,
    )  # fmt: skip


def humidity_control():
    """Make the control of its humidity.

    Returns
    -------
    NumberControl
        5 to 95 %.
    """
    return NumberControl(
        "relative_humidity", "Its relative humidity", "percent", low=0.05, high=0.95, step=0.01, decimals=0
    )


def air_flow_control(*, low=_WEAKEST):
    """Make the control of the blower.

    Parameters
    ----------
    low : float, [m³/s]
        Lower limit.

    Returns
    -------
    NumberControl
        Up to 648 m³/h.
    """
    return NumberControl(
        "air_flow", "Air flow of the blower", "air_flow", low=low, high=0.18, step=10.0 / 3600.0, us_step=5
    )


def boiling_control(*, low=_LOWEST):
    """Make the control of the evaporating temperature.

    Parameters
    ----------
    low : float, [K]
        Lower limit; the upper one is 12 °C.

    Returns
    -------
    NumberControl
        Step half a kelvin.
    """
    return NumberControl(
        "evaporating_temperature", "Refrigerant boils at", "temperature", low=low, high=celsius(12), step=0.5, us_step=1
    )


def superheat_control():
    """Make the control of the superheat.

    Returns
    -------
    NumberControl
        0 to 20 K.
    """
    return NumberControl(
        "superheat", "Superheat at the outlet", "temperature_difference", low=0.0, high=20.0, step=0.5, us_step=1
    )


def coil_of(settings):
    """Return the coil that the settings describe.

    Parameters
    ----------
    settings : object
        Where a panel has it, with blocked_share [-].

    Returns
    -------
    EvaporatorSpec
        Invented coil of the depot.
    """
    return van_coil(blocked_share=getattr(settings, "blocked_share", 0.0))


def conditions_of(settings, look, **changes):
    """Return what the coil works with, at the altitude of the workshop.

    Parameters
    ----------
    settings : object
        With any fields of `EvaporatorConditions`, SI.
    look : Look
        Knows the altitude.
    changes : object
        Fields that the settings call otherwise.

    Returns
    -------
    EvaporatorConditions
        For the model.
    """
    own = {name: getattr(settings, name) for name in _NAMES if hasattr(settings, name)}
    return van_conditions(**{**own, "air_pressure": atmosphere_pressure(look.altitude), **changes})
