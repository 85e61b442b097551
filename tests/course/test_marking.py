import json
import sqlite3

import pytest

from tests.course.sample_class import LEARNERS, hand_in, marks_kept
from tests.course.sample_workbook import EXERCISE
from thermo_kit import cli
from thermo_kit.course import marking, spread
from thermo_kit.course.cases import Case
from thermo_kit.course.classroom import Classroom
from thermo_kit.course.keys import Key
from thermo_kit.course.mark_book import STEPS, MarkBook
from thermo_kit.course.marking import mark_class
from thermo_kit.course.report import report_lines
from thermo_kit.course.tickets import issue_ticket
from thermo_kit.errors import CourseError, UnknownNameError


def multiplied(room, learner):
    numbers = room.cases().case(EXERCISE, learner).numbers
    return f"{numbers['volume'] * numbers['flow']} min"


def test_marks_mistakes_and_what_is_missing(room, workbook):
    hand_in(room, workbook, "A01")
    hand_in(room, workbook, "A02", a=multiplied(room, "A02"), b="twice the flow")
    hand_in(room, workbook, "A03", b="twice the flow", d="no idea")
    marking = mark_class(room.folder, workbook=workbook)
    assert [(m.learner, m.points, m.out_of) for m in marking.marked] == [("A01", 5, 5), ("A02", 2, 5), ("A03", 3, 5)]
    assert marking.missing == (("A04", EXERCISE),) and marking.not_marked == ()
    found = marking.misunderstandings()
    assert next(iter(found.items())) == ((EXERCISE, "b", "flow upside down"), ["A02", "A03"])
    assert found[(EXERCISE, "a", "multiplied")] == ["A02"]
    text = "\n".join(report_lines(marking, room.folder))
    assert [line.split() for line in text.splitlines() if "flow upside down" in line] == [
        ["2", EXERCISE, "b", "flow", "upside", "down", "A02,", "A03"]
    ]
    assert "A03, 01_water_tank, d: no idea" in text
    assert "3 sheets marked (3 new in the mark book), 0 not marked, 1 missing." in text


def spoil(text, **changes):
    return json.dumps(json.loads(text) | changes)


SPOILT = {
    "truncated": (lambda raw, room, workbook: raw[:100], "damaged or cut off"),
    "huge": (lambda raw, room, workbook: raw + " " * 300_000, "larger than 200 kB"),
    "edited numbers": (
        lambda raw, room, workbook: spoil(raw, numbers={**json.loads(raw)["numbers"], "volume": 21}),
        "does not fit the exercise and numbers",
    ),
    "edited form": (lambda raw, room, workbook: spoil(raw, points=100), "edited by hand"),
    "other exercise": (lambda raw, room, workbook: spoil(raw, exercise="02_other"), "answers to another exercise"),
    "self-study": (lambda raw, room, workbook: spoil(raw, ticket=""), "carries no ticket"),
    "other learner": (
        lambda raw, room, workbook: hand_in(room, workbook, "A02").read_text(),
        "belongs to A02 but lies in the folder of A01: ask both",
    ),
    "nested": (lambda raw, room, workbook: "[" * 50_000, "damaged or cut off"),
}


@pytest.mark.parametrize("how", SPOILT)
def test_a_spoilt_sheet_is_named_and_does_not_stop_the_others(room, workbook, how):
    change, told = SPOILT[how]
    bad = hand_in(room, workbook, "A01")
    hand_in(room, workbook, "A03")
    bad.write_text(change(bad.read_text(), room, workbook))
    marking = mark_class(room.folder, workbook=workbook)
    assert "A03" in [m.learner for m in marking.marked] and "A01" not in [m.learner for m in marking.marked]
    (problem,) = marking.not_marked
    assert problem.path == bad and told in problem.reason
    # A sheet that was refused was handed in all the same.
    assert ("A01", EXERCISE) not in marking.missing and ("A04", EXERCISE) in marking.missing


def test_links_are_not_followed(room, workbook, tmp_path):
    good = hand_in(room, workbook, "A02")
    (room.for_learners / "A01" / good.name).symlink_to(good)
    marking = mark_class(room.folder, workbook=workbook)
    assert [m.learner for m in marking.marked] == ["A02"] and "is a link" in marking.not_marked[0].reason


def test_two_different_sheets_of_one_learner_are_left_to_the_instructor(room, workbook):
    first = hand_in(room, workbook, "A01")
    copy = room.folder / f"mailed_{first.name}"
    # The same answers saved at another time are the same sheet.
    copy.write_text(spoil(first.read_text(), saved_at="2024-05-01T08:00:00+00:00"))
    marking = mark_class(room.folder, workbook=workbook)
    assert len(marking.marked) == 1 and marking.not_marked == ()
    copy.write_text(first.read_text().replace("half the flow", "twice the flow"))
    marking = mark_class(room.folder, workbook=workbook)
    assert not marking.marked and len(marking.not_marked) == 2
    assert "keep the one that counts" in marking.not_marked[0].reason


def test_a_signed_case_that_is_not_on_the_list_is_refused(room, workbook):
    path = hand_in(room, workbook, "A01")
    listed = room.cases().case(EXERCISE, "A01").numbers
    other = Case(EXERCISE, tuple((listed | {"volume": 20 if listed["volume"] != 20 else 25}).items()))
    path.write_text(spoil(path.read_text(), numbers=other.numbers, ticket=issue_ticket(room.secret(), "A01", other)))
    (refused,) = mark_class(room.folder, workbook=workbook).not_marked
    assert "numbers that are not the ones on the list for A01" in refused.reason


def test_what_the_instructor_keeps_is_not_taken_for_hand_ins(room, workbook):
    sheet = hand_in(room, workbook, "A01")
    for folder in (room.instructor, room.for_learners / ".checkpoints"):
        folder.mkdir(exist_ok=True)
        (folder / sheet.name).write_text("{")
    marking = mark_class(room.folder, workbook=workbook)
    assert len(marking.marked) == 1 and marking.not_marked == ()


@pytest.mark.parametrize(
    "name",
    [
        f"{EXERCISE}.sheet (1).json",
        f"{EXERCISE}.sheet-Copy1.json",
        f"{EXERCISE}.sheet.json.txt",
        f"{EXERCISE}.SHEET.JSON".upper(),
    ],
)
def test_a_copy_that_a_program_named_anew_is_still_a_sheet(room, workbook, name):
    sheet = hand_in(room, workbook, "A01")
    sheet.rename(sheet.with_name(name))
    marking = mark_class(room.folder, workbook=workbook)
    assert [m.learner for m in marking.marked] == ["A01"] and ("A01", EXERCISE) not in marking.missing


def test_one_exercise_is_not_troubled_by_the_sheets_of_another(room, workbook):
    hand_in(room, workbook, "A01")
    (room.for_learners / "A02" / "02_other.sheet.json").write_text("{")
    assert len(mark_class(room.folder, workbook=workbook).not_marked) == 1
    assert mark_class(room.folder, workbook=workbook, exercise="01").not_marked == ()


def test_the_mark_book_only_grows_when_something_changed(room, workbook):
    hand_in(room, workbook, "A01")
    for new in (True, False):
        marking = mark_class(room.folder, workbook=workbook)
        assert [m.is_new for m in marking.marked] == [new]
    hand_in(room, workbook, "A01", b="twice the flow")
    assert mark_class(room.folder, workbook=workbook).marked[0].is_new
    assert marks_kept(room) == 2
    answers = workbook.answer(EXERCISE)
    answers.write_text(answers.read_text().replace("points=2", "points=3"))
    assert mark_class(room.folder, workbook=workbook).marked[0].out_of == 6
    assert marks_kept(room) == 3


def test_a_mark_book_of_a_later_version_is_left_alone(room, workbook):
    mark_class(room.folder, workbook=workbook)
    with sqlite3.connect(room.mark_book_file) as file:
        assert file.execute("PRAGMA user_version").fetchone() == (5,)
        file.execute("PRAGMA user_version = 6")
    with pytest.raises(CourseError, match="is of version 6: update the workbook"):
        mark_class(room.folder, workbook=workbook)


VERSION_1 = """
CREATE TABLE marks (
    number INTEGER PRIMARY KEY, learner TEXT NOT NULL, exercise TEXT NOT NULL, sheet_digest TEXT NOT NULL,
    key_digest TEXT NOT NULL, points REAL NOT NULL, out_of REAL NOT NULL, verdicts TEXT NOT NULL,
    marked_at TEXT NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%SZ', 'now')),
    UNIQUE (learner, exercise, sheet_digest, key_digest)
);
CREATE TRIGGER marks_stay_as_written BEFORE UPDATE ON marks BEGIN SELECT RAISE(ABORT, 'marks are only added'); END;
CREATE TRIGGER marks_stay_there BEFORE DELETE ON marks BEGIN SELECT RAISE(ABORT, 'marks are only added'); END;
"""


@pytest.mark.parametrize("version", [0, 1])
def test_a_mark_book_of_version_1_is_brought_up_to_date(room, workbook, version):
    kept = json.dumps([dict(question="a", verdict="right", points=2, out_of=2, feedback="Right.", mistake="")])
    file = sqlite3.connect(room.mark_book_file)
    file.executescript(VERSION_1 + f"PRAGMA user_version = {version};")
    for number, learner in ((3, "A01"), (7, "A02")):
        row = (number, learner, EXERCISE, "s", "k", 2.0, 2.0, kept, "2024-05-01T08:00:00Z")
        file.execute("INSERT INTO marks VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", row)
    file.commit()
    file.close()
    hand_in(room, workbook, "A02")
    marking = mark_class(room.folder, workbook=workbook)
    (earlier,) = marking.marked_earlier
    assert (earlier.learner, earlier.points, earlier.answers) == ("A01", 2, {})
    assert earlier.marked_at == "2024-05-01T08:00:00Z"
    with MarkBook(room.mark_book_file) as book:
        assert marks_kept(room) == 3 and book.newest("A01", EXERCISE).number == 3
        newest = book.newest("A02", EXERCISE)
        assert newest.number == 8 and newest.answers["b"] == "half the flow"
    test_marks_cannot_be_changed_or_removed(room, workbook)


def test_a_migration_that_is_cut_off_leaves_version_1(room, monkeypatch):
    file = sqlite3.connect(room.mark_book_file)
    file.executescript(VERSION_1 + "PRAGMA user_version = 1;")
    monkeypatch.setitem(STEPS, "to_version_3", ["no such words"])
    with pytest.raises(CourseError, match="cannot be used"):
        MarkBook(room.mark_book_file)
    assert file.execute("PRAGMA user_version").fetchone() == (1,)
    assert [row[0] for row in file.execute("SELECT name FROM sqlite_master WHERE type = 'table'")] == ["marks"]
    file.close()


def test_a_damaged_row_of_the_mark_book_hurts_nobody_else(room, workbook):
    paths = {learner: hand_in(room, workbook, learner) for learner in ("A01", "A02", "A03")}
    mark_class(room.folder, workbook=workbook)
    file = sqlite3.connect(room.mark_book_file)
    file.execute("DROP TRIGGER marks_stay_as_written")
    for learner, text in (("A01", "{"), ("A02", '[{"points": 1}]')):
        file.execute("UPDATE marks SET verdicts = ? WHERE learner = ?", (text, learner))
    file.commit()
    file.close()
    paths["A02"].unlink()
    marking = mark_class(room.folder, workbook=workbook)
    assert [(m.learner, m.points, m.is_new) for m in marking.marked] == [("A01", 5, True), ("A03", 5, False)]
    (told,) = [s for s in marking.standings if s.learner == "A02"]
    assert told.state == "not marked" and "of the mark book is damaged: restore" in told.reason


def test_a_superseded_mark_never_shows(room, workbook):
    for answer in ("half the flow", "twice the flow", "half the flow"):
        path = hand_in(room, workbook, "A01", b=answer)
        assert mark_class(room.folder, workbook=workbook).marked[0].is_new
    path.unlink()
    (earlier,) = mark_class(room.folder, workbook=workbook).marked_earlier
    assert (earlier.points, earlier.answers["b"]) == (5, "half the flow")


def change_answers(workbook, old, new):
    path = workbook.answer(EXERCISE)
    assert old in path.read_text()
    path.write_text(path.read_text().replace(old, new))


def test_a_key_that_was_only_saved_again_marks_nobody_anew(room, workbook, monkeypatch):
    hand_in(room, workbook, "A01")
    mark_class(room.folder, workbook=workbook)
    change_answers(workbook, "Half the water comes each minute.", "Each minute brings half the water.")
    for _ in range(2):
        (marked,) = mark_class(room.folder, workbook=workbook).marked
        assert not marked.is_new and marked.verdicts[1].feedback == "Right. Each minute brings half the water."
        # What was worded anew is kept, and not worked out once more.
        monkeypatch.setattr(marking, "judge_part", lambda *_: pytest.fail("was judged again"))


def test_a_key_that_changed_marks_again_also_what_is_only_in_the_book(room, workbook):
    hand_in(room, workbook, "A01")
    gone = hand_in(room, workbook, "A03")
    mark_class(room.folder, workbook=workbook)
    gone.unlink()
    change_answers(workbook, "points=2", "points=3")
    marking = mark_class(room.folder, workbook=workbook)
    assert [(m.is_new, m.out_of) for m in marking.marked] == [(True, 6)]
    assert [(s.learner, s.out_of) for s in marking.marked_earlier] == [("A03", 6)]


def test_a_package_that_was_repaired_judges_again(room, workbook, monkeypatch):
    hand_in(room, workbook, "A01", a="20 minuten")
    mark_class(room.folder, workbook=workbook)
    real = Key.judge
    monkeypatch.setattr(
        Key, "judge", lambda self, answers: real(self, answers | {"a": answers["a"].removesuffix("uten")})
    )
    monkeypatch.setattr(marking, "program_digest", lambda: "another")
    (marked,) = mark_class(room.folder, workbook=workbook).marked
    assert marked.is_new and marked.verdicts[0].verdict != "not readable"


def test_marking_again_on_request(room, workbook, mark):
    hand_in(room, workbook, "A01")
    for more, rows in (([], 1), ([], 1), (["--again"], 2)):
        assert mark(*more)[0] == 0 and marks_kept(room) == rows


def test_marks_cannot_be_changed_or_removed(room, workbook):
    hand_in(room, workbook, "A01")
    mark_class(room.folder, workbook=workbook)
    file = sqlite3.connect(room.mark_book_file)
    for words in ("UPDATE marks SET points = 99", "DELETE FROM marks"):
        with pytest.raises(sqlite3.Error, match="only added"):
            file.execute(words)
    file.close()


def test_a_killed_run_continues_where_it_was(room, workbook, monkeypatch):
    for learner in LEARNERS:
        hand_in(room, workbook, learner)
    real, calls = MarkBook.add, []

    def dies_at_the_third(self, *args):
        if len(calls) == 2:
            raise KeyboardInterrupt
        calls.append(args)
        return real(self, *args)

    monkeypatch.setattr(spread, "LARGEST_PART", 1)
    monkeypatch.setattr(MarkBook, "add", dies_at_the_third)
    with pytest.raises(KeyboardInterrupt):
        mark_class(room.folder, workbook=workbook)
    monkeypatch.undo()
    assert [m.is_new for m in mark_class(room.folder, workbook=workbook).marked] == [False, False, True, True]


def test_nothing_of_a_learner_is_executed(room, workbook, tmp_path):
    trap = tmp_path / "trap"
    text = f"__import__('pathlib').Path({str(trap)!r}).write_text('x')"
    hand_in(room, workbook, "A01", a=text, b=text, d=text)
    notebook = room.notebook("A01", EXERCISE)
    notebook.write_text(notebook.read_text().replace("volume = ", f"{text}; volume = "))
    assert len(mark_class(room.folder, workbook=workbook).marked) == 1
    assert not trap.exists()


def test_one_sheet_that_breaks_the_judging_does_not_stop_the_others(room, workbook, monkeypatch):
    hand_in(room, workbook, "A01", a="breaks")
    hand_in(room, workbook, "A02")
    real = Key.judge

    def judge(self, answers):
        if answers["a"] == "breaks":
            raise ZeroDivisionError("division by zero")
        return real(self, answers)

    monkeypatch.setattr(Key, "judge", judge)
    marking = mark_class(room.folder, workbook=workbook)
    assert [m.learner for m in marking.marked] == ["A02"]
    (refused,) = marking.not_marked
    assert (refused.learner, refused.exercise) == ("A01", EXERCISE)
    assert "ZeroDivisionError: division by zero): check the answers notebook" in refused.reason
    assert "ask the maintainer" in refused.reason


def test_a_folder_that_does_not_let_in_is_told(room, workbook, refuse):
    closed = hand_in(room, workbook, "A01")
    hand_in(room, workbook, "A02")
    refuse("stat", lambda path: path == str(closed))
    marking = mark_class(room.folder, workbook=workbook)
    assert [m.learner for m in marking.marked] == ["A02"]
    assert "cannot be read (Permission denied)" in marking.not_marked[0].reason
    assert ("A01", EXERCISE) not in marking.missing


@pytest.mark.parametrize("name", ["A01", ""])
def test_a_folder_that_cannot_be_listed_is_told(room, workbook, refuse, name):
    hand_in(room, workbook, "A01")
    closed = room.for_learners / name
    refuse("scandir", lambda path: path == str(closed))
    marking = mark_class(room.folder, workbook=workbook)
    assert not marking.marked and [refused.path for refused in marking.not_marked] == [closed]
    assert "cannot be listed (Permission denied)" in marking.not_marked[0].reason
    assert ("A01", EXERCISE) not in marking.missing
    assert (("A04", EXERCISE) in marking.missing) == (name == "A01")


def test_a_folder_that_is_no_class_and_a_damaged_book(room, workbook, tmp_path):
    with pytest.raises(CourseError, match=r"is not a class.*thermo-kit handout"):
        mark_class(tmp_path, workbook=workbook)
    with pytest.raises(UnknownNameError, match=f"02_pump was not handed out to this class: handed out was {EXERCISE}"):
        (workbook.exercises / "02_pump.ipynb").write_text("{}")
        mark_class(room.folder, workbook=workbook, exercise="2")
    hand_in(room, workbook, "A01")
    room.mark_book_file.write_text("not a database, but long enough to look like a file" * 20)
    with pytest.raises(CourseError, match=r"mark book.*cannot be used.*restore"):
        mark_class(room.folder, workbook=workbook)


def test_an_instructors_own_answers_folder(room, workbook, tmp_path, mark):
    hand_in(room, workbook, "A01", b="twice the flow")
    own = tmp_path / "own"
    own.mkdir()
    theirs = workbook.answer(EXERCISE)
    (own / theirs.name).write_text(theirs.read_text().replace("flow upside down", "our own name"))
    theirs.unlink()
    code, out, _ = mark()
    assert code == 1 and "answers notebook '01_water_tank' is unknown" in out
    code, out, _ = mark("--answers", own)
    assert code == 0 and "our own name" in out
    # The class remembers it, and never falls back on the public answers.
    theirs.write_text((own / theirs.name).read_text().replace("our own name", "public name"))
    assert "our own name" in mark()[1]
    own.rename(tmp_path / "moved")
    code, out, _ = mark()
    assert code == 1 and "although it was named for 01_water_tank of this class: name the folder where" in out
    assert "public name" in mark("--answers", workbook.answers)[1]


def test_answers_named_at_the_hand_out_are_remembered(roster, workbook, tmp_path, capsys):
    own = tmp_path / "own"
    own.mkdir()
    workbook.answer(EXERCISE).rename(own / f"{EXERCISE}.ipynb")
    words = ["--exercise", "01", "--workbook", str(workbook.root)]
    given = ["handout", str(roster("learner\nA01\n")), "--to", str(tmp_path / "c"), *words]
    assert cli.main(given) == 2
    assert cli.main([*given, "--answers", str(own)]) == 0
    assert cli.main(given) == 0
    room = Classroom(tmp_path / "c")
    room.answers_folders_file.write_text("[" * 100_000)
    assert cli.main(given) == 1
    assert "answers_folders.json is damaged" in capsys.readouterr().err
