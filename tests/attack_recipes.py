"""What public functions are given beside specifications when they are attacked: ranges, and draws of what fits."""

import dataclasses
import functools
import tomllib
from pathlib import Path

from tests.attack import drawn, made, specifications
from thermo_kit.components.dry_air import dry_air
from thermo_kit.components.expansion_valve.curves import FAULTS
from thermo_kit.errors import ThermoKitError
from thermo_kit.fleet import fault, vehicle, vehicle_names
from thermo_kit.service import plateaus
from thermo_kit.service.charging import OIL_SHARES
from thermo_kit.service.diagnosis import INSTRUMENTS, Reading
from thermo_kit.service.estimate import estimate_repair
from thermo_kit.service.mystery import draw_ticket
from thermo_kit.service.service_log import ServiceLog
from thermo_kit.substances import COOLANT_KINDS, REFRIGERANT_NAMES, Refrigerant
from thermo_kit.substances.stream import Stream, stream_at
from thermo_kit.systems import VENT_FAULTS, Conditions, NetworkFault, solve_vehicle
from thermo_kit.systems.coolant_network import drive, fast_charge, hot_soak
from thermo_kit.systems.coolant_network.faults import NETWORK_FAULTS
from thermo_kit.systems.vehicle import FAULTS as VEHICLE_FAULTS
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


def _stream(fluid, p, h, rng, flow):
    return Stream(refrigerant=fluid.name, pressure=p, enthalpy=h, mass_flow=drawn(_number("mass_flow", *flow), rng))


def _boiling(fluid, T, share, rng, flow):
    """Return refrigerant that boils at T, at a share of the way from liquid to vapour, or a little beyond."""
    liquid, vapour = fluid.at(T=T, x=0.0), fluid.at(T=T, x=1.0)
    return _stream(fluid, vapour.p, liquid.h + share * (vapour.h - liquid.h), rng, flow)


def _feed(rng, given):
    """Draw what comes out of a valve into a coil: boiling well below the air."""
    fluid = Refrigerant(rng.choice(REFRIGERANT_NAMES))
    coldest = max(fluid.lowest_temperature, 223.15)
    T = rng.uniform(coldest, min(given["air"].air_temperature, fluid.critical_temperature - 6.0))
    return _boiling(fluid, T, rng.uniform(-0.1, 1.1), rng, (1e-4, 0.3))


def _into_receiver(rng, _given):
    fluid = Refrigerant(rng.choice([name for name in REFRIGERANT_NAMES if name != "R-744"]))
    return _boiling(fluid, rng.uniform(280.0, 345.0), rng.uniform(-0.2, 1.1), rng, (1e-3, 0.3))


def _gas(rng, _given):
    """Draw dry gas in front of a compressor."""
    fluid = Refrigerant(rng.choice(REFRIGERANT_NAMES))
    boiling = rng.uniform(max(fluid.lowest_temperature, 243.15), 295.0)
    return stream_at(fluid.name, p=fluid.dew_pressure(boiling), T=boiling + rng.uniform(0.01, 40.0))


def _hot_gas(rng, given):
    """Draw what comes out of a compressor, mostly above the air's temperature."""
    fluid = Refrigerant(rng.choice(REFRIGERANT_NAMES))
    top = fluid.critical_temperature - 2.0
    condensing = rng.uniform(min(given["air"].temperature - 2.0, top - 1.0), top)
    dew = fluid.at(T=max(condensing, fluid.lowest_temperature + 1.0), x=1.0)
    return _stream(fluid, dew.p, dew.h + rng.uniform(-0.5e5, 0.8e5), rng, (5e-4, 0.5))


def _liquid(rng, _given):
    fluid = Refrigerant(rng.choice(REFRIGERANT_NAMES))
    p = rng.uniform(0.2, 0.9) * fluid.critical_pressure
    warm = fluid.bubble_temperature(p) - rng.uniform(0.0, 20.0)
    return _stream(fluid, p, fluid.at(p=p, T=warm - 0.01).h, rng, (5e-4, 0.3))


def _vapour(rng, given):
    liquid = given["liquid"]
    fluid = Refrigerant(liquid.refrigerant)
    boiling = rng.uniform(max(fluid.lowest_temperature, 233.0), liquid.state.T)
    dew = fluid.at(T=min(boiling, fluid.critical_temperature - 5.0), x=1.0)
    return liquid.at(pressure=dew.p, enthalpy=dew.h + rng.uniform(-2e4, 2e4))


def _faults(rng, given):
    spec, found = given["spec"], []
    parts = [one.name for one in (*spec.branches, *spec.valves)]
    positions = [one.name for link in spec.valves for one in link.valve.positions]
    for _ in range(rng.randint(0, 2)):
        kind = rng.choice(list(NETWORK_FAULTS))
        towards = rng.choice(positions) if kind == "valve stuck" and positions else ""
        amount = rng.choice((None, rng.uniform(0.0, 0.6)))
        part = "" if kind == "wrong mixture" else rng.choice(parts)
        found.append(NetworkFault(kind=kind, part=part, amount=amount, towards=towards))
    return tuple(found)


def _scenario(rng, _given):
    make = rng.choice((drive, fast_charge, hot_soak))
    return make(duration=rng.uniform(30.0, 900.0), ambient_temperature=rng.uniform(240.0, 325.0))


@functools.cache
def _run(name, fault_name, severity):
    return solve_vehicle(vehicle(name), Conditions(), (fault(fault_name, severity),) if fault_name else ())


def _solved(rng, _given):
    """Draw a vehicle that runs, half of them with a fault."""
    name = rng.choice(("city_van", "older_van"))
    kind = rng.choice(("", *(one for one in VEHICLE_FAULTS if fault_fits(one, vehicle(name)))))
    try:
        return _run(name, kind, rng.choice((0.3, 0.6)))
    except ThermoKitError:
        return _run(name, "", 0.3)


def _shown(rng, _given):
    """Draw what instruments show, from all that they can show."""
    names = rng.sample(sorted(INSTRUMENTS), rng.randint(1, 5))
    return tuple(Reading(one, rng.uniform(INSTRUMENTS[one].low, INSTRUMENTS[one].high)) for one in names)


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


DRAWS = {
    "kind of gas": Name((*REFRIGERANT_NAMES, "nitrogen", "air"), "gas"),
    "refrigerant": Name(REFRIGERANT_NAMES, "refrigerant"), "coolant": Name(COOLANT_KINDS, "coolant"),
    "vent fault": Name(("none", *VENT_FAULTS), "fault"), "valve fault": Name(tuple(FAULTS), "fault"),
    "verdict": Name(tuple(VEHICLE_FAULTS), "verdict"), "instrument": Name(tuple(INSTRUMENTS), "instrument"),
    "name of a vehicle": Name(tuple(vehicle_names()), "vehicle"),
    "vehicle with a plateau": Name(tuple(plateaus()), "vehicle"), "yes or no": Flag(""),
    "square law of a core": _square_law((1.0, 1e5)), "square law of a loop": _square_law((1e6, 1e13)),
    "fin densities": lambda rng, given: tuple(rng.uniform(200.0, 1200.0) for _ in range(3)),
    "air": lambda rng, given: dry_air(T=rng.uniform(230.0, 420.0), p=rng.uniform(5e4, 1.1e5)),
    "lengths": lambda rng, given: (0.2, rng.uniform(0.3, 3.0)),
    "one share of glycol": lambda rng, given: (rng.uniform(0.0, 0.5),),
    "one share of flow": lambda rng, given: (rng.uniform(0.05, 0.5),),
    "three temperatures": lambda rng, given: tuple(rng.uniform(253.0, 333.0) for _ in range(3)),
    "three bores": lambda rng, given: tuple(rng.uniform(1e-6, 5e-5) for _ in range(3)),
    "usual day": lambda rng, given: Conditions(), "minutes": lambda rng, given: _times(rng, 60.0),
    "parts with oil": lambda rng, given: tuple(rng.choices(tuple(OIL_SHARES), k=rng.randint(0, 3))),
    "four instruments": lambda rng, given: rng.sample(sorted(INSTRUMENTS), 4),
    "low side": _low_side, "fluid": _fluid, "feed": _feed, "gas": _gas, "hot gas": _hot_gas, "liquid": _liquid,
    "vapour": _vapour, "into receiver": _into_receiver, "faults": _faults, "scenario": _scenario,
    # One only: what its faults would show is computed once for all draws.
    "vehicle": lambda rng, given: vehicle("city_van"), "ticket": lambda rng, given: draw_ticket(rng.randint(1, 30)),
    "solved": _solved, "shown": _shown, "taken": _taken, "recovery log": _recovery_log,
    "nitrogen log": _nitrogen_log, "rise": _rise, "estimate": _estimate, "wet or dry": _wet_or_dry, "above": _above,
}  # fmt: skip
"""What no range can say: names, and draws of what fits to what was drawn before."""


def _asked(what):
    """Return what one entry of the table stands for."""
    if isinstance(what, str):
        return DRAWS[what]
    kind, low, high = what
    if kind == "count":
        return Count(low, high, "")
    return Word("", high, low) if kind == "text" else _number(kind, low, high)


TABLE = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
RECIPES = {name: {one: _asked(what) for one, what in takes.items()} for name, takes in TABLE.items()}
"""What a public function takes beside specifications: a range, or what draws a value from what was drawn before it."""
