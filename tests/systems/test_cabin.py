"""Pull-down: the exponential limit, balances, trends, bad input."""

import math

import pytest

from thermo_kit.components.evaporator import humidity_at, van_coil, van_conditions
from thermo_kit.errors import OutOfRangeError
from thermo_kit.systems import CabinSpec, pull_down
from thermo_kit.units import celsius

OUTSIDE = van_conditions(air_temperature=celsius(32), relative_humidity=0.4)
HOT = {"start": celsius(55), "wish": celsius(24)}


def test_without_sun_and_cooling_the_air_falls_along_the_exponential():
    cabin = CabinSpec(interior_conductance=0.0, sun=0.0, people=0)
    result = pull_down(cabin, OUTSIDE, None, **HOT)
    air_mass = cabin.volume * 101325.0 / (287.042 * OUTSIDE.air_temperature)
    heat = air_mass * (1006.0 + 1860.0 * humidity_at(OUTSIDE.air_temperature, 0.4, 101325.0))
    for t, T in zip(result.time, result.air, strict=True):
        assert T == pytest.approx(celsius(32) + 23.0 * math.exp(-cabin.wall_conductance * t / heat), abs=0.02)


def test_with_sun_alone_it_settles_where_the_walls_lose_as_much():
    cabin = CabinSpec(interior_heat=2e4, people=0)
    result = pull_down(cabin, OUTSIDE, None, duration=14400.0, **HOT)
    assert result.air[-1] == pytest.approx(celsius(32) + cabin.sun / cabin.wall_conductance, abs=0.2)


def test_energy_closes_and_the_cabin_becomes_comfortable():
    result = pull_down(CabinSpec(), OUTSIDE, van_coil(), **HOT)
    assert result.energy_closure < 1e-6
    assert 0 < result.comfort_time < 1800 and result.condensate[-1] > 0
    assert all(b <= a + 1e-6 for a, b in zip(result.air, result.air[1:], strict=False))


def test_sun_and_fresh_air_delay_comfort():
    base = pull_down(CabinSpec(), OUTSIDE, van_coil(), duration=7200.0, **HOT).comfort_time
    assert pull_down(CabinSpec(sun=900.0), OUTSIDE, van_coil(), duration=7200.0, **HOT).comfort_time > base
    fresh = pull_down(CabinSpec(fresh_air_share=0.6), OUTSIDE, van_coil(), duration=7200.0, **HOT).comfort_time
    assert fresh is None or fresh > base


def test_bad_input_is_told():
    with pytest.raises(OutOfRangeError, match="20 % is 0.2"):
        CabinSpec(fresh_air_share=20)
    with pytest.raises(OutOfRangeError, match="cabin at the start"):
        pull_down(CabinSpec(), OUTSIDE, van_coil(), start=celsius(20), wish=celsius(24))
    with pytest.raises(OutOfRangeError, match="duration"):
        pull_down(CabinSpec(), OUTSIDE, van_coil(), duration=0.0, **HOT)
