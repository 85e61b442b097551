import json
import multiprocessing
import os
import signal

import nbformat
import pytest

from tests.course.sample_workbook import EXERCISE, PARAMETERS, TICKET_LINE, WORKING, answers_notebook, exercise_notebook
from tests.course.test_marking import NO_DATABASE
from thermo_kit.course import handout
from thermo_kit.course.answers import CodeCell
from thermo_kit.course.classroom import Classroom
from thermo_kit.course.handout import write_practice
from thermo_kit.course.roster import read_roster
from thermo_kit.course.tickets import verify_ticket
from thermo_kit.errors import CourseError, FileAccessError, NotebookError, RosterError, UnknownNameError

THREE = ("A01", "A02", "A03")


@pytest.fixture
def empty(tmp_path):
    """A class to which nothing was handed out yet."""
    return Classroom(tmp_path / "class_a")


@pytest.fixture
def case_in(tmp_path, monkeypatch):
    """Run a notebook as a learner does, and return the numbers and the ticket that its sheet then has."""

    def run(notebook):
        monkeypatch.chdir(tmp_path)
        namespace = {}
        for number, cell in enumerate(notebook.cells[1:]):
            _, sheet = CodeCell.compiled(tmp_path, number, cell.source).run(namespace)
        return sheet.case, namespace["ticket"]

    return run


def test_every_learner_gets_own_signed_numbers_and_what_is_the_instructors_is_private(give, empty, case_in):
    done, room, seen = give(THREE), empty, set()
    assert (done.exercise, done.written, done.kept) == (EXERCISE, THREE, ())
    for learner in done.written:
        text = room.notebook(learner, EXERCISE).read_text()
        nb = nbformat.reads(text, as_version=4)
        nbformat.validate(nb)
        case, ticket = case_in(nb)
        assert verify_ticket(room.secret(), ticket, case) == learner
        assert room.cases().case(EXERCISE, learner).fingerprint == case.fingerprint
        assert nb.metadata["thermo_kit"] == {"page": "exercises", "ticket": ticket, "exercise": EXERCISE}
        assert room.secret().hex() not in text
        seen.add(case.fingerprint)
    assert len(seen) == 3
    modes = (path.stat().st_mode & 0o777 for path in (room.secret_file, room.instructor))
    assert tuple(modes) == (0o600, 0o700)


def test_a_handed_out_notebook_carries_no_results_and_no_paths(give, make_workbook, empty):
    nb = exercise_notebook()
    nb.cells[2].outputs = [nbformat.v4.new_output("stream", text="the default's result")]
    nb.metadata["widgets"] = {"state": {}}
    book = make_workbook(exercise=nb)
    give()
    text = empty.notebook("A01", EXERCISE).read_text()
    assert set(json.loads(text)["metadata"]) == {"kernelspec", "thermo_kit"}
    assert not [told for told in ("default's result", str(book.root), str(empty.folder), "papermill") if told in text]


def test_running_again_changes_no_byte_and_adds_newcomers(give, case_in):
    room = Classroom(give(THREE).folder)
    mine = room.notebook("A01", EXERCISE)
    mine.write_text(mine.read_text() + "\n")
    room.notebook("A02", EXERCISE).unlink()
    before = {p: p.read_bytes() for p in room.folder.rglob("*") if p.is_file()}
    case_before = room.cases().case(EXERCISE, "A02")
    done = give(("A00", *THREE))
    assert done.written == ("A00", "A02") and done.kept == ("A01", "A03")
    assert all(p.read_bytes() == content for p, content in before.items() if p != room.cases_file)
    assert case_in(nbformat.read(room.notebook("A02", EXERCISE), 4))[0].numbers == case_before.numbers


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("learner\nA01\nA02\nA01\n", ["line 4 names A01 again after line 2"]),
        ("learner\nA01\na01\n", ["line 3 names a01 again"]),
        ("learner,n\nA01,x\n,y\n", ["line 3 names no learner"]),
        ("learner\n../A01\n", ["line 2 has the id '../A01'"]),
        ("learner\nA 1\nÄ02\n=A1\n", ["line 2", "line 3", "'\\xc402'", "line 4"]),
        ("learner\ncon\n", ["line 2 has the id con"]),
        ("learner\nA\x0001\n", ["line 2"]),
        (f"learner\n{'A' * 33}\n", ["at most 32 long"]),
        ("name\nA01\n", ["line 1 has no column `learner`"]),
        ("learner,learner\nA01,A02\n", ["2 columns `learner`"]),
        ("", ["is empty"]),
        ("\n\n", ["is empty"]),
        ("learner\n\n", ["names no learner"]),
        ('learner\n"A01\n', ["no proper CSV line"]),
        (b"learner\rA01\r\xc4nne\r", ["line 3 holds a letter that is not UTF-8", "CSV UTF-8"]),
        ("sep=;\nlearner\nA 1\n", ["line 3 has the id 'A 1'"]),
    ],
)
def test_every_bad_line_is_named_and_nothing_is_written(give, empty, text, lines):
    with pytest.raises(RosterError) as caught:
        give(text)
    assert all(line in str(caught.value) for line in lines)
    assert not empty.folder.exists()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("\ufeffLearner;Group\r\n A01 ;x\r\n\r\nA02;y\r\n", {"A01": {"Group": "x"}, "A02": {"Group": "y"}}),
        ('group,learner\n"a, b",A01\n', {"A01": {"group": "a, b"}}),
        ("learner\rA01\rA02\r", {"A01": {}, "A02": {}}),
        ("\tlearner\nx, y\tA01\n", {"A01": {}}),
        ("sep=;\nlearner;group\nA01;x\n", {"A01": {"group": "x"}}),
        ("SEP=\t\r\ngroup\tlearner\r\nx\tA01\r\n", {"A01": {"group": "x"}}),
        ("Name;Learner;\nOne;A01;x\nTwo;A02\n", {"A01": {"Name": "One"}, "A02": {"Name": "Two"}}),
    ],
)
def test_rosters_as_spreadsheets_save_them(roster, text, told):
    assert read_roster(roster(text)) == told


def test_a_roster_that_is_missing_huge_or_a_folder(tmp_path, roster):
    for path, told in [(tmp_path / "no.csv", "does not exist"), (tmp_path, "not a plain file")]:
        with pytest.raises(FileAccessError, match=told):
            read_roster(path)
    with pytest.raises(FileAccessError, match="larger than 1000 kB"):
        read_roster(roster("learner\n" + "A\n" * 600_000))


@pytest.mark.parametrize(
    ("exercise", "told"),
    [
        (exercise_notebook(tag="parameter"), "no code cell tagged `parameters`.*same numbers"),
        (exercise_notebook(PARAMETERS), "no line for the ticket"),
        (
            exercise_notebook(PARAMETERS.replace("to 60", "to 80") + TICKET_LINE),
            "differ in the parameters volume: copy",
        ),
    ],
)
def test_an_exercise_that_would_give_everyone_the_same_is_refused(give, make_workbook, empty, exercise, told):
    make_workbook(exercise=exercise)
    with pytest.raises(NotebookError, match=told):
        give()
    assert not empty.folder.exists()


def test_a_folder_that_cannot_be_used(give, workbook, empty, refuse):
    empty.folder.write_text("a file")
    with pytest.raises(FileAccessError, match="file stands where a folder is needed"):
        give()
    empty.folder.unlink()
    empty.for_learners.mkdir(parents=True)
    (empty.for_learners / "A02").write_text("in the way")
    with pytest.raises(FileAccessError, match="A02 is a file where a folder is needed: move it away"):
        give()
    assert sorted(empty.folder.rglob("*")) == [empty.for_learners, empty.for_learners / "A02"]
    with pytest.raises(NotebookError, match="inside the workbook"):
        give(folder=workbook.root / "class")
    refuse("mkdir")
    with pytest.raises(FileAccessError, match=r"Permission denied.*name another folder"):
        give(folder=empty.folder.with_name("other"))


@pytest.mark.parametrize(
    ("name", "text", "told"),
    [
        ("secret_file", "{", r"is damaged.*restore it from a copy"),
        ("cases_file", "{", r"is damaged.*restore it from a copy"),
        ("cases_file", "[" * 100_000, "cases.json is damaged"),
        ("cases_file", "[]", "cases.json is damaged"),
        ("cases_file", '{"cases_version": 2, "exercises": {}, "more": 1}', "is of version 2: update the workbook"),
        ("lock_file", NO_DATABASE, r"handout_lock cannot be used .*delete this file and hand out again"),
        ("secret_file", None, r"class_secret is missing.*restore it from a copy, or all tickets"),
    ],
)
def test_a_damaged_class_is_never_overwritten(give, room, name, text, told):
    file = getattr(room, name)
    file.unlink() if text is None else file.write_text(text)
    with pytest.raises(CourseError, match=told):
        give()
    assert (file.read_text() if file.exists() else None) == text


def test_a_list_of_cases_that_could_not_be_read_again_is_not_written(give, room, monkeypatch):
    before = room.cases_file.read_bytes()
    monkeypatch.setattr("thermo_kit.course.classroom.CASES_LIMIT", len(before))
    with pytest.raises(CourseError, match="would become larger than"):
        give(["A05"])
    assert room.cases_file.read_bytes() == before


def test_a_class_that_does_not_let_in_or_has_a_damaged_secret_only_is_told(empty, monkeypatch):
    with monkeypatch.context() as refusing:
        error = PermissionError(13, "Permission denied")
        refusing.setattr(type(empty.cases_file), "exists", lambda _: (_ for _ in ()).throw(error))
        with pytest.raises(FileAccessError, match=r"instructor cannot be read \(Permission denied\)"):
            empty.secret()
    empty.instructor.mkdir(parents=True)
    empty.secret_file.write_text("")
    with pytest.raises(CourseError, match=r"is damaged: delete it and hand out again"):
        empty.secret()


def test_two_hand_outs_at_once_do_not_meet(give, monkeypatch):
    real, refused = handout.draw_case, []

    def second_run_meanwhile(*args, **kwargs):
        if not refused:
            with pytest.raises(CourseError, match="has another hand-out running just now: wait until it is done") as e:
                give()
            refused.append(e)
        return real(*args, **kwargs)

    monkeypatch.setattr(handout, "draw_case", second_run_meanwhile)
    assert len(give().written) == 4 and refused
    assert len(give().kept) == 4


def killed_at_the_second_notebook(*words, **named):
    real = os.replace

    def replace(source, target):
        if str(target).endswith("A02/01_water_tank.ipynb"):
            os.kill(os.getpid(), signal.SIGKILL)
        real(source, target)

    os.replace = replace
    handout.hand_out(*words, **named)


@pytest.mark.skipif(os.name == "nt", reason="that system has no such signal")
def test_a_killed_hand_out_heals_itself(give, roster, workbook, empty):
    named = {"exercise": "1", "folder": empty.folder, "workbook": workbook}
    started = multiprocessing.get_context("spawn").Process(
        target=killed_at_the_second_notebook, args=(roster("learner\nA01\nA02\nA03\n"),), kwargs=named
    )
    started.start()
    started.join(60)
    assert started.exitcode == -signal.SIGKILL
    assert empty.lock_file.exists() and list(empty.folder.rglob(".*.part"))
    promised = empty.cases()
    assert tuple(promised.exercises[EXERCISE]) == THREE, "the list comes first"
    assert give(THREE).written == ("A02", "A03")
    assert empty.cases() == promised and list(empty.folder.rglob(".*.part")) == []


def rare(make_workbook, condition):
    """A workbook whose cases can be worked only on a condition."""
    wide = PARAMETERS.replace("from 20 to 60 step 5", "from 1 to 400 step 1")
    working = WORKING.replace("volume == 60 and flow == 0.5", condition)
    return make_workbook(exercise_notebook(wide + TICKET_LINE), answers_notebook(wide, working))


def test_no_learner_is_unlucky_where_few_draws_can_be_worked(give, make_workbook, empty):
    rare(make_workbook, "volume % 40 or flow == 0.5")
    done = give([f"A{number:02d}" for number in range(40)])
    assert len(done.written) == 40 and 0.01 < done.usable / done.draws < 0.04
    cases = empty.cases()
    assert len({cases.case(EXERCISE, learner).fingerprint for learner in done.written}) == 40


def test_a_hand_out_that_cannot_be_drawn_tells_the_rate(give, make_workbook):
    rare(make_workbook, "volume < 9000")
    with pytest.raises(NotebookError, match=r"A01 in 1,000 draws: widen.*for this class 0 of 1,000 could be worked"):
        give()


def test_ids_that_differ_only_in_capitals_are_refused(give, room):
    with pytest.raises(RosterError, match="the learner a02 differs from A02 of this class only in capitals"):
        give(["A01", "a02"])
    assert not (room.for_learners / "a02").exists()


def test_a_hand_out_that_fails_locks_nobody_out(give, empty, monkeypatch):
    with monkeypatch.context() as failing:
        failing.setattr(handout, "draw_case", lambda *_, **__: (_ for _ in ()).throw(KeyboardInterrupt))
        with pytest.raises(KeyboardInterrupt):
            give()
    assert not empty.instructor.exists()
    assert len(give().written) == 4


def test_an_exercise_changed_after_the_hand_out_is_told(give, make_workbook):
    give()
    more = PARAMETERS + "\nslope = 1  # %; fixed; slope"
    make_workbook(exercise_notebook(more + TICKET_LINE), answers_notebook(more))
    with pytest.raises(NotebookError, match="changed after it was handed out"):
        give()


def test_few_combinations_are_shared_only_when_all_are_taken(give, make_workbook, empty):
    few = PARAMETERS.replace("from 20 to 60 step 5", "fixed").replace("from 0.5 to 4.0 step 0.5", "fixed")
    make_workbook(exercise_notebook(few + TICKET_LINE), answers_notebook(few))
    assert len(give(THREE).written) == 3
    cases = empty.cases().exercises[EXERCISE]
    assert {cases[learner]["pump"] for learner in ("A01", "A02")} == {"small", "large"}


def test_practice_notebooks_never_meet(workbook, tmp_path, case_in):
    first = write_practice("1", folder=tmp_path / "mine", workbook=workbook, secret=b"a" * 32)
    second = write_practice("1", folder=tmp_path / "mine", workbook=workbook, secret=b"b" * 32)
    assert first.parent.name == "01_water_tank_practice_1" and second.parent.name == "01_water_tank_practice_2"
    cases = [case_in(nbformat.read(path, 4)) for path in (first, second)]
    assert cases[0][0] != cases[1][0]
    assert cases[0][1] == "" and "thermo_kit" not in nbformat.read(first, 4).metadata


def test_unknown_exercises_say_what_there_is(workbook):
    (workbook.exercises / "02_b.ipynb").write_text("{}")
    (workbook.exercises / "02_a.ipynb").write_text("{}")
    for name, told in (
        ("07", r"exercise '07' is unknown.*there is 01_water_tank, 02_a, 02_b"),
        ("../01_water_tank", "is unknown"),
        ("2", "fits 02_a, 02_b: give the full name"),
    ):
        with pytest.raises(UnknownNameError, match=told):
            workbook.exercise(name)
    assert workbook.exercise("02_b").stem == "02_b"
