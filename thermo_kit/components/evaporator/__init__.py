"""The evaporator: cabin air over a cold, wet coil, and refrigerant that boils dry inside it."""

from thermo_kit.components.evaporator.process import AirProcess, MoistAirLines, air_process, moist_air_lines
from thermo_kit.components.evaporator.solve import outlet_near, run_evaporator, solve_evaporator
from thermo_kit.components.evaporator.spec import EnteringAir, EvaporatorConditions, EvaporatorResult, EvaporatorSpec
