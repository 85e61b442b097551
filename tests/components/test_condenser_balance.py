"""The condenser against balances, exact states, finer steps, closed forms; no jump; what it refuses."""

import itertools
import math
from dataclasses import FrozenInstanceError, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.components.condenser_cases import CORES, FLOWS, NAMES, WARM, inlet, names, shares, solve, temperatures
from thermo_kit.components.condenser import AirConditions, air_side, solve_condenser
from thermo_kit.components.condenser import solve as solve_module
from thermo_kit.components.louvered_fins import fin_geometry
from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.fleet import part_of, vehicles_with
from thermo_kit.laws.exchange import mean_share
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.stream import stream_at


@given(names, temperatures, shares, st.floats(0.5, 60.0), st.floats(1.0, 5.0), st.floats(0.0, 0.6))
def test_heat_and_charge_close(name, temperature, share, superheat, velocity, blocked):
    core = replace(CORES[name], blocked_fraction=blocked)
    air = AirConditions(temperature=308.15, face_velocity=velocity)
    try:
        result = solve(name, temperature, core=core, air=air, flow=share * FLOWS[name], superheat=superheat)
    except NoSolutionError as refused:
        assert "pressure drop" in str(refused)
        return
    assert result.energy_closure < 1e-6
    assert sum(one.heat_flow for one in result.passes) == pytest.approx(result.heat_rejection, rel=1e-9)
    assert sum(point.heat_flow for point in result.path) == pytest.approx(result.heat_rejection, rel=1e-6)
    assert sum(point.charge for point in result.path) == pytest.approx(result.charge, rel=1e-9)
    warmed = result.air_side.mass_flow * 1007.0 * (result.air_temperature - 308.15)
    assert warmed == pytest.approx(result.heat_rejection, rel=1e-6)
    assert 308.15 < result.air_temperature < result.inlet_temperature
    below_air = any(point.phase == "two-phase" and point.temperature < 308.15 - 0.05 for point in result.path)
    assert below_air == any("colder than the air" in str(note) for note in result.notes)
    for one in result.passes:
        assert one.vapour_share + one.two_phase_share + one.liquid_share == pytest.approx(1.0, abs=1e-9)


@given(names, temperatures, shares)
def test_states_on_the_way_agree_with_exact_ones(name, temperature, share):
    refrigerant = Refrigerant(name)
    result = solve(name, temperature, flow=share * FLOWS[name])
    for point in result.path[::7]:
        exact = refrigerant.at(p=point.pressure, h=point.specific_enthalpy)
        assert point.temperature == pytest.approx(exact.T, abs=0.05)
        if point.phase == "two-phase" and exact.x is not None:
            assert point.quality == pytest.approx(exact.x, abs=1e-3)
    lost = result.inlet.mass_flow * (result.inlet.enthalpy - result.outlet_enthalpy)
    assert lost == pytest.approx(result.heat_rejection, rel=1e-9)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("temperature", [321.15, 326.15, 330.15, 340.15])
def test_halving_the_steps_changes_little(name, temperature):
    core = CORES[name]
    coarse = solve(name, temperature)
    fine = solve(name, temperature, core=replace(core, segments=2 * core.segments))
    finest = solve(name, temperature, core=replace(core, segments=8 * core.segments))
    assert fine.heat_rejection == pytest.approx(coarse.heat_rejection, rel=0.002)
    assert finest.heat_rejection == pytest.approx(coarse.heat_rejection, rel=0.003)
    assert finest.pressure_drop == pytest.approx(coarse.pressure_drop, rel=0.01)
    assert finest.charge == pytest.approx(coarse.charge, rel=0.01)


def test_a_trickle_that_cools_down_to_the_air_is_not_said_to_take_heat_in():
    result = solve("R-1234yf", 328.15, flow=0.0005)
    assert result.passes[-1].phase == "liquid" and result.outlet_temperature == pytest.approx(308.15, abs=1e-3)
    assert not any("colder than the air" in str(note) for note in result.notes)


def test_with_a_perfect_film_a_condensing_pass_gives_the_textbook_effectiveness(monkeypatch):
    monkeypatch.setattr(solve_module, "condensing_coefficient", lambda *a, **k: 1e12)
    result = solve("R-1234yf", 328.15)
    number = result.passes[1]
    assert number.two_phase_share == pytest.approx(1.0)
    air = result.air_side.passes[1]
    rate = number.tubes * result.spec.tube_length * air.capacity_rate
    effectiveness = 1.0 - math.exp(-air.conductance / air.capacity_rate)
    on_the_way = [point.temperature for point in result.path if point.pass_number == 2]
    mean = sum(0.5 * (a + b) for a, b in itertools.pairwise(on_the_way)) / (len(on_the_way) - 1)
    assert number.heat_flow == pytest.approx(effectiveness * rate * (mean - 308.15), rel=1e-3)


SWEEPS = {
    "pressure": lambda _, share: {"condensing_temperature": 323.15 + 12.0 * share},
    "flow": lambda name, share: {"flow": FLOWS[name] * (0.25 + 0.9 * share)},
    "air": lambda _, share: {"air": AirConditions(temperature=308.15, face_velocity=0.6 + 3.0 * share)},
}


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("sweep", SWEEPS)
def test_nothing_jumps_along_a_sweep(name, sweep):
    usual = {"condensing_temperature": 330.15, "air": AirConditions(temperature=308.15, face_velocity=2.5)}
    results = [solve(name, **usual | SWEEPS[sweep](name, i / 80)) for i in range(81)]
    for quantity in ("heat_rejection", "pressure_drop", "outlet_temperature", "charge"):
        values = [getattr(one, quantity) for one in results]
        span = max(values) - min(values)
        steps = [b - a for a, b in itertools.pairwise(values)]
        assert max(abs(one) for one in steps) < 0.12 * span, quantity
        if quantity == "heat_rejection":  # the others may bend where liquid first leaves, heat may not
            assert max(abs(b - a) for a, b in itertools.pairwise(steps)) < 0.02 * span


def test_uneven_air_still_adds_up():
    core = replace(CORES["R-1234yf"], air_profile=(0.5, 1.0, 1.5), blocked_profile=(0.0, 0.0, 0.4))
    side = air_side(core, WARM)
    face = fin_geometry(core.fins).tube_pitch * core.tube_length
    total = sum(
        one.velocity * one.open_share * tubes * face for one, tubes in zip(side.passes, core.tubes, strict=True)
    )
    assert total == pytest.approx(side.volume_flow, rel=1e-9)
    assert side.passes[0].velocity < side.passes[-1].velocity


def test_a_wholly_blocked_pass_gives_no_heat():
    core = replace(CORES["R-1234yf"], blocked_profile=(*[0.0] * 5, 1.0))
    result = solve_condenser(core, inlet("R-1234yf", 330.15), WARM)
    assert result.passes[-1].heat_flow == pytest.approx(0.0, abs=1e-6)
    assert result.energy_closure < 1e-6


def test_heat_that_does_not_reach_the_air_is_an_error_and_no_number(monkeypatch):
    monkeypatch.setattr(solve_module, "mean_share", lambda units: 0.999 * mean_share(units))
    with pytest.raises(NoSolutionError, match="condenser heat balance is open"):
        solve("R-1234yf", 330.15)


def test_a_face_blocked_all_over_is_said():
    shut = replace(CORES["R-1234yf"], blocked_profile=(1.0,))
    with pytest.raises(NoSolutionError, match="all but shut"):
        air_side(shut, WARM)


def test_results_and_specifications_cannot_be_changed():
    result = solve("R-1234yf", 330.15)
    for thing, field in ((result, "heat_rejection"), (result.spec, "tubes"), (result.path[0], "pressure")):
        with pytest.raises(FrozenInstanceError):
            setattr(thing, field, 1.0)


def test_a_loss_at_the_tubes_mouth_that_eats_the_pressure_is_said():
    narrow = replace(CORES["R-1234yf"], tubes=(30, 3), receiver_after=1)
    with pytest.raises(NoSolutionError, match="pressure drop in pass 2 eats up more than 40 %"):
        solve_condenser(narrow, stream_at("R-1234yf", 0.5, p=15e5, T=345.0), WARM)


def test_liquid_that_cools_down_to_the_very_temperature_of_the_air_still_closes():
    core = replace(CORES["R-1234yf"], segments=2)
    air = AirConditions(temperature=262.5, driving_speed=30.0)
    result = solve_condenser(core, stream_at("R-152a", 5e-4, p=6.2e5, T=306.0), air)
    assert result.outlet_temperature == pytest.approx(262.5, abs=1e-4)
    assert result.energy_closure < 1e-9


def test_every_vehicle_with_a_condenser_says_what_is_usually_asked_of_it():
    assert vehicles_with("condenser") == vehicles_with("condenser_job") != ()
    usual = part_of("parcel_van", "condenser_job")
    for change, words in (({"cooling": 9e3}, "usual cooling"), ({"least_flow": 0.05}, "usual refrigerant flow")):
        with pytest.raises(OutOfRangeError, match=f"{words} does not lie between least and most"):
            replace(usual, **change)
