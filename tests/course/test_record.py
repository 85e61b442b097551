import time
from datetime import date, timedelta

import pytest

from thermo_kit.course.record import Progress, Score, wait_before_review

START = date(2024, 5, 1)


def scores(*pairs):
    return [Score(right=right, out_of=3, on=START + timedelta(days=day)) for day, right in pairs]


@pytest.mark.parametrize(
    ("history", "days"),
    [
        (((0, 3),), 2),
        (((0, 2),), 1),
        (((0, 3), (2, 3)), 4),
        (((0, 3), (2, 3), (6, 3)), 8),
        (((0, 3), (0, 3)), 2),
        (((0, 3), (2, 1), (3, 3)), 2),
        (tuple((day, 3) for day in range(12)), 64),
    ],
)
def test_the_rule_for_review(history, days):
    assert wait_before_review(scores(*history)) == days


def test_reviews_come_in_the_order_of_need(tmp_path):
    day = [START]
    progress = Progress(tmp_path, today=lambda: day[0])
    progress.keep_exit_check("01", 3, 3)
    progress.keep_exit_check("02", 1, 3)
    day[0] += timedelta(days=1)
    assert [(r.lesson, r.days_left) for r in progress.reviews()] == [("02", 0), ("01", 1)]


def test_predictions_are_kept_in_order(tmp_path):
    progress = Progress(tmp_path)
    assert progress.last_prediction("02.a") is None
    progress.keep_prediction("02.a", "3 bar", 3e5)
    progress.keep_prediction("02.a", "4 bar", 4e5)
    assert Progress(tmp_path).last_prediction("02.a").value == 4e5


@pytest.mark.parametrize("content", [b"{", b"[]", b'{"record_version": 9}', b"\xff", b"[" * 100_000])
def test_a_damaged_record_is_set_aside(tmp_path, content):
    (tmp_path / "progress.json").write_bytes(content)
    progress = Progress(tmp_path)
    progress.keep_exit_check("01", 3, 3)
    assert (tmp_path / "progress.json.damaged-1").read_bytes() == content
    assert progress.notes == [
        "Your progress record was damaged. It is kept as progress.json.damaged-1; a new one begins."
    ]
    assert "01" in Progress(tmp_path).read().exit_checks


@pytest.fixture
def own_place(workbook, tmp_path, monkeypatch):
    """The learner's own folder where no variable names one."""
    monkeypatch.delenv("THERMO_KIT_RECORDS")
    monkeypatch.setattr("platformdirs.user_data_path", lambda *_, **__: tmp_path / "own")
    monkeypatch.chdir(workbook.lessons)
    return tmp_path / "own"


def test_the_record_lies_in_the_learners_own_folder(own_place, own_records, monkeypatch):
    assert Progress().path == own_place / "progress.json"
    monkeypatch.setenv("THERMO_KIT_RECORDS", str(own_records))
    assert Progress().path == own_records / "progress.json"


def old_record(workbook, content):
    path = workbook.root / "sheets" / "progress.json"
    path.parent.mkdir()
    path.write_text(content)
    return path


VERSION_1 = '{"record_version": 1, "exit_checks": {"01": [{"right": 3, "out_of": 3, "on": "2024-05-01"}]}}'


def test_the_record_of_the_workbook_is_taken_over_once(own_place, workbook):
    old = old_record(workbook, VERSION_1)
    assert Progress().read().exit_checks["01"][0].right == 3
    assert not old.exists() and old.with_name("progress.json.taken_over-1").read_text() == VERSION_1
    old.write_text(VERSION_1.replace("01", "02"))
    assert list(Progress().read().exit_checks) == ["01"] and old.exists()


def test_a_named_folder_takes_nothing_over(own_records, workbook, monkeypatch):
    monkeypatch.chdir(workbook.lessons)
    old = old_record(workbook, VERSION_1)
    assert Progress().read().exit_checks == {} and old.exists()


def test_a_damaged_record_of_the_workbook_is_set_aside(own_place, workbook):
    old = old_record(workbook, "{")
    assert Progress().read().exit_checks == {} and Progress().path.exists()
    assert old.with_name("progress.json.damaged-1").read_text() == "{"


def test_version_1_is_read_and_becomes_version_2(tmp_path):
    (tmp_path / "progress.json").write_text(VERSION_1)
    progress = Progress(tmp_path)
    assert progress.order_seed == ""
    progress.keep_quick_answer("01.q1", "No", True)
    kept = Progress(tmp_path).read()
    assert (kept.record_version, list(kept.exit_checks), kept.quick_questions["01.q1"].text) == (2, ["01"], "No")
    assert len(kept.order_seed) == 16
    progress.keep_exit_check("02", 3, 3)
    assert Progress(tmp_path).order_seed == kept.order_seed


def test_days_are_those_of_the_learners_own_place(tmp_path, monkeypatch):
    # These two places never share a day.
    for zone in ("Etc/GMT+12", "Etc/GMT-14"):
        monkeypatch.setenv("TZ", zone)
        time.tzset()
        Progress(tmp_path).keep_exit_check("01", 3, 3)
    monkeypatch.delenv("TZ")
    time.tzset()
    west, east = Progress(tmp_path).read().exit_checks["01"]
    assert east.on > west.on
