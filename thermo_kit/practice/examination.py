"""One examination: drawn by a blueprint, timed, kept at every answer, told only at the end."""

import random
import secrets
from collections import Counter
from dataclasses import dataclass
from datetime import datetime

from thermo_kit.course.drawn import Asked
from thermo_kit.course.keys import EMPTY, RIGHT, UNREADABLE, NumberKey, Verdict, as_sentence
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


@dataclass(frozen=True)
class Judged:
    """One question with what was given and what came of it."""

    number: int
    item: Item
    asked: Asked
    given: str
    verdict: Verdict

    @property
    def points(self):
        """The share of the point of a question."""
        return self.verdict.points / self.verdict.out_of

    @property
    def feedback(self):
        """What a wrong answer shows."""
        return "" if self.verdict.verdict in (RIGHT, EMPTY) else self.verdict.feedback

    @property
    def right(self):
        """What is right, and why."""
        key = self.asked.key
        right = f"{key.value:.4g} {key.unit} ± {key.tolerance:.2g}" if isinstance(key, NumberKey) else key.right
        return f"{as_sentence(right)} {as_sentence(key.why)}"


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
        """One for each right answer; a partly right one counts in part."""
        return sum(one.points for one in self.judged)

    @property
    def passed(self):
        """Whether the pass mark was reached."""
        return self.points >= self.blueprint.points_needed - 1e-9

    @property
    def range(self):
        """Both ends of the share of right answers, with 95 % confidence."""
        return wilson(self.points, len(self.judged))

    @property
    def topics(self):
        """Title, points, out of how many, and both ends of the share of each topic, the weakest first."""
        found = []
        for topic in self.blueprint.shares:
            points = [one.points for one in self.judged if one.item.topic == topic]
            title = load_syllabus().topics[topic].title
            found.append((title, sum(points), len(points), *wilson(sum(points), len(points))))
        return sorted(found, key=lambda one: one[1] / one[2])

    @property
    def not_right(self):
        """The questions that did not give the whole point."""
        return [one for one in self.judged if one.points < 1]

    @property
    def read_again(self):
        """Number and name of the lessons to read again, and how many answers say so, the most needed first."""
        names = {path.stem[:2]: path.stem[3:].replace("_", " ") for path in find_workbook().lessons.glob("*.ipynb")}
        wanted = Counter()
        for one in self.not_right:
            own, topic = one.item.lesson, load_syllabus().topics[one.item.topic]
            wanted.update({own} if own in names else names.keys() & set(topic.lessons))
        return [(number, names[number], count) for number, count in wanted.most_common()]

    @property
    def page(self):
        """The report as a page to print."""
        return Page("Result of the examination", "report.html", {"report": self})


class Sitting:
    """One examination as it lies in the record; the clock goes on while the page is closed."""

    def __init__(self, bank, record, kept):
        self._record, self._kept = record, kept
        self.blueprint = Blueprint.model_validate(kept["blueprint"])
        missing = [name for name in kept["questions"] if name not in bank.by_name]
        if missing:
            raise CourseError.about(
                "the examination in progress", f"holds the question {missing[0]}", "which the bank no longer holds",
                "begin a new examination",
            )  # fmt: skip
        self.items = [bank.by_name[name] for name in kept["questions"]]
        self._asked = {}

    @classmethod
    def begin(cls, blueprint, bank, record, seed=None):
        """Draw a new examination, which takes the place of an earlier one, and start its clock."""
        blueprint.check_against(bank)
        seed = seed or secrets.token_hex(8)
        chance = random.Random(seed)
        drawn = []
        for topic, count in blueprint.counts.items():
            drawn += chance.sample([item for item in bank.items if item.topic == topic], count)
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

    @property
    def seed(self):
        """What numbers and orders are drawn from."""
        return self._kept["seed"]

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
        """Keep an answer at once; after the end none is taken. Two pages may write on the same examination."""
        if self.is_ended:
            return
        kept = self._record.state(KEPT_AS) or {}
        if kept.get("seed") == self.seed:
            self._kept = kept
        if self.is_ended:
            return
        self._kept["answers"][self.items[number].name] = given
        self._keep_clock()

    def finish(self):
        """End it, keep every answer in the record once, and tell what came of it."""
        by_time = self.seconds_left <= 0
        verdicts = [self.asked(number).key.judge(self.given(number)) for number in range(len(self.items))]
        if not self.is_judged:
            for number, verdict in enumerate(verdicts):
                if verdict.verdict not in (EMPTY, UNREADABLE):
                    item = self.items[number]
                    keep_judged(self._record, item.name, verdict, self.given(number), MODE, item.topic)
            self._kept["ended"] = "time" if by_time else "handed in"
            self._keep_clock()
            points = sum(verdict.points / verdict.out_of for verdict in verdicts)
            self._record.keep_score(MODE, self.blueprint.title, points, len(verdicts))
        minutes = round(min(self._kept["used"] / 60, self.blueprint.minutes))
        judged = tuple(
            Judged(number + 1, item, self.asked(number), self.given(number), verdict)
            for number, (item, verdict) in enumerate(zip(self.items, verdicts, strict=True))
        )
        return Report(self.blueprint, self._kept["begun"][:10], minutes, self._kept["ended"] == "time", judged)

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
