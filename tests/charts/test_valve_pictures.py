"""The pictures of the expansion valve: what is drawn follows the result, and words carry what colour carries."""

import re
from dataclasses import replace

import pytest

from tests.charts.told import tells
from thermo_kit.charts import Look
from thermo_kit.charts import expansion_valve as chart
from thermo_kit.components import expansion_valve as part
from thermo_kit.fleet import part_of
from thermo_kit.units import celsius

VALVE = part_of("older_van", "expansion_valve")
DUTY = part.EvaporatorDuty(refrigerant="R-134a", condensing_temperature=celsius(50))


def balance(superheat):
    at = {"outlet_pressure": 292803, "bulb_temperature": celsius(superheat)}
    return part.force_balance(VALVE, refrigerant="R-134a", **at)


@pytest.mark.parametrize(("superheat", "state"), [(2.0, "closed"), (6.0, "partly open"), (12.0, "fully open")])
def test_forces_and_the_state_of_the_pin_stand_in_picture_and_sentence(superheat, state):
    held, head = balance(superheat), chart.WORDS[state].partition(": ")[0]
    forces = "{bulb_force:force}; {evaporator_force:force}; {spring_force:force}"
    assert held.state == state
    tells(chart.force_picture, held, f"{head}; {forces}", f"{head.capitalize()}; {forces}")


def test_the_arrow_of_the_bulb_grows_with_its_force():
    def longest(superheat):
        moving = chart.force_picture(balance(superheat), Look()).moving
        path = next(p for p in re.findall(r'd="([^"]*)"[^>]*stroke: #c44e00; stroke-width: 5', moving))
        y = [float(pair[1]) for pair in re.findall(r"[ML] ([\d.]+) ([\d.]+)", path)]
        return abs(y[0] - y[-1])

    assert longest(7.0) > longest(2.0) > 10


@pytest.mark.parametrize("charge", part.CHARGES)
def test_each_charge_is_named_and_the_own_one_marked(charge):
    valve = replace(VALVE, charge=charge)
    curves = part.opening_curves(valve, DUTY, evaporating_temperature=celsius(0), superheat=6.0)
    tells(chart.opening_picture, curves, "; ".join((f"{charge} (this valve)", *part.CHARGES, "opens", "limit")))


def test_a_valve_that_cannot_open_says_so():
    gas = replace(VALVE, charge="gas charge")
    curves = part.opening_curves(gas, DUTY, evaporating_temperature=celsius(20), superheat=6.0)
    tells(chart.opening_picture, curves, "stays shut", "cannot leave its seat")


@pytest.mark.parametrize("fault", part.FAULTS)
def test_verdict_and_both_readings_stand_in_the_picture(fault):
    case = part.fault_case(VALVE, DUTY, fault=fault, size=0.9)
    pressures = "{faulty.evaporating_pressure:pressure}; sound: {sound.evaporating_pressure:pressure}"
    wet = {"seen" if case.faulty.quality_is_wet else "unseen": "% liquid"}
    tells(chart.readings_picture, case, f"{case.faulty.verdict.upper()}; {pressures}", "{faulty.verdict}")
    tells(chart.readings_picture, case, **wet)


def test_a_lane_tells_in_words_what_its_colours_tell():
    wet = chart.Lane(
        "fixed orifice", "nothing opens", 1.0, True, "wet, 3 % liquid", "2.1 bar(g), line 1.5 °C", "", True
    )
    poor = chart.Lane("electronic valve", "stepper", 0.75, False, "1.0 K superheat", "2.0 bar(g)", "282 steps", False)
    seen = (
        "boiling 100 %; boiling 75 %; dry 25 %; ✓ wet, 3 % liquid; ! 1.0 K superheat; nothing to plug into; 282 steps"
    )
    tells(lambda lanes, look: chart.feedings_picture(lanes, sentence="Two lanes."), (wet, poor), seen)
