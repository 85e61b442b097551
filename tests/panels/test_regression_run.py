"""A panel in a notebook: the strict regression run compares its text equivalent and nothing that changes by itself."""

import subprocess
import sys
from pathlib import Path

import nbformat
from nbformat.v4 import new_code_cell, new_notebook, new_output

from thermo_kit.panels import SaturationPanel
from thermo_kit.panels.view import View

PROJECT = Path(__file__).resolve().parents[2]
CODE = "from thermo_kit.panels import SaturationPanel\nSaturationPanel()"


def shown(text, number):
    output = new_output("execute_result", data={"text/plain": text}, execution_count=number)
    return new_code_cell(CODE, execution_count=number, outputs=[output])


def test_a_stored_panel_passes_and_an_altered_number_fails(tmp_path, monkeypatch):
    monkeypatch.setenv("PYTHONPATH", str(PROJECT))
    monkeypatch.setenv("THERMO_KIT_RECORDS", str(tmp_path / "records"))
    text = repr(SaturationPanel(view=View()))
    assert "5.64 bar(g)" in text
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    cells = [shown(text, 1), shown(text.replace("5.64 bar(g)", "5.65 bar(g)"), 2)]
    nbformat.write(new_notebook(cells=cells, metadata=kernel), tmp_path / "panels.ipynb")
    plain_run = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "no:xdist"]
    command = [*plain_run, "--nbval", "--nbval-current-env", str(tmp_path)]
    run = subprocess.run(command, capture_output=True, text=True, cwd=tmp_path, timeout=300)
    assert "1 failed, 1 passed" in run.stdout, run.stdout[-2000:] + run.stderr[-2000:]
    assert "::Cell 1" in run.stdout.split("short test summary")[1]
