"""What cannot be is refused in words: the rows of refusals.toml, and what no row can hold."""

import math
import pkgutil
import tomllib
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest

from tests.components.compressor_cases import VAN, run
from tests.components.condenser_cases import CORES, WARM, duty, inlet, solve
from tests.components.evaporator_cases import coil, day
from tests.components.evaporator_cases import solved as solved_coil
from tests.components.test_radiator import CORE as RADIATOR
from tests.systems.network_builder import ring
from tests.systems.readings_to_try import HEALTHY
from tests.systems.test_cycle import GAS_COOLER, ORDINARY
from thermo_kit import components, errors, service, systems
from thermo_kit.components.compressor import rpm
from thermo_kit.components.condenser import air_side, mass_flow_for
from thermo_kit.components.dry_air import dry_air
from thermo_kit.components.radiator import radiator_air_flow
from thermo_kit.components.receiver import pick_up
from thermo_kit.errors import NoSolutionError
from thermo_kit.fleet import part_of
from thermo_kit.service.kept import AMBIENTS
from thermo_kit.substances import Coolant, Refrigerant, moist_air
from thermo_kit.substances.stream import stream_at
from thermo_kit.systems.coolant_network import drive
from thermo_kit.units import celsius

VALVE = part_of("older_van", "expansion_valve")
DUTY = components.EvaporatorDuty(refrigerant="R-134a", condensing_temperature=celsius(50))
VESSEL = part_of("parcel_van", "receiver")
OWN = service.OwnVehicle(kind="expansion valve, electric drive", refrigerant="R-1234yf", charge=0.52)
SOUND = {"suction_pressure": 2.9e5, "discharge_pressure": 10.8e5, "suction_temperature": celsius(14),
         "discharge_temperature": celsius(66), "liquid_temperature": celsius(33),
         "vent_temperature": celsius(5.5)}  # fmt: skip


def hot_gas(T=None, **wrong):
    hot = replace(inlet("R-1234yf", 328.15), **wrong)
    hot = hot if T is None else stream_at("R-1234yf", 0.04, p=hot.pressure, T=T)
    return components.solve_condenser(CORES["R-1234yf"], hot, WARM)


def receiver(mass_flow=0.03, condensing_temperature=318.15, **wrong):
    stream = stream_at("R-1234yf", mass_flow, T=condensing_temperature, x=0.0)
    return components.solve_receiver(VESSEL, stream, components.ReceiverConditions(**{"inventory": 0.06} | wrong))


def compressor(suction_pressure=3.4e5, suction_temperature=286.15, **wrong):
    suction = stream_at("R-1234yf", p=suction_pressure, T=suction_temperature)
    usual = {"discharge_pressure": 13e5, "speed": rpm(4000)}
    return components.solve_compressor(VAN, suction, components.CompressorConditions(**usual | wrong))


def solved(solve, kind, **usual):
    """Return how a specification is made and solved with fields that are wrong."""
    return lambda **wrong: solve(kind(**usual | wrong))


MADE = {
    "condenser core": partial(replace, CORES["R-1234yf"]),
    "hot gas into the condenser": hot_gas,
    "duty of a condenser": partial(components.CompressorDuty, refrigerant="R-134a", evaporating_temperature=278.15),
    "expansion valve": partial(replace, VALVE),
    "duty of a valve": partial(replace, DUTY),
    "internal heat exchanger": partial(
        components.ExchangerSpec, length=1.2, inner_diameter=0.014, wall_thickness=0.0012, outer_diameter=0.0194),
    "fins": components.FinSpec,
    "receiver": partial(replace, VESSEL),
    "receiver at work": receiver,
    "charge": solved(
        components.charge_band, components.ChargeSpec, receiver=part_of("shuttle_bus", "receiver"),
        refrigerant="R-134a", condensing_temperature=celsius(50), mass_flow=0.06, charge=1.7, held_elsewhere=1.25,
        leak_per_year=0.04),
    "desiccant": partial(components.MoistureSpec, desiccant_mass=0.04),
    "standpipe": partial(pick_up, vessel=VESSEL, refrigerant="R-1234yf", mass_flow=0.03),
    "compressor": compressor,
    "chiller": partial(replace, components.ChillerSpec(evaporating_temperature=272.15)),
    "evaporator": solved_coil,
    "feed of a coil": lambda **wrong: components.run_evaporator(coil(), day(), replace(solved_coil().feed, **wrong)),
    "cycle": solved(systems.solve_cycle, systems.CycleSpec, **ORDINARY),
    "cycle with a gas cooler": solved(systems.solve_cycle, systems.CycleSpec, **GAS_COOLER),
    "freeze": partial(replace, systems.FreezeSpec()),
    "heat exchange compared": partial(
        systems.ExchangeJob, evaporating_temperature=celsius(2), condensing_temperature=celsius(50)),
    "readings": lambda **wrong: systems.cycle_from_readings(replace(HEALTHY, **wrong)),
    "pull-down": partial(
        systems.pull_down, systems.CabinSpec(), day(air_temperature=celsius(32), relative_humidity=0.4), coil(),
        start=celsius(55), wish=celsius(24)),
    "fault of a coolant network": lambda **wrong: systems.apply_faults(ring(), [systems.NetworkFault(**wrong)]),
    "two vents": partial(systems.two_vents, coil(), day()),
    "air in a running system": solved(
        service.air_in_system, service.RunningAir, refrigerant="R-134a", air_mass=2e-3),
    "cylinder": solved(service.fill_cylinder, service.CylinderSpec, refrigerant="R-134a", volume=0.012),
    "fault of a valve": partial(components.fault_case, VALVE, DUTY),
    "forces on a valve": partial(components.force_balance, VALVE, refrigerant="R-134a"),
    "static superheat": partial(components.static_superheat, VALVE, refrigerant="R-134a"),
    "opening of a valve": partial(components.opening_curves, VALVE, DUTY),
    "shut-off valve that is shut": partial(components.close_shut_off, components.ShutOffSpec(is_open=False), DUTY),
    "mounts": partial(components.solve_mount, components.MountSpec(mass=6.5, stiffness=40e3)),
    "machine": partial(replace, VAN),
    "flow for a head pressure": partial(mass_flow_for, CORES["R-1234yf"], duty("R-1234yf"), WARM),
    "condenser at work": partial(solve, "R-1234yf"),
    "air through a condenser": lambda **wrong: air_side(
        CORES["R-1234yf"], components.AirConditions(temperature=308.15, **wrong)),
    "evaporator in steps": partial(components.solve_evaporator, coil(), day()),
    "pipe": partial(
        components.pipe_flow, components.PipeSpec(length=1.0, diameter=0.019), volume_flow=1e-4, density=1000.0),
    "best gas cooler pressure": solved(
        systems.best_gas_cooler_pressure, systems.CycleSpec, refrigerant="R-744", evaporating_temperature=celsius(5)),
    "largest effectiveness": lambda limit, **wrong: systems.largest_effectiveness(
        systems.CycleSpec(**ORDINARY | wrong), limit),
    "effect of an exchanger": partial(systems.effect_of_effectiveness, systems.CycleSpec(**ORDINARY)),
    "coolant network": partial(replace, ring()),
    "coolant network in time": partial(systems.simulate_network, ring(), drive(duration=9.0)),
    "longest safe reaction": partial(systems.longest_safe_reaction, systems.FreezeSpec()),
    "safe-time map": partial(systems.safe_time_map, systems.FreezeSpec()),
    "topping up": partial(
        service.top_up, "ethylene glycol", system_volume=8e-3, volume_fraction=0.3, target_volume_fraction=0.5),
    "gauge on a cylinder": solved(service.air_in_cylinder, service.CylinderReading),
    "passage": partial(service.passage_flow, service.PassageSpec(diameter=1e-5), "R-134a"),
    "fan at work": partial(components.fan_operating_point, RADIATOR.fan, lambda flow: 500.0 * flow**2),
    "fins at work": partial(components.fin_surface, components.FinSpec(), air=dry_air(T=308.15)),
    "fin curve": partial(components.fin_curve, CORES["R-1234yf"], duty("R-1234yf"), WARM),
    "machine at work": lambda speed=4000, **wrong: run(replace(VAN, **wrong), speed=speed),
    "efficiency map of R-744": lambda **wrong: components.efficiency_map(VAN, stream_at("R-744", **wrong)),
    "radiator": partial(replace, RADIATOR),
    "air of a radiator": partial(radiator_air_flow, RADIATOR),
    "recovery": solved(service.recover, service.RecoverySpec),
    "slush": Coolant("ethylene glycol", mass_fraction=0.3).ice_fraction,
    "state of R-744": Refrigerant("R-744").at,
    **{f"{name} of R-134a": getattr(Refrigerant("R-134a"), name) for name in (
        "dew_pressure", "bubble_pressure", "dew_temperature", "bubble_temperature", "saturation")},
    "coolant": Coolant,
    "state of R-134a": Refrigerant("R-134a").at,
    "moist air": moist_air,
    "sheet of one's own vehicle": lambda **wrong: service.diagnose_own(
        OWN, AMBIENTS[1], tuple(service.Reading(*one) for one in (SOUND | wrong).items())),
}  # fmt: skip
"""How each base of the table is made with fields that are wrong."""


def meant(value):
    """What a value of the table stands for."""
    if isinstance(value, list):
        return tuple(map(meant, value))
    if isinstance(value, str) and value.endswith(" °C"):
        return celsius(float(value[:-3]))
    return None if value == "nothing" else value


NEEDS_NO_ADVICE = ("is not a list of", "is not a whole number from", "is not liquid")
TABLE = tomllib.loads((Path(__file__).parent / "refusals.toml").read_text(encoding="utf-8"))
ROWS = [(base, *row) for base, table in TABLE.items() for row in table["rows"]]


@pytest.mark.parametrize("row", ROWS, ids=[f"{base}: {words}" for base, _, words, *_ in ROWS])
def test_what_cannot_be_is_refused_with_these_words(row):
    base, wrong, words, *error = row
    make = pkgutil.resolve_name(f"thermo_kit.{base}") if ":" in base else MADE[base]
    with pytest.raises(getattr(errors, *(error or ["InputError"])), match=f"(?s){words}") as caught:
        make(**{name: meant(value) for name, value in wrong.items()})
    bare = [str(problem) for problem in caught.value.problems if not problem.advice]
    assert all(any(end in text for end in NEEDS_NO_ADVICE) for text in bare), bare


def test_every_base_has_rows():
    assert {base for base in TABLE if ":" not in base} == MADE.keys() and len(ROWS) >= 340
    assert meant(["20 °C", "nothing", math.inf]) == (293.15, None, math.inf)


def test_far_superheated_vapour_stays_below_the_coolant_that_warms_it():
    cold = {"refrigerant": "R-744", "evaporating_pressure": 849464.0, "inlet_quality": 0.59, "mass_flow": 7e-4}
    result = components.solve_chiller(components.ChillerSpec(coolant_inlet_temperature=289.28, **cold))
    assert 40.0 < result.superheat and result.outlet.state.T <= 289.28 + 1e-6


def test_a_part_whose_heat_goes_nowhere_has_no_steady_temperature():
    network = systems.load_layout("warm_cabin")
    sealed = replace(
        network,
        nodes=tuple(replace(node, air_loss=0.0) for node in network.nodes),
        bodies=tuple(replace(body, air_loss=0.0) for body in network.bodies),
    )
    with pytest.raises(NoSolutionError, match="steady temperature"):
        fault = systems.NetworkFault(kind="pump dead", part="pump")
        systems.solve_coolant_network(systems.apply_faults(sealed, [fault]))
