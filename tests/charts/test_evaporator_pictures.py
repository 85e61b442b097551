"""The pictures of the evaporator: what is drawn follows the result, and words carry what colour carries."""

import functools
import re

import numpy as np
import pytest

from tests.charts.told import LOOKS, tells, words
from tests.components.evaporator_cases import coil, day
from thermo_kit.charts import Look
from thermo_kit.charts.cabin import PATTERNS, meaning_text, pull_down_picture, vents_picture
from thermo_kit.charts.evaporator import coil_picture, drip_text, fins_text, frost_text, moist_air_picture, places_of
from thermo_kit.components.evaporator import air_process, moist_air_lines, solve_evaporator
from thermo_kit.substances.moist_air import saturated_humidity
from thermo_kit.systems import VENT_FAULTS, CabinSpec, pull_down, two_vents
from thermo_kit.units import celsius


def process(**changes):
    return air_process(solve_evaporator(coil(), day(**changes)))


def on_the_chart(own, look=LOOKS[0]):
    return moist_air_picture(own, moist_air_lines(own.result.conditions.air_pressure), look)


def test_air_in_front_and_behind_stands_at_the_coil():
    own = process(air_temperature=celsius(35), relative_humidity=0.4)
    places = ("inlet.T", "vent.T", "wet_side.T", "dry_side.T", "inlet.dew_point")
    seen = "; ".join(f"{{result.{place}:temperature}}" for place in places)
    said = "; ".join(f"{{result.{power}:power}}" for power in ("cooling_capacity", "sensible", "latent"))
    tells(coil_picture, own, seen, said)
    assert drip_text(own.result.condensate, LOOKS[1]) in coil_picture(own, LOOKS[1]).sentence


def test_wet_and_dry_fins_are_named():
    tells(coil_picture, process(relative_humidity=0.5), "wet fins", unseen="dry fins")
    tells(coil_picture, process(relative_humidity=0.05), "dry fins", unseen="wet fins")


def test_the_dry_patch_ends_where_the_fin_is_at_the_dew_point():
    own = process(air_temperature=celsius(38), relative_humidity=0.18)
    result, steps = own.result, len(own.surface_humidity)
    assert 0.0 < own.wet_from < 1.0
    tells(coil_picture, own, "wet fins; dry fins")
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
    cold, warm = process(evaporating_temperature=celsius(-7), air_flow=0.05), process()
    tells(coil_picture, cold, "FROST")
    tells(coil_picture, warm, unseen="FROST")
    assert frost_text(cold, Look()).endswith("below: frost")
    assert frost_text(warm, Look()) == f"{warm.result.coldest_surface - 273.15:.1f} K above freezing"
    dry = process(relative_humidity=0.05, air_temperature=celsius(20))
    assert dry.result.inlet.dew_point < 273.15 and "frost point of the air" in frost_text(dry, Look())


def test_water_is_told_by_weight_and_by_the_cup():
    # 1 kg of water is a litre within half a per cent; 1 US fluid ounce is 29.57 mL.
    assert drip_text(2.0 / 3600, Look()) == "2.00 kg/h (2,000 mL/h)"
    assert drip_text(2.0 / 3600, LOOKS[1]) == "4.41 lb/h (68 fl oz/h)"
    assert drip_text(0.0, Look()) == "none"


def test_each_place_stands_on_the_chart_with_its_numbers():
    own = process(superheat=12.0)
    for number, name, air in places_of(own.result):
        seen = f"{number}; {name}: {{air.T:temperature}}; {{air.humidity_ratio:humidity_ratio}}"
        tells(on_the_chart, own, seen, air=air)
    tells(on_the_chart, own, "dew point {result.inlet.dew_point:temperature}; saturated, 100 %; 60 %")


def test_without_superheat_the_chart_has_two_places_and_a_dry_coil_no_wet_fins():
    tells(on_the_chart, process(superheat=0.0), "wet fins", unseen="superheated; vent, both mixed")
    assert "wet fins" not in words(on_the_chart(process(relative_humidity=0.05)))


@pytest.mark.parametrize("t", [15, 30, 50])
@pytest.mark.parametrize("humidity", [0.05, 0.5, 0.95])
@pytest.mark.parametrize("boils", [-8, 8])
def test_all_places_lie_inside_the_chart(t, humidity, boils):
    changes = {"air_temperature": celsius(t), "relative_humidity": humidity, "superheat": 2.0}
    picture = on_the_chart(process(evaporating_temperature=celsius(boils), **changes))
    for x, y in re.findall(r"<use [^>]*x=\"(-?[\d.]+)\" y=\"(-?[\d.]+)\"", picture.moving):
        assert 0 < float(x) < picture.width and 0 < float(y) < picture.height


@pytest.mark.parametrize("fault", VENT_FAULTS)
def test_both_vents_and_the_pattern_stand_in_picture_and_sentence_unless_the_case_is_hidden(fault):
    case, look = two_vents(coil(), day(), fault=fault, size=0.5), Look()
    ends = [f"{{{vents}.{side}.T:temperature}}" for vents in ("faulty", "sound") for side in ("left", "right")]
    both = "; ".join((*ends, case.side))
    tells(vents_picture, case, f"{both}; {PATTERNS[case.pattern]}", both)
    assert meaning_text(case, look)[1:] in vents_picture(case, look).sentence
    assert ("hot air past the damper" in words(vents_picture(case, look))) == (fault == "damper leaks")
    assert ".." not in vents_picture(case, LOOKS[1]).sentence
    if case.side != "no fault seen":
        hidden = "; ".join((fault, case.side, "damper", "superheat", *PATTERNS.values()))
        tells(functools.partial(vents_picture, name="Case X"), case, "Case X", "Case X", hidden)


def test_the_moment_of_comfort_stands_on_the_curve_and_its_lack_is_told():
    outside, hour = day(air_temperature=celsius(32), relative_humidity=0.4), {"duration": 3600.0, "points": 121}
    for wish, seen, said in (
        (25, "after {minutes:.1f} min; {air:temperature}; {interior:temperature}; {vent:temperature}", ""),
        (15, "not within 60 min", "does not come down to {wish:temperature}"),
    ):
        result = pull_down(CabinSpec(), outside, coil(), start=celsius(55), wish=celsius(wish), **hour)
        assert (result.comfort_time is None) == (wish == 15)
        ends = {name: getattr(result, name)[-1] for name in ("air", "interior", "vent")}
        ends |= {"minutes": (result.comfort_time or 0.0) / 60.0, "wish": celsius(wish)}
        draw = functools.partial(pull_down_picture, wish=celsius(wish), outside=celsius(32))
        tells(draw, result, seen, said, **ends)
