"""The condenser against balances, exact states, finer steps, closed forms; no jump; any passes; what it refuses."""

import itertools
import math
from dataclasses import FrozenInstanceError, replace

import pytest
from fluids.friction import friction_factor
from fluids.two_phase import Friedel
from fluids.two_phase_voidage import Zivi
from hypothesis import given
from hypothesis import strategies as st

from tests.components.condenser_cases import CORES, FLOWS, NAMES, WARM, inlet, names, shares, solve, temperatures
from thermo_kit.components.condenser import AirConditions, air_side, solve_condenser
from thermo_kit.components.condenser import solve as solve_module
from thermo_kit.components.fan import fan_pressure
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
    each = zip(side.passes, core.tubes, strict=True)
    total = sum(one.velocity * one.open_share * tubes * face for one, tubes in each)
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


ENTRY = 1.5  # speeding up from rest, and half as much again for the sharp edge


def _flow_area(core):
    return core.ports * 0.25 * math.pi * core.port_diameter**2


@pytest.mark.parametrize("name", NAMES)
def test_a_pass_full_of_liquid_has_the_friction_and_the_mass_of_a_pipe_full_of_liquid(name):
    result = solve(name, 333.15)
    core, last = result.spec, result.passes[-1]
    start = result.path[-1 - core.segments]
    assert last.liquid_share == pytest.approx(1.0) and start.pass_number == last.number
    fluid, T = Refrigerant(name), 0.5 * (start.temperature + last.temperature)
    density, viscosity = fluid.at(p=last.pressure, T=T).rho, fluid.transport(p=last.pressure, T=T).viscosity
    factor = friction_factor(last.mass_flux * core.port_diameter / viscosity, 0.0)
    drop = (factor * core.tube_length / core.port_diameter + ENTRY) * last.mass_flux**2 / (2.0 * density)
    assert last.pressure_drop == pytest.approx(drop, rel=0.02)
    assert last.charge == pytest.approx(density * _flow_area(core) * core.tube_length * last.tubes, rel=0.003)


@pytest.mark.parametrize("name", NAMES)
def test_a_pass_that_condenses_has_the_friction_the_momentum_and_the_mass_of_exact_states(name):
    result = solve(name, 330.15)
    core, middle = result.spec, result.passes[1]
    assert middle.two_phase_share == pytest.approx(1.0)
    fluid, flux, step = Refrigerant(name), middle.mass_flux, core.tube_length / core.segments
    points = [point for point in result.path if point.pass_number == 2]
    friction = charge = 0.0
    for a, b in itertools.pairwise(points):
        x, s = 0.5 * (a.quality + b.quality), fluid.saturation(0.5 * (a.temperature + b.temperature))
        friction += Friedel(
            m=flux * 0.25 * math.pi * core.port_diameter**2, x=x, rhol=s.liquid_density, rhog=s.vapour_density,
            mul=s.liquid_viscosity, mug=s.vapour_viscosity, sigma=s.surface_tension, D=core.port_diameter, L=step,
        )  # fmt: skip
        void = Zivi(x, s.liquid_density, s.vapour_density)
        density = void * s.vapour_density + (1.0 - void) * s.liquid_density
        charge += density * _flow_area(core) * step * middle.tubes

    def volume(point):
        s = fluid.saturation(point.temperature)
        return point.quality / s.vapour_density + (1.0 - point.quality) / s.liquid_density

    slowing = flux**2 * (volume(points[-1]) - volume(points[0]))
    entry = ENTRY * 0.5 * flux**2 * volume(points[0])
    assert slowing < -0.05 * friction
    assert middle.pressure_drop == pytest.approx(friction + slowing + entry, rel=0.01)
    assert middle.charge == pytest.approx(charge, rel=0.005)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("fan", "speed"), [(1.0, 0.0), (0.6, 0.0), (0.8, 22.0), (0.0, 25.0)])
def test_fan_and_wind_give_what_core_and_grille_take(name, fan, speed):
    core = replace(CORES[name], front_resistance=250.0)
    side = air_side(core, AirConditions(temperature=303.15, fan_speed_share=fan, driving_speed=speed))
    density = side.mass_flow / side.volume_flow
    assert density == pytest.approx(101325.0 / (287.05 * 303.15), rel=1e-3)
    fan_gives = fan_pressure(core.fan, volume_flow=side.volume_flow, speed_share=fan, density=density)
    wind_gives = 0.3 * 0.5 * density * speed**2
    grille_takes = 250.0 * density / 1.2 * side.volume_flow**2
    assert fan_gives + wind_gives == pytest.approx(side.core_pressure_drop + grille_takes, rel=1e-6)
    if fan > 0.0:
        assert side.fan_power * core.fan.efficiency == pytest.approx(max(fan_gives, 0.0) * side.volume_flow, rel=1e-6)


@pytest.mark.parametrize("speed", [0.0, 40.0])
@pytest.mark.parametrize("name", NAMES)
def test_a_face_blocked_as_far_as_the_model_allows_still_gets_its_air(name, speed):
    moving = AirConditions(temperature=308.15, driving_speed=speed)
    flows = [
        air_side(replace(CORES[name], blocked_fraction=blocked), moving).volume_flow
        for blocked in (0.0, 0.5, 0.8, 0.85, 0.9)
    ]
    assert flows == sorted(flows, reverse=True) and flows[-1] > 0.1


@given(names, st.lists(st.integers(5, 14), min_size=1, max_size=7), st.data())
def test_any_list_of_passes_with_the_receiver_anywhere(name, tubes, data):
    after = data.draw(st.none() | st.integers(1, len(tubes)))
    place = data.draw(st.sampled_from(("bottom", "top")))
    core = replace(CORES[name], tubes=tuple(tubes), receiver_after=after, subcooling_pass_at=place)
    result = solve(name, 331.15, core=core, flow=0.02, air=AirConditions(temperature=308.15, face_velocity=2.5))
    assert result.energy_closure < 1e-6
    assert [one.tubes for one in result.passes] == tubes
    assert sum(one.bottom - one.top for one in result.passes) == pytest.approx(1.0)
    assert result.passes[-1].bottom == pytest.approx(1.0) if place == "bottom" else result.passes[-1].top == 0.0
    if after is None:
        assert result.receiver is None
        return
    end = result.passes[after - 1]
    assert result.receiver.after_pass == after and result.receiver.pressure == pytest.approx(end.pressure)
    assert result.receiver.vapour_carried == (end.phase != "liquid" and (end.quality is None or end.quality > 1e-5))
    assert result.receiver.subcooling == pytest.approx(end.subcooling, abs=1e-6)
