"""Temperatures of a network: exact solutions, balances, refinement, scenarios, faults over time, layouts as data."""

import math
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.systems.network_builder import body, pipe, pump, ring, struck
from thermo_kit.components.fan import FanSpec
from thermo_kit.components.radiator import RadiatorSpec, radiator_air_flow, radiator_effectiveness
from thermo_kit.errors import FileAccessError, InputError, OutOfRangeError, UnknownNameError
from thermo_kit.substances.coolant import coolant_table
from thermo_kit.systems.coolant_network import (
    LAYOUT_NAMES,
    ChillerLink,
    NetworkFault,
    Scenario,
    Segment,
    drive,
    fast_charge,
    hot_soak,
    load_layout,
    read_layout,
    simulate_network,
    solve_coolant_network,
)
from thermo_kit.systems.coolant_network.faults import each_branch
from thermo_kit.systems.coolant_network.simulate import drive_heat
from thermo_kit.systems.coolant_network.steady import conductance_at

CORE = RadiatorSpec(
    air_conductance=700.0,
    coolant_conductance=1600.0,
    rated_air_flow=0.5,
    rated_coolant_flow=0.25,
    core_pressure_drop=110.0,
    fan=FanSpec(free_flow=0.8, stall_pressure=240.0),
)


def shaft_heat(result):
    """Return what the pumps' shafts put into the coolant."""
    return sum(machine.shaft_power for _, machine in result.pumps)


def table_heat(spec, result):
    """Return the specific heat of the coolant at its mean temperature."""
    mean = np.mean([entry.temperature for entry in result.nodes])
    return float(coolant_table(spec.coolant, spec.mass_fraction).specific_heat(mean))


def _cooled_ring(heat=3000.0, **fields):
    spec = ring(bodies=(body("motor", "first", heat=heat, role="motor", air_loss=0.0),), **fields)
    branches = (*spec.branches[:2], replace(spec.branches[2], radiator=CORE))
    return replace(spec, branches=branches)


@given(heat=st.floats(200.0, 6000.0), ambient=st.floats(278.15, 318.15), speed=st.floats(0.0, 30.0))
def test_the_radiator_in_the_loop_is_the_radiator_alone(heat, ambient, speed):
    spec = _cooled_ring(heat, ambient_temperature=ambient, vehicle_speed=speed)
    result = solve_coolant_network(spec)
    way = result.way("third")
    rate = way.mass_flow * table_heat(spec, result)
    share, smaller = radiator_effectiveness(
        CORE, coolant_flow=way.mass_flow, coolant_heat_rate=rate, air_flow=radiator_air_flow(CORE, vehicle_speed=speed)
    )
    alone = share * smaller * (way.inlet_temperature - ambient)
    assert way.radiator_heat == pytest.approx(alone, rel=0.01)
    # What the radiator does not give off, hoses and bottle lose.
    came = heat + shaft_heat(result)
    assert 0.9 * came < way.radiator_heat < came
    # The heat balance takes one density for the whole loop, the pump's result its own.
    assert way.radiator_heat + result.heat_lost == pytest.approx(came, rel=1e-4)
    assert max(result.node_closure, result.loop_closure, result.energy_closure) < 1e-6


def test_a_body_sits_above_its_coolant_by_the_effectiveness_relation():
    result = solve_coolant_network(_cooled_ring())
    way, motor = result.way("first"), result.body("motor")
    rise = way.outlet_temperature - way.inlet_temperature
    rate = 3000.0 / rise
    conductance = conductance_at(120.0, 0.25, way.mass_flow, 0.5)
    expected = way.inlet_temperature + rise / -math.expm1(-conductance / rate)
    assert motor.temperature == pytest.approx(expected, abs=0.05)


def test_without_radiator_hoses_bottle_and_body_lose_all_the_heat():
    spec = ring(bodies=(body("motor", "first", heat=60.0, role="motor", air_loss=1.5),), ambient_temperature=293.15)
    result = solve_coolant_network(spec)
    hoses = 3 * 8.0 * math.pi * 0.016 * 1.0
    coolant = np.mean([entry.temperature for entry in result.nodes]) - 293.15
    lost = (hoses + 0.5) * coolant + 1.5 * (result.body("motor").temperature - 293.15)
    came = 60.0 + shaft_heat(result)
    assert lost == pytest.approx(came, rel=2e-3) and result.heat_lost == pytest.approx(came, rel=1e-4)


def test_a_pump_alone_warms_its_loop_by_its_shaft_power():
    """First law: what enters by the shaft leaves through hoses and bottle, in any direction and by any pump."""
    for machine in (pump(), pump(linear_share=1.0), pump(condition="reversed"), pump(speed_share=0.5)):
        result = solve_coolant_network(ring(pumps=(machine,)))
        warmer = np.mean([entry.temperature for entry in result.nodes]) - 298.15
        assert 3.0 < shaft_heat(result) < 60.0
        assert (3 * 8.0 * math.pi * 0.016 + 0.5) * warmer == pytest.approx(shaft_heat(result), rel=5e-3)
    assert solve_coolant_network(struck(ring(), "pump dead", "first")).heat_lost == 0.0


def test_radiator_heat_leaves_out_what_its_bare_passage_loses():
    """At rest in still air the whole rest of the loop's heat goes through hoses, bottle and the core's own passage."""
    result = solve_coolant_network(_cooled_ring())
    passages = [
        branch.air_loss * (0.5 * (way.inlet_temperature + way.outlet_temperature) - 298.15)
        for branch, way in zip(result.spec.branches, result.ways, strict=True)
    ]
    bottle = 0.5 * (result.node("tank").temperature - 298.15)
    assert result.heat_lost == pytest.approx(sum(passages) + bottle, rel=0.03)
    assert passages[2] > 0.2 * result.heat_lost


def test_a_chiller_takes_what_a_wall_of_one_temperature_takes():
    plate = ChillerLink(conductance=300.0, rated_flow=0.25, evaporating_temperature=278.15)
    spec = ring(bodies=(body("motor", "first", heat=2500.0, role="motor"),), ambient_temperature=298.15)
    spec = replace(spec, branches=(*spec.branches[:2], replace(spec.branches[2], chiller=plate)))
    result = solve_coolant_network(spec)
    way = result.way("third")
    heat = table_heat(spec, result)
    conductance = conductance_at(300.0, 0.25, way.mass_flow)
    share = -math.expm1(-conductance / (way.mass_flow * heat))
    taken = share * way.mass_flow * heat * (way.inlet_temperature - 278.15)
    assert way.heat_to_chiller == pytest.approx(taken, rel=5e-3) and taken > 2000.0


@pytest.mark.parametrize(("speed", "climb"), [(25.0, 0.0), (10.0, 0.04), (10.0, -0.04)])
def test_road_load_of_the_van_by_hand(speed, climb):
    wheel = abs(3300.0 * 9.80665 * (0.010 + climb) + 0.5 * 1.2 * 3.2 * speed**2) * speed
    battery = 1600.0 * ((wheel + 500.0) / 40e3) ** 2
    expected = {"battery": battery, "inverter": 60.0 + 0.035 * wheel, "motor": 0.10 * wheel}
    assert drive_heat(speed, climb) == pytest.approx(expected)


def test_more_cells_change_little():
    temperatures = [
        [part.temperature for part in solve_coolant_network(load_layout("one_loop"), cells_at_part=n).bodies]
        for n in (1, 4, 16)
    ]
    assert np.allclose(temperatures[0], temperatures[2], atol=0.3)
    assert np.allclose(temperatures[1], temperatures[2], atol=0.05)


@given(heat=st.floats(100.0, 5000.0), more=st.floats(1.05, 2.0))
def test_more_heat_is_hotter_and_more_blockage_too(heat, more):
    cool, warm = (solve_coolant_network(_cooled_ring(h)).body("motor").temperature for h in (heat, heat * more))
    assert warm > cool
    blocked = struck(_cooled_ring(heat), "radiator blocked", "third", amount=0.8)
    assert solve_coolant_network(blocked).body("motor").temperature > cool


def _steady_run(spec, duration):
    heat = tuple((part.role, part.heat) for part in spec.bodies)
    segment = Segment(duration=duration, heat=heat, vehicle_speed=spec.vehicle_speed)
    return Scenario(name="steady", segments=(segment,), ambient_temperature=spec.ambient_temperature)


def test_after_long_the_run_reaches_the_steady_solution():
    spec = _cooled_ring()
    run = simulate_network(spec, _steady_run(spec, 7200.0))
    steady = solve_coolant_network(spec)
    assert run.body_temperature["motor"][-1] == pytest.approx(steady.body("motor").temperature, abs=0.05)
    assert run.way_flow["first"][-1] == pytest.approx(steady.way("first").mass_flow, rel=0.01)


def lump(heat_capacity, duration, **how):
    """Return the run of a heated body whose coolant stands still, so that it loses heat only to the air."""
    motor = body("motor", "first", heat=0.0, role="motor", heat_capacity=heat_capacity, conductance=0.1, air_loss=5.0)
    segment = Segment(duration=duration, heat=(("motor", 200.0),), pumps_running=False)
    scenario = Scenario(name="lump", segments=(segment,), ambient_temperature=293.15)
    return simulate_network(ring(bodies=(motor,), ambient_temperature=293.15), scenario, record_every=60.0, **how)


def test_a_body_without_flow_heats_and_cools_as_one_lump():
    """T = Ta + P/G (1 − exp(−t G/C))."""
    run = lump(20e3, 3600.0)
    exact = 293.15 + 200.0 / 5.0 * -np.expm1(-run.time * 5.0 / 20e3)
    assert np.max(np.abs(run.body_temperature["motor"] - exact)) < 0.1


def test_half_the_time_step_leaves_a_quarter_of_the_error():
    finest, half, whole = (lump(2e3, 1800.0, step=step).body_temperature["motor"] for step in (1.0, 30.0, 60.0))
    assert np.max(np.abs(whole - finest)) / np.max(np.abs(half - finest)) == pytest.approx(4.0, rel=0.1)


def test_a_shorter_time_step_changes_little():
    spec, scenario = load_layout("two_loops"), fast_charge(duration=1200.0)
    spec = each_branch(spec, lambda b: replace(b, chiller=replace(b.chiller, body="")) if b.chiller else b)
    runs = {step: simulate_network(spec, scenario, step=step, record_every=60.0) for step in (0.5, 2.0, 4.0, 8.0)}
    finest = runs[0.5].body_temperature

    def error(step):
        return max(np.max(np.abs(values - finest[name])) for name, values in runs[step].body_temperature.items())

    assert error(2.0) < 0.02
    assert error(4.0) < 0.06
    assert error(2.0) < error(8.0)


@pytest.mark.parametrize("name", LAYOUT_NAMES)
@pytest.mark.parametrize("scenario", [drive(duration=900.0), fast_charge(duration=900.0), hot_soak(duration=900.0)])
def test_every_scenario_closes_in_every_layout(name, scenario):
    run = simulate_network(load_layout(name), scenario)
    assert max(run.node_closure, run.loop_closure, run.energy_closure) < 1e-6
    assert run.time[0] == 0.0 and run.time[-1] == pytest.approx(900.0)
    assert all(np.all(np.isfinite(values)) for values in run.body_temperature.values())


def test_the_thermostat_keeps_the_battery_in_its_band():
    run = simulate_network(load_layout("two_loops"), fast_charge(duration=3600.0, ambient_temperature=298.15))
    battery = run.body_temperature["battery"] - 273.15
    assert battery.max() < 45.0
    late = battery[run.time > 1800.0]
    assert late.min() > 24.0


def test_which_loop_overheats_depends_on_the_pump_that_dies():
    spec = load_layout("two_loops")
    scenario = drive(duration=3600.0)

    def victims(part):
        run = simulate_network(spec, scenario, faults=(NetworkFault(kind="pump dead", part=part),), fault_time=600.0)
        return {event.part: event.time for event in run.events if event.kind == "over limit"}

    healthy = simulate_network(spec, scenario)
    assert healthy.first_over_limit() is None
    drive_side, battery_side = victims("drive pump"), victims("battery pump")
    assert "inverter" in drive_side and "battery" not in drive_side
    assert drive_side["inverter"] > 600.0
    assert "inverter" not in battery_side and "motor" not in battery_side


def test_a_fault_strikes_at_its_time():
    spec, scenario = load_layout("two_loops"), drive(duration=900.0)
    fault = NetworkFault(kind="pump dead", part="drive pump")
    healthy = simulate_network(spec, scenario)
    dead = simulate_network(spec, scenario, faults=(fault,), fault_time=450.0)
    before = dead.time < 449.0
    count = int(np.sum(before))
    sound, hot = (run.body_temperature["inverter"] for run in (healthy, dead))
    assert np.allclose(hot[before], sound[:count], atol=0.5)
    assert dead.way_flow["drive pump"][count - 1] > 0.2
    assert abs(dead.way_flow["drive pump"][-1]) < 1e-6
    assert hot[-1] > sound[-1] + 20.0


def test_in_a_hot_soak_heat_creeps_from_motor_to_coolant_and_an_after_run_takes_it_away():
    spec = load_layout("two_loops")
    still, moved = (simulate_network(spec, hot_soak(after_run=time)) for time in (0.0, 300.0))
    assert still.way_temperature["motor jacket"].max() > still.way_temperature["motor jacket"][0] + 10.0
    assert moved.way_temperature["motor jacket"].max() < still.way_temperature["motor jacket"].max() - 10.0
    assert moved.body_temperature["motor"][-1] < still.body_temperature["motor"][-1]


def test_frozen_at_the_start_is_refused():
    spec = replace(ring(mass_fraction=0.1))
    with pytest.raises(OutOfRangeError, match="initial temperature.*freezing point"):
        simulate_network(spec, Scenario(name="x", segments=(Segment(duration=9.0),), initial_temperature=263.15))


LAYOUT = (files("thermo_kit.systems") / "layouts" / "one_loop.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('start = "reservoir"', 'start = "nowhere"', "start of branch 'pump' 'nowhere' is no node"),
        ("mass_fraction = 0.50", "mass_fraction = 50", "mass_fraction"),
        ('volume = "1.5 L"', 'volume = "0 L"', "volume of the reservoir"),
        ("length = 0.6", 'length = "long"', "layout, branches, 1, passage, length 'long' is not a number"),
        ("length = 0.6", 'length = "0.6 kg"', "passage, length '0.6 kg' is not in a unit that fits mm"),
        ("length = 0.6, ", "", "layout, branches, 1, passage length is missing"),
        ('end = "after pump"', "end = 'after pump'\ncolour = 'red'", "branches, 1 colour is not known"),
        ('title = "One shared loop"', "title = ", "is not TOML"),
        ('name = "chiller"', 'name = "pump"', "named twice"),
    ],
)
def test_slips_in_a_layout_are_named(old, new, words):
    assert old in LAYOUT
    with pytest.raises(InputError, match=words):
        read_layout(LAYOUT.replace(old, new, 1))


def test_layouts_are_read_from_a_file_too(tmp_path):
    file = tmp_path / "own.toml"
    file.write_text(LAYOUT, encoding="utf-8")
    assert read_layout(file) == load_layout("one_loop")
    with pytest.raises(FileAccessError, match="cannot be read"):
        read_layout(Path(tmp_path, "missing.toml"))
    file.write_text("#" * 300_000, encoding="utf-8")
    with pytest.raises(FileAccessError, match="200 kB"):
        read_layout(file)
    with pytest.raises(UnknownNameError, match="one_loop"):
        load_layout("three_loops")


def test_a_stirred_junction_mixes_by_flow():
    """Two ways of unlike heat meet: the mixture is the mean by mass flow."""
    branches = (
        pipe("supply", "tank", "a", pump=pump()),
        pipe("hot", "a", "b", length=2.0),
        pipe("cold", "a", "b", length=5.0),
        replace(pipe("home", "b", "tank"), radiator=CORE),
    )
    result = solve_coolant_network(replace(ring(), branches=branches, bodies=(body("motor", "hot", heat=4000.0),)))
    hot, cold, home = (result.way(name) for name in ("hot", "cold", "home"))
    mixed = (hot.mass_flow * hot.outlet_temperature + cold.mass_flow * cold.outlet_temperature) / home.mass_flow
    assert home.inlet_temperature == pytest.approx(mixed, abs=1e-6)
    assert hot.outlet_temperature > cold.outlet_temperature + 2.0
