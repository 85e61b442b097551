"""The thermostatic expansion valve: bulb, spring and evaporator pressure fight over a pin."""

from thermo_kit import doors

__all__, __getattr__, __dir__ = doors.door(
    __name__,
    curves="FAULTS fault_case opening_curves close_shut_off",
    fixed_orifice="AccumulatorBleed solve_orifice_feed",
    forces=(
        "discharge_coefficient inlet_density orifice_flow port_area bulb_pressure force_balance "
        "maximum_operating_pressure static_superheat"
    ),
    solve="FLOODING_BELOW STARVED_ABOVE solve_valve",
    spec="CHARGES EQUALISATIONS VALVE_REFRIGERANTS EvaporatorDuty ExpansionValveSpec ShutOffSpec ValveFault",
)
