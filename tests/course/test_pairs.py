"""Every exercise of the workbook and its answers ask and answer the same; a twin shows that the check can fail."""

import json
from pathlib import Path

import pytest

from tests.course.sample_workbook import EXERCISE, KEY, answers_notebook
from thermo_kit.course.exercise_doctor import examine_exercise

ROOT = Path(__file__).resolve().parents[2]
EXERCISES = sorted((ROOT / "exercises").glob("*.ipynb"))


def wrong_with(exercise_path, answers_path, draws=20):
    return [f"{f.what}: {f.told}" for f in examine_exercise(exercise_path, answers_path, draws) if not f.is_fine]


@pytest.mark.parametrize("path", EXERCISES, ids=lambda path: path.stem)
def test_exercise_and_answers_fit(path, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert wrong_with(path, ROOT / "answers" / path.name) == []


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        # The sample itself fits but for the number of its questions.
        ("", "", "number of questions: 4 are asked: 6 to 10 are right, and the first cell begins like `Six"),
        ('NumberKey("a"', 'NumberKey("z"', "asked is"),
        ('unit="min"', 'unit="s"', "asked in min, answered in s"),
        ('right="half the flow"', 'right="half a flow"', "not just the options"),
        ('"check the hose", "open the valve", "start the pump"]', '"check the hose", "x", "y"]', "steps differ"),
        ("volume * flow", "minutes * 1.001", "cannot be told from"),
        ("volume * flow", "minutes * 1.001", "ranges: 0 of 20 drawn cases can be worked"),
        (
            '"You multiplied. Divide volume by flow.")',
            '"h"), Mistake("n", volume * flow, "h")',
            "give the same number in",
        ),
        ("volume * flow", "volume * missing", "fails with NameError"),
        ("There is more water to move", "There is water", "example of a reason, gets too few points"),
    ],
)
def test_each_kind_of_mismatch_is_seen(make_workbook, old, new, told):
    assert old in KEY
    book = make_workbook(answers=answers_notebook(key=KEY.replace(old, new)))
    found = wrong_with(book.exercise(EXERCISE), book.answer(EXERCISE))
    assert any(told in problem for problem in found) and (old or len(found) == 1)


def test_a_new_exercise_fits_at_once_and_takes_no_name_twice(run, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    run("new-exercise", "42_brake_cooler")
    assert "Everything is in place." in run("doctor", "exercise", "42")
    out = run("practice", "42", "--to", "my_practice")
    assert out.endswith("my_practice/42_brake_cooler_practice_1/42_brake_cooler.ipynb\n")
    for name, told in (("42_other", "is taken by"), ("../43_x", "is no name of an exercise"), ("**", "is no name")):
        assert told in run("new-exercise", name, code=2)
    run("doctor", "exercise", code=2)


def test_a_stored_result_that_tells_an_answer_is_found(workbook, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    path, answers = workbook.exercise(EXERCISE), workbook.answer(EXERCISE)
    notebook = json.loads(path.read_text())
    notebook["cells"][1]["outputs"] = [{"output_type": "stream", "name": "stdout", "text": "It takes 20.0 min."}]
    path.write_text(json.dumps(notebook))
    assert "stored results: they tell the answer a: 20.0 min" in wrong_with(path, answers)
