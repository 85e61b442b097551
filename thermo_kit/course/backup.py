"""One zip that holds all of a class, read back before it gets its name."""

import contextlib
import hashlib
import io
import os
import sqlite3
import tempfile
import zipfile
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from thermo_kit.course.classroom import Classroom
from thermo_kit.course.files import file_errors_in_plain_words, remove_leftovers
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
        handle, part = tempfile.mkstemp(prefix=f".{name}.", suffix=".part", dir=target)
        try:
            with os.fdopen(handle, "w+b") as file:
                digests, left_out = _pack(room, book, file)
                file.flush()
                os.fsync(file.fileno())
            count = _verify(part, digests)
            os.replace(part, path)
        except BaseException:
            with contextlib.suppress(OSError):
                os.unlink(part)
            raise
    return Backup(path, len(digests) - 1, count, tuple(left_out))


def _pack(room, book, file):
    digests, left_out = {}, []
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as packed:
        for path in sorted(room.folder.rglob("*")):
            name = path.relative_to(room.folder).as_posix()
            if path.is_symlink() or not (path.is_file() or path.is_dir()):
                left_out.append(f"{name}: is a link or no plain file")
            elif path.is_file() and path != room.lock_file and not name.endswith((".part", ".sqlite-journal")):
                try:
                    entry = zipfile.ZipInfo.from_file(path, name, strict_timestamps=False)
                    with io.BytesIO(book) if path == room.mark_book_file else path.open("rb") as source:
                        digests[name] = _copy(source, packed, entry)
                except OSError as error:
                    left_out.append(f"{name}: cannot be read ({error.strerror})")
        digests["RESTORE.txt"] = _copy(io.BytesIO(RESTORE.encode()), packed, zipfile.ZipInfo("RESTORE.txt"))
    return digests, left_out


def _copy(source, packed, entry):
    digest = hashlib.sha256()
    entry.compress_type = zipfile.ZIP_DEFLATED
    with packed.open(entry, "w", force_zip64=True) as out:
        while chunk := source.read(1_000_000):
            digest.update(chunk)
            out.write(chunk)
    return digest.hexdigest()


def _verify(archive, digests):
    read = {}
    with zipfile.ZipFile(archive) as packed:
        for name in packed.namelist():
            with packed.open(name) as file:
                read[name] = hashlib.file_digest(file, "sha256").hexdigest()
        book = packed.read("instructor/mark_book.sqlite")
    with contextlib.closing(sqlite3.connect(":memory:")) as marks:
        marks.deserialize(book)
        sound = marks.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        count = marks.execute("SELECT count(*) FROM marks").fetchone()[0]
    if read != digests or not sound:
        raise CourseError.about("the backup", "does not read back as it was written", advice="look at the disk")
    return count
