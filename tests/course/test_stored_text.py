"""What exercises and answers have stored is what a fresh run tells; they run in this process, as marking runs answers.

Lessons are compared by the strict regression run, each in a kernel of its own.
"""

import copy
import re
from pathlib import Path

import pytest
from IPython.core.interactiveshell import InteractiveShell
from IPython.utils.capture import capture_output

from thermo_kit.course.cases import read_notebook
from thermo_kit.panels.view import the_view

ROOT = Path(__file__).resolve().parents[2]
OUT = re.compile(r"^Out\[\d+\]: \n?", re.MULTILINE)
NOTEBOOKS = [path for folder in ("exercises", "answers") for path in sorted((ROOT / folder).glob("*.ipynb"))]


@pytest.fixture
def shell(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    yield InteractiveShell.instance()
    InteractiveShell.clear_instance()
    the_view().reset()


def stored_text(cell):
    return "".join(output.get("text", "") or output.get("data", {}).get("text/plain", "") for output in cell.outputs)


def told(shell, cell):
    with capture_output() as caught:
        done = shell.run_cell(cell.source)
    done.raise_error()
    shown = "".join(output.data.get("text/plain", "") for output in caught.outputs)
    return OUT.sub("", caught.stdout) + caught.stderr + shown


def differing(notebook, shell):
    """Return (stored, told) of each code cell in which they differ."""
    cells = [cell for cell in notebook.cells if cell.cell_type == "code"]
    pairs = [(stored_text(cell).rstrip(), told(shell, cell).rstrip()) for cell in cells]
    return [pair for pair in pairs if pair[0] != pair[1]]


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_a_fresh_run_tells_what_is_stored(path, shell):
    assert differing(read_notebook(path), shell) == []


def test_an_altered_number_would_be_seen(shell):
    notebook = copy.deepcopy(read_notebook(ROOT / "answers" / "02_ph_diagram.ipynb"))
    output = next(one for cell in notebook.cells for one in cell.get("outputs", ()) if "data" in one)
    output.data["text/plain"] = output.data["text/plain"].replace("1", "7")
    assert len(differing(notebook, shell)) == 1
