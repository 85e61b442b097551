"""Files that are never half-written, never overwritten when damaged, and never read without a limit."""

import contextlib
import os
import tempfile
import time
from pathlib import Path

from thermo_kit.errors import FileAccessError, FileRefusedError


@contextlib.contextmanager
def file_errors_in_plain_words(path, doing):
    """Turn the system's refusal into a message that says what to do."""
    try:
        yield
    except FileNotFoundError as error:
        raise FileAccessError.about(str(path), "does not exist", advice="check the spelling and the folder") from error
    except (FileExistsError, NotADirectoryError) as error:
        limit, advice = "because a file stands where a folder is needed", "move that file away or name another folder"
        raise FileAccessError.about(str(path), f"cannot {doing}", limit, advice) from error
    except OSError as error:
        advice = "check that you may write there and that the disk is not full, or name another folder"
        raise FileRefusedError.about(str(path), f"cannot {doing}", f"({error.strerror or error})", advice) from error


@contextlib.contextmanager
def new_in_its_place(path, mode):
    """A file to fill in, which takes its place in one step where the `with` block ends well."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, temporary = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
    try:
        with os.fdopen(handle, "w+b") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        os.chmod(temporary, mode)
        os.replace(temporary, path)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(temporary)
        raise
    _flush_folder(path.parent)


def write_atomically(path, text, mode=0o644):
    """Replace a file in one step, so that a reader sees the old text or the new one; text: also pieces of it."""
    with file_errors_in_plain_words(path, "be written"), new_in_its_place(Path(path), mode) as file:
        file.writelines(piece.encode("utf-8") for piece in ([text] if isinstance(text, str) else text))


def _flush_folder(folder):
    # Some systems cannot open a folder; the replaced file itself is already safe there.
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def read_limited(path, limit):
    """The bytes of a file, unless it is larger than it can honestly be."""
    path = Path(path)
    with file_errors_in_plain_words(path, "be read"):
        if not path.is_file():
            if path.exists():
                raise FileAccessError.about(str(path), "is not a plain file", advice="name a file")
            raise FileNotFoundError(path)
        with path.open("rb") as file:
            content = file.read(limit + 1)
    if len(content) > limit:
        told, why = f"is larger than {limit // 1000} kB", "which no file of this kind reaches"
        raise FileAccessError.about(str(path), told, why, "ask for a fresh copy")
    return content


def set_aside(path, word):
    """Rename a file that must not be used, keeping every byte of it."""
    path = Path(path)
    number = 1
    while (new := path.with_name(f"{path.name}.{word}-{number}")).exists():
        number += 1
    with file_errors_in_plain_words(path, "be set aside"):
        os.rename(path, new)
    return new


def walk(folder, refused):
    """Yield each folder with the names of its folders, which may be cut down, and of its files, in order.

    However deep it goes; links count as files; refused: called with what the system says of a folder it hides
    """
    waiting = [Path(folder)]
    while waiting:
        here = waiting.pop()
        try:
            with os.scandir(here) as entries:
                there = sorted((entry.name, entry.is_dir(follow_symlinks=False)) for entry in entries)
        except OSError as error:
            refused(error)
            continue
        folders = [name for name, is_folder in there if is_folder]
        yield here, folders, [name for name, is_folder in there if not is_folder]
        waiting += [here / name for name in reversed(folders)]


def remove_leftovers(folder, name="*", older_than=0.0):
    """Remove the half-written files that a killed run of this program left of a name; older_than [s]."""
    with contextlib.suppress(OSError):
        for path in Path(folder).glob(f".{name}.*.part"):
            if time.time() - path.stat().st_mtime >= older_than:
                path.unlink()
