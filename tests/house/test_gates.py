"""No page shows a number before its prediction: each lesson is run with nothing predicted and searched."""

import ast
import contextlib
import io
import re

import pytest

from tests.house.notebooks import notebook_paths, read, text_of
from thermo_kit.course import predict as gates

STILL_OPEN = {"01_pressure_and_temperature", "02_ph_diagram", "07_expansion_valves"}
LESSONS = [path for path in notebook_paths("lessons") if path.stem not in STILL_OPEN]
NUMBER = re.compile(r"(?<![\w.,])[−+-]?\d[\d,]*(?:\.\d+)?(?!\d|[.,]\d)")


def reveals_of(cells, folder, monkeypatch):
    """Run the code cells of a lesson; return each reveal of a number with the place of its cell."""
    made, space, init = [], {"__name__": "__main__"}, gates.Reveal.__init__

    def noted(self, *words, **more):
        init(self, *words, **more)
        if gates._is_number(self.actual):
            made.append((place, self))

    monkeypatch.setattr(gates.Reveal, "__init__", noted)
    monkeypatch.chdir(folder)
    code = [(place, text_of(cell)) for place, cell in enumerate(cells) if cell["cell_type"] == "code"]
    last = max((place for place, source in code if "reveal(" in source), default=-1)
    for place, source in code:
        if place <= last and not only_shows(source):
            with contextlib.redirect_stdout(io.StringIO()):
                exec(compile(source, f"cell {place}", "exec"), space)
    return made


def only_shows(source):
    """Tell whether a cell neither sets a name nor reveals: its panel takes time and changes nothing."""
    return "reveal(" not in source and all(isinstance(part, ast.Expr) for part in ast.parse(source).body)


def leaks(actual, unit, decimals, cells, own_place):
    """Return the cells that show the number, rounded as told or finer, with its unit or with three digits or more."""
    told = f"{abs(actual):.{decimals}f}"
    telling = len(re.sub(r"\D", "", told).lstrip("0")) >= 3
    found = []
    for place, cell in enumerate(cells):
        text = "" if place == own_place else visible(cell)
        for number in NUMBER.finditer(text):
            value = number[0].lstrip("−+-").replace(",", "")
            followed = bool(unit) and text[number.end() :].lstrip(" \u00a0").startswith(unit)
            fine_enough = len(value.partition(".")[2]) >= decimals
            if (followed or telling) and fine_enough and f"{float(value):.{decimals}f}" == told:
                found.append(place)
                break
    return found


def visible(cell):
    """Return all that a learner can see or hear of a cell: prose, or the outputs with every attribute."""
    if cell["cell_type"] == "markdown":
        return text_of(cell)
    shown = [output.get("data", {"text/": output.get("text", "")}) for output in cell.get("outputs", ())]
    return "\n".join("".join(text) for data in shown for kind, text in data.items() if kind.startswith("text/"))


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_nothing_visible_tells_a_gated_number(path, monkeypatch, tmp_path):
    monkeypatch.setenv("THERMO_KIT_RECORDS", str(tmp_path))
    cells = read(path)["cells"]
    found = [
        f"cell {place} gates {reveal.name} = {reveal.told}, shown in cell {leak}"
        for place, reveal in reveals_of(cells, path.parent, monkeypatch)
        for leak in leaks(reveal.actual, reveal.unit, reveal.decimals, cells, place)
    ]
    assert not found, "\n".join(found)


def test_every_reveal_of_a_number_is_found(monkeypatch, tmp_path):
    sources = (
        "from thermo_kit.course.predict import reveal",
        'reveal("00.a", 2.5, unit="K", because="b")',
        'reveal("00.b", "up", because="b")',
    )
    cells = [{"cell_type": "code", "source": [source]} for source in sources]
    monkeypatch.setenv("THERMO_KIT_RECORDS", str(tmp_path))
    assert [(place, made.told) for place, made in reveals_of(cells, tmp_path, monkeypatch)] == [(1, "2.50 K")]


def test_only_cells_that_show_are_skipped():
    assert only_shows("CyclePanel()") and only_shows('after(\n    "a", table("x", [], []),\n)')
    assert not any(map(only_shows, ("x = 2\nx", 'reveal("a", 2, because="b")', "import math")))


def test_a_leak_would_be_seen():
    text = {"cell_type": "markdown", "source": ["It takes 33.8 s."]}
    table = {"cell_type": "code", "source": [], "outputs": [{"data": {"text/html": ["<td title='33.80'>"]}}]}
    other = {"cell_type": "markdown", "source": ["It takes 133.8 s or 33.95 s, or 34 s, step 33.8.1."]}
    assert leaks(33.79, "s", 1, [text, table, other], 9) == [0, 1]
    assert leaks(33.79, "s", 1, [text, table, other], 0) == [1]
    assert leaks(33.79, "s", 0, [text], 9) == [0]
    assert leaks(4.0, "bar", 0, [{"cell_type": "markdown", "source": ["4 bar"]}, other], 9) == [0]
    assert leaks(4.0, "", 0, [{"cell_type": "markdown", "source": ["4 vans"]}], 9) == []
    assert leaks(-3.41, "K", 1, [{"cell_type": "markdown", "source": ["−3.4 K"]}], 9) == [0]
