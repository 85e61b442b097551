"""What a technician knows must come out of the condenser: fins, dirt, air, passes, place of the last pass."""

import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.components.condenser_cases import CORES, DUTIES, FLOWS, NAMES, duty, head, names, shares, solve, temperatures
from thermo_kit.components.condenser import (
    AirConditions,
    air_side,
    condensing_pressure_for,
    fin_curve,
    with_fin_density,
)
from thermo_kit.components.louvered_fins import fins_per_inch

DRIVEN = AirConditions(temperature=308.15, face_velocity=2.5)
SOME = settings(max_examples=25)


def _at(name, velocity, core=None, share=0.8):
    air = AirConditions(temperature=308.15, face_velocity=velocity)
    return condensing_pressure_for(core or CORES[name], duty(name, share), air).condensing_pressure


@SOME
@given(names, st.floats(1.2, 4.0), st.floats(1.03, 2.0))
def test_more_air_lowers_the_head_pressure(name, velocity, more):
    assert _at(name, velocity * more) < _at(name, velocity)


@SOME
@given(names, st.floats(10.0, 26.0), st.floats(1.03, 1.5))
def test_with_the_same_air_more_fins_lower_the_head_pressure(name, count, more):
    fewer = with_fin_density(CORES[name], fins_per_inch(count))
    denser = with_fin_density(CORES[name], fins_per_inch(count * more))
    assert _at(name, 2.5, denser) < _at(name, 2.5, fewer)


@SOME
@given(names, st.floats(0.0, 0.5), st.floats(0.02, 0.3))
def test_a_blocked_face_raises_the_head_pressure_and_lets_less_air_through(name, blocked, more):
    air = AirConditions(temperature=303.15)
    clean = dataclasses.replace(CORES[name], blocked_fraction=blocked)
    dirty = dataclasses.replace(CORES[name], blocked_fraction=blocked + more)
    a, b = (condensing_pressure_for(core, duty(name, 0.6), air) for core in (clean, dirty))
    assert b.condensing_pressure > a.condensing_pressure
    assert b.compressor_power > a.compressor_power
    assert b.condenser.air_side.volume_flow < a.condenser.air_side.volume_flow


@SOME
@given(names, st.floats(288.15, 313.15), st.floats(0.5, 6.0))
def test_warmer_air_raises_the_head_pressure(name, temperature, warmer):
    a, b = (head(name, CORES[name], AirConditions(temperature=t)) for t in (temperature, temperature + warmer))
    assert b.condensing_pressure > a.condensing_pressure


@SOME
@given(names, st.floats(0.4, 1.0), st.floats(1.03, 1.3))
def test_more_duty_raises_the_head_pressure(name, share, more):
    assert head(name, CORES[name], DRIVEN, share * more).condensing_pressure > (
        head(name, CORES[name], DRIVEN, share).condensing_pressure
    )


@given(names, temperatures, shares)
def test_a_higher_pressure_sheds_more_heat_and_holds_more_liquid(name, temperature, share):
    cool, hot = (solve(name, temperature + rise, flow=share * FLOWS[name], air=DRIVEN) for rise in (0.0, 2.0))
    assert hot.charge > cool.charge
    assert hot.outlet_enthalpy < cool.outlet_enthalpy + 3e3 * 2.0
    if cool.passes[-1].phase != "liquid":
        assert hot.outlet_enthalpy < cool.outlet_enthalpy
    else:
        assert hot.subcooling > cool.subcooling


@given(names, shares)
def test_passes_that_shrink_towards_the_liquid_cost_less_pressure_than_passes_that_grow(name, share):
    core = dataclasses.replace(CORES[name], receiver_after=None)
    turned = dataclasses.replace(core, tubes=core.tubes[::-1])
    flow = share * 0.8 * FLOWS[name]
    usual, reverse = (solve(name, 333.15, core=one, flow=flow, air=DRIVEN) for one in (core, turned))
    assert usual.pressure_drop < reverse.pressure_drop
    fluxes = [one.mass_flux for one in usual.passes]
    assert fluxes == sorted(fluxes)


def test_a_larger_last_pass_subcools_more():
    small = dataclasses.replace(CORES["R-1234yf"], tubes=(15, 10, 7, 4))
    large = dataclasses.replace(CORES["R-1234yf"], tubes=(14, 8, 6, 8))
    assert head("R-1234yf", large).subcooling > head("R-1234yf", small).subcooling + 3.0
    assert head("R-1234yf", large).condensing_pressure > head("R-1234yf", small).condensing_pressure


def test_mud_at_the_bottom_spoils_the_subcooling_of_a_pass_that_lies_there():
    mud = dataclasses.replace(CORES["R-1234yf"], blocked_profile=(0, 0, 0, 0, 0, 0.8))
    low = head("R-1234yf", mud)
    high = head("R-1234yf", dataclasses.replace(mud, subcooling_pass_at="top"))
    assert low.subcooling < 0.5 * high.subcooling
    assert low.condensing_pressure < high.condensing_pressure


def test_driving_wind_helps_the_fan():
    idle = air_side(CORES["R-1234yf"], AirConditions(temperature=308.15))
    moving = air_side(CORES["R-1234yf"], AirConditions(temperature=308.15, driving_speed=20.0))
    assert moving.volume_flow > idle.volume_flow
    assert moving.fan_power < idle.fan_power


HOT = AirConditions(temperature=311.15)
COUNTS = (14, 20, 26, 32, 38)


def curve(name, air):
    return fin_curve(CORES[name], duty(name), air, tuple(fins_per_inch(count) for count in COUNTS))


@pytest.mark.parametrize("name", NAMES)
def test_with_the_fan_curve_there_is_a_best_density(name):
    found = curve(name, HOT)
    flows = [one.condenser.air_side.volume_flow for one in found.heads]
    powers = [one.compressor_power + one.fan_power for one in found.heads]
    assert flows == sorted(flows, reverse=True)
    assert found.best_is_inside
    assert found.best_fin_density == found.fin_densities[powers.index(min(powers))]


@pytest.mark.parametrize("name", NAMES)
def test_with_a_held_air_speed_more_fins_are_always_better(name):
    found = curve(name, dataclasses.replace(HOT, face_velocity=2.5))
    pressures = [one.condensing_pressure for one in found.heads]
    assert pressures == sorted(pressures, reverse=True)
    assert not found.best_is_inside


def test_a_slower_fan_wants_no_more_fins():
    counts = tuple(fins_per_inch(count) for count in range(16, 41, 2))
    bests = [
        fin_curve(CORES["R-1234yf"], duty("R-1234yf"), dataclasses.replace(HOT, fan_speed_share=speed), counts)
        for speed in (1.0, 0.6)
    ]
    assert bests[1].best_fin_density < bests[0].best_fin_density


@settings(max_examples=8, deadline=None)
@given(name=st.sampled_from(NAMES), count=st.floats(14, 36), start=st.floats(14, 36))
def test_where_the_search_begins_does_not_matter(name, count, start):
    core = with_fin_density(CORES[name], fins_per_inch(count))
    near = head(name, with_fin_density(CORES[name], fins_per_inch(round(start))), HOT)
    alone = condensing_pressure_for(core, duty(name), HOT)
    warm = condensing_pressure_for(core, duty(name), HOT, near=near)
    assert warm.condensing_pressure == pytest.approx(alone.condensing_pressure, rel=1e-5)
    assert warm.compressor_power == pytest.approx(alone.compressor_power, rel=1e-5)
    assert warm.cooling_capacity == pytest.approx(DUTIES[name], rel=2e-6)
