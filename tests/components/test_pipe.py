"""Pipes: friction law, its slope, its switch from laminar to turbulent, kinks."""

import math

import pytest
from fluids.friction import Colebrook
from hypothesis import given
from hypothesis import strategies as st

from thermo_kit.components import pipe as pipes
from thermo_kit.components.pipe import PipeSpec, friction_factor, pipe_flow

ROUGHNESS = st.floats(0.0, 0.05)


@given(reynolds=st.floats(10.0, 1e7), roughness=ROUGHNESS)
def test_slope_is_the_derivative(reynolds, roughness):
    for edge in (pipes.LAMINAR_END, pipes.TURBULENT_START):
        if abs(reynolds / edge - 1.0) < 1e-3:
            reynolds = edge * 1.01
    step = 1e-5
    low = math.log(friction_factor(reynolds * math.exp(-step), roughness)[0])
    high = math.log(friction_factor(reynolds * math.exp(step), roughness)[0])
    assert friction_factor(reynolds, roughness)[1] == pytest.approx((high - low) / (2 * step), abs=2e-4)


@given(roughness=ROUGHNESS)
def test_smooth_across_both_switches(roughness):
    for edge in (pipes.LAMINAR_END, pipes.TURBULENT_START):
        below, above = (friction_factor(edge * (1 - 1e-9), roughness), friction_factor(edge * (1 + 1e-9), roughness))
        assert below[0] == pytest.approx(above[0], rel=1e-6)
        assert below[1] == pytest.approx(above[1], abs=1e-6)


@given(reynolds=st.floats(4000.0, 1e7), roughness=ROUGHNESS)
def test_turbulent_side_solves_colebrook(reynolds, roughness):
    assert friction_factor(reynolds, roughness)[0] == pytest.approx(Colebrook(reynolds, roughness), rel=1e-8)


@given(st.floats(1e-6, 1e-3), st.floats(1.001, 2.0), st.floats(0, 1e-4), st.floats(3e-4, 0.05))
def test_more_flow_takes_more_pressure(flow, more, roughness, viscosity):
    pipe = PipeSpec(length=2.0, diameter=0.016, roughness=roughness, loss_coefficient=2.0)
    one = pipe_flow(pipe, volume_flow=flow, density=1050.0, viscosity=viscosity)
    two = pipe_flow(pipe, volume_flow=more * flow, density=1050.0, viscosity=viscosity)
    back = pipe_flow(pipe, volume_flow=-flow, density=1050.0, viscosity=viscosity)
    assert two.pressure_drop > one.pressure_drop > 0.0
    assert back.pressure_drop == pytest.approx(-one.pressure_drop)


def test_parallel_passages_share_the_flow():
    one = pipe_flow(PipeSpec(length=1.0, diameter=0.004), volume_flow=1e-5, density=1050.0, viscosity=2e-3)
    ten = pipe_flow(PipeSpec(length=1.0, diameter=0.004, parallel=10), volume_flow=1e-4, density=1050.0, viscosity=2e-3)
    assert ten.pressure_drop == pytest.approx(one.pressure_drop)
    assert ten.spec.volume == pytest.approx(10 * one.spec.volume)


def test_regimes_and_no_flow():
    pipe = PipeSpec(length=1.0, diameter=0.01)
    regimes = [pipe_flow(pipe, volume_flow=q, density=1000.0, viscosity=1e-3).regime for q in (0.0, 1e-5, 2.3e-5, 1e-4)]
    assert regimes == ["still", "laminar", "unsteady", "turbulent"]
    assert pipe_flow(pipe, volume_flow=0.0, density=1000.0, viscosity=1e-3).pressure_drop == 0.0


@given(one=st.floats(0.02, 1.0), two=st.floats(0.02, 1.0))
def test_a_tighter_kink_takes_more(one, two):
    tight, wide = sorted((one, two))
    assert pipes.narrowing_loss(tight) >= pipes.narrowing_loss(wide) >= 0.0
