"""Conditions to try an evaporator with: the parcel van's coil on a warm, humid day, with changes."""

from dataclasses import replace

from hypothesis import strategies as st

from thermo_kit.components.evaporator import solve_evaporator
from thermo_kit.fleet import part_of
from thermo_kit.units import celsius

AIRS = {
    "air_temperature": st.floats(20, 45),
    "relative_humidity": st.floats(0.1, 0.9),
    "air_flow": st.floats(0.04, 0.2),
    "evaporating_temperature": st.floats(-5, 8),
    "superheat": st.floats(0, 10),
}


def coil(**changes):
    """The van's coil with changes."""
    return replace(part_of("parcel_van", "evaporator"), **changes)


def day(**changes):
    """A warm, humid day with changes."""
    return replace(part_of("parcel_van", "evaporator_conditions"), **changes)


def solved(own=None, **changes):
    """The van's coil, or another one, on that day with changes."""
    return solve_evaporator(own or coil(), day(**changes))


def drawn(values):
    """Drawn temperatures in kelvin."""
    return {k: celsius(v) if k.endswith("temperature") else v for k, v in values.items()}
