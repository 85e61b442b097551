"""A class in one zip: whole, read back, and as good as the class when it is unpacked."""

import os
import zipfile

import pytest

from tests.course.sample_class import SampleClass
from thermo_kit.course import backup
from thermo_kit.course.mark_book import MarkBook
from thermo_kit.errors import CourseError


def test_a_class_that_was_unpacked_goes_on(room, tmp_path, run, monkeypatch, refuse):
    room.hand_in("A01")
    room.mark()
    (room.for_learners / "A01" / "link").symlink_to(tmp_path)
    (room.for_learners / "A01" / os.fsdecode(b"\xfc.txt")).write_text("its name is of another system")
    refuse("scandir", lambda path: path.endswith("A02"))
    with MarkBook(room.mark_book_file) as book:
        # Another program is adding to the book meanwhile.
        book._file.execute("BEGIN")
        out = run("backup", room.folder, "--to", tmp_path / "safe", code=1)
    assert "with 1 marks; read back and found whole" in out and "A01/link: is a link" in out
    assert ".txt: cannot be read (" in out and "A02: cannot be listed (Permission denied)" in out
    monkeypatch.undo()
    (path,) = (tmp_path / "safe").iterdir()
    assert path.stat().st_mode & 0o777 == 0o600
    with zipfile.ZipFile(path) as packed:
        assert "unpack it into an empty folder" in packed.read("RESTORE.txt").decode()
        packed.extractall(tmp_path / "again")
    again = SampleClass(tmp_path / "again", room.workbook)
    assert again.secret() == room.secret() and again.cases() == room.cases()
    assert [(m.learner, m.is_new) for m in again.mark().marked] == [("A01", False)]


def test_a_backup_that_does_not_read_back_leaves_nothing(room, tmp_path, monkeypatch):
    real = backup._verify

    def on_a_bad_disk(file, names):
        file.seek(200)
        file.write(b"x" * 50)
        return real(file, names)

    monkeypatch.setattr(backup, "_verify", on_a_bad_disk)
    with pytest.raises(CourseError, match="does not read back as it was written"):
        backup.back_up(room.folder, tmp_path / "safe")
    assert list((tmp_path / "safe").iterdir()) == []


def test_a_backup_into_the_class_itself_is_refused(room):
    with pytest.raises(CourseError, match="lies in the class itself"):
        backup.back_up(room.folder, room.instructor)
