"""Diagnosis: held-out simulated cases, their calibration, the next measurement, and readings that cannot be."""

import random

import pytest

from tests.benchmarks.diagnosis_calibration import judge, minutes_to_the_verdict, table
from thermo_kit.errors import OutOfRangeError, ReadingsError, UnknownNameError
from thermo_kit.fleet import fault, vehicle
from thermo_kit.service.diagnosis import INSTRUMENTS, Reading, diagnose, readings_of, value_of
from thermo_kit.systems import Conditions, solve_vehicle
from thermo_kit.units import celsius, tell
from thermo_kit.units.look import Look

DAY = Conditions()
VANS = ("older_van",)
CASES = 40


@pytest.fixture(scope="module")
def judged():
    """Verdicts on held-out vehicles that scatter, with noise: by all readings, a few, gauges alone."""
    return judge(VANS, CASES, 3, day=DAY)


def share(judged, readings, what):
    own = [one for one in judged if one.readings == readings]
    return sum(getattr(one, what) for one in own) / len(own)


def test_the_right_fault_comes_first(judged, record_property):
    for readings in ("all", "few", "gauges"):
        record_property(
            readings, f"{share(judged, readings, 'right'):.2f}, group {share(judged, readings, 'group'):.2f}"
        )
    assert share(judged, "all", "right") >= 0.8 and share(judged, "all", "group") >= 0.85
    assert share(judged, "gauges", "right") < share(judged, "few", "right") < share(judged, "all", "right")
    assert sum(one.verdict == "nothing" for one in judged) <= 0.02 * len(judged)


def test_how_sure_is_how_often_right(judged, record_property):
    """The table in full, from many more cases, is the command `tests.benchmarks.diagnosis_calibration`."""
    rows = table(judged)
    told = [f"said {said:.2f}, right {right:.2f} of {number}" for _, _, said, right, number in rows]
    record_property("calibration", "; ".join(told))
    for _, _, said, right, number in rows:
        # Three standard deviations of a share from so many verdicts, of which three on one case hang together.
        assert abs(said - right) <= 0.02 + 3.0 * (2.0 * said * (1.0 - said) / number) ** 0.5, told
    assert abs(sum(one.said - one.right for one in judged)) <= 0.06 * len(judged), told


def test_the_best_next_measurement_beats_a_fixed_order(record_property):
    best, fixed = minutes_to_the_verdict("city_van", DAY, 4, 11)
    record_property("minutes to the verdict", f"best {best:.1f}, fixed {fixed:.1f}")
    assert best < 0.75 * fixed


def test_two_faults_are_named_or_not_called_one(judged):
    spec, pairs = vehicle("older_van"), (("weak_fan", "weak_blower"), ("undercharge", "blend_leak"),
                                         ("dirty_condenser", "weak_compressor"))  # fmt: skip
    named = 0
    for both in pairs:
        shown = solve_vehicle(spec, DAY, tuple(fault(one, 0.7) for one in both))
        told = diagnose(spec, DAY, readings_of(shown, INSTRUMENTS, noise=random.Random(5)))
        named += set(told.pair) == set(both)
        assert told.verdict != "one" or told.candidates[0].name in both
    assert named >= 2


def test_a_slip_with_clamps_or_gauge_is_told():
    spec = vehicle("older_van")
    shown = {one.name: one.value for one in readings_of(solve_vehicle(spec, DAY), INSTRUMENTS)}
    for changed, words in (
        ({"suction_temperature": shown["liquid_temperature"], "liquid_temperature": shown["suction_temperature"]},
         "suction line and clamp on the liquid line were swapped"),
        ({"suction_pressure": shown["suction_pressure"] + 101325.0}, "low-side gauge shows an absolute pressure"),
    ):  # fmt: skip
        told = diagnose(spec, DAY, tuple(Reading(*one) for one in {**shown, **changed}.items()))
        assert told.verdict == "nothing" and words in told.words


def test_a_severity_is_found_and_told_with_its_range():
    spec = vehicle("older_van")
    shown = solve_vehicle(spec, DAY, fault("blend_leak", 0.6))
    first = diagnose(spec, DAY, readings_of(shown, INSTRUMENTS)).candidates[0]
    assert first.name == "blend_leak" and first.low <= 0.6 <= first.high
    assert first.severity == pytest.approx(0.6, abs=0.1)


def test_a_sound_vehicle_is_called_sound_and_evidence_is_told_in_words():
    spec = vehicle("city_van")
    told = diagnose(spec, DAY, readings_of(solve_vehicle(spec, DAY), INSTRUMENTS))
    assert told.misfit > 0.5
    assert told.candidates[0].name == "sound"
    words = [tell(one.words, Look()) for one in told.evidence]
    assert all("expected" in text for text in words)


def test_readings_that_fit_nothing_are_said_to():
    spec = vehicle("city_van")
    shown = {one.name: one.value for one in readings_of(solve_vehicle(spec, DAY), INSTRUMENTS)}
    shown["vent_temperature"] = celsius(-15)
    shown["air_flow"] *= 1.8
    told = diagnose(spec, DAY, tuple(Reading(name, value) for name, value in shown.items()))
    assert told.verdict == "nothing" and not told.pair and "no single fault" in told.words


def test_readings_that_cannot_be_are_refused():
    spec = vehicle("city_van")
    low, high = "suction_pressure", "discharge_pressure"
    with pytest.raises(ReadingsError, match="swapped"):
        diagnose(spec, DAY, (Reading(low, 12e5), Reading(high, 3e5)))
    with pytest.raises(ReadingsError, match="missing"):
        diagnose(spec, DAY, ())
    with pytest.raises(ReadingsError, match="twice"):
        diagnose(spec, DAY, (Reading(low, 3e5), Reading(low, 3e5)))
    with pytest.raises(ReadingsError, match="gauge or absolute"):
        diagnose(spec, DAY, (Reading(low, 3.0),))
    with pytest.raises(ReadingsError, match="clamps"):
        diagnose(spec, DAY, (Reading("liquid_temperature", 350.0), Reading("discharge_temperature", 320.0)))
    with pytest.raises(UnknownNameError, match="not one of this vehicle"):
        diagnose(vehicle("older_van"), DAY, (Reading("valve_opening", 0.4),))
    for accuracy in (-1.0, 0.0, 1e9):
        with pytest.raises(ReadingsError, match="accuracy"):
            diagnose(spec, DAY, (Reading(low, 3e5, accuracy),))


def test_a_reading_that_a_vehicle_lacks_is_none():
    assert value_of(solve_vehicle(vehicle("older_van"), DAY), "supply_current") is None


@pytest.mark.parametrize("hints", [{"undercharge": 0.0}, {"sound": -1.0}, {"undercharge": float("nan")}, {"moon": 1.0}])
def test_a_hint_is_a_weight_above_zero_of_a_fault(hints):
    with pytest.raises(OutOfRangeError, match="hint"):
        diagnose(vehicle("older_van"), DAY, (Reading("suction_pressure", 3e5),), hints=hints)
