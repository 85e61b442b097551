"""Pages to give back: one for each learner, with nobody else's data, and one of the class for its instructor."""

import os
import re
import shutil
import subprocess
import tempfile
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path

from thermo_kit.course.answers import load_answers
from thermo_kit.course.cases import Case
from thermo_kit.course.classroom import Classroom
from thermo_kit.course.files import file_errors_in_plain_words, write_atomically
from thermo_kit.course.keys import MARKS, ChoiceKey, NumberKey, OrderKey, number_in
from thermo_kit.course.marking import mark_class
from thermo_kit.course.pages import page
from thermo_kit.course.questions import texts_of
from thermo_kit.course.report import as_text, signs, total
from thermo_kit.errors import FileRefusedError, Problem, ThermoKitError

# No learner has such an id.
CLASS_PAGE, ALL_PAGES = "_class", "_all_to_print"
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")
LONGEST_PRINT = 120
"""Seconds that a browser gets for one page."""
REPEAT_BELOW = 0.6
"""The share of points below which a lesson is worth another look; common practice, no source."""
UNIT_OF = re.compile(r"\s*[+\-−–]?\s*[\d.,]+(?:[eE][+\-]?\d+)?\s*(\D.*?)\s*")


def write_feedback(folder, *, workbook, exercise=None):
    """Write a page for each learner who has a mark, and one of the class, into the instructor's folder.

    → the files: that of the class, all learners' pages as one to print, each of theirs; who has no page, for there is
    no mark; and problems that hindered a page.
    """
    room, problems, sections = Classroom(folder), [], {}
    marking = mark_class(folder, workbook=workbook, exercise=exercise)
    target = room.instructor / "feedback" / (workbook.exercise(exercise).stem if exercise else "all_exercises")
    for standing in marking.standings:
        if standing.verdicts:
            try:
                section = _section(standing, room, workbook)
                sections.setdefault(standing.learner, []).append(section)
            except ThermoKitError as error:
                problems.append(Problem(f"{standing.learner}, {standing.exercise}", f"has no page: {error}"))
    with file_errors_in_plain_words(target, "be emptied"):
        for old in (*target.glob("*.html"), *target.glob("*.pdf")):
            old.unlink()
    facts = {"marks": MARKS, "repeat_below": REPEAT_BELOW, "total": total, "signs": signs}
    written = [(CLASS_PAGE, "class", _class_facts(marking, workbook)), (ALL_PAGES, "feedback", {"pages": sections})]
    written += [(learner, "feedback", {"pages": {learner: own}}) for learner, own in sections.items()]
    for name, template, told in written:
        write_atomically(target / f"{name}.html", page(template, **told, **facts), mode=0o600)
    pages = [target / f"{name}.html" for name, *_ in written]
    return pages, sorted({s.learner for s in marking.standings if not s.verdicts} - set(sections)), problems


def _section(standing, room, workbook):
    """What a learner's page says of one exercise."""
    from thermo_kit.course.sheet_panel import solution_html

    notebook = load_answers(room.answers_notebook(standing.exercise, workbook))
    key, steps = notebook.worked(standing.case)
    parts = {part.question: part for part in key.parts}
    texts = texts_of(workbook.exercise(standing.case.exercise), standing.case)
    rows = []
    for verdict in standing.verdicts:
        given, part = as_text(standing.answers.get(verdict.question, "")), parts.get(verdict.question)
        row = {"verdict": verdict, "part": part, "given": given, "text": texts.get(verdict.question, "")}
        rows.append(row | {"right": right_for(part, given), "line": number_line(part, given)})
    return {"standing": standing, "rows": rows, "numbers": notebook.parameters, "solution": solution_html(steps)}


def right_for(part, given):
    """The right answer in words; a number also in the unit and with the decimal sign that the learner used."""
    match part:
        case NumberKey():
            told, unit = f"{_figures(part.value)} {part.unit}".strip(), UNIT_OF.fullmatch(" ".join(given.split()))
            with suppress(ThermoKitError):
                if unit and unit[1] != part.unit:
                    zero, one = part.read(f"0 {unit[1]}"), part.read(f"1 {unit[1]}")
                    own = (part.read(repr(float(part.value))) - zero) / (one - zero)
                    told = f"{_figures(own)} {unit[1]} ({told})"
            return told.replace(".", ",") if "," in given and "." not in given else told
        case ChoiceKey() | OrderKey():
            return as_text(part.right if isinstance(part, ChoiceKey) else list(part.right))
    return getattr(part, "example", "")


def number_line(part, given):
    """Where the learner's number and the ends of what counts as right lie, each from 0 to 1; None without a number."""
    if not isinstance(part, NumberKey):
        return None
    try:
        own = number_in(part.unit, part.read(given), part.altitude)
    except ThermoKitError:
        return None
    low, high = (side(own, part.value + sign * 3 * part.tolerance) for side, sign in ((min, -1), (max, 1)))
    ends = (own, part.value - part.tolerance, part.value + part.tolerance)
    return [(number - low) / (high - low) for number in ends]


def _figures(number):
    return f"{float(f'{number:.4g}'):.10g}"


def _class_facts(marking, workbook):
    mistakes, learners = {}, {}
    for s in marking.standings:
        learners.setdefault(s.learner, []).append(s)
        for v in s.verdicts:
            if v.mistake:
                places, who = mistakes.setdefault(v.mistake, ({}, {}))
                places[f"{s.exercise} {v.question}"] = who[s.learner] = True
    exercises = {}
    for name, questions in marking.questions.items():
        texts, rows = texts_of(workbook.exercise(name), Case(name, ())), []
        standings = [*marking.standings.of(name)]
        for question in questions:
            counts = Counter(v.verdict for s in standings for v in s.verdicts if v.question == question)
            rows.append((question, texts.get(question, ""), counts))
        exercises[name] = {"rows": rows, "questions": questions, "standings": standings}
    by_count = sorted(mistakes.items(), key=lambda item: (-len(item[1][1]), item[0]))
    return {"exercises": exercises, "mistakes": by_count, "learners": learners}


def find_browser():
    """A browser that prints, or None."""
    return next((found for name in BROWSERS if (found := shutil.which(name))), None)


def print_pages(pages, browser):
    """Print pages to PDF files beside them, as many at once as there are processors."""
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        return tuple(pool.map(lambda path: _print(path, browser), pages))


def _print(path, browser):
    target = path.with_suffix(".pdf")
    with tempfile.TemporaryDirectory() as profile:
        made = Path(profile) / "page.pdf"
        words = [browser, "--headless", "--disable-gpu", f"--user-data-dir={profile}", "--no-pdf-header-footer"]
        # As the system's administrator the browser starts without its walls only; the page runs no code.
        words += ["--no-sandbox"] if getattr(os, "geteuid", lambda: 1)() == 0 else []
        with suppress(OSError, subprocess.TimeoutExpired):
            words += [f"--print-to-pdf={made}", path.as_uri()]
            subprocess.run(words, capture_output=True, timeout=LONGEST_PRINT)
        if not made.is_file():
            advice = "print the HTML page beside it from your own browser"
            raise FileRefusedError.about(str(target), f"was not printed by {browser}", advice=advice)
        with file_errors_in_plain_words(target, "be written"):
            shutil.copyfile(made, target)
            target.chmod(0o600)
    return target
