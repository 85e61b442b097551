"""Coolant loops of an electric vehicle: all flows at once, temperatures at rest and over time, faults, layouts."""

from thermo_kit import doors

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
__getattr__, __dir__ = doors.door(__name__, _HOMES)
