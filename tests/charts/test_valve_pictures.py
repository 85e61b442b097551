"""The pictures of the expansion valve: what is drawn follows the result, and words carry what colour carries."""

import re
from dataclasses import replace

import pytest

from tests.charts.told import words
from thermo_kit.charts import Look
from thermo_kit.charts.expansion_valve import (
    WORDS,
    Lane,
    feedings_picture,
    force_picture,
    opening_picture,
    readings_picture,
)
from thermo_kit.components.expansion_valve import (
    CHARGES,
    FAULTS,
    EvaporatorDuty,
    fault_case,
    force_balance,
    opening_curves,
)
from thermo_kit.fleet import part_of
from thermo_kit.units import celsius

VALVE = part_of("older_van", "expansion_valve")
DUTY = EvaporatorDuty(refrigerant="R-134a", condensing_temperature=celsius(50))


def balance(superheat):
    boils = celsius(0)
    return force_balance(VALVE, refrigerant="R-134a", outlet_pressure=292803, bulb_temperature=boils + superheat)


@pytest.mark.parametrize(("superheat", "state"), [(2.0, "closed"), (6.0, "partly open"), (12.0, "fully open")])
def test_the_state_of_the_pin_is_told_in_words(superheat, state):
    picture = force_picture(balance(superheat), Look())
    head = WORDS[state].partition(": ")[0]
    assert balance(superheat).state == state and head in words(picture)
    assert head.capitalize() in picture.sentence


def test_forces_stand_in_picture_and_sentence():
    held = balance(6.0)
    picture = force_picture(held, Look())
    for force in (held.bulb_force, held.evaporator_force, held.spring_force):
        assert f"{force:.1f} N" in words(picture) and f"{force:.1f} N" in picture.sentence


def test_the_arrow_of_the_bulb_grows_with_its_force():
    def longest(superheat):
        moving = force_picture(balance(superheat), Look()).moving
        path = next(p for p in re.findall(r'd="([^"]*)"[^>]*stroke: #c44e00; stroke-width: 5', moving))
        y = [float(pair[1]) for pair in re.findall(r"[ML] ([\d.]+) ([\d.]+)", path)]
        return abs(y[0] - y[-1])

    assert longest(7.0) > longest(2.0) > 10


@pytest.mark.parametrize("charge", CHARGES)
def test_each_charge_is_named_and_the_own_one_marked(charge):
    valve = replace(VALVE, charge=charge)
    picture = opening_picture(opening_curves(valve, DUTY, evaporating_temperature=celsius(0), superheat=6.0), Look())
    told = words(picture)
    assert f"{charge} (this valve)" in told and all(name in told for name in CHARGES)
    assert "opens" in told and "limit" in told


def test_a_valve_that_cannot_open_says_so():
    gas = replace(VALVE, charge="gas charge")
    curves = opening_curves(gas, DUTY, evaporating_temperature=celsius(20), superheat=6.0)
    picture = opening_picture(curves, Look())
    assert "stays shut" in words(picture) and "cannot leave its seat" in picture.sentence


@pytest.mark.parametrize("fault", FAULTS)
def test_verdict_and_both_readings_stand_in_the_picture(fault):
    case = fault_case(VALVE, DUTY, fault=fault, size=0.9)
    picture = readings_picture(case, Look())
    told = words(picture)
    assert case.faulty.verdict.upper() in told and case.faulty.verdict in picture.sentence
    assert Look().text(case.faulty.evaporating_pressure, "pressure") in told
    assert f"sound: {Look().text(case.sound.evaporating_pressure, 'pressure')}" in told
    assert ("% liquid" in told) == case.faulty.quality_is_wet


def test_a_lane_tells_in_words_what_its_colours_tell():
    wet = Lane("fixed orifice", "nothing opens", 1.0, True, "wet, 3 % liquid", "2.1 bar(g), line 1.5 °C", "", True)
    poor = Lane("electronic valve", "stepper", 0.75, False, "1.0 K superheat", "2.0 bar(g)", "282 steps", False)
    told = words(feedings_picture((wet, poor), sentence="Two lanes."))
    assert "boiling 100 %" in told and "boiling 75 %" in told and "dry 25 %" in told
    assert "✓ wet, 3 % liquid" in told and "! 1.0 K superheat" in told
    assert "nothing to plug into" in told and "282 steps" in told
