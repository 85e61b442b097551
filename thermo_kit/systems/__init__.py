"""Parts joined and solved: the refrigerant cycle, from a specification or from readings."""

import importlib

_HOMES = {
    "CabinSpec": "cabin",
    "PullDown": "cabin",
    "pull_down": "cabin",
    "TwoVents": "vents",
    "VENT_FAULTS": "vents",
    "VentCase": "vents",
    "two_vents": "vents",
    "CyclePoint": "cycle_result",
    "CycleResult": "cycle_result",
    "CycleSpec": "cycle_result",
    "solve_cycle": "cycle",
    "best_gas_cooler_pressure": "gas_cooler",
    "ParkedResult": "parked",
    "ParkedSpec": "parked",
    "judge_parked": "parked",
    "LeakResult": "leak",
    "limits_of": "leak",
    "LeakSpec": "leak",
    "spread_leak": "leak",
    "Readings": "readings_states",
    "cycle_from_readings": "readings",
    "ReadingLog": "reading_log",
    "read_log": "reading_log",
    "EffectivenessLimit": "exchange_range",
    "ExchangeEffect": "internal_exchange",
    "LengthSweep": "internal_exchange",
    "effect_of_effectiveness": "internal_exchange",
    "exchange_by_length": "internal_exchange",
    "largest_effectiveness": "exchange_range",
    "with_internal_heat_exchanger": "internal_exchange",
    "ExchangeCurve": "exchange_range",
    "ComparedExchange": "exchange_range",
    "ExchangeJob": "exchange_range",
    "ExchangePoint": "exchange_range",
    "compare_exchange": "exchange_range",
    "FreezeResult": "chiller_freeze",
    "FreezeSpec": "chiller_freeze",
    "GuardSettings": "chiller_freeze",
    "failure_table": "chiller_freeze",
    "longest_safe_reaction": "chiller_freeze",
    "safe_time_map": "chiller_freeze",
    "simulate_chiller_freeze": "chiller_freeze",
    "NetworkFault": "coolant_network",
    "NetworkSpec": "coolant_network",
    "apply_faults": "coolant_network",
    "load_layout": "coolant_network",
    "read_layout": "coolant_network",
    "simulate_network": "coolant_network",
    "solve_coolant_network": "coolant_network",
}
__all__ = sorted(_HOMES)


def __getattr__(name):
    # Each system loads when it is first asked for, so that one lesson does not wait for another's.
    if name in _HOMES:
        return getattr(importlib.import_module(f"{__name__}.{_HOMES[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__():
    return __all__
