"""The plan of an examination as data: topics, shares, number, minutes, pass mark."""

import math
import os
import tomllib
from importlib.resources import files
from pathlib import Path
from typing import Annotated

from pydantic import Field, ValidationError

from thermo_kit.course.files import read_limited
from thermo_kit.course.forms import Form
from thermo_kit.errors import BlueprintError, Problem
from thermo_kit.practice.syllabus import load_syllabus

_LIMIT = 100_000


class Blueprint(Form, strict=True):
    """A plan; `pass_mark` and `shares` (topic → share) are in percent."""

    title: Annotated[str, Field(min_length=1, max_length=200)]
    about: Annotated[str, Field(max_length=1_000)] = ""
    questions: Annotated[int, Field(ge=1, le=300)]
    minutes: Annotated[int, Field(ge=1, le=600)]
    pass_mark: Annotated[float, Field(gt=0, le=100)]
    shares: dict[str, Annotated[float, Field(gt=0, le=100)]]

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
        problems = []
        for topic, count in self.counts.items():
            held = sum(item.topic == topic for item in bank.values())
            if held < count:
                told, advice = f"but the bank holds {held}", "lower its share or the number of questions"
                problems.append(Problem(f"the topic {topic}", f"needs {count} questions", told, advice))
        if problems:
            raise BlueprintError(*problems)


def supplied_blueprints():
    """Return the blueprints that come with the workbook, by name."""
    there = sorted((files("thermo_kit.practice") / "blueprints").iterdir(), key=lambda one: one.name)
    return {one.name.removesuffix(".toml"): read_blueprint(one.read_text(encoding="utf-8"), one.name) for one in there}


def load_blueprint(path):
    """Read an instructor's own blueprint from a file."""
    path = Path(os.path.expanduser(path))
    try:
        text = read_limited(path, _LIMIT).decode("utf-8")
    except UnicodeDecodeError as error:
        raise BlueprintError.about(path.name, "is not text in UTF-8", advice="save it as UTF-8") from error
    return read_blueprint(text, path.name)


def read_blueprint(text, name="the blueprint"):
    """Read a blueprint and say what is wrong with it."""
    try:
        blueprint = Blueprint.model_validate(tomllib.loads(text))
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        told, advice = f"is not readable ({error})", "write it as TOML, as ours are"
        raise BlueprintError.about(name, told, advice=advice) from error
    except ValidationError as error:
        places = [(".".join(map(str, one["loc"])), one["msg"]) for one in error.errors()]
        advice = "DEVELOPERS.md tells the form of a blueprint"
        raise BlueprintError(*(Problem(f"{name}, {at}", told, "", advice) for at, told in places)) from error
    total, topics = sum(blueprint.shares.values()), load_syllabus().topics
    unknown, advice = [topic for topic in blueprint.shares if topic not in topics], f"use one of {', '.join(topics)}"
    problems = [Problem(f"{name}: {topic}", "is no topic", "", advice) for topic in unknown]
    if abs(total - 100) > 1e-6:
        advice = f"{'raise' if total < 100 else 'lower'} some of them by {abs(100 - total):g} in all"
        problems.append(Problem(f"{name}: the shares", f"add to {total:g} %", "where 100 % is needed", advice))
    elif few := [topic for topic, count in blueprint.counts.items() if not count]:
        told = f"would get none of {blueprint.questions} questions"
        problems.append(Problem(f"{name}: {', '.join(few)}", told, "", "raise its share or the number of questions"))
    if problems:
        raise BlueprintError(*problems)
    return blueprint
