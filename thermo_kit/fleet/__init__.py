"""The vehicles of the invented depot, as data: a file a vehicle, a table a part; whoever adds a file adds a vehicle."""

from thermo_kit.fleet.vehicles import fault, fault_names, part_of, title_of, vehicle, vehicle_names, vehicles_with

__all__ = ["fault", "fault_names", "part_of", "title_of", "vehicle", "vehicle_names", "vehicles_with"]
