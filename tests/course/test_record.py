import random
import sqlite3
import subprocess
import sys
import time
from datetime import date, timedelta

import pytest

from tests.clock import START, Clock
from tests.course.sample_class import rows_of, work_in
from thermo_kit.course.keys import NumberKey
from thermo_kit.course.record import EXERCISE, EXIT_CHECK, Record, Score, keep_judged, wait_before_review
from thermo_kit.errors import CourseError, FileAccessError

DAMAGE = b"oops" * 999


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def record(tmp_path, clock):
    return Record(tmp_path, now=clock)


@pytest.mark.parametrize(
    ("history", "days"),
    [
        ([(0, 3)], 2),
        ([(0, 2)], 1),
        ([(0, 3), (2, 3)], 4),
        ([(0, 3), (2, 3), (6, 3)], 8),
        ([(0, 3), (0, 3)], 2),
        ([(0, 3), (2, 1), (3, 3)], 2),
        ([(day, 3) for day in range(12)], 64),
    ],
)
def test_the_rule_for_review(history, days):
    scores = [Score("01", right, 3, START.date() + timedelta(days=day)) for day, right in history]
    assert wait_before_review(scores) == days


def test_reviews_come_in_the_order_of_need(record, clock):
    record.keep_score(EXIT_CHECK, "01", 3, 3)
    record.keep_score(EXIT_CHECK, "02", 1, 3)
    clock.goes(days=1)
    assert [(r.lesson, r.days_left) for r in record.reviews()] == [("02", 0), ("01", 1)]


def test_answers_and_what_is_kept_come_back_as_they_were(record, clock, tmp_path):
    assert record.answers() == () and record.last_answer("a") is None and record.state("exam") is None
    assert not record.path.exists(), "reading makes no file"
    record.keep_answer("a", right=False, mode="practice", text="20 psi", mistake="gauge for absolute", topic="leaks")
    clock.goes(seconds=40)
    record.keep_answer("b", right=True, mode="lesson", text="ja")
    record.keep_state("exam", {"numbers": [1, 2.5, None], "name": "°"})
    again = Record(tmp_path, now=clock)
    first, second = again.answers()
    assert first[:7] == ("a", "leaks", False, "gauge for absolute", START, "practice", "20 psi")
    assert again.answers(after=first.number) == (second,) and again.last_answer("a") == first
    assert again.state("exam") == {"numbers": [1, 2.5, None], "name": "°"} and len(again.order_seed) == 16
    for words in ("UPDATE answers SET is_right = 1", "DELETE FROM answers"):
        with pytest.raises(sqlite3.IntegrityError, match="only added"):
            work_in(record.path, words)


def test_the_same_answer_on_one_day_counts_once_unless_other_numbers_make_it_right(record, clock):
    for value in (20.0, 20.0, 10.0, 10.0):
        key = NumberKey("q", value=value, unit="K", tolerance=0.1, why="so it is")
        keep_judged(record, "q", key.judge("10"), "10", "practice")
    assert [answer.right for answer in record.answers()] == [False, True]
    clock.goes(days=1)
    keep_judged(record, "q", key.judge("10"), "10", "practice")
    assert len(record.answers()) == 3


def test_a_prediction_keeps_what_came_first(record):
    record.keep_outcome("02.a", "nothing was predicted")
    record.keep_prediction("02.a", "3 bar", 3e5, "bar")
    record.keep_outcome("02.a", "4 bar", 4e5)
    record.keep_outcome("02.a", "5 bar", 5e5)
    record.keep_prediction("02.a", "2 bar", 2e5, "bar")
    first, second = record.predictions()
    assert (first.text, first.value, first.came, first.came_value) == ("3 bar", 3e5, "4 bar", 4e5)
    assert second == record.last_prediction("02.a") and second.came_at is None


def kept(path, *statements):
    Record(path.parent).keep_answer("a", right=True, mode="lesson", text="x" * 4_000)
    if statements:
        work_in(path, *statements)
    return path


WILD = "INSERT INTO answers VALUES (NULL, 'a', '', 1, '', 'yesterday', 'lesson', '')"


@pytest.mark.parametrize(
    "spoil",
    [
        lambda path: path.write_bytes(DAMAGE),
        lambda path: work_in(path, "CREATE TABLE answers (x)", "PRAGMA user_version = 3"),
        lambda path: path.write_bytes(kept(path).read_bytes()[:9_000]),
        lambda path: kept(path, WILD),
    ],
)
def test_a_damaged_record_is_set_aside(record, spoil):
    spoil(record.path)
    spoilt = record.path.read_bytes()
    assert record.answers() == ()
    record.keep_answer("01.a", right=True, mode="lesson")
    assert record.path.with_name("record.sqlite.damaged-1").read_bytes() == spoilt
    again = Record(record.path.parent)
    told = "On 2024-05-01 your record was damaged. It is kept as record.sqlite.damaged-1; a new one began."
    assert record.told() == again.told() == (told,), "whichever part of the workbook met it first"
    assert [a.question for a in again.answers()] == ["01.a"]


def test_a_record_of_a_later_version_is_left_alone(record):
    before = kept(record.path, "PRAGMA user_version = 4").read_bytes()
    with pytest.raises(CourseError, match="is of version 4: update the workbook"):
        record.answers()
    assert record.path.read_bytes() == before


def test_a_folder_that_cannot_be_and_damage_that_cannot_be_set_aside_are_told(tmp_path, record):
    (tmp_path / "file").write_text("")
    with pytest.raises(FileAccessError, match=r"file|folder"):
        Record(tmp_path / "file" / "below").keep_answer("a", right=True, mode="lesson")
    assert Record(tmp_path / "file" / "below").order_seed == ""
    record.path.write_bytes(DAMAGE)
    record.path.with_name("record.sqlite.lock").mkdir()
    with pytest.raises(FileAccessError, match=r"your record .* cannot be used .*close other programs"):
        record.answers()
    assert record.path.read_bytes() == DAMAGE


WRITER = """
import sys
from thermo_kit.course.record import Record
record = Record(sys.argv[1])
for number in range(int(sys.argv[3])):
    record.keep_answer(f"{sys.argv[2]}.{number}", right=True, mode="practice", text="x" * 3000)
    print(number, flush=True)
"""


def writer(folder, name, count):
    words = [sys.executable, "-c", WRITER, str(folder), name, str(count)]
    return subprocess.Popen(words, stdout=subprocess.PIPE, text=True)


@pytest.mark.parametrize("before", ["nothing", "record.sqlite", "progress.json"])
def test_several_notebooks_at_once_lose_nothing(tmp_path, before):
    if before != "nothing":
        (tmp_path / before).write_bytes(DAMAGE if before == "record.sqlite" else VERSION_1.encode())
    several = [writer(tmp_path, name, 10) for name in "abcd"]
    assert [len(one.communicate()[0].split()) for one in several] == [10, 10, 10, 10]
    record = Record(tmp_path)
    kept = [answer.question for answer in record.answers()]
    assert sorted(kept) == sorted(f"{name}.{number}" for name in "abcd" for number in range(10))
    assert len(record.scores(EXIT_CHECK)) == (before == "progress.json")
    assert len(record.told()) == (before == "record.sqlite")


def test_killed_at_any_moment_nothing_is_lost(tmp_path):
    luck, told = random.Random(15), []
    for run in range(4):
        one = writer(tmp_path, str(run), 10_000)
        told.append(f"{run}.{int(one.stdout.readline())}")
        time.sleep(luck.uniform(0.0, 0.15))
        one.kill()
        told += [f"{run}.{number}" for number in one.communicate()[0].split()]
    record = Record(tmp_path)
    kept = [a.question for a in record.answers()]
    # At most the one entry that was whole but not yet told of comes on top, in each run.
    assert set(told) <= set(kept) and len(kept) <= len(told) + 4 and record.told() == ()


def test_a_clock_set_back_is_told_and_nobody_waits_for_it(record, clock):
    record.keep_score(EXIT_CHECK, "01", 3, 3)
    clock.goes(days=-400)
    assert [(r.days_left, r.due_on) for r in record.reviews()] == [(0, clock().date())]
    (told,) = record.told()
    assert told.startswith("The clock shows 2023-03-28 20:00, but your record has an entry of 2024-05-01 20:00.")
    clock.goes(days=399, hours=23, minutes=58)
    assert record.told() == ()


def test_days_are_those_of_the_learners_own_place(tmp_path, monkeypatch):
    # These two places never share a day.
    for zone in ("Etc/GMT+12", "Etc/GMT-14"):
        monkeypatch.setenv("TZ", zone)
        time.tzset()
        Record(tmp_path).keep_score(EXIT_CHECK, "01", 3, 3)
    monkeypatch.delenv("TZ")
    time.tzset()
    west, east = Record(tmp_path).scores(EXIT_CHECK)
    assert east.on > west.on


def test_minutes_are_those_between_entries_that_follow_soon(record, clock):
    for minutes in (0, 3, 4, 300, 5):
        clock.goes(minutes=minutes)
        record.keep_answer("02.a", right=True, mode="lesson")
        record.keep_answer("leaks_a", right=True, mode="practice")
    assert record.minutes() == pytest.approx({"02": 12})


def test_the_record_goes_out_as_a_table_and_away(record, tmp_path):
    record.keep_answer("a", right=False, mode="practice", text="=1+1", mistake="m")
    record.keep_prediction("02.a", "3 bar", 3e5, "bar")
    record.keep_outcome("02.a", "4 bar", 4e5)
    record.keep_score(EXERCISE, "02_x", 4, 5)
    file = tmp_path / "mine.csv"
    assert record.export(file) == 4
    rows = rows_of(file)
    assert [row["entry"] for row in rows] == ["practice", "prediction", "what came", "result of exercise"]
    assert rows[0]["text"] == "'=1+1" and rows[0]["at"].startswith("2024-05-01T20")
    assert rows[2]["value_SI"] == "400000.0"
    record.path.with_name("record.sqlite.damaged-1").write_text("x")
    assert record.forget() == ("record.sqlite", "record.sqlite.damaged-1") and file.exists()
    assert record.answers() == () and record.forget() == ()


VERSION_1 = '{"record_version": 1, "exit_checks": {"01": [{"right": 3, "out_of": 3, "on": "2024-05-01"}]}}'
VERSION_2 = """{"record_version": 2, "order_seed": "0123456789abcdef",
"predictions": {"02.a": [{"text": "3 bar", "value": 3e5, "on": "2024-05-01"},
{"text": "up", "value": null, "on": "2024-05-02"}]},
"quick_questions": {"02.q": {"text": "No", "right": true, "on": "2024-05-02"}},
"exit_checks": {"02": [{"right": 2, "out_of": 3, "on": "2024-05-03"}]},
"practice": {"02_ph_diagram": [{"right": 7.5, "out_of": 8, "on": "2024-05-04"}]}}"""


def old_record(folder, content):
    folder.mkdir(exist_ok=True)
    (folder / "progress.json").write_text(content)
    return folder / "progress.json"


def test_a_record_of_version_2_is_taken_over_whole(tmp_path):
    old = old_record(tmp_path, VERSION_2)
    record = Record(tmp_path)
    assert record.order_seed == "0123456789abcdef"
    assert [(p.name, p.text, p.value, str(p.at.date())) for p in record.predictions()] == [
        ("02.a", "3 bar", 3e5, "2024-05-01"),
        ("02.a", "up", None, "2024-05-02"),
    ]
    (answer,) = record.answers()
    assert (answer.question, answer.right, answer.mode, answer.text) == ("02.q", True, "lesson", "No")
    assert record.scores(EXIT_CHECK) == (Score("02", 2, 3, date(2024, 5, 3)),)
    assert record.scores(EXERCISE) == (Score("02_ph_diagram", 7.5, 8, date(2024, 5, 4)),)
    assert not old.exists() and old.with_name("progress.json.taken_over-1").read_text() == VERSION_2
    assert record.told() == ()


def test_the_record_lies_in_the_learners_own_folder_and_takes_over_that_of_the_workbook_once(
    workbook, own_records, tmp_path, monkeypatch
):
    old = old_record(workbook.root / "sheets", VERSION_1)
    monkeypatch.chdir(workbook.lessons)
    assert Record().path == own_records / "record.sqlite"
    assert Record().scores(EXIT_CHECK) == () and old.exists(), "a named folder takes nothing from a workbook"
    monkeypatch.delenv("THERMO_KIT_RECORDS")
    monkeypatch.setattr("platformdirs.user_data_path", lambda *_, **__: tmp_path / "own")
    assert Record().path == tmp_path / "own" / "record.sqlite"
    assert [score.name for score in Record().scores(EXIT_CHECK)] == ["01"]
    assert not old.exists() and old.with_name("progress.json.taken_over-1").read_text() == VERSION_1
    old.write_text(VERSION_1.replace("01", "02"))
    assert [score.name for score in Record().scores(EXIT_CHECK)] == ["01"] and old.exists()


SOON, WORDS = VERSION_1.replace("2024-05-01", "soon"), VERSION_1.replace("3", '"x"')


@pytest.mark.parametrize("content", ["{", "[]", '{"record_version": 9}', "[" * 100_000, SOON, WORDS])
def test_a_damaged_older_record_is_set_aside(tmp_path, content):
    old = old_record(tmp_path, content)
    record = Record(tmp_path)
    assert record.scores(EXIT_CHECK) == () and record.path.exists()
    assert old.with_name("progress.json.damaged-1").read_text() == content
    assert "It is kept as progress.json.damaged-1; a new one began." in Record(tmp_path).told()[0]
