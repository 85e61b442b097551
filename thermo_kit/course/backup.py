"""One zip that holds all of a class, read back before it gets its name."""

import contextlib
import sqlite3
import zipfile
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from thermo_kit.course.archives import BROKEN
from thermo_kit.course.classroom import Classroom
from thermo_kit.course.files import file_errors_in_plain_words, new_in_its_place, remove_leftovers, walk
from thermo_kit.course.mark_book import MarkBook
from thermo_kit.errors import CourseError

RESTORE = (
    "This archive holds a whole class; what is in `instructor` is for the instructor only. To restore it, unpack it "
    "into an empty folder that nobody else can read, and mark again: thermo-kit mark FOLDER\n"
)


@dataclass(frozen=True)
class Backup:
    """What was written. left_out: links and files that could not be read, with the reason."""

    path: Path
    files: int
    marks: int
    left_out: tuple[str, ...]


def back_up(folder, to=None):
    """Write a class's folder into one zip in another folder, and read it back."""
    room = Classroom(folder)
    room.secret()
    target = Path(to).resolve() if to else room.folder.parent
    if target == room.folder or room.folder in target.parents:
        raise CourseError.about(f"the folder {target}", "lies in the class itself", advice="name another after --to")
    with MarkBook(room.mark_book_file) as marks:
        book = marks.copy()
    name = f"{room.folder.name}_backup"
    path = target / f"{name}_{datetime.now():%Y-%m-%d_%H%M%S}.zip"
    with file_errors_in_plain_words(target, "be written"):
        target.mkdir(parents=True, exist_ok=True)
        remove_leftovers(target, name, older_than=3600.0)
        with new_in_its_place(path, 0o600) as file:
            names, left_out = _pack(room, book, file)
            file.flush()
            count = _verify(file, [*names, "RESTORE.txt"])
    return Backup(path, len(names), count, tuple(left_out))


def _pack(room, book, file):
    names, left_out, refused = [], [], []
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, strict_timestamps=False) as packed:
        for here, _folders, there in walk(room.folder, refused.append):
            for path in (here / name for name in there):
                name = path.relative_to(room.folder).as_posix()
                try:
                    if path == room.mark_book_file:
                        packed.writestr(name, book)
                    elif path.is_symlink() or not path.is_file():
                        left_out.append(f"{name}: is a link or no plain file")
                        continue
                    elif path == room.lock_file or name.endswith((".part", ".sqlite-journal")):
                        continue
                    else:
                        packed.write(path, name)
                    names.append(name)
                except (OSError, UnicodeError) as error:
                    left_out.append(f"{name}: cannot be read ({getattr(error, 'strerror', error)})")
        packed.writestr("RESTORE.txt", RESTORE)
    return names, [*left_out, *(f"{error.filename}: cannot be listed ({error.strerror})" for error in refused)]


def _verify(file, names):
    """Read all of an archive back; → the number of marks in it."""
    try:
        with zipfile.ZipFile(file) as packed, contextlib.closing(sqlite3.connect(":memory:")) as marks:
            marks.deserialize(packed.read("instructor/mark_book.sqlite"))
            is_sound = packed.namelist() == names and packed.testzip() is None
            is_sound = is_sound and marks.execute("PRAGMA integrity_check").fetchone() == ("ok",)
            count = marks.execute("SELECT count(*) FROM marks").fetchone()[0]
    except (*BROKEN, sqlite3.Error):
        is_sound = False
    if not is_sound:
        raise CourseError.about("the backup", "does not read back as it was written", advice="look at the disk")
    return count
