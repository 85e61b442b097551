"""A class that was handed the tiny exercise, and the sheets its learners hand in."""

import contextlib
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


def marks_kept(room):
    with contextlib.closing(sqlite3.connect(room.mark_book_file)) as file:
        return file.execute("SELECT count(*) FROM marks").fetchone()[0]


def hand_in(room, workbook, learner, name=EXERCISE, **changes):
    case = room.cases().case(name, learner)
    path = room.notebook(learner, name).with_name(f"{EXERCISE}.sheet.json")
    sheet = Sheet(path, case, issue_ticket(room.secret(), learner, case))
    for question, given in (right_answers(workbook, case) | changes).items():
        sheet.answer(question, given)
    return path
