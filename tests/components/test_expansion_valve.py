"""The expansion valve: balances, known limits, monotone trends."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from thermo_kit.components import expansion_valve as valves
from thermo_kit.components.expansion_valve import CHARGES, FAULTS, EvaporatorDuty, ShutOffSpec, ValveFault
from thermo_kit.components.expansion_valve.forces import in_series, superheat_for
from thermo_kit.errors import NoSolutionError
from thermo_kit.fleet import part_of
from thermo_kit.panels import ValveFaultPanel, ValveForcePanel, ValveOpeningPanel
from thermo_kit.substances import Refrigerant
from thermo_kit.units import celsius

VALVE = part_of("older_van", "expansion_valve")
DUTY = EvaporatorDuty(refrigerant="R-134a", condensing_temperature=celsius(50))
FLUID = Refrigerant("R-134a")
LOW = FLUID.dew_pressure(celsius(0))
LIQUID = FLUID.at(p=DUTY.liquid_pressure, T=celsius(45))
SOME = settings(max_examples=25)


def balance(superheat, low=LOW, valve=VALVE, **given):
    bulb = FLUID.dew_temperature(low) + superheat
    return valves.force_balance(valve, refrigerant="R-134a", outlet_pressure=low, bulb_temperature=bulb, **given)


def static(valve=VALVE, low=LOW, **given):
    return valves.static_superheat(valve, refrigerant="R-134a", outlet_pressure=low, **given)


def works(preload=14.1, air=25.0, draw=0.0025, **given):
    valve = replace(VALVE, spring_preload=preload, **given.pop("valve", {}))
    return valves.solve_valve(
        valve, replace(DUTY, air_temperature=celsius(air), suction_flow=draw, **given.pop("duty", {})), **given
    )


@SOME
@given(st.floats(5, 45), st.floats(0.001, 0.004), st.floats(3, 40), st.sampled_from(CHARGES), st.floats(0, 1))
def test_closes_wherever_it_settles(air, draw, preload, charge, stuck):
    for fault in (None, ValveFault(stuck_at=stuck), ValveFault(bulb_loose_share=stuck)):
        result = works(preload, air, draw, valve={"charge": charge}, fault=fault)
        assert result.mass_closure < 1e-6 and result.energy_closure < 1e-6
        assert 0.0 <= result.superheat <= celsius(air) - result.evaporating_temperature + 1e-6
        assert 0.0 < result.outlet_quality <= 1.0 and 0.0 <= result.running_share <= 1.0 and result.mass_flow >= 0.0
        assert result.outlet.mass_flow == result.mass_flow and result.outlet.pressure == result.evaporating_pressure
        taken = result.mass_flow * (result.outlet.enthalpy - LIQUID.h)
        assert taken == pytest.approx(result.cooling_capacity, abs=1e-3)


def test_liquid_colder_than_the_low_side_boils_is_fed_by_the_valve_or_refused():
    """The liquid stands at -3 °C and 3 bar is its lowest boiling pressure: a pole of the balance once was an answer."""
    cold = {"condensing_temperature": 300.0, "subcooling": 30.0, "cut_out_pressure": 3e5}
    result = works(duty=cold)
    assert result.mass_closure < 1e-6 and result.energy_closure < 1e-6 and result.verdict == "pulled down"
    assert 0.0 < result.running_share < 1.0 and result.evaporating_pressure == pytest.approx(3e5)
    drawn = result.running_share * DUTY.suction_flow * result.outlet.state.rho
    assert result.mass_flow == pytest.approx(drawn, rel=1e-6)
    with pytest.raises(NoSolutionError, match="evaporator does not warm the liquid to its boiling point"):
        works(duty={**cold, "subcooling": 40.0, "conductance": 10.0}, fault=ValveFault(stuck_at=1.0))


def test_a_balance_that_stays_open_is_an_error_and_no_number():
    """A port far too large for its compressor: a hair of superheat changes the flow many times over."""
    sizes = {"port_diameter": 0.0115, "pipe_diameter": 0.03, "diaphragm_diameter": 0.06, "full_lift": 0.005}
    with pytest.raises(NoSolutionError, match="mass balance is open by"):
        works(60.0, -9.15, 0.006, valve={**sizes, "spring_rate": 100.0}, duty={"cut_out_pressure": 1e5})


@SOME
@given(st.floats(-25, 15), st.floats(0, 20), st.floats(0.05, 5), st.sampled_from(CHARGES))
def test_more_superheat_never_closes_the_valve(boils, superheat, more, charge):
    valve, low = replace(VALVE, charge=charge), FLUID.dew_pressure(celsius(boils))
    first, second = (balance(value, low, valve) for value in (superheat, superheat + more))
    assert second.opening_share >= first.opening_share
    assert valves.port_area(valve, second.lift) >= valves.port_area(valve, first.lift)


CHANGES = {
    "a stiffer spring": lambda at, more: [{"preload": 3.0 + 27.0 * at + x} for x in (0.0, 0.2 + 7.8 * more)],
    "internal equalisation": lambda at, _: [
        {"duty": {"pressure_drop": 1e5 * at}, "valve": {"equalisation": kind}} for kind in ("external", "internal")
    ],
    "more flash gas": lambda at, more: [
        {"duty": {"subcooling": 0.0, "inlet_quality": 0.25 * at + x}} for x in (0.0, 0.005 + 0.095 * more)
    ],
    "a pin stuck further open": lambda at, more: [
        {"fault": ValveFault(stuck_at=0.02 + 0.93 * at + x)} for x in (0.0, 0.001 + 0.049 * more)
    ],
}
"""What is changed, before and after."""
NEVER_LESS = {
    "a stiffer spring": (("superheat", 1.0, 1e-6), ("evaporating_pressure", -1.0, 1e-3)),
    "internal equalisation": (("superheat", 1.0, 1e-6),),
    "more flash gas": (("cooling_capacity", -1.0, 1e-6),),
    "a pin stuck further open": (("evaporating_pressure", 1.0, 0.0), ("superheat", -1.0, 1e-6)),
}
"""What never falls with it, or with -1 never rises, but for this rounding."""


@pytest.mark.parametrize("change", CHANGES)
@SOME
@given(st.floats(0, 1), st.floats(0, 1), st.floats(15, 40))
def test_what_never_falls_or_rises_with_a_change(change, at, more, air):
    before, after = (works(air=air, **given) for given in CHANGES[change](at, more))
    for name, sign, rounding in NEVER_LESS[change]:
        assert sign * (getattr(after, name) - getattr(before, name)) >= -rounding, name
    if change == "a pin stuck further open":
        assert after.mass_flow > before.mass_flow
    if change == "internal equalisation" and at == 0.0:
        assert after.superheat == pytest.approx(before.superheat)


def test_notes_on_flash_gas_say_where_the_flow_falls():
    def told(size):
        case = valves.fault_case(VALVE, DUTY, fault="flash gas at the inlet", size=size)
        return case.faulty, case.sound, " ".join(case.faulty.notes)

    for size, state in ((0.1, "partly open"), (0.3, "fully open")):
        faulty, sound, notes = told(size)
        assert faulty.balance.state == state and faulty.mass_flow > sound.mass_flow
        assert "the valve opens further to make up for it" in notes and "Each kilogram cools less." in notes
        assert "flow falls" not in notes and ("more vapour means less flow" in notes) == (state == "fully open")
    flows = [told(size)[0].mass_flow for size in (0.3, 0.5, 0.9)]
    assert flows == sorted(flows, reverse=True)
    throttled = works(shut_off=ShutOffSpec(seat_diameter=0.0011))
    assert throttled.flashes_before_valve and not any("Each kilogram" in note for note in throttled.notes)


def test_a_pin_that_sticks_cannot_make_up_for_flash_gas():
    stuck = ValveFault(stuck_at=0.5)
    clear, flashing = (works(duty={"subcooling": 0.0, "inlet_quality": x}, fault=stuck) for x in (0.0, 0.1))
    assert flashing.mass_flow < clear.mass_flow
    assert any("the flow falls" in note for note in flashing.notes)


@SOME
@given(st.floats(0.02, 0.95), st.floats(0.001, 0.05))
def test_a_pin_stuck_further_open_passes_more_and_lifts_the_low_side(at, more):
    first, second = (works(fault=ValveFault(stuck_at=value)) for value in (at, at + more))
    assert second.mass_flow > first.mass_flow
    assert second.evaporating_pressure >= first.evaporating_pressure
    assert second.superheat <= first.superheat + 1e-6


def test_from_dry_to_wet_and_into_the_cut_out_without_a_jump():
    steps = [works(fault=ValveFault(stuck_at=0.05 + 0.0025 * k)) for k in range(361)]
    verdicts = [result.verdict for result in steps]
    assert {"pulled down", "starved", "in balance", "flooding"} <= set(verdicts)
    largest = {"evaporating_pressure": 6e3, "cooling_capacity": 60.0, "mass_flow": 4e-4, "superheat": 1.2}
    for name, most in largest.items():
        values = [getattr(result, name) for result in steps]
        assert max(abs(b - a) for a, b in pairwise(values)) < most, name


def test_above_its_limit_a_gas_charge_stays_shut_and_the_screw_moves_the_limit():
    gas = replace(VALVE, charge="gas charge")
    at, below = (
        valves.bulb_pressure(gas, refrigerant="R-134a", bulb_temperature=gas.charge_limit_temperature + dT)
        for dT in (0, -1e-6)
    )
    assert below == pytest.approx(at, rel=1e-6)
    limit = valves.maximum_operating_pressure(gas, refrigerant="R-134a")
    for share, state in ((0.97, "partly open"), (1.02, "closed")):
        dry = gas.charge_limit_temperature - FLUID.dew_temperature(share * limit)  # no drop is left
        assert balance(dry, share * limit, gas).state == state
    stiffer = valves.maximum_operating_pressure(replace(gas, spring_preload=20.0), refrigerant="R-134a")
    assert stiffer == pytest.approx(limit - (20.0 - gas.spring_preload) / gas.diaphragm_area)
    assert valves.maximum_operating_pressure(VALVE, refrigerant="R-134a") is None
    with pytest.raises(NoSolutionError, match="maximum operating pressure"):
        static(gas, 1.2 * limit)


def test_a_cross_charge_keeps_the_superheat_more_even():
    cross, same = (
        [static(replace(VALVE, charge=charge), FLUID.dew_pressure(celsius(t))) for t in (-20, 0, 15)]
        for charge in ("cross charge", "same refrigerant")
    )
    assert max(cross) - min(cross) < 0.25 * (max(same) - min(same))


def test_static_superheat_is_where_the_balance_begins_to_lift_wherever_the_pressure_is_felt():
    inside = replace(VALVE, equalisation="internal")
    for valve, drop, felt in ((VALVE, 0.0, LOW), (VALVE, 40e3, LOW), (inside, 40e3, LOW + 40e3)):
        found = static(valve, pressure_drop=drop)
        lifts = [balance(found + dT, valve=valve, pressure_drop=drop) for dT in (-1e-3, 1e-3)]
        assert [one.state for one in lifts] == ["closed", "partly open"]
        assert lifts[0].felt_pressure == felt
        assert lifts[0].evaporator_force == pytest.approx(felt * VALVE.diaphragm_area)
    assert found > static() + 2.0
    assert balance(superheat_for(VALVE, FLUID, LOW, 0.0, 1.0) + 1e-3).state == "fully open"


def test_faults_show_the_way_the_trade_knows_them():
    sound = works()
    lost = works(fault=ValveFault(bulb_lost=True))
    loose = works(fault=ValveFault(bulb_loose_share=0.3))
    assert lost.verdict == "pulled down" and lost.mass_flow == 0.0 and lost.balance.state == "closed"
    assert lost.superheat == pytest.approx(DUTY.air_temperature - lost.evaporating_temperature)
    assert loose.verdict == "flooding" and loose.evaporating_pressure > sound.evaporating_pressure
    assert loose.superheat == 0.0 and loose.outlet_quality < 1.0
    felt = 0.7 * loose.outlet_temperature + 0.3 * DUTY.ambient_temperature
    assert loose.balance.bulb_temperature == pytest.approx(felt)


def test_an_open_shut_off_stands_in_series_and_a_shut_one_lets_nothing_through():
    wide, narrow = (works(shut_off=ShutOffSpec(seat_diameter=size)) for size in (0.02, 0.0011))
    assert works().superheat == pytest.approx(wide.superheat, abs=0.05)
    assert narrow.flashes_before_valve and not wide.flashes_before_valve
    assert narrow.valve_pressure < wide.valve_pressure and narrow.superheat > wide.superheat
    shut = works(shut_off=ShutOffSpec(is_open=False))
    assert shut.mass_flow == 0.0 and shut.verdict == "pulled down"
    leaks = works(shut_off=ShutOffSpec(is_open=False, leak_diameter=0.0005))
    assert 0.0 < leaks.mass_flow < 0.5 * wide.mass_flow
    assert in_series(3.0, 4.0) == pytest.approx(2.4) and in_series(1.0, 0.0) == 0.0


@pytest.mark.parametrize("kind", ["internal", "external"])
@pytest.mark.parametrize("size", [0.0011, 0.0015, 0.003])
def test_the_pressure_between_the_valves_lets_the_same_flow_through_each(size, kind):
    result = works(shut_off=ShutOffSpec(seat_diameter=size), valve={"equalisation": kind})
    behind = FLUID.at(p=result.evaporating_pressure, h=LIQUID.h)
    coefficient = valves.discharge_coefficient(inlet_density=LIQUID.rho, outlet_volume=1.0 / behind.rho)
    first = 0.25 * math.pi * size**2, LIQUID.p - result.valve_pressure
    second = valves.port_area(VALVE, result.balance.lift), result.valve_pressure - result.balance.inlet_pressure
    for area, drop in (first, second):
        flow = coefficient * area * math.sqrt(2.0 * LIQUID.rho * drop)
        assert flow == pytest.approx(result.mass_flow, rel=1e-5)


@pytest.mark.parametrize("leak", [0.0003, 0.0005, 0.0006])
def test_at_the_cut_out_the_compressor_runs_as_long_as_it_takes_to_draw_what_seeps_in(leak):
    result = works(shut_off=ShutOffSpec(is_open=False, leak_diameter=leak))
    assert result.verdict == "pulled down" and result.evaporating_pressure == pytest.approx(DUTY.cut_out_pressure)
    thickest = FLUID.at(p=DUTY.cut_out_pressure, x=1.0).rho
    thinnest = FLUID.at(p=DUTY.cut_out_pressure, T=DUTY.air_temperature).rho
    least, most = (result.mass_flow / DUTY.suction_flow / density for density in (thickest, thinnest))
    assert least * (1 - 1e-6) <= result.running_share <= most * (1 + 1e-6)


def test_each_charge_has_its_own_curve_and_the_gas_charge_ends_at_its_limit():
    curves = valves.opening_curves(VALVE, DUTY, evaporating_temperature=celsius(0), superheat=8.0)
    flows = dict(curves.flows_by_charge)
    assert list(flows) == list(CHARGES) and len(set(flows.values())) == 3
    limit = curves.maximum_operating_temperature
    assert FLUID.dew_pressure(limit) == pytest.approx(curves.maximum_operating_pressure, rel=1e-6)
    warm = [flow for T, flow in zip(curves.boiling, flows["gas charge"], strict=True) if limit + 1.0 < T]
    cold = [flow for T, flow in zip(curves.boiling, flows["gas charge"], strict=True) if limit - 1.0 > T > celsius(-5)]
    assert warm and set(warm) == {0.0} and min(cold) > 0.0
    assert min(flow for T, flow in zip(curves.boiling, flows["same refrigerant"], strict=True) if limit < T) > 0.0


def test_a_leak_cools_by_its_enthalpy():
    seeps = valves.close_shut_off(ShutOffSpec(is_open=False, leak_diameter=0.0005), DUTY, low_pressure=3e5)
    assert seeps.cooling == pytest.approx(seeps.leak_flow * (FLUID.at(p=3e5, x=1.0).h - LIQUID.h), rel=1e-6)


def test_geometry_and_flow_in_their_limits():
    sine, cosine = math.sin(VALVE.pin_angle), math.cos(VALVE.pin_angle)
    assert valves.port_area(VALVE, 0.0) == 0.0
    assert valves.port_area(VALVE, 1e-7) == pytest.approx(math.pi * 1e-7 * sine * VALVE.port_diameter, rel=1e-3)
    assert valves.port_area(VALVE, 1.0) == pytest.approx(0.25 * math.pi * VALVE.port_diameter**2)
    widest = VALVE.port_diameter / (2 * sine * cosine)
    assert valves.port_area(VALVE, widest * (1 - 1e-9)) == pytest.approx(valves.port_area(VALVE, widest), rel=1e-6)
    one = {"area": 1e-6, "density": 1100.0, "coefficient": 0.7}
    none, once, twice = (valves.orifice_flow(pressure_drop=drop, **one) for drop in (-1.0, 1e5, 4e5))
    assert none == 0.0 and twice == pytest.approx(2 * once)
    for x, density in ((0.0, 1100.0), (1.0, 66.0)):
        assert valves.inlet_density(liquid_density=1100.0, vapour_density=66.0, quality=x) == pytest.approx(density)
    # A sharp edge contracts a jet to pi / (pi + 2) (Kirchhoff); a valve passes more than that, and less than all.
    assert math.pi / (math.pi + 2) < valves.discharge_coefficient(inlet_density=1120.0, outlet_volume=0.02) < 1.0


def test_opening_curve_agrees_with_the_balance():
    curves = valves.opening_curves(VALVE, DUTY, evaporating_temperature=celsius(0), superheat=6.0)
    assert curves.static_superheat == pytest.approx(4.0, abs=0.01)
    assert curves.flows[0] == 0.0 and curves.flows[-1] == pytest.approx(curves.full_flow)
    assert all(b >= a for a, b in pairwise(curves.flows))
    settled = works(shut_off=ShutOffSpec(seat_diameter=0.02))
    there = valves.opening_curves(
        VALVE, DUTY, evaporating_temperature=settled.evaporating_temperature, superheat=settled.superheat
    )
    assert there.flow == pytest.approx(settled.mass_flow, rel=1e-4)  # the shut-off takes a hair


@pytest.mark.parametrize("fault", FAULTS)
def test_cases_by_name(fault):
    case = valves.fault_case(VALVE, DUTY, fault=fault, size=0.9)
    assert len(case.places) == len(case.sound_temperatures) == len(case.faulty_temperatures)
    assert case.faulty_temperatures[-1] == pytest.approx(case.faulty.outlet_temperature, abs=1e-6)
    assert (case.faulty.verdict == case.sound.verdict) == (fault == "none")


def test_carbon_dioxide_is_not_offered():
    assert "R-744" not in valves.VALVE_REFRIGERANTS
    for panel in (ValveFaultPanel, ValveForcePanel, ValveOpeningPanel):
        offered = next(one.options for one in panel.controls if one.field == "refrigerant")
        assert offered == valves.VALVE_REFRIGERANTS


def test_a_valve_too_large_for_its_compressor_is_no_number():
    big = replace(VALVE, port_diameter=0.0118, pipe_diameter=0.02, full_lift=0.005, diaphragm_diameter=0.04)
    with pytest.raises(NoSolutionError, match="passes more than the compressor draws"):
        valves.solve_valve(big, replace(DUTY, suction_flow=0.0002), fault=ValveFault(stuck_at=1.0))
