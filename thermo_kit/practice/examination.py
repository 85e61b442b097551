"""One examination: drawn by a blueprint, timed, kept at every answer, told only at the end."""

import random
import secrets
from collections import Counter
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from thermo_kit.course.drawn import Asked
from thermo_kit.course.keys import EMPTY, UNREADABLE, NumberKey, Verdict, as_sentence
from thermo_kit.course.record import keep_judged
from thermo_kit.course.workbook import find_workbook
from thermo_kit.errors import CourseError
from thermo_kit.practice.bank import Item
from thermo_kit.practice.blueprint import Blueprint
from thermo_kit.practice.printing import Page
from thermo_kit.practice.syllabus import load_syllabus

KEPT_AS = MODE = "examination"
_VERSION = 1
_CONFIDENCE = 1.96


class Judged(NamedTuple):
    """One question with what was given and what came of it; points: the share of its one point."""

    number: int
    item: Item
    asked: Asked
    given: str
    verdict: Verdict
    points: float
    right: str


@dataclass(frozen=True)
class Report:
    """What came of an examination; by_time: the clock ended it."""

    blueprint: Blueprint
    on: str
    minutes: int
    by_time: bool
    judged: tuple[Judged, ...]

    @property
    def points(self):
        """All points, one for each question."""
        return sum(one.points for one in self.judged)

    @property
    def passed(self):
        """Whether they are enough."""
        return self.points >= self.blueprint.points_needed - 1e-9

    @property
    def range(self):
        """Both ends of the share of right answers, with 95 % confidence."""
        return wilson(self.points, len(self.judged))

    @property
    def topics(self):
        """Title, points, out of how many and both ends of the share of each topic, the weakest first."""
        points = {}
        for one in self.judged:
            points.setdefault(load_syllabus().topics[one.item.topic].title, []).append(one.points)
        found = [(title, sum(got), len(got), *wilson(sum(got), len(got))) for title, got in points.items()]
        return tuple(sorted(found, key=lambda one: one[1] / one[2]))

    @property
    def not_right(self):
        """What was not wholly right."""
        return tuple(one for one in self.judged if one.points < 1)

    @property
    def read_again(self):
        """Number and name of a lesson and how many answers lead to it, the most needed first."""
        names = {path.stem[:2]: path.stem[3:].replace("_", " ") for path in find_workbook().lessons.glob("*.ipynb")}
        topics, wanted = load_syllabus().topics, Counter()
        for one in self.not_right:
            wanted.update([one.item.lesson] if one.item.lesson else topics[one.item.topic].lessons)
        return tuple((number, names[number], count) for number, count in wanted.most_common() if number in names)

    @property
    def page(self):
        """The report as a page to print."""
        return Page("Result of the examination", "report.html", {"report": self})


class Sitting:
    """One examination as it lies in the record; the clock goes on while the page is closed."""

    def __init__(self, bank, record, kept):
        self._record, self._kept = record, kept
        self.blueprint = Blueprint.model_validate(kept["blueprint"])
        if gone := set(kept["questions"]) - set(bank):
            told = f"asks {', '.join(sorted(gone))}, which the bank no longer holds"
            raise CourseError.about("the examination in progress", told, advice="begin a new examination")
        self.items, self.seed, self._asked = [bank[name] for name in kept["questions"]], kept["seed"], {}

    @classmethod
    def begin(cls, blueprint, bank, record):
        """Draw a new examination, which takes the place of an earlier one, and start its clock."""
        blueprint.check_against(bank)
        seed, drawn = secrets.token_hex(8), []
        chance = random.Random(seed)
        for topic, count in blueprint.counts.items():
            drawn += chance.sample([item for item in bank.values() if item.topic == topic], count)
        chance.shuffle(drawn)
        now = record.now().isoformat()
        kept = {
            "version": _VERSION, "blueprint": blueprint.model_dump(), "seed": seed, "answers": {}, "begun": now,
            "seen": now, "used": 0.0, "ended": "", "questions": [item.name for item in drawn],
        }  # fmt: skip
        record.keep_state(KEPT_AS, kept)
        return cls(bank, record, kept)

    @classmethod
    def resume(cls, bank, record):
        """Return the examination that lies in the record, or None."""
        kept = record.state(KEPT_AS)
        return cls(bank, record, kept) if kept and kept.get("version") == _VERSION else None

    def asked(self, number):
        """The question at a place, counted from 0; drawn again it is the same."""
        if number not in self._asked:
            self._asked[number] = self.items[number].draw(self.seed)
        return self._asked[number]

    def given(self, number):
        """What was answered at a place."""
        return self._kept["answers"].get(self.items[number].name, "")

    @property
    def open_places(self):
        """The places without an answer."""
        return [number for number in range(len(self.items)) if not self.given(number).strip()]

    @property
    def seconds_left(self):
        """What is left on the clock; a clock set back gives no time back."""
        since = (self._record.now() - datetime.fromisoformat(self._kept["seen"])).total_seconds()
        return max(0.0, 60 * self.blueprint.minutes - self._kept["used"] - max(0.0, since))

    @property
    def is_judged(self):
        """Whether it is over and its answers stand in the record."""
        return bool(self._kept["ended"])

    @property
    def is_ended(self):
        """Whether it was handed in or its time is over."""
        return self.is_judged or self.seconds_left <= 0

    def answer(self, number, given):
        """Keep an answer at once; after the end none is taken."""
        self._read()
        if not self.is_ended:
            self._kept["answers"][self.items[number].name] = given
            self._keep_clock()

    def finish(self):
        """End it, keep every answer in the record once, and tell what came of it."""
        self._read()
        judged = tuple(self._judged(number) for number in range(len(self.items)))
        if not self.is_judged:
            for one in judged:
                if one.verdict.verdict not in (EMPTY, UNREADABLE):
                    keep_judged(self._record, one.item.name, one.verdict, one.given, MODE, one.item.topic)
            self._kept["ended"] = "handed in" if self.seconds_left > 0 else "time"
            self._keep_clock()
            self._record.keep_score(MODE, self.blueprint.title, sum(one.points for one in judged), len(judged))
        used, by_time = round(self._kept["used"] / 60), self._kept["ended"] == "time"
        return Report(self.blueprint, self._kept["begun"][:10], used, by_time, judged)

    def _judged(self, number):
        item, asked, given = self.items[number], self.asked(number), self.given(number)
        key, verdict = asked.key, asked.key.judge(given)
        right = f"{key.value:.4g} {key.unit} ± {key.tolerance:.2g}" if isinstance(key, NumberKey) else key.right
        right = f"{as_sentence(right)} {as_sentence(key.why)}"
        return Judged(number + 1, item, asked, given, verdict, verdict.points / verdict.out_of, right)

    def _read(self):
        """Take over what another page wrote on this examination."""
        kept = self._record.state(KEPT_AS) or {}
        if kept.get("seed") == self.seed:
            self._kept = kept

    def _keep_clock(self):
        left = self.seconds_left
        self._kept["seen"] = self._record.now().isoformat()
        self._kept["used"] = 60 * self.blueprint.minutes - left
        self._record.keep_state(KEPT_AS, self._kept)


def wilson(points, out_of):
    """Return both ends of a share's range: Wilson, J. Am. Stat. Assoc. 22 (1927) 209-212 (second hand)."""
    share, weight = points / out_of, _CONFIDENCE**2 / out_of
    middle = (share + weight / 2) / (1 + weight)
    half = (share * (1 - share) * weight + weight**2 / 4) ** 0.5 / (1 + weight)
    return middle - half, middle + half
