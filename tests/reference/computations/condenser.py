"""What the components room says of fins, films and whole condensers."""

import math
from dataclasses import replace

from scipy.optimize import brentq

from thermo_kit.components import condenser
from thermo_kit.components.condenser import AirConditions, CompressorDuty, CondenserSpec
from thermo_kit.components.dry_air import dry_air
from thermo_kit.components.fan import FanSpec, fan_operating_point
from thermo_kit.components.louvered_fins import FinSpec, colburn_factor, fin_geometry, friction_factor
from thermo_kit.fleet import part_of
from thermo_kit.laws.films import condensing_coefficient, single_phase_coefficient
from thermo_kit.laws.fins import fin_efficiency
from thermo_kit.laws.friction import single_phase_friction, two_phase_friction
from thermo_kit.laws.void import void_fraction
from thermo_kit.substances import Refrigerant, Saturation
from thermo_kit.substances.stream import stream_at

INCH = 0.0254
# One slab of a measured core: 30 flat tubes in two passes, two slabs one behind the other. Its eleven ports of 1.07 by
# 1.87 mm are carried by fifteen round ones of equal hydraulic diameter (area and wetted edge within 1 %).
SLAB_TUBES, SLABS = 15, 2
MEASURED_CORE = CondenserSpec(
    tubes=(SLAB_TUBES,) * 2 * SLABS, tube_length=18.24 * INCH, ports=15, port_diameter=1.36e-3,
    fins=FinSpec(
        fin_density=13 / INCH, fin_height=0.488 * INCH, fin_depth=INCH, fin_thickness=0.0045 * INCH,
        louver_pitch=1.12e-3, louver_length=0.85 * 0.488 * INCH, louver_angle=25.0, tube_height=0.072 * INCH,
        tube_depth=INCH, conductivity=117.0,
    ),
    fan=FanSpec(free_flow=0.8, stall_pressure=240.0),
)  # fmt: skip

CORES = {"van": ("parcel_van", "R-1234yf"), "shuttle bus": ("shuttle_bus", "R-134a")}


def air_property(name, T):
    air = dry_air(T=T)
    return 1007.0 * air.viscosity / air.prandtl if name == "conductivity" else getattr(air, name)


def louver(factor, reynolds):
    fins = FinSpec(
        fin_density=1 / 1.4e-3, fin_height=8e-3, fin_depth=20e-3, fin_thickness=0.1e-3, louver_pitch=1.2e-3,
        louver_length=6.8e-3, louver_angle=28.0, tube_height=2e-3, tube_depth=20e-3,
    )  # fmt: skip
    if factor == "hydraulic diameter":
        return fin_geometry(fins).hydraulic_diameter
    return (colburn_factor if factor == "j" else friction_factor)(fins, reynolds)


def fin_with_slope(length):
    """Efficiency of a fin whose slope times length is the number given."""
    return fin_efficiency(film=length**2 / 4.0, conductivity=1.0, thickness=1.0, depth=1.0, reach=1.0)


def nusselt(reynolds, prandtl):
    return prandtl * single_phase_coefficient(
        mass_flux=reynolds, diameter=1.0, viscosity=1.0, conductivity=1.0 / prandtl, specific_heat=1.0
    )


def darcy_factor(reynolds):
    loss = single_phase_friction(mass_flux=reynolds, diameter=1.0, density=1.0, viscosity=1.0)
    return 2.0 * loss / reynolds**2


def _point(**given):
    blank = dict.fromkeys(Saturation._fields, 0.0)
    return Saturation(**blank | given)


def condensing(m, x, D, rhol, mul, kl, cpl, p, pc):
    point = _point(
        p=p, liquid_density=rhol, liquid_viscosity=mul, liquid_conductivity=kl, liquid_specific_heat=cpl,
    )  # fmt: skip
    return condensing_coefficient(
        mass_flux=m / (0.25 * math.pi * D**2), diameter=D, quality=x, saturation=point, critical_pressure=pc,
        liquid=0.0, vapour=0.0,
    )  # fmt: skip


def void(x, rhol, rhog):
    return void_fraction(x, _point(liquid_density=rhol, vapour_density=rhog))


def friction(m, x, D, rhol, rhog, mul, mug, sigma):
    point = _point(
        liquid_density=rhol, vapour_density=rhog, liquid_viscosity=mul, vapour_viscosity=mug, surface_tension=sigma
    )
    return two_phase_friction(mass_flux=m / (0.25 * math.pi * D**2), diameter=D, quality=x, saturation=point)


def fan_flow(free_flow, stall_pressure, resistance):
    fan = FanSpec(free_flow=free_flow, stall_pressure=stall_pressure)
    return fan_operating_point(fan, lambda flow: resistance * flow**2).volume_flow


def balance(core, mass_flow, condensing_temperature, superheat, air_temperature):
    """Heat lost by the refrigerant, from exact states at both ends, divided by heat found in the air."""
    vehicle, name = CORES[core]
    refrigerant = Refrigerant(name)
    p = refrigerant.dew_pressure(condensing_temperature)
    inlet = stream_at(name, mass_flow, p=p, T=condensing_temperature + superheat)
    result = condenser.solve_condenser(part_of(vehicle, "condenser"), inlet, AirConditions(temperature=air_temperature))
    each = zip(result.passes, result.air_side.passes, strict=True)
    warmed = sum(n.tubes * a.open_share * a.capacity_rate * (n.air_temperature - air_temperature) for n, a in each)
    out = refrigerant.at(p=result.outlet_pressure, T=result.outlet_temperature).h
    return mass_flow * (inlet.enthalpy - out) / (warmed * result.spec.tube_length)


def cop_left_when_blocked(**blocked):
    """COP with part of the face covered, as a share of the clean core's, at one cooling capacity."""
    core, air = part_of("parcel_van", "condenser"), AirConditions(temperature=308.15)
    duty = CompressorDuty(refrigerant="R-134a", evaporating_temperature=278.15, cooling_capacity=4500.0)
    profile = {name: tuple(value) if isinstance(value, list) else value for name, value in blocked.items()}
    clean, dirty = (condenser.condensing_pressure_for(one, duty, air) for one in (core, replace(core, **profile)))
    return clean.compressor_power / dirty.compressor_power


def _measured_core(heat, superheat, subcooling, air, air_flow, condensing):
    """The two slabs at one condensing temperature, the flow being that which the measured heat asks for.

    Each slab carries two of the four passes. Both are laid side by side at the air of the one face; the rear one's
    warmer air enters as the average of both, so half of the front slab's rise is added to the air.
    """
    fluid = Refrigerant("R-134a")
    p = fluid.dew_pressure(condensing)
    drop = fluid.at(p=p, T=condensing + superheat).h - fluid.at(p=p, T=condensing - subcooling).h
    inlet = stream_at("R-134a", heat / drop, p=p, T=condensing + superheat)
    fins = MEASURED_CORE.fins
    face = 2 * SLAB_TUBES * (fins.fin_height + fins.tube_height) * MEASURED_CORE.tube_length
    warmer = 0.0
    for _ in range(6):
        wind = AirConditions(temperature=air + warmer, face_velocity=air_flow / face)
        result = condenser.solve_condenser(MEASURED_CORE, inlet, wind)
        stream = 2 * SLAB_TUBES * result.air_side.passes[0].capacity_rate * MEASURED_CORE.tube_length
        before, warmer = warmer, 0.5 * sum(one.heat_flow for one in result.passes[2:]) / stream
        if abs(warmer - before) < 0.005:
            break
    return result


def _needed(heat, superheat, subcooling, air, air_flow):
    def short(condensing):
        core = _measured_core(heat, superheat, subcooling, air, air_flow, condensing)
        return heat - core.heat_rejection

    return brentq(short, air + subcooling + 2.5, air + 26.0, xtol=0.02)


def needed_difference(**measured):
    """How far the condensing temperature must stand above the air for the measured heat to leave the core."""
    return _needed(**measured) - measured["air"]


def core_pressure_drop(**measured):
    """The refrigerant's drop in that core, at that temperature."""
    return _measured_core(**measured, condensing=_needed(**measured)).pressure_drop
