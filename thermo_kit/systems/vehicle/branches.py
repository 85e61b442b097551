"""The evaporating branches: which are open, how far a valve is, and what the chiller does and holds."""

import math

from thermo_kit.components.chiller import ChillerSpec, solve_chiller
from thermo_kit.components.expansion_valve import port_area
from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.laws.void import void_fraction
from thermo_kit.substances import Refrigerant
from thermo_kit.units import Amount, Said


def open_branches(spec, conditions):
    """Return (cabin open, chiller open): what is asked, where no shut-off valve sticks."""
    asked = conditions.cabin_open, conditions.chiller_open
    if spec.chiller is None:
        if asked != (True, False):
            advice = "leave it open, or choose a vehicle with a chiller"
            raise OutOfRangeError.about("branches", f"of the {spec.title}", "are the cabin's evaporator alone", advice)
        return asked
    valves = spec.chiller.cabin_shut_off, spec.chiller.shut_off
    found = tuple(valve.stuck == "open" or (one and not valve.stuck) for one, valve in zip(asked, valves, strict=True))
    if not any(found):
        advice = "the compressor must not run: ask for a branch, or look for a valve that is stuck"
        raise NoSolutionError.about("shut-off valves", "of both branches are shut", "so that nothing can boil", advice)
    return found


def quality(at, enthalpy):
    """Return the vapour share at an enthalpy [J/kg], below 0 in liquid, above 1 in gas; at: saturation."""
    return (enthalpy - at.liquid_enthalpy) / (at.vapour_enthalpy - at.liquid_enthalpy)


def volume(at, quality):
    """Return the volume of a mixture without slip [m³/kg]; at: saturation; quality [-]."""
    return quality / at.vapour_density + (1.0 - quality) / at.liquid_density


def run_branch(branch, conditions, feed):
    """Return the chiller's answer to what comes out of its valve; the pressure is that at its outlet."""
    fluid = Refrigerant(feed.refrigerant)
    # Not the table's saturation: the chiller would then start from another enthalpy than the valve left.
    at = fluid.saturation(fluid.dew_temperature(feed.pressure))
    if conditions.coolant_temperature < at.T + 0.7:
        given = Amount(conditions.coolant_temperature, "temperature")
        advice = "warmer coolant, or shut the branch of the chiller"
        limit = Said("is not warmer than the refrigerant boils, {}", Amount(at.T, "temperature"))
        raise NoSolutionError.about("coolant before the chiller", given, limit, advice)
    return solve_chiller(
        ChillerSpec(
            refrigerant=feed.refrigerant, coolant=branch.coolant, mass_fraction=branch.mass_fraction,
            coolant_flow=conditions.coolant_flow, coolant_inlet_temperature=conditions.coolant_temperature,
            evaporating_pressure=feed.pressure, inlet_quality=quality(at, feed.enthalpy), mass_flow=feed.mass_flow,
            stack=branch.stack, segments=16,
        )
    )  # fmt: skip


def between(level, push):
    """Zero where `push` is zero and the level within 0 to 1, or the level at the end to which it is pushed.

    A positive push drives the level to 0, a negative one to 1: the usual complementarity of a box.
    """
    return max(min(push, level), level - 1.0)


def lift_for(valve, area):
    """Return the lift, as a share of the full one, at which a pin leaves an area open; beyond 1 it grows with it."""
    full = port_area(valve, valve.full_lift)
    if area >= full:
        return area / full
    # The inverse of the truncated cone in `port_area`.
    sine, slope = math.sin(valve.pin_angle), math.sin(valve.pin_angle) * math.cos(valve.pin_angle)
    inside = max(valve.port_diameter**2 - 4.0 * slope * area / (math.pi * sine), 0.0)
    return (valve.port_diameter - math.sqrt(inside)) / (2.0 * slope) / valve.full_lift


def boiling_mass(room, at, start, end, wet):
    """Return what a room [m³] holds [kg]: boiling between two enthalpies [J/kg] in its wet share, else vapour."""
    start = min(max(quality(at, start), 0.0), 1.0)
    end = min(max(quality(at, end), start), 1.0)
    void = sum(void_fraction(start + (end - start) * (i + 0.5) / 6, at) for i in range(6)) / 6
    boiling = void * at.vapour_density + (1.0 - void) * at.liquid_density
    return room * (wet * boiling + (1.0 - wet) * at.vapour_density)


def plate_mass(stack, chiller, at, start):
    """Return what the plates hold [kg]; a chiller that nothing passes holds vapour."""
    room, wet = stack.channel_volume(stack.refrigerant_channels), 0.0
    if chiller is None:
        return room * at.vapour_density
    for middle, share in zip(chiller.position, chiller.quality, strict=True):
        if share >= 1.0:
            break
        # Positions are the middles of slices that follow each other, and one slice ends where the last liquid boils.
        wet = 2.0 * middle - wet
    return boiling_mass(room, at, start, chiller.outlet.enthalpy, wet)
