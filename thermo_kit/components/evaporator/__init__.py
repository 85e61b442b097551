"""The evaporator: cabin air over a cold, wet coil, and refrigerant that boils dry inside it."""

from thermo_kit import doors

__all__, __getattr__, __dir__ = doors.door(
    __name__,
    solve="outlet_near run_evaporator solve_evaporator",
    spec="EnteringAir EvaporatorConditions EvaporatorResult EvaporatorSpec air_process moist_air_lines",
)
