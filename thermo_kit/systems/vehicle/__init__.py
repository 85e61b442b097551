"""The whole vehicle: its parts joined, healthy or broken, and everything that can be read on it."""

from thermo_kit import doors

__all__, __getattr__, __dir__ = doors.door(
    __name__,
    curves="ChargeCurve charge_curve",
    faults="FAULTS Fault apply_faults fault_fits",
    result="VehicleResult",
    scatter="SCATTER scattered",
    solve="solve_vehicle",
    spec="AccumulatorSpec ChillerBranchSpec Conditions ControlledValveSpec LineSpec ShutOffFault VehicleSpec",
)
