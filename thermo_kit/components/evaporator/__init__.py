"""The evaporator: cabin air over a cold, wet coil, and refrigerant that boils dry inside it."""

from thermo_kit.components.evaporator.air import (
    air_temperature,
    coil_air,
    humidity_at,
    moist_enthalpy,
    saturated_humidity,
)
from thermo_kit.components.evaporator.examples import bus_coil, van_coil, van_conditions
from thermo_kit.components.evaporator.process import AirProcess, MoistAirLines, air_process, moist_air_lines
from thermo_kit.components.evaporator.solve import solve_evaporator
from thermo_kit.components.evaporator.spec import CoilAir, EvaporatorConditions, EvaporatorResult, EvaporatorSpec

__all__ = [
    "AirProcess",
    "CoilAir",
    "EvaporatorConditions",
    "EvaporatorResult",
    "EvaporatorSpec",
    "MoistAirLines",
    "air_process",
    "air_temperature",
    "bus_coil",
    "coil_air",
    "humidity_at",
    "moist_air_lines",
    "moist_enthalpy",
    "saturated_humidity",
    "solve_evaporator",
    "van_coil",
    "van_conditions",
]
