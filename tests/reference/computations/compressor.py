"""Compressor, mounts and insulation as the rows ask for them; only arranges arguments."""

import math
from dataclasses import replace

from scipy.optimize import brentq

from tests.components.compressor_cases import LOSS_FREE, VAN
from thermo_kit.components.compressor import CompressorConditions, rpm, solve_compressor
from thermo_kit.components.insulation import InsulationSpec, judge_insulation
from thermo_kit.components.mount import MountSpec, solve_mount, transmissibility
from thermo_kit.substances.stream import stream_at


def _run(refrigerant, suction_pressure, suction_temperature, ratio, speed, volume_ratio=None, machine=VAN):
    return solve_compressor(
        replace(machine, built_in_volume_ratio=volume_ratio or machine.built_in_volume_ratio),
        stream_at(refrigerant, p=suction_pressure, T=suction_temperature),
        CompressorConditions(discharge_pressure=ratio * suction_pressure, speed=rpm(speed), supply_voltage=800.0),
    )


def work_factor(**given):
    """Work in the pocket by pressure times volume of the gas closed in."""
    pocket = _run(speed=3000, machine=LOSS_FREE, **given).pocket
    return pocket.work * pocket.density / pocket.pressure


def _best(**given):
    ratios = (1.5 + 0.1 * k for k in range(31))
    return max((_run(ratio=ratio, **given).isentropic_efficiency, ratio) for ratio in ratios)


def best_ratio(**given):
    """Pressure ratio, in steps of a tenth, at which the isentropic efficiency is highest."""
    return _best(**given)[1]


def best_efficiency(**given):
    """Highest isentropic efficiency over pressure ratio."""
    return _best(**given)[0]


def volumetric_efficiency(**given):
    """Of the van's machine."""
    return _run(**given).volumetric_efficiency


def energy_closure(**given):
    """Of the van's machine, its electric power against what gas and air carry away."""
    run = _run(**given)
    gained = run.mass_flow * (run.outlet.enthalpy - run.suction_enthalpy) + run.heat_loss
    return abs(gained / run.electric_power - 1.0)


def stiffness_for(*, mass, speed, share, count):
    """Stiffness of one of `count` undamped mounts that let `share` through."""

    def excess(stiffness):
        mounts = MountSpec(mass=mass, stiffness=stiffness, count=count, damping_ratio=0.0)
        return solve_mount(mounts, speed=speed).transmissibility - share

    return brentq(excess, 1e3, mass * speed**2 / (2.0 * count))


def speed_ratio_for(*, share):
    """Speed by natural speed at which undamped mounts let `share` through."""
    return brentq(lambda r: transmissibility(speed_ratio=r, damping_ratio=0.0) - share, math.sqrt(2.0), 50.0)


def least_insulation(*, voltage, circuit):
    """Least insulation by voltage [ohm/V]."""
    return _judged(voltage=voltage, circuit=circuit).least_resistance / voltage


def _judged(**given):
    return judge_insulation(InsulationSpec(compressor=1e6, others=1e6, **given))
