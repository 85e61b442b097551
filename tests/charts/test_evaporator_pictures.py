"""The pictures of the evaporator: what is drawn follows the result, and words carry what colour carries."""

import re

import numpy as np
import pytest

from tests.charts.told import words
from tests.components.evaporator_cases import coil, day
from thermo_kit.charts import Look
from thermo_kit.charts.cabin import PATTERNS, meaning_text, pull_down_picture, vents_picture
from thermo_kit.charts.evaporator import coil_picture, drip_text, fins_text, frost_text, moist_air_picture, places_of
from thermo_kit.components.evaporator import air_process, moist_air_lines, solve_evaporator
from thermo_kit.substances.moist_air import saturated_humidity
from thermo_kit.systems import VENT_FAULTS, CabinSpec, pull_down, two_vents
from thermo_kit.units import UnitSystem, celsius

LOOKS = (Look(), Look(system=UnitSystem.US, altitude=1600))
US = LOOKS[1]
COOL = celsius(25)


def process(own=None, **changes):
    return air_process(solve_evaporator(own or coil(), day(**changes)))


def on_the_chart(look=LOOKS[0], **changes):
    own = process(**changes)
    return moist_air_picture(own, moist_air_lines(own.result.conditions.air_pressure), look)


def hour(wish=COOL, **cabin):
    outside = day(air_temperature=celsius(32), relative_humidity=0.4)
    asked = {"start": celsius(55), "wish": wish, "duration": 3600.0, "points": 121}
    return pull_down(CabinSpec(**cabin), outside, coil(), **asked)


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.system.value)
def test_air_in_front_and_behind_stands_at_the_coil(look):
    own = process(air_temperature=celsius(35), relative_humidity=0.4)
    picture, result = coil_picture(own, look), own.result
    for T in (result.inlet.T, result.vent.T, result.wet_side.T, result.dry_side.T, result.inlet.dew_point):
        assert look.text(T, "temperature") in words(picture)
    for kind, value in (("power", result.cooling_capacity), ("power", result.sensible), ("power", result.latent)):
        assert look.text(value, kind) in picture.sentence
    assert drip_text(result.condensate, look) in picture.sentence


@pytest.mark.parametrize(
    ("humidity", "told", "not_told"), [(0.5, "wet fins", "dry fins"), (0.05, "dry fins", "wet fins")]
)
def test_wet_and_dry_fins_are_named(humidity, told, not_told):
    text = words(coil_picture(process(relative_humidity=humidity), Look()))
    assert told in text and not_told not in text


def test_the_dry_patch_ends_where_the_fin_is_at_the_dew_point():
    own = process(air_temperature=celsius(38), relative_humidity=0.18)
    result, steps = own.result, len(own.surface_humidity)
    assert 0.0 < own.wet_from < 1.0
    text = words(coil_picture(own, Look()))
    assert "wet fins" in text and "dry fins" in text
    assert f"first {own.wet_from * 100:.0f} % of the depth stays dry" in fins_text(own)
    middles = [(k + 0.5) / steps for k in range(steps)]
    limits = [saturated_humidity(T, result.conditions.air_pressure) for T in result.surface_path]
    excess = [w - limit for w, limit in zip(result.humidity_path, limits, strict=False)]
    assert [one > 0.0 for one in excess] == [place >= own.wet_from for place in middles]
    assert np.interp(own.wet_from, middles, excess) == pytest.approx(0.0, abs=1e-12)


def test_the_superheated_part_grows_in_the_picture_and_goes_without_superheat():
    def height(superheat):
        """Between the upper edge of the coil and the level line that divides its two parts."""
        moving = coil_picture(process(superheat=superheat), Look()).moving
        level = re.findall(r'd="M (-?[\d.]+) ([\d.]+) L ([\d.]+) \2 ?"', moving)
        divider = next(float(y) for start, y, end in level if float(end) - float(start) == pytest.approx(370.0))
        return divider - (620.0 - 562.0)

    assert height(0.0) == pytest.approx(0.0, abs=0.01) and 0.0 < height(5.0) < height(15.0)
    assert height(15.0) == pytest.approx(200.0 * process(superheat=15.0).result.superheated_share, abs=0.5)
    assert "superheat" not in coil_picture(process(superheat=0.0), Look()).sentence


def test_frost_is_told_in_words():
    cold = process(evaporating_temperature=celsius(-7), air_flow=0.05)
    assert "FROST" in words(coil_picture(cold, Look())) and frost_text(cold, Look()).endswith("below: frost")
    assert "FROST" not in words(coil_picture(process(), Look()))
    assert frost_text(process(), Look()) == f"{process().result.coldest_surface - 273.15:.1f} K above freezing"
    dry = process(relative_humidity=0.05, air_temperature=celsius(20))
    assert dry.result.inlet.dew_point < 273.15 and "frost point of the air" in frost_text(dry, Look())


def test_water_is_told_by_weight_and_by_the_cup():
    # 1 kg of water is a litre within half a per cent; 1 US fluid ounce is 29.57 mL.
    assert drip_text(2.0 / 3600, Look()) == "2.00 kg/h (2,000 mL/h)"
    assert drip_text(2.0 / 3600, US) == "4.41 lb/h (68 fl oz/h)"
    assert drip_text(0.0, Look()) == "none"


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.system.value)
def test_each_place_stands_on_the_chart_with_its_numbers(look):
    own = process(superheat=12.0)
    text = words(on_the_chart(look, superheat=12.0))
    for number, name, air in places_of(own.result):
        assert f"{name}: {look.text(air.T, 'temperature')}" in text and number in text
        assert look.text(air.humidity_ratio, "humidity_ratio") in text
    assert f"dew point {look.text(own.result.inlet.dew_point, 'temperature')}" in text
    assert "saturated, 100 %" in text and "60 %" in text


def test_without_superheat_the_chart_has_two_places_and_a_dry_coil_no_wet_fins():
    text = words(on_the_chart(superheat=0.0))
    assert "superheated" not in text and "vent, both mixed" not in text and "wet fins" in text
    assert "wet fins" not in words(on_the_chart(relative_humidity=0.05))


@pytest.mark.parametrize("t", [15, 30, 50])
@pytest.mark.parametrize("humidity", [0.05, 0.5, 0.95])
@pytest.mark.parametrize("boils", [-8, 8])
def test_all_places_lie_inside_the_chart(t, humidity, boils):
    changes = {"air_temperature": celsius(t), "relative_humidity": humidity, "superheat": 2.0}
    picture = on_the_chart(evaporating_temperature=celsius(boils), **changes)
    for x, y in re.findall(r"<use [^>]*x=\"(-?[\d.]+)\" y=\"(-?[\d.]+)\"", picture.moving):
        assert 0 < float(x) < picture.width and 0 < float(y) < picture.height


@pytest.mark.parametrize("fault", VENT_FAULTS)
def test_both_vents_and_the_pattern_stand_in_picture_and_sentence(fault):
    case = two_vents(coil(), day(), fault=fault, size=0.5)
    picture, look = vents_picture(case, Look()), Look()
    text = words(picture)
    for vents in (case.faulty, case.sound):
        for air in (vents.left, vents.right):
            assert look.text(air.T, "temperature") in text and look.text(air.T, "temperature") in picture.sentence
    assert PATTERNS[case.pattern] in text and case.side in text and case.side in picture.sentence
    assert meaning_text(case, look)[1:] in picture.sentence
    assert ("hot air past the damper" in text) == (fault == "damper leaks")
    assert ".." not in vents_picture(case, Look(system=UnitSystem.US)).sentence


def test_a_hidden_case_tells_neither_fault_nor_verdict():
    for fault in VENT_FAULTS[1:]:
        case = two_vents(coil(), day(), fault=fault, size=0.5)
        picture = vents_picture(case, Look(), name="Case X")
        told = f"{words(picture)} {picture.sentence}"
        assert "Case X" in told and not [word for word in (fault, case.side, "damper", "superheat") if word in told]
        assert not [pattern for pattern in PATTERNS.values() if pattern in told]


def test_the_moment_of_comfort_stands_on_the_curve_and_its_lack_is_told():
    told = {"wish": celsius(25), "outside": celsius(32)}
    result = hour()
    picture = pull_down_picture(result, Look(), **told)
    assert f"after {result.comfort_time / 60:.1f} min" in words(picture)
    for values in (result.air, result.interior, result.vent):
        assert Look().text(values[-1], "temperature") in words(picture)
    never = hour(wish=celsius(15))
    lacking = pull_down_picture(never, Look(), wish=celsius(15), outside=celsius(32))
    assert never.comfort_time is None and "not within 60 min" in words(lacking)
    assert "does not come down to 15.0 °C" in lacking.sentence
