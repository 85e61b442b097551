"""Invented coils of the depot."""

from thermo_kit.components.evaporator.spec import EvaporatorConditions, EvaporatorSpec
from thermo_kit.units import bar, celsius


def van_coil(*, blocked_share=0.0):
    """Return the coil of the depot's parcel van, invented.

    Parameters
    ----------
    blocked_share : float, [-]
        Part of the face that dirt has closed, 0 to 0.9.

    Returns
    -------
    EvaporatorSpec
        About 5 kW on a warm, humid day.

    Notes
    -----
    Invented data.
    """
    return EvaporatorSpec(
        air_conductance=260.0, reference_air_flow=0.13, boiling_conductance=700.0, blocked_share=blocked_share
    )


def bus_coil(*, blocked_share=0.0):
    """Return one of the two roof coils of the depot's shuttle bus, invented.

    Parameters
    ----------
    blocked_share : float, [-]
        Part of the face that dirt has closed, 0 to 0.9.

    Returns
    -------
    EvaporatorSpec
        About 12 kW on a warm, humid day.

    Notes
    -----
    Invented data.
    """
    return EvaporatorSpec(
        air_conductance=700.0, reference_air_flow=0.40, boiling_conductance=1800.0, blocked_share=blocked_share
    )


def van_conditions(**changes):
    """Return a warm, humid day for the parcel van, invented.

    Parameters
    ----------
    changes : dict
        Fields of `EvaporatorConditions` that differ, by name.

    Returns
    -------
    EvaporatorConditions
        30 °C and 50 % in front of the coil, R-1234yf boiling at 3 °C, unless changed.

    Notes
    -----
    Invented data.
    """
    given = {
        "air_temperature": celsius(30),
        "relative_humidity": 0.5,
        "air_flow": 0.11,
        "refrigerant": "R-1234yf",
        "evaporating_temperature": celsius(3),
        "superheat": 5.0,
        "valve_pressure": bar(12.5),
        "liquid_temperature": celsius(42),
    }
    return EvaporatorConditions(**{**given, **changes})
