"""Cycles from gauge and clamp readings: round trips and uncertainty."""

import math
import random
import statistics

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.systems.readings_to_try import GAS_COOLER, HEALTHY, changed, readings_of, taken
from thermo_kit.errors import NoSolutionError
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.systems import CycleSpec, cycle_from_readings, solve_cycle
from thermo_kit.systems.readings_states import MEASURED
from thermo_kit.units import atmosphere_pressure, barg, celsius, psig

SAME = (
    "evaporating_temperature", "superheat", "suction_superheat", "discharge_temperature", "pressure_ratio",
    "refrigerating_effect", "compressor_work", "heat_rejected", "coefficient_of_performance", "subcooling",
    "condensing_temperature", "isentropic_efficiency", "cooling_capacity", "compressor_power", "heat_rejection",
)  # fmt: skip


@given(
    name=st.sampled_from(REFRIGERANT_NAMES),
    evaporating=st.floats(-10, 12),
    high=st.floats(40, 65),
    subcooling=st.floats(1, 12),
    losses=st.fixed_dictionaries({
        "superheat": st.floats(1, 15), "suction_line_temperature_rise": st.floats(0, 10),
        "isentropic_efficiency": st.floats(0.55, 0.95),
    }),
)  # fmt: skip
def test_a_cycle_read_by_instruments_comes_back(name, evaporating, high, subcooling, losses):
    if name == "R-744":
        hot = {"gas_cooler_pressure": high * 2e5, "gas_cooler_outlet_temperature": celsius(30 + subcooling / 2)}
    else:
        hot = {"condensing_temperature": celsius(high), "subcooling": subcooling}
    spec = CycleSpec(refrigerant=name, evaporating_temperature=celsius(evaporating), mass_flow=0.03, **hot, **losses)
    try:
        cycle = solve_cycle(spec)
    except NoSolutionError:
        assume(False)
    assume(cycle.points[1].state.x is None)  # wet vapour hides its state from gauge and clamp
    back = cycle_from_readings(readings_of(cycle, mass_flow=0.03))
    for field in SAME:
        told, truth = getattr(back, field), getattr(cycle, field)
        assert told is truth is None or told == pytest.approx(truth, rel=1e-4, abs=1e-3), field
    assert back.energy_closure < 1e-6


def test_healthy_readings_need_no_note_but_the_assumed_accuracy():
    cycle = cycle_from_readings(HEALTHY)
    assert len(cycle.notes) == 1
    assert "class 1.6 (EN 837-1)" in cycle.notes[0]
    assert "IEC 60584-1" in cycle.notes[0]
    stated = changed(pressure_accuracy=10e3, temperature_accuracy=1.0)
    assert cycle_from_readings(stated).notes == ()


def test_without_an_evaporator_clamp_the_suction_clamp_stands_in():
    cycle = cycle_from_readings(changed(evaporator_outlet_temperature=None))
    assert cycle.superheat == cycle.suction_superheat
    assert cycle.points[5].state == cycle.points[0].state


@given(st.floats(-200, 3000), st.sampled_from(((psig, 29.0, 180.0), (barg, 2.0, 12.4))))
def test_the_same_gauge_reading_means_another_temperature_at_altitude(altitude, shown):
    unit, low, high = shown
    here = taken(low, high, gauge=lambda value: unit(value, altitude), altitude=altitude)
    there, at_sea = cycle_from_readings(here), cycle_from_readings(taken(low, high, gauge=unit))
    assert at_sea.evaporating_pressure - there.evaporating_pressure == pytest.approx(
        101_325 - atmosphere_pressure(altitude), abs=1e-6
    )
    if altitude > 1:
        assert there.superheat > at_sea.superheat
        assert there.subcooling < at_sea.subcooling


def test_uncertainty_of_superheat_and_subcooling_is_gauge_and_clamp_combined():
    told = cycle_from_readings(changed(pressure_accuracy=20e3, temperature_accuracy=1.0)).uncertainty
    fluid = Refrigerant("R-134a")
    for name, p, saturation in (
        ("superheat", HEALTHY.suction_pressure, fluid.dew_temperature),
        ("subcooling", HEALTHY.discharge_pressure, fluid.bubble_temperature),
    ):
        slope = (saturation(p + 1e3) - saturation(p - 1e3)) / 2e3
        assert told[name] == pytest.approx(math.hypot(1.0, slope * 20e3), rel=0.01)
    assert (told["discharge_temperature"], told["evaporating_pressure"]) == pytest.approx((1.0, 20e3))


def test_uncertainty_agrees_with_many_random_readings():
    # An independent way to the same ±: draw readings, look at the spread (GUM supplement 1).
    stated = changed(pressure_accuracy=10e3, temperature_accuracy=0.8)
    told, chance = cycle_from_readings(stated).uncertainty, random.Random(1)
    off = {name: 10e3 if "pressure" in name else 0.8 for name in MEASURED}
    results = [
        cycle_from_readings(changed(stated, **{n: chance.gauss(getattr(stated, n), off[n]) for n in MEASURED}))
        for _ in range(400)
    ]
    for field in (
        "superheat",
        "subcooling",
        "isentropic_efficiency",
        "coefficient_of_performance",
        "refrigerating_effect",
    ):
        spread = statistics.stdev(getattr(result, field) for result in results)
        assert told[field] == pytest.approx(spread, rel=0.15), field


@given(st.floats(1.1, 4))
def test_worse_instruments_never_give_a_smaller_uncertainty(factor):
    good = cycle_from_readings(changed(pressure_accuracy=8e3, temperature_accuracy=0.5)).uncertainty
    bad = cycle_from_readings(changed(pressure_accuracy=8e3 * factor, temperature_accuracy=0.5 * factor)).uncertainty
    assert good.keys() == bad.keys()
    assert all(bad[name] > good[name] for name in good)


def test_perfect_instruments_leave_no_uncertainty():
    perfect = changed(pressure_accuracy=0.0, temperature_accuracy=0.0)
    assert all(value < 1e-9 for value in cycle_from_readings(perfect).uncertainty.values())


def test_each_gauge_may_have_its_own_accuracy():
    told = cycle_from_readings(changed(pressure_accuracy=5e3, discharge_pressure_accuracy=40e3)).uncertainty
    assert (told["evaporating_pressure"], told["condensing_pressure"]) == pytest.approx((5e3, 40e3))


def test_above_the_critical_pressure_there_is_no_subcooling():
    cycle = cycle_from_readings(GAS_COOLER)
    assert cycle.subcooling is None
    assert "subcooling" not in cycle.uncertainty
    assert cycle.points[2].place == "gas cooler outlet"


def test_uncertainty_next_to_the_critical_pressure_uses_the_side_that_exists():
    cycle = cycle_from_readings(taken(35, 71.98675, 10, 70, 26, refrigerant="R-744"))
    assert cycle.subcooling is not None
    assert 1.5 < cycle.uncertainty["subcooling"] < 6
