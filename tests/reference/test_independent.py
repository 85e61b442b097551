"""Results in the lessons' tables agree with a second computation from the cited source."""

import html
import json
import pathlib
import re

import pytest

from tests.reference.computations import independent

LESSONS = pathlib.Path(__file__).parents[2] / "lessons"


def _text(cell):
    return html.unescape(re.sub("<[^>]+>", "", cell)).strip()


def tables():
    """Return {(lesson, caption): (heads, rows)} of the tables stored in the lessons that are computed again."""
    found = {}
    for lesson in {lesson for lesson, _ in independent.RESULTS}:
        notebook = json.loads((LESSONS / f"{lesson}.ipynb").read_text())
        for output in (one for cell in notebook["cells"] for one in cell.get("outputs", ())):
            page = "".join(output.get("data", {}).get("text/html", ()))
            caption = re.search(r"<caption.*?>(.*?)</caption>", page, re.DOTALL)
            if caption:
                rows = [
                    [_text(cell) for cell in re.findall(r"<t[dh].*?>(.*?)</t[dh]>", row, re.DOTALL)]
                    for row in re.findall(r"<tr.*?</tr>", page, re.DOTALL)
                ]
                found[lesson, _text(caption[1])] = rows[0], rows[1:]
    return found


COMPUTED = independent.computed(tables())


@pytest.mark.parametrize("lesson, caption, row, column, cell, own", COMPUTED, ids=lambda one: str(one)[:30])
def test_a_result_agrees(lesson, caption, row, column, cell, own):
    value, half_digit = independent.printed(cell)
    assert own is not None, f"{lesson}, {row}, {column}: printed {cell}, own computation has none"
    allowed = 1.01 * half_digit + 2e-4 * abs(value)
    assert abs(own - value) <= allowed, f"{lesson}, {caption}: {row}, {column}: printed {cell}, own {own:.6g}"


def test_another_number_is_refused():
    assert len(COMPUTED) == 80
    for *_, cell, own in COMPUTED:
        value, half_digit = independent.printed(cell)
        assert abs(1.03 * own + 2.1 * half_digit - value) > half_digit
