"""Random input from the ranges of the specification fields, and what must be true of every result."""

import dataclasses
import functools
import importlib
import math
import pkgutil

import numpy as np

from thermo_kit import components
from thermo_kit.errors import ThermoKitError
from thermo_kit.fleet import part_of, vehicle, vehicle_names, vehicles_with
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.substances.stream import Stream
from thermo_kit.systems import Conditions, CycleSpec, FreezeSpec, Readings, load_layout
from thermo_kit.systems.coolant_network import LAYOUT_NAMES
from thermo_kit.units import Spec
from thermo_kit.units.spec import Count, Flag, Name, Part, Quantity, Several, Word, asked_of

CLOSED = 1e-6
PARTS = (
    "condenser", "condenser_job", "receiver", "usual_charge", "internal_heat_exchanger", "evaporator",
    "evaporator_conditions", "compressor", "expansion_valve",
)  # fmt: skip


def specifications():
    """Return {name: class} of every specification of the package."""
    for package in map(importlib.import_module, ("thermo_kit.components", "thermo_kit.systems", "thermo_kit.service")):
        for module in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            importlib.import_module(module.name)
    found, waiting = {}, list(Spec.__subclasses__())
    while waiting:
        one = waiting.pop()
        waiting += one.__subclasses__()
        if one.__module__.startswith("thermo_kit."):
            found[one.__name__] = one
    return found


def _inside(spec):
    """Return a specification and all that it holds."""
    for value in vars(spec).values():
        for one in value if isinstance(value, tuple) else (value,):
            if isinstance(one, Spec):
                yield from _inside(one)
    yield spec


def examples():
    """Return {class: [examples]} of what fits together: the fleet's parts, the layouts, a usual day for the rest."""
    fleet = [part_of(vehicle, part) for part in PARTS for vehicle in vehicles_with(part)]
    cycle = functools.partial(CycleSpec, evaporating_temperature=275.0, superheat=5.0)
    usual = [cycle(refrigerant=name, condensing_temperature=302.0) for name in REFRIGERANT_NAMES]
    usual += [
        cycle(refrigerant="R-744", gas_cooler_pressure=95e5, gas_cooler_outlet_temperature=310.0),
        components.AirConditions(temperature=305.0), components.ChillerSpec(evaporating_temperature=275.0),
        components.CompressorConditions(discharge_pressure=13e5, speed=300.0),
        components.ReceiverConditions(inventory=0.1), FreezeSpec(),
        components.CompressorDuty(refrigerant="R-1234yf", evaporating_temperature=277.0, mass_flow=0.03),
        components.EvaporatorDuty(refrigerant="R-134a", condensing_temperature=320.0),
        Conditions(), *map(vehicle, vehicle_names()),
    ]  # fmt: skip
    found = {}
    for one in (inner for whole in (*fleet, *map(load_layout, LAYOUT_NAMES), *usual) for inner in _inside(whole)):
        found.setdefault(type(one), []).append(one)
    return found


EXAMPLES = examples()


def drawn(what, rng):
    """Return a random value of what a field asks for, its ends included now and then."""
    return _DRAW[type(what)](what, rng)


def _quantity(what, rng):
    low, high = what.low, what.high
    if rng.random() < 0.1 and not what.exclusive:
        return float(rng.choice((low, high)))
    if low > 0.0 and high / low > 30.0:
        return min(max(math.exp(rng.uniform(math.log(low), math.log(high))), low), high)
    return rng.uniform(low, high)


_DRAW = {
    Quantity: _quantity,
    Count: lambda what, rng: rng.randint(what.low, min(what.high, what.low + 40)),
    Name: lambda what, rng: rng.choice(what.names),
    Word: lambda what, rng: "".join(rng.choices("abc d", k=rng.randint(what.least, min(what.longest, 8)))),
    Flag: lambda what, rng: rng.random() < 0.5,
    Part: lambda what, rng: made(what.kind, rng),
    Several: lambda what, rng: tuple(drawn(what.each, rng) for _ in range(rng.randint(what.least, min(what.most, 6)))),
}


def stream(rng):
    """Return refrigerant of any state for which there are data, up to 1.4 times its critical pressure."""
    fluid = Refrigerant(rng.choice(REFRIGERANT_NAMES))
    low, high = fluid.lowest_pressure, 1.4 * fluid.critical_pressure
    p = math.exp(rng.uniform(math.log(low), math.log(high)))
    coldest, hottest = (fluid.at(p=p, T=T).h for T in (fluid.lowest_temperature + 1.0, fluid.highest_temperature - 1.0))
    return Stream(
        refrigerant=fluid.name, pressure=p, enthalpy=rng.uniform(coldest, hottest),
        mass_flow=math.exp(rng.uniform(math.log(5e-4), math.log(0.3))),
    )  # fmt: skip


def readings(rng):
    """Return gauges and clamps of a system that runs, not always well."""
    fluid = Refrigerant(rng.choice(REFRIGERANT_NAMES))
    boiling, condensing = rng.uniform(250.0, 290.0), rng.uniform(285.0, 350.0)
    supercritical = condensing >= fluid.critical_temperature - 1.0
    high = rng.uniform(1.0, 2.0) * fluid.critical_pressure if supercritical else fluid.bubble_pressure(condensing)
    suction = boiling + rng.uniform(-2.0, 30.0)
    return _redrawn(Readings(
        refrigerant=fluid.name, suction_pressure=fluid.dew_pressure(boiling), discharge_pressure=high,
        suction_temperature=suction, discharge_temperature=condensing + rng.uniform(0.0, 60.0),
        liquid_temperature=condensing - rng.uniform(-2.0, 20.0),
        evaporator_outlet_temperature=suction - rng.uniform(0.0, 10.0) if rng.random() < 0.3 else None,
    ), rng)  # fmt: skip


MAKERS = {Stream: stream, Readings: readings}


def made(kind, rng):
    """Return a random specification that fits together: near an example, or from the whole of its ranges."""
    if kind in MAKERS:
        return MAKERS[kind](rng)
    near = kind in EXAMPLES
    for _ in range((0 if rng.random() < 0.7 else 5) if near else 300):
        try:
            return kind(**_values(kind, rng))
        except ThermoKitError:
            continue
    if near:
        return _redrawn(rng.choice(EXAMPLES[kind]), rng)
    raise AssertionError(f"no {kind.__name__} within the ranges fits together")


def _values(kind, rng):
    needed = {one.name for one in dataclasses.fields(kind) if one.default is dataclasses.MISSING}
    return {
        name: drawn(what, rng)
        for name, what in asked_of(kind).items()
        if type(what) in _DRAW and (name in needed or rng.random() < 0.5)
    }


def _redrawn(spec, rng):
    """Change fields of an example one after the other, a little or by the whole range, as far as they still fit."""
    little = rng.random() < 0.7
    for name, what in asked_of(type(spec)).items():
        value = getattr(spec, name)
        if isinstance(value, Spec):
            changed = _redrawn(value, rng)
        elif isinstance(what, Several) and isinstance(what.each, Part) and value:
            changed = tuple(_redrawn(one, rng) for one in value)
        elif isinstance(what, Word) or type(what) not in _DRAW or rng.random() < 0.5:
            continue
        elif little and isinstance(what, Quantity):
            changed = value and _near(what, value, rng)
        else:
            changed = drawn(what, rng)
        try:
            spec = dataclasses.replace(spec, **{name: changed})
        except ThermoKitError:
            continue
    return spec


def _near(what, value, rng):
    if what.kind == "temperature":
        value += rng.uniform(-15.0, 15.0)
    else:
        value *= math.exp(rng.uniform(-0.3, 0.3))
    return min(max(value, what.low), what.high)


# --- what must be true of a result ------------------------------------------------------------------------------------


def troubles(result, where="result"):
    """Return what is wrong with a result: open balances, numbers that are not finite or complex, second law broken."""
    if isinstance(result, Spec | str | bytes | bool) or result is None:
        return []
    if isinstance(result, complex | np.complexfloating):
        return [f"{where} is complex"]
    if isinstance(result, int | float | np.number):
        return [] if math.isfinite(result) else [f"{where} is {result}"]
    if isinstance(result, np.ndarray):
        return [] if result.dtype.kind not in "fc" or np.all(np.isfinite(result)) else [f"{where} is not finite"]
    if dataclasses.is_dataclass(result):
        found = [f"{where}: {one}" for one in against_the_second_law(result)]
        for field in dataclasses.fields(result):
            value = getattr(result, field.name)
            found += troubles(value, f"{where}.{field.name}")
            if field.name.endswith("_closure") and isinstance(value, float) and not abs(value) <= CLOSED:
                found.append(f"{where}.{field.name} is open: {value:.1e}")
        return found
    if isinstance(result, dict):
        return [one for key, value in result.items() for one in troubles(value, f"{where}[{key!r}]")]
    if isinstance(result, list | tuple):
        return [one for i, value in enumerate(result[:400]) for one in troubles(value, f"{where}[{i}]")]
    return []


def _entropy_falls(made_entropy, scale):
    return made_entropy < -1e-6 * max(abs(scale), 1e-9)


def _compressor(result):
    gained = result.outlet.state.s - result.suction.state.s
    lost = result.heat_loss / result.suction.mass_flow / result.conditions.ambient_temperature
    return _entropy_falls(gained + lost, result.suction.state.s), "compressor destroys entropy"


def _condenser(result):
    gained = result.outlet.flow * (result.outlet.state.s - result.inlet.state.s)
    # The air's gain is at most what it would be if it stayed as cold as it came.
    air = result.heat_rejection / result.air.temperature
    return _entropy_falls(gained + air, air), "condenser destroys entropy"


def _evaporator(result):
    gained = result.outlet.flow * (result.outlet.state.s - result.feed.state.s)
    air = result.cooling_capacity / result.inlet.T
    return _entropy_falls(gained - air, air), "evaporator destroys entropy"


def _cycle(result):
    # Heat comes in at most as warm as evaporator outlet and compressor inlet, and leaves at least as warm as point 3.
    cold, warm = max(result.points[i].state.T for i in (0, 5)), result.points[2].state.T
    if not isinstance(result.spec, CycleSpec) or warm <= cold:
        return False, ""
    return result.coefficient_of_performance > cold / (warm - cold) * (1.0 + 1e-9), "COP above Carnot's"


def _valve(result):
    return result.outlet.state.T > result.duty.air_temperature + 1e-6, "vapour leaves warmer than the air"


def _chiller(result):
    colder = result.coolant_outlet_temperature < result.evaporating_temperature - 1e-6
    return colder or result.outlet.state.T > result.spec.coolant_inlet_temperature + 1e-6, "temperatures cross"


SECOND_LAW = {
    "ChillerResult": _chiller, "CompressorResult": _compressor, "CondenserResult": _condenser, "CycleResult": _cycle,
    "EvaporatorResult": _evaporator, "ValveResult": _valve,
}  # fmt: skip


def against_the_second_law(result):
    """Return what a result says that no process can do."""
    share = getattr(result, "effectiveness", None)
    odd = isinstance(share, float) and not -1e-9 <= share <= 1.0 + 1e-9
    checks = (odd, f"effectiveness {share}"), SECOND_LAW.get(type(result).__name__, lambda _result: (False, ""))(result)
    return [words for is_broken, words in checks if is_broken]
