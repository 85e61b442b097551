"""Invented valves and duties of the depot's vehicles."""

from thermo_kit.components.expansion_valve.spec import EvaporatorDuty, ValveSpec
from thermo_kit.units import celsius


def van_valve():
    """Return the expansion valve of an electric parcel van.

    Returns
    -------
    ValveSpec
        Static superheat 4 K at 0 °C with R-134a.

    Notes
    -----
    Invented sizes, near those of the trade.
    """
    return ValveSpec(
        diaphragm_diameter=0.020,
        spring_preload=14.1,
        spring_rate=26e3,
        full_lift=0.0005,
        port_diameter=0.0023,
        pipe_diameter=0.008,
    )


def van_duty():
    """Return what the valve of the van feeds on a warm day.

    Returns
    -------
    EvaporatorDuty
        Air, conductance, compressor, high side.

    Notes
    -----
    Invented data.
    """
    return EvaporatorDuty(refrigerant="R-134a", condensing_temperature=celsius(50))
