"""Marking the sheets of a class. A sheet is untrusted data: read with limits, verified, never executed."""

import contextlib
import hashlib
import json
from dataclasses import dataclass, field

from thermo_kit.course.answers import load_answers
from thermo_kit.course.cases import Case
from thermo_kit.course.classroom import Classroom
from thermo_kit.course.decisions import is_open, settle
from thermo_kit.course.files import file_errors_in_plain_words
from thermo_kit.course.hand_ins import NotMarked, exercise_in_name, find_hand_ins, known_learners, names_of_folders
from thermo_kit.course.keys import Verdict
from thermo_kit.course.mark_book import MarkBook
from thermo_kit.course.sheet import SheetContent, read_sheet
from thermo_kit.course.tickets import verify_ticket
from thermo_kit.errors import Problem, SheetError, ThermoKitError, UnknownNameError

MARKED, NOT_MARKED, NO_SHEET, MARKED_EARLIER = "marked", "not marked", "no sheet yet", "marked earlier"


class _WithPoints:
    @property
    def points(self):
        """Points so far, with those that are only proposed."""
        return sum(verdict.points for verdict in self.verdicts)

    @property
    def is_provisional(self):
        """Whether a person has still to settle some of the points."""
        return any(is_open(verdict) for verdict in self.verdicts)

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
class Standing(_WithPoints):
    """How one learner on the class list stands with one exercise.

    state: one of "marked", "not marked", "no sheet yet", "marked earlier" (nothing to mark now, but in the mark book)
    reason: why the sheet that is there was not marked, or what was found instead of one
    verdicts, answers: of this run, or the newest in the mark book; verdicts as decisions leave them
    marked_at: when it was marked earlier
    case, sheet_digest: the numbers, and which sheet was marked
    """

    learner: str
    exercise: str
    state: str
    reason: str = ""
    verdicts: tuple[Verdict, ...] = ()
    answers: dict = field(default_factory=dict)
    marked_at: str = ""
    case: Case | None = None
    sheet_digest: str = ""


@dataclass(frozen=True)
class Marking:
    """The outcome of one run over a class.

    not_recognised: what was handed in but is no answer sheet
    standings: one for each exercise that was handed out and each of its learners
    questions: the names of each exercise's questions
    """

    marked: tuple[Marked, ...]
    not_marked: tuple[NotMarked, ...]
    not_recognised: tuple[NotMarked, ...]
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


def mark_class(folder, *, workbook, exercise=None, again=False):
    """Mark every sheet in a class's folder and add to its mark book what is new; with `again`, every mark."""
    room = Classroom(folder)
    secret = room.secret()
    cases = room.cases()
    only = workbook.exercise(exercise).stem if exercise else None
    if only:
        _refuse_not_handed_out(only, cases)
    names = [only] if only else sorted(cases.exercises)
    room.remember_answers(names, workbook)
    hand_ins = find_hand_ins(room, cases)
    folders = names_of_folders(cases)
    not_marked = [
        NotMarked(path, told, next(iter(known_learners(path, room, folders)), ""))
        for path, told in hand_ins.closed.items()
    ]
    readable = {}
    for path in hand_ins.sheets:
        try:
            sheet, learner = _accept(path, secret, cases, room, folders)
            if only in (None, sheet.exercise):
                readable.setdefault((learner, sheet.exercise), []).append((path, sheet))
        except Exception as error:
            owner = next(iter(known_learners(path.parent, room, folders)), "")
            refused = NotMarked(path, _told(path, error), owner, exercise_in_name(path))
            if only is None or refused.exercise in ("", only):
                not_marked.append(refused)
    not_recognised = tuple(n for n in hand_ins.not_recognised if only is None or n.exercise in ("", only))
    marked = []
    with MarkBook(room.mark_book_file) as book:
        judge = _Judge(book, room, workbook, again)
        for (learner, exercise_name), found in sorted(readable.items()):
            path, sheet = found[0]
            if len({_digest(other) for _, other in found}) > 1:
                told = _told_twice(learner, found)
                not_marked += [NotMarked(other, told, learner, exercise_name) for other, _ in found]
                continue
            try:
                verdicts, is_new = judge.mark(learner, sheet.case, _digest(sheet), sheet.answers)
                marked.append(Marked(learner, exercise_name, sheet, verdicts, is_new))
            except Exception as error:
                not_marked.append(NotMarked(path, _told(path, error), learner, exercise_name))
        # The first reason counts where a learner has several.
        reasons = {(n.learner, n.exercise): n.reason for n in reversed(not_marked)}
        judged = {(m.learner, m.exercise): m for m in marked}
        standings = []
        for place in [(learner, name) for name in names for learner in sorted(cases.exercises[name])]:
            if place in judged:
                m = judged[place]
                facts = {"verdicts": m.verdicts, "answers": m.sheet.answers, "case": m.sheet.case}
                standings.append(Standing(*place, MARKED, sheet_digest=_digest(m.sheet), **facts))
                continue
            reason = reasons.get(place) or _hidden(room.notebook(*place), hand_ins.closed)
            standings.append(_without_sheet(judge, place, cases, reason, _instead(place, not_recognised)))
    questions = {name: _questions(name, standings, cases, judge) for name in names}
    return Marking(tuple(marked), tuple(not_marked), not_recognised, tuple(standings), questions)


def _refuse_not_handed_out(exercise, cases):
    if exercise not in cases.exercises:
        there = ", ".join(sorted(cases.exercises)) or "nothing"
        raise UnknownNameError.about(
            f"exercise {exercise}", "was not handed out to this class", advice=f"handed out was {there}"
        )


def _accept(path, secret, cases, room, folders):
    with file_errors_in_plain_words(path, "be read"):
        if path.is_symlink():
            raise SheetError.about(path.name, "is a link", advice="ask for the file itself")
    sheet = read_sheet(path)
    if exercise_in_name(path) not in ("", sheet.exercise):
        told = f"holds the answers to another exercise, {sheet.exercise}"
        raise SheetError.about(path.name, told, advice="ask the learner for the right sheet")
    learner = verify_ticket(secret, sheet.ticket, sheet.case)
    if sheet.case.fingerprint != getattr(cases.case(sheet.exercise, learner), "fingerprint", None):
        told = f"is for numbers that are not the ones on the list for {learner}"
        advice = "hand the exercise out again, or restore instructor/cases.json from a copy"
        raise SheetError.about(path.name, told, advice=advice)
    others = [name for name in known_learners(path.parent, room, folders) if name != learner]
    if others:
        told = f"belongs to {learner} but lies in the folder of {others[0]}"
        raise SheetError.about(path.name, told, advice="ask both whose work it is")
    return sheet, learner


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


class _Judge:
    """Judges answers by the key for a learner's own numbers, and keeps what is new in the mark book."""

    def __init__(self, book, room, workbook, again):
        self.book, self.room, self.workbook, self.again = book, room, workbook, again
        self.decisions = book.decisions()

    def key(self, case):
        """The key for a case."""
        return load_answers(self.room.answers_notebook(case.exercise, self.workbook)).key(case)

    def mark(self, learner, case, sheet_digest, answers):
        """The verdicts as decisions leave them, and whether the key's own are new."""
        # Key and package may have changed since: nothing is taken as kept.
        key = self.key(case)
        verdicts = key.judge(answers)
        is_new = self.book.add(learner, case.exercise, sheet_digest, key.digest, verdicts, answers, self.again)
        return settle(verdicts, self.decisions, learner, case, answers), is_new


def _hidden(notebook, unlisted):
    return next((told for folder, told in unlisted.items() if notebook.is_relative_to(folder)), "")


def _instead(place, not_recognised):
    learner, exercise = place
    named = [n.path.name for n in not_recognised if n.learner == learner and n.exercise in ("", exercise)]
    return f"not recognised as a sheet: {', '.join(named[:5])}" if named else ""


def _without_sheet(judge, place, cases, reason, instead):
    kept = judge.book.newest(*place)
    if kept is None:
        return Standing(*place, NOT_MARKED if reason else NO_SHEET, reason or instead)
    case = cases.case(place[1], place[0])
    verdicts = settle(kept.verdicts, judge.decisions, place[0], case, kept.answers or {})
    if kept.answers is not None:
        # The answers notebook may not run just now: the kept mark still stands.
        with contextlib.suppress(ThermoKitError):
            verdicts, _ = judge.mark(place[0], case, kept.sheet_digest, kept.answers)
    if not verdicts:
        damaged = f"row {kept.number} of the mark book is damaged: restore the book from a copy, or ask for the sheet"
        return Standing(*place, NOT_MARKED, reason or damaged)
    facts = {"verdicts": verdicts, "answers": kept.answers or {}, "marked_at": kept.marked_at}
    return Standing(*place, MARKED_EARLIER, reason, case=case, sheet_digest=kept.sheet_digest, **facts)


def _questions(exercise, standings, cases, judge):
    known = dict.fromkeys(v.question for s in standings if s.exercise == exercise for v in s.verdicts)
    learners = sorted(cases.exercises[exercise])
    if known or not learners:
        return tuple(known)
    try:
        key = judge.key(cases.case(exercise, learners[0]))
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
