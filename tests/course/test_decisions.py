"""What a person decided is kept beside the marks, counts everywhere, and lapses when the answer changes."""

import sqlite3
from dataclasses import replace

import pytest

from tests.course.sample_workbook import EXERCISE
from thermo_kit.course.decisions import Decision, answer_digest
from thermo_kit.course.mark_book import MarkBook
from thermo_kit.errors import CourseError


def decide(room, question, points, why=""):
    return room.review().override("A01", question, points, why)


def verdict(standing, question):
    return next(v for v in standing.verdicts if v.question == question)


def test_the_last_decision_counts_and_its_history_stays(room):
    room.hand_in("A01", b="twice the flow")
    before = room.standing()
    assert before.is_provisional and before.points == 4
    decide(room, "d", 1.0)
    decide(room, "d", 0.5, "No word on the flow.")
    after = decide(room, "b", 1.0, "The picture was unclear.")
    assert (after.points, after.is_provisional) == (4.5, False)
    assert [d.points for d in verdict(after, "d").history] == [1, 0.5]
    assert (verdict(after, "d").verdict, verdict(after, "b").mistake) == ("partly right", "")
    assert verdict(after, "d").feedback == "A person read this and gave 0.5 of 1 points. No word on the flow."
    with MarkBook(room.mark_book_file) as book:
        assert book.newest("A01", EXERCISE).verdicts == before.verdicts and room.marks_kept() == 1
    again = decide(room, "d", None, "Read once more.")
    assert again.is_provisional and verdict(again, "d").verdict == "read by hand"


def test_a_decision_lapses_when_its_own_answer_changes_and_only_then(room):
    room.hand_in("A01")
    decide(room, "d", 0.0)
    room.hand_in("A01", a="1 min")
    assert verdict(room.standing(), "d").points == 0
    path = room.hand_in("A01", d="More litres, the flow stays.")
    lapsed = verdict(room.standing(), "d")
    assert lapsed.has_lapsed and lapsed.is_open and lapsed.points == 1
    room.hand_in("A01")
    decided = room.standing()
    assert not verdict(decided, "d").has_lapsed and decided.points == 4
    path.unlink()
    assert room.standing().points == 4
    assert answer_digest(replace(decided.case, drawn=()), "d", "") != answer_digest(decided.case, "d", "")


FULL = Decision("A01", EXERCISE, "d", 0.0, "x" * 100_000, "I", "", "")


def test_decisions_are_only_added_and_all_of_a_list_or_none(room):
    room.hand_in("A01")
    decide(room, "d", 1.0)
    for words in ("UPDATE decisions SET points = 0", "DELETE FROM decisions"):
        with pytest.raises(sqlite3.IntegrityError, match="decisions are only added"):
            room.in_book(words)
    with MarkBook(room.mark_book_file) as book:
        with pytest.raises(CourseError, match="cannot be used"):
            book.decide([FULL, replace(FULL, why=None)])
        assert [d.points for d in book.decisions()["A01", EXERCISE, "d"]] == [1]


def test_a_full_disk_is_called_so_and_leaves_what_was_there(room):
    with MarkBook(room.mark_book_file) as book:
        (pages,) = book._file.execute("PRAGMA page_count").fetchone()
        book._file.execute(f"PRAGMA max_page_count = {pages}")
        with pytest.raises(CourseError, match="disk is full"):
            book.decide([FULL])
        assert book.decisions() == {}


VERSION_4 = ["DROP INDEX decisions_by_learner", "ALTER TABLE confirmed DROP COLUMN verdicts"]
VERSION_3 = [VERSION_4[0], "DROP TABLE confirmed", "ALTER TABLE marks DROP COLUMN handed_in_at"]
VERSION_2 = [*VERSION_3, "DROP TABLE decisions"]


@pytest.mark.parametrize(
    ("version", "words", "held"), [(2, VERSION_2, []), (3, VERSION_3, [0.5]), (4, VERSION_4, [0.5])]
)
def test_an_older_mark_book_learns_of_decisions_and_keeps_those_it_holds(room, version, words, held):
    room.hand_in("A01")
    decide(room, "d", 0.5, "No word on the flow.")
    before = room.in_book("SELECT * FROM decisions")
    room.in_book(*words, f"PRAGMA user_version = {version}")
    standing = room.standing()
    assert standing.is_provisional == (not held) and standing.points == (4.5 if held else 5)
    after = decide(room, "d", 1.0)
    assert not after.is_provisional and [d.points for d in verdict(after, "d").history] == [*held, 1]
    assert room.in_book("SELECT * FROM decisions")[:-1] == before[: len(held)]
    assert room.in_book("PRAGMA user_version") == [(5,)] and room.marks_kept() == 1
