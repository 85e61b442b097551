"""Pressure, charge and air of a condenser worked out anew from exact states; any list of passes, any receiver."""

import dataclasses
import itertools
import math

import pytest
from fluids.friction import friction_factor
from fluids.two_phase import Friedel
from fluids.two_phase_voidage import Zivi
from hypothesis import given
from hypothesis import strategies as st

from tests.components.condenser_cases import CORES, NAMES, names, solve
from thermo_kit.components.condenser import AirConditions, air_side
from thermo_kit.components.fan import fan_pressure
from thermo_kit.substances import Refrigerant

ENTRY = 1.5  # speeding up from rest, and half as much again for the sharp edge


def _flow_area(core):
    return core.ports * 0.25 * math.pi * core.port_diameter**2


@pytest.mark.parametrize("name", NAMES)
def test_a_pass_full_of_liquid_has_the_friction_and_the_mass_of_a_pipe_full_of_liquid(name):
    result = solve(name, 333.15)
    core, last = result.spec, result.passes[-1]
    start = result.path[-1 - core.segments]
    assert last.liquid_share == pytest.approx(1.0) and start.pass_number == last.number
    fluid, T = Refrigerant(name), 0.5 * (start.temperature + last.temperature)
    density, viscosity = fluid.at(p=last.pressure, T=T).rho, fluid.transport(p=last.pressure, T=T).viscosity
    factor = friction_factor(last.mass_flux * core.port_diameter / viscosity, 0.0)
    drop = (factor * core.tube_length / core.port_diameter + ENTRY) * last.mass_flux**2 / (2.0 * density)
    assert last.pressure_drop == pytest.approx(drop, rel=0.02)
    assert last.charge == pytest.approx(density * _flow_area(core) * core.tube_length * last.tubes, rel=0.003)


@pytest.mark.parametrize("name", NAMES)
def test_a_pass_that_condenses_has_the_friction_the_momentum_and_the_mass_of_exact_states(name):
    result = solve(name, 330.15)
    core, middle = result.spec, result.passes[1]
    assert middle.two_phase_share == pytest.approx(1.0)
    fluid, flux, step = Refrigerant(name), middle.mass_flux, core.tube_length / core.segments
    points = [point for point in result.path if point.pass_number == 2]
    friction = charge = 0.0
    for a, b in itertools.pairwise(points):
        x, s = 0.5 * (a.quality + b.quality), fluid.saturation(0.5 * (a.temperature + b.temperature))
        friction += Friedel(
            m=flux * 0.25 * math.pi * core.port_diameter**2, x=x, rhol=s.liquid_density, rhog=s.vapour_density,
            mul=s.liquid_viscosity, mug=s.vapour_viscosity, sigma=s.surface_tension, D=core.port_diameter, L=step,
        )  # fmt: skip
        void = Zivi(x, s.liquid_density, s.vapour_density)
        density = void * s.vapour_density + (1.0 - void) * s.liquid_density
        charge += density * _flow_area(core) * step * middle.tubes

    def volume(point):
        s = fluid.saturation(point.temperature)
        return point.quality / s.vapour_density + (1.0 - point.quality) / s.liquid_density

    slowing = flux**2 * (volume(points[-1]) - volume(points[0]))
    entry = ENTRY * 0.5 * flux**2 * volume(points[0])
    assert slowing < -0.05 * friction
    assert middle.pressure_drop == pytest.approx(friction + slowing + entry, rel=0.01)
    assert middle.charge == pytest.approx(charge, rel=0.005)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("fan", "speed"), [(1.0, 0.0), (0.6, 0.0), (0.8, 22.0), (0.0, 25.0)])
def test_fan_and_wind_give_what_core_and_grille_take(name, fan, speed):
    core = dataclasses.replace(CORES[name], front_resistance=250.0)
    side = air_side(core, AirConditions(temperature=303.15, fan_speed_share=fan, driving_speed=speed))
    density = side.mass_flow / side.volume_flow
    assert density == pytest.approx(101325.0 / (287.05 * 303.15), rel=1e-3)
    fan_gives = fan_pressure(core.fan, volume_flow=side.volume_flow, speed_share=fan, density=density)
    wind_gives = 0.3 * 0.5 * density * speed**2
    grille_takes = 250.0 * density / 1.2 * side.volume_flow**2
    assert fan_gives + wind_gives == pytest.approx(side.core_pressure_drop + grille_takes, rel=1e-6)
    if fan > 0.0:
        assert side.fan_power * core.fan.efficiency == pytest.approx(max(fan_gives, 0.0) * side.volume_flow, rel=1e-6)


@pytest.mark.parametrize("speed", [0.0, 40.0])
@pytest.mark.parametrize("name", NAMES)
def test_a_face_blocked_as_far_as_the_model_allows_still_gets_its_air(name, speed):
    moving = AirConditions(temperature=308.15, driving_speed=speed)
    flows = [
        air_side(dataclasses.replace(CORES[name], blocked_fraction=blocked), moving).volume_flow
        for blocked in (0.0, 0.5, 0.8, 0.85, 0.9)
    ]
    assert flows == sorted(flows, reverse=True) and flows[-1] > 0.1


@given(names, st.lists(st.integers(5, 14), min_size=1, max_size=7), st.data())
def test_any_list_of_passes_with_the_receiver_anywhere(name, tubes, data):
    after = data.draw(st.none() | st.integers(1, len(tubes)))
    place = data.draw(st.sampled_from(("bottom", "top")))
    core = dataclasses.replace(CORES[name], tubes=tuple(tubes), receiver_after=after, subcooling_pass_at=place)
    result = solve(name, 331.15, core=core, flow=0.02, air=AirConditions(temperature=308.15, face_velocity=2.5))
    assert result.energy_closure < 1e-6
    assert [one.tubes for one in result.passes] == tubes
    assert sum(one.bottom - one.top for one in result.passes) == pytest.approx(1.0)
    assert result.passes[-1].bottom == pytest.approx(1.0) if place == "bottom" else result.passes[-1].top == 0.0
    if after is None:
        assert result.receiver is None
        return
    end = result.passes[after - 1]
    assert result.receiver.after_pass == after and result.receiver.pressure == pytest.approx(end.pressure)
    assert result.receiver.vapour_carried == (end.phase != "liquid" and (end.quality is None or end.quality > 1e-5))
    assert result.receiver.subcooling == pytest.approx(end.subcooling, abs=1e-6)
