"""Hand-ins packed as zip: untrusted, listed and read in memory with limits, never unpacked to disk."""

import stat
import zipfile
import zlib
from pathlib import Path, PurePosixPath

from thermo_kit.errors import Problem, SheetError

ARCHIVE_LIMIT = 10_000_000
MOST_INSIDE = 1_000
UNPACKED_LIMIT = 100_000_000
ARCHIVES = {".zip", ".7z", ".rar", ".tar", ".gz", ".tgz", ".bz2", ".xz"}
BROKEN = (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, ValueError, EOFError, OSError)


def files_inside(archive):
    """The names of an archive's files; a SheetError says why none of it is read."""
    try:
        if archive.stat().st_size > ARCHIVE_LIMIT:
            _refuse(archive, f"is larger than {ARCHIVE_LIMIT // 1_000_000} MB", "pack the sheets only")
        with zipfile.ZipFile(archive) as file:
            entries = file.infolist()
    except BROKEN as error:
        raise SheetError.about(archive.name, "is damaged or no zip archive", advice="ask for it again") from error
    if len(entries) > MOST_INSIDE:
        told = f"holds {len(entries):,} files, where at most {MOST_INSIDE:,} are read"
        _refuse(archive, told, "pack the sheets only")
    for entry in entries:
        if told := _wrong_with(entry):
            _refuse(archive, f"{told} ({entry.filename[:60]!a})", "unpack it yourself if you trust it, or ask again")
    names = [entry.filename for entry in entries if not entry.is_dir()]
    if len({PurePosixPath(name) for name in names}) < len(names):
        _refuse(archive, "holds two files of one name", "ask which one counts")
    if sum(entry.file_size for entry in entries) > UNPACKED_LIMIT:
        _refuse(archive, f"unpacks to more than {UNPACKED_LIMIT // 1_000_000} MB", "pack the sheets only")
    return names


def _wrong_with(entry):
    name = entry.filename
    if entry.flag_bits & 1:
        return "is locked with a password"
    if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        return "is packed in a way that is not read here"
    if "\\" in entry.orig_filename or ":" in name or name.startswith("/") or ".." in PurePosixPath(name).parts:
        return "holds a name that leads out of its folder"
    kind = stat.S_IFMT(entry.external_attr >> 16)
    return "" if kind in (0, stat.S_IFREG, stat.S_IFDIR) else "holds a link or something else that is no file"


def read_inside(archive, name, limit):
    """The bytes of one file in an archive, at most one more than the limit."""
    try:
        with zipfile.ZipFile(archive) as file, file.open(name) as member:
            return member.read(limit + 1)
    except (*BROKEN, KeyError) as error:
        raise SheetError.about(Path(name).name, "is damaged in its archive", advice="ask for it again") from error


def _refuse(archive, told, advice):
    raise SheetError(Problem(archive.name, told, advice=advice))
