"""Readings that contradict each other or physics: refused with the likely cause, or noted where they are possible."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.systems.readings_to_try import GAS_COOLER, HEALTHY, changed, noted, readings_of, refused, swapped
from thermo_kit.errors import ReadingsError
from thermo_kit.systems import CycleSpec, Readings, cycle_from_readings, solve_cycle
from thermo_kit.units import atmosphere_pressure, barg, celsius, fahrenheit, psig


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("suction", "discharge"), ("suction", "liquid"), ("discharge", "liquid"),
        ("discharge", "evaporator outlet"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("readings", [HEALTHY, GAS_COOLER], ids=["R-134a", "R-744"])
def test_two_swapped_thermocouples_are_found(first, second, readings):
    names = [f"{name.replace(' ', '_')}_temperature" for name in (first, second)]
    message = refused(swapped(*names, readings))
    assert f"thermocouples of {first} and {second} line swapped" in message
    assert message.endswith("with that undone, all readings fit together")


@pytest.mark.parametrize(
    ("first", "second"), [("suction", "discharge"), ("suction", "liquid"), ("discharge", "liquid")]
)
def test_swaps_are_found_with_three_clamps_too(first, second):
    three = changed(evaporator_outlet_temperature=None)
    message = refused(swapped(f"{first}_temperature", f"{second}_temperature", three))
    assert f"thermocouples of {first} and {second} line swapped" in message


def test_suction_and_evaporator_clamps_swapped_is_possible_so_it_is_a_note():
    far_apart = changed(suction_temperature=celsius(14))
    two = ("suction_temperature", "evaporator_outlet_temperature")
    assert "those two thermocouples swapped" in noted(swapped(*two, far_apart))


@pytest.mark.parametrize("readings", [HEALTHY, GAS_COOLER], ids=["R-134a", "R-744"])
def test_liquid_and_evaporator_clamps_swapped_is_possible_so_it_is_a_note(readings):
    notes = noted(swapped("liquid_temperature", "evaporator_outlet_temperature", readings))
    assert "look whether two clamps are swapped" in notes and "those two thermocouples swapped" in notes
    assert "swapped" not in noted(readings)


def test_liquid_colder_than_the_cabin_of_a_starved_evaporator_is_computed():
    starved = Readings(
        refrigerant="R-134a", suction_pressure=1.5e5, discharge_pressure=7.5e5, suction_temperature=celsius(26),
        discharge_temperature=celsius(92), liquid_temperature=celsius(18), evaporator_outlet_temperature=celsius(24),
    )  # fmt: skip
    assert cycle_from_readings(starved).suction_superheat == pytest.approx(43.1, abs=0.1)
    assert "cooler outside than in the cabin" in noted(starved)
    assert "in the cabin" not in noted(changed(starved, evaporator_outlet_temperature=None))


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (HEALTHY.discharge_pressure, HEALTHY.suction_pressure, "likely cause: hoses swapped"),
        (
            HEALTHY.discharge_pressure,
            HEALTHY.suction_pressure,
            "pressure 13.51 bar abs is above the discharge pressure 3.01",
        ),
        (barg(6.0), barg(6.2), "not running or not pumping"),
        (45e5, 60e5, "above the critical pressure of R-134a"),
    ],
)
def test_pressures_of_no_running_system(low, high, words):
    assert words in refused(changed(suction_pressure=low, discharge_pressure=high))


@pytest.mark.parametrize(
    ("changes", "cause"),
    [
        ({"suction_pressure": barg(29), "discharge_pressure": barg(181)}, "psi typed as bar"),
        ({"suction_pressure": psig(2), "discharge_pressure": psig(12.5)}, "bar typed as psi"),
        ({"suction_pressure": barg(200), "discharge_pressure": barg(1250)}, "kPa typed as bar"),
        (
            {
                "suction_temperature": celsius(48.2), "discharge_temperature": celsius(161.6),
                "liquid_temperature": celsius(109.4), "evaporator_outlet_temperature": celsius(42.8),
            },
            "°F typed as °C",
        ),
        (
            {
                "suction_temperature": fahrenheit(9), "discharge_temperature": fahrenheit(72),
                "liquid_temperature": fahrenheit(43), "evaporator_outlet_temperature": fahrenheit(6),
            },
            "°C typed as °F",
        ),
    ],
)  # fmt: skip
def test_unit_slips_are_named(changes, cause):
    assert f"likely cause: {cause}" in refused(changed(**changes))


def test_absolute_typed_as_gauge_is_refused_where_it_contradicts_and_noted_where_it_may_be():
    air = atmosphere_pressure(0)
    sure = changed(
        suction_pressure=HEALTHY.suction_pressure + air,
        discharge_pressure=HEALTHY.discharge_pressure + air,
        pressure_accuracy=5e3,
        temperature_accuracy=0.5,
    )
    assert "likely cause: absolute pressures typed as gauge" in refused(sure)
    unsure = changed(sure, pressure_accuracy=None, temperature_accuracy=None)
    assert "Or absolute pressures were typed as gauge: then superheat would be" in noted(unsure)


def test_gauge_typed_as_absolute_is_named():
    low, high = barg(1.2) - 101_325, barg(11) - 101_325
    low_readings = changed(
        suction_pressure=low, discharge_pressure=high, pressure_accuracy=5e3, temperature_accuracy=0.5,
        suction_temperature=celsius(-3), evaporator_outlet_temperature=celsius(-5), discharge_temperature=celsius(60),
        liquid_temperature=celsius(44),
    )  # fmt: skip
    assert "likely cause: gauge pressures typed as absolute" in refused(low_readings)


def test_another_refrigerant_is_named_when_nothing_else_fits():
    propane = readings_of(
        solve_cycle(
            CycleSpec(
                refrigerant="R-290", evaporating_temperature=celsius(3), condensing_temperature=celsius(50),
                superheat=6, subcooling=5, isentropic_efficiency=0.7,
            )
        )
    )  # fmt: skip
    message = refused(changed(propane, refrigerant="R-134a"))
    assert "refrigerant chosen wrongly (R-290" in message


def test_cold_discharge_is_a_bad_contact_unless_the_suction_is_wet():
    message = refused(changed(discharge_temperature=celsius(52)))
    assert "discharge temperature 52.0 °C is colder than a loss-free compressor would make it, 63.8 °C" in message
    assert "poor contact" in message
    assert "likely cause" not in message
    wet = changed(
        suction_temperature=celsius(1), evaporator_outlet_temperature=celsius(0), discharge_temperature=celsius(50)
    )
    assert "liquid returns with the vapour and cools it" in refused(wet)


def test_vapour_much_colder_than_dew_is_refused():
    message = refused(changed(suction_temperature=celsius(-9), evaporator_outlet_temperature=None))
    assert "suction temperature −9.0 °C is 9.8 K below the dew temperature 0.8 °C" in message
    assert "vapour cannot be that cold" in message


def test_liquid_much_too_warm_is_refused():
    assert "no liquid can be that hot" in refused(changed(liquid_temperature=celsius(60)))


@pytest.mark.parametrize(
    ("changes", "point", "share", "words"),
    [
        ({"liquid_temperature": celsius(53)}, 2, 0.0, r"flash gas in the liquid line.*cannot be known"),
        (dict.fromkeys(("suction_temperature", "evaporator_outlet_temperature"), celsius(-1)), 0, 1.0,
         r"Wet suction is possible.*cannot tell how much"),
    ],
)  # fmt: skip
def test_a_little_beyond_saturation_is_put_onto_the_line_and_noted(changes, point, share, words):
    cycle = cycle_from_readings(changed(**changes))
    assert min(cycle.subcooling, cycle.suction_superheat) < 0
    assert cycle.points[point].state.x == pytest.approx(share)
    assert re.search(words, noted(changed(**changes)))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"liquid_temperature": celsius(50)}, "may carry bubbles"),
        ({"liquid_temperature": celsius(22)}, "unusually high"),
        ({"suction_temperature": celsius(35), "discharge_temperature": celsius(110)}, "starved evaporator"),
        ({"discharge_temperature": celsius(100)}, "efficiency is only 0.45"),
        ({"suction_pressure": barg(-0.2), "suction_temperature": celsius(-10), "discharge_temperature": celsius(85),
          "evaporator_outlet_temperature": celsius(-20)}, "in vacuum"),
        ({"evaporator_outlet_temperature": celsius(0)}, "evaporator outlet is not above dew"),
        ({"discharge_temperature": celsius(62)}, "efficiency is above 1, which the uncertainty"),
    ],
)  # fmt: skip
def test_points_to_note(changes, words):
    assert words in noted(changed(**changes)) and words not in noted(HEALTHY)


@given(
    st.sampled_from(("R-134a", "R-1234yf", "R-744", "R-152a", "R-290")),
    st.floats(-0.9, 60), st.floats(-0.9, 180), st.floats(-60, 180), st.floats(-60, 180), st.floats(-60, 180),
    st.none() | st.floats(-60, 180),
)  # fmt: skip
def test_any_numbers_give_a_cycle_that_balances_or_a_reason(name, low, high, suction, discharge, liquid, outlet):
    readings = Readings(
        refrigerant=name,
        suction_pressure=barg(low),
        discharge_pressure=barg(high),
        suction_temperature=celsius(suction),
        discharge_temperature=celsius(discharge),
        liquid_temperature=celsius(liquid),
        evaporator_outlet_temperature=None if outlet is None else celsius(outlet),
    )
    try:
        cycle = cycle_from_readings(readings)
    except ReadingsError as reason:
        assert reason.problems
        return
    assert cycle.energy_closure < 1e-6
    assert math.isfinite(cycle.coefficient_of_performance)
    assert cycle.compressor_work > 0
    assert all(math.isfinite(value) and value >= 0 for value in cycle.uncertainty.values())
