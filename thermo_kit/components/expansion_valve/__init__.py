"""The thermostatic expansion valve: bulb, spring and evaporator pressure fight over a pin."""

from thermo_kit import doors

__all__, __getattr__, __dir__ = doors.door(
    __name__,
    curves="FAULTS FaultCase fault_case OpeningCurves opening_curves ShutResult close_shut_off",
    fixed_orifice="AccumulatorBleed OrificeFeedResult solve_orifice_feed",
    forces=(
        "discharge_coefficient inlet_density orifice_flow port_area ForceBalance bulb_pressure force_balance "
        "maximum_operating_pressure static_superheat"
    ),
    solve="FLOODING_BELOW STARVED_ABOVE VERDICTS ValveResult solve_valve",
    spec="BODIES CHARGES EQUALISATIONS VALVE_REFRIGERANTS EvaporatorDuty ExpansionValveSpec ShutOffSpec ValveFault",
)
