"""Marking the sheets of a class. A sheet is untrusted data: read with limits, verified, never executed."""

import hashlib
import itertools
import json
import time
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from pathlib import Path

from thermo_kit.course.alike import alike_texts
from thermo_kit.course.answers import Judged, judge_part, load_answers
from thermo_kit.course.cases import Case, exercise_and_resit
from thermo_kit.course.classroom import Classroom
from thermo_kit.course.decisions import by_key, is_open, settle
from thermo_kit.course.files import file_errors_in_plain_words
from thermo_kit.course.hand_ins import NotMarked, exercise_in_name, find_hand_ins, known_learners, names_of_folders
from thermo_kit.course.keys import BY_HAND, Verdict
from thermo_kit.course.mark_book import MarkBook
from thermo_kit.course.sheet import SHEET_LIMIT, parse_sheet
from thermo_kit.course.spread import program_digest, spread
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
    case: Case
    answers: dict
    verdicts: tuple[Verdict, ...]
    is_new: bool
    sheet_digest: str = ""


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
class Alike:
    """Two learners' reasons that share many words in a row: a hint to look, not a verdict. share: from 0 to 1."""

    exercise: str
    question: str
    share: float
    learners: tuple[str, str]


@dataclass(frozen=True)
class Marking:
    """The outcome of one run over a class.

    not_recognised: what was handed in but is no answer sheet
    standings: one for each exercise that was handed out and each of its learners
    questions: the names of each exercise's questions
    alike: reasons of a closed examination that look like one text
    """

    marked: tuple[Marked, ...]
    not_marked: tuple[NotMarked, ...]
    not_recognised: tuple[NotMarked, ...]
    standings: tuple[Standing, ...]
    questions: dict[str, tuple[str, ...]]
    alike: tuple[Alike, ...] = ()

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


@dataclass(frozen=True)
class _Work:
    """What is to be judged, and kept in the mark book; `path` is None where the mark book itself holds the answers."""

    learner: str
    exercise: str
    case: Case
    sheet_digest: str
    answers: dict
    handed_in_at: str = ""
    path: Path | None = None

    @property
    def place(self):
        """Learner and exercise."""
        return self.learner, self.exercise


def mark_class(folder, *, workbook, exercise=None, again=False, scheduler=""):
    """Mark every sheet in a class's folder and add to its mark book what is new; with `again`, every mark.

    scheduler: the address of a Dask scheduler whose workers judge; without one, this machine does
    """
    room = Classroom(folder)
    secret = room.secret()
    room.remove_leftovers()
    cases = room.cases()
    only = workbook.exercise(exercise).stem if exercise else None
    if only:
        _refuse_not_handed_out(only, cases)
    names = cases.names_of(only) if only else sorted(cases.exercises)
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
            sheet, learner, name = _accept(path, hand_ins, secret, cases, room, folders)
            if only in (None, sheet.exercise):
                at = min(hand_ins.changed_at(path), time.time())
                at = datetime.fromtimestamp(max(at, 0), UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
                work = _Work(learner, name, sheet.case, _digest(sheet), sheet.answers, at, path)
                readable.setdefault(work.place, []).append(work)
        except Exception as error:
            owner = next(iter(known_learners(path.parent, room, folders)), "")
            refused = NotMarked(path, _told(path, error), owner, _name_meant(path, cases))
            if only is None or exercise_and_resit(refused.exercise)[0] in ("", only):
                not_marked.append(refused)
    not_recognised = tuple(n for n in hand_ins.not_recognised if only is None or n.exercise in ("", only))
    marked, work = {}, []
    for place, found in sorted(readable.items()):
        if len({one.sheet_digest for one in found}) > 1:
            told = _told_twice(place[0], found)
            not_marked += [NotMarked(one.path, told, *place) for one in found]
        else:
            work.append(min(found, key=lambda one: one.handed_in_at))
    there = {one.place for one in work}
    absent = [(learner, name) for name in names for learner in cases.exercises[name] if (learner, name) not in there]
    with MarkBook(room.mark_book_file) as book:
        kept = {place: mark for place in absent if (mark := book.newest(*place))}
        for place, mark in kept.items():
            if mark.answers is not None:
                case = cases.case(place[1], place[0])
                work.append(_Work(*place, case, mark.sheet_digest, mark.answers, mark.handed_in_at))
        seen, judge = {}, _Judge(book, room, workbook, again, scheduler)
        for one, judged, is_new in judge.mark(work):
            # Thousands share a few verdicts.
            shared = tuple(seen.setdefault(verdict, verdict) for verdict in judged.verdicts)
            verdicts = settle(shared, judge.decisions, one.place, one.case, one.answers)
            if one.path is None:
                # The answers notebook may not run just now: the kept mark still stands.
                if not judged.told:
                    kept[one.place] = replace(kept[one.place], verdicts=judged.verdicts)
            elif judged.told:
                not_marked.append(NotMarked(one.path, f"{one.path.name}: {judged.told}", *one.place))
                kept[one.place] = book.newest(*one.place)
            else:
                marked[one.place] = Marked(*one.place, one.case, one.answers, verdicts, is_new, one.sheet_digest)
    # The first reason counts where a learner has several.
    reasons = {(n.learner, n.exercise): n.reason for n in reversed(not_marked)}
    standings = []
    for place in [(learner, name) for name in names for learner in sorted(cases.exercises[name])]:
        if place in marked:
            m = marked[place]
            facts = {"verdicts": m.verdicts, "answers": m.answers, "case": m.case, "sheet_digest": m.sheet_digest}
            standings.append(Standing(*place, MARKED, **facts))
            continue
        reason = reasons.get(place) or _hidden(room.notebook(*place), hand_ins.closed)
        instead = _instead(place, not_recognised)
        standings.append(_without_sheet(place, kept.get(place), judge.decisions, cases, reason, instead))
    questions = {name: _questions(name, standings, cases, judge) for name in names}
    closed = [name for name in names if exercise_and_resit(name)[0] in room.closed()]
    alike = tuple(pair for name in closed for pair in _alike(standings, name))
    return Marking(
        tuple(marked[place] for place in sorted(marked)),
        tuple(not_marked),
        not_recognised,
        tuple(standings),
        questions,
        alike,
    )


def _refuse_not_handed_out(exercise, cases):
    if exercise not in cases.exercises:
        there = ", ".join(sorted(cases.exercises)) or "nothing"
        raise UnknownNameError.about(
            f"exercise {exercise}", "was not handed out to this class", advice=f"handed out was {there}"
        )


def _accept(path, hand_ins, secret, cases, room, folders):
    with file_errors_in_plain_words(path, "be read"):
        if path.is_symlink():
            raise SheetError.about(path.name, "is a link", advice="ask for the file itself")
    sheet = parse_sheet(hand_ins.read(path, SHEET_LIMIT), path.name)
    if exercise_in_name(path) not in ("", sheet.exercise):
        told = f"holds the answers to another exercise, {sheet.exercise}"
        raise SheetError.about(path.name, told, advice="ask the learner for the right sheet")
    learner = verify_ticket(secret, sheet.ticket, sheet.case)
    given = {name: cases.case(name, learner) for name in cases.names_of(sheet.exercise)}
    name = next((n for n, case in given.items() if case and case.fingerprint == sheet.case.fingerprint), None)
    if name is None:
        told = f"is for numbers that are not the ones on the list for {learner}"
        advice = "hand the exercise out again, or restore instructor/cases.json from a copy"
        raise SheetError.about(path.name, told, advice=advice)
    others = [name for name in known_learners(path.parent, room, folders) if name != learner]
    if others:
        told = f"belongs to {learner} but lies in the folder of {others[0]}"
        raise SheetError.about(path.name, told, advice="ask both whose work it is")
    return sheet, learner, name


def _name_meant(path, cases):
    # A re-sit's notebook and sheet lie in a folder of its name.
    return path.parent.name if path.parent.name in cases.exercises else exercise_in_name(path)


def _told(path, error):
    if isinstance(error, ThermoKitError):
        return str(error)
    told = f"cannot be judged ({type(error).__name__}: {str(error)[:200]})"
    return str(Problem(path.name, told, advice="ask the maintainer of the workbook"))


class _Judge:
    """Judges answers by the key for a learner's own numbers, and keeps what is new in the mark book."""

    def __init__(self, book, room, workbook, again, scheduler):
        self.book, self.room, self.workbook, self.again, self.scheduler = book, room, workbook, again, scheduler
        self.decisions = book.decisions()

    def key(self, case):
        """The key for a case."""
        return load_answers(self.room.answers_notebook(case.exercise, self.workbook)).key(case)

    def mark(self, work):
        """Yield each piece of work, what came of it, and whether that is new."""
        groups = {}
        for one in work:
            groups.setdefault(one.case.exercise, []).append(one)
        for exercise, group in sorted(groups.items()):
            try:
                answers = load_answers(self.room.answers_notebook(exercise, self.workbook))
            except ThermoKitError as error:
                yield from ((one, Judged(told=str(error)), False) for one in group)
                continue
            yield from self._mark(group, answers)

    def _mark(self, group, answers):
        # A kept mark is the newest word only where key and program are the very same.
        program = hashlib.sha256((program_digest() + repr(answers.source)).encode()).hexdigest()
        open_work = []
        for one in group:
            kept = None if self.again else self.book.newest(*one.place)
            if kept and (kept.sheet_digest, kept.program) == (one.sheet_digest, program) and kept.verdicts:
                yield one, Judged(kept.key_digest, kept.verdicts), False
            else:
                open_work.append(one)
        shared = answers.path, answers.source
        parts = spread(judge_part, shared, [(one.case, one.answers) for one in open_work], self.scheduler)
        rest = iter(open_work)
        for part in parts:
            pairs = list(zip(itertools.islice(rest, len(part)), part, strict=True))
            good = [(one, judged) for one, judged in pairs if not judged.told]
            added = self.book.add(*zip(*good, strict=True), self.again, program) if good else []
            yield from ((*pair, is_new) for pair, is_new in zip(good, added, strict=True))
            yield from ((one, judged, False) for one, judged in pairs if judged.told)


def _hidden(notebook, unlisted):
    return next((told for folder, told in unlisted.items() if notebook.is_relative_to(folder)), "")


def _instead(place, not_recognised):
    learner, exercise = place
    named = [n.path.name for n in not_recognised if n.learner == learner and n.exercise in ("", exercise)]
    return f"not recognised as a sheet: {', '.join(named[:5])}" if named else ""


def _without_sheet(place, kept, decisions, cases, reason, instead):
    if kept is None:
        return Standing(*place, NOT_MARKED if reason else NO_SHEET, reason or instead)
    case = cases.case(place[1], place[0])
    verdicts = settle(kept.verdicts, decisions, place, case, kept.answers or {})
    if not verdicts:
        damaged = f"row {kept.number} of the mark book is damaged: restore the book from a copy, or ask for the sheet"
        return Standing(*place, NOT_MARKED, reason or damaged)
    facts = {"verdicts": verdicts, "answers": kept.answers or {}, "marked_at": kept.marked_at}
    return Standing(*place, MARKED_EARLIER, reason, case=case, sheet_digest=kept.sheet_digest, **facts)


def _alike(standings, name):
    rows = [s for s in standings if s.exercise == name and s.verdicts]
    for question in dict.fromkeys(v.question for s in rows for v in s.verdicts if by_key(v).verdict == BY_HAND):
        reasons = {s.learner: s.answers.get(question, "") for s in rows}
        yield from (Alike(name, question, *pair) for pair in alike_texts(reasons))


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
    names = " and ".join(str(one.path.parent.name + "/" + one.path.name) for one in found)
    return (
        f"{learner} has different sheets for one exercise ({names}): keep the one that counts and move the others away"
    )
