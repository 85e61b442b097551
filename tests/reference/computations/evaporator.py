"""What the evaporator says in cases that textbooks, limits and other libraries know."""

import math
from dataclasses import replace

from tests.components.evaporator_cases import coil
from thermo_kit.components.evaporator import EvaporatorConditions, EvaporatorSpec, solve_evaporator
from thermo_kit.substances import moist_air

_SMALL_FLOW = 0.02
_STEPS = 400


def _air(T, relative_humidity, boils, p, flow):
    return EvaporatorConditions(
        air_temperature=T, relative_humidity=relative_humidity, air_flow=flow, air_pressure=p, superheat=0.0,
        refrigerant="R-134a", evaporating_temperature=boils, valve_pressure=1e6, liquid_temperature=303.15,
    )  # fmt: skip


def _coil(bypass, conditions, boiling_conductance):
    """A coil with a given bypass: the number of transfer units is proportional to the air-side conductance."""
    trial = EvaporatorSpec(
        air_conductance=100.0, reference_air_flow=0.02, boiling_conductance=boiling_conductance, air_exponent=0.5
    )
    there = solve_evaporator(trial, conditions)
    wanted = -math.log(bypass) * there.dry_air_flow * (1006.0 + 1860.0 * there.inlet.humidity_ratio)
    return replace(trial, air_conductance=wanted / (there.dry_air_flow / trial.reference_air_flow) ** 0.5)


def surface_coil(name, T, relative_humidity, surface, bypass, air_flow=None, dry_air_flow=None, p=101325.0):
    """A coil with nearly one surface temperature: little air, a huge boiling conductance; scaled to the flow asked."""
    conditions = _air(T, relative_humidity, surface, p, _SMALL_FLOW)
    result = solve_evaporator(_coil(bypass, conditions, 1e4), conditions, steps=_STEPS)
    scale = dry_air_flow / result.dry_air_flow if dry_air_flow else air_flow / _SMALL_FLOW if air_flow else 1.0
    if name == "sensible share":
        return result.sensible / result.cooling_capacity
    if name in ("T", "h", "relative_humidity", "humidity_ratio"):
        return getattr(result.vent, name)
    if name == "frost":
        return "yes" if result.frost else "no"
    return scale * getattr(result, name)


def dry_effectiveness(units, boils=276.15, boiling_conductance=2000.0):
    """Share of the possible heat that a dry coil moves, for a number of transfer units of both sides together."""
    conditions = _air(298.15, 0.0, boils, 101325.0, 0.2)
    trial = _coil(0.5, conditions, boiling_conductance)
    most = solve_evaporator(replace(trial, air_conductance=3000.0, boiling_conductance=1e4), conditions, steps=_STEPS)
    capacity_flow = most.sensible / (conditions.air_temperature - most.vent.T)
    air_units = 1.0 / (1.0 / units - capacity_flow / boiling_conductance)
    result = solve_evaporator(_coil(math.exp(-air_units), conditions, boiling_conductance), conditions, steps=_STEPS)
    return result.cooling_capacity / (capacity_flow * (conditions.air_temperature - boils))


def van(name, steps=16, **changes):
    """The parcel van's coil without superheat."""
    asked = {"T": 303.15, "relative_humidity": 0.5, "boils": 276.15, "p": 101325.0, "flow": 0.11}
    return getattr(solve_evaporator(coil(), _air(**{**asked, **changes}), steps=steps), name)


def water_gap(**changes):
    """What the air lost in water against what dripped off, as a share of the condensate."""
    result = solve_evaporator(coil(), _air(**{"p": 101325.0, "flow": 0.11, **changes}))
    lost = result.dry_air_flow * (result.inlet.humidity_ratio - result.vent.humidity_ratio)
    return abs(lost - result.condensate) / result.condensate


def heat_gap(**changes):
    """Refrigerant against air less drained water, as a share of the heat."""
    result = solve_evaporator(coil(), _air(**{"p": 101325.0, "flow": 0.11, **changes}))
    refrigerant = result.mass_flow * (result.outlet.enthalpy - result.feed.enthalpy)
    air = result.dry_air_flow * (result.inlet.h - result.vent.h) - result.drained_heat
    return abs(refrigerant - air) / refrigerant


def way_to_surface(potential, surface, **case):
    """How far the air goes towards saturation at the surface, by temperature, humidity or enthalpy."""
    at_surface = moist_air(T=surface, relative_humidity=1.0)
    before = getattr(moist_air(T=case["T"], relative_humidity=case["relative_humidity"]), potential)
    behind = surface_coil(potential, surface=surface, **case)
    return (before - behind) / (before - getattr(at_surface, potential))
