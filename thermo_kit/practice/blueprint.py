"""The plan of an examination as data: topics, shares, number, minutes, pass mark."""

import math
import tomllib
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path

from thermo_kit.course.files import read_limited
from thermo_kit.errors import BlueprintError, Problem
from thermo_kit.practice.syllabus import load_syllabus

_LIMIT = 100_000
_FIELDS = {
    "title": (str, None, None, "a text"),
    "about": (str, None, None, "a text"),
    "questions": (int, 1, 300, "a whole number from 1 to 300"),
    "minutes": (int, 1, 600, "a whole number from 1 to 600"),
    "pass_mark": ((int, float), 1, 100, "a number from 1 to 100, in percent"),
    "shares": (dict, None, None, "a table: topic = percent of the questions"),
}


@dataclass(frozen=True)
class Blueprint:
    """A checked plan; `pass_mark` and `shares` (topic → share) are in percent."""

    title: str
    about: str
    questions: int
    minutes: int
    pass_mark: float
    shares: dict[str, float]

    @property
    def counts(self):
        """The number of questions of each topic: whole numbers that keep the sum, the largest remainders first."""
        exact = {topic: share * self.questions / 100 for topic, share in self.shares.items()}
        counts = {topic: math.floor(number + 1e-9) for topic, number in exact.items()}
        by_remainder = sorted(exact, key=lambda topic: counts[topic] - exact[topic])
        for topic in by_remainder[: self.questions - sum(counts.values())]:
            counts[topic] += 1
        return counts

    @property
    def points_needed(self):
        """The points from which on it is passed; one for each question."""
        return self.pass_mark * self.questions / 100

    def check_against(self, bank):
        """Refuse a bank that holds too few questions of a topic."""
        held = {topic: sum(item.topic == topic for item in bank.items) for topic in self.shares}
        problems = [
            Problem(
                f"the topic {topic}", f"needs {count} questions", f"but the bank holds {held[topic]}",
                "lower its share or the number of questions",
            )
            for topic, count in self.counts.items()
            if count > held[topic]
        ]  # fmt: skip
        if problems:
            raise BlueprintError(*problems)


def supplied_blueprints():
    """Return the blueprints that come with the workbook, by name."""
    folder = files("thermo_kit.practice") / "blueprints"
    there = sorted((one for one in folder.iterdir() if one.name.endswith(".toml")), key=lambda one: one.name)
    return {one.name.removesuffix(".toml"): read_blueprint(one.read_text(encoding="utf-8"), one.name) for one in there}


def load_blueprint(path):
    """Read an instructor's own blueprint from a file."""
    path = Path(path).expanduser()
    try:
        text = read_limited(path, _LIMIT).decode("utf-8")
    except UnicodeDecodeError as error:
        raise BlueprintError.about(path.name, "is not text in UTF-8", advice="save it as UTF-8") from error
    return read_blueprint(text, path.name)


def read_blueprint(text, name="the blueprint"):
    """Read a blueprint and say all that is wrong with it at once."""
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        told, advice = f"is not readable ({error})", "write it as TOML, as ours are"
        raise BlueprintError.about(name, told, advice=advice) from error
    data.setdefault("about", "")
    problems = [
        Problem(f"{name}: {field}", "is missing" if field not in data else "cannot be used", "", f"give {told}")
        for field, (kind, low, high, told) in _FIELDS.items()
        if not _fits(data.get(field), kind, low, high)
    ]
    known = ", ".join(_FIELDS)
    problems += [Problem(f"{name}: {field}", "is unknown", advice=f"use {known}") for field in set(data) - set(_FIELDS)]
    if problems:
        raise BlueprintError(*problems)
    blueprint = Blueprint(**data)
    problems = list(_problems_of_shares(blueprint, name))
    if problems:
        raise BlueprintError(*problems)
    return blueprint


def _fits(value, kind, low, high):
    return isinstance(value, kind) and not isinstance(value, bool) and (low is None or low <= value <= high)


def _problems_of_shares(blueprint, name):
    topics = load_syllabus().topics
    for topic, share in blueprint.shares.items():
        if topic not in topics:
            yield Problem(f"{name}: {topic}", "is no topic", advice=f"use one of {', '.join(topics)}")
        if not _fits(share, (int, float), 0, 100) or share == 0:
            yield Problem(f"{name}: the share of {topic}", repr(share), "is no percentage above 0", "give a number")
            return
    total = sum(blueprint.shares.values())
    if abs(total - 100) > 1e-6:
        yield Problem(
            f"{name}: the shares", f"add to {total:g} %", "where 100 % is needed",
            f"{'raise' if total < 100 else 'lower'} some of them by {abs(100 - total):g} in all",
        )  # fmt: skip
    elif few := [topic for topic, count in blueprint.counts.items() if not count]:
        yield Problem(
            f"{name}: {', '.join(few)}", f"would get none of {blueprint.questions} questions",
            advice="raise the share or the number of questions",
        )  # fmt: skip
