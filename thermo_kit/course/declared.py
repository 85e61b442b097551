"""What a notebook declares, found without running it; what is asked for is worked out with only what it rests on."""

import ast
import functools
import json
import re
from dataclasses import dataclass
from pathlib import Path

from thermo_kit.course.cases import NOTEBOOK_LIMIT, read_parameters
from thermo_kit.course.files import file_errors_in_plain_words, read_limited
from thermo_kit.errors import NotebookError, ThermoKitError

# A line that says how its number may vary, as in an exercise's cell of parameters.
_VARIES = re.compile(r"^\w+ = [^#\n]*#[^;\n]*;[^;\n]*;.*$", re.M)


@dataclass(frozen=True)
class Declaring:
    """The code of a notebook as statements in their order, the numbers in it that may vary, the text of its cells."""

    path: Path
    statements: tuple[ast.stmt, ...]
    numbers: tuple
    prose: tuple[str, ...]

    def calls(self, *names):
        """Every call of a function of these names, with the place of its statement."""
        for place, statement in enumerate(self.statements):
            for node in ast.walk(statement):
                if isinstance(node, ast.Call) and getattr(node.func, "id", "") in names:
                    yield place, node

    def varying(self, place, node):
        """The numbers that may vary among all that an expression rests on."""
        wanted = self._resting(place, node, ())[1]
        return tuple(number for number in self.numbers if number.name in wanted)

    def _resting(self, place, node, given):
        wanted, chosen = _names(node, ast.Load), []
        for statement in reversed(self.statements[:place]):
            if (_bound(statement) & wanted) - set(given):
                chosen.insert(0, statement)
                wanted |= _names(statement, ast.Load)
        return chosen, wanted

    def value(self, place, node, given=()):
        """Work out an expression with the statements before that place that bind a name it rests on."""
        given = dict(given)
        chosen, _wanted = self._resting(place, node, given)
        space = {"__name__": self.path.stem, **given}
        try:
            exec(compile(ast.Module(chosen, []), self.path.name, "exec"), space)
            return eval(compile(ast.Expression(node), self.path.name, "eval"), space)
        except ThermoKitError:
            raise
        except Exception as error:
            where, told = (
                f"{self.path.name}, {ast.unparse(node)[:80]}",
                f"fails alone with {type(error).__name__}: {error}",
            )
            advice = "a question may rest on imports and on names that are set at the left edge of a cell"
            raise NotebookError.about(where, told, advice=advice) from error


def declaring(path):
    """A notebook's declarations, read once for as long as its file does not change."""
    path = Path(path).resolve()
    with file_errors_in_plain_words(path, "be read"):
        facts = path.stat()
    return _read(path, facts.st_mtime_ns, facts.st_size)


@functools.lru_cache(maxsize=128)
def _read(path, _changed, _size):
    statements, numbers, prose = [], [], []
    try:
        for cell in json.loads(read_limited(path, NOTEBOOK_LIMIT))["cells"]:
            source = "".join(cell["source"])
            if cell["cell_type"] == "markdown":
                prose.append(source)
            elif cell["cell_type"] == "code" and "parameters" not in cell["metadata"].get("tags", ()):
                statements += ast.parse(source).body
                numbers += read_parameters("\n".join(_VARIES.findall(source)), path)
    except (ValueError, KeyError, TypeError, AttributeError, SyntaxError) as error:
        raise NotebookError.about(
            str(path), f"cannot be read as a notebook ({error})", advice="restore it from a fresh copy of the workbook"
        ) from error
    return Declaring(path, tuple(statements), tuple(numbers), tuple(prose))


def _names(node, context):
    return {n.id for n in ast.walk(node) if isinstance(n, ast.Name) and isinstance(n.ctx, context)}


def _bound(statement):
    if isinstance(statement, ast.Import | ast.ImportFrom):
        return {alias.asname or alias.name.split(".")[0] for alias in statement.names}
    return _names(statement, ast.Store)
