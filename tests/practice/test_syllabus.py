"""Every skill that the law asks for has its lessons and its questions."""

from dataclasses import replace

import pytest

from thermo_kit.course.workbook import find_workbook
from thermo_kit.practice.bank import load
from thermo_kit.practice.syllabus import KINDS, PREPARES, load_syllabus, syllabus_table

LESSONS = {path.stem[:2] for path in find_workbook().lessons.glob("[0-9]*.ipynb")}


FEWEST_QUESTIONS = 8


def gaps(rows, items):
    """Say which row no lesson that is there covers, or fewer than eight questions of its topics."""
    found = [f"{row.id}: no lesson" for row in rows if not set(row.lessons) & LESSONS]
    asked = {row.id: sum(item.topic in row.topics for item in items) for row in rows}
    return found + [f"{name}: {count} questions" for name, count in asked.items() if count < FEWEST_QUESTIONS]


def test_every_row_has_a_lesson_and_eight_questions():
    items = load().values()
    syllabus = load_syllabus()
    assert len(syllabus.rows) == 91
    assert gaps(syllabus.rows, items) == []
    assert {item.topic for item in items} == set(syllabus.topics)


def test_a_gap_would_be_told(make_bank):
    syllabus, items = load_syllabus(), make_bank(30).values()
    row = next(row for row in syllabus.rows if row.topics == ["leaks"])
    assert gaps([row], items) == []
    lonely = [replace(row, lessons=["77"]), replace(row, topics=["coolant"])]
    assert gaps(lonely, items) == [f"{row.id}: no lesson", f"{row.id}: 0 questions"]


def test_rows_are_whole():
    syllabus = load_syllabus()
    rows = syllabus.rows
    assert len({row.id for row in rows}) == len(rows)
    for row in rows:
        assert row.text and row.source and row.seen and row.region in ("EU", "US"), row.id
        assert row.kind in KINDS, row.id
        assert row.topics and set(row.topics) <= set(syllabus.topics), row.id
        assert set(row.attestations) <= {"M1", "M2", "M3", "M4"}, row.id
    for topic in syllabus.topics.values():
        assert topic.title and set(topic.lessons) & LESSONS


@pytest.mark.parametrize("said", [PREPARES, "40 CFR 82.40(a)(2)(iv)", "by hand", "from memory", "Law of the EU"])
def test_the_table_says_what_a_learner_must_know(said):
    assert said in repr(syllabus_table()) and said in syllabus_table()._repr_html_()
