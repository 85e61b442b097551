"""Marking the sheets of a class. A sheet is untrusted data: read with limits, verified, never executed."""

import contextlib
import hashlib
import itertools
import json
import os
import sqlite3
import time
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import NamedTuple

from thermo_kit.course.alike import alike_texts
from thermo_kit.course.answers import judge_part, load_answers
from thermo_kit.course.cases import Case, exercise_and_resit
from thermo_kit.course.classroom import Classroom
from thermo_kit.course.decisions import settle
from thermo_kit.course.files import file_errors_in_plain_words
from thermo_kit.course.hand_ins import HandIns, NotMarked, exercise_in_name
from thermo_kit.course.keys import BY_HAND, Verdict
from thermo_kit.course.mark_book import MarkBook
from thermo_kit.course.sheet import SHEET_LIMIT, parse_sheet
from thermo_kit.course.spread import program_digest, spread
from thermo_kit.course.tickets import verify_ticket
from thermo_kit.errors import Problem, SheetError, ThermoKitError, UnknownNameError

MARKED, NOT_MARKED, NO_SHEET, MARKED_EARLIER = "marked", "not marked", "no sheet yet", "marked earlier"


@dataclass(frozen=True)
class Standing:
    """How one learner on the class list stands with one exercise.

    state: one of "marked", "not marked", "no sheet yet", "marked earlier" (nothing to mark now, but in the mark book)
    reason: why the sheet that is there was not marked, or what was found instead of one
    is_new: False when the mark book already held exactly this
    verdicts, answers: of this run, or the newest in the mark book; verdicts as decisions leave them
    marked_at: when it was marked earlier
    case, sheet_digest: the numbers, and which sheet was marked
    """

    learner: str
    exercise: str
    state: str
    reason: str = ""
    is_new: bool = False
    verdicts: tuple[Verdict, ...] = ()
    answers: dict = field(default_factory=dict)
    marked_at: str = ""
    case: Case | None = None
    sheet_digest: str = ""

    @property
    def points(self):
        """Points so far, with those that are only proposed."""
        return sum(verdict.points for verdict in self.verdicts)

    @property
    def is_provisional(self):
        """Whether a person has still to settle some of the points."""
        return any(verdict.is_open for verdict in self.verdicts)

    @property
    def out_of(self):
        """The points of the whole exercise."""
        return sum(verdict.out_of for verdict in self.verdicts)


class _Entry(NamedTuple):
    """All that is held of a standing; the rest stands in a row of the mark book."""

    exercise: str
    learner: str
    state: str
    reason: str = ""
    is_new: bool = False
    row: int = 0


class Standings(Sequence):
    """Standings that are read back from the mark book one by one, however many there are."""

    def __init__(self, entries, cases, path):
        self.entries, self._cases, self._path = entries, cases, path

    def __len__(self):
        return len(self.entries)

    def __getitem__(self, place):
        return next(iter(Standings([self.entries[place]], self._cases, self._path)))

    def __iter__(self):
        with MarkBook(self._path) as book:
            yield from (self._standing(entry, book) for entry in self.entries)

    def _standing(self, entry, book):
        learner, exercise = place = entry.learner, entry.exercise
        if not entry.row:
            return Standing(*place, entry.state, entry.reason)
        kept, case = book.row(entry.row), self._cases.case(exercise, learner)
        verdicts = settle(kept.verdicts, book.decisions(*place), place, case, kept.answers or {})
        at = kept.marked_at if entry.state == MARKED_EARLIER else ""
        facts = entry.is_new, verdicts, kept.answers or {}, at, case, kept.sheet_digest
        return Standing(*place, entry.state, entry.reason, *facts)

    def of(self, what):
        """Those in one state, or of one exercise or re-sit."""
        found = [entry for entry in self.entries if what in (entry.state, entry.exercise)]
        return Standings(found, self._cases, self._path)


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

    standings: one for each exercise that was handed out and each of its learners
    not_recognised: what was handed in but is no answer sheet
    questions: the names of each exercise's questions
    alike: reasons of a closed examination that look like one text
    """

    standings: Standings
    not_marked: tuple[NotMarked, ...]
    not_recognised: tuple[NotMarked, ...]
    questions: dict[str, tuple[str, ...]]
    alike: tuple[Alike, ...] = ()

    @property
    def marked(self):
        """The standings of this run's sheets."""
        return self.standings.of(MARKED)

    @property
    def marked_earlier(self):
        """The standings that rest on the mark book alone."""
        return self.standings.of(MARKED_EARLIER)

    @property
    def missing(self):
        """Pairs of learner and exercise that have no sheet, not even a refused one, and no earlier mark."""
        return tuple((s.learner, s.exercise) for s in self.standings.of(NO_SHEET).entries)

    def misunderstandings(self):
        """Who shows which named mistake: (exercise, question, mistake) → learners, the most frequent first."""
        found = defaultdict(list)
        for marked in self.marked:
            for verdict in marked.verdicts:
                if verdict.mistake:
                    found[marked.exercise, verdict.question, verdict.mistake].append(marked.learner)
        return dict(sorted(found.items(), key=lambda item: (-len(item[1]), item[0])))


@dataclass(frozen=True)
class _Work:
    """What is to be judged, and kept in the mark book; `path` is None where the mark book itself holds the answers."""

    learner: str
    exercise: str
    case: Case
    sheet_digest: str
    answers: dict
    handed_in_at: str
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
    if only and only not in cases.exercises:
        advice = f"handed out was {', '.join(sorted(cases.exercises)) or 'nothing'}"
        raise UnknownNameError.about(f"exercise {only}", "was not handed out to this class", advice=advice)
    names = cases.names_of(only) if only else sorted(cases.exercises)
    room.remember_answers(names, workbook)
    hand_ins = HandIns(room, cases)
    with MarkBook(room.mark_book_file) as book, _Sheets() as sheets:
        run = _Run(room, cases, workbook, hand_ins, book, sheets, again, scheduler)
        run.take_in(secret, only)
        for name in names:
            run.mark(name)
        questions = {name: run.questions_of(name) for name in names}
    standings = Standings(sorted(run.entries), cases, room.mark_book_file)
    closed = [name for name in names if exercise_and_resit(name)[0] in room.closed()]
    alike = tuple(pair for name in closed for pair in _alike(standings.of(name), name))
    return Marking(standings, tuple(run.not_marked), tuple(run.not_recognised), questions, alike)


class _Sheets(contextlib.AbstractContextManager):
    """The accepted sheets of one run, kept on disk: without a name, SQLite's file ends with its program."""

    def __init__(self):
        self._file = sqlite3.connect("", isolation_level=None)
        self._file.execute("CREATE TABLE sheets (learner, exercise, digest, answers, at, path)")
        self._file.execute("CREATE INDEX place ON sheets (learner, exercise)")

    def __exit__(self, *_error):
        self._file.close()

    def add(self, *sheet):
        """Keep one sheet."""
        self._file.execute("INSERT INTO sheets VALUES (?, ?, ?, ?, ?, ?)", sheet)

    def of(self, place):
        """The different sheets of a learner and an exercise, each with the earliest of its times."""
        words = "SELECT digest, answers, min(at), path FROM sheets WHERE (learner, exercise) = (?, ?) GROUP BY digest"
        return self._file.execute(words, place).fetchall()

    def paths(self, place):
        """Where all of a place's sheets lie."""
        words = "SELECT path FROM sheets WHERE (learner, exercise) = (?, ?) ORDER BY rowid"
        return [Path(os.fsdecode(path)) for (path,) in self._file.execute(words, place)]


class _Run:
    """One run over a class: judges by the key for each learner's own numbers, keeps what is new in the mark book."""

    def __init__(self, room, cases, workbook, hand_ins, book, sheets, again, scheduler):
        self.room, self.cases, self.workbook, self.hand_ins = room, cases, workbook, hand_ins
        self.book, self.sheets, self.again, self.scheduler = book, sheets, again, scheduler
        closed = hand_ins.closed.items()
        self.not_marked = [NotMarked(path, told, hand_ins.owner(path)) for path, told in closed]
        self.not_recognised, self.entries, self._questions = hand_ins.not_recognised, [], defaultdict(dict)

    def take_in(self, secret, only):
        """Accept or refuse every sheet; only: the one exercise that is marked, or None."""
        for path in map(Path, self.hand_ins.sheets):
            try:
                sheet, learner, name = self._accept(path, secret)
                if only in (None, sheet.exercise):
                    at = datetime.fromtimestamp(max(min(self.hand_ins.changed_at(path), time.time()), 0), UTC)
                    facts = _digest(sheet), json.dumps(sheet.answers), f"{at:%Y-%m-%dT%H:%M:%SZ}", os.fsencode(path)
                    self.sheets.add(learner, name, *facts)
            except Exception as error:
                # A re-sit's notebook and sheet lie in a folder of its name.
                is_resit = path.parent.name in self.cases.exercises
                meant = path.parent.name if is_resit else exercise_in_name(path)
                if only is None or exercise_and_resit(meant)[0] in ("", only):
                    owner = self.hand_ins.owner(path.parent)
                    self.not_marked.append(NotMarked(path, _told(path, error), owner, meant))
        self.not_recognised = [n for n in self.not_recognised if only is None or n.exercise in ("", only)]
        # The first reason counts where a learner has several.
        self._reasons = {(n.learner, n.exercise): n.reason for n in reversed(self.not_marked)}

    def _accept(self, path, secret):
        with file_errors_in_plain_words(path, "be read"):
            if path.is_symlink():
                raise SheetError.about(path.name, "is a link", advice="ask for the file itself")
        sheet = parse_sheet(self.hand_ins.read(path, SHEET_LIMIT), path.name)
        if exercise_in_name(path) not in ("", sheet.exercise):
            told = f"holds the answers to another exercise, {sheet.exercise}"
            raise SheetError.about(path.name, told, advice="ask the learner for the right sheet")
        learner = verify_ticket(secret, sheet.ticket, sheet.case)
        given = {name: self.cases.case(name, learner) for name in self.cases.names_of(sheet.exercise)}
        name = next((n for n, case in given.items() if case and case.fingerprint == sheet.case.fingerprint), None)
        if name is None:
            told = f"is for numbers that are not the ones on the list for {learner}"
            advice = "hand the exercise out again, or restore instructor/cases.json from a copy"
            raise SheetError.about(path.name, told, advice=advice)
        if others := [owner for owner in self.hand_ins.owners(path.parent) if owner != learner]:
            told = f"belongs to {learner} but lies in the folder of {others[0]}"
            raise SheetError.about(path.name, told, advice="ask both whose work it is")
        return sheet, learner, name

    def mark(self, name):
        """Judge all there is of an exercise or re-sit, part by part, so that a run that is killed loses one part."""
        try:
            answers = load_answers(self.room.answers_notebook(name, self.workbook))
        except ThermoKitError as error:
            for one in self._open_work(name, None):
                self._not_judged(one, str(error))
            return
        # A kept mark is the newest word only where key and program are the very same.
        program = hashlib.sha256((program_digest() + repr(answers.source)).encode()).hexdigest()
        work, rest = itertools.tee(self._open_work(name, program))
        things = ((one.case, one.answers) for one in work)
        for part in spread(judge_part, (answers.path, answers.source), things, self.scheduler):
            pairs = list(zip(itertools.islice(rest, len(part)), part, strict=True))
            good = [pair for pair in pairs if not pair[1].told]
            rows = self.book.add(good, self.again, program)
            for (one, judged), (row, is_new) in zip(good, rows, strict=True):
                self._marked(one, judged.verdicts, row, is_new)
            for one, judged in pairs:
                if judged.told:
                    self._not_judged(one, judged.told)

    def _open_work(self, name, program):
        """Yield what is to be judged; what needs no judging gets its entry at once."""
        for learner in sorted(self.cases.exercises[name]):
            place, case = (learner, name), self.cases.case(name, learner)
            kept, sheets = self.book.newest(*place), self.sheets.of(place)
            if len(sheets) == 1:
                digest, answers, at, path = sheets[0]
                work = _Work(*place, case, digest, json.loads(answers), at, Path(os.fsdecode(path)))
            elif not sheets and kept and kept.answers is not None:
                work = _Work(*place, case, kept.sheet_digest, kept.answers, kept.handed_in_at)
            else:
                reason = self._refuse_all(place) if sheets else ""
                self._not_marked_now(place, kept, reason)
                continue
            is_known = kept and (kept.sheet_digest, kept.program) == (work.sheet_digest, program)
            if is_known and kept.verdicts and not self.again:
                self._marked(work, kept.verdicts, kept.number, False)
            else:
                yield work

    def _refuse_all(self, place):
        paths = self.sheets.paths(place)
        names = " and ".join(f"{path.parent.name}/{path.name}" for path in paths)
        advice = "keep the one that counts and move the others away"
        told = f"{place[0]} has different sheets for one exercise ({names}): {advice}"
        self.not_marked += [NotMarked(path, told, *place) for path in paths]
        return told

    def _marked(self, work, verdicts, row, is_new):
        self._questions[work.exercise] |= dict.fromkeys(verdict.question for verdict in verdicts)
        if work.path:
            self.entries.append(_Entry(work.exercise, work.learner, MARKED, "", is_new, row))
        else:
            self._earlier(work.place, row)

    def _not_judged(self, work, told):
        # Without a sheet the answers notebook may not run just now: the kept mark still stands.
        if work.path:
            told = f"{work.path.name}: {told}"
            self.not_marked.append(NotMarked(work.path, told, *work.place))
        self._not_marked_now(work.place, self.book.newest(*work.place), told if work.path else "")

    def _not_marked_now(self, place, kept, told=""):
        if kept and kept.verdicts:
            self._questions[place[1]] |= dict.fromkeys(verdict.question for verdict in kept.verdicts)
            self._earlier(place, kept.number, told)
            return
        damaged = "row {} of the mark book is damaged: restore the book from a copy, or ask for the sheet"
        reason = self._reason(place, told) or (damaged.format(kept.number) if kept else "")
        named = [n for n in self.not_recognised if n.learner == place[0] and n.exercise in ("", place[1])]
        instead = f"not recognised as a sheet: {', '.join(n.path.name for n in named[:5])}" if named else ""
        self.entries.append(_Entry(*place[::-1], NOT_MARKED if reason else NO_SHEET, reason or instead))

    def _earlier(self, place, row, told=""):
        self.entries.append(_Entry(*place[::-1], MARKED_EARLIER, self._reason(place, told), False, row))

    def _reason(self, place, told):
        notebook, closed = self.room.notebook(*place), self.hand_ins.closed.items()
        hidden = next((told for folder, told in closed if notebook.is_relative_to(folder)), "")
        return self._reasons.get(place) or told or hidden

    def questions_of(self, name):
        """The names of an exercise's questions: of its marks, or where there is none, of its key."""
        learners = sorted(self.cases.exercises[name])
        if not self._questions[name] and learners:
            # Where nothing was marked, what is wrong with the answers is told with the first sheet.
            with contextlib.suppress(ThermoKitError):
                answers = load_answers(self.room.answers_notebook(name, self.workbook))
                key = answers.key(self.cases.case(name, learners[0]))
                return tuple(part.question for part in key.parts)
        return tuple(self._questions[name])


def _told(path, error):
    if isinstance(error, ThermoKitError):
        return str(error)
    told = f"cannot be judged ({type(error).__name__}: {str(error)[:200]})"
    return str(Problem(path.name, told, advice="ask the maintainer of the workbook"))


def _alike(standings, name):
    rows = [s for s in standings if s.verdicts]
    for question in dict.fromkeys(v.question for s in rows for v in s.verdicts if v.by_key.verdict == BY_HAND):
        reasons = {s.learner: s.answers.get(question, "") for s in rows}
        yield from (Alike(name, question, *pair) for pair in alike_texts(reasons))


def _digest(sheet):
    # The time of saving is left out: the same answers are the same sheet.
    content = sheet.model_dump(exclude={"saved_at"})
    return hashlib.sha256(json.dumps(content, sort_keys=True).encode()).hexdigest()
