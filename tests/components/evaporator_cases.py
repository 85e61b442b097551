"""Conditions to try an evaporator with."""

from hypothesis import strategies as st

from thermo_kit.components.evaporator import solve_evaporator, van_coil, van_conditions
from thermo_kit.units import celsius

AIRS = {
    "air_temperature": st.floats(20, 45),
    "relative_humidity": st.floats(0.1, 0.9),
    "air_flow": st.floats(0.04, 0.2),
    "evaporating_temperature": st.floats(-5, 8),
    "superheat": st.floats(0, 10),
}


def solved(coil=None, **changes):
    """The van's coil on a warm, humid day with changes."""
    return solve_evaporator(coil or van_coil(), van_conditions(**changes))


def drawn(values):
    """Drawn temperatures in kelvin."""
    return {k: celsius(v) if k.endswith("temperature") else v for k, v in values.items()}
