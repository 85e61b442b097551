"""The kinds of question an exercise can ask. What is right stands only in the answers notebook."""

import ast
import contextlib
import hashlib
from dataclasses import dataclass


@dataclass(frozen=True)
class NumberQuestion:
    """Asks for a number with a unit; with `picture`, one that is read off that picture."""

    name: str
    text: str
    unit: str
    picture: str = ""


@dataclass(frozen=True)
class ChoiceQuestion:
    """Asks to choose one of several texts; with `picture`, after looking at that picture."""

    name: str
    text: str
    options: tuple[str, ...]
    picture: str = ""

    def __post_init__(self):
        object.__setattr__(self, "options", _texts(self, self.options))


@dataclass(frozen=True)
class OrderQuestion:
    """Asks to put steps in order; they are declared in a wrong order."""

    name: str
    text: str
    steps: tuple[str, ...]

    def __post_init__(self):
        object.__setattr__(self, "steps", _texts(self, self.steps))


@dataclass(frozen=True)
class ReasonQuestion:
    """Asks for a short reason in the learner's own words; a person reads it in the end."""

    name: str
    text: str


def _texts(question, texts):
    from thermo_kit.errors import NotebookError

    texts = tuple(texts)
    if len(texts) < 2 or len(set(texts)) < len(texts) or not all(isinstance(t, str) and t for t in texts):
        told = "needs at least two different texts to choose from"
        raise NotebookError.about(f"question {question.name}", told, advice="correct its list")
    return texts


def drawn_order(question, texts, seed=""):
    """The texts in an order drawn for a question's text and a learner's seed; without a seed, that of stored text."""
    return tuple(sorted(texts, key=lambda text: hashlib.sha256(f"{seed}{question}|{text}".encode()).digest()))


def describe_question(question):
    """The question as plain lines, for readers without a picture or a kernel."""
    head = f"{question.name}. {question.text}"
    match question:
        case NumberQuestion(unit=unit, picture=picture):
            return f"{head} [a number in {unit or 'no unit'}{_off(picture)}]"
        case ChoiceQuestion(options=options, picture=picture):
            return f"{head} [one of: {' | '.join(drawn_order(question.text, options))}{_off(picture)}]"
        case OrderQuestion(steps=steps):
            return f"{head} [put in order: {' | '.join(drawn_order(question.text, steps))}]"
        case _:
            return f"{head} [a short reason in your own words]"


def texts_of(path, case):
    """What an exercise notebook asks in a case, by the questions' names, read off its code without running it.

    What only the running notebook could put into a text shows as "…".
    """
    from thermo_kit.course.cases import read_notebook

    kinds = {kind.__name__: kind for kind in (NumberQuestion, ChoiceQuestion, OrderQuestion, ReasonQuestion)}
    found = {}
    for cell in read_notebook(path).cells:
        with contextlib.suppress(SyntaxError):
            for call in ast.walk(ast.parse(cell.source if cell.cell_type == "code" else "")):
                if isinstance(call, ast.Call) and getattr(call.func, "id", "") in kinds:
                    with contextlib.suppress(Exception):
                        question = _written(call, {**case.numbers, **kinds})
                        found[question.name] = question.text
    return found


def _written(call, names):
    for part in [node for node in ast.walk(call) if isinstance(node, ast.FormattedValue)]:
        try:
            eval(compile(ast.Expression(part.value), "question", "eval"), names)
        except NameError:
            part.value, part.format_spec = ast.copy_location(ast.Constant("…"), part), None
    return eval(compile(ast.Expression(call), "question", "eval"), names)


def _off(picture):
    return f", read off {picture}" if picture else ""
