"""What a person decided is kept beside the marks, counts everywhere, and lapses when the answer changes."""

import sqlite3
from dataclasses import replace

import pytest

from tests.course.sample_class import hand_in, marks_kept
from tests.course.sample_workbook import EXERCISE
from thermo_kit.course.decisions import Decision, answer_digest
from thermo_kit.course.mark_book import MarkBook
from thermo_kit.course.marking import mark_class
from thermo_kit.errors import CourseError


def standing_of(room, workbook, learner="A01"):
    return next(s for s in mark_class(room.folder, workbook=workbook).standings if s.learner == learner)


def decide(room, standing, question, points, why=""):
    digest = answer_digest(standing.case, question, standing.answers[question])
    decision = Decision(standing.learner, EXERCISE, question, points, why, "I", standing.sheet_digest, digest)
    with MarkBook(room.mark_book_file) as book:
        book.decide([decision])


def verdict(standing, question):
    return next(v for v in standing.verdicts if v.question == question)


def test_the_last_decision_counts_and_its_history_stays(room, workbook):
    hand_in(room, workbook, "A01", b="twice the flow")
    before = standing_of(room, workbook)
    assert before.is_provisional and before.points == 4
    decide(room, before, "d", 1.0)
    decide(room, before, "d", 0.5, "No word on the flow.")
    decide(room, before, "b", 1.0, "The picture was unclear.")
    after = standing_of(room, workbook)
    assert (after.points, after.is_provisional) == (4.5, False)
    assert [d.points for d in verdict(after, "d").history] == [1, 0.5]
    assert (verdict(after, "d").verdict, verdict(after, "b").mistake) == ("partly right", "")
    assert verdict(after, "d").feedback == "A person read this and gave 0.5 of 1 points. No word on the flow."
    with MarkBook(room.mark_book_file) as book:
        assert book.newest("A01", EXERCISE).verdicts == before.verdicts and marks_kept(room) == 1
    decide(room, before, "d", None, "Read once more.")
    again = standing_of(room, workbook)
    assert again.is_provisional and verdict(again, "d").verdict == "read by hand"


def test_a_decision_lapses_when_its_own_answer_changes_and_only_then(room, workbook):
    hand_in(room, workbook, "A01")
    decide(room, standing_of(room, workbook), "d", 0.0)
    hand_in(room, workbook, "A01", a="1 min")
    assert verdict(standing_of(room, workbook), "d").points == 0
    path = hand_in(room, workbook, "A01", d="More litres, the flow stays.")
    lapsed = verdict(standing_of(room, workbook), "d")
    assert lapsed.has_lapsed and lapsed.is_open and lapsed.points == 1
    hand_in(room, workbook, "A01")
    decided = standing_of(room, workbook)
    assert not verdict(decided, "d").has_lapsed and decided.points == 4
    path.unlink()
    assert standing_of(room, workbook).points == 4
    assert answer_digest(replace(decided.case, drawn=()), "d", "") != answer_digest(decided.case, "d", "")


def test_decisions_are_only_added_and_all_of_a_list_or_none(room, workbook):
    hand_in(room, workbook, "A01")
    decide(room, standing_of(room, workbook), "d", 1.0)
    with sqlite3.connect(room.mark_book_file) as file:
        for words in ("UPDATE decisions SET points = 0", "DELETE FROM decisions"):
            with pytest.raises(sqlite3.IntegrityError, match="decisions are only added"):
                file.execute(words)
    good = Decision("A01", EXERCISE, "d", 0.0, "", "I", "", "")
    with MarkBook(room.mark_book_file) as book:
        with pytest.raises(CourseError, match="cannot be used"):
            book.decide([good, replace(good, why=None)])
        assert [d.points for d in book.decisions()["A01", EXERCISE, "d"]] == [1]


def test_a_full_disk_is_called_so_and_leaves_what_was_there(room):
    full = Decision("A01", EXERCISE, "d", 0.0, "x" * 100_000, "I", "", "")
    with MarkBook(room.mark_book_file) as book:
        (pages,) = book._file.execute("PRAGMA page_count").fetchone()
        book._file.execute(f"PRAGMA max_page_count = {pages}")
        with pytest.raises(CourseError, match="disk is full"):
            book.decide([full])
        assert book.decisions() == {}


VERSION_3 = "DROP INDEX decisions_by_learner; DROP TABLE confirmed; ALTER TABLE marks DROP COLUMN handed_in_at;"


@pytest.mark.parametrize(
    ("version", "words", "held"),
    [
        (2, f"{VERSION_3} DROP TABLE decisions;", []),
        (3, VERSION_3, [0.5]),
        (4, "DROP INDEX decisions_by_learner; ALTER TABLE confirmed DROP COLUMN verdicts;", [0.5]),
    ],
)
def test_an_older_mark_book_learns_of_decisions_and_keeps_those_it_holds(room, workbook, version, words, held):
    hand_in(room, workbook, "A01")
    decide(room, standing_of(room, workbook), "d", 0.5, "No word on the flow.")
    file = sqlite3.connect(room.mark_book_file)
    before = file.execute("SELECT * FROM decisions").fetchall()
    file.executescript(f"{words} PRAGMA user_version = {version};")
    file.close()
    standing = standing_of(room, workbook)
    assert standing.is_provisional == (not held) and standing.points == (4.5 if held else 5)
    decide(room, standing, "d", 1.0)
    after = standing_of(room, workbook)
    assert not after.is_provisional and [d.points for d in verdict(after, "d").history] == [*held, 1]
    with sqlite3.connect(room.mark_book_file) as file:
        assert file.execute("SELECT * FROM decisions").fetchall()[:-1] == before[: len(held)]
        assert file.execute("PRAGMA user_version").fetchone() == (5,)
    assert marks_kept(room) == 1
