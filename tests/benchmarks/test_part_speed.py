"""How much processor time each part takes to be solved, and a panel to be described, in bare property states."""

import math
import time
from dataclasses import replace
from functools import partial

import pytest

from tests.benchmarks.beside import measured, most_states, seconds_of_a_state, told
from tests.components.compressor_cases import VAN
from tests.components.condenser_cases import CORES, DUTIES, WARM, inlet
from tests.components.evaporator_cases import coil, day
from tests.components.exchanger_cases import streams, van_exchanger
from thermo_kit import components, panels, systems
from thermo_kit.components import condenser
from thermo_kit.components.compressor import rpm
from thermo_kit.components.evaporator import solve as solve_module
from thermo_kit.fleet import part_of
from thermo_kit.panels.chiller import SafeTimePanel, map_arguments
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.stream import stream_at
from thermo_kit.systems import with_internal_heat_exchanger as joined
from thermo_kit.systems.coolant_network import LAYOUT_NAMES, drive
from thermo_kit.units import celsius
from thermo_kit.units.look import Look

DUTY = components.EvaporatorDuty(refrigerant="R-134a", condensing_temperature=celsius(50))
FAULTS = {"flooding": {"stuck_at": 0.9}, "starved": {"stuck_at": 0.3}, "pulled down": {"bulb_lost": True}, "sound": {}}
VESSELS = {"parcel_van": ("R-1234yf", 0.03, 0.06), "shuttle_bus": ("R-134a", 0.06, 0.15)}
LEAKING = components.ChargeSpec(
    receiver=part_of("shuttle_bus", "receiver"), refrigerant="R-134a", condensing_temperature=celsius(45),
    mass_flow=0.06, charge=1.7, held_elsewhere=1.25, leak_per_year=0.04, lateral_acceleration=4.0,
)  # fmt: skip
AIRS = {
    "warm day": {}, "partly wet": {"relative_humidity": 0.28}, "dry": {"relative_humidity": 0.05},
    "starved": {"superheat": 20.0}, "frost": {"evaporating_temperature": celsius(-8), "air_flow": 0.06},
}  # fmt: skip
FREEZES = {
    "water, nobody reacts": systems.FreezeSpec(coolant="water"),
    "water, valve closes at 12 s": systems.FreezeSpec(coolant="water", reaction_time=12.0),
    "30 % glycol, nobody reacts": systems.FreezeSpec(),
    "50 % glycol, a fifth of the flow left": systems.FreezeSpec(mass_fraction=0.5, flow_profile=((0, 1), (1, 0.2))),
}
DRIVE = drive(duration=3600.0, ambient_temperature=298.15)
HOUR = {"start": celsius(55), "wish": celsius(25), "duration": 3600.0}
JOINED = systems.CycleSpec(
    refrigerant="R-1234yf", evaporating_temperature=celsius(2), superheat=5.0, subcooling=5.0,
    condensing_temperature=celsius(50), isentropic_efficiency=0.65, mass_flow=0.03,
)  # fmt: skip


def valve(k):
    return part_of("older_van", "expansion_valve"), replace(DUTY, condensing_temperature=celsius(50) + 1e-4 * k)


def gas(k, name="R-1234yf"):
    return stream_at(name, p=3.4e5 + k, T=celsius(15))


def liquid(k, vehicle):
    name, flow, mass = VESSELS[vehicle]
    stream = stream_at(name, flow, T=celsius(45) + 1e-4 * k, x=0.0)
    return part_of(vehicle, "receiver"), stream, components.ReceiverConditions(inventory=mass, lateral_acceleration=5.0)


def job(k, name):
    share = 1.0 + 1e-6 * k
    return condenser.CompressorDuty(
        refrigerant=name, evaporating_temperature=278.15, cooling_capacity=share * DUTIES[name]
    )


def outside(k):
    given = {"air_temperature": celsius(32), "relative_humidity": 0.4}
    return day(**given, evaporating_temperature=celsius(3) + 1e-4 * k)


def cycle(k):
    return replace(JOINED, evaporating_temperature=celsius(2) + 1e-4 * k, condensing_temperature=celsius(50) + 1e-4 * k)


def pulled_down(k, way):
    return systems.CabinSpec(), outside(0 if way == "kept" else k), coil()


SOLVED = {
    **{f"expansion valve, {name}": (
        partial(components.solve_valve, fault=components.ValveFault(**fault)), valve, 0.5, 100)
       for name, fault in FAULTS.items()},
    **{f"receiver, {name}": (components.solve_receiver, partial(liquid, vehicle=name), 1, 100) for name in VESSELS},
    "charge band": (
        components.charge_band, lambda k: (replace(LEAKING, condensing_temperature=celsius(45) + 1e-4 * k),), 1, 100),
    **{f"compressor, {name}": (components.solve_compressor, lambda k, name=name: (
        VAN, gas(k, name), components.CompressorConditions(discharge_pressure=13e5, speed=rpm(4000))), 1, 100)
       for name in ("R-1234yf", "R-134a", "R-290")},
    "efficiency map of 90 points": (components.efficiency_map, lambda k: (VAN, gas(k)), 50, 10),
    "mounts": (
        partial(components.solve_mount, speed=rpm(8000)), lambda k: (components.MountSpec(mass=6.5, stiffness=40e3),),
        1, 100),
    **{f"condenser, {name}": (condenser.solve_condenser, lambda k, name=name: (
        CORES[name], inlet(name, 328.0 + 1e-4 * k), WARM), 10, 60) for name in CORES},
    **{f"head pressure, {name}": (condenser.condensing_pressure_for, lambda k, name=name: (
        CORES[name], job(k, name), WARM), 30, 20) for name in CORES},
    "two cores": (condenser.compare_cores, lambda k: (
        CORES["R-1234yf"], condenser.with_fin_density(CORES["R-1234yf"], components.fins_per_inch(16)),
        job(k, "R-1234yf"), WARM), 60, 10),
    **{f"evaporator, {name}": (components.solve_evaporator, lambda k, air=air: (
        coil(), day(**{"air_temperature": celsius(30), **air, "liquid_temperature": celsius(42) + 1e-4 * k})), 0.3, 100)
       for name, air in AIRS.items()},
    **{f"pull-down of an hour, {way}": (
        partial(systems.pull_down, exact=way == "exact", **HOUR), partial(pulled_down, way=way), target, 20)
       for way, target in (("kept", 10), ("new coil setting", 20), ("exact", 50))},
    "chiller": (components.solve_chiller, lambda k: (
        components.ChillerSpec(evaporating_temperature=272.15, coolant_inlet_temperature=288.0 + 0.01 * k),), 1.5, 60),
    **{f"freeze transient, {name}": (systems.simulate_chiller_freeze, lambda k, spec=spec: (
        replace(spec, coolant_inlet_temperature=288.0 + 0.05 * k),), 150, 7) for name, spec in FREEZES.items()},
    **{f"internal heat exchanger, {name}": (components.solve_exchanger, lambda k, name=name: (
        van_exchanger(), *streams(name, condensing=50.0 + 1e-4 * k, evaporating=2.0 + 1e-4 * k)), 0.5, 60)
       for name in ("R-134a", "R-1234yf")},
    "cycle joined with an exchanger": (joined, lambda k: (cycle(k), van_exchanger(), 0.03), 2, 40),
    **{f"coolant network {name}, flows and temperatures": (systems.solve_coolant_network, lambda k, name=name: (
        systems.load_layout(name),), 5, 60) for name in LAYOUT_NAMES},
    **{f"coolant network {name}, an hour of driving": (systems.simulate_network, lambda k, name=name: (
        systems.load_layout(name), DRIVE), 1000, 3) for name in LAYOUT_NAMES},
}  # fmt: skip
"""What is timed: name → function, arguments of the k-th case, target in milliseconds, how many cases.

Each case is new, or what is kept of the last one would hide its cost.
"""
DESCRIBED = {
    "ValveForcePanel": ("line_temperature", 1e-3, 20), "ValveOpeningPanel": ("superheat", 1e-3, 20),
    "ValveFaultPanel": ("air_temperature", 1e-3, 20), "ReceiverPanel": ("lateral_acceleration", 1e-3, 20),
    "ReceiverChargePanel": ("lateral_acceleration", 1e-3, 20), "CompressorPanel": ("speed", 0.1, 20),
    "CompressorMapPanel": ("speed", 0.1, 20), "MountPanel": ("speed", 0.1, 20),
    "CondenserPanel": ("fin_density", 0.1, 12), "CompareCoresPanel": ("second_fins", 0.1, 16),
    "FinDensityPanel": ("fin_density", 0.1, 12),
}  # fmt: skip
"""Panels whose description is timed: field, step of it, target in milliseconds."""


@pytest.mark.parametrize("name", SOLVED)
def test_a_solution_takes_little(name, record_property):
    solve, case, target, count = SOLVED[name]
    seen = measured(lambda given: solve(*given), [case(k) for k in range(count)], target=target)
    record_property("ratio", f"{name}: {seen}")


@pytest.mark.parametrize("name", DESCRIBED)
def test_a_description_takes_little(name, record_property):
    kind, (field, step, target) = getattr(panels, name), DESCRIBED[name]
    start = kind.Settings()
    cases = [replace(start, **{field: getattr(start, field) + step * k}) for k in range(30)]
    record_property("ratio", f"{name}: {measured(lambda case: kind.describe(case, Look()), cases, target=target)}")


def test_refrigerant_states_are_kept_over_a_pull_down(monkeypatch):
    asked = []
    original = Refrigerant.at
    monkeypatch.setattr(Refrigerant, "at", lambda self, **given: asked.append(given) or original(self, **given))
    solve_module._held.cache_clear()
    systems.pull_down(systems.CabinSpec(), outside(7), coil(), exact=True, **HOUR)
    assert len(asked) == 4


def test_the_panels_whole_fine_map(record_property):
    """The map that a learner asks for, 20 by 20 points on two processes, held against states timed around it."""
    points = SafeTimePanel.fine_points
    asked = map_arguments(SafeTimePanel.Settings(), points)
    before, begin = seconds_of_a_state(), time.perf_counter()
    found = systems.safe_time_map(**asked, accuracy=SafeTimePanel.accuracy, workers=2)
    seconds = time.perf_counter() - begin
    states = seconds / (0.5 * (before + seconds_of_a_state()))
    assert found.complete
    assert any(math.isfinite(time) for row in found.seconds for time in row)
    text = f"safe-time map, {points} by {points} on two processes: {seconds:.1f} s, {told(states, 30e3)}"
    record_property("ratio", text)
    assert states < most_states(30e3)
