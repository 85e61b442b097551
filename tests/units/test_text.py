"""Numbers with units as people type them."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermo_kit.errors import OutOfRangeError, ThermoKitError, UnitError
from thermo_kit.units import KINDS, UnitSystem, format_quantity, parse_quantity, says_gauge, sign_of

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
    ("–3 °C", "°C", 270.15),
    ("20 1/inch", "fins/in", 787.4016),
    ("3 m**3/hour", "m³/h", 8.33333e-4),
    ("4 W/(m² K)", "W/(m² K)", 4.0),
    ("0,531", "", 0.531),
    ("1,234,500", "Pa", 1_234_500),
    ("200 g/m3", "g/m³", 0.2),
    ("210 kg/m2s", "kg/(m² s)", 210),
    ("210 kg/(m2 s)", "kg/(m² s)", 210),
    ("210 kg/m² s", "kg/(m² s)", 210),
    ("4 kg/m3", "kg/m³", 4.0),
    ("184.6 kOhm", "kΩ", 184_600),
    ("184.6 KΩ", "kΩ", 184_600),
    ("4.5 amps", "A", 4.5),
    ("6 lpm", "L/min", 1e-4),
    ("3412.14 btu/hr", "kW", 1000),
    ('1"', "mm", 0.0254),
    ("17 fins", "fins/in", 669.2913),
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


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("5 bar", 500_000.0),
        ("1.1 bar", 110_000.0),
        ("1.1 kPa", 1_100.0),
        ("9 mm", 0.009),
        ("3 ft", 0.9144),
        ("7 inch", 0.1778),
        ("1 lb", 0.45359237),
        ("2.3 L", 0.0023),
        ("65 cm**3", 6.5e-5),
        ("6 L/min", 1e-4),
        ("77 g", 0.077),
        ("7.2 kW", 7_200.0),
        ("9 delta_degF", 5.0),
        ("3 mbar*L/s", 0.3),
        ("7 %", 0.07),
        ("36 km/hour", 10.0),
        ("4.1 °C", 277.25),
        ("0.7 mm", 0.0007),
        ("3 h", 10_800.0),
    ],
)
def test_what_is_typed_is_stored_to_the_last_digit(text, value):
    assert parse_quantity(text, text.split()[1]) == value


def test_a_gauge_reading_at_altitude_adds_the_local_air_pressure():
    assert parse_quantity("30 psi", "psig", altitude=1600) == pytest.approx(206_842.7 + 83_523.8, rel=1e-5)


# text, expected sign, what the message must say
REFUSED = [
    ("", "bar", 'value is empty: write it like "3 bar"'),
    ("abc", "m", 'is not a number: write it like "3 m"'),
    ("abc", "", 'is not a number: write it like "3"'),
    ("nan", "bar", "is not a number"),
    ("inf bar", "bar", "is not a number"),
    ("1e400 bar", "bar", "is too large: check the exponent"),
    ("1e308 MPa", "bar", "is too large: check the exponent"),
    ("1.2.3", "bar", "is not one number: write one number with a point"),
    ("1,2,3", "bar", "can be read in two ways: write the number with a point"),
    ("5 kg", "bar", "is not in a unit that fits bar: give one number in one of: bar"),
    ("12 bar bar", "bar", "is not in a unit that fits bar"),
    ("1/2 bar", "bar", "is not in a unit that fits bar"),
    ("2,966", "bar", "can be read in two ways: write 2.966 or 2966"),
    ("-5,800", "W", "can be read in two ways: write -5.800 or -5800"),
    ("17 fins", "", "carries a unit where none is asked for: give one number alone"),
    ("33 35", "%", "is not in a unit that fits %: give one number"),
    ("2 1/2", "%", "is not in a unit that fits %"),
    ("1'234", "", "carries a unit where none is asked for"),
    ("20 °C", "bar abs", "is not in a unit that fits bar abs"),
]


@pytest.mark.parametrize("text, expected, message", REFUSED)
def test_what_is_no_reading_is_refused_in_plain_words(text, expected, message):
    with pytest.raises(UnitError, match=re.escape(message)):
        parse_quantity(text, expected)


@pytest.mark.parametrize(
    "unit", ["m**9**9**9**9", "m^9^9", "9⁹⁹⁹⁹⁹⁹⁹", "K**(9 ** 9)", "m**(9)**(9)", "m**2**9", "m²²", "m" + "*m" * 500]
)
def test_a_unit_that_would_keep_the_unit_library_busy_never_reaches_it(unit, monkeypatch):
    monkeypatch.setattr("thermo_kit.units.text.unit_registry", lambda: pytest.fail("the unit library was asked"))
    with pytest.raises(UnitError, match="is not in a unit that fits bar"):
        parse_quantity(f"5 {unit}", "bar")


@pytest.mark.parametrize(
    ("typed", "gauge"),
    [("2.0 bar(g)", True), ("29 psig", True), ("28 inHg vac", True), ("2.0 bar", False), ("43 psia", False), ("2", 0)],
)
def test_a_gauge_unit_is_told_from_the_others(typed, gauge):
    assert says_gauge(typed) == gauge


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


TYPED = st.text("0123456789 .,-+−/%°*^²()CKFbarpsikgm'e", min_size=1, max_size=14)


@given(TYPED, st.sampled_from(["%", "", "K", "bar"]))
def test_whatever_is_typed_is_a_number_or_a_refusal_in_plain_words(typed, expected):
    try:
        assert math.isfinite(parse_quantity(typed, expected))
    except ThermoKitError as refusal:
        assert typed[:3] in str(refusal)


@pytest.mark.parametrize(
    "text, expected, value",
    [
        ("2.4 kg/cm2", "bar abs", 2.4 * 98066.5),
        ("35 lbs", "psig", 35 * 6894.757293168 + 101325.0),
        ("35 lbs", "g", 15.87573295),
        ("80 kph", "km/h", 80 / 3.6),
        ("50 mph", "km/h", 22.352),
        ("1,013 mbar", "bar abs", 101300.0),
        ("2.5 MΩ", "kΩ", 2.5e6),
    ],
)
def test_what_the_trade_writes(text, expected, value):
    assert parse_quantity(text, expected) == pytest.approx(value, rel=1e-9)


def test_a_refusal_lists_what_is_allowed():
    with pytest.raises(UnitError, match="bar, mbar, kPa, psi, kg/cm2, inHg vac, micron"):
        parse_quantity("12 g", "psig")
