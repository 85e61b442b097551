"""A class that was handed the tiny exercise, and what its learners and its instructor do."""

import contextlib
import csv
import sqlite3

from tests.course.sample_workbook import EXERCISE
from thermo_kit.course.answers import load_answers
from thermo_kit.course.classroom import Classroom
from thermo_kit.course.marking import mark_class
from thermo_kit.course.review import Review
from thermo_kit.course.sheet import Sheet
from thermo_kit.course.tickets import issue_ticket

LEARNERS = ("A01", "A02", "A03", "A04")


class SampleClass(Classroom):
    """A class and its workbook."""

    def __init__(self, folder, workbook):
        super().__init__(folder)
        self.workbook = workbook

    def hand_in(self, *learners, name=EXERCISE, **changes):
        """Hand in sheets that are right but for what is changed, and return the path of the last one."""
        for learner in learners:
            case, path = self.cases().case(name, learner), self.sheet(learner, name)
            sheet = Sheet(path, case, issue_ticket(self.secret(), learner, case))
            for question, given in (self.right_answers(case) | changes).items():
                sheet.answer(question, given)
        return path

    def sheet(self, learner, name=EXERCISE):
        """Where a learner's sheet lies."""
        return self.notebook(learner, name).with_name(f"{EXERCISE}.sheet.json")

    def right_answers(self, case):
        """What a learner would write who knows it all."""
        minutes = load_answers(self.workbook.answer(EXERCISE)).key(case).parts[0].value
        steps = ["check the hose", "open the valve", "start the pump"]
        return {"a": f"{minutes:.3f} min", "b": "half the flow", "c": steps, "d": "More water, and the flow stays."}

    def mark(self, **options):
        """Mark all that was handed in."""
        return mark_class(self.folder, **{"workbook": self.workbook} | options)

    def standing(self, learner="A01"):
        """How a learner stands with the exercise."""
        return next(s for s in self.mark().standings if s.learner == learner)

    def review(self, decided_by="I"):
        """Begin a review."""
        return Review(self.folder, workbook=self.workbook, decided_by=decided_by)

    def multiplied(self, learner):
        """The answer of a learner who multiplied instead of dividing."""
        numbers = self.cases().case(EXERCISE, learner).numbers
        return f"{numbers['volume'] * numbers['flow']} min"

    def in_book(self, *statements):
        """Work on the mark book behind its back, and return what the last statement found."""
        return work_in(self.mark_book_file, *statements)

    def marks_kept(self):
        """How many marks the book holds."""
        return self.in_book("SELECT count(*) FROM marks")[0][0]


def work_in(path, *statements):
    with contextlib.closing(sqlite3.connect(path)) as file, file:
        return [file.execute(words).fetchall() for words in statements][-1]


def rows_of(path, separator=","):
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file, delimiter=separator))


def change_answers(workbook, old, new):
    path = workbook.answer(EXERCISE)
    assert old in path.read_text()
    path.write_text(path.read_text().replace(old, new))
