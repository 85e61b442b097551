"""What happens in a plate chiller when the coolant stops and the refrigerant does not."""

import importlib

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


def __getattr__(name):
    if name in _HOMES:
        return getattr(importlib.import_module(f"{__name__}.{_HOMES[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__():
    return __all__
