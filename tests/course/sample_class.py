"""A class that was handed the tiny exercise, and the sheets its learners hand in."""

import contextlib
import csv
import sqlite3

from tests.course.sample_workbook import EXERCISE
from thermo_kit.course.answers import load_answers
from thermo_kit.course.sheet import Sheet
from thermo_kit.course.tickets import issue_ticket

LEARNERS = ("A01", "A02", "A03", "A04")


def right_answers(workbook, case):
    minutes = load_answers(workbook.answer(EXERCISE)).key(case).parts[0].value
    return {
        "a": f"{minutes:.3f} min",
        "b": "half the flow",
        "c": ["check the hose", "open the valve", "start the pump"],
        "d": "More water, and the flow stays.",
    }


def in_book(room, *statements):
    """Work on a mark book behind its back, and return what the last statement found."""
    with contextlib.closing(sqlite3.connect(room.mark_book_file)) as file, file:
        return [file.execute(words).fetchall() for words in statements][-1]


def marks_kept(room):
    return in_book(room, "SELECT count(*) FROM marks")[0][0]


def rows_of(path, separator=","):
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file, delimiter=separator))


def change_answers(workbook, old, new):
    path = workbook.answer(EXERCISE)
    assert old in path.read_text()
    path.write_text(path.read_text().replace(old, new))


def hand_in(room, workbook, learner, name=EXERCISE, **changes):
    case = room.cases().case(name, learner)
    path = room.notebook(learner, name).with_name(f"{EXERCISE}.sheet.json")
    sheet = Sheet(path, case, issue_ticket(room.secret(), learner, case))
    for question, given in (right_answers(workbook, case) | changes).items():
        sheet.answer(question, given)
    return path
