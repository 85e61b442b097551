"""The table of a coil: read values lie close to solved ones, and a pull-down with it to one without."""

import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.components.evaporator_cases import coil, day
from thermo_kit.errors import OutOfRangeError
from thermo_kit.systems import CabinSpec, pull_down
from thermo_kit.systems.cabin import coil_table
from thermo_kit.units import celsius

CASES = {
    "a warm day": (32, 0.4, 55, 0.11, 0.2, 3),
    "humid, all air recirculated": (25, 0.8, 60, 0.05, 0.0, 0),
    "dry, all air from outside": (40, 0.2, 75, 0.18, 1.0, 6),
    "cold coil": (35, 0.6, 50, 0.08, 0.5, -3),
}


@given(st.floats(18, 79), st.floats(0.02, 1.0), st.floats(-5, 8), st.floats(0.04, 0.18))
@settings(max_examples=60, deadline=None)
def test_what_is_read_lies_close_to_what_is_solved(t, humidity, boils, air_flow):
    conditions = day(evaporating_temperature=celsius(boils), air_flow=air_flow)
    table = coil_table(coil(), conditions)
    read, solved = table.read(celsius(t), humidity), table.solved(celsius(t), humidity)
    near = 0.1 if humidity < 0.6 or t < 40 else 0.4  # the curvature is strongest in hot and humid air
    assert read.T == pytest.approx(solved.T, abs=near)
    assert read.cooling == pytest.approx(solved.cooling, rel=0.02)
    assert read.condensate == pytest.approx(solved.condensate, rel=0.03, abs=3e-5)


@pytest.mark.parametrize("name", CASES)
def test_a_pull_down_with_the_table_is_that_of_the_solved_coil(name):
    outside, humidity, start, air_flow, fresh, boils = CASES[name]
    T, cold = celsius(outside), celsius(boils)
    air = day(air_temperature=T, relative_humidity=humidity, air_flow=air_flow, evaporating_temperature=cold)
    asked = {"start": celsius(start), "wish": celsius(25), "duration": 3600.0}
    cabin = CabinSpec(fresh_air_share=fresh)
    fast, exact = (pull_down(cabin, air, coil(), exact=way, **asked) for way in (False, True))
    assert fast.air == pytest.approx(exact.air, abs=0.05)
    assert fast.vent == pytest.approx(exact.vent, abs=0.05)
    assert fast.condensate[-1] == pytest.approx(exact.condensate[-1], rel=0.02, abs=0.003)
    assert max(fast.energy_closure, fast.water_closure) < 1e-6
    if exact.comfort_time is None:
        assert fast.comfort_time is None
    else:
        assert fast.comfort_time == pytest.approx(exact.comfort_time, rel=0.005)


def test_the_table_is_kept_for_the_same_coil_and_another_for_another_blower():
    conditions = day()
    warmer = dataclasses.replace(conditions, air_temperature=celsius(40), relative_humidity=0.2)
    assert coil_table(coil(), conditions) is coil_table(coil(), warmer)
    assert coil_table(coil(), day(air_flow=0.05)) is not coil_table(coil(), conditions)


def test_air_too_cold_for_the_coil_is_told():
    with pytest.raises(OutOfRangeError, match="not warmer than the vapour"):
        coil_table(coil(), day()).read(celsius(7), 0.5)
