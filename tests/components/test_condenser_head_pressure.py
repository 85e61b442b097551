"""Head pressure for a duty, flow for a pressure, the receiver, two cores, and what a technician knows of all that."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.components import condenser_cases as cases
from tests.components.condenser_cases import CORES, NAMES, WARM, duty, head, names, shares, solve
from thermo_kit.components import condenser
from thermo_kit.components.condenser import AirConditions, CompressorDuty, compare_cores, condensing_pressure_for
from thermo_kit.components.louvered_fins import fins_per_inch
from thermo_kit.errors import InputError, NoSolutionError, OutOfRangeError
from thermo_kit.substances import Refrigerant


@settings(max_examples=30)
@given(names, st.floats(283.15, 316.15), st.floats(0.35, 1.15), st.floats(0.6, 1.0))
def test_the_pressure_found_meets_target_and_energy_balance(name, temperature, share, fan):
    air = AirConditions(temperature=temperature, fan_speed_share=fan)
    try:
        found = condensing_pressure_for(CORES[name], duty(name, share), air)
    except NoSolutionError as refused:
        assert "95 %" in str(refused) and share > 0.7
        return
    assert abs(found.condenser.receiver.enthalpy_above_liquid) < 0.2
    assert not found.condenser.receiver.vapour_carried
    assert found.cooling_capacity == pytest.approx(found.duty.cooling_capacity, rel=2e-6)
    assert found.heat_rejection == pytest.approx(found.cooling_capacity + found.compressor_power, rel=1e-6)
    again = condenser.solve_condenser(CORES[name], found.condenser.inlet, air)
    assert again.outlet_enthalpy == found.condenser.outlet_enthalpy


@pytest.mark.parametrize("name", NAMES)
def test_the_compressor_is_the_one_of_exact_states(name):
    found = head(name, CORES[name])
    r = Refrigerant(name)
    suction = r.at(p=r.dew_pressure(278.15), T=283.15)
    work = (r.at(p=found.condensing_pressure, s=suction.s).h - suction.h) / 0.65
    assert found.compressor_power == pytest.approx(found.mass_flow * work, rel=1e-9)
    hot = r.at(p=found.condensing_pressure, h=suction.h + work)
    assert found.discharge_temperature == pytest.approx(hot.T, abs=1e-6)
    assert found.coefficient_of_performance == pytest.approx(found.cooling_capacity / found.compressor_power)


@pytest.mark.parametrize("name", NAMES)
def test_flow_for_a_pressure_is_the_inverse_of_pressure_for_a_flow(name):
    found = head(name, CORES[name])
    back = condenser.mass_flow_for(CORES[name], duty(name), WARM, condensing_pressure=found.condensing_pressure)
    assert back.mass_flow == pytest.approx(found.mass_flow, rel=1e-4)
    given_flow = CompressorDuty(refrigerant=name, evaporating_temperature=278.15, mass_flow=found.mass_flow)
    same = condensing_pressure_for(CORES[name], given_flow, WARM)
    assert same.condensing_pressure == pytest.approx(found.condensing_pressure, rel=1e-4)


@pytest.mark.parametrize("wanted", [0.0, 3.0, 8.0, 15.0])
def test_a_wanted_subcooling_is_met_with_and_without_receiver(wanted):
    for receiver in (None, 3):
        core = replace(CORES["R-1234yf"], receiver_after=receiver)
        found = condensing_pressure_for(core, duty("R-1234yf", 0.8), WARM, subcooling=wanted)
        assert found.subcooling == pytest.approx(wanted, abs=1e-3)


def test_at_the_same_flow_more_subcooling_costs_head_pressure():
    core = replace(CORES["R-134a"], receiver_after=None)
    asked = CompressorDuty(refrigerant="R-134a", evaporating_temperature=278.15, mass_flow=0.09)
    found = [condensing_pressure_for(core, asked, WARM, subcooling=k) for k in (0.0, 3.0, 6.0, 12.0)]
    pressures = [one.condensing_pressure for one in found]
    assert pressures == sorted(pressures)
    capacities = [one.cooling_capacity for one in found]
    assert capacities == sorted(capacities)


def test_vapour_at_the_receiver_is_carried_on_and_said():
    result = solve("R-1234yf", 325.65)
    assert result.receiver.vapour_carried
    assert 0.0 < result.receiver.quality < 1.0
    assert any("vapour reaches the receiver" in str(note) for note in result.notes)
    before, after = result.passes[2], result.path[3 * (result.spec.segments + 1)]
    assert after.pass_number == 4
    assert after.specific_enthalpy == pytest.approx(before.specific_enthalpy, rel=1e-12)


def test_subcooled_liquid_at_the_receiver_is_said_to_fill_it():
    result = solve("R-1234yf", 335.15)
    assert not result.receiver.vapour_carried
    assert result.receiver.subcooling > 1.0
    assert any("this one is full" in str(note) for note in result.notes)


def test_the_last_vapour_is_found_where_liquid_begins():
    low, middle, high = (solve("R-1234yf", t) for t in (322.15, 328.15, 336.15))
    assert low.last_vapour is None
    assert any("vapour leaves the core" in str(note) for note in low.notes)
    assert high.last_vapour.pass_number <= middle.last_vapour.pass_number
    for result in (middle, high):
        where = result.last_vapour
        for point in result.path:
            if (point.pass_number, point.position) < (where.pass_number, where.position - 1e-9):
                assert point.phase != "liquid"
            elif (point.pass_number, point.position) > (where.pass_number, where.position + 1e-9):
                assert point.phase == "liquid" or point.quality < 0.003


@pytest.mark.parametrize("name", NAMES)
def test_two_cores_at_equal_duty_and_at_equal_pressure(name):
    original = condenser.with_fin_density(CORES[name], fins_per_inch(20))
    cheap = condenser.with_fin_density(CORES[name], fins_per_inch(16))
    shown = compare_cores(original, cheap, duty(name), WARM)
    assert shown.condensing_pressure_shift > 0.0
    assert 0.5 < shown.condensing_temperature_shift < 4.0
    assert 1.0 < shown.compressor_power_ratio < 1.2
    assert shown.second.condenser.air_side.volume_flow > shown.first.condenser.air_side.volume_flow
    assert shown.second.discharge_temperature > shown.first.discharge_temperature
    assert 0.7 < shown.capacity_ratio_at_equal_pressure < 1.0
    held = shown.second_at_first_pressure
    assert held.condensing_pressure == pytest.approx(shown.first.condensing_pressure, rel=1e-9)
    same = compare_cores(original, original, duty(name), WARM)
    assert same.condensing_pressure_shift == pytest.approx(0.0, abs=1e-6)
    assert same.capacity_ratio_at_equal_pressure == pytest.approx(1.0, rel=1e-4)


def test_without_receiver_a_target_is_asked_for():
    core = replace(CORES["R-134a"], receiver_after=None)
    for call in (
        lambda: condensing_pressure_for(core, duty("R-134a"), WARM),
        lambda: condenser.mass_flow_for(core, duty("R-134a"), WARM, condensing_pressure=1.5e6),
        lambda: compare_cores(core, core, duty("R-134a"), WARM),
    ):
        with pytest.raises(InputError, match="give subcooling, for example 6.0 K"):
            call()


def test_a_duty_beyond_the_core_names_the_limit():
    with pytest.raises(NoSolutionError, match=r"95 % of the critical pressure|pressure drop"):
        condensing_pressure_for(CORES["R-1234yf"], duty("R-1234yf", 3.0), WARM)


def test_carbon_dioxide_in_hot_air_is_sent_to_a_gas_cooler():
    hot = CompressorDuty(refrigerant="R-744", evaporating_temperature=273.15, mass_flow=0.02)
    with pytest.raises(OutOfRangeError, match="gas cooler"):
        condensing_pressure_for(CORES["R-1234yf"], hot, WARM)


@pytest.mark.parametrize("refrigerant", ["R-152a", "R-290", "R-744"])
def test_the_other_refrigerants_condense_too(refrigerant):
    cold = AirConditions(temperature=278.15)
    asked = CompressorDuty(refrigerant=refrigerant, evaporating_temperature=258.15, cooling_capacity=2500.0)
    found = condensing_pressure_for(CORES["R-1234yf"], asked, cold)
    assert found.condensing_temperature > 278.15
    assert found.condenser.energy_closure < 1e-6


@pytest.mark.parametrize("share", [0.3, 0.8, 1.1])
@pytest.mark.parametrize("name", NAMES)
def test_looking_for_both_at_once_and_for_one_inside_the_other_end_at_the_same_place(name, share, monkeypatch):
    quick = condensing_pressure_for(CORES[name], duty(name, share), WARM)
    monkeypatch.setattr(condenser.head_pressure._Circuit, "both_at_once", lambda *_: None)
    careful = condensing_pressure_for(CORES[name], duty(name, share), WARM)
    assert careful.condensing_pressure == pytest.approx(quick.condensing_pressure, rel=1e-6)
    assert careful.mass_flow == pytest.approx(quick.mass_flow, rel=5e-6)


DRIVEN = AirConditions(temperature=308.15, face_velocity=2.5)
RAISES = {
    "less air": lambda core, x: {"velocity": 8.0 * 0.15**x},
    "fewer fins": lambda core, x: {"core": condenser.with_fin_density(core, fins_per_inch(39.0 - 29.0 * x))},
    "a blocked face": lambda core, x: {"core": replace(core, blocked_fraction=0.8 * x), "velocity": None, "share": 0.5},
    "warmer air": lambda core, x: {"velocity": None, "temperature": 288.15 + 31.0 * x, "share": 1.0},
    "more duty": lambda core, x: {"share": 0.4 + 0.9 * x},
}
"""What raises the head pressure, from little (0) to much (1)."""


def _pressed(name, core=None, velocity=2.5, temperature=308.15, share=0.8):
    air = AirConditions(temperature=temperature, face_velocity=velocity)
    return condensing_pressure_for(core or CORES[name], duty(name, share), air)


@pytest.mark.parametrize("change", RAISES)
@settings(max_examples=25)
@given(names, st.floats(0.0, 0.8), st.floats(0.02, 0.2))
def test_what_raises_the_head_pressure(change, name, x, more):
    a, b = (_pressed(name, **RAISES[change](CORES[name], at)) for at in (x, x + more))
    assert b.condensing_pressure > a.condensing_pressure
    if change == "a blocked face":
        assert b.compressor_power > a.compressor_power
        assert b.condenser.air_side.volume_flow < a.condenser.air_side.volume_flow


@given(names, cases.temperatures, shares)
def test_a_higher_pressure_sheds_more_heat_and_holds_more_liquid(name, temperature, share):
    cool, hot = (solve(name, temperature + rise, flow=share * cases.FLOWS[name], air=DRIVEN) for rise in (0.0, 2.0))
    assert hot.charge > cool.charge
    assert hot.outlet_enthalpy < cool.outlet_enthalpy + 3e3 * 2.0
    if cool.passes[-1].phase != "liquid":
        assert hot.outlet_enthalpy < cool.outlet_enthalpy
    else:
        assert hot.subcooling > cool.subcooling


@given(names, shares)
def test_passes_that_shrink_towards_the_liquid_cost_less_pressure_than_passes_that_grow(name, share):
    core = replace(CORES[name], receiver_after=None)
    turned = replace(core, tubes=core.tubes[::-1])
    flow = share * 0.8 * cases.FLOWS[name]
    usual, reverse = (solve(name, 333.15, core=one, flow=flow, air=DRIVEN) for one in (core, turned))
    assert usual.pressure_drop < reverse.pressure_drop
    fluxes = [one.mass_flux for one in usual.passes]
    assert fluxes == sorted(fluxes)


def test_a_larger_last_pass_subcools_more():
    cores = (replace(CORES["R-1234yf"], tubes=tubes) for tubes in ((15, 10, 7, 4), (14, 8, 6, 8)))
    small, large = (head("R-1234yf", core) for core in cores)
    assert large.subcooling > small.subcooling + 3.0 and large.condensing_pressure > small.condensing_pressure


def test_mud_at_the_bottom_spoils_the_subcooling_of_a_pass_that_lies_there():
    mud = replace(CORES["R-1234yf"], blocked_profile=(0, 0, 0, 0, 0, 0.8))
    low = head("R-1234yf", mud)
    high = head("R-1234yf", replace(mud, subcooling_pass_at="top"))
    assert low.subcooling < 0.5 * high.subcooling
    assert low.condensing_pressure < high.condensing_pressure


HOT = AirConditions(temperature=311.15)
COUNTS = (14, 20, 26, 32, 38)


def curve(name, air):
    return condenser.fin_curve(CORES[name], duty(name), air, tuple(fins_per_inch(count) for count in COUNTS))


@pytest.mark.parametrize("name", NAMES)
def test_with_the_fan_there_is_a_best_density_and_with_a_held_air_speed_more_fins_are_always_better(name):
    found, held = curve(name, HOT), curve(name, replace(HOT, face_velocity=2.5))
    flows = [one.condenser.air_side.volume_flow for one in found.heads]
    powers = [one.compressor_power + one.fan_power for one in found.heads]
    assert flows == sorted(flows, reverse=True)
    assert found.best_is_inside and not held.best_is_inside
    assert found.best_fin_density == found.fin_densities[powers.index(min(powers))]
    pressures = [one.condensing_pressure for one in held.heads]
    assert pressures == sorted(pressures, reverse=True)


def test_a_slower_fan_wants_no_more_fins():
    counts = tuple(fins_per_inch(count) for count in range(16, 41, 2))
    bests = [
        condenser.fin_curve(CORES["R-1234yf"], duty("R-1234yf"), replace(HOT, fan_speed_share=speed), counts)
        for speed in (1.0, 0.6)
    ]
    assert bests[1].best_fin_density < bests[0].best_fin_density


@settings(max_examples=8)
@given(name=st.sampled_from(NAMES), count=st.floats(14, 36), start=st.floats(14, 36))
def test_where_the_search_begins_does_not_matter(name, count, start):
    core = condenser.with_fin_density(CORES[name], fins_per_inch(count))
    near = head(name, condenser.with_fin_density(CORES[name], fins_per_inch(round(start))), HOT)
    alone = condensing_pressure_for(core, duty(name), HOT)
    warm = condensing_pressure_for(core, duty(name), HOT, near=near)
    assert warm.condensing_pressure == pytest.approx(alone.condensing_pressure, rel=1e-5)
    assert warm.compressor_power == pytest.approx(alone.compressor_power, rel=1e-5)
    assert warm.cooling_capacity == pytest.approx(cases.DUTIES[name], rel=2e-6)
