"""Head pressure for a duty, flow for a pressure, the receiver, and two cores compared."""

import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.components.condenser_cases import CORES, NAMES, WARM, duty, head, names, solve
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
        core = dataclasses.replace(CORES["R-1234yf"], receiver_after=receiver)
        found = condensing_pressure_for(core, duty("R-1234yf", 0.8), WARM, subcooling=wanted)
        assert found.subcooling == pytest.approx(wanted, abs=1e-3)


def test_at_the_same_flow_more_subcooling_costs_head_pressure():
    core = dataclasses.replace(CORES["R-134a"], receiver_after=None)
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
    core = dataclasses.replace(CORES["R-134a"], receiver_after=None)
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
