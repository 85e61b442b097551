"""Specified cycles: balances, trends, limits and bad input."""

import dataclasses
import pickle

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermo_kit.errors import NoSolutionError
from thermo_kit.laws.closure import CLOSURE_LIMIT
from thermo_kit.substances import Refrigerant
from thermo_kit.systems import CycleSpec, best_gas_cooler_pressure, solve_cycle
from thermo_kit.units import celsius

SUBCRITICAL = ("R-134a", "R-1234yf", "R-152a", "R-290")
ORDINARY = {
    "refrigerant": "R-1234yf",
    "evaporating_temperature": celsius(3),
    "condensing_temperature": celsius(50),
    "superheat": 6.0,
    "subcooling": 5.0,
    "isentropic_efficiency": 0.7,
}
GAS_COOLER = {
    "refrigerant": "R-744",
    "evaporating_temperature": celsius(3),
    "gas_cooler_pressure": 95e5,
    "gas_cooler_outlet_temperature": celsius(38),
    "superheat": 5.0,
    "isentropic_efficiency": 0.7,
}


def solved(**changes):
    return solve_cycle(CycleSpec(**(ORDINARY | changes)))


def transcritical(**changes):
    return solve_cycle(CycleSpec(**(GAS_COOLER | changes)))


@st.composite
def specs(draw):
    drops = ("evaporator", "suction_line", "discharge_line", "condenser", "liquid_line")
    common = {f"{name}_pressure_drop": draw(st.floats(0, 30e3)) for name in drops} | {
        "evaporating_temperature": celsius(draw(st.floats(-20, 15))),
        "superheat": draw(st.floats(0, 15)),
        "suction_line_temperature_rise": draw(st.floats(0, 8)),
        "isentropic_efficiency": draw(st.floats(0.5, 1)),
        "internal_heat_exchanger_effectiveness": draw(st.sampled_from((0.0, 0.3, 0.6))),
        "mass_flow": draw(st.none() | st.floats(0.005, 0.1)),
    }
    if draw(st.booleans()):
        name, condensing, away = draw(st.sampled_from(SUBCRITICAL)), draw(st.floats(35, 65)), draw(st.floats(0, 10))
        return CycleSpec(refrigerant=name, condensing_temperature=celsius(condensing), subcooling=away, **common)
    pressure, outlet = draw(st.floats(85e5, 120e5)), celsius(draw(st.floats(25, 38)))
    return CycleSpec(refrigerant="R-744", gas_cooler_pressure=pressure, gas_cooler_outlet_temperature=outlet, **common)


@given(specs())
def test_every_cycle_balances_and_runs_the_right_way_round(spec):
    try:
        cycle = solve_cycle(spec)
    except NoSolutionError as reason:
        # The only way out on this range: discharge beyond the property data, and it says so.
        assert "leaves the property data" in str(reason)
        return
    one, two, three, four, five, six = (point.state for point in cycle.points)
    assert cycle.energy_closure < CLOSURE_LIMIT
    line_heat = one.h - six.h - (three.h - four.h)
    assert two.h - three.h == pytest.approx((six.h - five.h) + (two.h - one.h) + line_heat, rel=1e-6)
    assert two.s >= one.s - 1e-6
    assert five.s >= four.s
    assert five.h == pytest.approx(four.h, rel=1e-9)
    losses = (spec.evaporator_pressure_drop, spec.suction_line_pressure_drop, spec.liquid_line_pressure_drop)
    assert (five.p - six.p, six.p - one.p, three.p - four.p) == pytest.approx(losses, abs=5.0)
    outside = spec.discharge_line_pressure_drop + spec.condenser_pressure_drop
    assert two.p - three.p == pytest.approx(outside, abs=5.0)
    dew = Refrigerant(spec.refrigerant).dew_temperature(one.p)
    assert cycle.suction_superheat == pytest.approx(one.T - dew, abs=1e-4)
    ideal = Refrigerant(spec.refrigerant).at(p=two.p, s=one.s).h - one.h
    assert ideal == pytest.approx(spec.isentropic_efficiency * (two.h - one.h), rel=1e-6)
    assert cycle.coefficient_of_performance == pytest.approx(cycle.refrigerating_effect / cycle.compressor_work)
    if spec.mass_flow is None:
        assert cycle.cooling_capacity is cycle.compressor_power is cycle.heat_rejection is None
    else:
        assert cycle.cooling_capacity == pytest.approx(spec.mass_flow * (six.h - five.h))
    cold = spec.evaporating_temperature
    assert three.T <= cold or cycle.coefficient_of_performance < cold / (three.T - cold), "better than Carnot"


COP, HOT, EFFECT = "coefficient_of_performance", "discharge_temperature", "refrigerating_effect"
TRENDS = (
    ("condensing_temperature", 1.0, {COP: -1, HOT: 1, "pressure_ratio": 1}),
    ("evaporating_temperature", -1.0, {COP: -1}),
    ("superheat", 1.0, {HOT: 1, EFFECT: 1}),
    ("subcooling", 1.0, {EFFECT: 1, "compressor_work": 0}),
    ("isentropic_efficiency", -0.01, {HOT: 1, EFFECT: 0}),
    *(
        (f"{place}_pressure_drop", 5e3, {"compressor_work": 1})
        for place in ("suction_line", "discharge_line", "condenser")
    ),
)


@pytest.mark.parametrize("name", SUBCRITICAL)
@given(step=st.floats(0.5, 10), condensing=st.floats(40, 55), superheat=st.floats(0, 8))
def test_trends_that_every_technician_expects(name, step, condensing, superheat):
    start = CycleSpec(
        **ORDINARY | {"refrigerant": name, "condensing_temperature": celsius(condensing), "superheat": superheat}
    )
    before = solve_cycle(start)
    for field, rate, trends in TRENDS:
        after = solve_cycle(dataclasses.replace(start, **{field: getattr(start, field) + rate * step}))
        for result, direction in trends.items():
            change = getattr(after, result) - getattr(before, result)
            assert change * direction > 0 or (direction == 0 and abs(change) < 1e-6 * getattr(before, result)), (
                field,
                result,
            )


@pytest.mark.parametrize("make", [solved, transcritical])
def test_full_effectiveness_brings_one_stream_to_the_other_ones_inlet_and_never_beyond(make):
    cycle = make(internal_heat_exchanger_effectiveness=1.0)
    one, _two, three, four, _five, six = (point.state for point in cycle.points)
    assert one.T <= three.T + 1e-6
    assert four.T >= six.T - 1e-6
    assert max(one.T - three.T, six.T - four.T) == pytest.approx(0.0, abs=1e-4)
    assert three.h - four.h == pytest.approx(one.h - six.h, rel=1e-9)


def test_where_the_gas_is_the_lesser_stream_it_is_the_one_that_reaches_the_other_inlet():
    # Close to the critical point the cold vapour takes up more heat for each kelvin than the dense hot gas gives.
    warm = {"evaporating_temperature": celsius(25), "gas_cooler_outlet_temperature": celsius(40), "superheat": 0.0}
    cycle = transcritical(**warm, gas_cooler_pressure=140e5, internal_heat_exchanger_effectiveness=1.0)
    one, _two, three, four, _five, six = (point.state for point in cycle.points)
    assert four.T == pytest.approx(six.T, abs=1e-4)
    assert one.T < three.T - 0.5


def test_streams_that_would_trade_places_inside_the_exchanger_are_refused():
    # The pressure lost on the way brings the gas below its critical pressure: it condenses inside the exchanger.
    near = {"evaporating_temperature": celsius(15), "gas_cooler_outlet_temperature": celsius(33)}
    lossy = near | {"gas_cooler_pressure": 74e5, "liquid_line_pressure_drop": 2e5}
    with pytest.raises(NoSolutionError, match=r"near 31.4 °C, gas and vapour would have to trade places"):
        transcritical(**lossy, internal_heat_exchanger_effectiveness=1.0)
    assert transcritical(**lossy, internal_heat_exchanger_effectiveness=0.8).energy_closure < CLOSURE_LIMIT


def test_without_losses_and_exchanger_the_points_coincide():
    points = solved().points
    assert [point.number for point in points] == [1, 2, 3, 4, 5, 6]
    assert points[2].state is points[3].state
    assert points[0].state is points[5].state
    assert points[0].place == "compressor inlet"
    assert transcritical().points[2].place == "gas cooler outlet"


def test_saturated_cycle_is_the_limit_of_a_vanishing_superheat():
    at_zero = solved(superheat=0.0, subcooling=0.0)
    nearly = solved(superheat=0.01, subcooling=0.01)
    assert nearly.coefficient_of_performance == pytest.approx(at_zero.coefficient_of_performance, rel=2e-4)
    assert at_zero.points[0].state.x == pytest.approx(1.0)
    assert at_zero.points[2].state.x == pytest.approx(0.0)


def test_a_subcritical_r744_cycle_is_an_ordinary_cycle():
    between = {"evaporating_temperature": celsius(-10), "condensing_temperature": celsius(20)}
    cycle = solve_cycle(CycleSpec(refrigerant="CO2", **between))
    assert cycle.refrigerant == "R-744"
    assert cycle.subcooling == 0.0
    assert cycle.energy_closure < CLOSURE_LIMIT


def test_transcritical_result_has_no_condensing_temperature():
    cycle = transcritical()
    assert cycle.condensing_temperature is None
    assert cycle.subcooling is None
    assert cycle.condensing_pressure == 95e5


def beats_its_neighbours(spec, aside):
    best = best_gas_cooler_pressure(spec)
    below, at_best, above = (
        solve_cycle(dataclasses.replace(spec, gas_cooler_pressure=best + by)).coefficient_of_performance
        for by in (-aside, 0.0, aside)
    )
    return below < at_best > above


def bus(evaporating, outlet, **others):
    temperatures = {"evaporating_temperature": celsius(evaporating), "gas_cooler_outlet_temperature": celsius(outlet)}
    return CycleSpec(refrigerant="R-744", **temperatures, **others)


@given(evaporating=st.floats(-5, 12), outlet=st.floats(32, 45))
def test_best_gas_cooler_pressure_beats_its_neighbours(evaporating, outlet):
    assert beats_its_neighbours(bus(evaporating, outlet), 1e5)


@pytest.mark.parametrize(("evaporating", "outlet"), [(-20, 29.75), (5, 30.65), (15, 30.95), (-20, 51.0), (15, 56.0)])
def test_a_best_gas_cooler_pressure_close_to_either_end_is_found(evaporating, outlet):
    spec = bus(evaporating, outlet, superheat=5.0)
    assert not 77e5 < best_gas_cooler_pressure(spec) < 143e5 and beats_its_neighbours(spec, 0.3e5)


def test_a_poor_compressor_shifts_the_best_gas_cooler_pressure_only_where_its_gas_is_too_hot():
    good = bus(5, 40)
    poor = dataclasses.replace(good, isentropic_efficiency=0.5)
    assert best_gas_cooler_pressure(poor) == pytest.approx(best_gas_cooler_pressure(good), abs=300)
    hot = dataclasses.replace(poor, evaporating_temperature=celsius(-20), isentropic_efficiency=0.4)
    best = best_gas_cooler_pressure(hot)
    assert 105e5 < best < best_gas_cooler_pressure(dataclasses.replace(hot, isentropic_efficiency=1.0)) - 1e5
    at_best = solve_cycle(dataclasses.replace(hot, gas_cooler_pressure=best))
    assert at_best.discharge_temperature == pytest.approx(celsius(200), abs=0.5)  # where the property data end


@pytest.mark.parametrize(
    ("make", "words", "changes"),
    [
        (solved, "Vapour forms in the liquid line", dict(liquid_line_pressure_drop=3e5, subcooling=1.0)),
        (solved, "would draw in air", dict(evaporating_temperature=celsius(-35))),
        (solved, "partly condenses", dict(superheat=0.0, isentropic_efficiency=1.0, evaporating_temperature=233.15)),
        (solved, "above 120.0 °C, where", dict(refrigerant="R-152a", isentropic_efficiency=0.35)),
        (transcritical, "close to the critical", dict(gas_cooler_pressure=76e5, gas_cooler_outlet_temperature=304.15)),
        (transcritical, "Only R-744", dict(refrigerant="R-1234yf", gas_cooler_pressure=40e5)),
    ],
)
def test_questionable_states_are_noted(make, words, changes):
    assert any(words in str(note) for note in make(**changes).notes), make(**changes).notes
    assert not any(words in str(note) for note in make().notes)


def test_a_result_cannot_be_changed_and_survives_pickling():
    cycle = solved()
    with pytest.raises(dataclasses.FrozenInstanceError):
        cycle.superheat = 1.0
    assert pickle.loads(pickle.dumps(cycle)) == cycle
