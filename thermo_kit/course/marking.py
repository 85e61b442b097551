"""Marking the sheets of a class. A sheet is untrusted data: read with limits, verified, never executed."""

import hashlib
import json
import os
import re
from dataclasses import dataclass, field
from pathlib import Path

from thermo_kit.course.answers import load_answers
from thermo_kit.course.classroom import Classroom
from thermo_kit.course.files import file_errors_in_plain_words
from thermo_kit.course.keys import Verdict
from thermo_kit.course.mark_book import MarkBook
from thermo_kit.course.sheet import SheetContent, read_sheet
from thermo_kit.course.tickets import verify_ticket
from thermo_kit.course.workbook import EXERCISE_NAME
from thermo_kit.errors import Problem, SheetError, ThermoKitError, UnknownNameError

MOST_SHEETS = 20_000
# A download or a copy may put "(1)", "-Copy1" or ".txt" into the name; the signature inside decides what a sheet is.
SHEET_FILE = re.compile(r"[^.].*\.sheet.*json.*", re.IGNORECASE)
# What the notebook itself has put away is not handed in.
SET_ASIDE = re.compile(r".*\.(damaged|other)-\d+")
MARKED, NOT_MARKED, NO_SHEET, MARKED_EARLIER = "marked", "not marked", "no sheet yet", "marked earlier"


class _WithPoints:
    @property
    def points(self):
        """Points so far; reasons are still to be read by hand."""
        return sum(verdict.points for verdict in self.verdicts)

    @property
    def out_of(self):
        """The points of the whole exercise."""
        return sum(verdict.out_of for verdict in self.verdicts)


@dataclass(frozen=True)
class Marked(_WithPoints):
    """One marked sheet. `is_new` is False when the mark book already held exactly this."""

    learner: str
    exercise: str
    sheet: SheetContent
    verdicts: tuple[Verdict, ...]
    is_new: bool


@dataclass(frozen=True)
class NotMarked:
    """A sheet that could not be marked, or a folder that could not be looked into, and the reason in plain words.

    learner, exercise: whose folder it lies in and what its name says; empty where they say nothing
    """

    path: Path
    reason: str
    learner: str = ""
    exercise: str = ""


@dataclass(frozen=True)
class Standing(_WithPoints):
    """How one learner on the class list stands with one exercise.

    state: one of "marked", "not marked", "no sheet yet", "marked earlier" (nothing to mark now, but in the mark book)
    reason: why the sheet that is there was not marked
    verdicts: of this run, or the newest in the mark book
    answers: what was marked in this run; the mark book keeps none
    marked_at: when it was marked earlier
    """

    learner: str
    exercise: str
    state: str
    reason: str = ""
    verdicts: tuple[Verdict, ...] = ()
    answers: dict = field(default_factory=dict)
    marked_at: str = ""


@dataclass(frozen=True)
class Marking:
    """The outcome of one run over a class.

    standings: one for each exercise that was handed out and each of its learners
    questions: the names of each exercise's questions
    """

    marked: tuple[Marked, ...]
    not_marked: tuple[NotMarked, ...]
    standings: tuple[Standing, ...]
    questions: dict[str, tuple[str, ...]]

    @property
    def exercises(self):
        """The exercises of which a sheet was marked, in order."""
        return tuple(sorted({m.exercise for m in self.marked}))

    @property
    def missing(self):
        """Pairs of learner and exercise that have no sheet, not even a refused one, and no earlier mark."""
        return tuple((s.learner, s.exercise) for s in self.standings if s.state == NO_SHEET)

    @property
    def marked_earlier(self):
        """The standings that rest on the mark book alone."""
        return tuple(s for s in self.standings if s.state == MARKED_EARLIER)

    def misunderstandings(self):
        """Who shows which named mistake: (exercise, question, mistake) → learners, the most frequent first."""
        found = {}
        for marked in self.marked:
            for verdict in marked.verdicts:
                if verdict.mistake:
                    found.setdefault((marked.exercise, verdict.question, verdict.mistake), []).append(marked.learner)
        return dict(sorted(found.items(), key=lambda item: (-len(item[1]), item[0])))


def mark_class(folder, *, workbook, exercise=None):
    """Mark every sheet in a class's folder and add the marks to its mark book."""
    room = Classroom(folder)
    secret = room.secret()
    cases = room.cases()
    only = workbook.exercise(exercise).stem if exercise else None
    if only:
        _refuse_not_handed_out(only, cases)
    paths, unlisted = find_sheets(room)
    readable, not_marked = {}, [NotMarked(path, told, _known_learner(path, cases)) for path, told in unlisted.items()]
    for path in paths:
        try:
            sheet, learner = _accept(path, secret, cases)
            if only in (None, sheet.exercise):
                readable.setdefault((learner, sheet.exercise), []).append((path, sheet))
        except Exception as error:
            refused = NotMarked(path, _told(path, error), _known_learner(path.parent, cases), _exercise_in_name(path))
            if only is None or refused.exercise in ("", only):
                not_marked.append(refused)
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
            except Exception as error:
                not_marked.append(NotMarked(path, _told(path, error), learner, exercise_name))
        # The first reason counts where a learner has several.
        reasons = {(n.learner, n.exercise): n.reason for n in reversed(not_marked)}
        judged = {(m.learner, m.exercise): m for m in marked}
        names = [only] if only else sorted(cases.exercises)
        standings = []
        for place in [(learner, name) for name in names for learner in sorted(cases.exercises[name])]:
            reason = reasons.get(place) or _hidden(room.notebook(*place), unlisted)
            standings.append(_standing(book, place, judged.get(place), reason))
    questions = {name: _questions(name, standings, cases, workbook) for name in names}
    return Marking(tuple(marked), tuple(not_marked), tuple(standings), questions)


def find_sheets(room):
    """All sheet files of a class, the instructor's own folder left out; links are not followed."""
    found, refused = [], []
    for folder, folders, files in os.walk(room.folder, followlinks=False, onerror=refused.append):
        folders[:] = [name for name in folders if Path(folder, name) != room.instructor and name[0] != "."]
        found += [Path(folder, name) for name in files if SHEET_FILE.fullmatch(name) and not SET_ASIDE.fullmatch(name)]
        if len(found) > MOST_SHEETS:
            raise SheetError.about(
                str(room.folder), f"holds more than {MOST_SHEETS} sheets", advice="name the folder of one class"
            )
    return sorted(found), {Path(error.filename): _told_unlisted(error) for error in refused}


def _told_unlisted(error):
    folder = Path(error.filename)
    return str(
        Problem(
            f"the folder {folder.name}",
            "cannot be listed",
            f"({error.strerror})",
            "give yourself the right to open it, and mark again",
        )
    )


def _refuse_not_handed_out(exercise, cases):
    if exercise not in cases.exercises:
        there = ", ".join(sorted(cases.exercises)) or "nothing"
        raise UnknownNameError.about(
            f"exercise {exercise}", "was not handed out to this class", advice=f"handed out was {there}"
        )


def _accept(path, secret, cases):
    with file_errors_in_plain_words(path, "be read"):
        if path.is_symlink():
            raise SheetError.about(path.name, "is a link", advice="ask for the file itself")
    sheet = read_sheet(path)
    if _exercise_in_name(path) not in ("", sheet.exercise):
        told = f"holds the answers to another exercise, {sheet.exercise}"
        raise SheetError.about(path.name, told, advice="ask the learner for the right sheet")
    learner = verify_ticket(secret, sheet.ticket, sheet.case)
    if sheet.case.fingerprint != getattr(cases.case(sheet.exercise, learner), "fingerprint", None):
        told = f"is for numbers that are not the ones on the list for {learner}"
        advice = "hand the exercise out again, or restore instructor/cases.json from a copy"
        raise SheetError.about(path.name, told, advice=advice)
    if _known_learner(path.parent, cases) not in ("", learner):
        told = f"belongs to {learner} but lies in the folder of {path.parent.name}"
        raise SheetError.about(path.name, told, advice="ask both whose work it is")
    return sheet, learner


def _exercise_in_name(path):
    found = EXERCISE_NAME.match(path.name.lower())
    return found[0] if found else ""


def _known_learner(folder, cases):
    name = folder.name
    return name if any(name in learners for learners in cases.exercises.values()) else ""


def _told(path, error):
    if isinstance(error, ThermoKitError):
        return str(error)
    return str(
        Problem(
            path.name,
            f"cannot be judged ({type(error).__name__}: {str(error)[:200]})",
            advice="check the answers notebook with this learner's numbers; "
            "if it is in order, ask the maintainer of the workbook",
        )
    )


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


def _hidden(notebook, unlisted):
    return next((told for folder, told in unlisted.items() if notebook.is_relative_to(folder)), "")


def _standing(book, place, marked, reason):
    if marked:
        return Standing(*place, MARKED, verdicts=marked.verdicts, answers=marked.sheet.answers)
    earlier = book.newest(*place)
    if earlier:
        return Standing(*place, MARKED_EARLIER, reason, verdicts=earlier[0], marked_at=earlier[1])
    return Standing(*place, NOT_MARKED if reason else NO_SHEET, reason)


def _questions(exercise, standings, cases, workbook):
    known = dict.fromkeys(v.question for s in standings if s.exercise == exercise for v in s.verdicts)
    learners = sorted(cases.exercises[exercise])
    if known or not learners:
        return tuple(known)
    try:
        key = load_answers(workbook.answer(exercise)).key(cases.case(exercise, learners[0]))
    except ThermoKitError:
        # Nothing was marked: what is wrong with the answers is told with the first sheet.
        return ()
    return tuple(part.question for part in key.parts)


def _digest(sheet):
    # The time of saving is left out: the same answers are the same sheet.
    content = sheet.model_dump(exclude={"saved_at"})
    return hashlib.sha256(json.dumps(content, sort_keys=True).encode()).hexdigest()


def _told_twice(learner, found):
    names = " and ".join(str(path.parent.name + "/" + path.name) for path, _ in found)
    return (
        f"{learner} has different sheets for one exercise ({names}): keep the one that counts and move the others away"
    )
