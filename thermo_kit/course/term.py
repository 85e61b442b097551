"""A term: which hand-ins count, when they were due, and what everyone has reached; all from the mark book."""

import tomllib
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Annotated, Literal
from zoneinfo import ZoneInfo

from pydantic import Field

from thermo_kit.course.cases import exercise_and_resit
from thermo_kit.course.classroom import Classroom
from thermo_kit.course.decisions import answer_digest, settle
from thermo_kit.course.files import read_limited, write_atomically
from thermo_kit.course.forms import Form, read_form
from thermo_kit.course.mark_book import MarkBook
from thermo_kit.errors import CourseError

TERM_LIMIT = 1_000_000
FROM_FILE, ENTERED, FROM_MARKING = "time of the file", "entered", "time of marking"
Which = Literal["first", "last", "best"]
# A day alone means its last second.
When = datetime | date
TEMPLATE = Path(__file__).with_suffix(".toml")


class ExerciseRule(Form):
    """What an exercise weighs, and when it was due."""

    weight: Annotated[float, Field(ge=0, le=1_000, allow_inf_nan=False)] = 1.0
    deadline: When | None = None


class HandedIn(Form):
    """When a hand-in really came."""

    learner: str
    exercise: str
    attempt: Annotated[int, Field(ge=1)] = 1
    at: When


class TermRules(Form):
    """The form of term.toml, version 1."""

    term_version: Literal[1]
    time_zone: str = ""
    counts: Which = "last"
    resit_counts: Which = "best"
    late_costs: Annotated[float, Field(ge=0, le=1)] = 0.0
    withdrawn: tuple[str, ...] = ()
    handed_in: tuple[HandedIn, ...] = ()
    exercises: dict[str, ExerciseRule] = Field(default_factory=dict)

    def moment(self, when):
        """A time of this file in UTC."""
        if not isinstance(when, datetime):
            when = datetime.combine(when, time(23, 59, 59))
        if when.tzinfo is None and self.time_zone:
            when = when.replace(tzinfo=ZoneInfo(self.time_zone))
        try:
            return when.astimezone(UTC)
        except (OverflowError, ValueError):
            # At either end of the calendar: there no zone matters.
            return when.replace(tzinfo=UTC)


@dataclass(frozen=True)
class Attempt:
    """One hand-in. points: those that count, after what being late costs; number: from 1 for each set of numbers."""

    exercise: str
    number: int
    points: float
    out_of: float
    handed_in_at: datetime
    time_from: str
    is_late: bool
    is_provisional: bool

    @property
    def share(self):
        """Points for each point that could be had."""
        return self.points / self.out_of if self.out_of else 0.0


@dataclass(frozen=True)
class Entry:
    """How a learner stands with an exercise. counting: the attempt that counts, or None where nothing was marked."""

    attempts: tuple[Attempt, ...] = ()
    counting: Attempt | None = None


@dataclass(frozen=True)
class Term:
    """Learners by exercises.

    entries: (learner, exercise) → entry, for all that was handed out
    roster: learner → what the rosters tell besides
    notes: what the instructor should know about the file
    """

    rules: TermRules
    exercises: tuple[str, ...]
    learners: tuple[str, ...]
    entries: dict[tuple[str, str], Entry]
    roster: dict[str, dict[str, str]]
    notes: tuple[str, ...]

    def weight(self, exercise):
        """What an exercise weighs."""
        return self.rules.exercises.get(exercise, ExerciseRule()).weight

    def total(self, learner, marked_only=False):
        """The weighted share of points, or None; what has no mark counts nothing, or is left out."""
        if learner in self.rules.withdrawn:
            return None
        given = [(e, self.entries[learner, e].counting) for e in self.exercises if (learner, e) in self.entries]
        weighed = [(self.weight(e), mark.share if mark else 0.0) for e, mark in given if mark or not marked_only]
        whole = sum(weight for weight, _ in weighed)
        return sum(weight * share for weight, share in weighed) / whole if whole else None


def read_term(folder):
    """Everything that a class has reached so far; the file of rules is written where there is none."""
    room = Classroom(folder)
    room.secret()
    room.remove_leftovers()
    cases = room.cases()
    exercises = tuple(sorted({exercise_and_resit(name)[0] for name in cases.exercises}))
    if not room.term_file.exists():
        lines = "\n".join(f"[exercises.{exercise}]\nweight = 1.0\n# deadline =\n" for exercise in exercises)
        write_atomically(room.term_file, TEMPLATE.read_text("utf-8") + "\n" + lines, mode=0o600)
    rules = read_rules(room.term_file)
    learners = tuple(sorted({learner for given in cases.exercises.values() for learner in given}))
    with MarkBook(room.mark_book_file) as book:
        reading = _Reading(rules, cases, book.hand_ins(), book.decisions())
    known = {*learners, *cases.exercises}
    asked = [*rules.withdrawn, *(name for one in rules.handed_in for name in (one.learner, one.exercise))]
    reading.refuse_unknown(room.term_file, [name for name in asked if name not in known])
    given = [(learner, exercise) for exercise in exercises for learner in cases.exercises.get(exercise, ())]
    entries = {place: reading.entry(*place) for place in given}
    silent = [name for name in exercises if name not in rules.exercises]
    early = [name for name in rules.exercises if name not in cases.exercises]
    notes = [f"{name} is not in term.toml: it counts with weight 1 and has no deadline" for name in silent]
    notes += [f"{name} is in term.toml, but was not handed out (yet)" for name in early]
    return Term(rules, exercises, learners, entries, room.roster(), tuple(notes))


def read_rules(path):
    """The rules of a term, checked."""
    advice = "correct it, or move it away for a new one, which says what it may hold"
    rules = read_form(TermRules, read_limited(path, TERM_LIMIT), str(path), CourseError, advice, tomllib.loads)
    try:
        rules.moment(date(2000, 1, 1))
    except (ValueError, KeyError, OSError) as error:
        raise CourseError.about(str(path), f"has a time_zone that is unknown ({error})", advice=advice) from error
    return rules


class _Reading:
    """Makes attempts and entries out of what the mark book holds."""

    def __init__(self, rules, cases, hand_ins, decisions):
        self.rules, self.cases, self.hand_ins, self.decisions = rules, cases, hand_ins, decisions
        self.entered = {(one.learner, one.exercise, one.attempt): one.at for one in rules.handed_in}

    def refuse_unknown(self, path, unknown):
        """Refuse names that nothing in the class has, and hand-ins that are not there."""
        unknown += [
            f"attempt {attempt} of {learner} in {name}"
            for learner, name, attempt in self.entered
            if attempt > len(self.hand_ins.get((learner, name), ()))
        ]
        if unknown:
            told = f"names {', '.join(dict.fromkeys(unknown))}, which this class has not"
            raise CourseError.about(str(path), told, advice="correct the name")

    def entry(self, learner, exercise):
        """How a learner stands with an exercise, its re-sits among it."""
        names = [name for name in self.cases.names_of(exercise) if learner in self.cases.exercises[name]]
        sittings = [made for name in names if (made := self._attempts(learner, name))]
        best = [_which(self.rules.counts, made) for made in sittings]
        attempts = tuple(one for made in sittings for one in made)
        return Entry(attempts, _which(self.rules.resit_counts, best)) if attempts else Entry()

    def _attempts(self, learner, name):
        # A damaged row holds no points; marking tells of it.
        rows = enumerate(self.hand_ins.get((learner, name), ()), 1)
        return [self._attempt(learner, name, number, row) for number, row in rows if row.verdicts]

    def _attempt(self, learner, name, number, row):
        case, answers = self.cases.case(name, learner), row.answers or {}
        # A decision on another hand-in's answer says nothing here.
        own = {}
        for place in [(learner, name, verdict.question) for verdict in row.verdicts]:
            digest = answer_digest(case, place[2], answers.get(place[2], ""))
            own[place] = tuple(one for one in self.decisions.get(place, ()) if one.answer_digest == digest)
        verdicts = settle(row.verdicts, own, (learner, name), case, answers)
        at, source = row.handed_in_at or row.marked_at, FROM_FILE if row.handed_in_at else FROM_MARKING
        moment = datetime.fromisoformat(at)
        if (learner, name, number) in self.entered:
            moment, source = self.rules.moment(self.entered[learner, name, number]), ENTERED
        deadline = self.rules.exercises.get(name, ExerciseRule()).deadline
        is_late = deadline is not None and moment > self.rules.moment(deadline)
        points = sum(v.points for v in verdicts) * (1 - self.rules.late_costs * is_late)
        out_of = sum(v.out_of for v in verdicts)
        return Attempt(name, number, points, out_of, moment, source, is_late, any(v.is_open for v in verdicts))


def _which(word, attempts):
    if word == "best":
        return max(attempts, key=lambda one: one.share)
    return attempts[0 if word == "first" else -1]
