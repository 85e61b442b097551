"""A leaked charge against published limits."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermo_kit.charts import style
from thermo_kit.charts.refrigerants import concentration_picture
from thermo_kit.substances import REFRIGERANT_NAMES
from thermo_kit.systems import LeakSpec, limits_of, spread_leak
from thermo_kit.units import Look


def leak(name, grams_per_cubic_metre):
    return spread_leak(LeakSpec(refrigerant=name, charge=grams_per_cubic_metre * 3e-3, volume=3.0))


def said(result):
    return " ".join(map(str, result.notes))


@given(st.sampled_from(REFRIGERANT_NAMES), st.floats(0.01, 10), st.floats(1, 1000))
def test_the_largest_charge_spreads_to_the_lowest_limit(name, charge, volume):
    result = spread_leak(LeakSpec(refrigerant=name, charge=charge, volume=volume))
    assert [limit.concentration for limit in result.limits] == sorted(limit.concentration for limit in result.limits)
    published = {limit.name: limit.concentration for limit in result.limits}
    assert result.lower_flammability_limit == published.get("lower flammability limit")
    if result.largest_charge > 20:
        return
    at_limit = spread_leak(LeakSpec(refrigerant=name, charge=result.largest_charge, volume=volume))
    assert at_limit.concentration == pytest.approx(result.limits[0].concentration)


# Published by volume (29 CFR 1910.1000 table Z-1; NIOSH documentation of carbon dioxide and of propane, 1994); by mass
# for a molar volume of 24.465 L at 25 °C and one atmosphere.
@pytest.mark.parametrize(
    ("name", "limit", "grams"),
    [
        ("R-744", "8-hour limit", 5000 * 44.01 / 24.465e3),
        ("R-744", "short-term limit", 30000 * 44.01 / 24.465e3),
        ("R-744", "immediately dangerous level", 40000 * 44.01 / 24.465e3),
        ("R-290", "8-hour limit", 1000 * 44.096 / 24.465e3),
        ("R-290", "immediately dangerous level", 2100 * 44.096 / 24.465e3),
        ("R-134a", "8-hour limit", 1000 * 102.03 / 24.465e3),
    ],
)
def test_limits_by_volume_are_turned_into_grams_and_each_is_told_when_it_is_passed(name, limit, grams):
    (found,) = (one for one in limits_of(name) if one.name == limit)
    assert found.concentration * 1e3 == pytest.approx(grams, rel=1e-3)
    assert found not in leak(name, grams * 0.99).passed
    assert found in leak(name, grams * 1.01).passed


@pytest.mark.parametrize(
    ("name", "grams", "level", "colour", "words"),
    [
        ("R-744", 8.5, "below", style.GOOD, "trust a gas detector"),
        ("R-744", 20.0, "between", style.CAUTION, "do not stay in there"),
        ("R-744", 66.7, "between", style.CAUTION, "everybody out now"),
        ("R-744", 71.97, "danger", style.WARNING, "without breathing apparatus"),
        ("R-134a", 4.0, "below", style.GOOD, "no permission to work"),
        ("R-134a", 100.0, "between", style.CAUTION, "do not stay in there"),
        ("R-134a", 211.0, "danger", style.WARNING, "in danger"),
        ("R-290", 1.9, "between", style.CAUTION, "do not stay in there"),
        ("R-290", 4.0, "danger", style.WARNING, "no switch, no spark"),
        ("R-1234yf", 60.0, "danger", style.WARNING, "nobody should be in there"),
    ],
)
def test_green_is_only_below_the_lowest_limit_and_each_step_says_what_to_do(name, grams, level, colour, words):
    result = leak(name, grams)
    assert result.level == level and words in said(result)
    moving = concentration_picture(result, Look()).moving
    assert colour in moving
    assert not [other for other in (style.GOOD, style.CAUTION, style.WARNING) if other != colour and other in moving]


@pytest.mark.parametrize("name", REFRIGERANT_NAMES)
def test_no_refrigerant_is_green_at_its_8_hour_limit(name):
    found = {limit.name: limit.concentration * 1e3 for limit in limits_of(name)}
    assert leak(name, found["8-hour limit"] * 1.001).level != "below" == leak(name, min(found.values()) * 0.999).level


# EN 378-1, Annex E: practical and acute limit (ATEL/ODL) of R-744 0.1 and 0.072, of R-134a 0.25 and 0.21, of R-290
# 0.008 and 0.09 kg/m³: what burns passes the limit for people long before it harms to breathe. ISO 817: lower
# flammability limit of R-290 0.038 kg/m³.
@pytest.mark.parametrize(
    ("name", "grams", "words", "unsaid"),
    [
        ("R-744", 80, "in danger", "a spark is enough"),
        ("R-744", 33, "do not stay", "in danger"),
        ("R-134a", 220, "in danger", "a spark is enough"),
        ("R-134a", 33, "do not stay", "in danger"),
        ("R-290", 10, "a fifth of the flammability limit", "breathing"),
        ("R-290", 37, "no spark", "a spark is enough"),
        ("R-290", 50, "a spark is enough", "breathing"),
        ("R-290", 100, "breathing", "a fifth of the flammability limit"),
    ],
)
def test_each_published_limit_brings_its_own_words(name, grams, words, unsaid):
    assert words in said(leak(name, grams)) and unsaid not in said(leak(name, grams))
