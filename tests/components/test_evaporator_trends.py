"""The wet coil: what more air, colder boiling, more humid air and more superheat never do."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.components.evaporator_cases import AIRS, coil, drawn, solved
from thermo_kit.units import celsius

ROUNDING = 1e-9
MANY = settings(max_examples=60)


def never_less(later, earlier):
    return later >= earlier * (1.0 - ROUNDING)


@given(st.fixed_dictionaries(AIRS), st.floats(1.01, 2.0))
@MANY
def test_more_air_never_gives_less_heat_nor_a_colder_vent(values, more):
    values = drawn(values)
    less, faster = solved(**values), solved(**dict(values, air_flow=values["air_flow"] * more))
    assert never_less(faster.cooling_capacity, less.cooling_capacity)
    assert never_less(faster.vent.T, less.vent.T)


@given(st.fixed_dictionaries(AIRS), st.floats(0.1, 8))
@MANY
def test_colder_boiling_never_drips_less_nor_leaves_the_vent_warmer(values, lower):
    values = drawn(values)
    base = solved(**values)
    colder = solved(**dict(values, evaporating_temperature=values["evaporating_temperature"] - lower))
    assert never_less(colder.condensate, base.condensate)
    assert never_less(colder.cooling_capacity, base.cooling_capacity)
    assert colder.vent.T < base.vent.T and colder.coldest_surface < base.coldest_surface


@given(st.fixed_dictionaries(AIRS), st.floats(0.005, 0.1))
@MANY
def test_more_humid_air_never_drips_less_nor_leaves_the_vent_colder(values, more):
    values = drawn(values)
    base = solved(**values)
    damp = solved(**dict(values, relative_humidity=values["relative_humidity"] + more))
    assert never_less(damp.condensate, base.condensate)
    assert never_less(damp.vent.T, base.vent.T)
    assert never_less(damp.coldest_surface, base.coldest_surface)


@given(st.fixed_dictionaries(AIRS), st.floats(0.1, 8))
@MANY
def test_more_superheat_never_gives_more_heat_nor_a_colder_vent(values, more):
    values = dict(drawn(values), air_temperature=celsius(max(values["air_temperature"], 28.0)))
    base, starved = solved(**values), solved(**dict(values, superheat=values["superheat"] + more))
    assert never_less(base.cooling_capacity, starved.cooling_capacity)
    assert never_less(base.mass_flow, starved.mass_flow)
    assert never_less(starved.vent.T, base.vent.T)
    assert starved.superheated_share > base.superheated_share
    assert starved.wet_side.T == pytest.approx(base.wet_side.T)


@given(st.fixed_dictionaries(AIRS), st.floats(0, 0.7), st.floats(0.01, 0.2))
@MANY
def test_more_dirt_never_gives_more_heat(values, blocked, more):
    values = drawn(values)
    base, dirtier = (solved(coil(blocked_share=b), **values) for b in (blocked, blocked + more))
    assert never_less(base.cooling_capacity, dirtier.cooling_capacity)
    assert never_less(base.air_flow, dirtier.air_flow)


@given(st.fixed_dictionaries(AIRS), st.floats(1.01, 3.0))
@MANY
def test_a_larger_coil_never_gives_less_heat(values, more):
    values = drawn(values)
    base = solved(**values)
    larger = coil(air_conductance=base.spec.air_conductance * more)
    better = coil(boiling_conductance=base.spec.boiling_conductance * more)
    assert never_less(solved(larger, **values).cooling_capacity, base.cooling_capacity)
    assert never_less(solved(better, **values).cooling_capacity, base.cooling_capacity)


def test_carbon_dioxide_boils_too():
    cold = dict(refrigerant="R-744", valve_pressure=9e6, liquid_temperature=celsius(35))
    assert solved(**cold).energy_closure < 1e-6
