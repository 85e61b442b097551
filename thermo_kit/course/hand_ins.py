"""What lies in a class's folder: answer sheets, and what was handed in but is none. Nothing is passed over silently."""

import os
import re
from collections import defaultdict
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

from thermo_kit.course.archives import ARCHIVES, files_inside, read_inside
from thermo_kit.course.cases import NOTEBOOK_LIMIT
from thermo_kit.course.files import file_errors_in_plain_words, read_limited
from thermo_kit.course.workbook import EXERCISE_NAME
from thermo_kit.errors import CourseError, Problem, SheetError

# A learner has one sheet for each exercise, and a few copies; the rest would only keep the others waiting.
MOST_OF_A_LEARNER, MOST_IN_A_FOLDER = 200, 20_000
MOST_ARCHIVES_OF_A_LEARNER, MOST_ARCHIVES_IN_A_FOLDER = 20, 2_000
MOST_NAMED_IN_A_FOLDER = 20
# A download or a copy may put "(1)", "-Copy1" or ".txt" into the name; the signature inside decides what a sheet is.
SHEET_FILE = re.compile(r"[^.].*\.sheet.*json.*", re.IGNORECASE | re.DOTALL)
# What the notebook itself has put away is not handed in.
SET_ASIDE = re.compile(r"(.*)\.(damaged|other)-\d+", re.DOTALL)
# What an operating system leaves in every folder, or puts into every archive.
OF_THE_SYSTEM = {"thumbs.db", "desktop.ini", "__macosx"}


@dataclass(frozen=True)
class NotMarked:
    """What could not be marked, or a folder that could not be looked into, and the reason in plain words.

    learner, exercise: whose folder it lies in and what its name says; empty where they say nothing
    """

    path: Path
    reason: str
    learner: str = ""
    exercise: str = ""


@dataclass
class HandIns:
    """What was found. closed: folders that were not looked into, and why; not_recognised: what is no sheet.

    packed: where a file inside an archive really lies: its archive, and its name there
    """

    sheets: list[Path] = field(default_factory=list)
    packed: dict[Path, tuple[Path, str]] = field(default_factory=dict)
    closed: dict[Path, str] = field(default_factory=dict)
    not_recognised: list[NotMarked] = field(default_factory=list)

    def read(self, path, limit):
        """The bytes of something handed in, also of a file in an archive, at most one more than the limit."""
        return read_inside(*self.packed[path], limit) if path in self.packed else read_limited(path, limit)

    def changed_at(self, path):
        """The system's time of the last change to a file or to the archive around it, in seconds since 1970."""
        with file_errors_in_plain_words(path, "be read"):
            return self.packed.get(path, (path,))[0].stat().st_mtime


def find_hand_ins(room, cases):
    """Everything in a class's folder but what the instructor keeps and hidden files; links are not followed."""
    found, others, put_away, archives = HandIns(), [], [], []

    def refused(error):
        found.closed[Path(error.filename)] = _told_unlisted(error)

    def sort(path):
        if SET_ASIDE.fullmatch(path.name):
            put_away.append(path)
        elif SHEET_FILE.fullmatch(path.name):
            found.sheets.append(path)
        elif path.name[0] != "." and path.name.casefold() not in OF_THE_SYSTEM:
            is_zip = path.suffix.casefold() == ".zip" and path not in found.packed and not path.is_symlink()
            (archives if is_zip else others).append(path)

    for folder, folders, files in os.walk(room.folder, followlinks=False, onerror=refused):
        here = Path(folder)
        folders[:] = [name for name in folders if here / name != room.instructor and name[0] != "."]
        others += [here / name for name in folders if os.path.islink(here / name)]
        for name in files:
            sort(here / name)
    names = names_of_folders(cases)
    most = MOST_ARCHIVES_OF_A_LEARNER, MOST_ARCHIVES_IN_A_FOLDER
    told = []
    for archive in sorted(_without_floods(archives, "archives", most, found, room, names)):
        try:
            inside = [name for name in files_inside(archive) if not _is_hidden(PurePosixPath(name))]
        except SheetError as error:
            told.append((archive, str(error)))
            continue
        told += [(archive, "is an archive in which there is no sheet")] * (not inside)
        for name in inside:
            path = archive / PurePosixPath(name)
            found.packed[path] = archive, name
            sort(path)
    most = MOST_OF_A_LEARNER, MOST_IN_A_FOLDER
    found.sheets = sorted(_without_floods(found.sheets, "sheets", most, found, room, names))
    beside = defaultdict(set)
    for sheet in found.sheets:
        beside[sheet.parent].add(sheet.name.casefold())
    told += [(path, _why_no_sheet(path, room, cases, beside[path.parent], found)) for path in sorted(others)]
    told += [
        (path, "was put away by the notebook, and no sheet took its place: look into it, and rename it if it counts")
        for path in sorted(put_away)
        if SET_ASIDE.fullmatch(path.name)[1].casefold() not in beside[path.parent]
    ]
    found.not_recognised = _named([(path, why) for path, why in told if why], room, cases, names)
    return found


def _is_hidden(path):
    return any(part[0] == "." or part.casefold() in OF_THE_SYSTEM for part in path.parts)


def names_of_folders(cases):
    """The learners of a class by the name of their folder, as a system takes it that knows no capitals."""
    return {name.casefold(): name for learners in cases.exercises.values() for name in learners}


def known_learners(folder, room, names):
    """The learners after whom a folder and those above it are named, the nearest first."""
    return tuple(name for name, _ in reversed(_owners(folder, room, names)))


def _owners(folder, room, names):
    """Pairs of learner and folder, the outermost first."""
    inside = folder.relative_to(room.folder).parts if folder.is_relative_to(room.folder) else ()
    start = 1 if inside[:1] == (room.for_learners.name,) else 0
    return [
        (names[part.casefold()], room.folder.joinpath(*inside[: depth + 1]))
        for depth, part in enumerate(inside)
        if depth >= start and part.casefold() in names
    ]


def exercise_in_name(path):
    """The exercise that a file's name begins with, or empty."""
    found = EXERCISE_NAME.match(path.name.lower())
    return found[0] if found else ""


def _exercise_meant(path, cases):
    # A name that was changed still begins with the number.
    named = exercise_in_name(path)
    meant = [exercise for exercise in cases.exercises if named and exercise[:2] == named[:2]]
    return next((exercise for exercise in meant if named.startswith(exercise)), meant[0] if meant else named)


def _without_floods(files, what, most, found, room, names):
    """The files but those of a folder that holds more than anyone needs; such a folder is closed."""
    groups, kept = defaultdict(list), []
    for path in files:
        owners = _owners(path.parent, room, names)
        groups[owners[0][1] if owners else path.parent, bool(owners)].append(path)
    for (folder, is_a_learners), paths in groups.items():
        allowed = most[0] if is_a_learners else most[1]
        if len(paths) <= allowed:
            kept += paths
            continue
        holds, read = f"holds {len(paths):,} {what}", f"where at most {allowed:,} are read"
        advice = "keep the ones that count and move the others away"
        found.closed[folder] = str(Problem(f"the folder {folder.name}", holds, read, advice))
    return kept


def _why_no_sheet(path, room, cases, sheets, found):
    """Why a file or a linked folder is not marked; empty where nothing is missing."""
    if os.path.islink(path):
        return "is a link: put the files themselves here"
    ending = path.suffix.casefold()
    if ending == ".ipynb":
        if any(name.startswith(path.stem.casefold()) for name in sheets):
            return ""
        if _was_handed_out(path, room, cases, found) and not _was_worked_in(path, found):
            return ""
        return f"is a notebook without its sheet: ask for {path.stem}.sheet.json, which lies beside it"
    if ending in ARCHIVES:
        where = "inside another: unpack it" if path in found.packed else "of another kind than zip: unpack it here"
        return f"is an archive {where}, and mark again"
    if ending == ".json":
        return "has not the name of a sheet: if it is one, name it like 02_name.sheet.json, and mark again"
    return "is no answer sheet"


def _was_handed_out(path, room, cases, found):
    if path in found.packed:
        return path.stem in cases.exercises
    # A re-sit has a folder of its own in the learner's.
    places = ((path.parent.name, path.stem), (path.parent.parent.name, path.parent.name))
    return any(
        path == room.notebook(learner, name) and cases.case(name, learner) is not None for learner, name in places
    )


def _was_worked_in(notebook, found):
    # It was handed out without a single result.
    try:
        return b'"output_type"' in found.read(notebook, NOTEBOOK_LIMIT)
    except CourseError:
        return True


def _named(told, room, cases, names):
    by_folder = defaultdict(list)
    for path, why in told:
        owner = next(iter(known_learners(path.parent, room, names)), "")
        by_folder[path.parent].append(NotMarked(path, why, owner, _exercise_meant(path, cases)))
    listed = []
    for folder, entries in by_folder.items():
        listed += entries[:MOST_NAMED_IN_A_FOLDER]
        more = len(entries) - MOST_NAMED_IN_A_FOLDER
        if more > 0:
            listed.append(NotMarked(folder, f"holds {more:,} more files that are no sheets", entries[0].learner))
    return listed


def _told_unlisted(error):
    folder = Path(error.filename)
    return str(
        Problem(
            f"the folder {folder.name}",
            "cannot be listed",
            f"({error.strerror})",
            "give yourself the right to open it, and mark again",
        )
    )
