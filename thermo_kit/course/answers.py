"""Running an answers notebook in process for one case. Its code is trusted; a learner's never runs."""

import ast
import contextlib
import functools
import io
from dataclasses import dataclass
from pathlib import Path
from types import CodeType

from thermo_kit.course.cases import Case, default_case, parameters_cell, read_notebook, read_parameters
from thermo_kit.course.keys import Key
from thermo_kit.errors import NotebookError, Problem, ThermoKitError

SHOW_TAG = "show"


@dataclass(frozen=True)
class WorkedStep:
    """One piece of a worked solution: `kind` is "text" (markdown) or "result" (what was printed)."""

    kind: str
    text: str


@dataclass(frozen=True)
class _Cell:
    number: int
    markdown: str = ""
    body: CodeType | None = None
    last: CodeType | None = None
    show_only: bool = False


@dataclass(frozen=True)
class AnswersNotebook:
    """A compiled answers notebook."""

    path: Path
    parameters: tuple
    cells: tuple[_Cell, ...]

    def key(self, case):
        """The key for a case."""
        return self._run(case)[0]

    def worked_solution(self, case):
        """The notebook's text and what its code prints, with a case's numbers."""
        return self.worked(case)[1]

    def worked(self, case):
        """The key and the worked solution of a case, by one run."""
        return self._run(case, showing=True)

    def default_case(self):
        """The case with the notebook's own numbers."""
        return default_case(self.path.stem, self.parameters)

    def _run(self, case, showing=False):
        self._check_names(case)
        namespace = {"__name__": "answers", **case.numbers}
        steps = []
        for cell in self.cells:
            if cell.markdown:
                steps.append(WorkedStep("text", cell.markdown))
            elif showing or not cell.show_only:
                printed = self._run_cell(cell, namespace)
                if printed:
                    steps.append(WorkedStep("result", printed))
        key = namespace.get("key")
        if not isinstance(key, Key):
            raise NotebookError.about(self.path.name, "declares no `key`", advice="end it with key = Key(...)")
        return key, tuple(steps)

    def _run_cell(self, cell, namespace):
        out = io.StringIO()
        try:
            with contextlib.redirect_stdout(out):
                exec(cell.body, namespace)
                value = eval(cell.last, namespace) if cell.last else None
        except ThermoKitError:
            raise
        except Exception as error:
            raise NotebookError.about(
                f"{self.path.name}, cell {cell.number}",
                f"fails with {type(error).__name__}: {error}",
                advice="run the notebook in JupyterLab and correct it",
            ) from error
        text = out.getvalue()
        if value is not None and not isinstance(value, Key):
            text += _plain(value)
        return text.rstrip()

    def _check_names(self, case):
        expected, given = {p.name for p in self.parameters}, set(case.numbers)
        if expected == given:
            return
        problems = [
            Problem(f"the number {name!r}", f"is not a parameter of {self.path.name}", advice="correct its spelling")
            for name in sorted(given - expected)
        ]
        problems += [
            Problem(f"the parameter {name!r} of {self.path.name}", "was given no number", advice="pass it as well")
            for name in sorted(expected - given)
        ]
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
    from thermo_kit.course.files import file_errors_in_plain_words

    with file_errors_in_plain_words(path, "be read"):
        facts = path.stat()
    return _compile(path, facts.st_mtime_ns, facts.st_size)


@functools.lru_cache(maxsize=64)
def _compile(path, _changed, _size):
    notebook = read_notebook(path)
    parameters_source = parameters_cell(notebook, path)
    parameters = read_parameters(parameters_source.source, path)
    cells = []
    for number, cell in enumerate(notebook.cells):
        if cell.cell_type == "markdown" and cell.source.strip():
            cells.append(_Cell(number, markdown=cell.source))
        elif cell.cell_type == "code" and cell is not parameters_source and cell.source.strip():
            cells.append(_compile_cell(path, number, cell))
    return AnswersNotebook(path, parameters, tuple(cells))


def _compile_cell(path, number, cell):
    label = f"{path.name}, cell {number}"
    try:
        tree = ast.parse(cell.source, label)
    except SyntaxError as error:
        raise NotebookError.about(
            label, f"is not plain Python ({error.msg})", advice="answers notebooks use no magics"
        ) from error
    last = None
    if tree.body and isinstance(tree.body[-1], ast.Expr):
        last = compile(ast.Expression(tree.body.pop().value), label, "eval")
    return _Cell(
        number, body=compile(tree, label, "exec"), last=last, show_only=SHOW_TAG in cell.metadata.get("tags", [])
    )


def check_pair(exercise_path, answers_path):
    """Refuse an exercise whose answers notebook has other parameters."""
    asked = read_parameters(parameters_cell(read_notebook(exercise_path), exercise_path).source, exercise_path)
    answered = load_answers(answers_path).parameters
    differing = {p.name for p in set(asked) ^ set(answered)}
    if differing:
        raise NotebookError.about(
            f"exercise and answers {Path(exercise_path).stem}",
            f"differ in the parameters {', '.join(sorted(differing))}",
            advice="copy the parameters cell of the exercise into the answers notebook",
        )
    return asked


def solvable(answers):
    """A test for drawn cases: can the answers notebook work this one, and tell each mistake from the right answer?"""

    def accept(case: Case):
        try:
            key = answers.key(case)
        except NotebookError:
            raise
        except ThermoKitError:
            return False
        return key.is_clear

    return accept
