"""What is wrong with an exercise and its answers, in plain words, before a class sees it."""

import time
from collections import Counter
from itertools import combinations

from thermo_kit.course.answers import CodeCell, check_pair, load_answers
from thermo_kit.course.cases import draw_case, read_notebook
from thermo_kit.course.doctor import Finding
from thermo_kit.course.handout import check_ticket_line
from thermo_kit.course.keys import RIGHT, ChoiceKey, NumberKey, OrderKey, ReasonKey
from thermo_kit.course.leaks import answers_told
from thermo_kit.course.questions import ChoiceQuestion, NumberQuestion, OrderQuestion, ReasonQuestion
from thermo_kit.errors import NotebookError, ThermoKitError

COUNTS = {6: "Six", 7: "Seven", 8: "Eight", 9: "Nine", 10: "Ten"}
KINDS = {NumberKey: NumberQuestion, ChoiceKey: ChoiceQuestion, OrderKey: OrderQuestion, ReasonKey: ReasonQuestion}
DRAWS, LEAST_USABLE, MOST_ALIKE, LONGEST_KEY = 100, 0.1, 0.5, 1.0
"""Cases drawn; shares of them; seconds. What is still bearable is a judgement, no source."""


def examine_exercise(exercise_path, answers_path, draws=DRAWS):
    """Everything that can be said of a pair without a learner."""
    try:
        parameters, notebook = check_pair(exercise_path, answers_path), read_notebook(exercise_path)
        check_ticket_line(notebook, exercise_path)
        sheet, answers = sheet_of(exercise_path), load_answers(answers_path)
        key = answers.key(answers.default_case())
    except ThermoKitError as error:
        return (Finding("exercise and answers", False, f"{error}"),)
    asked, wrong = len(sheet.questions), []
    if f"{COUNTS.get(asked)} questions, about" not in notebook.cells[0].source:
        wrong = [
            f"{asked} are asked: 6 to 10 are right, and the first cell begins like `Six questions, about 25 minutes`"
        ]
    leaks = [f"they tell the answer {told}" for told in answers_told(notebook, key)]
    return (
        _finding("questions and key", mismatches(sheet, key, answers), "they fit each other"),
        _finding("number of questions", wrong, f"{asked}, and the first cell says so"),
        _finding("stored results", leaks, "they tell no answer", "leave the number out of the text or title named"),
        *_of_drawn_cases(sheet.case.exercise, parameters, answers, draws),
    )


def _finding(what, problems, fine, advice="correct the notebooks"):
    return Finding(what, not problems, "; ".join(problems) or fine, advice)


def sheet_of(path):
    """The answer sheet that an exercise makes, run in process."""
    namespace, sheets = {}, []
    for number, cell in enumerate(read_notebook(path).cells):
        if cell.cell_type == "code":
            _, value = CodeCell.compiled(path, number, cell.source).run(namespace)
            sheets += [value] if hasattr(value, "questions") else []
    if len(sheets) != 1:
        told = f"shows {len(sheets) or 'no'} answer sheets"
        raise NotebookError.about(path.name, told, advice="end one cell with answer_sheet(...)")
    return sheets[0]


def right_answer(part):
    """What a learner would enter who knows it all."""
    if isinstance(part, NumberKey):
        return f"{part.value:.12g} {part.unit}".strip()
    return list(part.right) if isinstance(part, OrderKey) else getattr(part, "right", getattr(part, "example", ""))


def mismatches(sheet, key, answers):
    """Where the questions of a sheet and the parts of a key do not fit each other."""
    parts = {part.question: part for part in key.parts}
    names = [question.name for question in sheet.questions]
    if names != list(parts):
        return [f"asked is {', '.join(names)}, answered {', '.join(parts)}"]
    found = [] if sheet.case.numbers == answers.default_case().numbers else ["the sheet is given other numbers"]
    for question, part in zip(sheet.questions, key.parts, strict=True):
        judged = part.judge(right_answer(part))
        checks = [(isinstance(question, KINDS[type(part)]), "question and key are of different kinds")]
        checks.append(
            (judged.points == part.points, "its own right answer, or example of a reason, gets too few points")
        )
        match question, part:
            case NumberQuestion(), NumberKey():
                checks.append((part.unit == question.unit, f"asked in {question.unit}, answered in {part.unit}"))
                for mistake in part.mistakes:
                    is_apart = abs(mistake.value - part.value) > 2 * part.tolerance
                    checks.append((is_apart, f"the mistake {mistake.name!r} cannot be told from the right value"))
            case ChoiceQuestion(), ChoiceKey():
                fits = {part.right, *(m.value for m in part.mistakes)} == set(question.options)
                checks.append((fits, "right answer and mistakes are not just the options"))
            case OrderQuestion(), OrderKey():
                lists = [part.right, *(m.value for m in part.mistakes)]
                fits = all(sorted(steps) == sorted(question.steps) for steps in lists) and part.right != question.steps
                checks.append((fits, "steps differ, or are listed in the right order"))
        found += [f"{question.name}: {told}" for is_fine, told in checks if not is_fine]
    return found


def _of_drawn_cases(exercise, parameters, answers, draws):
    usable, wrong, alike, refused, began = 0, Counter(), Counter(), Counter(), time.process_time()
    for number in range(draws):
        case = draw_case(exercise, parameters, secret=b"t", learner=f"L{number}", tries=1)
        try:
            key = answers.key(case)
        except ThermoKitError as error:
            # A case that cannot be worked is drawn anew; code that fails is a fault.
            (wrong if isinstance(error, NotebookError) else refused)[str(error)] += 1
            continue
        numbers = [part for part in key.parts if isinstance(part, NumberKey)]
        if not key.is_clear:
            unclear = ", ".join(part.question for part in numbers if not part.is_clear)
            refused[f"a mistake lies too near the right value of {unclear}"] += 1
            continue
        usable += 1
        judged = [part.judge(right_answer(part)) for part in key.parts if not isinstance(part, ReasonKey)]
        wrong.update(f"{v.question}: its own right answer is not judged right" for v in judged if v.verdict != RIGHT)
        for part in numbers:
            for one, other in combinations(part.mistakes, 2):
                if abs(one.value - other.value) <= part.tolerance:
                    alike[f"{part.question}: {one.name!r} and {other.name!r} give the same number"] += 1
    seconds = (time.process_time() - began) / draws
    told = f"{usable} of {draws} drawn cases can be worked" + _listed("; {} not: {}", refused)
    slow = f"a key needs {seconds:.2g} s, 1,000 sheets {seconds * 1000 / 60:.1f} minutes of one processor"
    met = [f"{name} in {count} of {usable} cases" for name, count in alike.most_common()]
    most = max(alike.values(), default=0)
    return (
        _finding("ranges", [told] if usable < LEAST_USABLE * draws else [], told, "widen or correct the ranges"),
        _finding(
            "drawn cases", [_listed("{} times: {}. ", wrong)] if wrong else [], "each right answer is judged right"
        ),
        _finding("mistakes", met if most > MOST_ALIKE * usable else [], "; ".join(met) or "each gives its own number"),
        _finding("speed", [slow] if seconds > LONGEST_KEY else [], slow, "tag cells that only show something `show`"),
    )


def _listed(form, counter):
    return "".join(form.format(count, told) for told, count in counter.most_common(4))
