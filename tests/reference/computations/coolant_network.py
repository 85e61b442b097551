"""Pipes, pumps, networks and mixture instruments, in the quantities that books and programs print."""

import math

from tests.systems.epanet_network import epanet_friction
from tests.systems.network_builder import meshed_loop, volume_flows_at
from thermo_kit.components.pipe import PipeSpec, friction_factor, pipe_flow
from thermo_kit.components.pump import PumpSpec, operating_point, run_pump
from thermo_kit.laws.constants import GRAVITY
from thermo_kit.service.mixture import read_hydrometer, read_refractometer, refractive_index
from thermo_kit.substances import Coolant


def pipe(quantity, diameter, length, density, viscosity, roughness=0.0, loss=0.0, velocity=None, volume_flow=None):
    spec = PipeSpec(length=length, diameter=diameter, roughness=roughness, loss_coefficient=loss)
    flow = volume_flow if volume_flow is not None else velocity * spec.area
    found = pipe_flow(spec, volume_flow=flow, density=density, viscosity=viscosity)
    if quantity == "friction_factor":
        return friction(found.reynolds, roughness / diameter)
    if quantity == "head_loss":
        return found.pressure_drop / (density * GRAVITY)
    return found.pressure_drop * flow if quantity == "pumping_power" else getattr(found, quantity)


def friction(reynolds, relative_roughness):
    return friction_factor(reynolds, relative_roughness)[0]


def reservoir_elevation(outlet_elevation, **fields):
    return outlet_elevation + pipe("head_loss", **fields)


def power_ratio(speed_ratio):
    slow = PumpSpec(shut_off_head=4.0, run_out_flow=3e-4, speed_share=0.5)
    fast = PumpSpec(shut_off_head=4.0, run_out_flow=3e-4, speed_share=0.5 * speed_ratio)
    first = run_pump(slow, volume_flow=1e-4, density=1000.0)
    second = run_pump(fast, volume_flow=speed_ratio * 1e-4, density=1000.0)
    return second.shaft_power / first.shaft_power


def textbook_parabolas(lift, run_out, loss_ratio):
    pump = PumpSpec(shut_off_head=lift, run_out_flow=run_out)
    factor = loss_ratio * 1000.0 * GRAVITY * lift / run_out**2
    return operating_point(pump, lambda flow: factor * flow * flow, density=1000.0).volume_flow / run_out


def meshed(branch, mass_fraction, temperature):
    with epanet_friction():
        return volume_flows_at(meshed_loop(mass_fraction=mass_fraction), temperature)[0][branch]


def hydrometer(kind, specific_gravity):
    return read_hydrometer(kind, specific_gravity=specific_gravity).volume_fraction


def wrong_scale_error(kind, scale_kind, volume_fraction):
    mixture = Coolant(kind, volume_fraction=volume_fraction)
    shown = read_refractometer(scale_kind, index=refractive_index(kind, mixture.mass_fraction)).freezing_point
    return math.fabs(shown - mixture.freezing_point)


index = refractive_index
