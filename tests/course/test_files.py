import os

import pytest

from thermo_kit.course.files import read_limited, set_aside, write_atomically
from thermo_kit.errors import FileAccessError


def test_a_failed_write_leaves_the_old_file_and_nothing_else(tmp_path, refuse):
    path = tmp_path / "a.json"
    write_atomically(path, "old")
    refuse("replace")
    with pytest.raises(FileAccessError, match=r"Permission denied.*disk is not full"):
        write_atomically(path, "new")
    assert path.read_text() == "old"
    assert os.listdir(tmp_path) == ["a.json"]


def test_reading_has_a_limit(tmp_path):
    path = tmp_path / "a"
    path.write_bytes(b"x" * 2001)
    assert len(read_limited(path, 2001)) == 2001
    with pytest.raises(FileAccessError, match="larger than 2 kB"):
        read_limited(path, 2000)


def test_setting_aside_never_overwrites(tmp_path):
    path = tmp_path / "a.json"
    for content in ("one", "two"):
        path.write_text(content)
        set_aside(path, "damaged")
    assert (tmp_path / "a.json.damaged-1").read_text() == "one"
    assert (tmp_path / "a.json.damaged-2").read_text() == "two"
