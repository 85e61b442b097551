"""Pull-down: the exponential limit, balances of energy and water, settling, trends, refinement, bad input."""

import dataclasses
import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import simpson

from tests.components.evaporator_cases import coil, day
from thermo_kit.components.evaporator import solve_evaporator
from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.substances.moist_air import humidity_at, moist_enthalpy, relative_humidity_at
from thermo_kit.systems import CabinSpec, pull_down
from thermo_kit.systems import cabin as cabin_module
from thermo_kit.units import celsius

SEA = 101325.0
OUTSIDE = day(air_temperature=celsius(32), relative_humidity=0.4)
HOT = {"start": celsius(55), "wish": celsius(24)}
SEALED = {"wall_conductance": 0.0, "people": 0, "sun": 0.0, "fresh_air_share": 0.0}
CABINS = {
    "fresh_air_share": st.floats(0, 1),
    "people": st.integers(0, 6),
    "sun": st.floats(0, 1500),
    "wall_conductance": st.floats(0, 100),
    "interior_heat": st.floats(1e4, 5e5),
    "volume": st.floats(2, 40),
}
AIRS = {
    "relative_humidity": st.floats(0.05, 0.95),
    "air_flow": st.floats(0.03, 0.2),
    "evaporating_temperature": st.floats(-5, 8),
}


def air_mass(cabin, outside=OUTSIDE):
    return cabin.volume * SEA / (287.042 * outside.air_temperature)


def held(result, i):
    """Humidity ratio and enthalpy of the cabin air at one of the kept moments."""
    w = humidity_at(result.air[i], result.humidity[i], SEA)
    return w, moist_enthalpy(result.air[i], w)


def test_without_sun_and_cooling_the_air_falls_along_the_exponential():
    cabin = CabinSpec(interior_conductance=0.0, sun=0.0, people=0)
    result = pull_down(cabin, OUTSIDE, None, **HOT)
    heat = air_mass(cabin) * (1006.0 + 1860.0 * humidity_at(OUTSIDE.air_temperature, 0.4, SEA))
    for t, T in zip(result.time, result.air, strict=True):
        assert T == pytest.approx(celsius(32) + 23.0 * math.exp(-cabin.wall_conductance * t / heat), abs=0.005)


def test_with_sun_alone_it_settles_where_the_walls_lose_as_much():
    cabin = CabinSpec(interior_heat=2e4, people=0)
    result = pull_down(cabin, OUTSIDE, None, duration=14400.0, **HOT)
    assert result.air[-1] == pytest.approx(celsius(32) + cabin.sun / cabin.wall_conductance, abs=0.2)


def test_people_moisten_a_cabin_without_cooling_by_what_they_breathe():
    cabin = CabinSpec(people=3)
    result = pull_down(cabin, OUTSIDE, None, duration=600.0, **HOT)
    gained = air_mass(cabin) * (held(result, -1)[0] - held(result, 0)[0])
    assert gained == pytest.approx(3 * 55.0 / 2.43e6 * 600.0, rel=1e-6)
    assert max(result.energy_closure, result.water_closure) < 1e-6


def test_it_settles_where_coil_and_gains_agree():
    result = pull_down(CabinSpec(interior_heat=2e4), OUTSIDE, coil(), duration=14400.0, **HOT)
    cabin, T = CabinSpec(), result.air[-1]
    fresh_w, (w, h) = humidity_at(OUTSIDE.air_temperature, 0.4, SEA), held(result, -1)
    mixed_w = 0.2 * fresh_w + 0.8 * w
    mixed_T = 0.2 * OUTSIDE.air_temperature + 0.8 * T
    front = dataclasses.replace(
        OUTSIDE, air_temperature=mixed_T, relative_humidity=relative_humidity_at(mixed_T, mixed_w, SEA)
    )
    settled = solve_evaporator(coil(), front)
    exchanged = 0.2 * settled.dry_air_flow * (moist_enthalpy(OUTSIDE.air_temperature, fresh_w) - h)
    breath = 55.0 / 2.43e6
    gains = cabin.sun + cabin.wall_conductance * (OUTSIDE.air_temperature - T) + 75.0 + breath * 2.54e6 + exchanged
    assert settled.cooling_capacity + settled.drained_heat == pytest.approx(gains, rel=0.01)
    water = 0.2 * settled.dry_air_flow * (fresh_w - w) + breath
    assert settled.condensate == pytest.approx(water, rel=0.02)


@given(st.fixed_dictionaries(CABINS), st.fixed_dictionaries(AIRS), st.floats(25, 42), st.floats(0, 30), st.booleans())
@settings(max_examples=20, deadline=None)
def test_energy_and_water_close(cabin, air, outside, hotter, exact):
    air = dict(air, evaporating_temperature=celsius(air["evaporating_temperature"]))
    conditions = day(air_temperature=celsius(outside), superheat=3.0, **air)
    asked = {"start": celsius(outside + hotter), "wish": celsius(24), "duration": 900.0}
    result = pull_down(CabinSpec(**cabin), conditions, coil(), exact=exact, points=11, **asked)
    assert max(result.energy_closure, result.water_closure) < 1e-6
    assert all(b >= a - 1e-6 for a, b in itertools.pairwise(result.condensate))


@pytest.mark.parametrize("exact", [False, True])
def test_water_that_leaves_the_sealed_cabin_air_is_the_water_that_drips_off(exact):
    # A cabin that exchanges nothing: its water and heat are told from what is shown alone.
    cabin = CabinSpec(**SEALED, interior_conductance=0.0)
    damp = day(air_temperature=celsius(35), relative_humidity=0.7)
    result = pull_down(cabin, damp, coil(), start=celsius(36), wish=celsius(24), duration=60.0, points=601, exact=exact)
    mass = air_mass(cabin, damp)
    (w0, h0), (w1, h1) = held(result, 0), held(result, -1)
    assert result.condensate[-1] > 0.02
    assert mass * (w0 - w1) == pytest.approx(result.condensate[-1], rel=1e-6)
    # The dripped water carries little: 5 to 20 °C warm it holds some 1 % of the heat.
    taken = simpson(result.cooling, x=result.time)
    drained = mass * (h0 - h1) - taken
    assert 0.0 < drained < 4186.0 * 25.0 * result.condensate[-1]


@pytest.mark.parametrize(
    ("way", "field", "factor", "open_balance"),
    [("read", "condensate", 0.99, "water of the cabin"), ("solved", "cooling", 1.001, "energy of the cabin")],
)
def test_closures_see_water_that_is_lost_and_heat_that_is_not_taken(monkeypatch, way, field, factor, open_balance):
    right = getattr(cabin_module.CoilTable, way)

    def wrong(self, *given):
        behind = right(self, *given)
        return dataclasses.replace(behind, **{field: factor * getattr(behind, field)})

    monkeypatch.setattr(cabin_module.CoilTable, way, wrong)
    with pytest.raises(NoSolutionError, match=open_balance):
        pull_down(CabinSpec(), OUTSIDE, coil(), exact=way == "solved", **HOT)


def test_fog_of_two_airs_that_mix_keeps_heat_and_water():
    damp = day(air_temperature=celsius(45), relative_humidity=0.98, air_flow=0.03)
    cabin = CabinSpec(fresh_air_share=0.3, people=0, sun=0.0)
    model = cabin_module._Model(cabin, damp, coil(), True)
    # Cold saturated cabin air: mixed with the hot damp one it cannot hold its water.
    w = humidity_at(celsius(10), 1.0, SEA)
    h = moist_enthalpy(celsius(10), w)
    behind = model.behind(h, w)
    mixed_h, mixed_w = 0.3 * model.outside_h + 0.7 * h, 0.3 * model.outside_w + 0.7 * w
    assert mixed_w > humidity_at(0.3 * celsius(45) + 0.7 * celsius(10), 1.0, SEA)
    assert behind.dry_air_flow * (mixed_w - behind.humidity_ratio) == pytest.approx(behind.condensate, rel=1e-9)
    assert behind.dry_air_flow * (mixed_h - behind.h) == pytest.approx(behind.cooling + behind.drained, rel=1e-9)


@pytest.mark.parametrize("exact", [False, True])
def test_a_cabin_without_gains_is_held_just_above_the_vapour_that_leaves_the_coil(exact):
    cabin = CabinSpec(**SEALED, interior_heat=1e4)
    result = pull_down(cabin, OUTSIDE, coil(), duration=3600.0, exact=exact, **HOT)
    leaves = OUTSIDE.evaporating_temperature + OUTSIDE.superheat
    assert leaves + 0.45 < result.air[-1] < leaves + 1.5
    assert result.cooling[-1] < 0.02 * result.cooling[0]
    assert "as cold as the coil can make it" in " ".join(result.notes)
    assert max(result.energy_closure, result.water_closure) < 1e-6


def test_the_cabin_becomes_comfortable_and_only_ever_cools():
    result = pull_down(CabinSpec(), OUTSIDE, coil(), **HOT)
    assert 0 < result.comfort_time < 1800 and result.condensate[-1] > 0
    assert all(b <= a + 1e-6 for a, b in itertools.pairwise(result.air))


@pytest.mark.parametrize(
    "worse",
    [
        {"sun": 900.0}, {"fresh_air_share": 0.4}, {"people": 3}, {"wall_conductance": 60.0}, {"interior_heat": 2e5},
    ],
    ids=lambda worse: next(iter(worse)),
)  # fmt: skip
def test_what_delays_comfort(worse):
    base = pull_down(CabinSpec(), OUTSIDE, coil(), duration=7200.0, **HOT).comfort_time
    later = pull_down(CabinSpec(**worse), OUTSIDE, coil(), duration=7200.0, **HOT).comfort_time
    assert later is None or later > base


WISH = dict(HOT, wish=celsius(28))


def test_colder_boiling_brings_comfort_sooner_and_more_water():
    warm, cold = (
        pull_down(CabinSpec(), dataclasses.replace(OUTSIDE, evaporating_temperature=celsius(t)), coil(), **WISH)
        for t in (5, 0)
    )
    assert cold.comfort_time < warm.comfort_time and cold.condensate[-1] > warm.condensate[-1]


def test_finer_integration_and_a_finer_coil_change_little(monkeypatch):
    asked = dict(duration=1800.0, points=61, **HOT)
    fast = pull_down(CabinSpec(), OUTSIDE, coil(), **asked)
    monkeypatch.setattr(cabin_module, "_RELATIVE", 1e-9)
    monkeypatch.setattr(cabin_module, "STEPS", 64)
    fine = pull_down(CabinSpec(), OUTSIDE, coil(), exact=True, **asked)
    for name, near in (("air", 0.02), ("interior", 0.02), ("vent", 0.05)):
        assert getattr(fast, name) == pytest.approx(getattr(fine, name), abs=near)
    assert fast.condensate[-1] == pytest.approx(fine.condensate[-1], rel=5e-3)
    assert fast.comfort_time == pytest.approx(fine.comfort_time, rel=2e-3)


def test_kept_moments_do_not_depend_on_how_many_are_kept():
    few, many = (pull_down(CabinSpec(), OUTSIDE, coil(), points=n, **HOT) for n in (11, 101))
    assert few.air == pytest.approx(many.air[::10], abs=2e-3)


def test_notes_say_that_the_evaporating_temperature_is_held():
    result = pull_down(CabinSpec(), OUTSIDE, coil(), **HOT)
    assert "held from the first second" in " ".join(result.notes)
    assert not pull_down(CabinSpec(), OUTSIDE, None, **HOT).notes


def test_a_cabin_colder_than_the_coil_is_told():
    cool = day(air_temperature=celsius(10), evaporating_temperature=celsius(8))
    with pytest.raises(OutOfRangeError, match="cabin at the start 12.0 °C is not warmer than the vapour .* 13.0 °C"):
        pull_down(CabinSpec(), cool, coil(), start=celsius(12), wish=celsius(12))
