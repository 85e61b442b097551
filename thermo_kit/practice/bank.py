"""One bank of all that can be asked: facts, the questions of the lessons, those of the exercises with fresh numbers."""

import ast
import datetime
import functools
import random
import re
import tomllib
from collections.abc import Callable
from dataclasses import dataclass, field
from importlib.resources import files
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from thermo_kit.course.answers import load_answers
from thermo_kit.course.cases import draw_case
from thermo_kit.course.keys import ChoiceKey, Mistake, NumberKey, OrderKey
from thermo_kit.course.questions import ChoiceQuestion, OrderQuestion, drawn_order
from thermo_kit.course.quick import quick
from thermo_kit.course.workbook import EXERCISE_NAME, find_workbook
from thermo_kit.errors import CourseError, NotebookError, Problem, ThermoKitError, UnknownNameError
from thermo_kit.practice.declared import declaring

TOPICS = (
    "law_eu", "law_us", "environment", "recovery", "cylinders", "purity", "leaks", "evacuation", "charging", "safety",
    "first_aid", "flammable", "high_pressure", "parts", "theory", "controls", "electrical", "high_voltage", "coolant",
    "diagnosis",
)  # fmt: skip
KINDS = ("fact", "lesson", "exercise")
# A text with one of these words speaks of something that stands on its page.
SHOWN = re.compile(r"\b(pictures?|plots?|charts?|curves?|panels?|tables?|above|printed|drawing|layout)\b", re.I)
MOST_OPTIONS = 4
TRIES = 50
ADVICE = "correct the file; DEVELOPERS.md tells its form"

Filled = Annotated[str, Field(min_length=1, max_length=1_000)]


@dataclass(frozen=True)
class Asked:
    """One question as it is put: key and options as in an exercise, a picture as SVG, the case's numbers as lines."""

    name: str
    topic: str
    text: str
    key: NumberKey | ChoiceKey
    options: tuple[str, ...] = ()
    picture: str = ""
    alt: str = ""
    source: str = ""
    case: tuple[str, ...] = ()


@dataclass(frozen=True)
class Item:
    """Something that can be asked again and again; `lesson` is the number of the lesson it belongs to, or empty."""

    name: str
    topic: str
    kind: str
    lesson: str = ""
    _make: Callable = field(default=None, repr=False, compare=False)

    def draw(self, seed):
        """Put the question: another seed gives other numbers, or at least another order."""
        return self._make(self, seed)


@dataclass(frozen=True)
class Bank:
    """All items, in a fixed order."""

    items: tuple[Item, ...]

    @functools.cached_property
    def by_name(self):
        """The items by name."""
        return {item.name: item for item in self.items}

    def item(self, name):
        """The item of a name."""
        if name not in self.by_name:
            raise UnknownNameError.about(f"the question {name!r}", "is not in the bank")
        return self.by_name[name]

    def of_lesson(self, lesson):
        """The items of a lesson and its exercise."""
        return tuple(item for item in self.items if item.lesson == lesson)


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class _Wrong(_Strict):
    text: Filled
    reason: Filled


class _Fact(_Strict):
    name: Filled
    ask: Filled
    right: Filled
    because: Filled
    wrong: Annotated[tuple[_Wrong, ...], Field(min_length=2, max_length=3)]
    source: Filled
    seen: Literal["read", "abstract", "second hand", "memory", "common practice", "computed by the package"]
    date: datetime.date | None = None
    region: Literal["EU", "US"] | None = None
    picture: dict | None = None

    @model_validator(mode="after")
    def _options_differ(self):
        if len({self.right, *(wrong.text for wrong in self.wrong)}) <= len(self.wrong):
            raise ValueError("two options are the same")
        if (self.date is None) != (self.region is None):
            raise ValueError("law needs date and region")
        return self


def load(workbook=None):
    """The whole bank of a workbook; what is drawn from an item is worked out only then."""
    book = workbook or find_workbook()
    items = [*_facts(), *_of_lessons(book), *_of_exercises(book)]
    names = [item.name for item in items]
    if twice := sorted({name for name in names if names.count(name) > 1}):
        raise CourseError.about("the bank", f"has two questions named {', '.join(twice)}", advice=ADVICE)
    return Bank(tuple(items))


def topic_of(name):
    """The topic of a question by its name, as answers in lessons and exercises keep it."""
    topics = _about_lessons()["topics"]
    return topics.get(name) or topics.get(name[:2]) or next((t for t in TOPICS if name.startswith(f"{t}_")), "theory")


def _stands_alone(name, text):
    about = _about_lessons()
    return name not in about["not_alone"]["names"] and (name in about["alone"]["names"] or not SHOWN.search(text))


@functools.cache
def _about_lessons():
    return tomllib.loads((files("thermo_kit.practice") / "lessons.toml").read_text(encoding="utf-8"))


@functools.cache
def _facts():
    found, problems = [], []
    for file in sorted((files("thermo_kit.practice") / "facts").iterdir(), key=lambda one: one.name):
        if file.name.endswith(".toml"):
            try:
                found += read_facts(file.read_text(encoding="utf-8"), file.name)
            except CourseError as error:
                problems += error.problems
    if problems:
        raise CourseError(*problems)
    return tuple(found)


def read_facts(text, name):
    """Read one file of facts and say all that is wrong with it at once."""
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise CourseError.about(name, f"is not readable ({error})", advice=ADVICE) from error
    topic, rows = data.get("topic"), data.get("question")
    if topic not in TOPICS or f"{topic}.toml" != name or not isinstance(rows, list):
        raise CourseError.about(name, "needs the topic it is named after, and questions", advice=ADVICE)
    items, problems = [], []
    for number, row in enumerate(rows, 1):
        label = f"{name}, question {row.get('name') or number}"
        try:
            fact = _Fact.model_validate(row)
        except ValidationError as error:
            for one in error.errors():
                problems.append(
                    Problem(label, f"{'.'.join(map(str, one['loc']))}: {one['msg']}".lstrip(": "), "", ADVICE)
                )
            continue
        if not fact.name.startswith(f"{topic}_"):
            problems.append(Problem(label, "has a name that does not begin with its topic", "", ADVICE))
        if topic.startswith("law_") and fact.date is None:
            problems.append(Problem(label, "is law without date and region", "", ADVICE))
        items.append(Item(fact.name, topic, "fact", "", functools.partial(_ask_fact, fact)))
    if problems:
        raise CourseError(*problems)
    return items


def _ask_fact(fact, item, seed):
    mistakes = tuple(Mistake(wrong.text, wrong.text, wrong.reason) for wrong in fact.wrong)
    key = ChoiceKey(item.name, right=fact.right, why=fact.because, mistakes=mistakes)
    options = drawn_order(fact.ask, (fact.right, *(wrong.text for wrong in fact.wrong)), seed)
    picture = alt = ""
    if fact.picture:
        from thermo_kit.practice.pictures import picture_of

        drawn = picture_of(fact.picture)
        picture, alt = drawn.whole(), drawn.sentence
    law = f". In force {fact.date:%Y-%m-%d}, {fact.region}; ask your authority" if fact.date else ""
    return Asked(item.name, item.topic, fact.ask, key, options, picture, alt, fact.source + law)


def _of_lessons(book):
    for path in sorted(book.lessons.glob("*.ipynb")):
        notebook, lesson = declaring(path), path.stem[:2]
        for place, call in notebook.calls("quick_question", "exit_check"):
            if call.func.id == "quick_question":
                declared = [(call.args[0].value, call)]
            else:
                declared = [(f"{lesson}.exit.{i}", one) for i, one in enumerate(call.args[1].elts, 1)]
            for name, one in declared:
                if _stands_alone(name, _plain(one.args[-1])):
                    make = functools.partial(_ask_lesson, notebook, place, one)
                    yield Item(name, topic_of(name), "lesson", lesson, make)


def _plain(node):
    return " ".join(str(part.value) for part in ast.walk(node) if isinstance(part, ast.Constant))


def _ask_lesson(notebook, place, call, item, seed):
    asked = _declared_quick(notebook, place, call)
    options = drawn_order(asked.text, asked.options, seed)
    return Asked(item.name, item.topic, asked.text, asked.key, options, source=f"Lesson {item.lesson}")


@functools.lru_cache(maxsize=1_000)
def _declared_quick(notebook, place, call):
    """Both forms of declaring end in the same question, here without its panel."""
    return notebook.value(place, call, {"quick_question": lambda _name, text, **declared: quick(text, **declared)})


def _of_exercises(book):
    for path in sorted(book.exercises.glob("*.ipynb")):
        if not EXERCISE_NAME.fullmatch(path.stem) or not (book.answers / path.name).is_file():
            continue
        notebook = declaring(path)
        for place, call in notebook.calls("NumberQuestion", "ChoiceQuestion", "OrderQuestion"):
            name = f"{path.stem}.{call.args[0].value}"
            pictured = any(keyword.arg == "picture" for keyword in call.keywords)
            if not pictured and _stands_alone(name, _plain(call.args[1])):
                make = functools.partial(_ask_exercise, book, notebook, place, call)
                yield Item(name, topic_of(name), "exercise", path.stem[:2], make)


def _ask_exercise(book, notebook, place, call, item, seed):
    answers_path = book.answer(notebook.path.stem)
    case, key, lines = _solved(notebook, answers_path, answers_path.stat().st_mtime_ns, str(seed))
    question = notebook.value(place, call, case.numbers)
    part = next(part for part in key.parts if part.question == question.name)
    text, options = question.text, ()
    match question:
        case ChoiceQuestion():
            options = drawn_order(text, question.options, seed)
        case OrderQuestion():
            text, part, options = _next_step(text, part, seed)
    if item.name in _about_lessons()["no_case"]["names"] or isinstance(question, OrderQuestion):
        lines = ()
    return Asked(item.name, item.topic, text, part, options, source=f"Exercise {item.lesson}", case=lines)


@functools.lru_cache(maxsize=64)
def _solved(notebook, answers_path, _changed, seed):
    """Draw a case that can be worked; return it with its key and the lines that its exercise shows."""
    answers = load_answers(answers_path)
    for attempt in range(TRIES):
        learner = f"{seed}.{attempt}"
        case = draw_case(answers.path.stem, answers.parameters, secret=b"practice", learner=learner)
        try:
            key = answers.key(case)
            if key.is_clear:
                return case, key, tuple(_scene(notebook, case.numbers))
        except NotebookError:
            raise
        except ThermoKitError:
            continue
    raise NotebookError.about(
        answers.path.name, f"gave no usable numbers in {TRIES} draws", advice="correct its ranges"
    )


def _scene(notebook, numbers):
    """What the exercise tells and shows without a picture: sentences, tables row by row, printed lines."""
    for prose in notebook.prose[1:]:
        for paragraph in re.sub(r"^#.*$", "", prose, flags=re.M).split("\n\n"):
            told = [s for s in re.split(r"(?<=[.:?!])\s+", paragraph.strip()) if s and not SHOWN.search(s)]
            if told and not paragraph.strip().startswith(">"):
                yield " ".join(told)
    for place, call in notebook.calls("table", "print"):
        if call.func.id == "print":
            yield " ".join(str(notebook.value(place, part, numbers)) for part in call.args)
            continue
        shown = notebook.value(place, call, numbers)
        yield f"{shown.caption}:"
        yield from (" · ".join(cell for cell in row if cell) for row in shown.rows)


def _next_step(text, key: OrderKey, seed):
    """An order as a choice: which of the steps comes right after one that is drawn."""
    steps, luck = key.right, random.Random(f"{seed}{key.question}")
    place = luck.randrange(len(steps) - 1)
    others = [step for i, step in enumerate(steps) if i not in (place, place + 1)]
    options = [steps[place + 1], *luck.sample(others, min(MOST_OPTIONS - 1, len(others)))]
    asked = f"{text} Which of these comes right after “{steps[place]}”?"
    return asked, ChoiceKey(key.question, right=steps[place + 1], why=key.why), drawn_order(text, options, seed)
