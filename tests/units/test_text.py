"""Numbers with units as people type them."""

import math
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermo_kit.errors import ThermoKitError, UnitError
from thermo_kit.units import KINDS, UnitSystem, format_quantity, parse_quantity, says_gauge, sign_of

READINGS = tomllib.loads((Path(__file__).parent / "readings.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("text, expected, value", READINGS["rows"])
def test_a_reading_is_understood(text, expected, value):
    assert parse_quantity(text, expected) == pytest.approx(value, rel=1e-5)


@pytest.mark.parametrize(("text", "value"), READINGS["exact"])
def test_what_is_typed_is_stored_to_the_last_digit(text, value):
    assert parse_quantity(text, text.split()[1]) == value


def test_a_gauge_reading_at_altitude_adds_the_local_air_pressure():
    assert parse_quantity("30 psi", "psig", altitude=1600) == pytest.approx(206_842.7 + 83_523.8, rel=1e-5)


@pytest.mark.parametrize(
    "unit", ["m**9**9**9**9", "m^9^9", "9⁹⁹⁹⁹⁹⁹⁹", "K**(9 ** 9)", "m**(9)**(9)", "m**2**9", "m²²", "m" + "*m" * 500]
)
def test_a_unit_that_would_keep_the_unit_library_busy_never_reaches_it(unit, monkeypatch):
    monkeypatch.setattr("thermo_kit.units.text.unit_registry", lambda: pytest.fail("the unit library was asked"))
    with pytest.raises(UnitError, match="is (not in a unit that fits bar|more than one number)"):
        parse_quantity(f"5 {unit}", "bar")


@pytest.mark.parametrize(
    ("typed", "gauge"),
    [("2.0 bar(g)", True), ("29 psig", True), ("28 inHg vac", True), ("2.0 bar", False), ("43 psia", False), ("2", 0)],
)
def test_a_gauge_unit_is_told_from_the_others(typed, gauge):
    assert says_gauge(typed) == gauge


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


LIKELY = st.text("0123456789 .,-+−/%°*^²()CKFbarpsikgm'e", min_size=1, max_size=14)
ANY = st.text(st.characters(exclude_characters='"'), max_size=40)


@given(LIKELY | ANY, st.sampled_from(["%", "", "K", "bar", "psig", "°C", "kJ/kg"]))
def test_whatever_is_typed_is_a_number_or_a_refusal_in_plain_words(typed, expected):
    try:
        assert math.isfinite(parse_quantity(typed, expected))
    except ThermoKitError as refusal:
        told = str(refusal)
        assert len(told) < 400 and (not typed.strip() or repr(typed[:3])[1:-1] in told)
