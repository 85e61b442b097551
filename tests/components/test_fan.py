"""The fan: its curve, the fan laws, and where it meets the core."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermo_kit.components.fan import FanSpec, fan_operating_point, fan_pressure

FAN = FanSpec(free_flow=0.65, stall_pressure=230.0)


@given(st.floats(1.0, 5e4), st.floats(0.2, 1.2), st.floats(0.0, 500.0))
def test_at_the_operating_point_fan_and_wind_balance_the_core(resistance, speed, ram):
    point = fan_operating_point(FAN, lambda flow: resistance * flow**2, speed_share=speed, ram_pressure=ram)
    lifted = fan_pressure(FAN, volume_flow=point.volume_flow, speed_share=speed)
    assert lifted + ram == pytest.approx(resistance * point.volume_flow**2, rel=1e-6, abs=1e-4)


@given(st.floats(10.0, 5e4), st.floats(0.2, 1.0))
def test_by_the_fan_laws_flow_goes_with_speed_and_power_with_its_cube(resistance, speed):
    full = fan_operating_point(FAN, lambda flow: resistance * flow**2)
    slower = fan_operating_point(FAN, lambda flow: resistance * flow**2, speed_share=speed)
    assert slower.volume_flow == pytest.approx(speed * full.volume_flow, rel=1e-6)
    assert slower.electric_power == pytest.approx(speed**3 * full.electric_power, rel=1e-5)


def test_the_curve_ends_at_stall_and_at_free_flow():
    assert fan_pressure(FAN, volume_flow=0.0) == pytest.approx(230.0)
    assert fan_pressure(FAN, volume_flow=0.65) == pytest.approx(0.0)
    assert fan_pressure(FAN, volume_flow=0.65, density=0.9, speed_share=1.2) == pytest.approx(0.75 * 230 * 0.44)


def test_a_standing_fan_lets_the_wind_through_and_draws_nothing():
    point = fan_operating_point(FAN, lambda flow: 500.0 * flow**2, speed_share=0.0, ram_pressure=80.0)
    assert point.volume_flow > 0.0 and point.electric_power == 0.0
