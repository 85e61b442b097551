"""The freeze transient: exact solutions, balances, refinement, trends, bad input."""

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import trapezoid

from tests.systems.textbook_freezing import freeze_layer, single_point_curve
from thermo_kit.components.chiller import ChillerSpec, solve_chiller
from thermo_kit.errors import NoSolutionError
from thermo_kit.substances import Coolant
from thermo_kit.systems.chiller_freeze import FreezeSpec, longest_safe_reaction, safe_time_map, simulate_chiller_freeze
from thermo_kit.systems.chiller_freeze.model import gap_heat, slush_curve
from thermo_kit.systems.chiller_freeze.safe_time import _search
from thermo_kit.systems.chiller_freeze.simulate import Run

BASE = FreezeSpec()
WATER = FreezeSpec(coolant="water")
few = settings(max_examples=12)
cases = st.builds(
    FreezeSpec,
    coolant=st.sampled_from(("water", "ethylene glycol", "propylene glycol")),
    mass_fraction=st.floats(0.0, 0.6),
    refrigerant=st.sampled_from(("R-134a", "R-1234yf")),
    coolant_flow=st.floats(0.12, 0.4),
    coolant_inlet_temperature=st.floats(285.0, 300.0),
    compressor_speed=st.floats(250.0, 450.0),
    flow_profile=st.tuples(st.just((0.0, 1.0)), st.tuples(st.floats(0.0, 5.0), st.floats(0.0, 0.4))),
    reaction_time=st.one_of(st.none(), st.floats(0.0, 60.0)),
    valve_leak=st.floats(0.0, 1.0),
    cabin_open=st.booleans(),
    counterflow=st.booleans(),
    speed_control_temperature=st.one_of(st.none(), st.floats(268.0, 276.0)),
    viscous_power=st.sampled_from((0.0, 0.25, 1.0)),
    duration=st.just(90.0),
)


def test_front_comes_nearer_to_the_exact_solution_with_finer_layers():
    case = dict(wall_temperature=263.15, start_temperature=278.15, depth=0.02, times=(60.0,))
    # Neumann's two-phase solution of this case, as in tests/reference/freezing.toml.
    errors = [
        abs(freeze_layer(single_point_curve(), layers=n, **case)[0] / 2.6333e-3 - 1.0) for n in (25, 50, 100, 200)
    ]
    assert all(finer < coarser for coarser, finer in itertools.pairwise(errors))
    assert errors[-1] < 0.01


def test_without_freezing_a_stirred_gap_follows_the_exponential():
    from scipy.integrate import solve_ivp

    curve, half_gap, resistance = slush_curve("ethylene glycol", 0.5), 1e-3, 2e-3
    wall, start = 285.15, 288.15

    def rates(_, enthalpy):
        stirred = np.full(4, 500.0)
        gained, _ = gap_heat(
            curve.temperature_at(enthalpy), stirred, stirred, wall, half_gap=half_gap, wall_resistance=resistance
        )
        return gained / (curve.density * half_gap / 4)

    times = np.linspace(0.0, 20.0, 11)
    begin = np.full(4, float(curve.enthalpy_at(start)))
    answer = solve_ivp(rates, (0.0, 20.0), begin, method="LSODA", t_eval=times, rtol=1e-8, atol=1e-3)
    heat = float(curve.enthalpy_at(start) - curve.enthalpy_at(wall)) / (start - wall)
    constant = curve.density * half_gap * heat * resistance
    exact = wall + (start - wall) * np.exp(-times / constant)
    assert curve.temperature_at(answer.y).mean(axis=0) == pytest.approx(exact, abs=0.005)


@pytest.mark.parametrize("kind", ["ethylene glycol", "propylene glycol"])
@pytest.mark.parametrize("share", [0.1, 0.3, 0.5])
def test_slush_obeys_the_lever_rule(kind, share):
    coolant, curve = Coolant(kind, mass_fraction=share), slush_curve(kind, share)
    for below in (0.5, 2.0, 5.0, 9.0):
        T = coolant.freezing_point - below
        assert float(curve.ice_at(curve.enthalpy_at(T))) == pytest.approx(coolant.ice_fraction(T), abs=0.004)
    assert np.all(np.diff(curve.enthalpy) > 0.0) and np.all(np.diff(curve.temperature) > 0.0)


def test_freezing_all_the_water_takes_its_heat_of_fusion():
    curve = slush_curve("water", 0.0)
    assert float(curve.enthalpy_at(273.15) - curve.enthalpy_at(273.04)) == pytest.approx(333.4e3, rel=1e-3)


@few
@given(cases)
def test_energy_and_mass_close_at_every_output(spec):
    try:
        result = simulate_chiller_freeze(spec)
    except NoSolutionError as refused:
        assume("already freezes" not in str(refused))
        raise
    assert max(result.energy_closure, result.mass_closure) < 1e-6
    assert len(result.time) == len(result.ice) == len(result.evaporating_pressure)
    assert all(-1e-9 <= ice <= 1.0 for ice in result.ice)


def test_heat_moved_is_the_area_under_the_cooling_curve():
    run = Run(replace(BASE, duration=60.0))
    result = run.to_result(601)
    area = trapezoid(result.cooling_capacity, result.time)
    assert area == pytest.approx(run.model.split(run.y)[6], rel=2e-3)


@pytest.mark.parametrize("share", [0.0, 0.3, 0.5])
def test_start_agrees_with_the_steady_chiller(share):
    result = simulate_chiller_freeze(replace(BASE, mass_fraction=share, duration=1.0))
    steady = solve_chiller(
        ChillerSpec(
            mass_fraction=share, coolant_flow=BASE.coolant_flow,
            evaporating_temperature=result.start_evaporating_temperature,
            coolant_inlet_temperature=BASE.coolant_inlet_temperature, superheat=2.0, inlet_quality=0.28,
        )
    )  # fmt: skip
    # The transient takes one mean boiling film and no superheated end.
    assert result.cooling_capacity[0] == pytest.approx(steady.cooling_capacity, rel=0.25)


def test_an_emptied_chiller_stays_empty_and_takes_no_more_heat():
    run = Run(replace(WATER, reaction_time=8.0, duration=120.0))
    result = run.to_result(241)
    assert run.model.split(run.at(result.time)[0])[2].min() > 0.0
    assert min(result.evaporating_temperature) > run.model.circuit.table.coldest - 0.5
    assert abs(result.cooling_capacity[-1]) < 1e-3 * result.cooling_capacity[0]
    # Nothing warms a coolant at rest but the plates, which were colder.
    assert max(result.mean_coolant_temperature) <= result.mean_coolant_temperature[0] + 0.01


def test_without_failure_nothing_happens():
    result = simulate_chiller_freeze(replace(BASE, flow_profile=((0.0, 1.0),), duration=60.0))
    assert result.outcome == "no ice"
    assert result.evaporating_temperature[-1] == pytest.approx(result.evaporating_temperature[0], abs=0.02)
    assert result.coolant_flow[-1] == pytest.approx(BASE.coolant_flow, rel=1e-6)


def test_finer_segments_and_layers_change_little():
    coarse = simulate_chiller_freeze(WATER)
    finer = simulate_chiller_freeze(replace(WATER, segments=10, layers=7))
    # The first ice belongs to the outermost layer: the thinner it is, the sooner it freezes.
    assert finer.first_ice_time == pytest.approx(coarse.first_ice_time, rel=0.25)
    assert finer.blocked_time == pytest.approx(coarse.blocked_time, rel=0.10)
    assert finer.burst_time == pytest.approx(coarse.burst_time, rel=0.10)


@pytest.mark.parametrize("spec", [WATER, BASE], ids=["water", "30 %"])
def test_finer_time_steps_change_little(spec):
    times = []
    for tolerance in ({}, {"rtol": 1e-6}):
        run = Run(spec, **tolerance)
        run.go(spec.duration)
        times.append([run.marks[name] for name in ("ice", "blocked", "burst")])
    assert times[0] == pytest.approx(times[1], abs=0.05)


def test_events_lie_in_order_and_histories_agree_with_them():
    result = simulate_chiller_freeze(BASE)
    assert result.wall_below_freezing_time < result.first_ice_time < result.blocked_time < result.burst_time
    assert result.outcome == "burst"
    assert result.time[-1] == pytest.approx(result.burst_time)
    # A burst ends the story early; its curves keep their points.
    assert len(result.time) >= 61
    for time, ice in zip(result.time, result.ice, strict=True):
        if time < result.first_ice_time - 0.1:
            assert ice == 0.0
        if time > result.blocked_time + 0.1:
            assert ice > BASE.slush_limit - 1e-3


def test_water_turns_solid_and_half_glycol_only_to_slush():
    assert simulate_chiller_freeze(WATER).outcome == "burst"
    half = simulate_chiller_freeze(replace(BASE, mass_fraction=0.5, duration=300.0))
    assert half.outcome == "slush"
    assert 0.0 < half.peak_ice < BASE.slush_limit


@few
@given(st.floats(0.0, 16.0), st.floats(0.5, 5.0))
def test_a_longer_delay_never_gives_less_ice(delay, more):
    closings = (delay, delay + more)
    early, late = (simulate_chiller_freeze(replace(WATER, reaction_time=t, duration=60.0)) for t in closings)
    assert late.peak_ice > early.peak_ice - 2e-3


@few
@given(st.floats(0.0, 0.55), st.floats(0.03, 0.05), st.sampled_from(("ethylene glycol", "propylene glycol")))
def test_more_glycol_never_brings_the_ice_earlier_while_the_pump_holds_its_flow(share, more, kind):
    thin = simulate_chiller_freeze(replace(BASE, coolant=kind, mass_fraction=share))
    thick = simulate_chiller_freeze(replace(BASE, coolant=kind, mass_fraction=share + more))
    assert (thick.first_ice_time or math.inf) > (thin.first_ice_time or 1e6)
    assert (thick.burst_time or math.inf) >= (thin.burst_time or 1e6)


def test_more_glycol_never_shortens_the_safe_time_while_the_pump_holds_its_flow():
    times = [longest_safe_reaction(replace(BASE, mass_fraction=share)) for share in (0.0, 0.1, 0.2, 0.3, 0.4)]
    assert all(later >= earlier for earlier, later in itertools.pairwise(times))
    assert times[0] < 20.0 and times[-1] == math.inf


def test_with_a_weak_pump_viscosity_wins_between_20_and_35_percent():
    weak = FreezeSpec(coolant="propylene glycol", flow_profile=((0.0, 1.0), (1.0, 0.15)), viscous_power=1.0)
    first = {
        share: simulate_chiller_freeze(replace(weak, mass_fraction=share, duration=300.0)).first_ice_time or math.inf
        for share in (0.1, 0.2, 0.3, 0.35, 0.55)
    }
    assert first[0.1] == first[0.2] == math.inf
    assert first[0.35] < first[0.3] < 120.0
    assert first[0.55] > first[0.35]


@few
@given(st.floats(300.0, 450.0), st.floats(1.05, 1.2))
def test_a_faster_compressor_brings_ice_sooner(speed, factor):
    slow = simulate_chiller_freeze(replace(WATER, compressor_speed=speed, duration=60.0))
    fast = simulate_chiller_freeze(replace(WATER, compressor_speed=speed * factor, duration=60.0))
    assert fast.first_ice_time < slow.first_ice_time


def test_more_remaining_flow_gives_more_time():
    kept = [
        longest_safe_reaction(replace(WATER, flow_profile=((0.0, 1.0), (1.0, share)))) for share in (0.0, 0.1, 0.2, 0.3)
    ]
    assert all(later >= earlier - 0.2 for earlier, later in itertools.pairwise(kept))


def test_a_working_cabin_evaporator_and_speed_control_give_more_time():
    alone = simulate_chiller_freeze(WATER).first_ice_time
    assert simulate_chiller_freeze(replace(WATER, cabin_open=True)).first_ice_time > alone
    assert simulate_chiller_freeze(replace(WATER, speed_control_temperature=275.15)).first_ice_time > alone


def test_a_leaking_valve_shortens_the_safe_time_and_a_stuck_one_never_saves():
    tight, leaky = (longest_safe_reaction(replace(WATER, valve_leak=leak)) for leak in (0.0, 0.15))
    assert leaky < tight
    assert longest_safe_reaction(replace(WATER, valve_leak=1.0)) == 0.0


@pytest.mark.parametrize("spec", [WATER, BASE], ids=["water", "30 %"])
def test_longest_safe_reaction_is_where_it_turns_less_what_the_mesh_may_miss(spec):
    seconds = longest_safe_reaction(spec, accuracy=0.1)
    fine = replace(spec, segments=12)
    turns = (seconds + 0.5) / 0.95
    assert simulate_chiller_freeze(replace(fine, reaction_time=seconds)).outcome != "burst"
    assert simulate_chiller_freeze(replace(fine, reaction_time=turns - 0.5)).outcome != "burst"
    assert simulate_chiller_freeze(replace(fine, reaction_time=turns + 0.8)).outcome == "burst"


@pytest.mark.parametrize("avoid", ["ice", "blocked", "burst"])
@pytest.mark.parametrize("spec", [WATER, BASE, replace(WATER, compressor_speed=157.0)], ids=["water", "30 %", "slow"])
def test_the_safe_time_lies_on_the_safe_side_of_a_mesh_four_times_finer(spec, avoid):
    told = longest_safe_reaction(spec, avoid=avoid)
    fine, finer = (_search(Run(replace(spec, segments=n), rtol=1e-3), avoid, 0.03) for n in (24, 48))
    # The error halves with the segments: as much again as between 24 and 48 lies beyond 48.
    limit = finer - (fine - finer)
    assert 0.8 * limit - 1.0 < told <= limit


def test_avoiding_ice_leaves_less_time_than_avoiding_a_burst():
    ice, blocked, burst = (longest_safe_reaction(BASE, avoid=name) for name in ("ice", "blocked", "burst"))
    assert ice < blocked < burst


def test_map_matches_single_searches_and_reports_progress():
    steps = []
    found = safe_time_map(
        BASE, mass_fractions=(0.0, 0.5), values=(0.0, 0.3), workers=1,
        progress=lambda done, total: steps.append((done, total)),
    )  # fmt: skip
    assert found.complete and steps == [(1, 4), (2, 4), (3, 4), (4, 4)]
    assert found.seconds[0][0] == pytest.approx(longest_safe_reaction(replace(BASE, mass_fraction=0.0)), abs=0.6)
    assert found.seconds[1] == (math.inf, math.inf)


def test_map_can_be_cancelled():
    done = []
    found = safe_time_map(
        BASE, mass_fractions=(0.0, 0.1), values=(300.0, 350.0), against="compressor_speed", workers=1,
        progress=lambda count, total: done.append(count), cancelled=lambda: len(done) >= 2,
    )  # fmt: skip
    assert not found.complete
    assert found.seconds[0][1] is not None and found.seconds[1] == (None, None)


def test_two_processes_give_the_same_map():
    case = dict(mass_fractions=(0.0, 0.2), values=(0.0,))
    alone = safe_time_map(BASE, workers=1, **case)
    assert safe_time_map(BASE, workers=2, **case).seconds == alone.seconds
    stopped = safe_time_map(BASE, workers=2, cancelled=lambda: True, **case)
    assert not stopped.complete and len(stopped.seconds) == 2


def test_freezing_with_the_pump_running_is_refused():
    with pytest.raises(NoSolutionError, match="already freezes"):
        simulate_chiller_freeze(replace(WATER, coolant_inlet_temperature=276.0, compressor_speed=800.0))
