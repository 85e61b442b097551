"""What a technician knows must come out of the condenser: fins, dirt, air, passes, place of the last pass."""

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.components.condenser_cases import CORES, FLOWS, NAMES, duty, head, names, shares, solve, temperatures
from thermo_kit.components.condenser import AirConditions, air_side, condensing_pressure_for, with_fin_density
from thermo_kit.components.fan import FanSpec
from thermo_kit.components.louvered_fins import fins_per_inch

DRIVEN = AirConditions(temperature=308.15, face_velocity=2.5)


def _at(name, velocity, core=None, share=0.8):
    air = AirConditions(temperature=308.15, face_velocity=velocity)
    return condensing_pressure_for(core or CORES[name], duty(name, share), air).condensing_pressure


@given(names, st.floats(1.2, 4.0), st.floats(1.03, 2.0))
def test_more_air_lowers_the_head_pressure(name, velocity, more):
    assert _at(name, velocity * more) < _at(name, velocity)


@given(names, st.floats(10.0, 26.0), st.floats(1.03, 1.5))
def test_with_the_same_air_more_fins_lower_the_head_pressure(name, count, more):
    fewer = with_fin_density(CORES[name], fins_per_inch(count))
    denser = with_fin_density(CORES[name], fins_per_inch(count * more))
    assert _at(name, 2.5, denser) < _at(name, 2.5, fewer)


@given(names, st.floats(0.0, 0.5), st.floats(0.02, 0.3))
def test_a_blocked_face_raises_the_head_pressure_and_lets_less_air_through(name, blocked, more):
    air = AirConditions(temperature=303.15)
    clean = dataclasses.replace(CORES[name], blocked_fraction=blocked)
    dirty = dataclasses.replace(CORES[name], blocked_fraction=blocked + more)
    a, b = (condensing_pressure_for(core, duty(name, 0.6), air) for core in (clean, dirty))
    assert b.condensing_pressure > a.condensing_pressure
    assert b.compressor_power > a.compressor_power
    assert b.condenser.air_side.volume_flow < a.condenser.air_side.volume_flow


@given(names, st.floats(288.15, 313.15), st.floats(0.5, 6.0))
def test_warmer_air_raises_the_head_pressure(name, temperature, warmer):
    a, b = (head(name, CORES[name], AirConditions(temperature=t)) for t in (temperature, temperature + warmer))
    assert b.condensing_pressure > a.condensing_pressure


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


@pytest.mark.parametrize("name", NAMES)
def test_with_the_fan_curve_there_is_a_best_fin_density(name):
    counts = [8, 12, 16, 20, 24, 28, 32, 36, 40]
    pressures = [head(name, with_fin_density(CORES[name], fins_per_inch(n))).condensing_pressure for n in counts]
    best = pressures.index(min(pressures))
    assert 0 < best < len(counts) - 1
    assert pressures[: best + 1] == sorted(pressures[: best + 1], reverse=True)
    assert pressures[best:] == sorted(pressures[best:])


def test_a_weaker_fan_wants_fewer_fins():
    counts = range(8, 41, 2)

    def best(fan):
        cores = [with_fin_density(dataclasses.replace(CORES["R-1234yf"], fan=fan), fins_per_inch(n)) for n in counts]
        pressures = [
            condensing_pressure_for(c, duty("R-1234yf", 0.5), DRIVEN_BY_FAN).condensing_pressure for c in cores
        ]
        return counts[pressures.index(min(pressures))]

    assert best(FanSpec(free_flow=0.5, stall_pressure=60.0)) < best(FanSpec(free_flow=0.65, stall_pressure=230.0))


DRIVEN_BY_FAN = AirConditions(temperature=303.15)


@pytest.mark.parametrize("name", NAMES)
def test_fewer_fins_let_more_air_through_yet_cost_head_pressure(name):
    original = head(name, with_fin_density(CORES[name], fins_per_inch(20)))
    cheap = head(name, with_fin_density(CORES[name], fins_per_inch(16)))
    assert cheap.condenser.air_side.volume_flow > original.condenser.air_side.volume_flow
    assert cheap.condensing_pressure > original.condensing_pressure
    assert cheap.compressor_power > original.compressor_power


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
