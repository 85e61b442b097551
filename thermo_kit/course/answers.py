"""Running an answers notebook in process for one case. Its code is trusted; a learner's never runs."""

import ast
import contextlib
import functools
import io
from dataclasses import dataclass
from pathlib import Path
from types import CodeType

from thermo_kit.course.cases import (
    NOTEBOOK_LIMIT,
    default_case,
    parameters_cell,
    parse_notebook,
    read_notebook,
    read_parameters,
)
from thermo_kit.course.files import read_limited
from thermo_kit.course.keys import Key
from thermo_kit.errors import NotebookError, Problem, ThermoKitError

SHOW_TAG = "show"


@dataclass(frozen=True)
class WorkedStep:
    """One piece of a worked solution: `kind` is "text" (markdown) or "result" (what was printed)."""

    kind: str
    text: str


@dataclass(frozen=True)
class _Source:
    number: int
    kind: str
    text: str
    show_only: bool = False


@dataclass(frozen=True)
class CodeCell:
    """A compiled cell of code: its statements, and the expression at its end, where there is one."""

    label: str
    body: CodeType
    last: CodeType | None

    @classmethod
    def compiled(cls, path, number, source):
        """Compile the code of a notebook's cell."""
        label, last = f"{path.name}, cell {number}", None
        try:
            tree = ast.parse(source, label)
        except SyntaxError as error:
            raise NotebookError.about(
                label, f"is not plain Python ({error.msg})", advice="use no magics here"
            ) from error
        if tree.body and isinstance(tree.body[-1], ast.Expr):
            last = compile(ast.Expression(tree.body.pop().value), label, "eval")
        return cls(label, compile(tree, label, "exec"), last)

    def run(self, namespace):
        """Run it; → what it printed, and the value of its last expression."""
        out = io.StringIO()
        try:
            with contextlib.redirect_stdout(out):
                exec(self.body, namespace)
                value = eval(self.last, namespace) if self.last else None
        except ThermoKitError:
            raise
        except Exception as error:
            told = f"fails with {type(error).__name__}: {error}"
            raise NotebookError.about(
                self.label, told, advice="run the notebook in JupyterLab and correct it"
            ) from error
        return out.getvalue(), value


@dataclass(frozen=True)
class AnswersNotebook:
    """A compiled answers notebook. source: what it was compiled from, which can travel."""

    path: Path
    parameters: tuple
    cells: tuple[tuple[_Source, CodeCell | None], ...]
    source: tuple[_Source, ...]

    def key(self, case):
        """The key for a case."""
        return self._run(case)[0]

    def worked(self, case):
        """The key and the worked solution of a case (the notebook's text and what its code prints), by one run."""
        return self._run(case, showing=True)

    def default_case(self):
        """The case with the notebook's own numbers."""
        return default_case(self.path.stem, self.parameters)

    def _run(self, case, showing=False):
        self._check_names(case)
        namespace = {"__name__": "answers", **case.numbers}
        steps = []
        for source, code in self.cells:
            if source.kind == "markdown":
                steps.append(WorkedStep("text", source.text))
            elif code and (showing or not source.show_only):
                printed, value = code.run(namespace)
                if value is not None and not isinstance(value, Key):
                    printed += _plain(value)
                if printed.strip():
                    steps.append(WorkedStep("result", printed.rstrip()))
        key = namespace.get("key")
        if not isinstance(key, Key):
            raise NotebookError.about(self.path.name, "declares no `key`", advice="end it with key = Key(...)")
        return key, tuple(steps)

    def _check_names(self, case):
        expected, given = {p.name for p in self.parameters}, set(case.numbers)
        own = self.path.name
        foreign, advice = f"is not a parameter of {own}", "correct its spelling"
        problems = [Problem(f"the number {name!r}", foreign, advice=advice) for name in sorted(given - expected)]
        for name in sorted(expected - given):
            told = "was given no number"
            problems.append(Problem(f"the parameter {name!r} of {own}", told, advice="pass it as well"))
        if problems:
            raise NotebookError(*problems)


def _plain(value):
    bundle = getattr(value, "_repr_mimebundle_", None)
    if bundle is not None:
        with contextlib.suppress(Exception):
            return bundle()["text/plain"]
    return value if isinstance(value, str) else repr(value)


def load_answers(path):
    """An answers notebook, read and compiled once for as long as its file does not change."""
    path = Path(path).resolve()
    return compile_answers(path, _read_source(path, read_limited(path, NOTEBOOK_LIMIT)))


@functools.lru_cache(maxsize=64)
def _read_source(path, content):
    notebook = parse_notebook(path, content)
    parameters = parameters_cell(notebook, path)
    cells = [
        _Source(number, cell.cell_type, cell.source, SHOW_TAG in cell.metadata.get("tags", []))
        for number, cell in enumerate(notebook.cells)
        if cell is not parameters and cell.source.strip()
    ]
    return (_Source(0, "parameters", parameters.source), *cells)


@functools.lru_cache(maxsize=64)
def compile_answers(path, source):
    """The compiled notebook of a source, which may have come from another machine."""
    codes = [CodeCell.compiled(path, cell.number, cell.text) if cell.kind == "code" else None for cell in source[1:]]
    cells = tuple(zip(source[1:], codes, strict=True))
    return AnswersNotebook(path, read_parameters(source[0].text, path), cells, source)


def check_pair(exercise_path, answers_path):
    """Refuse an exercise whose answers notebook has other parameters."""
    asked = read_parameters(parameters_cell(read_notebook(exercise_path), exercise_path).source, exercise_path)
    answered = load_answers(answers_path).parameters
    if differing := {p.name for p in set(asked) ^ set(answered)}:
        told = f"differ in the parameters {', '.join(sorted(differing))}"
        advice = "copy the parameters cell of the exercise into the answers notebook"
        raise NotebookError.about(f"exercise and answers {Path(exercise_path).stem}", told, advice=advice)
    return asked


def usable_key(answers, case):
    """The key for a drawn case; None where it cannot be worked, or a mistake cannot be told from the right answer."""
    try:
        key = answers.key(case)
    except NotebookError:
        raise
    except ThermoKitError:
        return None
    return key if key.is_clear else None


@dataclass(frozen=True)
class Judged:
    """What a key said of one sheet; `told` says why it could not, and is empty where it could."""

    key_digest: str = ""
    verdicts: tuple = ()
    told: str = ""


def judge_part(path, source, work):
    """Judge pairs of case and answers by an answers notebook; pure, so that it runs on any machine."""
    return [_judge(path, source, case, answers) for case, answers in work]


def _judge(path, source, case, answers):
    try:
        key = compile_answers(path, source).key(case)
        return Judged(key.digest, key.judge(answers))
    except ThermoKitError as error:
        return Judged(told=str(error))
    except Exception as error:
        told = f"cannot be judged ({type(error).__name__}: {str(error)[:200]})"
        advice = "check the answers notebook with this learner's numbers; if it is in order, ask the maintainer"
        return Judged(told=str(Problem("the sheet", told, advice=advice)))


def try_part(path, source, cases):
    """Tell for each case whether an answers notebook can work it; pure, so that it runs on any machine."""
    return [usable_key(compile_answers(path, source), case) is not None for case in cases]
