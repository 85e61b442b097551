"""One bank of all that can be asked: facts, the questions of the lessons, those of the exercises with fresh numbers."""

import datetime
import functools
import tomllib
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from importlib.resources import files
from typing import Annotated, Literal

from pydantic import Field, ValidationError, model_validator

from thermo_kit.course.drawn import Asked, questions_of, topic_of
from thermo_kit.course.forms import Form
from thermo_kit.course.keys import ChoiceKey, Mistake
from thermo_kit.course.questions import drawn_order
from thermo_kit.course.quick import questions_of_lesson
from thermo_kit.course.workbook import EXERCISE_NAME, find_workbook
from thermo_kit.errors import CourseError, Problem
from thermo_kit.substances import Refrigerant
from thermo_kit.units import celsius, format_both

ADVICE = "correct the file; DEVELOPERS.md tells its form"

Filled = Annotated[str, Field(min_length=1, max_length=1_000)]


@dataclass(frozen=True)
class Item:
    """Something to ask again and again, its kind "fact", "lesson" or "exercise"; `lesson`: the number of its lesson.

    draw: puts the question for a seed; another seed gives other numbers, or at least another order
    """

    name: str
    topic: str
    kind: str
    lesson: str
    draw: Callable = field(repr=False, compare=False)


class _Wrong(Form):
    text: Filled
    reason: Filled


class _Fact(Form):
    topic: Filled
    name: Filled
    ask: Filled
    right: Filled
    because: Filled
    wrong: Annotated[list[_Wrong], Field(min_length=2, max_length=3)]
    source: Filled
    seen: Literal["read", "abstract", "second hand", "memory", "common practice", "computed by the package"]
    date: datetime.date | None = None
    region: Literal["EU", "US"] | None = None
    picture: dict | None = None

    @model_validator(mode="after")
    def _fits(self):
        if len({self.right, *(wrong.text for wrong in self.wrong)}) <= len(self.wrong):
            raise ValueError("two options are the same")
        if not self.name.startswith(f"{self.topic}_"):
            raise ValueError("the name does not begin with the topic")
        if (self.date and self.region) is None and (self.date or self.region or self.topic.startswith("law_")):
            raise ValueError("law needs date and region")
        return self


def load(workbook=None):
    """The whole bank of a workbook: its items by name, in a fixed order; what is drawn is worked out only then."""
    book = workbook or find_workbook()
    items = [*_facts(), *_of_notebooks("lesson", book.lessons, functools.partial(questions_of_lesson, alone=True))]
    items += _of_notebooks("exercise", book.exercises, lambda path: questions_of(book, path, tables=True))
    if twice := [name for name, times in Counter(item.name for item in items).items() if times > 1]:
        advice = f"is there a copy of a lesson in the folder lessons? Move it out; else {ADVICE}"
        raise CourseError.about("the bank", f"has two questions named {', '.join(twice)}", advice=advice)
    return {item.name: item for item in items}


@functools.cache
def _facts():
    there = (one for one in (files("thermo_kit.practice") / "facts").iterdir() if one.name.endswith(".toml"))
    texts = sorted((one.name, one.read_text(encoding="utf-8")) for one in there)
    return tuple(item for name, text in texts for item in read_facts(text, name))


def read_facts(text, name):
    """Read one file of facts and say all that is wrong with it at once."""
    try:
        data = tomllib.loads(text)
        topic, rows = data["topic"], [dict(row) for row in data["question"]]
    except (tomllib.TOMLDecodeError, KeyError, TypeError, ValueError) as error:
        raise CourseError.about(name, f"is no list of questions with a topic ({error})", advice=ADVICE) from error
    problems = [] if f"{topic}.toml" == name else [Problem(name, f"holds the topic {topic!r}", "", "name it so")]
    items = []
    for number, row in enumerate(rows, 1):
        try:
            fact = _Fact(topic=topic, **row)
            items.append(Item(fact.name, topic, "fact", "", functools.partial(_ask_fact, fact)))
        except (ValidationError, TypeError) as error:
            told = "; ".join(f"{'.'.join(map(str, e['loc']))} {e['msg']}".strip() for e in error.errors())
            problems.append(Problem(f"{name}, question {row.get('name') or number}", told, "", ADVICE))
    if problems:
        raise CourseError(*problems)
    return items


def _ask_fact(fact, seed):
    mistakes = [Mistake(wrong.text, wrong.text, wrong.reason) for wrong in fact.wrong]
    key = ChoiceKey(fact.name, right=fact.right, why=fact.because, mistakes=mistakes)
    options = drawn_order(fact.ask, (fact.right, *(wrong.text for wrong in fact.wrong)), seed)
    picture = alt = ""
    if fact.picture:
        from thermo_kit.panels import the_view
        from thermo_kit.practice.pictures import draw

        picture, alt = draw(fact.name, fact.picture, the_view().look), fact.picture["alt"]
    law = f". In force {fact.date}, {fact.region}; ask your authority" if fact.date else ""
    return Asked(fact.name, fact.topic, fact.ask, key, options, picture, alt, fact.source + law)


def _of_notebooks(kind, folder, questions):
    # A learner's copy of a lesson asks nothing twice.
    for path in (one for one in sorted(folder.glob("*.ipynb")) if EXERCISE_NAME.fullmatch(one.stem)):
        for name, ask in questions(path).items():
            yield Item(name, topic_of(name), kind, path.stem[:2], functools.partial(_ask_with_table, ask))


def _ask_with_table(ask, seed):
    asked = ask(seed)
    return replace(asked, case=(*asked.case, *_saturation(asked.refrigerant))) if asked.refrigerant else asked


@functools.cache
def _saturation(refrigerant):
    fluid, lines = Refrigerant(refrigerant), [f"Saturation of {refrigerant}; between two lines go in proportion:"]
    for temperature in (celsius(degrees) for degrees in range(-20, 73, 4)):
        at, pressure = format_both(temperature, "temperature"), fluid.dew_pressure(temperature)
        lines.append(f"{at}: {format_both(pressure, 'pressure')}")
    return tuple(lines)
