"""The wet coil: air against published and independent figures, balances, limits, trends, bad input."""

import dataclasses
import itertools
import math

import psychrolib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from thermo_kit.components.evaporator import (
    air_temperature,
    humidity_at,
    moist_enthalpy,
    saturated_humidity,
    solve_evaporator,
    van_coil,
    van_conditions,
)
from thermo_kit.components.evaporator.air import dew_point, saturation_pressure
from thermo_kit.errors import OutOfRangeError
from thermo_kit.substances import Refrigerant, moist_air
from thermo_kit.units import celsius

SEA = 101325.0
AIRS = {
    "air_temperature": st.floats(20, 45),
    "relative_humidity": st.floats(0.1, 0.9),
    "air_flow": st.floats(0.04, 0.2),
    "evaporating_temperature": st.floats(-5, 8),
    "superheat": st.floats(0, 10),
}


def solved(coil=None, **changes):
    return solve_evaporator(coil or van_coil(), van_conditions(**changes))


def drawn(values):
    return {k: celsius(v) if k.endswith("temperature") else v for k, v in values.items()}


@pytest.mark.parametrize(("t", "pascal"), [(-5, 401.74), (5, 872.6), (25, 3169.7), (50, 12351.3)])
def test_saturation_pressure_is_that_of_the_handbook(t, pascal):
    # ASHRAE Handbook - Fundamentals 2017, chapter 1, table 3.
    assert saturation_pressure(celsius(t)) == pytest.approx(pascal, rel=5e-4)


@pytest.mark.parametrize(("t", "w"), [(5, 0.005425), (25, 0.020173)])
def test_saturated_air_is_that_of_the_handbook_but_for_the_enhancement_factor(t, w):
    # ASHRAE Handbook - Fundamentals 2017, chapter 1, table 2 (real gas).
    assert saturated_humidity(celsius(t), SEA) == pytest.approx(w, rel=6e-3)


@given(st.floats(0, 45), st.floats(0.05, 1.0), st.sampled_from([SEA, 84556.0]))
@settings(max_examples=40)
def test_fast_air_agrees_with_an_independent_library_and_with_the_real_gas(t, phi, p):
    psychrolib.SetUnitSystem(psychrolib.SI)
    w = humidity_at(celsius(t), phi, p)
    assert w == pytest.approx(psychrolib.GetHumRatioFromRelHum(t, phi, p), rel=1e-3)
    assert moist_enthalpy(celsius(t), w) == pytest.approx(psychrolib.GetMoistAirEnthalpy(t, w), rel=1e-3, abs=20)
    real = moist_air(T=celsius(t), p=p, relative_humidity=phi)
    assert w == pytest.approx(real.humidity_ratio, rel=8e-3)
    assert dew_point(w, p) == pytest.approx(real.dew_point, abs=0.15)
    assert air_temperature(moist_enthalpy(celsius(t), w), w) == pytest.approx(celsius(t))


@given(st.fixed_dictionaries(AIRS), st.floats(0, 0.8), st.sampled_from(["R-134a", "R-1234yf", "R-290"]))
@settings(max_examples=50)
def test_energy_and_water_close(values, blocked, refrigerant):
    high = 18e5 if refrigerant == "R-290" else 12.5e5
    result = solved(van_coil(blocked_share=blocked), refrigerant=refrigerant, valve_pressure=high, **drawn(values))
    assert result.energy_closure < 1e-6 and result.water_closure < 1e-6
    given_to = result.mass_flow * (result.outlet_enthalpy - result.valve_enthalpy)
    assert result.cooling_capacity == pytest.approx(given_to, rel=1e-9)
    fallen = result.dry_air_flow * (result.inlet.humidity_ratio - result.vent.humidity_ratio)
    assert result.condensate == pytest.approx(fallen, rel=1e-6, abs=1e-12)
    assert result.conditions.evaporating_temperature < result.vent.T < result.inlet.T
    assert 0.0 <= result.superheated_share < 1.0


def test_the_vapour_picks_up_its_superheat_in_its_own_share():
    result = solved(superheat=8.0)
    boiled = result.mass_flow * (result.vapour_enthalpy - result.valve_enthalpy)
    whole = solved(superheat=0.0).cooling_capacity
    assert boiled == pytest.approx((1.0 - result.superheated_share) * whole, rel=1e-9)
    assert solved(superheat=0.0).superheated_share == 0.0


def test_a_dry_coil_is_the_textbook_one_with_one_stream_at_one_temperature():
    result = solved(relative_humidity=0.05, superheat=0.0)
    spec, air = result.spec, result.inlet
    assert result.condensate == 0.0
    side = spec.air_conductance * (result.dry_air_flow / spec.reference_air_flow) ** spec.air_exponent
    overall = 1.0 / (1.0 / side + 1.0 / spec.boiling_conductance)
    heat_capacity = result.dry_air_flow * (1006.0 + 1860.0 * air.humidity_ratio)
    effectiveness = 1.0 - math.exp(-overall / heat_capacity)
    expected = heat_capacity * (air.T - result.conditions.evaporating_temperature) * effectiveness
    # Finite steps through the depth against the closed form.
    assert result.cooling_capacity == pytest.approx(expected, rel=2e-3)


def test_a_wet_coil_agrees_with_the_fictitious_enthalpy_of_the_handbook_method():
    conditions = van_conditions(superheat=0.0, relative_humidity=0.8)
    result = solve_evaporator(van_coil(), conditions, steps=200)
    spec, air, T0 = result.spec, result.inlet, conditions.evaporating_temperature
    side = spec.air_conductance * (result.dry_air_flow / spec.reference_air_flow) ** spec.air_exponent
    heat_capacity = 1006.0 + 1860.0 * air.humidity_ratio

    def saturated(T):
        return moist_enthalpy(T, saturated_humidity(T, SEA))

    # One slope of the saturation curve between refrigerant and mean surface, as Threlkeld takes it.
    slope = (saturated(result.mean_surface) - saturated(T0)) / (result.mean_surface - T0)
    overall = 1.0 / (heat_capacity / side + slope / spec.boiling_conductance)
    expected = result.dry_air_flow * (air.h - saturated(T0)) * (1.0 - math.exp(-overall / result.dry_air_flow))
    assert result.cooling_capacity == pytest.approx(expected, rel=0.03)


def test_halving_the_steps_changes_little():
    for phi in (0.05, 0.3, 0.5, 0.8):
        conditions = van_conditions(relative_humidity=phi)
        coarse, fine = (solve_evaporator(van_coil(), conditions, steps=n) for n in (8, 16))
        assert coarse.cooling_capacity == pytest.approx(fine.cooling_capacity, rel=5e-3)


def test_the_wet_front_starts_without_a_jump():
    heats = [solved(relative_humidity=0.15 + 0.002 * i).cooling_capacity for i in range(60)]
    steps = [b - a for a, b in itertools.pairwise(heats)]
    assert max(abs(s) for s in steps) < 0.006 * heats[0]


@given(st.fixed_dictionaries(AIRS), st.floats(0.02, 0.1))
@settings(max_examples=40)
def test_more_humid_air_drips_more_and_leaves_warmer(values, more):
    values = drawn(values)
    damp = dict(values, relative_humidity=values["relative_humidity"] + more)
    less, wetter = solved(**values), solved(**damp)
    assert wetter.condensate >= less.condensate
    assert wetter.vent.T >= less.vent.T - 1e-3


@given(st.fixed_dictionaries(AIRS), st.floats(0.5, 5))
@settings(max_examples=40)
def test_colder_boiling_gives_a_colder_vent(values, lower):
    values = drawn(values)
    colder = dict(values, evaporating_temperature=values["evaporating_temperature"] - lower)
    assert solved(**colder).vent.T < solved(**values).vent.T


@given(st.fixed_dictionaries(AIRS), st.floats(0.4, 0.9))
@settings(max_examples=40)
def test_a_slower_blower_gives_a_colder_vent_and_less_cooling(values, share):
    values = drawn(values)
    slower, faster = solved(**dict(values, air_flow=values["air_flow"] * share)), solved(**values)
    assert slower.cooling_capacity < faster.cooling_capacity
    assert slower.vent.T < faster.vent.T


@given(st.fixed_dictionaries(AIRS), st.floats(1, 8))
@settings(max_examples=30)
def test_more_superheat_dries_the_coil_and_warms_the_vent(values, more):
    values = dict(drawn(values), air_temperature=celsius(max(values["air_temperature"], 28.0)))
    starved = dict(values, superheat=values["superheat"] + more)
    a, b = solved(**values), solved(**starved)
    assert b.superheated_share > a.superheated_share and b.vent.T > a.vent.T
    assert b.cooling_capacity < a.cooling_capacity
    assert b.wet_side.T == pytest.approx(a.wet_side.T)


def test_dirt_takes_cooling_and_frost_is_told():
    clean, dirty = solved(), solved(van_coil(blocked_share=0.5))
    assert dirty.cooling_capacity < clean.cooling_capacity and dirty.air_flow < clean.air_flow
    iced = solved(evaporating_temperature=celsius(-8), air_flow=0.06)
    assert iced.frost and "freezes" in " ".join(iced.notes) and not clean.frost


BAD = {
    "percent": (dict(relative_humidity=50), "50 % is 0.5"),
    "still": (dict(air_flow=0.0), "blower must turn"),
    "cold air": (dict(air_temperature=celsius(6)), "not warmer than the vapour"),
    "celsius": (dict(air_temperature=30.0), "typed in °C"),
    "negative superheat": (dict(superheat=-2.0), "superheat"),
    "low valve pressure": (dict(valve_pressure=2e5), "high side and low side swapped"),
    "nan": (dict(evaporating_temperature=float("nan")), "finite"),
}


@pytest.mark.parametrize("name", BAD)
def test_bad_input_is_told(name):
    changes, words = BAD[name]
    with pytest.raises(OutOfRangeError, match=words):
        solved(**changes)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (dict(blocked_share=1.0), "closed altogether"),
        (dict(blocked_share=30), "30 % is 0.3"),
        (dict(air_conductance=-5.0), "air-side conductance"),
        (dict(boiling_conductance=0.0), "boiling conductance"),
    ],
)
def test_a_bad_coil_is_told(changes, words):
    with pytest.raises(OutOfRangeError, match=words):
        dataclasses.replace(van_coil(), **changes)


def test_hot_gas_at_the_valve_is_told():
    hot = Refrigerant("R-1234yf").dew_temperature(12.5e5) + 30
    with pytest.raises(OutOfRangeError, match="hardly anything to boil"):
        solved(liquid_temperature=hot)
