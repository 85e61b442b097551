"""Coolant loops of an electric vehicle: all flows at once, temperatures at rest and over time, faults, layouts."""

from thermo_kit import doors

_HOMES = doors.by_home(
    {
        "spec": "BodySpec BranchSpec ChillerLink NetworkSpec NodeSpec ValveLink",
        "result": "Event NetworkResult SimulationResult",
        "steady": "solve_coolant_network",
        "faults": "NETWORK_FAULTS NetworkFault apply_faults parts_struck_by",
        "layouts": "LAYOUT_NAMES load_layout read_layout",
        "scenario": "Scenario Segment drive fast_charge hot_soak",
        "simulate": "simulate_network",
    }
)
__all__ = sorted(_HOMES)
__getattr__, __dir__ = doors.door(__name__, _HOMES)
