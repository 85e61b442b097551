"""A new exercise to begin from: a template that fits its own answers."""

import tomllib
from pathlib import Path

from thermo_kit.course.files import write_atomically
from thermo_kit.course.workbook import EXERCISE_NAME
from thermo_kit.errors import FileAccessError

PYTHON = {"kernelspec": {"name": "python3", "display_name": "Python 3"}, "language_info": {"name": "python"}}
TEMPLATE = Path(__file__).parent / "templates" / "exercise.toml"


def new_exercise(name, workbook):
    """Write the two notebooks of a template under a new name; → their paths."""
    import nbformat

    paths = [folder / f"{name}.ipynb" for folder in (workbook.exercises, workbook.answers)]
    is_name = EXERCISE_NAME.fullmatch(name)
    taken = [other for path in paths for other in path.parent.glob(f"{name[:2]}_*.ipynb")] if is_name else []
    if not is_name or taken:
        told = f"is taken by {taken[0]}" if taken else "is no name of an exercise"
        raise FileAccessError.about(name, told, advice="write two free digits and a name, like 42_brake_cooler")
    for path, cells in zip(paths, tomllib.loads(TEMPLATE.read_text(encoding="utf-8")).values(), strict=True):
        notebook = nbformat.v4.new_notebook(metadata=PYTHON | {"thermo_kit": {"page": path.parent.name}})
        for number, cell in enumerate(cells):
            make = nbformat.v4.new_code_cell if "code" in cell else nbformat.v4.new_markdown_cell
            source = (cell.get("code") or cell["text"]).strip().replace("NN_name", name).replace("NN", name[:2])
            metadata = {"tags": cell["tags"]} if "tags" in cell else {}
            notebook.cells.append(make(source, id=f"{name}-{number:03}"[-64:], metadata=metadata))
        write_atomically(path, nbformat.writes(notebook) + "\n")
    return paths
