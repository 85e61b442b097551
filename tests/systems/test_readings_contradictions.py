"""Readings that contradict each other or physics: refused with the likely cause, or noted where they are possible."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.systems.readings_to_try import GAS_COOLER, HEALTHY, changed, noted, readings_of, refused, swapped, taken
from tests.systems.test_cycle import solved
from thermo_kit.errors import ReadingsError
from thermo_kit.substances import REFRIGERANT_NAMES
from thermo_kit.systems import cycle_from_readings
from thermo_kit.units import bar, fahrenheit, psig

THREE_CLAMPS = taken(outlet=None)
SHARP = {"pressure_accuracy": 5e3, "temperature_accuracy": 0.5}
PAIRS = (("suction", "discharge"), ("suction", "liquid"), ("discharge", "liquid"), ("discharge", "evaporator outlet"))
SWAPS = [(*pair, readings) for pair in PAIRS for readings in (HEALTHY, GAS_COOLER, THREE_CLAMPS)][:-1]


@pytest.mark.parametrize(("first", "second", "readings"), SWAPS)
def test_two_swapped_thermocouples_are_found(first, second, readings):
    message = refused(swapped(*(f"{name.replace(' ', '_')}_temperature" for name in (first, second)), readings))
    assert f"thermocouples of {first} and {second} line swapped" in message
    assert message.endswith("with that undone, all readings fit together")


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        (taken(12.5, 2.0), "pressure 13.51 bar abs is above the discharge pressure 3.01.*cause: hoses swapped"),
        (taken(6.0, 6.2), "not running or not pumping"),
        (taken(44, 59), "above the critical pressure of R-134a"),
        (taken(29, 181), "likely cause: psi typed as bar"),
        (taken(gauge=psig), "likely cause: bar typed as psi"),
        (taken(200, 1250), "likely cause: kPa typed as bar"),
        (taken(suction=48.2, discharge=161.6, liquid=109.4, outlet=42.8), "likely cause: °F typed as °C"),
        (taken(degrees=fahrenheit), "likely cause: °C typed as °F"),
        (taken(3.01325, 13.51325, **SHARP), "likely cause: absolute pressures typed as gauge"),
        (taken(1.2, 11, -3, 60, 44, -5, gauge=bar, **SHARP), "likely cause: gauge pressures typed as absolute"),
        (changed(readings_of(solved(refrigerant="R-290")), refrigerant="R-134a"), r"chosen wrongly \(R-290"),
        # The suction is dry, so poor contact is all that is left: no likely cause follows.
        (taken(discharge=52), "52.0 °C is colder than a loss-free compressor would make it, 63.8 °C.*swapped[?]$"),
        (taken(suction=1, outlet=0, discharge=50), "liquid returns with the vapour and cools it"),
        (taken(suction=-9, outlet=None), "temperature −9.0 °C is 9.8 K below the dew temperature 0.8 °C.*be that cold"),
        (taken(liquid=60), "no liquid can be that hot"),
        (changed(suction_temperature=None), "suction temperature None is not a number"),
    ],
)
def test_what_no_running_system_shows_is_refused_with_its_cause(readings, words):
    assert re.search(words, refused(readings))


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        (taken(liquid=50), "may carry bubbles"),
        (taken(liquid=22), "unusually high"),
        (taken(suction=35, discharge=110), "starved evaporator"),
        (taken(discharge=100), "efficiency is only 0.45"),
        (taken(-0.2, suction=-10, discharge=85, outlet=-20), "in vacuum"),
        (taken(outlet=0), "evaporator outlet is not above dew"),
        (taken(discharge=62), "efficiency is above 1, which the uncertainty"),
        (taken(3.01325, 13.51325), "Or absolute pressures were typed as gauge: then superheat would be"),
        (taken(suction=6, outlet=14), "those two thermocouples swapped"),
        (taken(liquid=6, outlet=43), "(?s)those two thermocouples swapped.*look whether two clamps are swapped"),
        (taken(35, 95, 10, 95, 6, 37, refrigerant="R-744"), "(?s)those two thermocouples.*look whether two clamps"),
        (taken(1.5 - 1.01325, 7.5 - 1.01325, 26, 92, 18, 24), "cooler outside than in the cabin"),
        (taken(liquid=53), "flash gas in the liquid line.*cannot be known"),
        (taken(suction=-1, outlet=-1), "Wet suction is possible.*cannot tell how much"),
    ],
)
def test_points_to_note(readings, words):
    assert re.search(words, noted(readings)) and "swapped" not in noted(GAS_COOLER)
    assert not re.search(words, noted(HEALTHY)) and "in the cabin" not in noted(taken(liquid=18, outlet=None))


@pytest.mark.parametrize(
    ("readings", "point", "share"), [(taken(liquid=53), 2, 0.0), (taken(suction=-1, outlet=-1), 0, 1.0)]
)
def test_a_little_beyond_saturation_is_put_onto_the_line(readings, point, share):
    cycle = cycle_from_readings(readings)
    assert min(cycle.subcooling, cycle.suction_superheat) < 0
    assert cycle.points[point].state.x == pytest.approx(share)


WARM = st.floats(-60, 180)
NUMBERS = st.tuples(st.floats(-0.9, 60), st.floats(-0.9, 180), WARM, WARM, WARM, st.none() | WARM)


@given(st.sampled_from(REFRIGERANT_NAMES), NUMBERS)
def test_any_numbers_give_a_cycle_that_balances_or_a_reason(name, numbers):
    try:
        cycle = cycle_from_readings(taken(*numbers, refrigerant=name))
    except ReadingsError as reason:
        assert reason.problems
        return
    assert cycle.energy_closure < 1e-6
    assert math.isfinite(cycle.coefficient_of_performance)
    assert cycle.compressor_work > 0
    assert all(math.isfinite(value) and value >= 0 for value in cycle.uncertainty.values())
