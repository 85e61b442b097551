"""Every exercise of the workbook and its answers ask and answer the same; a twin shows that the check can fail."""

import ast
from pathlib import Path

import pytest

from tests.course.sample_workbook import EXERCISE, KEY, answers_notebook
from thermo_kit.course.answers import check_pair, load_answers, solvable
from thermo_kit.course.cases import draw_case, read_notebook
from thermo_kit.course.handout import check_ticket_line
from thermo_kit.course.keys import RIGHT, ChoiceKey, NumberKey, OrderKey, ReasonKey
from thermo_kit.course.questions import ChoiceQuestion, NumberQuestion, OrderQuestion, ReasonQuestion
from thermo_kit.course.sheet_panel import AnswerSheet

ROOT = Path(__file__).resolve().parents[2]
EXERCISES = sorted((ROOT / "exercises").glob("*.ipynb"))
COUNTS = {6: "Six", 7: "Seven", 8: "Eight", 9: "Nine", 10: "Ten"}
KINDS = {NumberKey: NumberQuestion, ChoiceKey: ChoiceQuestion, OrderKey: OrderQuestion, ReasonKey: ReasonQuestion}


def sheet_of(path):
    """The answer sheet that the exercise's last lines make, run in process."""
    namespace, sheets = {}, []
    for cell in read_notebook(path).cells:
        if cell.cell_type == "code":
            tree = ast.parse(cell.source)
            last = tree.body.pop() if tree.body and isinstance(tree.body[-1], ast.Expr) else None
            exec(compile(tree, path.name, "exec"), namespace)
            value = eval(compile(ast.Expression(last.value), path.name, "eval"), namespace) if last else None
            sheets += [value] if isinstance(value, AnswerSheet) else []
    (sheet,) = sheets
    return sheet


def right_answer(part):
    if isinstance(part, NumberKey):
        return f"{part.value:.12g} {part.unit}".strip()
    return list(part.right) if isinstance(part, OrderKey) else part.right


def problems_of(exercise_path, answers_path):
    parameters = check_pair(exercise_path, answers_path)
    check_ticket_line(read_notebook(exercise_path), exercise_path)
    sheet, answers = sheet_of(exercise_path), load_answers(answers_path)
    found = [] if sheet.case.numbers == answers.default_case().numbers else ["the sheet is given other numbers"]
    key = {part.question: part for part in answers.key(answers.default_case()).parts}
    if list(key) != [question.name for question in sheet.questions]:
        return [*found, f"asks {[q.name for q in sheet.questions]}, answers {list(key)}"]
    for question in sheet.questions:
        part = key[question.name]
        if not isinstance(question, KINDS[type(part)]):
            found.append(f"{question.name}: question and key are of different kinds")
            continue
        if isinstance(part, NumberKey):
            if part.unit != question.unit:
                found.append(f"{question.name}: asked in {question.unit}, answered in {part.unit}")
            found += [
                f"{question.name}: the mistake {m.name!r} cannot be told from the right value"
                for m in part.mistakes
                if abs(m.value - part.value) <= 2 * part.tolerance
            ]
        elif isinstance(part, ChoiceKey):
            offered = {part.right, *(m.value for m in part.mistakes)}
            if offered != set(question.options):
                found.append(f"{question.name}: right answer and mistakes are not just the options")
        elif isinstance(part, OrderKey):
            lists = [part.right, *(m.value for m in part.mistakes)]
            if any(sorted(steps) != sorted(question.steps) for steps in lists) or part.right == question.steps:
                found.append(f"{question.name}: steps differ, or are listed in the right order")
        if not isinstance(part, ReasonKey) and part.judge(right_answer(part)).verdict != RIGHT:
            found.append(f"{question.name}: its own right answer is not judged right")
        if isinstance(part, ReasonKey) and part.judge(part.example).points != part.points:
            found.append(f"{question.name}: its own example does not touch every idea")
    if found:
        return found
    for number in range(20):
        case = draw_case(sheet.case.exercise, parameters, secret=b"t", learner=f"L{number}", accept=solvable(answers))
        for part in answers.key(case).parts:
            if not isinstance(part, ReasonKey) and part.judge(right_answer(part)).verdict != RIGHT:
                found.append(f"{part.question}: not judged right for {case.numbers}")
    return found


@pytest.mark.parametrize("path", EXERCISES, ids=lambda path: path.stem)
def test_exercise_and_answers_fit(path, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert problems_of(path, ROOT / "answers" / path.name) == []


@pytest.mark.parametrize("path", EXERCISES, ids=lambda path: path.stem)
def test_the_opening_tells_how_many_questions_follow(path, tmp_path, monkeypatch):
    opening = read_notebook(path).cells[0].source
    monkeypatch.chdir(tmp_path)
    asked = len(sheet_of(path).questions)
    assert asked in COUNTS, f"{path.stem} asks {asked} questions; it should be 6 to 10"
    assert f"{COUNTS[asked]} questions, about" in opening


def test_every_exercise_has_answers_and_a_lesson():
    for folder in ("answers", "lessons"):
        there = {path.name for path in (ROOT / folder).glob("*.ipynb")}
        assert {path.name for path in EXERCISES} <= there


def test_the_sample_fits(workbook):
    assert problems_of(workbook.exercise(EXERCISE), workbook.answer(EXERCISE)) == []


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('NumberKey("a"', 'NumberKey("z"', "asks"),
        ('unit="min"', 'unit="s"', "asked in min, answered in s"),
        ('right="half the flow"', 'right="half a flow"', "not just the options"),
        ('"check the hose", "open the valve", "start the pump"]', '"check the hose", "x", "y"]', "steps differ"),
        ("volume * flow", "minutes * 1.001", "cannot be told from"),
        ("There is more water to move", "There is water", "does not touch every idea"),
    ],
)
def test_each_kind_of_mismatch_is_seen(make_workbook, old, new, told):
    assert old in KEY
    book = make_workbook(answers=answers_notebook(key=KEY.replace(old, new)))
    assert any(told in problem for problem in problems_of(book.exercise(EXERCISE), book.answer(EXERCISE)))
