from datetime import date, timedelta

import pytest

from thermo_kit.course.record import Progress, Score, records_folder, wait_before_review

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


def test_the_record_lies_in_the_workbook_unless_named(workbook, own_records, monkeypatch):
    assert records_folder() == own_records
    monkeypatch.delenv("THERMO_KIT_RECORDS")
    monkeypatch.chdir(workbook.lessons)
    assert records_folder() == workbook.root / "sheets"
