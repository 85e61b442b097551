"""Refrigerants: states both ways, limits, errors, threads."""

import math
import pickle
from concurrent.futures import ThreadPoolExecutor

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from thermo_kit.errors import OutOfRangeError, ThermoKitError
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant, canonical_name
from thermo_kit.substances.refrigerant import _PAIRS, saturation_table

names = st.sampled_from(REFRIGERANT_NAMES)
shares = st.floats(0.0, 1.0)


def between(share, low, high):
    return low + share * (high - low)


def some_state(name, pressure_share, temperature_share):
    """A single-phase state somewhere in the range, away from the saturation line and the critical point."""
    fluid = Refrigerant(name)
    p = math.exp(between(pressure_share, math.log(fluid.lowest_pressure * 1.5), math.log(15e6)))
    T = between(temperature_share, fluid.lowest_temperature + 5, fluid.highest_temperature - 1)
    assume(abs(T / fluid.critical_temperature - 1) > 0.05 or abs(p / fluid.critical_pressure - 1) > 0.2)
    if p < fluid.critical_pressure:
        assume(abs(T - fluid.dew_temperature(p)) > 0.5)
    return fluid, fluid.at(p=p, T=T)


def finite(state):
    return all(math.isfinite(value) for value in (state.p, state.T, state.h, state.s, state.rho))


@given(name=names, pressure_share=shares, temperature_share=shares)
def test_a_state_is_found_again_from_other_pairs(name, pressure_share, temperature_share):
    fluid, state = some_state(name, pressure_share, temperature_share)
    assert finite(state)
    assert state.x is None
    for given_pair in ({"p": state.p, "h": state.h}, {"p": state.p, "s": state.s}, {"T": state.T, "rho": state.rho}):
        again = fluid.at(**given_pair)
        assert again.T == pytest.approx(state.T, abs=2e-3)
        assert again.p == pytest.approx(state.p, rel=1e-3 if "rho" in given_pair else 1e-7)
        assert again.h == pytest.approx(state.h, abs=5.0)
        assert again.phase == state.phase


@given(name=names, temperature_share=shares, quality=st.floats(0.001, 0.999))
def test_a_wet_state_is_found_again_and_lies_on_the_lever(name, temperature_share, quality):
    fluid = Refrigerant(name)
    T = between(temperature_share, fluid.lowest_temperature, fluid.critical_temperature - 2)
    state = fluid.at(T=T, x=quality)
    liquid, vapour = fluid.at(T=T, x=0.0), fluid.at(T=T, x=1.0)
    assert state.phase == "two-phase"
    assert state.h == pytest.approx(liquid.h + quality * (vapour.h - liquid.h), rel=1e-9)
    assert 1 / state.rho == pytest.approx((1 - quality) / liquid.rho + quality / vapour.rho, rel=1e-9)
    again = fluid.at(p=state.p, h=state.h)
    assert again.x == pytest.approx(quality, abs=1e-6)
    assert again.T == pytest.approx(T, abs=1e-4)


@given(name=names, temperature_share=shares)
def test_saturation_goes_both_ways_and_has_no_glide(name, temperature_share):
    fluid = Refrigerant(name)
    T = between(temperature_share, fluid.lowest_temperature, fluid.critical_temperature - 0.1)
    p = fluid.dew_pressure(T)
    assert fluid.bubble_pressure(T) == pytest.approx(p, rel=1e-9)
    assert fluid.dew_temperature(p) == pytest.approx(T, abs=1e-6)
    assert fluid.bubble_temperature(p) == pytest.approx(T, abs=1e-6)


@given(name=names, temperature_share=shares)
def test_saturation_properties_are_finite_and_ordered(name, temperature_share):
    fluid = Refrigerant(name)
    T = between(temperature_share, fluid.lowest_temperature + 1, fluid.critical_temperature - 3)
    both = fluid.saturation(T)
    assert all(math.isfinite(getattr(both, field)) and getattr(both, field) for field in both.__slots__)
    assert both.liquid_density > both.vapour_density > 0
    assert both.vapour_enthalpy > both.liquid_enthalpy
    assert both.liquid_viscosity > both.vapour_viscosity > 0
    assert both.surface_tension > 0


def test_phases_have_the_trade_s_names():
    carbon_dioxide = Refrigerant("R-744")
    assert carbon_dioxide.at(p=10e6, T=320.0).phase == "supercritical"
    assert carbon_dioxide.at(p=10e6, T=290.0).phase == "liquid"
    assert carbon_dioxide.at(p=5e6, T=320.0).phase == "vapour"
    assert Refrigerant("R-134a").at(p=1e6, T=300.0).phase == "liquid"


def test_on_the_saturation_line_pressure_and_temperature_do_not_fix_a_state():
    fluid = Refrigerant("R-134a")
    with pytest.raises(OutOfRangeError, match="on the saturation line .* give the quality x instead"):
        fluid.at(p=fluid.dew_pressure(300.0), T=300.0)


any_number = st.floats(allow_nan=True, allow_infinity=True) | st.floats(-10, 600) | st.floats(1e3, 1e7)
pairs = st.sampled_from([(one, other) for one, others in _PAIRS.items() for other in others])

usual = {
    "p": st.floats(1e4, 5e6), "T": st.floats(210, 400), "h": st.floats(1e5, 6e5), "s": st.floats(500, 2500),
    "rho": st.floats(1, 1200), "x": shares,
}  # fmt: skip
numbers = pairs.flatmap(lambda pair: st.fixed_dictionaries({one: usual[one] | any_number for one in pair}))


@given(name=names, pair=numbers)
def test_any_numbers_give_a_finite_state_or_a_plain_error(name, pair):
    try:
        state = Refrigerant(name).at(**pair)
    except ThermoKitError as reason:
        text = str(reason)
        assert "HEOS" not in text and "PropsSI" not in text and "CoolProp" not in text
    else:
        assert finite(state)
        assert state.p > 0 and state.rho > 0


def test_names_are_understood():
    assert canonical_name("r134a") == canonical_name("R 134A") == "R-134a"
    assert canonical_name("CO2") == "R-744"
    assert canonical_name("propane") == "R-290"
    assert Refrigerant("R1234YF") is Refrigerant("R-1234yf")


def test_a_refrigerant_survives_a_trip_to_another_process():
    assert pickle.loads(pickle.dumps(Refrigerant("R-290"))) is Refrigerant("R-290")


def _many_states(name):
    fluid = Refrigerant(name)
    return [
        fluid.at(p=p, h=h).T
        for p in (2e5, 5e5, 1e6)
        for h in (2.2e5, 2.5e5, 3.0e5, 3.5e5, 4.2e5, 4.5e5)
    ]  # fmt: skip


def test_threads_at_work_together_get_the_same_numbers_as_one_alone():
    jobs = [name for name in ("R-134a", "R-1234yf") for _ in range(20)]
    alone = [_many_states(name) for name in jobs]
    with ThreadPoolExecutor(max_workers=4) as pool:
        together = list(pool.map(_many_states, jobs))
    assert together == alone


def test_the_zero_of_enthalpy_is_the_same_for_all():
    for name in REFRIGERANT_NAMES:
        state = Refrigerant(name).at(T=273.15, x=0.0)
        assert state.h == pytest.approx(200e3, abs=50)
        assert state.s == pytest.approx(1000, abs=0.5)


@pytest.mark.parametrize("name", REFRIGERANT_NAMES)
def test_the_table_of_saturation_reads_what_it_was_made_from_and_ends_where_it_ends(name):
    table, fluid = saturation_table(name), Refrigerant(name)
    p = fluid.dew_pressure(fluid.critical_temperature - 20.3)
    assert table.at(p).vapour_density == pytest.approx(fluid.at(p=p, x=1.0).rho, rel=1e-3)
    for beyond in (-1e5, 1e3, fluid.critical_pressure * 1.001):
        with pytest.raises(OutOfRangeError, match="pressure of the refrigerant .* is not between"):
            table.at(beyond)
