"""A term: which hand-in counts, what is late, re-sits, withdrawn learners, the gradebook."""

import os
from datetime import UTC, datetime

import pytest

from tests.course.sample_class import SampleClass, rows_of
from tests.course.sample_workbook import EXERCISE
from thermo_kit.course.term import read_term
from thermo_kit.errors import CourseError, UnknownNameError

RESIT = f"{EXERCISE}_resit_1"
BEFORE, AFTER = "2026-11-30T17:00:00Z", "2026-11-30T19:00:00Z"
DUE = f"[exercises.{EXERCISE}]\nweight = 2\ndeadline = 2026-11-30T18:00:00Z\n"


def seconds(at):
    return datetime.fromisoformat(at).timestamp()


@pytest.fixture(autouse=True)
def later(monkeypatch):
    """The clock of marking stands after every time of these tests."""
    monkeypatch.setattr("time.time", lambda: seconds("2026-12-31T00:00:00Z"))


def marked_at(room, learner, at=BEFORE, **changes):
    path = room.hand_in(learner, **changes)
    os.utime(path, (seconds(at),) * 2)
    room.mark()


def rules(room, text):
    room.term_file.write_text("term_version = 1\n" + text)
    return read_term(room.folder)


def counting(term, learner="A01"):
    mark = term.entries[learner, EXERCISE].counting
    return mark and (round(mark.points, 3), mark.is_late, mark.exercise)


@pytest.fixture
def three(room):
    """A01 handed in 4, then 5, then 3 points, the last one late."""
    for at, changes in (("2026-11-30T10:00:00Z", {"b": "twice the flow"}), (BEFORE, {}), (AFTER, {"a": "1 min"})):
        marked_at(room, "A01", at, **changes)
    return room


@pytest.mark.parametrize(
    ("word", "costs", "points"),
    [("first", 0, (4, False)), ("last", 0, (3, True)), ("best", 0, (5, False)), ("last", 0.5, (1.5, True))],
)
def test_the_attempt_that_counts_and_what_late_costs(three, word, costs, points):
    term = rules(three, f'counts = "{word}"\nlate_costs = {costs}\n{DUE}')
    assert counting(term)[:2] == points and len(term.entries["A01", EXERCISE].attempts) == 3
    assert counting(term, "A02") is None and term.total("A02") == 0 and term.total("A02", marked_only=True) is None
    assert term.total("A01") == pytest.approx(points[0] / 5)


def test_the_instructor_enters_the_true_time_of_a_hand_in(three):
    entered = f'[[handed_in]]\nlearner = "A01"\nexercise = "{EXERCISE}"\nattempt = 3\nat = 2026-11-30T17:59:00Z\n'
    term = rules(three, entered + DUE)
    assert counting(term)[:2] == (3, False)
    assert [one.time_from for one in term.entries["A01", EXERCISE].attempts][1:] == ["time of the file", "entered"]


@pytest.mark.parametrize(
    ("due", "zone", "is_late"),
    [
        ("2026-11-30T18:00:00", "UTC", True),
        ("2026-11-30T18:00:00", "Etc/GMT+2", False),
        ("2026-11-30", "UTC", False),
        ("2026-11-29", "UTC", True),
        ("9999-12-31", "Etc/GMT+2", False),
        ("0001-01-01", "Etc/GMT-2", True),
    ],
)
def test_a_deadline_counts_in_the_zone_of_the_class(three, due, zone, is_late):
    term = rules(three, f'time_zone = "{zone}"\n[exercises.{EXERCISE}]\ndeadline = {due}\n')
    assert counting(term)[1] is is_late


def test_a_sheet_handed_in_again_later_in_time_keeps_its_first_time(room):
    marked_at(room, "A01", BEFORE)
    os.utime(room.sheet("A01"), (seconds(AFTER),) * 2)
    room.mark(again=True)
    assert counting(rules(room, DUE))[1] is False


def test_a_mark_without_a_known_time_counts_from_its_marking(room):
    marked_at(room, "A01")
    room.in_book("DROP TRIGGER marks_stay_as_written", "UPDATE marks SET handed_in_at = NULL")
    (attempt,) = read_term(room.folder).entries["A01", EXERCISE].attempts
    assert attempt.time_from == "time of marking" and attempt.handed_in_at.year >= 2020


def test_a_resit_has_new_numbers_and_keeps_the_old_marks(room, give, run):
    marked_at(room, "A01", a="1 min", b="twice the flow")
    old = room.notebook("A01", EXERCISE).read_bytes()
    assert give(resits=["A01"]).written == ("A01",)
    # It waits for its sheet: asking again, or after a kill, gives no third case.
    promised = room.cases()
    room.notebook("A01", RESIT).unlink()
    assert give(resits=["A01"]).written == ("A01",) and room.cases() == promised
    assert promised.case(RESIT, "A01").fingerprint != promised.case(EXERCISE, "A01").fingerprint
    assert room.notebook("A01", EXERCISE).read_bytes() == old
    room.hand_in("A01", name=RESIT, d="no idea at all")
    marking = room.mark()
    assert [(m.exercise, m.points) for m in marking.marked] == [(EXERCISE, 2), (RESIT, 4)]
    assert marking.not_recognised == () and marking.not_marked == ()
    for word, points in (("first", 2), ("last", 4), ("best", 4)):
        assert counting(rules(room, f'resit_counts = "{word}"'))[0] == points
    assert "80*R" in run("term", room.folder)
    assert give(resits=["A01"]).written == ("A01",) and len(room.cases().names_of(EXERCISE)) == 3


def test_a_resit_is_for_those_who_had_the_exercise(give, room):
    with pytest.raises(UnknownNameError, match="A09 for a re-sit must be on the roster, and have had the exercise"):
        give(resits=["A01", "A09"])


def test_a_spoilt_resit_is_not_missing(room, give):
    give(resits=["A01"])
    room.hand_in("A01", name=RESIT).write_text("{")
    marking = room.mark()
    assert [(n.learner, n.exercise) for n in marking.not_marked] == [("A01", RESIT)]
    assert ("A01", RESIT) not in marking.missing and ("A01", EXERCISE) in marking.missing


def test_the_gradebook_joins_names_and_marks_what_is_provisional(workbook, roster, tmp_path, run):
    path = roster("learner;Name;Group\nA01;=Example One;x\nA02;Example Two;y\n")
    run("handout", path, "--exercise", "all", "--to", tmp_path / "class_a")
    room = SampleClass(tmp_path / "class_a", workbook)
    marked_at(room, "A01", b="twice the flow")
    room.term_file.write_text('term_version = 1\nwithdrawn = ["A02"]\n')
    out = run("term", room.folder, "--separator", "semicolon")
    one, two = rows_of(room.instructor / "gradebook.csv", ";")
    assert (one["Name"], one["Group"], one["provisional"], one["marked_percent"]) == ("'=Example One", "x", "1", "80")
    assert (one[f"{EXERCISE}_points"], one[f"{EXERCISE}_state"]) == ("4", "provisional")
    assert (two["Name"], two["state"], two["total_percent"]) == ("Example Two", "withdrawn", "")
    assert "80*" in out and "withdrawn" in out
    assert f"{EXERCISE} is not in term.toml: it counts with weight 1" in out


def test_a_decision_counts_for_the_hand_in_it_was_made_on(room):
    marked_at(room, "A01", d="no idea at all")
    room.review("me").override("A01", "d", 0.5)
    marked_at(room, "A01", AFTER)
    first, second = read_term(room.folder).entries["A01", EXERCISE].attempts
    assert (first.points, first.is_provisional) == (4.5, False) and (second.points, second.is_provisional) == (5, True)


def test_the_first_run_writes_rules_that_the_next_one_reads(room):
    term = read_term(room.folder)
    assert term.notes == () and term.rules.exercises[EXERCISE].weight == 1
    text = room.term_file.read_text()
    room.term_file.write_text(text.replace("# deadline =", "deadline = 2026-12-01"))
    assert read_term(room.folder).rules.moment(datetime(2026, 1, 1, tzinfo=UTC)).tzinfo is UTC


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("late_costs = 2", "cannot be used at late_costs"),
        ("= 1", "is damaged or cut off"),
        ('time_zone = "Nowhere/Town"', "time_zone that is unknown"),
        ('withdrawn = ["A09"]', "names A09, which this class has not"),
        (f'[[handed_in]]\nlearner = "A01"\nexercise = "{EXERCISE}"\nat = 2026-11-30', "attempt 1 of A01"),
        (f"[exercises.{EXERCISE}]\nweight = nan", "cannot be used at exercises"),
        ("marks = 3", "cannot be used at marks"),
    ],
)
def test_wrong_rules_are_told(room, text, told):
    with pytest.raises(CourseError, match=told):
        rules(room, text)
