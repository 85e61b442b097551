"""The numbers of an exercise: reading how they may vary, and drawing a learner's own."""

import ast
import hashlib
import io
import json
import re
import tokenize
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from pathlib import Path

from thermo_kit.course.files import read_limited
from thermo_kit.errors import NotebookError, Problem

TICKET_NAME = "ticket"
RESIT = re.compile(r"(.+)_resit_(\d{1,3})")
NOTEBOOK_LIMIT = 5_000_000
FORMS = (
    "write `name = 2.0  # bar; from 1.6 to 2.4 step 0.1; meaning`, "
    '`name = "A"  # choice; one of "A", "B"; meaning` or `name = 0  # m; fixed; meaning`'
)


class NoUsableNumbersError(NotebookError):
    """None of many draws gave numbers that can be used."""


@dataclass(frozen=True)
class Parameter:
    """One line of the cell tagged `parameters`: a name, its default, and what it may become.

    values: every value the line allows, in order; one value when the line is fixed
    """

    name: str
    default: int | float | str | bool
    unit: str
    values: tuple
    meaning: str


@dataclass(frozen=True)
class Case:
    """The numbers drawn for one learner's exercise, as plain values.

    drawn: pairs of name and value, in the order of the notebook
    """

    exercise: str
    drawn: tuple[tuple[str, int | float | str | bool], ...]

    @property
    def numbers(self):
        """The drawn numbers by name."""
        return dict(self.drawn)

    @property
    def fingerprint(self):
        """One text that is the same for the same exercise and numbers only."""
        return json.dumps([self.exercise, sorted(self.drawn)], ensure_ascii=True, separators=(",", ":"))


def read_notebook(path):
    """A notebook file as nbformat reads it."""
    return parse_notebook(path, read_limited(path, NOTEBOOK_LIMIT))


def parse_notebook(path, content):
    """The content of a notebook file as nbformat reads it."""
    import nbformat

    try:
        return nbformat.reads(content.decode("utf-8"), as_version=4)
    except (ValueError, AttributeError, KeyError, nbformat.ValidationError) as error:
        raise NotebookError.about(
            str(path), "is damaged or no notebook", advice="restore it from a fresh copy of the workbook"
        ) from error


def parameters_cell(notebook, path="the notebook"):
    """The one code cell tagged `parameters`."""
    tagged = [
        cell for cell in notebook.cells if cell.cell_type == "code" and "parameters" in cell.metadata.get("tags", [])
    ]
    if len(tagged) == 1:
        return tagged[0]
    told = f"has {len(tagged) or 'no'} code cell{'s' if len(tagged) > 1 else ''} tagged `parameters`"
    advice = "tag the cell that holds the numbers of the case, or everyone would get the same numbers"
    raise NotebookError.about(Path(path).name, told, "where exactly one is needed", advice)


def read_parameters(source, path="the notebook"):
    """Read the lines of a parameters cell without running them."""
    try:
        tree = ast.parse(source)
        comments = {
            token.start[0]: token.string.lstrip("#").strip()
            for token in tokenize.generate_tokens(io.StringIO(source).readline)
            if token.type == tokenize.COMMENT
        }
    except (SyntaxError, tokenize.TokenError, ValueError) as error:
        raise NotebookError.about(
            f"the parameters cell of {Path(path).name}", f"is not readable ({error})", advice=FORMS
        ) from error
    parameters, problems, seen = [], [], set()
    for statement in tree.body:
        try:
            parameter = _read_line(statement, comments.get(statement.lineno, ""))
            if parameter.name in seen:
                raise ValueError(f"names {parameter.name} a second time")
            seen.add(parameter.name)
            parameters.append(parameter)
        except (ValueError, InvalidOperation) as reason:
            told = reason if type(reason) is ValueError else "holds something that is not a number"
            problems.append(Problem(f"{Path(path).name}, parameters, line {statement.lineno}", f"{told}", advice=FORMS))
    if problems:
        raise NotebookError(*problems)
    return tuple(p for p in parameters if p.name != TICKET_NAME)


def _read_line(statement, comment):
    if not (
        isinstance(statement, ast.Assign) and len(statement.targets) == 1 and isinstance(statement.targets[0], ast.Name)
    ):
        raise ValueError("is not of the form name = value")
    name = statement.targets[0].id
    try:
        default = ast.literal_eval(statement.value)
    except ValueError:
        default = None
    if type(default) not in (int, float, str, bool):
        raise ValueError(f"gives {name} something other than a plain number, text, True or False")
    parts = [part.strip() for part in comment.split(";", 2)]
    if name == TICKET_NAME:
        if default != "":
            raise ValueError("must leave the ticket empty")
        return Parameter(name, default, "", (default,), comment)
    if len(parts) != 3 or not all(parts):
        raise ValueError(f"does not say unit, range and meaning of {name} after #")
    unit, span, meaning = parts
    values = _allowed(default, unit, span)
    if default not in values or type(default) is not type(values[values.index(default)]):
        raise ValueError(f"gives {name} a default that its own range does not hold")
    return Parameter(name, default, "" if unit == "choice" else unit, values, meaning)


def _allowed(default, unit, span):
    if span == "fixed":
        return (default,)
    if unit == "choice":
        if not span.startswith("one of "):
            raise ValueError("does not list the choices")
        try:
            values = ast.literal_eval("(" + span.removeprefix("one of ") + ",)")
        except (ValueError, SyntaxError):
            raise ValueError("does not list the choices as plain values with commas") from None
        if any(type(value) is not type(default) for value in values):
            raise ValueError("mixes kinds of values in its choices")
        return values
    match = re.fullmatch(r"from (\S+) to (\S+) step (\S+)", span)
    if not match or type(default) not in (int, float):
        raise ValueError("does not say from LOW to HIGH step STEP")
    low, high, step = (Decimal(text) for text in match.groups())
    if step <= 0 or high < low or (high - low) % step:
        raise ValueError("has a range that its step does not divide")
    if (high - low) / step > 100_000:
        raise ValueError("has more than 100,000 steps")
    whole = type(default) is int and all(x == x.to_integral_value() for x in (low, high, step))
    kind = int if whole else float
    return tuple(kind(low + step * i) for i in range(int((high - low) / step) + 1))


def default_case(exercise, parameters):
    """The case with every parameter at its default."""
    return Case(exercise, tuple((p.name, p.default) for p in parameters))


def resit(exercise, number):
    """The name under which a class keeps the cases and marks of an exercise's re-sit."""
    return f"{exercise}_resit_{number}" if number else exercise


def exercise_and_resit(name):
    """The exercise behind a name that a class keeps, and the number of the re-sit; 0 for the first numbers."""
    found = RESIT.fullmatch(name)
    return (found[1], int(found[2])) if found else (name, 0)


def draw_case(exercise, parameters, *, secret, learner, accept=None, tries=1_000):
    """Draw a learner's own numbers, always the same for the same secret, learner and exercise."""
    for attempt in range(tries):
        case = drawn_case(exercise, parameters, secret, learner, attempt)
        if accept is None or accept(case):
            return case
    told = f"gave no usable numbers for {learner} in {tries:,} draws"
    raise NoUsableNumbersError.about(exercise, told, advice="widen or correct the ranges in its parameters cell")


def drawn_case(exercise, parameters, secret, learner, attempt):
    """One draw of a learner's numbers, not yet tried."""
    drawn = tuple(
        (p.name, p.values[_number_from(secret, exercise, learner, attempt, p.name) % len(p.values)]) for p in parameters
    )
    return Case(exercise, drawn)


def _number_from(secret, *words):
    # One digest for each parameter: a new line in the cell leaves the others' numbers as they were.
    message = "\x1f".join(str(word) for word in words).encode()
    return int.from_bytes(hashlib.sha256(secret + b"\x1f" + message).digest(), "big")
