"""Pump, hose, water and the rise test; logs of a vacuum gauge and of a recovery machine."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from thermo_kit import service
from thermo_kit.errors import FileAccessError, InputError, ReadingsError
from thermo_kit.units import STANDARD_ATMOSPHERE


@given(
    water=st.floats(1e-4, 0.03), warmth=st.floats(0.0, 3.0), bore=st.floats(3e-3, 0.02), core=st.booleans(),
    minutes=st.floats(5.0, 120.0),
)  # fmt: skip
@settings(max_examples=25, deadline=None)
def test_water_and_heat_close(water, warmth, bore, core, minutes):
    spec = service.EvacuationSpec(
        water=water, warmth=warmth, hose=service.HoseSpec(bore=bore, core_in=core), duration=60.0 * minutes
    )
    result = service.evacuate(spec)
    assert max(result.water_closure, result.energy_closure) < 1e-4
    assert min(result.pressure) > 0.9 * spec.ultimate_pressure
    assert all(left >= 0.0 for left in result.water_left)


def test_a_leak_holds_the_pressure_where_the_pump_takes_as_much_as_comes_in():
    spec = service.EvacuationSpec(water=0.0, oil_outgassing=0.0, leak=0.01, duration=7200.0)
    p = service.evacuate(spec).pressure[-1]
    assert service.drawn_speed(spec, p) * p == pytest.approx(spec.leak * (1.0 - p / STANDARD_ATMOSPHERE), rel=1e-3)


def test_the_hose_decides_and_a_core_costs_more():
    thin, wide = service.EvacuationSpec(), service.EvacuationSpec(hose=service.HoseSpec(bore=9.5e-3, core_in=False))
    no_core = service.EvacuationSpec(hose=service.HoseSpec(core_in=False))
    at = [service.drawn_speed(spec, 100.0) for spec in (thin, no_core, wide)]
    assert at[0] < at[1] < at[2] < wide.pump_speed
    assert at[1] < 0.05 * thin.pump_speed


@given(bore=st.floats(2e-3, 0.05), length=st.floats(0.1, 5.0), p=st.floats(1e-3, 1e3))
def test_conductance_lies_between_both_limits(bore, length, p):
    molecular = service.hose_conductance(bore, length, 1e-9)
    viscous = math.pi * bore**4 * p / (128.0 * 1.82e-5 * length)
    found = service.hose_conductance(bore, length, p)
    assert 0.8 * molecular < found < 1.01 * molecular + 1.02 * viscous


def test_a_cold_lump_with_a_strong_pump_turns_to_ice_and_a_warm_one_does_not():
    strong = {"hose": service.HoseSpec(bore=9.5e-3, core_in=False), "pump_speed": 140 / 60000, "water": 0.01}
    cold, warm = (service.evacuate(service.EvacuationSpec(warmth=w, duration=3600.0, **strong)) for w in (0.1, 3.0))
    assert cold.froze and max(cold.ice_share) == pytest.approx(1.0)
    assert min(cold.water_temperature) < 273.15
    assert not warm.froze
    assert warm.dry_after < (cold.dry_after or math.inf)


KINDS = ("tight", "leak", "moisture", "leak and moisture")
TIMES = np.arange(0.0, 1801.0, 30.0)


def _log(kind, chance):
    """Return pressures of a synthetic rise test as a 3 Pa gauge would write them."""
    p = np.full(len(TIMES), chance.uniform(20.0, 120.0))
    if "leak" in kind:
        p += chance.uniform(0.03, 0.5) * TIMES
    if "moisture" in kind:
        p += chance.uniform(150.0, 1500.0) * (1.0 - np.exp(-TIMES / chance.uniform(90.0, 400.0)))
    return np.maximum(p + chance.normal(0.0, 3.0, len(TIMES)), 0.0)


def test_logs_are_told_apart_with_these_error_rates():
    """The docstring of `judge_vacuum_rise` tells the rates of 1,000 such logs: raise there what is raised here."""
    chance = np.random.default_rng(14)
    verdicts = [(kind, service.judge_vacuum_rise(TIMES, _log(kind, chance))) for kind in KINDS * 100]
    wrong = [(kind, said.verdict) for kind, said in verdicts if said.verdict not in (kind, "cannot tell")]
    unsure = [kind for kind, said in verdicts if said.verdict == "cannot tell"]
    assert len(wrong) <= 0.01 * len(verdicts)
    assert len(unsure) <= 0.02 * len(verdicts)
    leaks = [said.verdict in ("tight", "moisture") for kind, said in verdicts if "leak" in kind]
    tight = ["leak" in said.verdict for kind, said in verdicts if kind == "tight"]
    assert max(np.mean(leaks), np.mean(tight)) <= 0.01


def test_the_leak_found_lies_within_its_uncertainty():
    chance, inside = np.random.default_rng(3), 0
    for _ in range(100):
        rate = chance.uniform(0.05, 0.5)
        p = 50.0 + rate * TIMES + chance.normal(0.0, 3.0, len(TIMES))
        said = service.judge_vacuum_rise(TIMES, np.maximum(p, 0.0))
        inside += abs(said.leak - rate * 2.5e-3) <= 2.0 * said.leak_uncertainty
    assert inside >= 88  # 95 of 100 are expected within two standard deviations


def test_a_short_look_cannot_tell():
    t = TIMES[:7]
    p = 60.0 + 0.06 * t + np.random.default_rng(1).normal(0.0, 3.0, len(t))
    said = service.judge_vacuum_rise(t, p, gauge_accuracy=6.0)
    assert said.verdict == "cannot tell" and said.notes


@pytest.mark.parametrize(
    "times, pressures, told",
    [
        ([0, 1, 2], [1, 2, 3], "at least six"),
        ([0, 1, 2, 2, 4, 5], [50] * 6, "do not rise"),
        (range(6), [50, 50, 50, 50, 50, 9e4], "is no vacuum"),
        (range(6), [50, 50, -20, 50, 50, 60], "is no vacuum"),
        (range(6), ["a"] * 6, "not numbers"),
        (range(6), [50, 50, math.nan, 50, 50, 60], "not all numbers"),
    ],
)
def test_a_rise_test_that_cannot_be_read(times, pressures, told):
    with pytest.raises(ReadingsError, match=told):
        service.judge_vacuum_rise(list(times), pressures)


def text_of(heading, values):
    lines = [f"time [min], {heading}", *(f"{i}, {value}" for i, value in enumerate(values))]
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize(
    "heading, values, expected",
    [
        ("vacuum [micron]", (500, 750), 66.661),
        ("Pressure (Pa)", (66.66, 99.99), 66.66),
        ("pressure [mbar]", (0.6666, 1.0), 66.66),
        ("pressure_torr", (0.5, 0.75), 66.661),
        ("vacuum [inHg vac]", (29.9016, 29.80), 66.7),
        ("pressure [kPa(a)]", (0.06666, 0.1), 66.66),
        ("pressure [bar(g)]", (-1.0125834, -1.01), 66.66),
    ],
)
def test_the_same_vacuum_in_every_unit(heading, values, expected):
    log = service.read_vacuum_log(text_of(heading, values))
    assert log.pressures[0] == pytest.approx(expected, abs=1.2)
    assert log.times == (0.0, 60.0)


def test_inches_of_vacuum_at_altitude():
    text = text_of("vacuum [inHg vac]", (24.0, 23.9))
    (first, _) = service.read_vacuum_log(text, altitude=1524.0).pressures
    assert first == pytest.approx(84307.0 - 24.0 * 3386.39, abs=200.0)
    told = "# altitude: 1524 m\n" + text
    assert service.read_vacuum_log(told).pressures[0] == first
    assert service.read_vacuum_log(told, altitude=0.0).pressures[0] == pytest.approx(101325.0 - 24.0 * 3386.39, abs=1.0)


@pytest.mark.parametrize(
    "text, told",
    [
        (text_of("vacuum [psi]", (1, 2)), "line 1, column .*gauge or absolute"),
        (text_of("vacuum", (1, 2)), "line 1, column .*has no unit"),
        (text_of("vacuum [furlong]", (1, 2)), "not understood"),
        ("time [s], other\n0, 1\n1, 2\n", "'pressure' is missing"),
        ("time [s], pressure [Pa], pressure [Pa]\n0,1,1\n", "stands twice"),
        ("time [s], pressure [Pa]\n", "no lines of readings"),
        ("time [s], pressure [Pa]\n60, 0\n61, 30\n60, 60\n59, 90\n58, 120\n", "swapped"),
        (text_of("pressure [Pa]", (101325, 101000, 99000)), "line 2 pressure is above"),
    ],
)
def test_a_log_that_cannot_be_read_names_line_and_fix(text, told):
    with pytest.raises(ReadingsError, match=told):
        service.read_vacuum_log(text)


def test_single_bad_lines_are_named_and_the_rest_is_used():
    text = (
        "time [s], vacuum [micron]\n0, 400\n60, oops\n120, 420\n110, 425\n180, -3\n240\n300, 440\n360, 445\n420, 450\n"
    )
    log = service.read_vacuum_log(text)
    assert log.lines == (2, 4, 8, 9, 10)
    assert [line for line, _ in log.skipped] == [3, 5, 6, 7]
    reasons = " ".join(reason for _, reason in log.skipped)
    for word in ("not a number", "does not rise", "perfect vacuum", "1 of 2 cells"):
        assert word in reasons


def test_a_gap_is_told():
    rows = [(60 * i + (900 if i > 5 else 0), 400 + i) for i in range(12)]
    log = service.read_vacuum_log("time [s], vacuum [micron]\n" + "".join(f"{t}, {p}\n" for t, p in rows))
    assert any("gap of 960 s before line 8" in note for note in log.notes)


def test_a_recovery_log_is_read_and_a_falling_weight_is_named():
    rows = ("0; 0; 4,7; on", "1; 95; 3,9; on", "2; 60; 3,5; on", "3; 180; 3,0; on", "4; 1e6; 3,0; on", "")
    text = "\n".join(("elapsed [min]; recovered [g]; pressure [bar(g)]; fan", *rows))
    log = service.read_recovery_log(text)
    assert log.masses == pytest.approx((0.0, 0.095, 0.180))
    assert log.pressures[0] == pytest.approx(101325 + 4.7e5)
    for (number, told), line, reason in zip(log.skipped, (4, 6), ("weight falls", "weight is above"), strict=True):
        assert number == line and reason in told
    assert any("'fan' is not used" in note for note in log.notes)
    with pytest.raises(FileAccessError):
        service.read_recovery_log("no_such_file.csv")


@given(st.text(max_size=200))
def test_no_text_breaks_the_reader(text):
    with pytest.raises(InputError):
        service.read_vacuum_log(text + "\n")
