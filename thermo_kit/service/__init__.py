"""Judging readings at the vehicle and deciding what to do."""

import importlib

_HOMES = {
    "cold_state": "mixture",
    "read_hydrometer": "mixture",
    "read_refractometer": "mixture",
    "refractive_index": "mixture",
    "top_up": "mixture",
    "INSTRUMENTS": "diagnosis",
    "Reading": "diagnosis",
    "diagnose": "diagnosis",
    "readings_of": "diagnosis",
    "value_of": "diagnosis",
}
__all__ = sorted(_HOMES)


def __getattr__(name):
    # Each task loads when it is first asked for, so that one lesson does not wait for another's.
    if name in _HOMES:
        return getattr(importlib.import_module(f"{__name__}.{_HOMES[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__():
    return __all__
