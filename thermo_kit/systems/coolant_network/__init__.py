"""Coolant loops of an electric vehicle: all flows at once, temperatures at rest and over time, faults, layouts."""

import importlib

_HOMES = {
    "BodySpec": "spec",
    "BranchSpec": "spec",
    "ChillerLink": "spec",
    "NetworkSpec": "spec",
    "NodeSpec": "spec",
    "ValveLink": "spec",
    "Event": "result",
    "NetworkResult": "result",
    "solve_coolant_network": "steady",
    "NETWORK_FAULTS": "faults",
    "NetworkFault": "faults",
    "apply_faults": "faults",
    "parts_struck_by": "faults",
    "LAYOUT_NAMES": "layouts",
    "load_layout": "layouts",
    "read_layout": "layouts",
    "Scenario": "scenario",
    "Segment": "scenario",
    "drive": "scenario",
    "fast_charge": "scenario",
    "hot_soak": "scenario",
    "SimulationResult": "result",
    "simulate_network": "simulate",
}
__all__ = sorted(_HOMES)


def __getattr__(name):
    if name in _HOMES:
        return getattr(importlib.import_module(f"{__name__}.{_HOMES[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__():
    return __all__
