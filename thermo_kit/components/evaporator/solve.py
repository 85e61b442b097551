"""Wet coil by enthalpy potential, step by step through its depth, boiling part and superheated part side by side."""

import functools
import math
from typing import NamedTuple

from thermo_kit.components.evaporator.air import (
    AIR_CONSTANT,
    DRY_AIR_HEAT,
    MASS_RATIO,
    VAPOUR_HEAT,
    ZERO,
    coil_air,
    humidity_at,
    moist_enthalpy,
    relative_humidity_at,
)
from thermo_kit.components.evaporator.face import Face
from thermo_kit.components.evaporator.spec import EvaporatorResult
from thermo_kit.substances import Refrigerant
from thermo_kit.units import format_quantity
from thermo_kit.units.checks import Checks

STEPS = 16
CLOSEST = 0.5
"""How much warmer than the vapour that leaves the air must be [K]."""
_SMALL_SUPERHEAT = 0.01
_WETTEST_INLET = 0.8
_LEAST_WATER = 1e-4
# Gauss-Legendre, three points on 0 to 1.
_GAUSS = tuple((0.5 + 0.5 * x, 0.5 * w) for x, w in ((-math.sqrt(0.6), 5 / 9), (0.0, 8 / 9), (math.sqrt(0.6), 5 / 9)))


def solve_evaporator(spec, conditions, *, steps=STEPS):
    """Return vent air, condensate, surface temperature and refrigerant flow of a coil.

    Parameters
    ----------
    spec : EvaporatorSpec
        The coil.
    conditions : EvaporatorConditions
        Air in front of it, refrigerant at valve and outlet.
    steps : int
        Steps through the depth of the coil, 4 to 400.

    Returns
    -------
    EvaporatorResult
        Everything, SI.

    Raises
    ------
    OutOfRangeError
        If the air is not warmer than the refrigerant that leaves, or the valve gets no liquid.

    Notes
    -----
    The evaporating temperature is given and held: compressor and valve are taken to follow, whatever the load. A
    whole system settles elsewhere, with a lower evaporating pressure where less heat comes in.

    The last part of the face, in which the refrigerant is only superheated, works beside the boiling part; each
    gets its share of the air, and the vent mixes both. Lewis factor 1. The air-side conductance is the dry one
    where the fins are wet too: the poorer fin efficiency under water and the water held between the fins are left
    out, and so is the refrigerant's pressure drop. The boiling conductance does not change with the flow.

    Steady: frost and its growth are not followed, and the heat of freezing (some 13 % of the latent heat) is left
    out. Behind the coil a little fog is possible; it is carried as vapour.

    Three balances are held against each other for `energy_closure`: the refrigerant's enthalpy, the air's
    enthalpy less the water's, and the film between surface and refrigerant. `water_closure` holds the loss of
    humidity against the water told by the film's heat that cooling the air leaves over.

    References
    ----------
    Threlkeld, Thermal Environmental Engineering (1970), enthalpy potential over wet surfaces.
    ASHRAE Handbook - HVAC Systems and Equipment, air-cooling and dehumidifying coils (dry, wet and partly wet).

    Examples
    --------
    >>> from thermo_kit.components.evaporator import van_coil, van_conditions
    >>> result = solve_evaporator(van_coil(), van_conditions())
    >>> result.energy_closure < 1e-6 and result.water_closure < 1e-6
    True
    """
    _check(conditions, steps)
    cold = _refrigerant(
        conditions.refrigerant,
        conditions.evaporating_temperature,
        conditions.superheat,
        conditions.valve_pressure,
        conditions.liquid_temperature,
    )
    pressure, T_in = conditions.air_pressure, conditions.air_temperature
    w_in = humidity_at(T_in, conditions.relative_humidity, pressure)
    air_flow = conditions.air_flow * _flow_left(spec)
    dry_air = air_flow * pressure / (AIR_CONSTANT * T_in * (1.0 + w_in / MASS_RATIO))
    inlet = coil_air(moist_enthalpy(T_in, w_in), w_in, pressure)
    open_share = 1.0 - spec.blocked_share
    # The flow per open face sets the film; the open face sets how much of it there is.
    air_side = spec.air_conductance * open_share * (dry_air / open_share / spec.reference_air_flow) ** spec.air_exponent
    face = Face(inlet, pressure, dry_air, air_side, steps)

    boiling = face.strip(conditions.evaporating_temperature, spec.boiling_conductance * open_share)
    superheated, taken = _superheated_part(face, spec, conditions, cold, open_share)
    # Per kilogram of flow: face needed for boiling and for superheating. Both together are the whole face.
    flow = 1.0 / ((cold.h_vapour - cold.h_valve) / boiling.heat + taken)
    dry_share = flow * taken
    parts = [(1.0 - dry_share, boiling), *((flow * need, strip) for need, strip in superheated)]
    h_mix, w_mix, condensate, by_heat, drained, film = (
        sum(share * getattr(strip, name) for share, strip in parts)
        for name in ("h", "w", "condensate", "condensate_by_heat", "drained", "heat")
    )
    capacity = flow * (cold.h_outlet - cold.h_valve)
    from_air = dry_air * (inlet.h - h_mix) - drained
    dried = dry_air * (w_in - w_mix)
    vent = coil_air(h_mix, w_mix, pressure)
    sensible = dry_air * (DRY_AIR_HEAT + VAPOUR_HEAT * w_mix) * (inlet.T - vent.T)
    coldest = min(boiling.surface)
    frost = coldest < ZERO and coldest < inlet.dew_point
    return EvaporatorResult(
        spec=spec,
        conditions=conditions,
        inlet=inlet,
        vent=vent,
        wet_side=coil_air(boiling.h, boiling.w, pressure),
        dry_side=_dry_side(superheated, taken, pressure),
        superheated_share=dry_share,
        mass_flow=flow,
        cooling_capacity=capacity,
        sensible=sensible,
        latent=capacity - sensible,
        condensate=condensate,
        drained_heat=drained,
        dry_air_flow=dry_air,
        air_flow=air_flow,
        coldest_surface=coldest,
        mean_surface=sum(boiling.surface) / steps,
        bypass_share=math.exp(-face.transfer_units),
        frost=frost,
        depth=tuple(i / steps for i in range(steps + 1)),
        air_path=boiling.T_path,
        humidity_path=boiling.w_path,
        surface_path=boiling.surface,
        evaporating_pressure=cold.pressure,
        valve_enthalpy=cold.h_valve,
        vapour_enthalpy=cold.h_vapour,
        outlet_enthalpy=cold.h_outlet,
        energy_closure=_gap(from_air, capacity, film) / capacity,
        water_closure=_gap(dried, condensate, by_heat) / max(condensate, _LEAST_WATER * dry_air * w_in, 1e-12),
        notes=_notes(frost, vent, pressure, condensate),
    )


def _gap(*values):
    return max(values) - min(values)


class _Refrigerant(NamedTuple):
    pressure: float
    h_valve: float
    h_vapour: float
    h_outlet: float


@functools.lru_cache(maxsize=256)
def _refrigerant(name, T0, superheat, valve_pressure, liquid_temperature):
    """Boiling pressure and enthalpies, kept: a cabin that cools asks for the same ones many hundred times."""
    fluid = Refrigerant(name)
    checks = Checks()
    highest = fluid.critical_temperature - 2.0
    if highest < T0:
        shown, limit = (format_quantity(T, "temperature") for T in (T0, highest))
        checks.add(
            "evaporating temperature", shown, f"is above {limit}, 2 K below the critical point", "choose a lower one"
        )
        checks.raise_if_any()
    p0 = fluid.dew_pressure(T0)
    if valve_pressure <= p0:
        checks.add(
            "pressure in front of the valve",
            format_quantity(valve_pressure, "pressure"),
            f"is not above the evaporating pressure, {format_quantity(p0, 'pressure')}",
            "were high side and low side swapped, or was a gauge pressure typed for an absolute one?",
        )
        checks.raise_if_any()
    h_valve = fluid.at(p=valve_pressure, T=liquid_temperature).h
    h_vapour, h_liquid = fluid.at(T=T0, x=1.0).h, fluid.at(T=T0, x=0.0).h
    quality = (h_valve - h_liquid) / (h_vapour - h_liquid)
    if quality > _WETTEST_INLET:
        checks.add(
            "liquid in front of the valve",
            format_quantity(liquid_temperature, "temperature"),
            f"leaves hardly anything to boil: {min(100.0 * quality, 100.0):.0f} % is vapour behind the valve",
            "was a hot-gas temperature typed, or a gauge pressure for an absolute one?",
        )
        checks.raise_if_any()
    return _Refrigerant(p0, h_valve, h_vapour, _outlet_enthalpy(fluid, p0, T0, h_vapour, superheat))


def _outlet_enthalpy(fluid, p0, T0, h_vapour, superheat):
    # At the dew line pressure and temperature fix no state: the last hundredth of a kelvin is a straight line.
    if superheat >= _SMALL_SUPERHEAT:
        return fluid.at(p=p0, T=T0 + superheat).h
    step = fluid.at(p=p0, T=T0 + _SMALL_SUPERHEAT).h - h_vapour
    return h_vapour + step * superheat / _SMALL_SUPERHEAT


def _superheated_part(face, spec, conditions, cold, open_share):
    """Face that one kilogram per second needs to be superheated, in pieces with their strips."""
    if cold.h_outlet <= cold.h_vapour:
        return [], 0.0
    conductance = spec.boiling_conductance * open_share * spec.vapour_share
    T0, superheat = conditions.evaporating_temperature, conditions.superheat
    ahead = conditions.air_temperature - T0
    # Vapour nears the air along an exponential: points even in its logarithm hold close to the air's temperature too.
    span = math.log(ahead / (ahead - superheat))
    left = [(weight, ahead * math.exp(-place * span)) for place, weight in _GAUSS]
    whole = sum(weight * gap for weight, gap in left)
    pieces = []
    for weight, gap in left:
        # The vapour's heat capacity hardly changes over a few kelvin; the enthalpy itself is split exactly.
        strip = face.strip(conditions.air_temperature - gap, conductance)
        pieces.append((weight * gap / whole * (cold.h_outlet - cold.h_vapour) / strip.heat, strip))
    return pieces, sum(need for need, _ in pieces)


def _dry_side(pieces, taken, pressure):
    if not pieces:
        return None
    h = sum(need * strip.h for need, strip in pieces) / taken
    w = sum(need * strip.w for need, strip in pieces) / taken
    return coil_air(h, w, pressure)


def _flow_left(spec):
    """Share of the air that is left behind dirt: turbulent resistance of coil and ducts at the same blower pressure."""
    coil = spec.coil_resistance_share
    return 1.0 / math.sqrt(1.0 - coil + coil / (1.0 - spec.blocked_share) ** 2)


def _notes(frost, vent, pressure, condensate):
    notes = []
    if frost:
        notes.append("The surface is below 0 °C (32 °F): water freezes on it, and the ice will close the coil in time.")
    if condensate <= 0.0:
        notes.append("The surface stays above the dew point of the air: no water condenses.")
    if relative_humidity_at(vent.T, vent.humidity_ratio, pressure) > 1.0 + 1e-9:
        notes.append("The air leaves with a little fog; its humidity is shown as 100 %.")
    return tuple(notes)


def _check(conditions, steps):
    checks = Checks()
    if not isinstance(steps, int) or not 4 <= steps <= 400:
        checks.add("steps through the coil", repr(steps), "must be a whole number from 4 to 400", "leave it out")
    leaves = conditions.evaporating_temperature + conditions.superheat
    if conditions.air_temperature < leaves + CLOSEST:
        shown = format_quantity(conditions.air_temperature, "temperature")
        checks.add(
            "air in front of the coil",
            shown,
            f"is not warmer than the vapour that leaves at {format_quantity(leaves, 'temperature')}",
            "lower the superheat or the evaporating temperature, or check whether air and coil were swapped",
        )
    checks.raise_if_any()
