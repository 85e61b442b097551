"""Every notebook is clean, executed, paired and readable; the counts may not fall unnoticed."""

import pytest
from nbformat import v4

from tests.house import notebooks
from tests.house.notebooks import FOLDERS, notebook_paths, read

# Fewest notebooks and compared cells; raise when notebooks are added.
FEWEST_NOTEBOOKS = {"lessons": 17, "exercises": 16, "answers": 16}
FEWEST_CHECKED_CELLS = 467

EVERY = [path for folder in FOLDERS for path in notebook_paths(folder)]


@pytest.mark.parametrize("path", EVERY, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_a_notebook_keeps_the_rules(path, record_property):
    notebook = read(path)
    rules = [notebooks.unclean, notebooks.unexecuted, notebooks.hard_to_read]
    rules += [notebooks.defining] if path.parent.name != "answers" else []
    assert [told for rule in rules for told in rule(notebook)] == []
    record_property("checked_cells", notebooks.checked_cells(notebook))


def test_exercises_have_answers_lessons_and_the_same_parameters():
    every = {folder: {path.stem: read(path) for path in notebook_paths(folder)} for folder in FOLDERS}
    assert notebooks.unpaired(every["exercises"], every["answers"], every["lessons"]) == []


def test_no_notebook_and_no_checked_cell_went_missing():
    for folder, fewest in FEWEST_NOTEBOOKS.items():
        assert len(notebook_paths(folder)) >= fewest, f"{folder}: fewer than {fewest} notebooks"
    assert sum(notebooks.checked_cells(read(path)) for path in EVERY) >= FEWEST_CHECKED_CELLS


KEPT = {"deletable": False, "editable": False}


def sample():
    """A notebook that keeps every rule."""
    metadata = {**KEPT, "jupyter": {"source_hidden": True}, "tags": ["parameters"]}
    ran = {"execution_count": 1, "outputs": [v4.new_output("stream", text="2.0 bar\n")]}
    prose = v4.new_markdown_cell("Liquid lies at the bottom. It is heavy.", id="a", metadata={**KEPT})
    code = v4.new_code_cell('gauge = 2.0  # bar\nticket = ""', id="b", metadata=metadata, **ran)
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python"}, "language_info": {"name": "python"}}
    return v4.new_notebook(cells=[prose, code], metadata=kernel)


def broken(change):
    notebook = sample()
    change(notebook)
    return notebook


def code(notebook):
    return notebook["cells"][1]


def add_output(notebook, **output):
    code(notebook)["outputs"].append({"output_type": "display_data", **output})


LONG = (
    "Notwithstanding considerable thermodynamic irreversibilities, practitioners characterise volumetric efficiencies "
    "predominantly by statistical regression of experimentally determined characteristics. "
)
# rule, how a good notebook is broken, what the complaint says
TWINS = [
    ("unclean", lambda n: n["metadata"]["kernelspec"].update(name="env"), "kernel"),
    ("unclean", lambda n: n["metadata"].update(widgets={}), "widget state"),
    ("unclean", lambda n: n["metadata"]["language_info"].update(version="3.11.1"), "version"),
    ("unclean", lambda n: n["cells"][0].update(id="b"), "ids"),
    ("unclean", lambda n: code(n)["metadata"].pop("jupyter"), "not collapsed"),
    ("unclean", lambda n: n["cells"][0]["metadata"].pop("editable"), "slip of the hand"),
    ("unclean", lambda n: add_output(n, data={notebooks.WIDGET_VIEW: {"model_id": "1"}}), "one session"),
    ("unclean", lambda n: add_output(n, data={"image/png": "x" * 100_001}), "pictures"),
    ("unexecuted", lambda n: code(n).update(execution_count=None), "not executed"),
    ("unexecuted", lambda n: code(n).update(execution_count=3), "order"),
    ("unexecuted", lambda n: code(n)["outputs"].append({"output_type": "error"}), "error"),
    ("unexecuted", lambda n: code(n).update(outputs=[]), "no cell has an output"),
    ("defining", lambda n: code(n).update(source="def f():\n    pass"), "defines f"),
    ("defining", lambda n: code(n).update(source="if True:\n    class A:\n        pass"), "defines A"),
    ("hard_to_read", lambda n: n["cells"][0].update(source=LONG * 3), "reading grade"),
    ("hard_to_read", lambda n: code(n).update(source=f"ask({LONG * 3!r})"), "reading grade"),
    ("hard_to_read", lambda n: n["cells"][0].update(source="## Idea 1. Gas\nIt is " + "so " * 120), "words"),
]


@pytest.mark.parametrize("rule, change, complaint", TWINS)
def test_the_rule_can_fail(rule, change, complaint):
    check = getattr(notebooks, rule)
    assert check(sample()) == []
    assert any(complaint in text for text in check(broken(change)))


def test_pairs_can_fail():
    one, lesson = {"01_a": sample()}, {"00_start": sample(), "01_a": sample()}
    assert notebooks.unpaired(one, one, lesson) == []
    assert notebooks.unpaired(one, {}, lesson) == ["01_a: exercise without answer"]
    assert notebooks.unpaired({}, one, {}) == ["01_a: answer without exercise"]
    assert notebooks.unpaired(one, one, {}) == ["01_a: exercise without lesson of that name"]
    assert notebooks.unpaired({}, {}, lesson) == ["01_a: lesson without exercise"]
    other = {"01_a": broken(lambda n: code(n).update(source="pressure = 2.0"))}
    assert "parameters" in notebooks.unpaired(one, other, lesson)[0]
    untagged = {"01_a": broken(lambda n: code(n)["metadata"].pop("tags"))}
    assert "parameters" in notebooks.unpaired(untagged, untagged, lesson)[0]


def test_an_empty_folder_would_be_seen(monkeypatch, tmp_path):
    monkeypatch.setattr(notebooks, "ROOT", tmp_path)
    assert notebook_paths("lessons") == []
    with pytest.raises(AssertionError, match="lessons: fewer than"):
        test_no_notebook_and_no_checked_cell_went_missing()
