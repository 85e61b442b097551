"""The wet coil: air and coil against independent figures, balances, limits, switches, refinement, trends."""

import itertools
from dataclasses import replace
from operator import attrgetter

import ht
import psychrolib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from tests.components.evaporator_cases import AIRS, coil, day, drawn, solved
from tests.components.wet_coil import wet_coil
from thermo_kit.components.evaporator import EnteringAir, air_process, run_evaporator, solve_evaporator
from thermo_kit.components.evaporator import solve as face_module
from thermo_kit.errors import NoSolutionError
from thermo_kit.substances import Refrigerant, moist_air
from thermo_kit.substances.moist_air import (
    COLDEST_DEW,
    TRIPLE,
    air_temperature,
    dew_point,
    humidity_at,
    moist_enthalpy,
    saturated_humidity,
    saturated_humidity_and_slope,
    saturation_pressure,
)
from thermo_kit.substances.stream import Stream
from thermo_kit.units import celsius

SEA = 101325.0


@given(st.floats(-20, 50), st.floats(0.05, 1.0), st.sampled_from([SEA, 84556.0]))
def test_fast_air_agrees_with_an_independent_library_and_with_the_real_gas(t, phi, p):
    psychrolib.SetUnitSystem(psychrolib.SI)
    w = humidity_at(celsius(t), phi, p)
    assert w == pytest.approx(psychrolib.GetHumRatioFromRelHum(t, phi, p), rel=1e-3)
    assert moist_enthalpy(celsius(t), w) == pytest.approx(psychrolib.GetMoistAirEnthalpy(t, w), rel=1e-3, abs=20)
    real = moist_air(T=celsius(t), p=p, relative_humidity=phi)
    assert w == pytest.approx(real.humidity_ratio, rel=8e-3)
    assert dew_point(w, p) == pytest.approx(real.dew_point, abs=0.15)
    assert air_temperature(moist_enthalpy(celsius(t), w), w, p) == pytest.approx(celsius(t))


@given(st.floats(175, 370), st.sampled_from([SEA, 6e4]))
def test_the_slope_of_saturated_air_is_its_derivative(T, p):
    if abs(T - TRIPLE) < 0.01 or saturation_pressure(T) > 0.8 * p:
        return
    value, slope = saturated_humidity_and_slope(T, p)
    assert value == saturated_humidity(T, p)
    nearby = (saturated_humidity(T + 1e-3, p) - saturated_humidity(T - 1e-3, p)) / 2e-3
    assert slope == pytest.approx(nearby, rel=1e-5)


@given(st.floats(-8, -0.6), st.sampled_from([SEA, 7e4]))
def test_the_dew_point_is_where_this_air_is_saturated(power, p):
    w = 10.0**power
    dew = dew_point(w, p)
    assert dew == COLDEST_DEW or saturated_humidity(dew, p) == pytest.approx(w, rel=1e-8)


@given(st.fixed_dictionaries(AIRS), st.floats(0, 0.8), st.sampled_from(["R-134a", "R-1234yf", "R-290"]))
@settings(max_examples=50)
def test_refrigerant_air_and_water_balance(values, blocked, refrigerant):
    high = 18e5 if refrigerant == "R-290" else 12.5e5
    result = solved(coil(blocked_share=blocked), refrigerant=refrigerant, valve_pressure=high, **drawn(values))
    assert result.energy_closure < 1e-6 and result.water_closure < 1e-6
    given_to = result.mass_flow * (result.outlet.enthalpy - result.feed.enthalpy)
    assert result.cooling_capacity == pytest.approx(given_to, rel=1e-9)
    from_air = result.dry_air_flow * (result.inlet.h - result.vent.h) - result.drained_heat
    assert from_air == pytest.approx(given_to, rel=1e-6)
    fallen = result.dry_air_flow * (result.inlet.humidity_ratio - result.vent.humidity_ratio)
    assert result.condensate == pytest.approx(fallen, rel=1e-6, abs=1e-14)
    assert result.sensible + result.latent == pytest.approx(result.cooling_capacity)
    assert result.conditions.evaporating_temperature < result.vent.T < result.inlet.T
    assert 0.0 <= result.superheated_share < 1.0


@given(st.fixed_dictionaries({k: v for k, v in AIRS.items() if k != "superheat"}), st.floats(0, 0.8))
@settings(max_examples=30)
def test_the_film_to_the_refrigerant_passes_the_same_heat(values, blocked):
    result = solved(coil(blocked_share=blocked), superheat=0.0, **drawn(values))
    film = result.spec.boiling_conductance * (1.0 - blocked)
    passed = film * (result.mean_surface - result.conditions.evaporating_temperature)
    assert passed == pytest.approx(result.cooling_capacity, rel=1e-9)


@pytest.mark.parametrize(("warmer", "caught"), [(0.01, 1.0), (0.0, 0.999)])
def test_closures_see_a_surface_that_is_a_hundredth_of_a_kelvin_wrong_and_water_that_is_lost(
    warmer, caught, monkeypatch
):
    right = face_module.Face._wet_surface

    def wrong(self, *given):
        surface, fallen = right(self, *given)
        return surface + warmer, caught * fallen

    monkeypatch.setattr(face_module.Face, "_wet_surface", wrong)
    with pytest.raises(NoSolutionError, match="energy of the evaporator balance is open.* water of the evaporator"):
        solved()


def test_the_vapour_picks_up_its_superheat_in_its_own_share():
    result = solved(superheat=8.0)
    boiled = result.mass_flow * (result.vapour_enthalpy - result.feed.enthalpy)
    whole = solved(superheat=0.0).cooling_capacity
    assert boiled == pytest.approx((1.0 - result.superheated_share) * whole, rel=1e-9)
    assert solved(superheat=0.0).superheated_share == 0.0


@pytest.mark.parametrize(
    ("superheat", "phi", "near"), [(3.0, 0.5, 5e-5), (10.0, 0.9, 2e-4), (24.0, 0.3, 2e-3), (26.2, 0.9, 5e-3)]
)
def test_three_points_follow_the_vapour_close_to_the_air(superheat, phi, near):
    result = solved(superheat=superheat, relative_humidity=phi)
    spec, conditions = result.spec, result.conditions
    side = spec.air_conductance * (result.dry_air_flow / spec.reference_air_flow) ** spec.air_exponent
    face = face_module.Face(result.inlet, SEA, result.dry_air_flow, side, 16)
    conductance = spec.vapour_share * spec.boiling_conductance
    rise = (result.outlet.enthalpy - result.vapour_enthalpy) / superheat
    T0 = conditions.evaporating_temperature
    need, _ = quad(lambda T: rise / face.strip(T, conductance).heat, T0, T0 + superheat, epsrel=1e-7)
    assert result.superheated_share == pytest.approx(result.mass_flow * need, rel=near)


@given(st.floats(15, 60), st.floats(-10, 10), st.floats(0.03, 0.3), st.floats(0, 0.8))
@settings(max_examples=30)
def test_a_dry_coil_is_the_textbook_one_with_one_stream_at_one_temperature(t, boils, air_flow, blocked):
    own = coil(blocked_share=blocked)
    changes = {"air_temperature": celsius(t), "evaporating_temperature": celsius(boils), "air_flow": air_flow}
    result = solve_evaporator(own, day(relative_humidity=0.0, superheat=0.0, **changes), steps=400)
    spec, share = result.spec, 1.0 - blocked
    side = spec.air_conductance * share * (result.dry_air_flow / share / spec.reference_air_flow) ** spec.air_exponent
    overall = 1.0 / (1.0 / side + 1.0 / (spec.boiling_conductance * share))
    heat_capacity = result.dry_air_flow * 1006.0
    effectiveness = ht.hx.effectiveness_from_NTU(overall / heat_capacity, 0.0, subtype="counterflow")
    assert result.condensate == 0.0 and "no water condenses" in " ".join(result.notes)
    assert result.cooling_capacity == pytest.approx(heat_capacity * (t - boils) * effectiveness, rel=1e-4)
    coarse = solve_evaporator(own, result.conditions)
    assert coarse.cooling_capacity == pytest.approx(result.cooling_capacity, rel=3e-3)


@pytest.mark.parametrize(
    ("t", "phi", "air_flow", "boils"), [(30, 0.5, 0.11, 3), (30, 0.28, 0.11, 3), (25, 0.9, 0.05, 2)]
)
def test_a_wet_coil_is_the_continuous_one_with_other_air(t, phi, air_flow, boils):
    changes = {"air_temperature": celsius(t), "relative_humidity": phi, "air_flow": air_flow}
    conditions = day(superheat=0.0, evaporating_temperature=celsius(boils), **changes)
    result = solve_evaporator(coil(), conditions)
    T, w, heat, condensate = wet_coil(coil(), conditions)
    assert result.vent.T == pytest.approx(T, abs=0.05)
    assert result.vent.humidity_ratio == pytest.approx(w, rel=8e-3)
    assert result.cooling_capacity == pytest.approx(heat, rel=4e-3)
    assert result.condensate == pytest.approx(condensate, rel=0.01)


@given(st.fixed_dictionaries(AIRS), st.floats(0, 0.8))
@settings(max_examples=40)
def test_halving_the_steps_changes_the_heat_by_less_than_half_a_percent(values, blocked):
    own, conditions = coil(blocked_share=blocked), day(**drawn(values))
    coarse, used, fine = (solve_evaporator(own, conditions, steps=n) for n in (8, 16, 32))
    assert coarse.cooling_capacity == pytest.approx(used.cooling_capacity, rel=5e-3)
    assert used.cooling_capacity == pytest.approx(fine.cooling_capacity, rel=1e-3)
    assert used.vent.T == pytest.approx(fine.vent.T, abs=0.03)


def edge(name, low, high, has_begun):
    """The value of one condition at which something begins, to the last digits."""
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if has_begun(solved(superheat=0.0, **{name: middle})) else (middle, high)
    return low, high


def test_water_begins_to_fall_without_a_jump():
    before, after = edge("relative_humidity", 0.05, 0.6, lambda r: r.condensate > 0)
    dry, wet = (solved(superheat=0.0, relative_humidity=phi) for phi in (before, after + 1e-9))
    assert dry.condensate == 0.0 < wet.condensate < 1e-9
    assert wet.cooling_capacity == pytest.approx(dry.cooling_capacity, rel=1e-7)
    heats = [solved(relative_humidity=0.15 + 0.002 * i).cooling_capacity for i in range(60)]
    steps = [b - a for a, b in itertools.pairwise(heats)]
    assert max(abs(s) for s in steps) < 0.006 * heats[0]


def test_frost_begins_without_a_jump_and_a_dry_cold_surface_gets_none():
    frozen, thawed = edge("evaporating_temperature", celsius(-10), celsius(5), lambda result: not result.frost)
    a, b = (solved(superheat=0.0, evaporating_temperature=T) for T in (frozen, thawed))
    assert a.frost and not b.frost and "freezes" in " ".join(a.notes)
    assert a.coldest_surface == pytest.approx(273.15, abs=1e-6)
    assert not solved(evaporating_temperature=celsius(-15), relative_humidity=0.005).frost
    assert a.cooling_capacity == pytest.approx(b.cooling_capacity, rel=1e-7)


def test_superheat_begins_without_a_jump():
    none, little, before, after = (solved(superheat=value) for value in (0.0, 1e-6, 0.0099, 0.0101))
    assert little.cooling_capacity == pytest.approx(none.cooling_capacity, rel=1e-6)
    assert before.vent.T == pytest.approx(after.vent.T, abs=1e-3)


@given(st.floats(18, 45), st.floats(0.85, 1.0), st.floats(-5, 8), st.floats(0, 15))
@settings(max_examples=40)
def test_fog_is_in_balance_with_its_air(t, phi, boils, superheat):
    values = drawn({"air_temperature": t, "evaporating_temperature": boils})
    result = solved(relative_humidity=phi, superheat=min(superheat, t - boils - 1.0), **values)
    foggy = [air for air in (result.vent, result.wet_side) if air.droplets > 0.0]
    assert ("fog" in " ".join(result.notes)) == (result.vent.droplets > 0.0)
    for air in foggy:
        vapour = air.humidity_ratio - air.droplets
        assert vapour == pytest.approx(saturated_humidity(air.T, SEA), rel=1e-9)
        assert air.relative_humidity == 1.0 and air.dew_point == air.T
        held = moist_enthalpy(air.T, vapour) + air.droplets * 4186.0 * (air.T - 273.15)
        assert held == pytest.approx(air.h, abs=1e-3)
    assert result.air_path[-1] == pytest.approx(result.wet_side.T, abs=1e-6)
    assert all(x <= T + 1e-9 for x, T in zip(air_process(result).dew_points, result.air_path, strict=True))


AIR = {name: AIRS[name] for name in ("air_temperature", "relative_humidity", "air_flow")}


@given(st.fixed_dictionaries(AIRS), st.sampled_from(["R-134a", "R-1234yf", "R-290"]))
@settings(max_examples=40)
def test_a_coil_that_gets_what_the_held_one_takes_does_the_same(values, refrigerant):
    high = 18e5 if refrigerant == "R-290" else 12.5e5
    held = solved(refrigerant=refrigerant, valve_pressure=high, **drawn(values))
    fed = run_evaporator(coil(), held.conditions, held.feed)
    assert fed.superheat is None or fed.superheat == pytest.approx(held.superheat, abs=1e-6)
    assert fed.outlet.enthalpy == pytest.approx(held.outlet.enthalpy, rel=1e-9)
    for name in ("cooling_capacity", "condensate", "superheated_share"):
        assert getattr(fed, name) == pytest.approx(getattr(held, name), rel=1e-7, abs=1e-9)
    assert fed.vent.T == pytest.approx(held.vent.T, abs=1e-6)


@given(st.fixed_dictionaries(AIR), st.floats(-5, 10), st.floats(-4.5, -0.5), st.floats(0.0, 1.05))
@settings(max_examples=80)
def test_any_stream_leaves_with_what_the_air_has_given(values, boils, power, quality):
    fluid = Refrigerant("R-1234yf")
    T0 = celsius(boils)
    liquid, vapour = fluid.at(T=T0, x=0.0), fluid.at(T=T0, x=1.0)
    feed = Stream(refrigerant=fluid.name, pressure=vapour.p, enthalpy=liquid.h + quality * (vapour.h - liquid.h),
                  mass_flow=10.0**power)  # fmt: skip
    result = run_evaporator(coil(), EnteringAir(**drawn(values)), feed)
    assert result.energy_closure < 1e-6 and result.water_closure < 1e-6
    gained = feed.mass_flow * (result.outlet.enthalpy - feed.enthalpy)
    lost = result.dry_air_flow * (result.inlet.h - result.vent.h) - result.drained_heat
    assert gained == pytest.approx(lost, rel=1e-6) and gained == pytest.approx(result.cooling_capacity)
    assert result.outlet.pressure == feed.pressure and result.outlet.mass_flow == feed.mass_flow
    state = result.outlet.state
    if result.superheat is None:
        assert state.h < vapour.h * (1.0 + 1e-9)
    else:
        assert state.T - T0 == pytest.approx(result.superheat, abs=0.02) and state.T <= result.inlet.T + 1e-6


def test_more_flow_never_leaves_drier_nor_takes_less_heat_and_nothing_jumps():
    flows = [0.002 * 1.08**k for k in range(70)]
    feed = solved().feed
    results = [run_evaporator(coil(), day(), replace(feed, mass_flow=flow)) for flow in flows]
    for less, more in itertools.pairwise(results):
        assert more.outlet.enthalpy <= less.outlet.enthalpy + 1e-6
        assert more.cooling_capacity >= less.cooling_capacity * (1.0 - 1e-9)
        assert more.cooling_capacity <= 1.081 * less.cooling_capacity
    assert results[0].superheat > 26.0 and results[-1].superheat is None


ROUNDING = 1e-9


def more_superheat(values, share):
    warmest = values["air_temperature"] - values["evaporating_temperature"] - 0.6
    return {"superheat": min(values["superheat"] + 0.1 + 8.0 * share, warmest)}


def better_coil(name):
    return lambda _, share: {"own": coil(**{name: getattr(coil(), name) * (1.01 + 2.0 * share)})}


CHANGES = {
    "more air": lambda values, share: {"air_flow": values["air_flow"] * (1.01 + share)},
    "colder boiling": lambda values, share: {
        "evaporating_temperature": values["evaporating_temperature"] - 0.1 - 8.0 * share
    },
    "more humid air": lambda values, share: {"relative_humidity": values["relative_humidity"] + 0.005 + 0.095 * share},
    "more superheat": more_superheat,
    "more fins": better_coil("air_conductance"),
    "more boiling surface": better_coil("boiling_conductance"),
    "more dirt": lambda _, share: {"own": coil(blocked_share=0.01 + 0.79 * share)},
}
NEVER_FALLS = {
    "more air": ("cooling_capacity", "vent.T"),
    "colder boiling": ("condensate", "cooling_capacity"),
    "more humid air": ("condensate", "vent.T", "coldest_surface"),
    "more superheat": ("vent.T", "superheated_share", "wet_side.T"),
    "more fins": ("cooling_capacity",),
    "more boiling surface": ("cooling_capacity",),
}
FALLS = {
    "colder boiling": ("vent.T", "coldest_surface"),
    "more superheat": ("cooling_capacity", "mass_flow"),
    "more dirt": ("cooling_capacity", "air_flow"),
}


@pytest.mark.parametrize("change", CHANGES)
@given(st.fixed_dictionaries(AIRS), st.floats(0.0, 1.0))
def test_what_never_falls_with_a_change_and_what_does(change, values, share):
    values = drawn(values)
    before, after = solved(**values), solved(**values | CHANGES[change](values, share))
    for name in NEVER_FALLS.get(change, ()):
        assert attrgetter(name)(after) >= attrgetter(name)(before) * (1.0 - ROUNDING), name
    for name in FALLS.get(change, ()):
        assert attrgetter(name)(after) < attrgetter(name)(before), name


def test_carbon_dioxide_boils_too():
    cold = dict(refrigerant="R-744", valve_pressure=9e6, liquid_temperature=celsius(35))
    assert solved(**cold).energy_closure < 1e-6
