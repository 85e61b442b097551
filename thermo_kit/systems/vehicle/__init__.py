"""The whole vehicle: its parts joined, healthy or broken, and everything that can be read on it."""

from thermo_kit.systems.vehicle.curves import ChargeCurve, charge_curve
from thermo_kit.systems.vehicle.faults import FAULTS, Fault, apply_faults, fault_fits
from thermo_kit.systems.vehicle.result import VehicleResult
from thermo_kit.systems.vehicle.scatter import SCATTER, scattered
from thermo_kit.systems.vehicle.solve import solve_vehicle
from thermo_kit.systems.vehicle.spec import (
    AccumulatorSpec,
    ChillerBranchSpec,
    Conditions,
    ControlledValveSpec,
    LineSpec,
    ShutOffFault,
    VehicleSpec,
)

__all__ = [
    "FAULTS",
    "SCATTER",
    "AccumulatorSpec",
    "ChargeCurve",
    "ChillerBranchSpec",
    "Conditions",
    "ControlledValveSpec",
    "Fault",
    "LineSpec",
    "ShutOffFault",
    "VehicleResult",
    "VehicleSpec",
    "apply_faults",
    "charge_curve",
    "fault_fits",
    "scattered",
    "solve_vehicle",
]
