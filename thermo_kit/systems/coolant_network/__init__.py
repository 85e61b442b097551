"""Coolant loops of an electric vehicle: all flows at once, temperatures at rest and over time, faults, layouts."""

from thermo_kit import doors

__all__, __getattr__, __dir__ = doors.door(
    __name__,
    spec="BodySpec BranchSpec ChillerLink NetworkSpec NodeSpec ValveLink LAYOUT_NAMES load_layout read_layout",
    simulate="Event SimulationResult Scenario Segment drive fast_charge hot_soak simulate_network",
    steady="NetworkResult solve_coolant_network",
    faults="NETWORK_FAULTS NetworkFault apply_faults parts_struck_by",
)
