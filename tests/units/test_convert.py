"""Trade units to SI and back: known values, round trips, limits."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermo_kit import units
from thermo_kit.units import KINDS, UnitSystem, atmosphere_pressure, celsius, from_display, psig, to_display
from thermo_kit.units.convert import unit_registry
from thermo_kit.units.kinds import UNITS

altitudes = st.floats(-500, 5000)


def test_known_values():
    stored = units.psig(0), units.psig(30), units.barg(2), units.bar(1), units.kpa(1)
    assert stored == pytest.approx((101_325, 101_325 + 206_842.7, 301_325, 1e5, 1e3), rel=1e-7)
    assert (celsius(0), units.fahrenheit(-40), units.fahrenheit(212)) == pytest.approx((273.15, 233.15, 373.15))


def test_a_gauge_reads_less_than_absolute_by_the_local_air_pressure():
    assert psig(30, altitude=1600) - psig(30) == pytest.approx(atmosphere_pressure(1600) - 101_325)
    assert to_display(atmosphere_pressure(1600), "gauge_pressure", altitude=1600) == pytest.approx(0, abs=1e-12)


@given(
    kind=st.sampled_from(sorted(KINDS)),
    system=st.sampled_from(UnitSystem),
    value=st.floats(-1e6, 1e6),
    altitude=altitudes,
)
def test_shown_and_stored_are_inverse(kind, system, value, altitude):
    shown = to_display(value, kind, system, altitude)
    assert from_display(shown, kind, system, altitude) == pytest.approx(value, rel=1e-9, abs=1e-6)


def test_a_column_of_numbers_is_converted_element_by_element():
    shown = to_display(np.array([273.15, 373.15]), "temperature", UnitSystem.US)
    assert shown == pytest.approx([32.0, 212.0])


def test_every_kind_has_a_sign_and_decimals_in_both_systems():
    for kind, facts in KINDS.items():
        for system in UnitSystem:
            assert units.sign_of(kind, system) or kind == "ratio"
            assert 0 <= units.decimals_of(kind, system) <= 6
        assert facts.base is not None


def test_the_table_of_units_agrees_with_the_unit_library():
    convert = unit_registry().Quantity
    for name, unit in UNITS.items():
        for number in (0.0, 300.0):
            told = pytest.approx(convert(number, unit.stored_in).to(name).magnitude, rel=1e-14)
            assert unit.shown(number) == told, name
    for facts in KINDS.values():
        assert {UNITS[unit].stored_in for unit in (facts.base, facts.si, facts.us)} == {facts.base}
