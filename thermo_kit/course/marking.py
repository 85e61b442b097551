"""Marking the sheets of a class. A sheet is untrusted data: read with limits, verified, never executed."""

import hashlib
import json
import os
import re
from dataclasses import dataclass
from pathlib import Path

from thermo_kit.course.answers import load_answers
from thermo_kit.course.classroom import Classroom
from thermo_kit.course.keys import Verdict
from thermo_kit.course.mark_book import MarkBook
from thermo_kit.course.sheet import SheetContent, read_sheet
from thermo_kit.course.tickets import verify_ticket
from thermo_kit.course.workbook import EXERCISE_NAME
from thermo_kit.errors import Problem, SheetError, ThermoKitError

MOST_SHEETS = 20_000
# A download or a copy may put "(1)" or "-Copy1" into the name; the signature inside decides what a sheet is.
SHEET_FILE = re.compile(r"[^.].*\.sheet.*\.json")


@dataclass(frozen=True)
class Marked:
    """One marked sheet. `is_new` is False when the mark book already held exactly this."""

    learner: str
    exercise: str
    sheet: SheetContent
    verdicts: tuple[Verdict, ...]
    is_new: bool

    @property
    def points(self):
        """Points so far; reasons are still to be read by hand."""
        return sum(verdict.points for verdict in self.verdicts)

    @property
    def out_of(self):
        """The points of the whole exercise."""
        return sum(verdict.out_of for verdict in self.verdicts)


@dataclass(frozen=True)
class NotMarked:
    """A sheet that could not be marked, and the reason in plain words.

    learner, exercise: whose folder it lies in and what its name says; empty where they say nothing
    """

    path: Path
    reason: str
    learner: str = ""
    exercise: str = ""


@dataclass(frozen=True)
class Marking:
    """The outcome of one run over a class.

    missing: pairs of learner and exercise that were handed out and have no sheet, not even a refused one
    """

    marked: tuple[Marked, ...]
    not_marked: tuple[NotMarked, ...]
    missing: tuple[tuple[str, str], ...]

    @property
    def exercises(self):
        """The exercises that occur, in order."""
        return tuple(sorted({m.exercise for m in self.marked}))

    def misunderstandings(self):
        """Who shows which named mistake: (exercise, question, mistake) → learners, the most frequent first."""
        found = {}
        for marked in self.marked:
            for verdict in marked.verdicts:
                if verdict.mistake:
                    found.setdefault((marked.exercise, verdict.question, verdict.mistake), []).append(marked.learner)
        return dict(sorted(found.items(), key=lambda item: (-len(item[1]), item[0])))


def mark_class(folder, *, workbook, exercise=None):
    """Mark every sheet in a class's folder and add the marks to its mark book.

    Parameters
    ----------
    folder : Path
        the folder that `thermo-kit handout` filled
    workbook : Workbook
        where the answers are
    exercise : str, optional
        mark this exercise only

    Returns
    -------
    Marking
        marks, sheets that could not be marked with the reason, and what is missing

    Raises
    ------
    CourseError
        when the folder is not a class
    """
    room = Classroom(folder)
    secret = room.secret()
    cases = room.cases()
    only = workbook.exercise(exercise).stem if exercise else None
    readable, not_marked = {}, []
    for path in find_sheets(room):
        try:
            sheet, learner = _accept(path, secret, cases)
            if only in (None, sheet.exercise):
                readable.setdefault((learner, sheet.exercise), []).append((path, sheet))
        except ThermoKitError as error:
            refused = NotMarked(path, str(error), _known_folder(path, cases), _exercise_in_name(path))
            if only is None or refused.exercise in ("", only):
                not_marked.append(refused)
    there = {*readable, *((refused.learner, refused.exercise) for refused in not_marked)}
    marked = []
    with MarkBook(room.mark_book_file) as book:
        for (learner, exercise_name), found in sorted(readable.items()):
            path, sheet = found[0]
            if len({_digest(other) for _, other in found}) > 1:
                told = _told_twice(learner, found)
                not_marked += [NotMarked(other, told, learner, exercise_name) for other, _ in found]
                continue
            try:
                marked.append(_mark(book, workbook.answer(exercise_name), learner, sheet))
            except ThermoKitError as error:
                not_marked.append(NotMarked(path, str(error), learner, exercise_name))
    missing = tuple(
        (learner, name)
        for name, learners in sorted(cases.exercises.items())
        for learner in sorted(learners)
        if only in (None, name) and (learner, name) not in there
    )
    return Marking(tuple(marked), tuple(not_marked), missing)


def find_sheets(room):
    """All sheet files of a class, the instructor's own folder left out; links are not followed.

    Parameters
    ----------
    room : Classroom
        the class

    Returns
    -------
    list of Path
        in order of their names

    Raises
    ------
    SheetError
        when there are too many to be honest
    """
    found = []
    for folder, folders, files in os.walk(room.folder, followlinks=False):
        folders[:] = [name for name in folders if Path(folder, name) != room.instructor and name[0] != "."]
        found += [Path(folder, name) for name in files if SHEET_FILE.fullmatch(name)]
        if len(found) > MOST_SHEETS:
            raise SheetError(
                Problem(str(room.folder), f"holds more than {MOST_SHEETS} sheets", "", "name the folder of one class")
            )
    return sorted(found)


def _accept(path, secret, cases):
    if path.is_symlink():
        raise SheetError(Problem(path.name, "is a link", "", "ask for the file itself"))
    sheet = read_sheet(path)
    if _exercise_in_name(path) not in ("", sheet.exercise):
        raise SheetError(
            Problem(
                path.name,
                f"holds the answers to another exercise, {sheet.exercise}",
                "",
                "ask the learner for the right sheet",
            )
        )
    learner = verify_ticket(secret, sheet.ticket, sheet.case)
    if sheet.case.fingerprint != getattr(cases.case(sheet.exercise, learner), "fingerprint", None):
        raise SheetError(
            Problem(
                path.name,
                f"is for numbers that are not the ones on the list for {learner}",
                "",
                "hand the exercise out again, or restore instructor/cases.json from a copy",
            )
        )
    if _known_folder(path, cases) not in ("", learner):
        raise SheetError(
            Problem(
                path.name,
                f"belongs to {learner} but lies in the folder of {path.parent.name}",
                "",
                "ask both whose work it is",
            )
        )
    return sheet, learner


def _exercise_in_name(path):
    found = EXERCISE_NAME.match(path.name)
    return found[0] if found else ""


def _known_folder(path, cases):
    folder = path.parent.name
    return folder if any(folder in learners for learners in cases.exercises.values()) else ""


def _mark(book, answers_path, learner, sheet):
    answers = load_answers(answers_path)
    key_digest = hashlib.sha256(answers.path.read_bytes()).hexdigest()
    place = (learner, sheet.exercise, _digest(sheet), key_digest)
    verdicts = book.find(*place)
    if verdicts is not None:
        return Marked(learner, sheet.exercise, sheet, verdicts, False)
    verdicts = answers.key(sheet.case).judge(sheet.answers)
    book.add(*place, verdicts)
    return Marked(learner, sheet.exercise, sheet, verdicts, True)


def _digest(sheet):
    # The time of saving is left out: the same answers are the same sheet.
    content = sheet.model_dump(exclude={"saved_at"})
    return hashlib.sha256(json.dumps(content, sort_keys=True).encode()).hexdigest()


def _told_twice(learner, found):
    names = " and ".join(str(path.parent.name + "/" + path.name) for path, _ in found)
    return (
        f"{learner} has different sheets for one exercise ({names}): keep the one that counts and move the others away"
    )
