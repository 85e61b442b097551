"""What lies in a class's folder and is no sheet is named, and nobody hands in as another."""

import json

import pytest

from tests.course.sample_workbook import EXERCISE
from thermo_kit.course import hand_ins
from thermo_kit.course.report import as_data, report_lines


@pytest.mark.parametrize("place", ["A01/x", "A01/x/y", "a01", "A01/A02", "../A01/x"])
def test_a_sheet_counts_only_where_no_folder_above_is_anothers(room, place):
    sheet = room.hand_in("A02")
    folder = room.for_learners / place
    folder.mkdir(parents=True, exist_ok=True)
    sheet.rename(folder / sheet.name)
    marking = room.mark()
    assert not marking.marked
    assert "belongs to A02 but lies in the folder of A01: ask both" in marking.not_marked[0].reason


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("answers.json", "has not the name of a sheet: if it is one, name it like"),
        (f"{EXERCISE}_sheet.json", "has not the name of a sheet"),
        ("all.tar", "is an archive of another kind than zip: unpack it here"),
        ("ALL.ZIP", "is damaged or no zip archive: ask for it again"),
        ("my_answers.txt", "is no answer sheet"),
        ("mine", "is a link: put the files themselves here"),
        (f"{EXERCISE}-Copy1.ipynb", "is a notebook without its sheet: ask for"),
        (f"{EXERCISE}.sheet.json.damaged-1", "was put away by the notebook, and no sheet took its place"),
    ],
)
def test_what_is_no_sheet_is_named(room, run, name, told):
    path = room.for_learners / "A01" / name
    path.symlink_to(room.instructor) if name == "mine" else path.write_text("{}")
    marking = room.mark()
    (found,) = marking.not_recognised
    assert (found.path.name, found.learner) == (name, "A01") and told in found.reason
    text = "\n".join(report_lines(marking, room.folder))
    assert f"for_learners/A01/{name}: {found.reason}" in text and "1 not recognised." in text
    (standing,) = [s for s in marking.standings if s.learner == "A01"]
    assert standing.state == "no sheet yet" and name in standing.reason
    assert as_data(marking, room.folder)["not_recognised"][0]["file"] == f"for_learners/A01/{name}"
    assert name in run("mark", room.folder, code=1)


def test_a_notebook_that_was_worked_in_came_back_without_its_sheet(room):
    assert room.mark().not_recognised == ()
    notebook = room.notebook("A01", EXERCISE)
    data = json.loads(notebook.read_text())
    code = next(cell for cell in data["cells"] if cell["cell_type"] == "code")
    code["outputs"] = [{"output_type": "stream", "name": "stdout", "text": "x"}]
    notebook.write_text(json.dumps(data))
    (found,) = room.mark().not_recognised
    assert found.path == notebook and f"ask for {EXERCISE}.sheet.json" in found.reason
    room.hand_in("A01")
    assert room.mark().not_recognised == ()


def test_what_the_system_leaves_and_what_is_no_hand_in_or_belongs_to_another_exercise_is_not_named(room):
    hidden, mine = room.for_learners / ".checkpoints", room.for_learners / "A01"
    hidden.mkdir()
    for folder in (room.instructor, hidden):
        (folder / f"{EXERCISE}.sheet.json").write_text("{")
    for name in ("Thumbs.db", ".DS_Store", "02_other_sheet.json", "02_other.sheet.json"):
        (mine / name).write_text("")
    for exercise, named in (("1", []), (None, [mine])):
        marking = room.mark(exercise=exercise)
        for found in (marking.not_recognised, marking.not_marked):
            assert [told.path.parent for told in found] == named


def test_many_such_files_are_counted(room):
    for number in range(50):
        (room.for_learners / "A01" / f"{number:02d}.txt").write_text("")
    found = room.mark().not_recognised
    assert len(found) == 21 and "holds 30 more files that are no sheets" in found[-1].reason


@pytest.mark.parametrize("inside", ["", "deep/er"])
def test_a_flood_in_one_folder_stops_nobody_else(room, inside):
    room.hand_in("A01", "A02")
    folder = room.for_learners / "A01" / inside
    folder.mkdir(parents=True, exist_ok=True)
    for number in range(201):
        (folder / f"{number}.sheet.json").write_text("")
    marking = room.mark()
    assert [m.learner for m in marking.marked] == ["A02"]
    (refused,) = marking.not_marked
    assert refused.path == room.for_learners / "A01" and refused.learner == "A01"
    assert "the folder A01 holds 202 sheets where at most 200 are read" in refused.reason
    assert ("A01", EXERCISE) not in marking.missing


@pytest.mark.parametrize("place", ["{}_", "for_learners/group_1/{}/"])
def test_a_folder_of_everyones_sheets_or_of_a_group_may_hold_more(room, monkeypatch, place):
    monkeypatch.setattr(hand_ins, "MOST_SHEETS", (1, 20_000))
    for learner in ("A01", "A02"):
        sheet = room.hand_in(learner)
        target = room.folder / f"{place.format(learner)}{sheet.name}"
        target.parent.mkdir(parents=True, exist_ok=True)
        sheet.rename(target)
    assert len(room.mark().marked) == 2
