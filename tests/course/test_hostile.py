"""A small share of the hostile hand-ins and kills; the whole of it is a command of its own, see hostile.py."""

import os
import zipfile

import pytest

from tests.course import hostile
from tests.course.sample_workbook import EXERCISE
from thermo_kit.course import archives
from thermo_kit.course.backup import back_up
from thermo_kit.course.term import read_term


def test_fuzzed_sheets_are_refused_or_rightly_marked(tmp_path):
    assert hostile.fuzz_sheets(tmp_path, 40).total() == 40


def test_archives_that_mean_harm_are_refused_and_named(tmp_path):
    assert hostile.lay_archives(tmp_path, len(hostile.ARCHIVES))["refused or named"] >= 19


@pytest.mark.skipif(os.name == "nt", reason="that system has no such signal")
def test_programs_ended_at_any_moment_leave_everything_whole(tmp_path):
    assert hostile.kill(tmp_path, 2, learners=5).total() == 2


def test_folders_in_folders_without_end_stop_nobody_else(room):
    room.hand_in("A02")
    deep = [str(room.for_learners / "A01") + "/a" * depth for depth in range(1, 1_001)]
    for path in deep:
        os.mkdir(path)
    try:
        assert [m.learner for m in room.mark().marked] == ["A02"]
        assert back_up(room.folder).marks == 1
    finally:
        # What clears the tests' folders away would not get so deep.
        for path in reversed(deep):
            os.rmdir(path)


def test_a_packed_folder_counts_with_the_time_of_its_archive(room, monkeypatch):
    sheet = room.hand_in("A01")
    with zipfile.ZipFile(room.folder / "all.zip", "w") as file:
        for path in (sheet, room.notebook("A01", EXERCISE)):
            file.write(path, f"work/{path.name}")
        file.write(room.notebook("A01", EXERCISE), f"work/.ipynb_checkpoints/{EXERCISE}-checkpoint.ipynb")
        file.writestr(f"__MACOSX/sheets/._{sheet.name}", "x")
    os.utime(room.folder / "all.zip", (1_000_000_000,) * 2)
    sheet.unlink()
    marking = room.mark()
    assert [m.learner for m in marking.marked] == ["A01"] and marking.not_recognised == ()
    (attempt,) = read_term(room.folder).entries["A01", EXERCISE].attempts
    assert attempt.handed_in_at.timestamp() == 1_000_000_000
    monkeypatch.setattr(archives, "ARCHIVE_LIMIT", 10)
    (found,) = room.mark().not_recognised
    assert "all.zip is larger than" in found.reason
