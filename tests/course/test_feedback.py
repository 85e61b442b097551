"""Pages to give back: whole, escaped, without outside references, and without anybody else's data."""

import re
import stat

import pytest

from tests.browser.fixtures import missing
from tests.course.sample_class import LEARNERS, change_answers
from tests.course.sample_workbook import EXERCISE, KEY, answers_notebook
from thermo_kit.course import feedback
from thermo_kit.course.feedback import find_browser, number_line, print_pages, right_for, write_feedback
from thermo_kit.course.keys import ChoiceKey, NumberKey, OrderKey, ReasonKey
from thermo_kit.errors import FileRefusedError


@pytest.fixture
def pages(room, workbook):
    room.hand_in("A01", a=room.multiplied("A01"), d="<script>alert(1)</script> no water")
    room.hand_in("A02", a=room.multiplied("A02"), b="twice the flow", d="")
    room.hand_in("A03")
    room.review("Boss").override("A01", "d", 0.5, "Say where the water goes.")
    written, unmarked, problems = write_feedback(room.folder, workbook=workbook, exercise="1")
    assert (unmarked, problems) == (["A04"], [])
    return written


def test_a_learner_gets_own_answer_right_value_mistake_help_and_decision(pages, room):
    assert [path.name for path in pages] == ["_class.html", "_all_to_print.html", "A01.html", "A02.html", "A03.html"]
    assert all(stat.S_IMODE(path.stat().st_mode) == 0o600 for path in pages)
    text = pages[2].read_text(encoding="utf-8")
    numbers = room.cases().case(EXERCISE, "A01").numbers
    minutes = numbers["volume"] / numbers["flow"]
    for told in (
        "2.5 of 5 points", room.multiplied("A01"), f"Right for your numbers: {minutes:.4g} min", "<strong>multiplied",
        "You multiplied. Divide volume by flow.", "Say where the water goes.", "&lt;script&gt;alert(1)",
        f"take {minutes:.1f} min.", "volume of the tank", "work through lesson 01 once more",
    ):  # fmt: skip
        assert told in text, told
    assert "Boss" not in text and "Provisional" not in text
    assert "Provisional" in pages[4].read_text(encoding="utf-8")


def test_no_page_holds_another_learner_or_points_outside(pages):
    for path in pages:
        text = path.read_text(encoding="utf-8")
        assert "<script>alert" not in text and not re.search(r"(?:src|href)=|https?:|url\(", text)
        own = {"_class": set(LEARNERS), "_all_to_print": {"A01", "A02", "A03"}}.get(path.stem, {path.stem})
        assert {learner for learner in LEARNERS if learner in text} == own


def test_the_class_page_counts_a_learner_once_and_says_who_needs_what(pages):
    text = " ".join(re.sub(r"<[^>]*>", " ", pages[0].read_text(encoding="utf-8")).split())
    assert "a. How long does the pump need to fill the tank? 33 %" in text
    assert "2 multiplied 01_water_tank a A01, A02" in text and "A02 01 multiplied; flow upside down" in text
    assert "A04 01 no sheet yet" in text and "A03 01: settle" in text


def test_a_mistake_of_two_questions_counts_once(room, make_workbook):
    book = make_workbook(answers=answers_notebook(key=KEY.replace('"flow upside down"', '"multiplied"')))
    room.hand_in("A01", a=room.multiplied("A01"), b="twice the flow")
    (path, *_), _, _ = write_feedback(room.folder, workbook=book)
    assert path.parent.name == "all_exercises"
    assert re.search(r"<td>1</td><td>multiplied</td><td>01_water_tank a; 01_water_tank b</td>", path.read_text())


PRESSURE = NumberKey("a", value=2.0, unit="bar(g)", tolerance=0.1, why="w", altitude=400)


@pytest.mark.parametrize(
    ("part", "given", "told"),
    [
        (PRESSURE, "31 psi", "29.01 psi (2 bar(g))"),
        (PRESSURE, "2,2", "2"),
        (PRESSURE, "3 bananas", "2 bar(g)"),
        (PRESSURE, "", "2 bar(g)"),
        (NumberKey("a", value=10.5, unit="K", tolerance=1, why="w"), "9,5 °F", "18,9 °F (10,5 K)"),
        (ChoiceKey("b", right="x", why="w"), "y", "x"),
        (OrderKey("c", right=["x", "y"], why="w"), "y > x", "x > y"),
        (ReasonKey("d", ideas=[["x"]], example="So it is."), "y", "So it is."),
        (None, "y", ""),
    ],
)  # fmt: skip
def test_the_right_answer_comes_in_the_learners_own_form(part, given, told):
    assert right_for(part, given).startswith(told)


def test_the_number_line_holds_all_it_shows():
    own, low, high = number_line(PRESSURE, "31 psi")
    assert 0 <= low < high < own <= 1
    assert number_line(PRESSURE, "no number") is None is number_line(None, "2")


def test_a_page_that_cannot_be_made_hurts_nobody_else(room, workbook, run):
    room.hand_in("A01", "A02")
    assert "2 pages for learners" in run("feedback", room.folder, "--no-pdf")
    folder = room.instructor / "feedback" / "all_exercises"
    (folder / "A01.pdf").write_text("of the page before")
    volume, flow = (room.cases().case(EXERCISE, "A02").numbers[name] for name in ("volume", "flow"))
    change_answers(workbook, "if flow == 1.0:", f"if volume == {volume} and flow == {flow}:")
    out = run("feedback", room.folder, "--no-pdf", code=1)
    assert "1 pages for learners" in out and "A02, 01_water_tank has no page" in out
    assert sorted(path.name for path in folder.iterdir()) == ["A01.html", "_all_to_print.html", "_class.html"]


def test_without_a_browser_it_says_so_and_a_failing_one_is_named(pages, room, run, monkeypatch, tmp_path):
    monkeypatch.setattr(feedback, "BROWSERS", ())
    assert "No PDF files: Chromium is not on this computer" in run("feedback", room.folder)
    with pytest.raises(FileRefusedError, match="was not printed by"):
        print_pages(pages[:1], tmp_path / "nothing")


@pytest.mark.browser
def test_pages_are_printed(pages):
    from pypdf import PdfReader

    if not find_browser():
        missing("Chromium is not on the path")
    (printed,) = print_pages(pages[2:3], find_browser())
    assert "Feedback for A01" in PdfReader(printed).pages[0].extract_text()
