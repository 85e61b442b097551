"""What happens in a plate chiller when the coolant stops and the refrigerant does not."""

from thermo_kit import doors

_HOMES = {
    "FreezeResult": "result",
    "FreezeSpec": "spec",
    "GuardSettings": "spec",
    "SafeTimeMap": "safe_time",
    "failure_table": "simulate",
    "longest_safe_reaction": "safe_time",
    "read_safe_time": "safe_time",
    "safe_time_map": "safe_time",
    "simulate_chiller_freeze": "simulate",
}
__all__ = sorted(_HOMES)
__getattr__, __dir__ = doors.door(__name__, _HOMES)
