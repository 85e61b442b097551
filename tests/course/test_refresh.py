"""The refresh command and the strict regression run, on the tiny workbook, with real kernels."""

import importlib.util
import os
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest
from nbformat.v4 import new_code_cell, new_notebook

ROOT = Path(__file__).resolve().parents[2]
SCRIPT = ROOT / ".ci" / "refresh_notebooks.py"
LESSON = (
    'from thermo_kit.course.predict import predict, reveal\n\npredict("01.a", "How long?", unit="min")',
    'reveal(\n    "01.a", 20.0, unit="min", because="40 L at 2 L/min."\n)',
    'print("one")\nimport sys\nprint("two", file=sys.stdout)',
)


@pytest.fixture(scope="module")
def refresh():
    spec = importlib.util.spec_from_file_location("refresh_notebooks", SCRIPT)
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # its processes look for their work there
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def lesson(tmp_path):
    path = tmp_path / "01_water_tank.ipynb"
    nbformat.write(new_notebook(cells=[new_code_cell(source) for source in LESSON]), path)
    return path


def strict_run(path, tmp_path):
    (tmp_path / "pytest.ini").write_text("[pytest]\n")
    words = ["-m", "pytest", "--nbval", "-c", tmp_path / "pytest.ini", "-q", "-p", "no:cacheprovider", "-n", "0", path]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    command = [sys.executable, *map(str, words)]
    return subprocess.run(command, capture_output=True, text=True, timeout=240, env=environment)


def test_twice_changes_no_byte_and_the_strict_run_compares_it(refresh, lesson, tmp_path):
    assert refresh.main([str(lesson)]) == 0
    text = lesson.read_text()
    assert refresh.main(["--check", str(lesson)]) == 0
    assert lesson.read_text() == text
    nb = nbformat.reads(text, as_version=4)
    assert [cell.id for cell in nb.cells] == [f"01_water_tank-{i:03d}" for i in range(3)]
    assert all(cell.metadata == {**refresh.KEPT, "jupyter": {"source_hidden": True}} for cell in nb.cells)
    assert set(nb.metadata) == {"kernelspec", "language_info", "thermo_kit"}
    assert nb.metadata.kernelspec.name == "python3"
    assert [list(cell.outputs[0].get("data", {})) for cell in nb.cells] == [["text/plain"], ["text/plain"], []]
    lesson.write_text(text.replace("How long? [a number", "How long? [a lumber"))
    changed = strict_run(lesson, tmp_path)
    assert changed.returncode == 1 and "1 failed, 2 passed" in changed.stdout
    assert refresh.main(["--check", str(lesson)]) == 1


@pytest.mark.parametrize(
    ("source", "told"),
    [
        ("1 / 0", "ZeroDivisionError"),
        (f"print({str(ROOT / 'x')!r})", "names a path of this machine"),
        ('reveal("01.a", 20, because="x")', "stays in sight"),
    ],
)
def test_what_cannot_be_stored_is_refused_and_the_file_left_alone(refresh, tmp_path, source, told):
    path = tmp_path / "01_bad.ipynb"
    nbformat.write(new_notebook(cells=[new_code_cell(source)]), path)
    before = path.read_bytes()
    text, problem = refresh.refreshed(path)
    assert text == "" and told in problem
    assert path.read_bytes() == before


def test_tidying_drops_what_changes_from_run_to_run(refresh):
    nb = new_notebook(
        cells=[
            new_code_cell("x", metadata={"tags": ["parameters"], "execution": {"iopub.execute_input": "now"}}),
            new_code_cell("y", metadata={"tags": ["keep_picture"], "trusted": True}),
        ],
        metadata={"widgets": {"state": 1}, "language_info": {"name": "python", "version": "3.11.1"}},
    )
    for cell in nb.cells:
        data = {"text/plain": "x", "image/png": "AAAA", refresh.WIDGET_VIEW: {"model_id": "1"}}
        cell.outputs = [nbformat.v4.new_output("display_data", data)]
    refresh.normalise(nb, "lessons")
    assert nb.metadata == {**refresh.METADATA, "thermo_kit": {"page": "lessons"}}
    assert nb.cells[0].metadata == {**refresh.KEPT, "tags": ["parameters"], "jupyter": {"source_hidden": True}}
    assert [sorted(cell.outputs[0].data) for cell in nb.cells] == [["text/plain"], ["image/png", "text/plain"]]
