"""What every notebook in the tree must be: clean, executed, paired, readable. Each rule returns complaints."""

import ast
import json
import re

from tests.house.reading import reading_grade
from tests.house.source import ROOT

FOLDERS = ("lessons", "exercises", "answers")
HIGHEST_GRADE = 9.5
LONGEST_IDEA = 120
IDEA = re.compile(r"(?ms)^## ((?:Idea|Clue|Step) \d[^\n]*)\n(.*?)(?=^#)")
LARGEST_PICTURES = 100_000
WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"


def notebook_paths(folder):
    """Return the numbered notebooks of one folder."""
    return sorted((ROOT / folder).glob("[0-9][0-9]_*.ipynb"))


def read(path):
    """Return a notebook as plain data."""
    return json.loads(path.read_text(encoding="utf-8"))


def text_of(cell):
    """Return a cell's source as one text."""
    return "".join(cell["source"])


def code_cells(notebook):
    """Return the code cells that hold code."""
    return [cell for cell in notebook["cells"] if cell["cell_type"] == "code" and text_of(cell).strip()]


def _outputs(notebook):
    return [output for cell in code_cells(notebook) for output in cell["outputs"]]


def unclean(notebook):
    """Saved widget state, another kernel, visible code, missing cell names, pictures that are too large."""
    metadata, cells, code = notebook["metadata"], notebook["cells"], code_cells(notebook)
    ids, data = [cell.get("id") for cell in cells], [output.get("data", {}) for output in _outputs(notebook)]
    pictures = sum(len("".join(value)) for one in data for kind, value in one.items() if kind.startswith("image/"))
    broken = {
        "kernel is not python3": metadata.get("kernelspec", {}).get("name") != "python3",
        "widget state is saved": "widgets" in metadata,
        "the version of one machine's Python is saved": "version" in metadata.get("language_info", {}),
        "cell ids are missing or doubled": None in ids or len(set(ids)) != len(ids),
        "a code cell is not collapsed": not all(
            one["metadata"].get("jupyter", {}).get("source_hidden") for one in code
        ),
        "a cell can be changed or deleted by a slip of the hand": any(
            cell["metadata"].get(can) is not False for cell in cells for can in ("deletable", "editable")
        ),
        "an output names a widget that lives only in one session": any(WIDGET_VIEW in one for one in data),
        f"stored pictures take {pictures:,} characters": pictures > LARGEST_PICTURES,
    }
    return [told for told, is_broken in broken.items() if is_broken]


def unexecuted(notebook):
    """Code cells that were not run, in order, to the end without an error."""
    found = []
    numbers = [cell.get("execution_count") for cell in code_cells(notebook)]
    if None in numbers:
        found.append(f"{numbers.count(None)} code cells were not executed")
    elif numbers != list(range(1, len(numbers) + 1)):
        found.append(f"code cells ran in the order {numbers}")
    if any(output["output_type"] == "error" for output in _outputs(notebook)):
        found.append("a stored output is an error")
    if not checked_cells(notebook):
        found.append("no cell has an output that a fresh run is compared with")
    return found


def checked_cells(notebook):
    """Count the code cells whose stored text a fresh run is compared with."""
    return sum(
        any("".join(output.get("data", output).get("text/plain", output.get("text", ""))).strip() for output in outputs)
        for outputs in (cell["outputs"] for cell in code_cells(notebook))
    )


def defining(notebook):
    """Functions or classes defined in a cell: they belong in the package."""
    nodes = (node for cell in code_cells(notebook) for node in ast.walk(ast.parse(text_of(cell))))
    kinds = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef
    return [f"defines {node.name}" for node in nodes if isinstance(node, kinds)]


def prose(notebook):
    """Return what a learner reads: text cells, and the sentences that code hands to questions and panels."""
    parts = [text_of(cell) for cell in notebook["cells"] if cell["cell_type"] == "markdown"]
    for cell in code_cells(notebook):
        for node in ast.walk(ast.parse(text_of(cell))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and len(node.value.split()) >= 5:
                parts.append(node.value)
    return "\n\n".join(parts)


def hard_to_read(notebook):
    """Prose above the highest grade; ideas that go on too long before something can be done."""
    grade = reading_grade(prose(notebook))
    found = [f"reading grade {grade:.1f} is above {HIGHEST_GRADE}"] if grade > HIGHEST_GRADE else []
    texts = [text_of(cell) for cell in notebook["cells"] if cell["cell_type"] == "markdown"]
    for heading, text in IDEA.findall("\n## \n".join(["", *texts, ""])):
        words = sum(len(line.split()) for line in text.splitlines() if not line.startswith("|"))
        if words > LONGEST_IDEA:
            found.append(f"{heading}: {words} words, at most {LONGEST_IDEA}")
    return found


def parameter_names(notebook):
    """Return the names set in the one cell tagged `parameters`, without the ticket; None if there is no such cell."""
    tagged = [cell for cell in notebook["cells"] if "parameters" in cell["metadata"].get("tags", [])]
    if len(tagged) != 1:
        return None
    assigned = [node for node in ast.parse(text_of(tagged[0])).body if isinstance(node, ast.Assign)]
    return [node.targets[0].id for node in assigned if node.targets[0].id != "ticket"]


def unpaired(exercises, answers, lessons):
    """Exercises without answer, lesson or the same parameters; each argument is {name: notebook}."""
    found = [f"{name}: exercise without answer" for name in sorted(set(exercises) - set(answers))]
    found += [f"{name}: answer without exercise" for name in sorted(set(answers) - set(exercises))]
    found += [f"{name}: exercise without lesson of that name" for name in sorted(set(exercises) - set(lessons))]
    found += [f"{name}: lesson without exercise" for name in sorted(set(lessons) - set(exercises)) if name[:2] != "00"]
    for name in sorted(set(exercises) & set(answers)):
        asked, answered = parameter_names(exercises[name]), parameter_names(answers[name])
        if not asked or asked != answered:
            found.append(f"{name}: parameters are {asked} in the exercise, {answered} in the answer")
    return found
