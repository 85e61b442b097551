import json
import sqlite3

import pytest

from tests.course.sample_class import LEARNERS, change_answers
from tests.course.sample_workbook import EXERCISE
from thermo_kit.course import marking, spread
from thermo_kit.course.cases import Case
from thermo_kit.course.classroom import Classroom
from thermo_kit.course.keys import Key
from thermo_kit.course.mark_book import STEPS, MarkBook
from thermo_kit.course.report import report_lines
from thermo_kit.course.tickets import issue_ticket
from thermo_kit.errors import CourseError

NO_DATABASE = "not a database, but long enough to look like a file" * 20


def test_marks_mistakes_and_what_is_missing(room):
    room.hand_in("A01")
    room.hand_in("A02", a=room.multiplied("A02"), b="twice the flow")
    room.hand_in("A03", b="twice the flow", d="no idea")
    marking = room.mark()
    assert [(m.learner, m.points, m.out_of) for m in marking.marked] == [("A01", 5, 5), ("A02", 2, 5), ("A03", 3, 5)]
    assert marking.missing == (("A04", EXERCISE),) and marking.not_marked == ()
    found = marking.misunderstandings()
    assert next(iter(found.items())) == ((EXERCISE, "b", "flow upside down"), ["A02", "A03"])
    assert found[(EXERCISE, "a", "multiplied")] == ["A02"]
    lines = [" ".join(line.split()) for line in report_lines(marking, room.folder)]
    assert f"2 {EXERCISE} b flow upside down A02, A03" in lines
    assert any(line.startswith("A03, 01_water_tank, d: no idea") for line in lines)
    assert lines[-1] == "3 sheets marked (3 new in the mark book), 0 not marked, 1 missing."


def spoil(path, **changes):
    path.write_text(json.dumps(json.loads(path.read_text()) | changes))


def number_of(path, **changes):
    return {"numbers": json.loads(path.read_text())["numbers"] | changes}


def signed_anew(path, room):
    changed = number_of(path, volume=20 if json.loads(path.read_text())["numbers"]["volume"] != 20 else 25)
    other = Case(EXERCISE, tuple(changed["numbers"].items()))
    spoil(path, **changed, ticket=issue_ticket(room.secret(), "A01", other))


def link(path, room):
    path.rename(room.folder / "elsewhere")
    path.symlink_to(room.folder / "elsewhere")


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda path, _: path.write_text(path.read_text()[:100]), "damaged or cut off"),
        (lambda path, _: path.write_text(path.read_text() + " " * 300_000), "larger than 200 kB"),
        (lambda path, _: path.write_text("[" * 50_000), "damaged or cut off"),
        (lambda path, _: spoil(path, **number_of(path, volume=21)), "does not fit the exercise and numbers"),
        (lambda path, _: spoil(path, points=100), "edited by hand"),
        (lambda path, _: spoil(path, exercise="02_other"), "answers to another exercise"),
        (lambda path, _: spoil(path, ticket=""), "carries no ticket"),
        (signed_anew, "numbers that are not the ones on the list for A01"),
        (link, "is a link"),
    ],
)
def test_a_spoilt_sheet_is_named_and_does_not_stop_the_others(room, change, told):
    bad, _ = (room.hand_in(learner) for learner in ("A01", "A03"))
    change(bad, room)
    marking = room.mark()
    assert [m.learner for m in marking.marked] == ["A03"]
    (problem,) = marking.not_marked
    assert problem.path == bad and told in problem.reason
    # A sheet that was refused was handed in all the same.
    assert marking.missing == (("A02", EXERCISE), ("A04", EXERCISE))


def test_two_different_sheets_of_one_learner_are_left_to_the_instructor(room):
    first = room.hand_in("A01")
    copy = room.folder / f"mailed_{first.name}"
    copy.write_text(first.read_text())
    # The same answers saved at another time are the same sheet.
    spoil(copy, saved_at="2024-05-01T08:00:00+00:00")
    marking = room.mark()
    assert len(marking.marked) == 1 and marking.not_marked == ()
    copy.write_text(first.read_text().replace("half the flow", "twice the flow"))
    marking = room.mark()
    assert not marking.marked and len(marking.not_marked) == 2
    assert "keep the one that counts" in marking.not_marked[0].reason


@pytest.mark.parametrize(
    "name",
    ["{}.sheet (1).json", "{}.sheet-Copy1.json", "{}.sheet.json.txt", "01_WATER_TANK.SHEET.JSON", "{}\n.sheet.json"],
)
def test_a_copy_that_a_program_named_anew_is_still_a_sheet(room, name):
    sheet = room.hand_in("A01")
    sheet.rename(sheet.with_name(name.format(EXERCISE)))
    marking = room.mark()
    assert [m.learner for m in marking.marked] == ["A01"] and ("A01", EXERCISE) not in marking.missing


def test_the_mark_book_only_grows_when_something_changed(room, run):
    for answers, more, is_new in (
        ({}, [], True),
        ({}, [], False),
        ({"b": "twice the flow"}, [], True),
        # What was superseded never shows, and is no reason to keep a mark twice.
        ({}, [], True),
        ({}, ["--again"], True),
    ):
        path, before = (room.hand_in("A01", **answers), room.marks_kept() if room.mark_book_file.exists() else 0)
        run("mark", room.folder, *more)
        assert room.marks_kept() == before + is_new
    path.unlink()
    (earlier,) = room.mark().marked_earlier
    assert (earlier.points, earlier.answers["b"]) == (5, "half the flow")


def test_a_mark_book_that_is_damaged_or_of_a_later_version_is_told(room):
    room.mark()
    assert room.in_book("PRAGMA user_version") == [(5,)]
    room.in_book("PRAGMA user_version = 6")
    with pytest.raises(CourseError, match="is of version 6: update the workbook"):
        room.mark()
    room.mark_book_file.write_text(NO_DATABASE)
    with pytest.raises(CourseError, match=r"mark book.*cannot be used.*restore"):
        room.mark()


STAYS = "BEFORE {} ON marks BEGIN SELECT RAISE(ABORT, 'marks are only added'); END"
VERSION_1 = (
    "CREATE TABLE marks (number INTEGER PRIMARY KEY, learner TEXT NOT NULL, exercise TEXT NOT NULL, "
    "sheet_digest TEXT NOT NULL, key_digest TEXT NOT NULL, points REAL NOT NULL, out_of REAL NOT NULL, "
    "verdicts TEXT NOT NULL, marked_at TEXT NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%SZ', 'now')), "
    "UNIQUE (learner, exercise, sheet_digest, key_digest))",
    f"CREATE TRIGGER marks_stay_as_written {STAYS.format('UPDATE')}",
    f"CREATE TRIGGER marks_stay_there {STAYS.format('DELETE')}",
)


@pytest.mark.parametrize("version", [0, 1])
def test_a_mark_book_of_version_1_is_brought_up_to_date(room, version):
    kept = json.dumps([dict(question="a", verdict="right", points=2, out_of=2, feedback="Right.", mistake="")])
    row = f"INSERT INTO marks VALUES ({{}}, '{EXERCISE}', 's', 'k', 2, 2, '{kept}', '2024-05-01T08:00:00Z')"
    rows = [row.replace("{}", place) for place in ("3, 'A01'", "7, 'A02'")]
    room.in_book(*VERSION_1, *rows, f"PRAGMA user_version = {version}")
    room.hand_in("A02")
    (earlier,) = room.mark().marked_earlier
    assert (earlier.learner, earlier.points, earlier.answers) == ("A01", 2, {})
    assert earlier.marked_at == "2024-05-01T08:00:00Z"
    with MarkBook(room.mark_book_file) as book:
        assert room.marks_kept() == 3 and book.newest("A01", EXERCISE).number == 3
        newest = book.newest("A02", EXERCISE)
        assert newest.number == 8 and newest.answers["b"] == "half the flow"
    for words in ("UPDATE marks SET points = 99", "DELETE FROM marks"):
        with pytest.raises(sqlite3.Error, match="only added"):
            room.in_book(words)


def test_a_migration_that_is_cut_off_leaves_version_1(room, monkeypatch):
    room.in_book(*VERSION_1, "PRAGMA user_version = 1")
    monkeypatch.setitem(STEPS, "to_version_3", ["no such words"])
    with pytest.raises(CourseError, match="cannot be used"):
        MarkBook(room.mark_book_file)
    assert room.in_book("PRAGMA user_version") == [(1,)]
    assert room.in_book("SELECT name FROM sqlite_master WHERE type = 'table'") == [("marks",)]


def test_a_damaged_row_of_the_mark_book_hurts_nobody_else(room):
    paths = {learner: room.hand_in(learner) for learner in ("A01", "A02", "A03")}
    room.mark()
    room.in_book(
        "DROP TRIGGER marks_stay_as_written",
        "UPDATE marks SET verdicts = '{' WHERE learner = 'A01'",
        """UPDATE marks SET verdicts = '[{"points": 1}]' WHERE learner = 'A02'""",
    )
    paths["A02"].unlink()
    marking = room.mark()
    assert [(m.learner, m.points, m.is_new) for m in marking.marked] == [("A01", 5, True), ("A03", 5, False)]
    (told,) = [s for s in marking.standings if s.learner == "A02"]
    assert told.state == "not marked" and "of the mark book is damaged: restore" in told.reason


def test_a_key_that_was_only_saved_again_marks_nobody_anew(room, workbook, monkeypatch):
    room.hand_in("A01")
    room.mark()
    change_answers(workbook, "Half the water comes each minute.", "Each minute brings half the water.")
    for _ in range(2):
        (marked,) = room.mark().marked
        assert not marked.is_new and marked.verdicts[1].feedback == "Right. Each minute brings half the water."
        # What was worded anew is kept, and not worked out once more.
        monkeypatch.setattr(marking, "judge_part", lambda *_: pytest.fail("was judged again"))


def test_a_key_that_changed_marks_again_also_what_is_only_in_the_book(room, workbook):
    _, gone = (room.hand_in(learner) for learner in ("A01", "A03"))
    room.mark()
    gone.unlink()
    change_answers(workbook, "points=2", "points=3")
    marking = room.mark()
    assert [(m.is_new, m.out_of) for m in marking.marked] == [(True, 6)]
    assert [(s.learner, s.out_of) for s in marking.marked_earlier] == [("A03", 6)] and room.marks_kept() == 4


@pytest.fixture
def judge_by(monkeypatch):
    """Let keys judge answers that were changed before."""
    real = Key.judge
    return lambda change: monkeypatch.setattr(Key, "judge", lambda self, answers: real(self, change(answers)))


def test_a_package_that_was_repaired_judges_again(room, monkeypatch, judge_by):
    room.hand_in("A01", a="20 minuten")
    room.mark()
    judge_by(lambda answers: answers | {"a": answers["a"].removesuffix("uten")})
    monkeypatch.setattr(marking, "program_digest", lambda: "another")
    (marked,) = room.mark().marked
    assert marked.is_new and marked.verdicts[0].verdict != "not readable"


def test_a_killed_run_continues_where_it_was(room, monkeypatch):
    room.hand_in(*LEARNERS)
    real, calls = MarkBook.add, []

    def dies_at_the_third(self, *args):
        if len(calls) == 2:
            raise KeyboardInterrupt
        calls.append(args)
        return real(self, *args)

    monkeypatch.setattr(spread, "LARGEST_PART", 1)
    monkeypatch.setattr(MarkBook, "add", dies_at_the_third)
    with pytest.raises(KeyboardInterrupt):
        room.mark()
    monkeypatch.undo()
    assert [m.is_new for m in room.mark().marked] == [False, False, True, True]


def test_nothing_of_a_learner_is_executed(room, tmp_path):
    trap = tmp_path / "trap"
    text = f"__import__('pathlib').Path({str(trap)!r}).write_text('x')"
    room.hand_in("A01", a=text, b=text, d=text)
    notebook = room.notebook("A01", EXERCISE)
    notebook.write_text(notebook.read_text().replace("volume = ", f"{text}; volume = "))
    assert len(room.mark().marked) == 1
    assert not trap.exists()


def test_one_sheet_that_breaks_the_judging_does_not_stop_the_others(room, judge_by):
    room.hand_in("A01", a="breaks")
    room.hand_in("A02")
    judge_by(lambda answers: 1 / 0 if answers["a"] == "breaks" else answers)
    marking = room.mark()
    assert [m.learner for m in marking.marked] == ["A02"]
    (refused,) = marking.not_marked
    assert (refused.learner, refused.exercise) == ("A01", EXERCISE)
    assert "ZeroDivisionError: division by zero): check the answers notebook" in refused.reason
    assert "ask the maintainer" in refused.reason


@pytest.mark.parametrize(
    ("call", "place", "told", "marked"),
    [
        ("stat", f"A01/{EXERCISE}.sheet.json", "cannot be read (Permission denied)", ["A02"]),
        ("scandir", "A01", "cannot be listed (Permission denied)", ["A02"]),
        ("scandir", "", "cannot be listed (Permission denied)", []),
    ],
)
def test_what_does_not_let_in_is_told(room, refuse, call, place, told, marked):
    room.hand_in("A01", "A02")
    closed = room.for_learners / place
    refuse(call, lambda path: path == str(closed))
    marking = room.mark()
    assert [m.learner for m in marking.marked] == marked
    (refused,) = marking.not_marked
    assert refused.path == closed and told in refused.reason
    assert ("A01", EXERCISE) not in marking.missing and (("A04", EXERCISE) in marking.missing) == bool(marked)


def test_an_instructors_own_answers_folder(room, workbook, tmp_path, run):
    room.hand_in("A01", b="twice the flow")
    own, theirs, words = tmp_path / "own", workbook.answer(EXERCISE), ("mark", room.folder)
    own.mkdir()
    (own / theirs.name).write_text(theirs.read_text().replace("flow upside down", "our own name"))
    theirs.unlink()
    assert "answers notebook '01_water_tank' is unknown" in run(*words, code=1)
    assert "our own name" in run(*words, "--answers", own)
    # The class remembers it, and never falls back on the public answers.
    theirs.write_text((own / theirs.name).read_text().replace("our own name", "public name"))
    assert "our own name" in run(*words)
    own.rename(tmp_path / "moved")
    assert "although it was named for 01_water_tank of this class: name the folder where" in run(*words, code=1)
    assert "public name" in run(*words, "--answers", workbook.answers)


def test_answers_named_at_the_hand_out_are_remembered(roster, workbook, tmp_path, run):
    own = tmp_path / "own"
    own.mkdir()
    workbook.answer(EXERCISE).rename(own / f"{EXERCISE}.ipynb")
    given = ["handout", roster("learner\nA01\n"), "--to", tmp_path / "c", "--exercise", "01"]
    for more, code in ([], 2), (["--answers", own], 0), ([], 0):
        run(*given, *more, code=code)
    Classroom(tmp_path / "c").answers_folders_file.write_text("[" * 100_000)
    assert "answers_folders.json is damaged" in run(*given, code=1)
