"""Cycles from gauge and clamp readings: round trips and uncertainty."""

import math
import random

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.systems.readings_to_try import GAS_COOLER, HEALTHY, changed, readings_of
from thermo_kit.errors import NoSolutionError
from thermo_kit.substances import Refrigerant
from thermo_kit.systems import CycleSpec, cycle_from_readings, solve_cycle
from thermo_kit.units import atmosphere_pressure, barg, celsius, psig

SUBCRITICAL = ("R-134a", "R-1234yf", "R-152a", "R-290")
EXACT = {"pressure_accuracy": 0.0, "temperature_accuracy": 0.0}


@given(
    name=st.sampled_from((*SUBCRITICAL, "R-744")),
    evaporating=st.floats(-10, 12),
    high=st.floats(40, 65),
    superheat=st.floats(1, 15),
    rise=st.floats(0, 10),
    subcooling=st.floats(1, 12),
    efficiency=st.floats(0.55, 0.95),
)
def test_a_cycle_read_by_instruments_comes_back(name, evaporating, high, superheat, rise, subcooling, efficiency):
    spec = {
        "refrigerant": name,
        "evaporating_temperature": celsius(evaporating),
        "superheat": superheat,
        "suction_line_temperature_rise": rise,
        "isentropic_efficiency": efficiency,
        "mass_flow": 0.03,
    }
    if name == "R-744":
        spec |= {"gas_cooler_pressure": high * 2e5, "gas_cooler_outlet_temperature": celsius(30 + subcooling / 2)}
    else:
        spec |= {"condensing_temperature": celsius(high), "subcooling": subcooling}
    try:
        cycle = solve_cycle(CycleSpec(**spec))
    except NoSolutionError:
        assume(False)
    assume(cycle.points[1].state.x is None)  # wet vapour hides its state from gauge and clamp
    back = cycle_from_readings(readings_of(cycle, mass_flow=0.03))
    for field in (
        "evaporating_temperature", "superheat", "suction_superheat", "discharge_temperature", "pressure_ratio",
        "refrigerating_effect", "compressor_work", "heat_rejected", "coefficient_of_performance",
        "isentropic_efficiency", "cooling_capacity", "compressor_power", "heat_rejection",
    ):  # fmt: skip
        assert getattr(back, field) == pytest.approx(getattr(cycle, field), rel=1e-4, abs=1e-3), field
    if name != "R-744":
        assert back.subcooling == pytest.approx(subcooling, abs=1e-3)
        assert back.condensing_temperature == pytest.approx(celsius(high), abs=1e-3)
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


@given(st.floats(-200, 3000), st.sampled_from((psig, barg)))
def test_the_same_gauge_reading_means_another_temperature_at_altitude(altitude, unit):
    low, high = (29.0, 180.0) if unit is psig else (2.0, 12.4)
    here = changed(suction_pressure=unit(low, altitude), discharge_pressure=unit(high, altitude), altitude=altitude)
    sea = changed(suction_pressure=unit(low), discharge_pressure=unit(high))
    there, at_sea = cycle_from_readings(here), cycle_from_readings(sea)
    assert at_sea.evaporating_pressure - there.evaporating_pressure == pytest.approx(
        101_325 - atmosphere_pressure(altitude), abs=1e-6
    )
    if altitude > 1:
        assert there.superheat > at_sea.superheat
        assert there.subcooling < at_sea.subcooling


def test_uncertainty_of_superheat_and_subcooling_is_gauge_and_clamp_combined():
    cycle = cycle_from_readings(changed(pressure_accuracy=20e3, temperature_accuracy=1.0))
    fluid = Refrigerant("R-134a")
    p = HEALTHY.suction_pressure
    slope = (fluid.dew_temperature(p + 1e3) - fluid.dew_temperature(p - 1e3)) / 2e3
    assert cycle.uncertainty["superheat"] == pytest.approx(math.hypot(1.0, slope * 20e3), rel=0.01)
    p = HEALTHY.discharge_pressure
    slope = (fluid.bubble_temperature(p + 1e3) - fluid.bubble_temperature(p - 1e3)) / 2e3
    assert cycle.uncertainty["subcooling"] == pytest.approx(math.hypot(1.0, slope * 20e3), rel=0.01)
    assert cycle.uncertainty["discharge_temperature"] == pytest.approx(1.0)
    assert cycle.uncertainty["evaporating_pressure"] == pytest.approx(20e3)


def test_uncertainty_agrees_with_many_random_readings():
    # An independent way to the same ±: draw readings, look at the spread (GUM supplement 1).
    stated = changed(pressure_accuracy=10e3, temperature_accuracy=0.8)
    cycle = cycle_from_readings(stated)
    chance = random.Random(1)
    names = (
        "suction_pressure", "discharge_pressure", "suction_temperature",
        "discharge_temperature", "liquid_temperature", "evaporator_outlet_temperature",
    )  # fmt: skip
    results = []
    for _ in range(400):
        drawn = {n: chance.gauss(getattr(stated, n), 10e3 if "pressure" in n else 0.8) for n in names}
        results.append(cycle_from_readings(changed(stated, **drawn)))
    for field in (
        "superheat",
        "subcooling",
        "isentropic_efficiency",
        "coefficient_of_performance",
        "refrigerating_effect",
    ):
        values = [getattr(result, field) for result in results]
        mean = sum(values) / len(values)
        spread = math.sqrt(sum((v - mean) ** 2 for v in values) / (len(values) - 1))
        assert cycle.uncertainty[field] == pytest.approx(spread, rel=0.15), field


@given(st.floats(1.1, 4))
def test_worse_instruments_never_give_a_smaller_uncertainty(factor):
    good = cycle_from_readings(changed(pressure_accuracy=8e3, temperature_accuracy=0.5)).uncertainty
    bad = cycle_from_readings(changed(pressure_accuracy=8e3 * factor, temperature_accuracy=0.5 * factor)).uncertainty
    assert good.keys() == bad.keys()
    assert all(bad[name] > good[name] for name in good)


def test_perfect_instruments_leave_no_uncertainty():
    assert all(value < 1e-9 for value in cycle_from_readings(changed(**EXACT)).uncertainty.values())


def test_each_gauge_may_have_its_own_accuracy():
    cycle = cycle_from_readings(changed(pressure_accuracy=5e3, discharge_pressure_accuracy=40e3))
    assert cycle.uncertainty["evaporating_pressure"] == pytest.approx(5e3)
    assert cycle.uncertainty["condensing_pressure"] == pytest.approx(40e3)


def test_above_the_critical_pressure_there_is_no_subcooling():
    cycle = cycle_from_readings(GAS_COOLER)
    assert cycle.subcooling is None
    assert "subcooling" not in cycle.uncertainty
    assert cycle.points[2].place == "gas cooler outlet"


def test_uncertainty_next_to_the_critical_pressure_uses_the_side_that_exists():
    near = changed(
        GAS_COOLER, discharge_pressure=73.0e5, liquid_temperature=celsius(26), discharge_temperature=celsius(70)
    )
    cycle = cycle_from_readings(near)
    assert cycle.subcooling is not None
    assert 1.5 < cycle.uncertainty["subcooling"] < 6
