"""Rubber mounts and insulation: limits, trends, and the free swing of a mass on a spring integrated anew."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from thermo_kit.components import InsulationSpec, MountSpec, judge_insulation, solve_mount, transmissibility
from thermo_kit.components.compressor import rpm

FOUR = MountSpec(mass=6.5, stiffness=40e3, damping_ratio=0.1)
dampings = st.floats(0.001, 1.0)


@given(damping=dampings)
def test_the_curve_passes_its_two_fixed_points_and_resonance_without_damping_has_no_height(damping):
    assert solve_mount(replace(FOUR, damping_ratio=0.0), speed=FOUR.natural_speed).transmissibility == math.inf
    assert transmissibility(speed_ratio=0.0, damping_ratio=damping) == 1.0
    assert transmissibility(speed_ratio=math.sqrt(2.0), damping_ratio=damping) == pytest.approx(1.0, abs=1e-12)


def test_force_on_the_body_against_the_equation_of_motion_integrated():
    speed = rpm(2600)
    stiffness, mass = FOUR.total_stiffness, FOUR.mass
    damper = 2.0 * FOUR.damping_ratio * math.sqrt(stiffness * mass)

    def motion(time, state):
        pull = math.cos(speed * time)
        return state[1], (pull - damper * state[1] - stiffness * state[0]) / mass

    times = [1.5 + k * 2 * math.pi / speed / 400 for k in range(401)]
    run = solve_ivp(motion, (0.0, times[-1]), (0.0, 0.0), t_eval=times, rtol=1e-9, atol=1e-14)
    on_body = [stiffness * x + damper * v for x, v in zip(*run.y, strict=True)]
    assert max(on_body) == pytest.approx(solve_mount(FOUR, speed=speed).transmissibility, rel=1e-3)


def test_deflection_and_frequency_belong_together():
    result = solve_mount(FOUR, speed=rpm(900))
    assert result.natural_frequency == pytest.approx(math.sqrt(9.80665 / result.static_deflection) / (2 * math.pi))
    assert result.transmissibility > 1.0 and any("resonance" in n for n in solve_mount(FOUR, speed=rpm(1500)).notes)


def test_thirty_gram_millimetres_pull_with_twelve_newton_at_6000_turns():
    result = solve_mount(FOUR, speed=rpm(6000))
    pull = 0.030 * 0.001 * (2 * math.pi * 100) ** 2
    assert result.unbalance_force == pytest.approx(pull) and pull == pytest.approx(11.84, abs=0.01)
    assert result.transmitted_force == pytest.approx(result.transmissibility * result.unbalance_force)
    assert result.static_deflection == pytest.approx(6.5 * 9.80665 / 160e3)
    at_limit = solve_mount(FOUR, speed=result.isolating_from)
    assert at_limit.transmissibility == pytest.approx(1.0) and at_limit.speed == pytest.approx(rpm(2118.8), rel=1e-4)


def test_a_metal_path_moves_resonance_into_the_speed_range():
    floating = solve_mount(FOUR, speed=rpm(8000))
    touching = solve_mount(replace(FOUR, metal_path_stiffness=5e6), speed=rpm(8000))
    assert floating.transmissibility < 0.06 and touching.transmissibility > 4.0
    assert any("metal path" in note for note in touching.notes)


@given(voltage=st.floats(60, 1000), a=st.floats(1e4, 1e9), b=st.floats(1e4, 1e9))
def test_the_whole_is_less_than_its_weakest_part(voltage, a, b):
    result = judge_insulation(InsulationSpec(voltage=voltage, compressor=a, others=b))
    assert result.resistance < min(a, b) and result.leak_current == pytest.approx(voltage / a + voltage / b)
    assert result.passes == (result.resistance >= 500.0 * voltage * (1.0 - 1e-9))
    assert result.weakest == ("compressor" if a < b else "other parts")
    assert result.ohm_per_volt == pytest.approx(result.resistance / voltage)
    direct = judge_insulation(InsulationSpec(voltage=voltage, compressor=a, others=b, circuit="direct only"))
    assert direct.least_resistance == pytest.approx(result.least_resistance / 5)


def test_at_the_least_value_two_milliampere_leak():
    result = judge_insulation(InsulationSpec(voltage=400.0, compressor=400e3, others=400e3))
    assert result.passes and result.leak_current == pytest.approx(2e-3)
