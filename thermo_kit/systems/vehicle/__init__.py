"""The whole vehicle: its parts joined, healthy or broken, and everything that can be read on it."""

from thermo_kit.systems.vehicle.curves import ChargeCurve, charge_curve
from thermo_kit.systems.vehicle.faults import FAULTS, Fault, apply_faults, fault_fits
from thermo_kit.systems.vehicle.result import VehicleResult
from thermo_kit.systems.vehicle.solve import solve_vehicle
from thermo_kit.systems.vehicle.spec import AccumulatorSpec, Conditions, ControlledValveSpec, LineSpec, VehicleSpec

__all__ = [
    "FAULTS",
    "AccumulatorSpec",
    "ChargeCurve",
    "Conditions",
    "ControlledValveSpec",
    "Fault",
    "LineSpec",
    "VehicleResult",
    "VehicleSpec",
    "apply_faults",
    "charge_curve",
    "fault_fits",
    "solve_vehicle",
]
