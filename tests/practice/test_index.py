"""What stands where is found, and what is printed is whole and needs nothing from outside."""

import re

import pytest

from thermo_kit import panels
from thermo_kit.course.workbook import find_workbook
from thermo_kit.practice import pictures
from thermo_kit.practice.index import PAGES, Printables, SearchBox, cards, entries, parts, search

ALL = entries()
LESSONS = sorted(find_workbook().lessons.glob("[0-9]*.ipynb"))


def test_every_lesson_but_the_first_has_its_card():
    assert [link for _title, link, _markdown in cards()] == [path.name for path in LESSONS[1:]]


def test_every_link_leads_somewhere_and_every_part_to_a_lesson():
    for entry in ALL:
        assert not entry.link or (find_workbook().lessons / entry.link).is_file(), entry.link
    assert len({part["name"] for part in parts()}) == len(parts()) >= 30
    for part in parts():
        assert part["lesson"] in {path.stem[:2] for path in LESSONS} and part["does"].endswith("."), part["name"]


@pytest.mark.parametrize(
    "words, title, place",
    [
        ("receiver-drier", "receiver-drier", "Lesson 05"),
        ("COP", "coefficient of performance", "Glossary"),
        ("flooded", "low side high, no superheat", "Card 07"),
    ],
)
def test_a_word_finds_headings_cards_quantities_and_parts(words, title, place):
    assert (title, place) in [(entry.title, entry.place) for entry in search(words, ALL)]


def test_what_has_the_word_in_its_title_comes_first():
    found = search("Freeze", ALL)
    is_title = ["freeze" in entry.title.casefold() for entry in found]
    assert is_title == sorted(is_title, reverse=True) and any(is_title) and not all(is_title)
    assert search("", ALL) == [] and search("zzzz", ALL) == []


def test_the_search_box_escapes_and_counts():
    box = SearchBox()
    box.words.value = "<b>"
    assert box.found.value.count("<b>") == 0 and "0 found" in box.found.value
    box.words.value = "pressure"
    assert "15 are shown" in box.found.value and box.found.value.count("<li>") == 15
    box.words.value = ""
    assert box.found.value == ""


@pytest.mark.parametrize("name", [name for name in PAGES if name != "Words and parts"])
def test_a_page_is_whole(name):
    page = PAGES[name]().whole
    assert page.startswith("<!DOCTYPE html>") and page.rstrip().endswith("</html>") and f"<h1>{name}</h1>" in page
    assert not re.search(r"(src|href)=", page) and "<script" not in page


def test_words_and_parts_with_their_drawings(monkeypatch):
    # That each kind can be drawn is seen in test_pictures.
    monkeypatch.setattr(pictures, "draw", lambda name, _wanted: f"<svg>{name}</svg>")
    page = PAGES["Words and parts"]().whole
    shown = [part for part in parts() if "picture" in part]
    assert {part["picture"]["draw"] for part in shown} <= set(panels.__all__)
    assert page.count("<svg") == len(shown) >= 3 and all(part["picture"]["alt"] in page for part in shown)
    assert "superheat" in page and "desiccant bag" in page


def test_a_page_is_offered_as_a_link():
    panel = Printables()
    panel.choice.value = "Index of the workbook"
    panel.on_make(None)
    assert 'download="index_of_the_workbook.html"' in panel.link.value and panel.error_line.value == ""
