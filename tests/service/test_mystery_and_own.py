"""Tickets, their score and their kept table; somebody's own vehicle: its sheet, its doubts, its causes."""

import random

import numpy as np
import pytest

from thermo_kit.errors import OutOfRangeError, ReadingsError, UnknownNameError
from thermo_kit.fleet import fault, vehicle, vehicle_names
from thermo_kit.service import mystery
from thermo_kit.service.diagnosis import INSTRUMENTS, Reading, value_of
from thermo_kit.service.kept import AMBIENTS, day_at, kept_signatures
from thermo_kit.service.own_vehicle import LIKE, OwnVehicle, diagnose_own, read_sheet, verdict_words
from thermo_kit.systems import solve_vehicle
from thermo_kit.systems.vehicle import FAULTS
from thermo_kit.units import UnitSystem, celsius, tell
from thermo_kit.units.look import Look

KIND = "expansion valve, electric drive"
OWN = OwnVehicle(kind=KIND, refrigerant="R-1234yf", charge=0.52)
DAY = AMBIENTS[1]


@pytest.mark.parametrize("name", vehicle_names())
def test_what_is_kept_is_what_the_model_says_today(name):
    table = kept_signatures(name, DAY)
    row = random.Random(name).choice([i for i, size in enumerate(table.severities) if abs(size - 0.55) < 0.2])
    kind = table.faults[row]
    size = min((0.4, 0.55, 0.7), key=lambda one: abs(one - table.severities[row]))
    at = [i for i, one in enumerate(table.faults) if one == kind]
    result = solve_vehicle(vehicle(name), day_at(DAY), fault(kind, size))
    for column, read in enumerate(table.names):
        kept = np.interp(size, table.severities[at], table.values[at, column])
        near = 0.5 * INSTRUMENTS[read].accuracy + 0.01 * abs(kept)
        assert kept == pytest.approx(value_of(result, read), abs=near), (
            f"{kind}, {read}: run .ci/keep_signatures.py after a change of model, faults or vehicles"
        )


def test_between_two_kept_days_lies_what_is_between_them():
    low, middle, high = (kept_signatures("city_van", T).values[0] for T in (AMBIENTS[0], celsius(27), DAY))
    assert middle == pytest.approx(0.5 * (low + high))
    with pytest.raises(OutOfRangeError, match="outside air"):
        kept_signatures("city_van", celsius(45))


def test_a_ticket_is_always_the_same_and_tickets_differ():
    first = mystery.draw_ticket(7)
    mystery.draw_ticket.cache_clear()
    assert mystery.draw_ticket(7) == first
    drawn = [mystery.draw_ticket(number) for number in range(1, 41)]
    assert len({(one.vehicle, one.fault) for one in drawn}) > 20 and {one.vehicle for one in drawn} > {"city_van"}
    for one in drawn:
        every = mystery.model_verdict(one, (*one.readings, *one.heard), ahead=False)
        assert every.chance_of(one.fault) > 0.1, one
    for number in (0, mystery.LARGEST_TICKET + 1, 2.5):
        with pytest.raises(OutOfRangeError, match="ticket"):
            mystery.draw_ticket(number)


def test_every_answer_in_words_names_faults_that_exist():
    for name in mystery.WORDS:
        named = [one for answer in mystery.told_by()[name]["answers"] for one in answer["faults"]]
        assert set(named) <= set(FAULTS) and len(named) == len(set(named))
    assert set(mystery.told_by()["names"]) <= set(INSTRUMENTS) and set(LIKE.values()) <= set(vehicle_names())


def test_the_score_is_proper():
    """Whoever is right in a share of cases gains most by saying just this share (Brier 1950)."""
    for truth in (0.5, 0.7, 0.95):
        gain = {
            p: truth * mystery.confidence_score(True, p) + (1 - truth) * mystery.confidence_score(False, p)
            for p in np.linspace(0, 1, 101)
        }
        assert max(gain, key=gain.get) == pytest.approx(truth, abs=0.006)
    with pytest.raises(OutOfRangeError, match="confidence"):
        mystery.confidence_score(True, 80)


def test_a_verdict_is_judged_and_more_readings_tell_more():
    ticket = mystery.draw_ticket(98)
    taken = ("discharge_pressure", "vent_temperature", "liquid_temperature")
    judged = mystery.judge_verdict(ticket, taken, ticket.fault, 0.8)
    assert judged.right and judged.score == pytest.approx(0.96) and judged.minutes == 8.0
    assert len(judged.shares) == 3 and judged.best in (*ticket.readings, *ticket.heard)
    assert not mystery.judge_verdict(ticket, (), "weak_blower", 0.8).right
    assert mystery.model_verdict(ticket, ()).following[0].rate > 0.0
    with pytest.raises(UnknownNameError, match="measurement"):
        mystery.model_verdict(ticket, ("crystal ball",))


@pytest.mark.parametrize(
    ("text", "value"),
    [("low side: 30 psi", 308168), ("suction_pressure, 2.07 bar", 308325), ("Low-side gauge;\t2,07", 308325),
     ("scan: low-side sensor: 3.08 bar abs", 308000)],
)  # fmt: skip
def test_a_line_is_read_however_it_is_written(text, value):
    assert read_sheet(text + "\n", Look())[0][0].value == pytest.approx(value, rel=1e-3)


def test_a_bad_line_is_named_and_the_others_are_used(tmp_path):
    file = tmp_path / "mine.csv"
    file.write_text(
        "reading,value\nvent,48 °F\nlow side,oops\nlow sied,2\nvent,9\nhigh side,\nliquid line,300\n", "utf-8"
    )
    readings, skipped = read_sheet(str(file), Look(system=UnitSystem.US))
    assert [one.value for one in readings] == [pytest.approx(282.04, abs=0.01)]
    assert [line for line, _ in skipped] == [3, 4, 5, 7]
    told = " ".join(tell(reason, Look(system=UnitSystem.US)) for _, reason in skipped)
    assert "no number" in told and "low sied" in told and "twice" in told and "°F" in told
    with pytest.raises(ReadingsError, match="no line that can be used"):
        read_sheet("low side: oops\n", Look())


def sheet(**changed):
    """Readings of a sound van like the one that stands in, with some changed."""
    usual = {"suction_pressure": 2.9e5, "discharge_pressure": 10.8e5, "suction_temperature": celsius(14),
             "discharge_temperature": celsius(66), "liquid_temperature": celsius(33),
             "vent_temperature": celsius(5.5)} | changed  # fmt: skip
    return tuple(Reading(name, value) for name, value in usual.items())


def test_slips_are_guessed_and_a_sound_vehicle_is_not_called_ill():
    found, remarks = diagnose_own(OWN, DAY, sheet())
    assert found.verdict == "several" and any("sound vehicle" in words for words in remarks)
    absolute = sheet(suction_pressure=3.9e5, discharge_pressure=11.8e5)
    assert any("absolute" in words for words in diagnose_own(OWN, DAY, absolute)[1])
    swapped = sheet(suction_temperature=celsius(33), liquid_temperature=celsius(14))
    assert "swapped" in diagnose_own(OWN, DAY, swapped)[0].words


def test_a_high_side_above_the_critical_point_is_held_against_the_clamps():
    with pytest.raises(ReadingsError, match="below the condensing point at the high side"):
        diagnose_own(OWN, DAY, sheet(discharge_pressure=40e5))


@pytest.mark.parametrize("kind", LIKE)
@pytest.mark.parametrize("refrigerant", ("R-1234yf", "R-134a"))
def test_a_large_fault_shows_through_all_that_is_unknown(kind, refrigerant):
    table = kept_signatures(LIKE[kind], DAY)
    row = max(i for i, name in enumerate(table.faults) if name == "blend_leak")
    own = OwnVehicle(kind=kind, refrigerant=refrigerant, charge=0.6)
    wanted = ("vent_temperature", "air_flow", "evaporator_outlet_temperature", "return_air_temperature")
    readings = tuple(Reading(n, v) for n, v in zip(table.names, table.values[row].tolist(), strict=True) if n in wanted)
    found, _ = diagnose_own(own, DAY, readings)
    assert found.candidates[0].name in ("blend_leak", "vent_sensor") and found.misfit > 0.05


def test_a_charge_is_told_in_grams_of_the_label():
    readings = sheet(liquid_temperature=celsius(43), discharge_pressure=11.6e5)
    found, _ = diagnose_own(OWN, DAY, readings)
    words = tell(verdict_words(OWN, found), Look())
    assert found.candidates[0].name == "undercharge"
    assert ("g are missing" in words) == (found.verdict == "one")
