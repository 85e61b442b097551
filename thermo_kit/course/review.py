"""Settling what a person must read: like answers together, nobody's name on them, every decision an added record."""

import hashlib
import math
from dataclasses import dataclass, replace

from thermo_kit.course.answers import load_answers
from thermo_kit.course.classroom import Classroom
from thermo_kit.course.decisions import Decision, answer_digest
from thermo_kit.course.keys import BY_HAND, Verdict, told_part
from thermo_kit.course.mark_book import MarkBook
from thermo_kit.course.marking import Standing, mark_class
from thermo_kit.course.questions import texts_of
from thermo_kit.course.report import as_text, safe_cell, told_decisions, write_table
from thermo_kit.course.roster import csv_table
from thermo_kit.errors import CourseError, Problem, ThermoKitError, UnknownNameError

LONGEST_WHY, TABLE_LIMIT = 1_000, 50_000_000


@dataclass(frozen=True)
class Group:
    """Like answers to one question.

    order: exercise, place of the question, what was proposed, and the words of the answer
    verdict: of the first of them, as decisions leave it
    members: the standings of those who gave it
    """

    order: tuple
    question: str
    given: str
    verdict: Verdict
    members: tuple[Standing, ...]

    @property
    def key(self):
        """The same for as long as the same is asked and answered."""
        return hashlib.sha256(repr(self.order).encode()).hexdigest()[:16]

    @property
    def exercise(self):
        """The exercise that asks."""
        return self.order[0]

    @property
    def is_open(self):
        """Whether one of them is still to be settled."""
        return any(v.is_open for member in self.members for v in member.verdicts if v.question == self.question)

    @property
    def last(self):
        """The decision that counts, or None."""
        return None if self.is_open else self.verdict.history[-1]

    @property
    def history(self):
        """The decisions on the first of them as lines, the last one first."""
        return told_decisions(self.verdict)

    def give(self, points, why):
        """The decision for all members, as `Review.decide` takes it."""
        return [(member, self.question, points, why) for member in self.members]


class Review:
    """The answers of a class that a person reads, and what is decided on them."""

    def __init__(self, folder, *, workbook, decided_by, exercise=None):
        self.room, self.workbook, self.decided_by = Classroom(folder), workbook, decided_by
        # Read from the mark book each time, with the decisions so far.
        self.standings = mark_class(folder, workbook=workbook, exercise=exercise).standings

    def groups(self):
        """The reasons, and whatever else must be looked at again, question by question, like answers together."""
        found = {}
        for standing in self.standings:
            for place, verdict in enumerate(standing.verdicts):
                proposed, given = verdict.by_key, as_text(standing.answers.get(verdict.question, ""))
                if proposed.verdict == BY_HAND or verdict.is_open:
                    alike = _words(given) if proposed.verdict == BY_HAND else f"{standing.learner} {given}"
                    order = standing.exercise, place, -proposed.points, alike
                    found.setdefault(order, []).append((verdict.question, given, verdict, standing))
        return [Group(order, *found[order][0][:3], tuple(s for *_, s in found[order])) for order in sorted(found)]

    def asked(self, group):
        """The text of a group's question."""
        case = group.members[0].case
        return texts_of(self.workbook.exercise(case.exercise), case).get(group.question, "")

    def looked_for(self, group):
        """What the key says, once for each way in which the members' own numbers change it."""
        try:
            notebook = load_answers(self.room.answers_notebook(group.exercise, self.workbook))
            parts = [part for member in group.members for part in notebook.key(member.case).parts]
        except ThermoKitError as error:
            # The answers notebook may not run just now; what was written can be read all the same.
            return (str(error),)
        return tuple({told_part(part): 0 for part in parts if part.question == group.question})

    def decide(self, decided):
        """Keep decisions, all of them or none, each as (standing, question, points, why); no points: take back."""
        for what in decided:
            _check(*what)
        with MarkBook(self.room.mark_book_file) as book:
            book.decide([self._decision(*what) for what in decided])

    def _decision(self, standing, question, points, why):
        digest = answer_digest(standing.case, question, standing.answers.get(question, ""))
        place = standing.learner, standing.exercise, question
        return Decision(*place, points, why.strip(), self.decided_by, standing.sheet_digest, digest)

    def decide_group(self, key, points, why=""):
        """Give all members of a group the same points; → the group as it was."""
        group = next((group for group in self.groups() if group.key == key), None)
        if group is None:
            raise UnknownNameError.about("this answer", "is not there any more", advice="begin the review anew")
        self.decide(group.give(points, why))
        return group

    def override(self, learner, question, points, why=""):
        """Decide on one answer of one learner, of the last re-sit where there is one; → the new standing."""
        own = [place for place, entry in enumerate(self.standings.entries) if entry.learner == learner]
        marked = [place for place in own if question in {v.question for v in self.standings[place].verdicts}]
        if not marked:
            told, advice = "has no mark in this exercise", "check both names, and that the sheet could be marked"
            raise UnknownNameError.about(f"question {question} of {learner}", told, advice=advice)
        self.decide([(self.standings[marked[-1]], question, points, why)])
        return self.standings[marked[-1]]

    def write_table(self, path, separator="comma"):
        """Write the groups as a CSV file in which `points` and `why` are to be filled in; → how many."""
        rows = []
        for group in self.groups():
            proposed, last = group.verdict.by_key, group.last
            row = {"key": group.key, "exercise": group.exercise, "question": group.question, "asked": self.asked(group)}
            row |= {"learners": len(group.members), "answer": group.given}
            row |= {"what_the_key_says": " ".join(self.looked_for(group)), "proposed": float(proposed.points)}
            row |= {"out_of": float(proposed.out_of), "points": float(last.points) if last else ""}
            rows.append(row | {"why": last.why if last else ""})
        write_table(path, rows or [{"key": "", "points": "", "why": ""}], separator)
        return len(rows)

    def read_table(self, path):
        """Decide as a filled-in CSV file says: every row that fits and says something new, or nothing at all."""
        groups, decided, problems = {group.key: group for group in self.groups()}, [], []
        for number, cells in csv_table(path, ["key", "points", "why"], TABLE_LIMIT):
            try:
                decided += _decided_in(cells, groups)
            except ThermoKitError as error:
                problems += [replace(p, argument=f"{path.name}, line {number}: {p.argument}") for p in error.problems]
        if problems:
            raise CourseError(*problems, Problem("nothing was imported", advice="correct these rows and import again"))
        self.decide(decided)
        return len(decided)


def _decided_in(cells, groups):
    if not cells["points"]:
        return []
    # Taken out: a second row with the same key belongs to nothing.
    group = groups.pop(cells["key"], None)
    if group is None:
        told = "belongs to no answer of this class as it is now, or stands here twice"
        raise CourseError.about(f"the key {cells['key'][:20]!a}", told, advice="export again and fill in that file")
    points, why = points_in(cells["points"]), cells["why"]
    if why.startswith("'") and safe_cell(why[1:]) == why:
        # The sign that keeps a spreadsheet from taking it for a formula.
        why = why[1:]
    if group.last and group.last.points == points and why in (group.last.why, safe_cell(group.last.why)):
        return []
    decided = group.give(points, why)
    _check(*decided[0])
    return decided


def _check(standing, question, points, why):
    out_of = next(v.out_of for v in standing.verdicts if v.question == question)
    if points is not None and not (math.isfinite(points) and 0 <= points <= out_of):
        limit = f"where question {question} gives 0 to {out_of:g}"
        raise CourseError.about("the points", f"are {points:g}", limit, "give points in that range")
    if len(why) > LONGEST_WHY:
        told = f"has {len(why):,} letters, where {LONGEST_WHY:,} fit"
        raise CourseError.about("the sentence why", told, advice="shorten it")


def points_in(text):
    """Points as a person types them; "none" takes back."""
    try:
        return None if text.strip().casefold() == "none" else float(text.strip().replace(",", "."))
    except ValueError:
        raise CourseError.about("the points", f"{text[:20]!a} are no number", advice="write one such as 0.5") from None


def _words(text):
    # Signs inside and between words stay: "p > q" is not like "p < q".
    words = (word.strip(".,;:!?\"'()") for word in text.casefold().split())
    return " ".join(word for word in words if word) or text
