"""The pump: affinity laws, operating point, power, and its failures."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermo_kit.components.pump import PumpSpec, operating_point, pump_head, run_pump
from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.laws.constants import GRAVITY

HEALTHY = PumpSpec(shut_off_head=9.0, run_out_flow=40 / 60e3)
RHO = 1050.0


@given(speed=st.floats(0.1, 1.0), share=st.floats(0.0, 1.0), straight=st.floats(0.0, 1.0))
def test_affinity_laws(speed, share, straight):
    full, slow = replace(HEALTHY, linear_share=straight), replace(HEALTHY, linear_share=straight, speed_share=speed)
    flow = share * full.run_out_flow
    at_full = run_pump(full, volume_flow=flow, density=RHO)
    at_slow = run_pump(slow, volume_flow=speed * flow, density=RHO)
    assert at_slow.head == pytest.approx(speed**2 * at_full.head, rel=1e-9, abs=1e-12)
    assert at_slow.electric_power == pytest.approx(speed**3 * at_full.electric_power, rel=1e-9, abs=1e-12)
    assert at_slow.efficiency == pytest.approx(at_full.efficiency, rel=1e-9, abs=1e-12)


@given(flow=st.floats(-6e-4, 9e-4), straight=st.floats(0.0, 1.0), speed=st.floats(0.0, 1.5))
def test_head_never_rises_with_flow_and_its_slope_is_right(flow, straight, speed):
    pump = replace(HEALTHY, linear_share=straight, speed_share=speed)
    step = 1e-8
    low, high = pump_head(pump, flow - step)[0], pump_head(pump, flow + step)[0]
    slope = pump_head(pump, flow)[1]
    assert high <= low
    assert slope == pytest.approx((high - low) / (2 * step), rel=1e-4, abs=2.0)


@given(lift=st.floats(1.0, 20.0), flow=st.floats(1e-4, 1e-3), loss=st.floats(0.2, 5.0))
def test_operating_point_of_two_parabolas(lift, flow, loss):
    pump = PumpSpec(shut_off_head=lift, run_out_flow=flow)
    coefficient = loss * RHO * GRAVITY * lift / flow**2
    point = operating_point(pump, lambda q: coefficient * q * q, density=RHO)
    assert point.volume_flow == pytest.approx(flow / math.sqrt(1.0 + loss), rel=1e-9)
    assert point.pressure_rise == pytest.approx(coefficient * point.volume_flow**2, rel=1e-9)


def test_best_efficiency_and_power_balance():
    best = run_pump(HEALTHY, volume_flow=0.5 * HEALTHY.run_out_flow, density=RHO)
    assert best.efficiency == pytest.approx(HEALTHY.best_efficiency)
    for share in (0.1, 0.3, 0.7, 0.9):
        other = run_pump(HEALTHY, volume_flow=share * HEALTHY.run_out_flow, density=RHO)
        assert other.efficiency < best.efficiency
        assert other.hydraulic_power == pytest.approx(other.efficiency * other.shaft_power)
        assert other.hydraulic_power == pytest.approx(other.pressure_rise * other.volume_flow)
    closed = run_pump(HEALTHY, volume_flow=0.0, density=RHO)
    assert closed.efficiency == 0.0
    assert closed.shaft_power > 0.2 * best.shaft_power


def test_failures():
    flow = 2e-4
    dead = run_pump(replace(HEALTHY, condition="dead"), volume_flow=flow, density=RHO)
    assert dead.head < 0.0 and dead.electric_power == 0.0
    assert pump_head(replace(HEALTHY, condition="reversed"), 0.0)[0] == -9.0
    none, half, full = (
        run_pump(replace(HEALTHY, condition="air-locked", air_share=share), volume_flow=flow, density=RHO)
        for share in (0.0, 0.5, 1.0)
    )
    assert pump_head(HEALTHY, flow)[0] == none.head > half.head > full.head and full.head < 0.0
    assert none.electric_power > half.electric_power > full.electric_power == 0.0


@given(share=st.floats(-1.5, 1.5), straight=st.floats(0.0, 1.0))
def test_a_standing_impeller_takes_energy_whatever_its_curve(share, straight):
    dead = replace(HEALTHY, linear_share=straight, condition="dead")
    healthy = replace(HEALTHY, linear_share=straight)
    flow = share * dead.run_out_flow
    head, slope = pump_head(dead, flow)
    assert head * flow <= 0.0 and slope <= 0.0
    assert head == pytest.approx(pump_head(healthy, flow)[0] - dead.shut_off_head, abs=1e-9)


def test_a_pump_that_cannot_lift_is_told():
    with pytest.raises(NoSolutionError, match="dead"):
        operating_point(replace(HEALTHY, condition="dead"), lambda q: 1e11 * q * q, density=RHO)
    with pytest.raises(OutOfRangeError, match="coolant density"):
        operating_point(HEALTHY, lambda q: 1e11 * q * q, density=math.nan)
    with pytest.raises(NoSolutionError, match="above what the loop takes"):
        operating_point(HEALTHY, lambda q: 2e5 + 1e11 * q * q, density=RHO)
