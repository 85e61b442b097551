"""Numbers with units as people type them."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermo_kit.errors import OutOfRangeError, ThermoKitError, UnitError
from thermo_kit.units import KINDS, UnitSystem, format_quantity, parse_quantity, sign_of

# text, expected sign, SI value
READINGS = [
    ("35 psi", "psig", 342_641.5),
    ("35 psig", "psig", 342_641.5),
    ("35 PSI", "psig", 342_641.5),
    ("35 psia", "psig", 241_316.5),
    ("2.4 bar", "bar abs", 240_000),
    ("2.4 bar", "bar(g)", 341_325),
    ("2.4 barg", "bar abs", 341_325),
    ("2,4 bar", "bar abs", 240_000),
    ("1,234.5 kPa", "kPa", 1_234_500),
    ("0.24 MPa", "bar abs", 240_000),
    ("28 inHg vac", "Pa", 6_506.12),
    ("1000 micron", "Pa", 133.322),
    ("20", "°C", 293.15),
    ("−3 °C", "°C", 270.15),
    ("68 F", "°C", 293.15),
    ("5 °C", "K", 5.0),
    ("9 °F", "K", 5.0),
    ("15 %", "%", 0.15),
    ("650 g", "g", 0.65),
    ("20 fins/in", "fins/in", 787.4016),
]


@pytest.mark.parametrize("text, expected, value", READINGS)
def test_a_reading_is_understood(text, expected, value):
    assert parse_quantity(text, expected) == pytest.approx(value, rel=1e-5)


def test_a_gauge_reading_at_altitude_adds_the_local_air_pressure():
    assert parse_quantity("30 psi", "psig", altitude=1600) == pytest.approx(206_842.7 + 83_523.8, rel=1e-5)


# text, expected sign, what the message must say
REFUSED = [
    ("", "bar", 'is not a number with a unit: write it like "35 psi"'),
    ("abc", "bar", "is not a number with a unit"),
    ("nan", "bar", "is not a number with a unit"),
    ("inf bar", "bar", "is not a number with a unit"),
    ("1e400 bar", "bar", "is too large: check the exponent"),
    ("1e308 MPa", "bar", "is too large: check the exponent"),
    ("1.2.3", "bar", "is not one number: write one number with a point"),
    ("1,2,3", "bar", "can be read in two ways: write the number with a point"),
    ("5 kg", "bar", "is not in a unit that fits bar: give a number in bar"),
    ("12 bar bar", "bar", "is not in a unit that fits bar"),
    ("1/2 bar", "bar", "is not in a unit that fits bar"),
    ("20 °C", "bar abs", "is not in a unit that fits bar abs"),
]


@pytest.mark.parametrize("text, expected, message", REFUSED)
def test_what_is_no_reading_is_refused_in_plain_words(text, expected, message):
    with pytest.raises(UnitError, match=re.escape(message)):
        parse_quantity(text, expected)


@pytest.mark.parametrize("unit", ["m**9**9**9**9", "m^9^9", "9⁹⁹⁹⁹⁹⁹⁹", "K**(9 ** 9)", "m" + "*m" * 500])
def test_a_unit_that_would_keep_the_unit_library_busy_never_reaches_it(unit, monkeypatch):
    monkeypatch.setattr("thermo_kit.units.text.unit_registry", lambda: pytest.fail("the unit library was asked"))
    with pytest.raises(UnitError, match="is not in a unit that fits bar"):
        parse_quantity(f"5 {unit}", "bar")


def test_the_message_names_the_field():
    with pytest.raises(UnitError, match="suction pressure 'abc'"):
        parse_quantity("abc", "bar", argument="suction pressure")


@pytest.mark.parametrize("text", ["-40 psig", "30 inHg vac"])
def test_less_than_a_perfect_vacuum_is_refused(text):
    with pytest.raises(OutOfRangeError, match=r"below a perfect vacuum: .*-1\.013 bar here.*check sign and unit"):
        parse_quantity(text, "psig")


@given(st.text(max_size=40), st.sampled_from(["psig", "bar abs", "°C", "K", "kJ/kg", "%"]))
def test_any_text_gives_a_number_or_a_plain_error(text, expected):
    try:
        value = parse_quantity(text, expected)
    except ThermoKitError as reason:
        assert len(str(reason)) < 400
    else:
        assert abs(value) < float("inf")


@given(kind=st.sampled_from(sorted(KINDS)), system=st.sampled_from(UnitSystem), value=st.floats(1.0, 1e4))
def test_what_is_written_can_be_read_again(kind, system, value):
    if kind == "gauge_pressure":
        value += 101_325
    text = format_quantity(value, kind, system, decimals=12)
    assert parse_quantity(text, sign_of(kind, system)) == pytest.approx(value, rel=1e-6)


def test_writing():
    assert format_quantity(273.15 - 20, "temperature") == "−20.0 °C"
    assert format_quantity(1_234_567.0, "power") == "1,234.57 kW"
    assert format_quantity(0.35, "percent") == "35.0 %"
    assert format_quantity(2.5, "ratio") == "2.50"
    assert format_quantity(-1e-9, "temperature_difference") == "0.0 K"
    assert format_quantity(0.5, "mass", UnitSystem.US) == "17.6 oz"
