"""The electric compressor: balances, limits, how it answers when one thing changes, figures worked out anew."""

import itertools
import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.components.compressor_cases import BUS, LOSS_FREE, TEMPERATURES, VAN, gas, run
from tests.components.evaporator_cases import solved
from thermo_kit.components.belt_compressor import BeltCompressorSpec, run_belt_compressor
from thermo_kit.components.compressor import CompressorConditions, efficiency_map, rpm, solve_compressor
from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.stream import Stream, stream_at
from thermo_kit.units import celsius

machines = st.sampled_from([VAN, BUS])
refrigerants = st.sampled_from(["R-1234yf", "R-134a", "R-152a", "R-290"])
MANY = settings(max_examples=30)
WORKED_OUT = {"spec": machines, "name": refrigerants, "condensing": st.floats(35, 60), "speed": st.floats(2000, 6000)}


@settings(max_examples=60)
@given(spec=machines, name=refrigerants, speed=st.floats(2500, 6000), **TEMPERATURES)
def test_everything_balances(spec, name, speed, **state):
    result = run(spec, name, speed=speed, voltage=800.0, **state)
    assert result.energy_closure < 1e-6
    gained = result.outlet.mass_flow * (result.outlet.enthalpy - result.suction.enthalpy)
    assert gained + result.heat_loss == pytest.approx(result.electric_power, rel=1e-6)
    assert result.outlet.state.T == pytest.approx(result.discharge_temperature)
    assert result.suction.mass_flow == result.outlet.mass_flow == result.mass_flow
    assert result.supply_current * 800.0 == pytest.approx(result.electric_power)
    lines = math.sqrt(3.0) * result.line_voltage * result.line_current * spec.power_factor
    assert lines == pytest.approx(result.motor_power)
    assert 0.3 < result.isentropic_efficiency < 1.0
    assert 0.3 < result.volumetric_efficiency < 1.0


@settings(max_examples=40)
@given(name=refrigerants, speed=st.floats(900, 2500), air=st.floats(-30, 60), loss=st.floats(0, 6), **TEMPERATURES)
def test_a_slow_machine_that_loses_much_heat_balances_too(name, speed, air, loss, **state):
    try:
        result = run(replace(VAN, heat_loss_coefficient=loss), name, speed=speed, air=air, **state)
    except NoSolutionError as refused:
        assert "gas in the compressor" in str(refused)  # never an open balance
    else:
        assert result.energy_closure < 1e-6


CHANGES = {
    "more speed": lambda one, more: one | {"speed": one["speed"] + 50.0 + 950.0 * more},
    "more head pressure": lambda one, more: one | {"condensing": one["condensing"] + 0.5 + 5.5 * more},
    "wider gaps": lambda one, more: (
        one | {"spec": replace(one["spec"], leakage_area=one["spec"].leakage_area + 2e-8 + 3.8e-7 * more)}
    ),
}
RISE = {
    "more speed": ("mass_flow", "electric_power", "line_voltage"),
    "more head pressure": ("discharge_temperature", "electric_power", "line_current"),
    "wider gaps": ("discharge_temperature",),
}
FALL = {"more head pressure": ("mass_flow",), "wider gaps": ("volumetric_efficiency", "isentropic_efficiency")}


@pytest.mark.parametrize("change", CHANGES)
@MANY
@given(name=refrigerants, area=st.floats(0, 5e-7), speed=st.floats(2500, 7000), more=st.floats(0, 1), **TEMPERATURES)
def test_what_rises_and_falls_with_a_change(change, name, area, speed, more, **state):
    spec, speed = (replace(VAN, leakage_area=area), 4000.0) if change == "wider gaps" else (VAN, speed)
    one = {"spec": spec, "refrigerant": name, "speed": speed, "voltage": 800.0} | state
    before, after = run(**one), run(**CHANGES[change](one, more))
    for field in RISE[change]:
        assert getattr(after, field) > getattr(before, field), field
    for field in FALL.get(change, ()):
        assert getattr(after, field) < getattr(before, field), field


@pytest.mark.parametrize("name", ["R-1234yf", "R-134a", "R-152a", "R-290"])
def test_without_losses_at_the_built_in_ratio_nothing_is_lost(name):
    result = run(LOSS_FREE, name, discharge=run(LOSS_FREE, name).pocket.opening_pressure)
    assert result.isentropic_efficiency == pytest.approx(1.0, abs=2e-4)
    assert result.volumetric_efficiency == pytest.approx(1.0, abs=2e-4)
    assert result.mismatch == "matched" and abs(result.mismatch_loss) < 1.0
    swept = LOSS_FREE.displacement * 4000 / 60 * gas(name).state.rho
    assert result.mass_flow == pytest.approx(swept, rel=2e-4)


@pytest.mark.parametrize(("condensing", "word"), [(22, "over-compression"), (60, "under-compression")])
def test_a_pocket_that_does_not_fit_costs_work_on_both_sides(condensing, word):
    result = run(LOSS_FREE, condensing=condensing)
    assert result.mismatch == word and result.mismatch_loss > 5.0
    assert result.isentropic_efficiency < 0.99


def test_work_does_not_jump_where_over_turns_into_under_compression():
    opens = run(LOSS_FREE).pocket.opening_pressure
    power = [run(LOSS_FREE, discharge=opens * s).electric_power for s in (0.9999, 1.0, 1.0001)]
    assert power[2] - power[1] == pytest.approx(power[1] - power[0], rel=0.01)


def test_a_leak_does_not_jump_where_the_nozzle_chokes():
    spec = replace(VAN, leakage_area=4e-7)
    leak = [run(spec, ratio=1.55 + 0.01 * k).leakage_flow for k in range(30)]
    steps = [b - a for a, b in itertools.pairwise(leak)]
    assert min(steps) > 0 and max(steps) < 1.5 * min(steps)


@pytest.mark.parametrize(("condensing", "better"), [(28, 1.8), (65, 3.2)])
def test_a_larger_built_in_ratio_suits_a_larger_pressure_ratio(condensing, better):
    found = {
        rv: run(replace(VAN, built_in_volume_ratio=rv), condensing=condensing).isentropic_efficiency
        for rv in (1.8, 3.2)
    }
    assert max(found, key=found.get) == better


def test_carbon_dioxide_runs_too():
    spec = replace(VAN, displacement=6e-6, leakage_area=3e-8, built_in_volume_ratio=2.0)
    result = run(spec, "R-744", evaporating=3.0, superheat=9.0, discharge=95e5)
    assert result.energy_closure < 1e-6 and 0.3 < result.isentropic_efficiency < 0.8
    assert celsius(70) < result.discharge_temperature < celsius(140)


def test_the_map_is_best_near_the_built_in_ratio_and_has_its_gaps():
    chart = efficiency_map(VAN, gas())
    assert abs(chart.best_ratio - chart.built_in_pressure_ratio) < 0.3
    assert chart.speeds[0] < chart.best_speed < chart.speeds[-1]
    assert chart.efficiency[-1][0] is None  # so slow against so much, the leak wins
    one = run(ratio=chart.ratios[3], speed=chart.speeds[4] * 30.0 / math.pi)
    assert chart.efficiency[3][4] == pytest.approx(one.isentropic_efficiency, rel=1e-9)
    weak = efficiency_map(VAN, gas(), supply_voltage=250.0)
    assert weak.efficiency[3][-1] is None and chart.efficiency[3][-1] is not None


@pytest.mark.parametrize("suction", (26e5, 35e5))
def test_the_map_of_carbon_dioxide_has_a_gap_above_the_pressure_of_the_model(suction):
    chart = efficiency_map(VAN, stream_at("R-744", p=suction, T=celsius(15)))
    assert chart.efficiency[-1] == (None,) * len(chart.speeds) and chart.best_efficiency > 0.4


def test_what_leaves_the_coil_is_what_the_compressor_takes():
    outlet = solved().outlet
    result = solve_compressor(VAN, outlet, CompressorConditions(discharge_pressure=13e5, speed=rpm(4000)))
    assert (result.suction.pressure, result.suction.enthalpy) == (outlet.pressure, outlet.enthalpy)
    assert result.suction_temperature == pytest.approx(celsius(8.0), abs=1e-6)
    assert result.outlet.pressure == 13e5 and result.outlet.enthalpy > outlet.enthalpy
    with pytest.raises(OutOfRangeError, match="liquid would come to the compressor"):
        solve_compressor(VAN, outlet.at(enthalpy=outlet.enthalpy - 5e4), result.conditions)


def test_notes_tell_of_heat_and_current():
    hot = run(condensing=76, speed=2000)
    assert hot.temperature_margin < 0 and any("hot gas is beyond" in note for note in hot.notes)
    strong = run(replace(VAN, current_limit=5.0))
    assert any("line current is beyond" in note for note in strong.notes)
    pressed = run(condensing=15)
    assert any("over-compression" in note for note in pressed.notes)


def test_a_suction_stream_that_cannot_be():
    conditions = CompressorConditions(discharge_pressure=13e5, speed=rpm(4000))
    with pytest.raises(OutOfRangeError, match=r"suction pressure .* is below .*typed in bar"):
        solve_compressor(VAN, Stream(refrigerant="R-1234yf", pressure=3.4, enthalpy=4e5), conditions)


@given(**WORKED_OUT)
def test_each_loss_between_battery_and_gas_and_what_is_swept(spec, name, condensing, speed):
    result, turning = run(spec, name, condensing=condensing, speed=speed, voltage=800.0), rpm(speed)
    assert result.shaft_power - result.gas_power == pytest.approx(spec.friction_torque * turning, rel=1e-9)
    assert result.torque * turning == pytest.approx(result.shaft_power)
    assert result.line_current == pytest.approx(result.torque / spec.torque_constant)
    winding = 3.0 * spec.phase_resistance * result.line_current**2
    assert result.motor_power - result.shaft_power == pytest.approx(winding + spec.iron_loss * turning)
    inverter = spec.inverter_loss_share * result.motor_power + spec.inverter_idle_loss
    assert result.electric_power - result.motor_power == pytest.approx(inverter)
    pocket = result.pocket
    fitted = Refrigerant(name).at(p=pocket.discharge_pressure, s=pocket.entropy).h - pocket.enthalpy
    assert -1e-9 < result.mismatch_loss == pytest.approx(result.gas_power * (1.0 - fitted / pocket.work), abs=1e-6)
    # What is swept leaves or leaks, and the ports throttle it.
    suction = result.suction
    swept = spec.displacement * speed / 60.0
    assert result.mass_flow + result.leakage_flow == pytest.approx(swept * result.pocket.density, rel=1e-9)
    density = suction.state.rho
    throttled = (swept * density / spec.suction_port_area) ** 2 / (2.0 * density)
    assert suction.pressure - result.pocket.pressure == pytest.approx(throttled, rel=1e-6)
    behind = result.pocket.discharge_pressure - result.outlet.pressure
    flow = result.mass_flow + result.leakage_flow
    pressed = (flow / spec.discharge_port_area) ** 2 / (2.0 * result.pocket.density * spec.built_in_volume_ratio)
    assert behind == pytest.approx(pressed, rel=1e-6)


@pytest.mark.parametrize("condensing", [12.0, 35.0, 60.0])
@pytest.mark.parametrize("name", ["R-1234yf", "R-134a", "R-290"])
def test_the_leak_is_that_of_a_loss_free_nozzle_with_exact_states(name, condensing):
    """The largest flow over all throat pressures: choked or not, whatever the gas."""
    result = run(refrigerant=name, condensing=condensing, voltage=800.0)
    fluid, pocket = Refrigerant(name), result.pocket
    start = fluid.at(p=pocket.discharge_pressure, s=pocket.entropy)

    def flux(p):
        throat = fluid.at(p=p, s=pocket.entropy)
        return throat.rho * math.sqrt(2.0 * max(start.h - throat.h, 0.0))

    span = pocket.discharge_pressure - pocket.pressure
    largest = max(flux(pocket.pressure + span * k / 200) for k in range(201))
    assert result.leakage_flow == pytest.approx(result.spec.leakage_area * largest, rel=0.05)


@given(loss=st.floats(0.5, 6.0), condensing=st.floats(40.0, 60.0))
def test_the_hot_end_loses_heat_by_its_mean_temperature(loss, condensing):
    result = run(replace(VAN, heat_loss_coefficient=loss), condensing=condensing, voltage=800.0)
    before = result.outlet.enthalpy + result.heat_loss / result.mass_flow
    hottest = Refrigerant("R-1234yf").at(p=result.outlet.pressure, h=before).T
    mean = 0.5 * (hottest + result.discharge_temperature)
    assert result.heat_loss == pytest.approx(loss * (mean - celsius(35)), rel=1e-3)
    assert result.discharge_temperature < hottest


def test_clearance_eats_up_the_stroke_as_the_ratio_rises():
    machine = BeltCompressorSpec(displacement=150e-6, control="clutch")
    gas = stream_at("R-134a", p=2.5e5, T=280.0)
    runs = [run_belt_compressor(machine, gas, discharge_pressure=p, speed=150.0) for p in (8e5, 14e5, 22e5)]
    filled = [one.volumetric_efficiency for one in runs]
    assert filled[0] > filled[1] > filled[2]
    half = run_belt_compressor(machine, gas, discharge_pressure=14e5, speed=150.0, stroke_share=0.5)
    assert half.outlet.mass_flow == pytest.approx(0.5 * runs[1].outlet.mass_flow)
    assert max(abs(one.energy_closure) for one in runs) < 1e-6
    with pytest.raises(NoSolutionError, match="no room"):
        run_belt_compressor(machine, stream_at("R-134a", p=0.6e5, T=280.0), discharge_pressure=3e6, speed=150.0)
