"""What happens in a plate chiller when the coolant stops and the refrigerant does not."""

from thermo_kit import doors

__all__, __getattr__, __dir__ = doors.door(
    __name__,
    simulate="FreezeResult failure_table simulate_chiller_freeze",
    spec="FreezeSpec GuardSettings",
    safe_time="SafeTimeMap longest_safe_reaction read_safe_time safe_time_map",
)
