"""Compressor, mounts and insulation as the rows ask for them; only arranges arguments."""

import math
from dataclasses import replace

from thermo_kit.components.compressor import CompressorConditions, rpm, solve_compressor
from thermo_kit.components.insulation import InsulationSpec, judge_insulation
from thermo_kit.components.mount import MountSpec, solve_mount, transmissibility
from thermo_kit.fleet import part_of
from thermo_kit.substances.stream import stream_at

_NO_LOSS = {
    "leakage_area": 0.0, "suction_port_area": 5e-3, "discharge_port_area": 5e-3, "friction_torque": 0.0,
    "phase_resistance": 0.0, "iron_loss": 0.0, "inverter_idle_loss": 0.0, "inverter_loss_share": 0.0,
    "heat_loss_coefficient": 0.0,
}  # fmt: skip


def _run(refrigerant, suction_pressure, suction_temperature, ratio, speed, **spec):
    return solve_compressor(
        replace(part_of("parcel_van", "compressor"), **spec),
        stream_at(refrigerant, p=suction_pressure, T=suction_temperature),
        CompressorConditions(discharge_pressure=ratio * suction_pressure, speed=rpm(speed), supply_voltage=800.0),
    )


def work_factor(*, refrigerant, suction_pressure, suction_temperature, ratio, volume_ratio):
    """Work in the pocket by pressure times volume of the gas closed in."""
    run = _run(
        refrigerant, suction_pressure, suction_temperature, ratio, 3000, built_in_volume_ratio=volume_ratio, **_NO_LOSS
    )
    return run.pocket.work * run.pocket.density / run.pocket.pressure


def best_ratio(*, refrigerant, suction_pressure, suction_temperature, volume_ratio, speed):
    """Pressure ratio, in steps of a tenth, at which the isentropic efficiency is highest."""
    ratios = [1.5 + 0.1 * k for k in range(31)]
    return max(
        ratios, key=lambda r: _efficiency(refrigerant, suction_pressure, suction_temperature, r, volume_ratio, speed)
    )


def best_efficiency(*, refrigerant, suction_pressure, suction_temperature, volume_ratio, speed):
    """Highest isentropic efficiency over pressure ratio."""
    ratios = [1.5 + 0.1 * k for k in range(31)]
    return max(_efficiency(refrigerant, suction_pressure, suction_temperature, r, volume_ratio, speed) for r in ratios)


def _efficiency(refrigerant, p, T, ratio, volume_ratio, speed):
    return _run(refrigerant, p, T, ratio, speed, built_in_volume_ratio=volume_ratio).isentropic_efficiency


def volumetric_efficiency(*, refrigerant, suction_pressure, suction_temperature, ratio, speed):
    """Of the van's machine."""
    return _run(refrigerant, suction_pressure, suction_temperature, ratio, speed).volumetric_efficiency


def energy_closure(*, refrigerant, suction_pressure, suction_temperature, ratio, speed):
    """Of the van's machine, its electric power against what gas and air carry away."""
    run = _run(refrigerant, suction_pressure, suction_temperature, ratio, speed)
    gained = run.mass_flow * (run.outlet.enthalpy - run.suction_enthalpy) + run.heat_loss
    return abs(gained / run.electric_power - 1.0)


def share(*, speed_ratio, damping_ratio):
    """Force transmissibility."""
    return transmissibility(speed_ratio=speed_ratio, damping_ratio=damping_ratio)


def stiffness_for(*, mass, speed, share, count):
    """Stiffness of one of `count` undamped mounts that let `share` through, found by halving an interval."""
    low, high = 1e3, mass * speed**2 / (2.0 * count)
    for _ in range(80):
        middle = 0.5 * (low + high)
        spec = MountSpec(mass=mass, stiffness=middle, count=count, damping_ratio=0.0)
        low, high = (middle, high) if solve_mount(spec, speed=speed).transmissibility < share else (low, middle)
    return low


def speed_ratio_for(*, share):
    """Speed by natural speed at which undamped mounts let `share` through, found by halving an interval."""
    low, high = math.sqrt(2.0), 50.0
    for _ in range(80):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if transmissibility(speed_ratio=middle, damping_ratio=0.0) > share else (low, middle)
    return low


def least_insulation(*, voltage, circuit):
    """Least insulation by voltage [ohm/V]."""
    return _judged(voltage=voltage, circuit=circuit).least_resistance / voltage


def _judged(**given):
    return judge_insulation(InsulationSpec(compressor=1e6, others=1e6, **given))
