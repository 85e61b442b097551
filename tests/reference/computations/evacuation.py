"""Vacuum, water in it, recovery and hoses."""

import math

import numpy as np

from thermo_kit.service import (
    EvacuationSpec,
    HoseHoldUp,
    HoseSpec,
    RecoverySpec,
    RepairSpec,
    drawn_speed,
    estimate_repair,
    evacuate,
    hose_conductance,
    hose_holds,
    judge_vacuum_rise,
    pump_down_time,
    read_vacuum_log,
    recover,
    vapour_left,
)
from thermo_kit.substances import water_boiling_temperature

_OPEN = HoseSpec(bore=0.03, length=0.1, core_in=False)


def conductance(bore, length, pressure, gas="air", temperature=293.15):
    return hose_conductance(bore, length, pressure, gas=gas, temperature=temperature)


def molecular_with_speed(bore, length, speed):
    temperature = speed**2 * math.pi * 0.0289652 / (8.0 * 8.31446)
    return hose_conductance(bore, length, 1e-9, temperature=temperature)


def behind_a_hose(pump, bore, length, pressure):
    hose = HoseSpec(bore=bore, length=length, core_in=False)
    return drawn_speed(EvacuationSpec(pump_speed=pump, ultimate_pressure=0.05, hose=hose), pressure)


def pump_down(volume, speed, start, end, ultimate=0.0):
    return pump_down_time(volume, speed, start, end, ultimate_pressure=ultimate)


def boils_at(pressure):
    return water_boiling_temperature(pressure)


def leak_of_rise(volume, rate):
    times = [60.0 * i for i in range(12)]
    return judge_vacuum_rise(times, [100.0 + rate * t for t in times], volume=volume).leak


def log_pressure(heading, reading):
    return read_vacuum_log(f"time [min]; {heading}\n0; {reading}\n1; {reading}\n").pressures[0]


def _left_without_heat():
    spec = EvacuationSpec(warmth=0.0, water=0.02, hose=_OPEN, pump_speed=0.02, water_area=0.02, duration=3000.0)
    result = evacuate(spec, points=4000)
    left = np.array(result.water_left) / spec.water
    melting = left[np.nonzero(np.array(result.water_temperature) <= 273.1501)[0][0]]
    return melting, left[np.nonzero(np.array(result.ice_share) >= 0.9999)[0][0]]


def boils_to_cool():
    return 1.0 - _left_without_heat()[0]


def boils_to_freeze():
    melting, frozen = _left_without_heat()
    return 1.0 - frozen / melting


def in_hose(refrigerant, state, bore, length, temperature):
    spec = HoseHoldUp(refrigerant=refrigerant, bore=bore, length=length, temperature=temperature)
    return hose_holds(spec)[("liquid", "vapour").index(state)]


def left_as_vapour(refrigerant, volume, pressure, temperature):
    return vapour_left(refrigerant, volume, pressure=pressure, temperature=temperature)


def drawn_to_cool(refrigerant, to):
    spec = RecoverySpec(
        refrigerant=refrigerant, charge=2.4, warmth=0.0, oil=0.0, machine_speed=2e-4, duration=600.0
    )  # fmt: skip
    result = recover(spec, points=4000)
    return float(np.interp(-to, -np.array(result.temperature), result.recovered)) / spec.charge


def recovered_within(refrigerant, minutes):
    result = recover(RecoverySpec(refrigerant=refrigerant, temperature=295.65, duration=60.0 * minutes))
    return result.recovered[-1] / result.spec.charge


def likely_cost():
    return estimate_repair(RepairSpec(failure="compressor burnt, debris in the system")).likely
