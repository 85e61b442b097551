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
LOW = "suction_pressure"


@pytest.fixture(scope="module")
def judged():
    """Verdicts on held-out vehicles that scatter, with noise: by all readings, a few, gauges alone."""
    return judge(VANS, CASES, 3, day=DAY)


def share(judged, readings, what):
    own = [one for one in judged if one.readings == readings]
    return sum(getattr(one, what) for one in own) / len(own)


def test_the_right_fault_comes_first(judged, record_property):
    for told in ("all", "few", "gauges"):
        record_property(told, f"{share(judged, told, 'right'):.2f}, group {share(judged, told, 'group'):.2f}")
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


def told_of(name, *faults, changed=dict, noise=None):
    """Return the diagnosis of all that a vehicle with faults would show; changed: of what is shown, what is misread."""
    result = solve_vehicle(vehicle(name), DAY, faults)
    shown = {one.name: one.value for one in readings_of(result, INSTRUMENTS, noise=noise)}
    return diagnose(vehicle(name), DAY, tuple(Reading(*one) for one in {**shown, **changed(shown)}.items()))


def test_two_faults_are_named_or_not_called_one():
    pairs = ("weak_fan", "weak_blower"), ("undercharge", "blend_leak"), ("dirty_condenser", "weak_compressor")
    named = 0
    for both in pairs:
        told = told_of("older_van", *(fault(one, 0.7) for one in both), noise=random.Random(5))
        named += set(told.pair) == set(both)
        assert told.verdict != "one" or told.candidates[0].name in both
    assert named >= 2


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        (lambda shown: {"suction_temperature": shown["liquid_temperature"],
                        "liquid_temperature": shown["suction_temperature"]},
         "suction line and clamp on the liquid line were swapped"),
        (lambda shown: {LOW: shown[LOW] + 101325.0}, "low-side gauge shows an absolute pressure"),
        (lambda shown: {"vent_temperature": celsius(-15), "air_flow": 1.8 * shown["air_flow"]}, "no single fault"),
    ],
)  # fmt: skip
def test_a_slip_with_clamps_or_gauge_and_what_fits_nothing_is_told(changed, words):
    told = told_of("older_van", changed=changed)
    assert told.verdict == "nothing" and words in told.words and not told.pair


def test_a_severity_is_found_and_told_with_its_range():
    first = told_of("older_van", fault("blend_leak", 0.6)).candidates[0]
    assert first.name == "blend_leak" and first.low <= 0.6 <= first.high
    assert first.severity == pytest.approx(0.6, abs=0.1)


def test_a_sound_vehicle_is_called_sound_and_evidence_is_told_in_words():
    told = told_of("city_van")
    assert told.misfit > 0.5 and told.candidates[0].name == "sound"
    assert all("expected" in tell(one.words, Look()) for one in told.evidence)


CLAMPS = "liquid_temperature", "discharge_temperature"


@pytest.mark.parametrize(
    ("readings", "told"),
    [
        ((Reading(LOW, 12e5), Reading("discharge_pressure", 3e5)), "swapped"),
        ((), "missing"),
        ((Reading(LOW, 3e5), Reading(LOW, 3e5)), "twice"),
        ((Reading(LOW, 3.0),), "gauge or absolute"),
        (tuple(map(Reading, CLAMPS, (350.0, 320.0))), "clamps"),
        *(((Reading(LOW, 3e5, accuracy),), "accuracy") for accuracy in (-1.0, 0.0, 1e9)),
    ],
)
def test_readings_that_cannot_be_are_refused(readings, told):
    with pytest.raises(ReadingsError, match=told):
        diagnose(vehicle("older_van"), DAY, readings)


def test_a_reading_that_a_vehicle_lacks_is_none_and_refused():
    assert value_of(solve_vehicle(vehicle("older_van"), DAY), "supply_current") is None
    with pytest.raises(UnknownNameError, match="not one of this vehicle"):
        diagnose(vehicle("older_van"), DAY, (Reading("valve_opening", 0.4),))


@pytest.mark.parametrize("hints", [{"undercharge": 0.0}, {"sound": -1.0}, {"undercharge": float("nan")}, {"moon": 1.0}])
def test_a_hint_is_a_weight_above_zero_of_a_fault(hints):
    with pytest.raises(OutOfRangeError, match="hint"):
        diagnose(vehicle("older_van"), DAY, (Reading("suction_pressure", 3e5),), hints=hints)
