"""Parts joined and solved: the refrigerant cycle, from a specification or from readings."""

from thermo_kit import doors

__all__, __getattr__, __dir__ = doors.door(
    __name__,
    cabin="CabinSpec PullDown pull_down",
    vents="TwoVents VENT_FAULTS VentCase two_vents",
    cycle="CyclePoint CycleResult CycleSpec solve_cycle",
    comparison="best_gas_cooler_pressure",
    parked="ParkedResult ParkedSpec judge_parked",
    leak="LeakResult limits_of LeakSpec spread_leak",
    readings_states="Readings",
    readings="cycle_from_readings",
    reading_log="ReadingLog read_log",
    internal_exchange=(
        "EffectivenessLimit largest_effectiveness ExchangeCurve ComparedExchange ExchangeJob ExchangePoint "
        "compare_exchange ExchangeEffect LengthSweep effect_of_effectiveness exchange_by_length "
        "with_internal_heat_exchanger"
    ),
    chiller_freeze=(
        "FreezeResult FreezeSpec GuardSettings failure_table longest_safe_reaction safe_time_map "
        "simulate_chiller_freeze"
    ),
    coolant_network=(
        "NetworkFault NetworkSpec apply_faults load_layout read_layout simulate_network solve_coolant_network"
    ),
    vehicle="Conditions VehicleResult VehicleSpec solve_vehicle",
)
