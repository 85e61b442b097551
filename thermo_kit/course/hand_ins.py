"""What lies in a class's folder: answer sheets, and what was handed in but is none. Nothing is passed over silently."""

import os
import re
from collections import Counter, defaultdict
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from thermo_kit.course.archives import ARCHIVES, files_inside, read_inside
from thermo_kit.course.cases import NOTEBOOK_LIMIT
from thermo_kit.course.files import file_errors_in_plain_words, read_limited, walk
from thermo_kit.course.workbook import EXERCISE_NAME
from thermo_kit.errors import CourseError, Problem, SheetError

# A learner has one sheet for each exercise, and a few copies; the rest would only keep the others waiting.
# At most so many in one learner's folder, and in any other.
MOST_SHEETS, MOST_ARCHIVES = (200, 20_000), (20, 2_000)
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


class HandIns:
    """What lies in a class's folder but what the instructor keeps and hidden files; links are not followed.

    sheets: the paths of what may be answer sheets, as text
    closed: folders that were not looked into, and why
    not_recognised: what is no sheet
    """

    def __init__(self, room, cases):
        self.room, self.cases = room, cases
        # Some systems know no capitals.
        self._names = {name.casefold(): name for learners in cases.exercises.values() for name in learners}
        self._packed, self._told, self.sheets, self.closed, archives = {}, [], [], {}, []
        for here, folders, files in walk(room.folder, self._refused):
            folders[:] = [name for name in folders if here / name != room.instructor and name[0] != "."]
            archives += self._look_into(here, files)
        for archive in self._without_floods(sorted(archives), "archives", *MOST_ARCHIVES):
            self._open(Path(archive))
        self.sheets = sorted(self._without_floods(self.sheets, "sheets", *MOST_SHEETS))
        self.not_recognised = self._named()

    def owners(self, folder):
        """The learners after whom a folder and those above it are named, the nearest first, each with that folder."""
        room, owners = self.room.folder, {}
        inside = folder.relative_to(room).parts if folder.is_relative_to(room) else ()
        is_given = inside[:1] == (self.room.for_learners.name,)
        for depth in range(len(inside), int(is_given), -1):
            if name := self._names.get(inside[depth - 1].casefold()):
                owners[name] = room.joinpath(*inside[:depth])
        return owners

    def owner(self, folder):
        """The nearest learner after whom a folder or one above it is named, or empty."""
        return next(iter(self.owners(folder)), "")

    def read(self, path, limit):
        """The bytes of something handed in, also of a file in an archive, at most one more than the limit."""
        return read_inside(*self._packed[path], limit) if path in self._packed else read_limited(path, limit)

    def changed_at(self, path):
        """The system's time of the last change to a file or to the archive around it, in seconds since 1970."""
        with file_errors_in_plain_words(path, "be read"):
            return self._packed.get(path, (path,))[0].stat().st_mtime

    def _refused(self, error):
        folder, advice = Path(error.filename), "give yourself the right to open it, and mark again"
        told = Problem(f"the folder {folder.name}", "cannot be listed", f"({error.strerror})", advice)
        self.closed[folder] = str(told)

    def _look_into(self, folder, names):
        """Sort what lies in one folder; → the archives in it."""
        names = [name for name in names if name[0] != "." and name.casefold() not in OF_THE_SYSTEM]
        put_away = [found for name in names if (found := SET_ASIDE.fullmatch(name))]
        sheets = [name for name in names if SHEET_FILE.fullmatch(name) and not SET_ASIDE.fullmatch(name)]
        self.sheets += [str(folder / name) for name in sheets]
        beside, archives = {name.casefold() for name in sheets}, []
        for name in sorted({*names} - {*sheets} - {found[0] for found in put_away}):
            path = folder / name
            if path.suffix.casefold() == ".zip" and path not in self._packed and not os.path.islink(path):
                archives.append(str(path))
            elif why := self._why_no_sheet(path, beside):
                self._told.append((path, why))
        told = "was put away by the notebook, and no sheet took its place: look into it, and rename it if it counts"
        self._told += [(folder / found[0], told) for found in put_away if found[1].casefold() not in beside]
        return archives

    def _open(self, archive):
        try:
            names = files_inside(archive)
        except SheetError as error:
            self._told.append((archive, str(error)))
            return
        folders = defaultdict(list)
        for name in names:
            inside = PurePosixPath(name)
            if not any(part[0] == "." or part.casefold() in OF_THE_SYSTEM for part in inside.parts):
                self._packed[archive / inside] = archive, name
                folders[archive / inside.parent].append(inside.name)
        if not folders:
            self._told.append((archive, "is an archive in which there is no sheet"))
        for folder, names in folders.items():
            self._look_into(folder, names)

    def _without_floods(self, paths, what, most_of_a_learner, most):
        """The files but those of a folder that holds more than anyone needs; such a folder is closed."""

        def whose(path):
            folder = Path(path).parent
            owned = [*self.owners(folder).values()]
            return (str(owned[-1]), most_of_a_learner) if owned else (str(folder), most)

        flooded = {place: count for place, count in Counter(map(whose, paths)).items() if count > place[1]}
        for (folder, allowed), count in flooded.items():
            holds, read = f"holds {count:,} {what}", f"where at most {allowed:,} are read"
            advice = "keep the ones that count and move the others away"
            self.closed[Path(folder)] = str(Problem(f"the folder {Path(folder).name}", holds, read, advice))
        return [path for path in paths if whose(path) not in flooded] if flooded else paths

    def _why_no_sheet(self, path, beside):
        """Why a file or a linked folder is not marked; empty where nothing is missing."""
        if os.path.islink(path):
            return "is a link: put the files themselves here"
        ending = path.suffix.casefold()
        if ending == ".ipynb":
            if any(name.startswith(path.stem.casefold()) for name in beside):
                return ""
            if self._was_handed_out(path) and not self._was_worked_in(path):
                return ""
            return f"is a notebook without its sheet: ask for {path.stem}.sheet.json, which lies beside it"
        if ending in ARCHIVES:
            where = "inside another: unpack it" if path in self._packed else "of another kind than zip: unpack it here"
            return f"is an archive {where}, and mark again"
        if ending == ".json":
            return "has not the name of a sheet: if it is one, name it like 02_name.sheet.json, and mark again"
        return "is no answer sheet"

    def _was_handed_out(self, path):
        if path in self._packed:
            return path.stem in self.cases.exercises
        # A re-sit has a folder of its own in the learner's.
        places = ((path.parent.name, path.stem), (path.parent.parent.name, path.parent.name))
        return any(path == self.room.notebook(*place) and self.cases.case(*place[::-1]) for place in places)

    def _was_worked_in(self, notebook):
        # It was handed out without a single result.
        try:
            return b'"output_type"' in self.read(notebook, NOTEBOOK_LIMIT)
        except CourseError:
            return True

    def _named(self):
        by_folder, listed = defaultdict(list), []
        for path, why in sorted(self._told):
            found = NotMarked(path, why, self.owner(path.parent), self._exercise_meant(path))
            by_folder[path.parent].append(found)
        for folder, entries in by_folder.items():
            listed += entries[:MOST_NAMED_IN_A_FOLDER]
            more = len(entries) - MOST_NAMED_IN_A_FOLDER
            if more > 0:
                listed.append(NotMarked(folder, f"holds {more:,} more files that are no sheets", entries[0].learner))
        return listed

    def _exercise_meant(self, path):
        # A name that was changed still begins with the number.
        named = exercise_in_name(path)
        meant = [exercise for exercise in self.cases.exercises if named and exercise[:2] == named[:2]]
        return next((exercise for exercise in meant if named.startswith(exercise)), meant[0] if meant else named)


def exercise_in_name(path):
    """The exercise that a file's name begins with, or empty."""
    found = EXERCISE_NAME.match(path.name.lower())
    return found[0] if found else ""
