"""Numbers with units, written and read."""

import math
import re

from thermo_kit.errors import OutOfRangeError, UnitError
from thermo_kit.units.convert import atmosphere_pressure, to_display, unit_registry
from thermo_kit.units.kinds import ALLOWED, SPELLINGS, UNITS, UnitSystem, decimals_of, sign_of


def format_quantity(value, kind, system=UnitSystem.SI, altitude=0, decimals=None):
    """Write a stored SI number with its unit; altitude [m], for gauges; decimals: instead of the usual number of them.

    Examples
    --------
    >>> format_quantity(301325.0, "gauge_pressure"), format_quantity(273.15, "temperature", UnitSystem.US)
    ('2.00 bar(g)', '32.0 °F')
    """
    places = decimals_of(kind, system) if decimals is None else decimals
    number = round(float(to_display(value, kind, system, altitude)), places)
    text = f"{number + 0.0:,.{places}f}"  # adding zero turns −0.0 into 0.0
    if number < 0:
        text = "−" + text[1:]
    return f"{text} {sign_of(kind, system)}".rstrip()


def format_both(value, kind, altitude=0):
    """Write a stored SI number in SI units and, where they differ, in US customary units in brackets; altitude [m].

    Examples
    --------
    >>> format_both(301325.0, "gauge_pressure"), format_both(400.0, "voltage")
    ('2.00 bar(g) (29.0 psig)', '400 V')
    """
    si = format_quantity(value, kind, UnitSystem.SI, altitude)
    us = format_quantity(value, kind, UnitSystem.US, altitude)
    return si if si == us else f"{si} ({us})"


_NUMBER = re.compile(r"^\s*([+\-−–]?\s*(?:\d+(?:[.,]\d+)*|[.,]\d+)(?:[eE][+\-]?\d+)?)\s*(.*?)\s*$")
_THOUSANDS = re.compile(r"[+\-]?[1-9]\d{0,2}(,\d{3})+(\.\d+)?")
# "2,966" is nearly three for some and nearly three thousand for others; a leading zero leaves no doubt.
_ONE_COMMA = re.compile(r"[+\-]?[1-9]\d{0,2},\d{3}")
_SWAPPED = str.maketrans(".,", ",.")
_GAUGE = re.compile(r"^(psi|bar|mbar|kpa|mpa)\s*(?:\(?g\)?|gauge|\(gauge\))$")
_ABSOLUTE = re.compile(r"^(psi|bar|mbar|kpa|mpa)\s*(?:\(?a\)?|abs\.?|absolute|\(abs\)|\(absolute\))$")
_VACUUM = re.compile(r"^in\.?\s*hg\s*(?:vac\.?|vacuum)$")
# The unit library works out what it is given: a tower of powers such as m**9**9**9 would keep it busy for ever, and a
# second number is a scale to it. So numbers never reach it, but for the power of a word and the 1 of "1/inch".
_POWER_OF_A_WORD = re.compile(r"(?<=[^\W\d_²³])\s*(?:(?:\*\*|\^)\s*-?[1-9](?![\d.])|[²³])|^1\s*/")
_NUMBER_OR_POWER = re.compile(r"\d|\*\*|\^|[⁰¹²³⁴-⁹]")
_PLAIN_POWER = re.compile(r"(?<![^\W\d])(mm|cm|m|ft|in|s)([23])(?!\d)")
_LONGEST_UNIT = 40
_WEIGHT_FOR_PRESSURE = ("lb", "lbs", "pound", "pounds")  # common practice, no source: said of a gauge's psi
# Nobody writes thousandths of a millibar, but a barometer's "1,013 mbar" stands in every textbook.
_WHOLE_UNITS = ("mbar", "hpa")
_DIFFERENCES = ("K", "delta_degF")
_AS_DIFFERENCE = {"degC": "K", "degF": "delta_degF"}


def _read_number(text, argument, expected_unit, comma):
    match = _NUMBER.match(text)
    if not match:
        given, told = (repr(text[:60]), "is not a number") if text.strip() else ("", "is empty")
        raise UnitError.about(argument, given, told, f'write it like "{f"3 {expected_unit}".strip()}"')
    digits = match.group(1).replace("−", "-").replace("–", "-").replace(" ", "")
    if comma:
        digits = digits.translate(_SWAPPED)
    if _ONE_COMMA.fullmatch(digits) and not match.group(2).lower().startswith(_WHOLE_UNITS):
        one, other = digits.replace(",", "," if comma else "."), digits.replace(",", "")
        _refuse_two_ways(argument, text, f"write {one} or {other}")
    if _THOUSANDS.fullmatch(digits):
        digits = digits.replace(",", "")
    elif "," in digits:
        if digits.count(",") > 1 or "." in digits:
            _refuse_two_ways(argument, text, "write the number with a point, like 2.4")
        digits = digits.replace(",", ".")
    try:
        number = float(digits)
    except ValueError:
        advice = "write one number with a point, like 2.4"
        raise UnitError.about(argument, repr(text[:60]), "is not one number", advice) from None
    return number, match.group(2)


def _refuse_two_ways(argument, text, fix):
    raise UnitError.about(argument, repr(text[:60]), "can be read in two ways", fix)


def says_gauge(text):
    """Return whether a text names a gauge unit, such as "2.0 bar(g)", "30 psig" or "29 inHg vac"."""
    match = _NUMBER.match(str(text))
    unit = match.group(2).lower() if match else ""
    return bool(_GAUGE.match(unit) or _VACUUM.match(unit))


def parse_quantity(text, expected_unit, altitude=0, argument="value", comma=False):
    """Read a text such as "35 psi", with decimal point or comma, and return the SI number, pressures absolute.

    expected_unit: trade sign of the unit taken where there is none, such as "psig", "bar abs", "°C"; if it is a gauge
    unit, a plain "psi" or "bar" is read as gauge, otherwise as absolute; "K" and "°F diff." ask for a difference
    altitude: height of the workshop [m], for gauge pressures and vacuum; argument: what it is, for the message
    comma: whether the reader has chosen the decimal comma, for whom "1.200" can be read in two ways, not "1,200"

    Raises `UnitError` if the text is not one number of the expected kind, `OutOfRangeError` below a perfect vacuum.

    Examples
    --------
    >>> round(parse_quantity("35 psi", "psig")), round(parse_quantity("500 micron", "Pa"), 2)
    (342642, 66.66)
    >>> parse_quantity("25,5", "°C"), round(parse_quantity("9 °F", "K"), 6)
    (298.65, 5.0)
    """
    number, unit = _read_number(str(text), argument, expected_unit, comma)
    expected_name, expected_gauge = _unit_name(expected_unit)
    if unit.lower() in _WEIGHT_FOR_PRESSURE and _of_one_kind("psi", expected_name):
        unit = "psi"
    if _VACUUM.match(unit.lower()):
        name, gauge, number = "inHg", True, -number
    elif unit:
        name, gauge = _unit_name(unit)
        if gauge is None:
            gauge = expected_gauge
    else:
        name, gauge = expected_name, expected_gauge
    if expected_name in _DIFFERENCES:
        name = _AS_DIFFERENCE.get(name, name)
    if not _of_one_kind(name, expected_name):
        allowed = next((told for names, told in ALLOWED.items() if expected_name in names.split()), "")
        allowed = f"in one of: {allowed}" if allowed else f"in {expected_unit} or in a unit of the same kind"
        told, fix = f"is not in a unit that fits {expected_unit}", allowed
        if re.match(r"\W*\d", unit):
            told = "is more than one number"
        elif not expected_unit:
            told, fix = "carries a unit where none is asked for", "alone, without a unit"
        raise UnitError.about(argument, repr(str(text)[:60]), told, f"give one number {fix}")
    value = _stored(number, name, expected_name)
    if not math.isfinite(value):
        raise UnitError.about(argument, repr(str(text)[:60]), "is too large", "check the exponent")
    is_pressure = _of_one_kind(name, "Pa")
    if is_pressure and gauge:
        value += atmosphere_pressure(altitude)
    if is_pressure and value < 0:
        advice = (
            "a gauge cannot read lower than minus the local air pressure "
            f"({-atmosphere_pressure(altitude) / 1e5:.3f} bar here): check sign and unit"
        )
        raise OutOfRangeError.about(argument, str(text)[:60], "is below a perfect vacuum", advice)
    return float(value)


def _stored(number, name, expected_name):
    if name in UNITS:
        return UNITS[name].stored(number)
    registry = unit_registry()
    return registry.Quantity(number, name).to(str(registry.get_base_units(expected_name)[1])).magnitude


def _of_one_kind(name, expected_name):
    if name in UNITS and expected_name in UNITS and UNITS[name].stored_in == UNITS[expected_name].stored_in:
        return True
    if len(name) > _LONGEST_UNIT or _NUMBER_OR_POWER.search(_POWER_OF_A_WORD.sub("", name)):
        return False
    registry = unit_registry()
    try:
        return registry.get_dimensionality(name) == registry.get_dimensionality(expected_name)
    except Exception:  # what the library raises for a text that is no unit has many forms
        return False


def _unit_name(unit):
    """Return (pint name, True for gauge, False for absolute, None where the unit does not say)."""
    text = _PLAIN_POWER.sub(lambda found: found[1] + "²³"[found[2] == "3"], " ".join(unit.strip().split()))
    lower = text.lower()
    if match := _GAUGE.match(lower):
        return SPELLINGS[match.group(1)], True
    if match := _ABSOLUTE.match(lower):
        return SPELLINGS[match.group(1)], False
    if text in ("mPa", "MPa"):
        return "MPa", None
    return SPELLINGS.get(lower, text), None


def ohms(value):
    """Write an insulation resistance as a tester shows it; value [ohm].

    Examples
    --------
    >>> ohms(2.4e6), ohms(180e3)
    ('2.40 MΩ', '180 kΩ')
    """
    if value >= 1e9:
        return f"{value / 1e9:.1f} GΩ"
    if value >= 1e6:
        return f"{value / 1e6:.{2 if value < 1e7 else 0}f} MΩ"
    return f"{value / 1e3:,.{0 if value >= 1e4 else 1}f} kΩ"
