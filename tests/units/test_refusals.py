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
from thermo_kit import errors
from thermo_kit.components import (
    ChillerSpec,
    CompressorConditions,
    FinSpec,
    MoistureSpec,
    efficiency_map,
    fan_operating_point,
    fin_curve,
    fin_surface,
    solve_chiller,
    solve_compressor,
    solve_receiver,
)
from thermo_kit.components.compressor import rpm
from thermo_kit.components.condenser import AirConditions, CompressorDuty, air_side, mass_flow_for, solve_condenser
from thermo_kit.components.dry_air import dry_air
from thermo_kit.components.evaporator import run_evaporator, solve_evaporator
from thermo_kit.components.expansion_valve import (
    EvaporatorDuty,
    ShutOffSpec,
    close_shut_off,
    fault_case,
    force_balance,
    opening_curves,
    static_superheat,
)
from thermo_kit.components.internal_heat_exchanger import ExchangerSpec
from thermo_kit.components.mount import MountSpec, solve_mount
from thermo_kit.components.pipe import PipeSpec, pipe_flow
from thermo_kit.components.radiator import radiator_air_flow
from thermo_kit.components.receiver import ChargeSpec, ReceiverConditions, charge_band, pick_up
from thermo_kit.errors import NoSolutionError
from thermo_kit.fleet import part_of
from thermo_kit.service import (
    CylinderReading,
    CylinderSpec,
    PassageSpec,
    RecoverySpec,
    RunningAir,
    air_in_cylinder,
    air_in_system,
    fill_cylinder,
    passage_flow,
    recover,
    top_up,
)
from thermo_kit.service.diagnosis import Reading
from thermo_kit.service.kept import AMBIENTS
from thermo_kit.service.own_vehicle import OwnVehicle, diagnose_own
from thermo_kit.substances import Coolant, Refrigerant, moist_air
from thermo_kit.substances.stream import stream_at
from thermo_kit.systems import (
    CabinSpec,
    CycleSpec,
    ExchangeJob,
    FreezeSpec,
    NetworkFault,
    apply_faults,
    best_gas_cooler_pressure,
    cycle_from_readings,
    effect_of_effectiveness,
    largest_effectiveness,
    load_layout,
    pull_down,
    solve_coolant_network,
    solve_cycle,
    two_vents,
)
from thermo_kit.systems.chiller_freeze import longest_safe_reaction, safe_time_map
from thermo_kit.systems.coolant_network import drive, simulate_network
from thermo_kit.units import celsius

VALVE = part_of("older_van", "expansion_valve")
DUTY = EvaporatorDuty(refrigerant="R-134a", condensing_temperature=celsius(50))
VESSEL = part_of("parcel_van", "receiver")
OWN = OwnVehicle(kind="expansion valve, electric drive", refrigerant="R-1234yf", charge=0.52)
SOUND = {"suction_pressure": 2.9e5, "discharge_pressure": 10.8e5, "suction_temperature": celsius(14),
         "discharge_temperature": celsius(66), "liquid_temperature": celsius(33),
         "vent_temperature": celsius(5.5)}  # fmt: skip


def hot_gas(T=None, **wrong):
    hot = replace(inlet("R-1234yf", 328.15), **wrong)
    return solve_condenser(
        CORES["R-1234yf"], hot if T is None else stream_at("R-1234yf", 0.04, p=hot.pressure, T=T), WARM
    )


def receiver(mass_flow=0.03, condensing_temperature=318.15, **wrong):
    stream = stream_at("R-1234yf", mass_flow, T=condensing_temperature, x=0.0)
    return solve_receiver(VESSEL, stream, ReceiverConditions(**{"inventory": 0.06} | wrong))


def compressor(suction_pressure=3.4e5, suction_temperature=286.15, **wrong):
    suction = stream_at("R-1234yf", p=suction_pressure, T=suction_temperature)
    return solve_compressor(
        VAN, suction, CompressorConditions(**{"discharge_pressure": 13e5, "speed": rpm(4000)} | wrong)
    )


def cabin(**asked):
    return pull_down(CabinSpec(), day(air_temperature=celsius(32), relative_humidity=0.4), coil(), **asked)


MADE = {
    "condenser core": partial(replace, CORES["R-1234yf"]),
    "hot gas into the condenser": hot_gas,
    "duty of a condenser": partial(CompressorDuty, refrigerant="R-134a", evaporating_temperature=278.15),
    "expansion valve": partial(replace, VALVE),
    "duty of a valve": partial(replace, DUTY),
    "internal heat exchanger": partial(
        ExchangerSpec, length=1.2, inner_diameter=0.014, wall_thickness=0.0012, outer_diameter=0.0194),
    "fins": FinSpec,
    "receiver": partial(replace, VESSEL),
    "receiver at work": receiver,
    "charge": lambda **wrong: charge_band(ChargeSpec(**{
        "receiver": part_of("shuttle_bus", "receiver"), "refrigerant": "R-134a", "condensing_temperature": celsius(50),
        "mass_flow": 0.06, "charge": 1.7, "held_elsewhere": 1.25, "leak_per_year": 0.04, **wrong})),
    "desiccant": partial(MoistureSpec, **{"desiccant_mass": 0.04}),
    "standpipe": partial(pick_up, vessel=VESSEL, refrigerant="R-1234yf", mass_flow=0.03),
    "compressor": compressor,
    "chiller": partial(replace, ChillerSpec(evaporating_temperature=272.15)),
    "evaporator": solved_coil,
    "feed of a coil": lambda **wrong: run_evaporator(coil(), day(), replace(solved_coil().feed, **wrong)),
    "cycle": lambda **wrong: solve_cycle(CycleSpec(**ORDINARY | wrong)),
    "cycle with a gas cooler": lambda **wrong: solve_cycle(CycleSpec(**GAS_COOLER | wrong)),
    "freeze": partial(replace, FreezeSpec()),
    "heat exchange compared": partial(
        ExchangeJob, evaporating_temperature=celsius(2), condensing_temperature=celsius(50)),
    "readings": lambda **wrong: cycle_from_readings(replace(HEALTHY, **wrong)),
    "pull-down": partial(cabin, start=celsius(55), wish=celsius(24)),
    "fault of a coolant network": lambda **wrong: apply_faults(ring(), [NetworkFault(**wrong)]),
    "two vents": partial(two_vents, coil(), day()),
    "air in a running system": lambda **wrong: air_in_system(
        RunningAir(**{"refrigerant": "R-134a", "air_mass": 2e-3, **wrong})),
    "cylinder": lambda **wrong: fill_cylinder(CylinderSpec(**{"refrigerant": "R-134a", "volume": 0.012, **wrong})),
    "fault of a valve": partial(fault_case, VALVE, DUTY),
    "forces on a valve": partial(force_balance, VALVE, refrigerant="R-134a"),
    "static superheat": partial(static_superheat, VALVE, refrigerant="R-134a"),
    "opening of a valve": partial(opening_curves, VALVE, DUTY),
    "shut-off valve that is shut": partial(close_shut_off, ShutOffSpec(is_open=False), DUTY),
    "mounts": partial(solve_mount, MountSpec(mass=6.5, stiffness=40e3)),
    "machine": partial(replace, VAN),
    "flow for a head pressure": partial(mass_flow_for, CORES["R-1234yf"], duty("R-1234yf"), WARM),
    "condenser at work": partial(solve, "R-1234yf"),
    "air through a condenser": lambda **wrong: air_side(
        CORES["R-1234yf"], AirConditions(temperature=308.15, **wrong)),
    "evaporator in steps": partial(solve_evaporator, coil(), day()),
    "pipe": partial(pipe_flow, PipeSpec(length=1.0, diameter=0.019), volume_flow=1e-4, density=1000.0),
    "best gas cooler pressure": lambda **wrong: best_gas_cooler_pressure(
        CycleSpec(refrigerant="R-744", evaporating_temperature=celsius(5), **wrong)),
    "largest effectiveness": lambda limit, **wrong: largest_effectiveness(CycleSpec(**ORDINARY | wrong), limit),
    "effect of an exchanger": partial(effect_of_effectiveness, CycleSpec(**ORDINARY)),
    "coolant network": partial(replace, ring()),
    "coolant network in time": partial(simulate_network, ring(), drive(duration=9.0)),
    "longest safe reaction": partial(longest_safe_reaction, FreezeSpec()),
    "safe-time map": partial(safe_time_map, FreezeSpec()),
    "topping up": lambda **wrong: top_up("ethylene glycol", **{
        "system_volume": 8e-3, "volume_fraction": 0.3, "target_volume_fraction": 0.5, **wrong}),
    "gauge on a cylinder": lambda **wrong: air_in_cylinder(CylinderReading(**wrong)),
    "passage": partial(passage_flow, PassageSpec(diameter=1e-5), "R-134a"),
    "fan at work": partial(fan_operating_point, RADIATOR.fan, lambda flow: 500.0 * flow**2),
    "fins at work": partial(fin_surface, FinSpec(), air=dry_air(T=308.15)),
    "fin curve": partial(fin_curve, CORES["R-1234yf"], duty("R-1234yf"), WARM),
    "machine at work": lambda speed=4000, **wrong: run(replace(VAN, **wrong), speed=speed),
    "efficiency map of R-744": lambda **wrong: efficiency_map(VAN, stream_at("R-744", **wrong)),
    "radiator": partial(replace, RADIATOR),
    "air of a radiator": partial(radiator_air_flow, RADIATOR),
    "recovery": lambda **wrong: recover(RecoverySpec(**wrong)),
    "slush": Coolant("ethylene glycol", mass_fraction=0.3).ice_fraction,
    "state of R-744": Refrigerant("R-744").at,
    **{f"{name} of R-134a": getattr(Refrigerant("R-134a"), name) for name in (
        "dew_pressure", "bubble_pressure", "dew_temperature", "bubble_temperature", "saturation")},
    "coolant": Coolant,
    "state of R-134a": Refrigerant("R-134a").at,
    "moist air": moist_air,
    "sheet of one's own vehicle": lambda **wrong: diagnose_own(
        OWN, AMBIENTS[1], tuple(Reading(*one) for one in (SOUND | wrong).items())),
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
    result = solve_chiller(ChillerSpec(coolant_inlet_temperature=289.28, **cold))
    assert 40.0 < result.superheat and result.outlet.state.T <= 289.28 + 1e-6


def test_a_part_whose_heat_goes_nowhere_has_no_steady_temperature():
    network = load_layout("warm_cabin")
    sealed = replace(
        network,
        nodes=tuple(replace(node, air_loss=0.0) for node in network.nodes),
        bodies=tuple(replace(body, air_loss=0.0) for body in network.bodies),
    )
    with pytest.raises(NoSolutionError, match="steady temperature"):
        solve_coolant_network(apply_faults(sealed, [NetworkFault(kind="pump dead", part="pump")]))
