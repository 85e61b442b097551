"""What public functions are given beside specifications when they are attacked: ranges, and draws of what fits."""

import dataclasses
import functools
import importlib

from tests.attack import drawn, made, specifications
from thermo_kit.components.dry_air import dry_air
from thermo_kit.errors import ThermoKitError
from thermo_kit.fleet import fault, fault_names, vehicle, vehicle_names
from thermo_kit.service.charging import OIL_SHARES
from thermo_kit.service.diagnosis import INSTRUMENTS, Reading
from thermo_kit.service.estimate import estimate_repair
from thermo_kit.service.mystery import draw_ticket
from thermo_kit.service.service_log import ServiceLog
from thermo_kit.substances import COOLANT_KINDS, REFRIGERANT_NAMES, Refrigerant
from thermo_kit.substances.stream import Stream
from thermo_kit.systems import Conditions, solve_vehicle
from thermo_kit.systems.coolant_network import scenario
from thermo_kit.systems.coolant_network.faults import NETWORK_FAULTS
from thermo_kit.systems.vehicle import fault_fits
from thermo_kit.units.spec import Count, Flag, Name, Quantity, Word


def _number(kind, low, high):
    return Quantity(kind, low, high, "")


def _fluid(rng, given):
    return given["spec"].refrigerant if hasattr(given.get("spec"), "refrigerant") else rng.choice(REFRIGERANT_NAMES)


def _low_side(rng, given):
    fluid = Refrigerant(given.get("refrigerant") or given["duty"].refrigerant)
    return rng.uniform(fluid.lowest_pressure, 0.7 * fluid.critical_pressure)


def _square_law(pressure):
    """Draw a resistance that takes such a pressure at a flow of one [Pa s²/m⁶]."""

    def draw(rng, _given):
        factor = drawn(_number("pressure", *pressure), rng)
        return lambda flow: factor * flow * abs(flow)

    return draw


def _feed(rng, given):
    """Draw what comes out of a valve into a coil: boiling well below the air."""
    fluid = Refrigerant(rng.choice(REFRIGERANT_NAMES))
    coldest = max(fluid.lowest_temperature, 223.15)
    p = fluid.dew_pressure(rng.uniform(coldest, min(given["air"].air_temperature, fluid.critical_temperature - 6.0)))
    low, high = fluid.at(p=p, x=0.0).h, fluid.at(p=p, x=1.0).h
    flow = drawn(_number("mass_flow", 1e-4, 0.3), rng)
    return Stream(
        refrigerant=fluid.name, pressure=p, enthalpy=low + rng.uniform(-0.1, 1.1) * (high - low), mass_flow=flow
    )


def _gas(rng, _given):
    """Draw dry gas in front of a compressor."""
    fluid = Refrigerant(rng.choice(REFRIGERANT_NAMES))
    boiling = rng.uniform(max(fluid.lowest_temperature, 243.15), 295.0)
    p = fluid.dew_pressure(boiling)
    return Stream(refrigerant=fluid.name, pressure=p, enthalpy=fluid.at(p=p, T=boiling + rng.uniform(0.01, 40.0)).h)


def _hot_gas(rng, given):
    """Draw what comes out of a compressor, mostly above the air's temperature."""
    fluid = Refrigerant(rng.choice(REFRIGERANT_NAMES))
    top = fluid.critical_temperature - 2.0
    condensing = rng.uniform(min(given["air"].temperature - 2.0, top - 1.0), top)
    p = fluid.dew_pressure(max(condensing, fluid.lowest_temperature + 1.0))
    gas = fluid.at(p=p, x=1.0).h + rng.uniform(-0.5e5, 0.8e5)
    flow = drawn(_number("mass_flow", 5e-4, 0.5), rng)
    return Stream(refrigerant=fluid.name, pressure=p, enthalpy=gas, mass_flow=flow)


def _into_receiver(rng, _given):
    fluid = Refrigerant(rng.choice([name for name in REFRIGERANT_NAMES if name != "R-744"]))
    p = fluid.dew_pressure(rng.uniform(280.0, 345.0))
    low, high = fluid.at(p=p, x=0.0).h, fluid.at(p=p, x=1.0).h
    flow = drawn(_number("mass_flow", 1e-3, 0.3), rng)
    return Stream(
        refrigerant=fluid.name, pressure=p, enthalpy=low + rng.uniform(-0.2, 1.1) * (high - low), mass_flow=flow
    )


def _liquid(rng, _given):
    fluid = Refrigerant(rng.choice(REFRIGERANT_NAMES))
    p = rng.uniform(0.2, 0.9) * fluid.critical_pressure
    warm = fluid.bubble_temperature(p) - rng.uniform(0.0, 20.0)
    return Stream(refrigerant=fluid.name, pressure=p, enthalpy=fluid.at(p=p, T=warm - 0.01).h,
                  mass_flow=drawn(_number("mass_flow", 5e-4, 0.3), rng))  # fmt: skip


def _vapour(rng, given):
    liquid = given["liquid"]
    fluid = Refrigerant(liquid.refrigerant)
    boiling = rng.uniform(max(fluid.lowest_temperature, 233.0), liquid.state.T)
    p = fluid.dew_pressure(min(boiling, fluid.critical_temperature - 5.0))
    return Stream(refrigerant=fluid.name, pressure=p, enthalpy=fluid.at(p=p, x=1.0).h + rng.uniform(-2e4, 2e4),
                  mass_flow=liquid.mass_flow)  # fmt: skip


def _faults(rng, given):
    spec = given["spec"]
    parts = [one.name for one in (*spec.branches, *spec.valves)]
    positions = [name for link in spec.valves for name in (one.name for one in link.valve.positions)]
    found = []
    for _ in range(rng.randint(0, 2)):
        kind = rng.choice(list(NETWORK_FAULTS))
        towards = rng.choice(positions) if kind == "valve stuck" and positions else ""
        amount = rng.choice((None, rng.uniform(0.0, 0.6)))
        part = "" if kind == "wrong mixture" else rng.choice(parts)
        found.append({"kind": kind, "part": part, "amount": amount, "towards": towards})
    kinds = specifications()["NetworkFault"]
    return tuple(kinds(**one) for one in found)


def _scenario(rng, _given):
    make = rng.choice((scenario.drive, scenario.fast_charge, scenario.hot_soak))
    return make(duration=rng.uniform(30.0, 900.0), ambient_temperature=rng.uniform(240.0, 325.0))


def _vehicle(_rng, _given):
    # One only: what its faults would show is computed once for all draws.
    return vehicle("city_van")


@functools.cache
def _run(name, fault_name, severity):
    return solve_vehicle(vehicle(name), Conditions(), (fault(fault_name, severity),) if fault_name else ())


def _solved(rng, _given):
    """Draw a vehicle that runs, half of them with a fault."""
    name = rng.choice(("city_van", "older_van"))
    kind = rng.choice(("", *(one for one in fault_names() if fault_fits(one, vehicle(name)))))
    try:
        return _run(name, kind, rng.choice((0.3, 0.6)))
    except ThermoKitError:
        return _run(name, "", 0.3)


def _shown(rng, _given):
    """Draw what instruments show, from all that they can show."""
    names = rng.sample(sorted(INSTRUMENTS), rng.randint(1, 5))
    return tuple(Reading(one, rng.uniform(INSTRUMENTS[one].low, INSTRUMENTS[one].high)) for one in names)


def _ticket(rng, _given):
    return draw_ticket(rng.randint(1, 30))


def _taken(rng, given):
    every = sorted((*given["ticket"].readings, *given["ticket"].heard))
    return tuple(rng.sample(every, rng.randint(1, min(6, len(every)))))


def _times(rng, step):
    return [0.0, *sorted(rng.uniform(0.01, 30.0) * step for _ in range(rng.randint(5, 30)))]


def _recovery_log(rng, _given):
    """Draw a log of a recovery machine: falling, standing or rising."""
    times, masses = _times(rng, 60.0), sorted(rng.uniform(0.0, 1.2) for _ in range(31))
    pressures = tuple(drawn(_number("pressure", 5e3, 1e6), rng) for _ in times)
    return ServiceLog(times=tuple(times), pressures=pressures, masses=tuple(masses[: len(times)]))


def _nitrogen_log(rng, _given):
    times, start, fall = _times(rng, 3600.0), rng.uniform(5e5, 2e6), rng.uniform(-0.1, 0.3)
    end = times[-1]
    return ServiceLog(
        times=tuple(times), pressures=tuple(start * (1.0 - fall * t / end) for t in times),
        temperatures=tuple(rng.uniform(285.0, 300.0) for _ in times), lines=tuple(range(len(times))),
    )  # fmt: skip


def _rise(rng, given):
    size = len(given["times"])
    return [drawn(_number("pressure", 10.0, 5e3), rng) for _ in range(size)] if rng.random() < 0.3 else [
        50.0 + 400.0 * (i / size) ** 0.7 for i in range(size)]  # fmt: skip


def _estimate(rng, _given):
    return estimate_repair(made(specifications()["RepairSpec"], rng), seed=rng.randint(0, 9))


def _wet_or_dry(rng, _given):
    """Draw what a belt compressor may be given: gas, or with drops."""
    gas = _gas(rng, _given)
    return dataclasses.replace(gas, enthalpy=gas.enthalpy - rng.choice((0.0, rng.uniform(0.0, 1e5))), mass_flow=0.01)


def _above(rng, given):
    return drawn(_number("pressure", 1.05, 20.0), rng) * given["suction"].pressure


GAS = Name((*REFRIGERANT_NAMES, "nitrogen", "air"), "gas")
ROOM = _number("temperature", 263.0, 323.0)
TEST_PRESSURE = _number("pressure", 1.2e5, 2e6)
SHARE = _number("ratio", 0.0, 1.0)
DRIVE = Name(("none", *importlib.import_module("thermo_kit.systems").VENT_FAULTS), "fault")
VALVE_FAULTS = tuple(importlib.import_module("thermo_kit.components.expansion_valve.cases").FAULTS)
COOLANT = Name(COOLANT_KINDS, "coolant")
GLYCOL = _number("ratio", 0.0, 0.6)
RECIPES = {
    "close_shut_off": {"low_pressure": _low_side, "seconds": _number("time", 0.0, 1e5)},
    "compare_cores": {"subcooling": _number("temperature_difference", 0.0, 40.0)},
    "condensing_pressure_for": {"subcooling": _number("temperature_difference", 0.0, 40.0)},
    "fan_operating_point": {
        "core_resistance": _square_law((1.0, 1e5)), "speed_share": _number("ratio", 0.0, 1.2),
        "density": _number("density", 0.8, 1.6), "ram_pressure": _number("pressure_difference", 0.0, 2000.0),
    },
    "fault_case": {"fault": Name(VALVE_FAULTS, "fault"), "size": SHARE},
    "fin_curve": {"fin_densities": lambda rng, given: tuple(rng.uniform(200.0, 1200.0) for _ in range(3))},
    "fin_surface": {
        "face_velocity": _number("velocity", 0.1, 15.0),
        "air": lambda rng, given: dry_air(T=rng.uniform(230.0, 420.0), p=rng.uniform(5e4, 1.1e5)),
    },
    "fins_per_inch": {"count": _number("ratio", 5.0, 30.0)},
    "force_balance": {
        "refrigerant": _fluid, "outlet_pressure": _low_side, "bulb_temperature": _number("temperature", 213.15, 353.15),
        "pressure_drop": _number("pressure_difference", 0.0, 2e5), "atmosphere": _number("pressure", 5e4, 1.1e5),
    },
    "maximum_operating_pressure": {"refrigerant": _fluid},
    "opening_curves": {
        "evaporating_temperature": _number("temperature", 243.15, 295.0),
        "superheat": _number("temperature_difference", 0.0, 30.0),
    },
    "operating_point": {"loss": _square_law((1e6, 1e13)), "density": _number("density", 500.0, 2000.0)},
    "pipe_flow": {
        "volume_flow": _number("volume_flow", -1.0, 1.0), "density": _number("density", 0.1, 2000.0),
        "viscosity": _number("viscosity", 1e-6, 10.0),
    },
    "run_evaporator": {"feed": _feed},
    "run_pump": {"volume_flow": _number("volume_flow", -0.1, 0.1), "density": _number("density", 500.0, 2000.0)},
    "solve_compressor": {"suction": _gas},
    "solve_condenser": {"inlet": _hot_gas},
    "solve_exchanger": {"liquid": _liquid, "vapour": _vapour},
    "solve_mount": {"speed": _number("rotational_speed", 1.0, 2000.0)},
    "solve_receiver": {"inlet": _into_receiver},
    "static_superheat": {"refrigerant": _fluid, "outlet_pressure": _low_side, "opening_share": SHARE},
    "transmissibility": {"speed_ratio": _number("ratio", 0.0, 100.0), "damping_ratio": _number("ratio", 1e-3, 1.0)},
    "apply_faults": {"faults": _faults},
    "effect_of_effectiveness": {"effectiveness": SHARE},
    "exchange_by_length": {
        "mass_flow": _number("mass_flow", 5e-4, 0.3), "lengths": lambda rng, given: (0.2, rng.uniform(0.3, 3.0)),
    },
    "largest_effectiveness": {"discharge_limit": _number("temperature", 313.15, 453.15)},
    "limits_of": {"name": Name(REFRIGERANT_NAMES, "refrigerant")},
    "longest_safe_reaction": {"accuracy": _number("time", 5.0, 30.0)},
    "pull_down": {
        "start": _number("temperature", 300.0, 353.15), "wish": _number("temperature", 283.15, 313.15),
        "duration": _number("time", 10.0, 3000.0),
    },
    "safe_time_map": {
        "mass_fractions": lambda rng, given: (rng.uniform(0.0, 0.5),),
        "values": lambda rng, given: (rng.uniform(0.05, 0.5),), "workers": Count(1, 1, "workers"),
        "accuracy": _number("time", 20.0, 30.0),
    },
    "simulate_network": {"scenario": _scenario, "faults": _faults, "fault_time": _number("time", 0.0, 300.0)},
    "two_vents": {"fault": DRIVE, "size": SHARE},
    "with_internal_heat_exchanger": {"mass_flow": _number("mass_flow", 5e-4, 0.3)},
    "cold_state": {
        "kind": COOLANT, "mass_fraction": GLYCOL, "temperature": _number("temperature", 223.15, 323.15),
    },
    "read_hydrometer": {
        "kind": COOLANT, "specific_gravity": _number("ratio", 0.95, 1.15),
        "temperature": _number("temperature", 273.15, 353.15),
    },
    "read_refractometer": {"kind": COOLANT, "index": _number("ratio", 1.0, 2.0)},
    "refractive_index": {"kind": COOLANT, "mass_fraction": GLYCOL},
    "top_up": {
        "kind": COOLANT, "system_volume": _number("volume", 1e-4, 1.0), "volume_fraction": SHARE,
        "target_volume_fraction": SHARE, "missing_volume": _number("volume", 0.0, 0.1),
        "filler_fraction": _number("ratio", 0.3, 1.0),
    },
    "air_left": {
        "vacuum": _number("pressure", 10.0, 5e3), "broken_to": _number("pressure", 2e4, 1e5), "times": Count(1, 5, ""),
    },
    "blend_curve": {
        "first": Name(REFRIGERANT_NAMES, ""), "second": Name(REFRIGERANT_NAMES, ""),
        "temperature": _number("temperature", 273.0, 315.0),
    },
    "blend_reading": {
        "first": Name(REFRIGERANT_NAMES, ""), "second": Name(REFRIGERANT_NAMES, ""), "second_fraction": SHARE,
        "temperature": _number("temperature", 273.0, 315.0),
    },
    "bubbles": {"rate": _number("ratio", 1e-8, 1e-2), "diameter": _number("length", 5e-4, 1e-2)},
    "orifice_flow": {"inlet": _liquid, "outlet_pressure": _number("pressure", 1e5, 6e5)},
    "pump_down_time": {
        "volume": _number("volume", 1e-4, 0.1), "speed": _number("volume_flow", 1e-4, 0.01),
        "start": _number("pressure", 2e4, 1e5), "end": _number("pressure", 10.0, 1e4),
    },
    "vapour_left": {
        "refrigerant": Name(REFRIGERANT_NAMES, ""), "volume": _number("volume", 1e-4, 0.1),
        "pressure": _number("pressure", 2e4, 3e5), "temperature": _number("temperature", 263.0, 323.0),
    },
    "air_limits": {
        "refrigerant": Name(REFRIGERANT_NAMES, ""),
        "temperatures": lambda rng, given: tuple(rng.uniform(253.0, 333.0) for _ in range(3)),
    },
    "diagnose": {"spec": _vehicle, "conditions": lambda rng, given: Conditions(), "readings": _shown},
    "confidence_score": {"right": Flag(""), "confidence": SHARE},
    "diagnose_own": {"ambient": ROOM, "readings": _shown, "altitude": _number("length", 0.0, 3000.0)},
    "draw_ticket": {"number": Count(1, 30, "number")},
    "judge_verdict": {
        "ticket": _ticket, "taken": _taken, "verdict": Name(tuple(fault_names()), "verdict"), "confidence": SHARE,
    },
    "kept_signatures": {"name": Name(tuple(vehicle_names()), "vehicle"), "ambient": ROOM},
    "model_verdict": {"ticket": _ticket, "taken": _taken},
    "drawn_speed": {"pressure": _number("pressure", 1.0, 1e5)},
    "estimate_sheet": {"estimate": _estimate, "vehicle": Word("", 20, 0), "words": Word("", 40, 0)},
    "hole_flow": {
        "area": _number("area", 1e-14, 1e-5), "gas": GAS, "inside": TEST_PRESSURE, "temperature": ROOM,
        "discharge": _number("ratio", 0.1, 1.0),
    },
    "hose_conductance": {
        "bore": _number("length", 1e-3, 0.03), "length": _number("length", 0.1, 5.0),
        "mean_pressure": _number("pressure", 0.1, 1e5), "gas": GAS, "temperature": ROOM,
    },
    "judge_pressure_log": {"log": _nitrogen_log, "volume": _number("volume", 1e-4, 0.05)},
    "judge_recovery": {"log": _recovery_log, "atmosphere": _number("pressure", 6e4, 1.1e5)},
    "judge_vacuum_rise": {
        "pressures": _rise, "times": lambda rng, given: _times(rng, 60.0), "volume": _number("volume", 1e-4, 0.05),
    },
    "mass_flow_of": {"rate": _number("ratio", 1e-9, 1.0), "gas": GAS, "temperature": ROOM},
    "oil_balance": {
        "parts": lambda rng, given: tuple(rng.choices(tuple(OIL_SHARES), k=rng.randint(0, 3))),
        "recovered_oil": _number("volume", 0.0, 1e-4), "drained_from_old_compressor": _number("volume", 0.0, 2e-4),
        "shipped_in_new_compressor": _number("volume", 0.0, 2e-4),
    },
    "passage_curve": {
        "gas": GAS, "bores": lambda rng, given: tuple(rng.uniform(1e-6, 5e-5) for _ in range(3)),
        "length": _number("length", 1e-4, 0.02), "inside": TEST_PRESSURE, "temperature": ROOM,
    },
    "passage_flow": {"gas": GAS, "inside": TEST_PRESSURE, "temperature": ROOM},
    "range_so_far": {"estimate": _estimate, "settled": Count(0, 12, ""), "case": Count(0, 300, "")},
    "readings_of": {"result": _solved, "names": lambda rng, given: rng.sample(sorted(INSTRUMENTS), 4)},
    "run_belt_compressor": {
        "suction": _wet_or_dry, "discharge_pressure": _above, "speed": _number("rotational_speed", 50.0, 900.0),
        "stroke_share": _number("ratio", 0.02, 1.0), "ambient_temperature": ROOM,
    },
    "short_tube_flow": {
        "refrigerant": lambda rng, given: _liquid(rng, given).refrigerant, "pressure": _number("pressure", 5e5, 3e6),
        "enthalpy": _number("specific_enthalpy", 1.5e5, 4.5e5), "outlet_pressure": _number("pressure", 1e5, 8e5),
    },
    "throughput": {"mass_flow": _number("mass_flow", 1e-12, 1e-3), "gas": GAS, "temperature": ROOM},
    "value_of": {"result": _solved, "name": Name(tuple(INSTRUMENTS), "")},
    "watch_pressure_test": {"duration": _number("time", 60.0, 1e5), "points": Count(2, 100, "")},
    "plateau_share": {
        "vehicle": Name(tuple(importlib.import_module("thermo_kit.service").plateaus()), ""),
        "fade": _number("ratio", 0.01, 0.5),
    },
}  # fmt: skip
"""What a public function takes beside specifications: a range, or what draws a value from what was drawn before it."""
