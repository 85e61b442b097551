"""What a technician knows must come out of the condenser: fins, dirt, air, passes, place of the last pass."""

from dataclasses import replace

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
RAISES = {
    "less air": lambda core, x: {"velocity": 8.0 * 0.15**x},
    "fewer fins in the same air": lambda core, x: {"core": with_fin_density(core, fins_per_inch(39.0 - 29.0 * x))},
    "a blocked face": lambda core, x: {"core": replace(core, blocked_fraction=0.8 * x), "velocity": None, "share": 0.5},
    "warmer air": lambda core, x: {"velocity": None, "temperature": 288.15 + 31.0 * x, "share": 1.0},
    "more duty": lambda core, x: {"share": 0.4 + 0.9 * x},
}
"""What raises the head pressure, from little (0) to much (1)."""


def _pressed(name, core=None, velocity=2.5, temperature=308.15, share=0.8):
    air = AirConditions(temperature=temperature, face_velocity=velocity)
    return condensing_pressure_for(core or CORES[name], duty(name, share), air)


@pytest.mark.parametrize("change", RAISES)
@settings(max_examples=25)
@given(names, st.floats(0.0, 0.8), st.floats(0.02, 0.2))
def test_what_raises_the_head_pressure(change, name, x, more):
    a, b = (_pressed(name, **RAISES[change](CORES[name], at)) for at in (x, x + more))
    assert b.condensing_pressure > a.condensing_pressure
    if change == "a blocked face":
        assert b.compressor_power > a.compressor_power
        assert b.condenser.air_side.volume_flow < a.condenser.air_side.volume_flow


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
    core = replace(CORES[name], receiver_after=None)
    turned = replace(core, tubes=core.tubes[::-1])
    flow = share * 0.8 * FLOWS[name]
    usual, reverse = (solve(name, 333.15, core=one, flow=flow, air=DRIVEN) for one in (core, turned))
    assert usual.pressure_drop < reverse.pressure_drop
    fluxes = [one.mass_flux for one in usual.passes]
    assert fluxes == sorted(fluxes)


def test_a_larger_last_pass_subcools_more():
    cores = (replace(CORES["R-1234yf"], tubes=tubes) for tubes in ((15, 10, 7, 4), (14, 8, 6, 8)))
    small, large = (head("R-1234yf", core) for core in cores)
    assert large.subcooling > small.subcooling + 3.0 and large.condensing_pressure > small.condensing_pressure


def test_mud_at_the_bottom_spoils_the_subcooling_of_a_pass_that_lies_there():
    mud = replace(CORES["R-1234yf"], blocked_profile=(0, 0, 0, 0, 0, 0.8))
    low = head("R-1234yf", mud)
    high = head("R-1234yf", replace(mud, subcooling_pass_at="top"))
    assert low.subcooling < 0.5 * high.subcooling
    assert low.condensing_pressure < high.condensing_pressure


def test_driving_wind_helps_the_fan():
    idle, moving = (
        air_side(CORES["R-1234yf"], AirConditions(temperature=308.15, driving_speed=v)) for v in (0.0, 20.0)
    )
    assert moving.volume_flow > idle.volume_flow and moving.fan_power < idle.fan_power


HOT = AirConditions(temperature=311.15)
COUNTS = (14, 20, 26, 32, 38)


def curve(name, air):
    return fin_curve(CORES[name], duty(name), air, tuple(fins_per_inch(count) for count in COUNTS))


@pytest.mark.parametrize("name", NAMES)
def test_with_the_fan_there_is_a_best_density_and_with_a_held_air_speed_more_fins_are_always_better(name):
    found, held = curve(name, HOT), curve(name, replace(HOT, face_velocity=2.5))
    flows = [one.condenser.air_side.volume_flow for one in found.heads]
    powers = [one.compressor_power + one.fan_power for one in found.heads]
    assert flows == sorted(flows, reverse=True)
    assert found.best_is_inside and not held.best_is_inside
    assert found.best_fin_density == found.fin_densities[powers.index(min(powers))]
    pressures = [one.condensing_pressure for one in held.heads]
    assert pressures == sorted(pressures, reverse=True)


def test_a_slower_fan_wants_no_more_fins():
    counts = tuple(fins_per_inch(count) for count in range(16, 41, 2))
    bests = [
        fin_curve(CORES["R-1234yf"], duty("R-1234yf"), replace(HOT, fan_speed_share=speed), counts)
        for speed in (1.0, 0.6)
    ]
    assert bests[1].best_fin_density < bests[0].best_fin_density


@settings(max_examples=8)
@given(name=st.sampled_from(NAMES), count=st.floats(14, 36), start=st.floats(14, 36))
def test_where_the_search_begins_does_not_matter(name, count, start):
    core = with_fin_density(CORES[name], fins_per_inch(count))
    near = head(name, with_fin_density(CORES[name], fins_per_inch(round(start))), HOT)
    alone = condensing_pressure_for(core, duty(name), HOT)
    warm = condensing_pressure_for(core, duty(name), HOT, near=near)
    assert warm.condensing_pressure == pytest.approx(alone.condensing_pressure, rel=1e-5)
    assert warm.compressor_power == pytest.approx(alone.compressor_power, rel=1e-5)
    assert warm.cooling_capacity == pytest.approx(DUTIES[name], rel=2e-6)
