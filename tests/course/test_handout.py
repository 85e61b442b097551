import json
import os
import subprocess
import sys

import nbformat
import pytest

from tests.course.sample_workbook import EXERCISE, PARAMETERS, TICKET_LINE, WORKING, answers_notebook, exercise_notebook
from thermo_kit.course.cases import Case
from thermo_kit.course.classroom import Classroom
from thermo_kit.course.handout import hand_out, write_practice
from thermo_kit.course.roster import read_roster
from thermo_kit.course.tickets import verify_ticket
from thermo_kit.errors import CourseError, FileAccessError, NotebookError, RosterError, ThermoKitError

ROSTER = "learner,group\nA01,x\nA02,y\nA03,x\n"


@pytest.fixture
def class_folder(tmp_path):
    return tmp_path / "class_a"


def give(roster, workbook, folder, text=ROSTER):
    return hand_out(roster(text), exercise="1", folder=folder, workbook=workbook)


def case_in(notebook):
    namespace = {}
    for cell in notebook.cells[1:3]:
        exec(cell.source, namespace)
    ticket = namespace.pop("ticket")
    return Case(EXERCISE, tuple((k, namespace[k]) for k in ("volume", "flow", "pump", "floor"))), ticket


def test_every_learner_gets_own_signed_numbers(roster, workbook, class_folder):
    done = give(roster, workbook, class_folder)
    assert (done.exercise, done.written, done.kept) == (EXERCISE, ("A01", "A02", "A03"), ())
    room = Classroom(class_folder)
    seen = set()
    for learner in done.written:
        nb = nbformat.read(room.notebook(learner, EXERCISE), as_version=4)
        nbformat.validate(nb)
        case, ticket = case_in(nb)
        assert verify_ticket(room.secret(), ticket, case) == learner
        assert room.cases().case(EXERCISE, learner).fingerprint == case.fingerprint
        assert nb.metadata["thermo_kit"] == {"page": "exercises", "ticket": ticket, "exercise": EXERCISE}
        seen.add(case.fingerprint)
    assert len(seen) == 3


def test_a_handed_out_notebook_carries_no_results_and_no_paths(roster, make_workbook, class_folder):
    nb = exercise_notebook()
    nb.cells[2].outputs = [nbformat.v4.new_output("stream", text="the default's result")]
    nb.metadata["widgets"] = {"state": {}}
    book = make_workbook(exercise=nb)
    give(roster, book, class_folder)
    text = Classroom(class_folder).notebook("A01", EXERCISE).read_text()
    assert "default's result" not in text
    assert set(json.loads(text)["metadata"]) == {"kernelspec", "thermo_kit"}
    assert str(book.root) not in text and str(class_folder) not in text and "papermill" not in text


def test_what_the_instructor_keeps_is_private(roster, workbook, class_folder):
    give(roster, workbook, class_folder)
    room = Classroom(class_folder)
    assert room.secret_file.stat().st_mode & 0o777 == 0o600
    assert room.instructor.stat().st_mode & 0o777 == 0o700
    secret = room.secret_file.read_text().strip()
    assert not any(secret in path.read_text() for path in room.for_learners.rglob("*.ipynb"))


def test_running_again_changes_no_byte_and_adds_newcomers(roster, workbook, class_folder):
    give(roster, workbook, class_folder)
    room = Classroom(class_folder)
    mine = room.notebook("A01", EXERCISE)
    mine.write_text(mine.read_text() + "\n")
    room.notebook("A02", EXERCISE).unlink()
    before = {p: p.read_bytes() for p in class_folder.rglob("*") if p.is_file()}
    case_before = room.cases().case(EXERCISE, "A02")
    done = give(roster, workbook, class_folder, "learner\nA00\nA01\nA02\nA03\n")
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
        ("learner\nA\x0001\n", ["line 2"]),
        ("learner\ncon\n", ["line 2 has the id con"]),
        (f"learner\n{'A' * 33}\n", ["at most 32 long"]),
        ("name\nA01\n", ["line 1 has no column `learner`"]),
        ("learner,learner\nA01,A02\n", ["2 columns `learner`"]),
        ("", ["is empty"]),
        ("\n\n", ["is empty"]),
        ("learner\n\n", ["names no learner"]),
        ('learner\n"A01\n', ["no proper CSV line"]),
        (b"learner\rA01\r\xc4nne\r", ["line 3 holds a letter that is not UTF-8"]),
        ("sep=;\nlearner\nA 1\n", ["line 3 has the id 'A 1'"]),
        (b"learner\nA01\n\xc4nne\n", ["line 3 holds a letter that is not UTF-8", "CSV UTF-8"]),
    ],
)
def test_every_bad_line_is_named_and_nothing_is_written(roster, workbook, class_folder, text, lines):
    with pytest.raises(RosterError) as caught:
        give(roster, workbook, class_folder, text)
    assert all(line in str(caught.value) for line in lines)
    assert not class_folder.exists()


def test_rosters_as_spreadsheets_save_them(roster):
    assert tuple(read_roster(roster("\ufeffLearner;Group\r\n A01 ;x\r\n\r\nA02;y\r\n"))) == ("A01", "A02")
    assert tuple(read_roster(roster('group,learner\n"a, b",A01\n'))) == ("A01",)
    assert tuple(read_roster(roster("learner\rA01\rA02\r"))) == ("A01", "A02")
    assert tuple(read_roster(roster("\tlearner\nx, y\tA01\n"))) == ("A01",)
    assert tuple(read_roster(roster("sep=;\nlearner;group\nA01;x\n"))) == ("A01",)
    assert tuple(read_roster(roster("SEP=\t\r\ngroup\tlearner\r\nx\tA01\r\n"))) == ("A01",)
    told = read_roster(roster("Name;Learner;\nExample One;A01;x\nExample Two;A02\n"))
    assert told == {"A01": {"Name": "Example One"}, "A02": {"Name": "Example Two"}}


def test_a_roster_that_is_missing_huge_or_a_folder(tmp_path, roster):
    for path, told in [(tmp_path / "no.csv", "does not exist"), (tmp_path, "not a plain file")]:
        with pytest.raises(FileAccessError, match=told):
            read_roster(path)
    with pytest.raises(FileAccessError, match="larger than 1000 kB"):
        read_roster(roster("learner\n" + "A\n" * 600_000))


@pytest.mark.parametrize(
    ("exercise", "told"),
    [
        (exercise_notebook(tag="parameter"), "no code cell tagged `parameters`"),
        (exercise_notebook(PARAMETERS), "no line for the ticket"),
        (
            exercise_notebook(PARAMETERS.replace("flow =", "flwo =") + TICKET_LINE),
            "differ in the parameters flow, flwo",
        ),
    ],
)
def test_an_exercise_that_would_give_everyone_the_same_is_refused(roster, make_workbook, class_folder, exercise, told):
    with pytest.raises(NotebookError, match=told):
        give(roster, make_workbook(exercise=exercise), class_folder)
    assert not class_folder.exists()


def test_a_folder_that_cannot_be_used(roster, workbook, class_folder, refuse):
    class_folder.parent.mkdir(exist_ok=True)
    class_folder.write_text("a file")
    with pytest.raises(FileAccessError, match="file stands where a folder is needed"):
        give(roster, workbook, class_folder)
    class_folder.unlink()
    (class_folder / "for_learners").mkdir(parents=True)
    (class_folder / "for_learners" / "A02").write_text("in the way")
    with pytest.raises(FileAccessError, match="A02 is a file where a folder is needed: move it away"):
        give(roster, workbook, class_folder)
    assert os.listdir(class_folder) == ["for_learners"] and os.listdir(class_folder / "for_learners") == ["A02"]
    with pytest.raises(NotebookError, match="inside the workbook"):
        give(roster, workbook, workbook.root / "class")
    refuse("mkdir")
    with pytest.raises(FileAccessError, match=r"Permission denied.*name another folder"):
        give(roster, workbook, class_folder.with_name("other"))


@pytest.mark.parametrize(
    ("name", "text", "told"),
    [
        ("secret_file", "{", r"is damaged.*restore it from a copy"),
        ("cases_file", "{", r"is damaged.*restore it from a copy"),
        ("cases_file", "[" * 100_000, "cases.json is damaged"),
        ("cases_file", "[]", "cases.json is damaged"),
        ("cases_file", '{"cases_version": 2, "exercises": {}, "more": 1}', "is of version 2: update the workbook"),
    ],
)
def test_a_damaged_class_is_never_overwritten(roster, workbook, class_folder, name, text, told):
    give(roster, workbook, class_folder)
    file = getattr(Classroom(class_folder), name)
    file.write_text(text)
    with pytest.raises(CourseError, match=told):
        give(roster, workbook, class_folder)
    assert file.read_text() == text


def test_a_list_of_cases_that_could_not_be_read_again_is_not_written(roster, workbook, class_folder, monkeypatch):
    give(roster, workbook, class_folder)
    before = Classroom(class_folder).cases_file.read_bytes()
    monkeypatch.setattr("thermo_kit.course.classroom.CASES_LIMIT", len(before))
    with pytest.raises(CourseError, match="would become larger than"):
        give(roster, workbook, class_folder, "learner\nA04\n")
    assert Classroom(class_folder).cases_file.read_bytes() == before


def test_a_lost_secret_is_not_made_anew(roster, workbook, class_folder):
    give(roster, workbook, class_folder)
    room = Classroom(class_folder)
    room.secret_file.unlink()
    for use in (lambda: give(roster, workbook, class_folder), room.secret):
        with pytest.raises(CourseError, match=r"class_secret is missing.*restore it from a copy, or all tickets"):
            use()
    assert not room.secret_file.exists()


def test_a_class_that_does_not_let_in_is_told(class_folder, monkeypatch):
    room = Classroom(class_folder)
    refuse = PermissionError(13, "Permission denied")
    monkeypatch.setattr(type(room.cases_file), "exists", lambda _: (_ for _ in ()).throw(refuse))
    with pytest.raises(FileAccessError, match=r"instructor cannot be read \(Permission denied\)"):
        room.secret()


def test_a_damaged_secret_of_a_class_without_cases_says_how_to_go_on(class_folder):
    room = Classroom(class_folder)
    room.instructor.mkdir(parents=True)
    room.secret_file.write_text("")
    with pytest.raises(CourseError, match=r"is damaged: delete it and hand out again"):
        room.secret()


def test_two_hand_outs_at_once_do_not_meet(roster, workbook, class_folder, monkeypatch):
    from thermo_kit.course import handout

    real, refused = handout.draw_case, []

    def second_run_meanwhile(*args, **kwargs):
        if not refused:
            with pytest.raises(CourseError, match="has another hand-out running just now: wait until it is done") as e:
                give(roster, workbook, class_folder)
            refused.append(e)
        return real(*args, **kwargs)

    monkeypatch.setattr(handout, "draw_case", second_run_meanwhile)
    assert len(give(roster, workbook, class_folder).written) == 3 and refused
    assert len(give(roster, workbook, class_folder).kept) == 3


KILLED = """
import os, signal, sys
from pathlib import Path
from thermo_kit.course import files, handout
from thermo_kit.course.workbook import find_workbook

real = os.replace

def dies_at_the_second_notebook(source, target):
    if str(target).endswith("A02/01_water_tank.ipynb"):
        os.kill(os.getpid(), signal.SIGKILL)
    real(source, target)

os.replace = dies_at_the_second_notebook
roster, root, folder = map(Path, sys.argv[1:])
handout.hand_out(roster, exercise="1", folder=folder, workbook=find_workbook(root))
"""


@pytest.mark.skipif(os.name == "nt", reason="that system has no such signal")
def test_a_killed_hand_out_heals_itself(roster, workbook, class_folder):
    words = [sys.executable, "-c", KILLED, roster(ROSTER), workbook.root, class_folder]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    assert subprocess.run([str(word) for word in words], env=environment, timeout=60).returncode == -9
    room = Classroom(class_folder)
    assert room.lock_file.exists() and list(class_folder.rglob(".*.part"))
    promised = room.cases()
    assert list(promised.exercises[EXERCISE]) == ["A01", "A02", "A03"], "the list comes first"
    assert give(roster, workbook, class_folder).written == ("A02", "A03")
    assert room.cases() == promised and list(class_folder.rglob(".*.part")) == []


def test_a_lock_that_is_no_lock_says_what_to_do(roster, workbook, class_folder):
    room = Classroom(class_folder)
    room.instructor.mkdir(parents=True)
    room.lock_file.write_text("not a database, but long enough to look like a file" * 20)
    with pytest.raises(CourseError, match=r"handout_lock cannot be used .*delete this file and hand out again"):
        give(roster, workbook, class_folder)


def rare(make_workbook, condition):
    """A workbook whose cases can be worked only on a condition."""
    wide = PARAMETERS.replace("from 20 to 60 step 5", "from 1 to 400 step 1")
    working = WORKING.replace("volume == 60 and flow == 0.5", condition)
    return make_workbook(exercise_notebook(wide + TICKET_LINE), answers_notebook(wide, working))


def test_no_learner_is_unlucky_where_few_draws_can_be_worked(roster, make_workbook, class_folder):
    book = rare(make_workbook, "volume % 40 or flow == 0.5")
    learners = [f"A{number:02d}" for number in range(40)]
    done = give(roster, book, class_folder, "learner\n" + "\n".join(learners))
    assert len(done.written) == 40 and 0.01 < done.usable / done.draws < 0.04
    cases = Classroom(class_folder).cases()
    assert len({cases.case(EXERCISE, learner).fingerprint for learner in learners}) == 40


def test_a_hand_out_that_cannot_be_drawn_tells_the_rate(roster, make_workbook, class_folder):
    with pytest.raises(NotebookError, match=r"A01 in 1,000 draws.*of all draws for this class 0 of 1,000 could be wor"):
        give(roster, rare(make_workbook, "volume < 9000"), class_folder)


def test_ids_that_differ_only_in_capitals_are_refused(roster, workbook, class_folder):
    give(roster, workbook, class_folder)
    with pytest.raises(RosterError, match="the learner a02 differs from A02 of this class only in capitals"):
        give(roster, workbook, class_folder, "learner\nA01\na02\n")
    assert not (class_folder / "for_learners" / "a02").exists()


def test_a_hand_out_that_fails_locks_nobody_out(roster, workbook, class_folder, monkeypatch):
    from thermo_kit.course import handout

    monkeypatch.setattr(handout, "draw_case", lambda *_, **__: (_ for _ in ()).throw(KeyboardInterrupt))
    with pytest.raises(KeyboardInterrupt):
        give(roster, workbook, class_folder)
    assert not Classroom(class_folder).instructor.exists()
    monkeypatch.undo()
    assert len(give(roster, workbook, class_folder).written) == 3


def test_an_exercise_changed_after_the_hand_out_is_told(roster, make_workbook, class_folder):
    give(roster, make_workbook(), class_folder)
    more = PARAMETERS + "\nslope = 1  # %; fixed; slope"
    book = make_workbook(exercise_notebook(more + TICKET_LINE), answers_notebook(more))
    with pytest.raises(NotebookError, match="changed after it was handed out"):
        give(roster, book, class_folder)


def test_few_combinations_are_shared_only_when_all_are_taken(roster, make_workbook, class_folder):
    few = PARAMETERS.replace("from 20 to 60 step 5", "fixed").replace("from 0.5 to 4.0 step 0.5", "fixed")
    book = make_workbook(exercise_notebook(few + TICKET_LINE), answers_notebook(few))
    assert len(give(roster, book, class_folder).written) == 3
    cases = Classroom(class_folder).cases().exercises[EXERCISE]
    assert {cases[learner]["pump"] for learner in ("A01", "A02")} == {"small", "large"}


def test_practice_notebooks_never_meet(workbook, tmp_path):
    first = write_practice("1", folder=tmp_path / "mine", workbook=workbook, secret=b"a" * 32)
    second = write_practice("1", folder=tmp_path / "mine", workbook=workbook, secret=b"b" * 32)
    assert first.parent.name == "01_water_tank_practice_1" and second.parent.name == "01_water_tank_practice_2"
    cases = [case_in(nbformat.read(path, 4)) for path in (first, second)]
    assert cases[0][0] != cases[1][0]
    assert cases[0][1] == "" and "thermo_kit" not in nbformat.read(first, 4).metadata


def test_unknown_exercises_and_workbooks_say_what_there_is(workbook, tmp_path):
    with pytest.raises(ThermoKitError, match=r"exercise '07' is unknown.*there is 01_water_tank"):
        workbook.exercise("07")
    with pytest.raises(ThermoKitError, match="is unknown"):
        workbook.exercise("../01_water_tank")
    (workbook.exercises / "01_other.ipynb").write_text("{}")
    with pytest.raises(ThermoKitError, match="give the full name"):
        workbook.exercise("01")
    assert workbook.exercise(EXERCISE).stem == EXERCISE
