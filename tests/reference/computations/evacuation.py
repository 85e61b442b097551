"""Vacuum, water in it, recovery and hoses."""

import math

import numpy as np

from thermo_kit import service
from thermo_kit.substances import water_boiling_temperature

_OPEN = service.HoseSpec(bore=0.03, length=0.1, core_in=False)

conductance = service.hose_conductance


def molecular_with_speed(bore, length, speed):
    temperature = speed**2 * math.pi * 0.0289652 / (8.0 * 8.31446)
    return service.hose_conductance(bore, length, 1e-9, temperature=temperature)


def behind_a_hose(pump, bore, length, pressure):
    hose = service.HoseSpec(bore=bore, length=length, core_in=False)
    spec = service.EvacuationSpec(pump_speed=pump, ultimate_pressure=0.05, hose=hose)
    return service.drawn_speed(spec, pressure)


def pump_down(volume, speed, start, end, ultimate=0.1):
    """Time in which a dry circuit falls from one pressure to another behind a wide open hose.

    A tenth of the vessel with a tenth of the pump: the time depends on their ratio only.
    """
    spec = service.EvacuationSpec(
        volume=0.1 * volume, pump_speed=0.1 * speed, ultimate_pressure=ultimate, hose=_OPEN, water=0.0,
        oil_outgassing=0.0, duration=100.0,
    )  # fmt: skip
    result = service.evacuate(spec, points=4000)
    begun, ended = np.interp([-start, -end], -np.array(result.pressure), result.time)
    return ended - begun


def boils_at(pressure):
    return water_boiling_temperature(pressure)


def leak_of_rise(volume, rate):
    times = [60.0 * i for i in range(12)]
    return service.judge_vacuum_rise(times, [100.0 + rate * t for t in times], volume=volume).leak


def log_pressure(heading, reading):
    return service.read_vacuum_log(f"time [min]; {heading}\n0; {reading}\n1; {reading}\n").pressures[0]


def _left_without_heat():
    """Share of the water left when it has cooled to melting, and when it is all ice: what boils is paid by the rest."""
    spec = service.EvacuationSpec(
        warmth=0.0, water=0.02, hose=_OPEN, pump_speed=0.02, water_area=0.02, duration=3000.0
    )  # fmt: skip
    result = service.evacuate(spec, points=4000)
    left = np.array(result.water_left) / spec.water
    melting = left[np.nonzero(np.array(result.water_temperature) <= 273.1501)[0][0]]
    return melting, left[np.nonzero(np.array(result.ice_share) >= 0.9999)[0][0]]


def boils_to_cool():
    return 1.0 - _left_without_heat()[0]


def boils_to_freeze():
    melting, frozen = _left_without_heat()
    return 1.0 - frozen / melting


def in_hose(state, **hose):
    return service.hose_holds(service.HoseHoldUp(**hose))[("liquid", "vapour").index(state)]


def left_as_vapour(refrigerant, volume, pressure, temperature):
    """Vapour that a slow machine leaves without oil where it stops at a pressure."""
    spec = service.RecoverySpec(
        refrigerant=refrigerant, charge=0.05, volume=volume, temperature=temperature, machine_speed=2e-5,
        end_pressure=pressure, warmth=100.0, oil=0.0,
    )  # fmt: skip
    return service.recover(spec).as_vapour


def drawn_to_cool(refrigerant, to):
    spec = service.RecoverySpec(
        refrigerant=refrigerant, charge=2.4, warmth=0.0, oil=0.0, machine_speed=2e-4, duration=600.0
    )  # fmt: skip
    result = service.recover(spec, points=4000)
    return float(np.interp(-to, -np.array(result.temperature), result.recovered)) / spec.charge


def recovered_within(refrigerant, minutes):
    spec = service.RecoverySpec(refrigerant=refrigerant, temperature=295.65, duration=60.0 * minutes)
    result = service.recover(spec)
    return result.recovered[-1] / spec.charge


def likely_cost():
    return service.estimate_repair(service.RepairSpec(failure="compressor burnt, debris in the system")).likely
