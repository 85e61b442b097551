"""Questions put anew: an exercise's with fresh numbers; and which of all can be put without their page."""

import ast
import functools
import random
import re
import tomllib
from dataclasses import dataclass
from importlib.resources import files
from operator import attrgetter

from thermo_kit.course.answers import load_answers
from thermo_kit.course.cases import draw_case
from thermo_kit.course.declared import declaring
from thermo_kit.course.keys import ChoiceKey, NumberKey
from thermo_kit.course.questions import ChoiceQuestion, OrderQuestion, drawn_order
from thermo_kit.errors import NotebookError, ThermoKitError

# A text with one of these words speaks of something that stands on its page.
SHOWN = re.compile(r"\b(pictures?|plots?|charts?|curves?|panels?|tables?|above|printed|drawing|layout)\b", re.I)
MOST_OPTIONS = 4
TRIES = 50
_LESSONS = tomllib.loads((files("thermo_kit.course") / "lessons.toml").read_text(encoding="utf-8"))


@dataclass(frozen=True)
class Asked:
    """One question as it is put: key and options as in an exercise, a picture as SVG, the case's numbers as lines.

    refrigerant: whose table of saturation it needs beside it, or empty
    """

    name: str
    topic: str
    text: str
    key: NumberKey | ChoiceKey
    options: tuple[str, ...] = ()
    picture: str = ""
    alt: str = ""
    source: str = ""
    case: tuple[str, ...] = ()
    refrigerant: str = ""


def topic_of(name):
    """The topic of a question of a lesson or an exercise, by its name."""
    return _LESSONS["topics"].get(name) or _LESSONS["topics"].get(name[:2], "theory")


def stands_alone(name, node):
    """Whether a question needs nothing of its page: no list says so, and no word of it."""
    text = " ".join(str(part.value) for part in ast.walk(node) if isinstance(part, ast.Constant))
    return name not in _LESSONS["not_alone"]["names"] and (name in _LESSONS["alone"]["names"] or not SHOWN.search(text))


def questions_of(book, path, *, tables=False):
    """The questions of an exercise that stand alone, by name: each a function that puts it for a seed.

    `tables`: also those that stand alone beside a table of saturation
    """
    if not (book.answers / path.name).is_file():
        return {}
    notebook, found = declaring(path), {}
    for place, call in notebook.calls("NumberQuestion", "ChoiceQuestion", "OrderQuestion"):
        if not isinstance(call.args[0], ast.Constant):
            # A paper's questions are named by what it draws.
            continue
        name = f"{path.stem}.{call.args[0].value}"
        pictured = any(keyword.arg == "picture" for keyword in call.keywords)
        picture = _LESSONS["picture"].get(name, int(pictured))
        if tables if name in _LESSONS["saturation"] else picture or stands_alone(name, call.args[1]):
            found[name] = functools.partial(_ask, book.answer(path.stem), notebook, place, call, name, picture)
    return found


def _ask(answers_path, notebook, place, call, name, picture, seed):
    case, key, lines = _solved(notebook, answers_path, answers_path.stat().st_mtime_ns, str(seed))
    question = notebook.value(place, call, case.numbers)
    part = next(part for part in key.parts if part.question == question.name)
    text, options, svg, alt = question.text, (), "", ""
    if isinstance(question, ChoiceQuestion):
        options = drawn_order(text, question.options, seed)
    elif isinstance(question, OrderQuestion):
        text, part, options = _next_step(text, part, seed)
    lines = () if name in _LESSONS["no_case"]["names"] or isinstance(question, OrderQuestion) else lines
    called = ast.parse(_LESSONS["saturation"].get(name, "''"), mode="eval").body
    refrigerant = notebook.value(place, called, case.numbers)
    if picture:
        where, shown = list(notebook.calls("show_picture"))[picture - 1]
        drawing = notebook.value(where, shown.args[0], case.numbers)
        svg, alt = drawing.whole(), drawing.sentence
    return Asked(name, topic_of(name), text, part, options, svg, alt, f"Exercise {name[:2]}", lines, refrigerant)


@functools.lru_cache(maxsize=64)
def _solved(notebook, answers_path, _changed, seed):
    """Draw a case that can be worked; return it with its key and the lines that its exercise shows."""
    answers = load_answers(answers_path)
    case, key = drawn_anew(answers.path, answers.parameters, seed, answers.key)
    return case, key, tuple(_scene(notebook, case.numbers))


def drawn_anew(path, parameters, seed, make, accept=attrgetter("is_clear")):
    """Draw numbers until `make` gives of a case what is accepted: usually that each mistake can be told apart."""
    for attempt in range(TRIES):
        case = draw_case(path.stem, parameters, secret=b"practice", learner=f"{seed}.{attempt}")
        try:
            if accept(made := make(case)):
                return case, made
        except NotebookError:
            raise
        except ThermoKitError:
            continue
    raise NotebookError.about(path.name, f"gave no usable numbers in {TRIES} draws", advice="widen its ranges")


def _scene(notebook, numbers):
    """What the exercise tells and shows without a picture: sentences, tables row by row, printed lines."""
    for paragraph in "\n\n".join(notebook.prose[1:]).split("\n\n"):
        told = [s for s in re.split(r"(?<=[.:?!])\s+", paragraph.strip()) if not SHOWN.search(s)]
        if any(told) and not paragraph.strip().startswith((">", "#")):
            yield " ".join(told)
    for place, call in notebook.calls("table", "print"):
        shown = [notebook.value(place, part, numbers) for part in ((call,) if call.func.id == "table" else call.args)]
        if call.func.id == "print":
            yield " ".join(map(str, shown))
        else:
            heads = [head for head in shown[0].heads if head]
            yield f"{shown[0].caption}:" + (f" {' · '.join(heads)}" if len(shown[0].heads) > 2 else "")
            yield from ((": " if len(row) == 2 else " · ").join(filter(None, row)) for row in shown[0].rows)


def _next_step(text, key, seed):
    """An order as a choice: which of the steps comes right after one that is drawn."""
    luck = random.Random(f"{seed}{key.question}")
    place = luck.randrange(len(key.right) - 1)
    before, right, others = key.right[place], key.right[place + 1], [*key.right[:place], *key.right[place + 2 :]]
    options = (right, *luck.sample(others, min(MOST_OPTIONS - 1, len(others))))
    asked = f"Which of these comes right after “{before}”? ({text})"
    return asked, ChoiceKey(key.question, right=right, why=key.why), drawn_order(text, options, seed)
