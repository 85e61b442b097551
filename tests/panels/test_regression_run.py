"""A panel in a notebook: the strict regression run compares its text equivalent and nothing that changes by itself."""

import subprocess
import sys
from pathlib import Path

import nbformat
from nbclient import NotebookClient
from nbformat.v4 import new_code_cell, new_notebook

PROJECT = Path(__file__).resolve().parents[2]
CODE = "from thermo_kit.panels import SaturationPanel\nSaturationPanel()"


def test_a_stored_panel_passes_and_an_altered_number_fails(tmp_path, monkeypatch):
    monkeypatch.setenv("PYTHONPATH", str(PROJECT))
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    notebook = new_notebook(cells=[new_code_cell(CODE)], metadata=kernel)
    NotebookClient(notebook, timeout=120, store_widget_state=False).execute()
    data = notebook.cells[0].outputs[0]["data"]
    assert set(data) == {"text/plain", "application/vnd.jupyter.widget-view+json"}
    nbformat.write(notebook, tmp_path / "good.ipynb")
    assert "5.64 bar(g)" in data["text/plain"]
    data["text/plain"] = data["text/plain"].replace("5.64 bar(g)", "5.65 bar(g)")
    nbformat.write(notebook, tmp_path / "altered.ipynb")
    plain_run = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "no:xdist"]
    command = [*plain_run, "--nbval", "--nbval-current-env", str(tmp_path)]
    run = subprocess.run(command, capture_output=True, text=True, cwd=tmp_path, timeout=300)
    assert "1 failed, 1 passed" in run.stdout, run.stdout[-2000:] + run.stderr[-2000:]
    assert "altered.ipynb" in run.stdout.split("short test summary")[1]
