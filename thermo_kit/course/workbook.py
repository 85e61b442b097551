"""Where the workbook's folders are: lessons, exercises, answers."""

import os
import re
from dataclasses import dataclass
from pathlib import Path

from thermo_kit.course.cases import exercise_and_resit
from thermo_kit.errors import FileAccessError, UnknownNameError

EXERCISE_NAME = re.compile(r"\d\d(_[a-z0-9]+)+")


@dataclass(frozen=True)
class Workbook:
    """The folders of one workbook; an instructor may keep the answers elsewhere.

    lessons, exercises, answers: folders that hold the notebooks
    answers_were_named: whether the instructor named the folder of answers just now
    """

    root: Path
    answers: Path
    answers_were_named: bool = False

    @classmethod
    def of_the_package(cls):
        """The workbook that this package was installed from."""
        root = Path(__file__).resolve().parents[2]
        return cls(root, root / "answers")

    @property
    def lessons(self):
        """The folder of the lessons."""
        return self.root / "lessons"

    @property
    def exercises(self):
        """The folder of the exercises."""
        return self.root / "exercises"

    def exercise_names(self):
        """The names of all exercises, in order."""
        return [name for name in _notebooks(self.exercises) if EXERCISE_NAME.fullmatch(name)]

    def exercise(self, number):
        """The exercise notebook of a number such as "02" or a full name."""
        return _notebook(self.exercises, number, "exercise")

    def answer(self, name):
        """The answers notebook that belongs to an exercise."""
        return _notebook(self.answers, name, "answers notebook")


def _notebook(folder, number, what):
    # A re-sit is the same exercise.
    number, _ = exercise_and_resit(number)
    wanted = number.zfill(2) if number.isdigit() else number
    there = _notebooks(folder)
    found = [name for name in there if EXERCISE_NAME.fullmatch(name) and wanted in (name, name.split("_")[0])]
    if len(found) == 1:
        return folder / f"{found[0]}.ipynb"
    if found:
        raise UnknownNameError.about(f"{what} {number!r}", f"fits {', '.join(found)}", advice="give the full name")
    told = f"there is {', '.join(there) or 'no notebook at all'}"
    raise UnknownNameError.about(f"{what} {number!r}", "is unknown", f"in {folder}", told)


def _notebooks(folder):
    return sorted(path.stem for path in folder.glob("*.ipynb"))


def find_workbook(folder=None, *, answers=None, start=None):
    """The workbook named, or the one around the current folder, or the one this package was installed from."""
    own = Path(answers).resolve() if answers else None
    if own and not own.is_dir():
        advice = "check the spelling after --answers"
        raise FileAccessError.about(f"the answers folder {own}", "does not exist", advice=advice)
    start = Path(start or Path.cwd()).resolve()
    named = [Path(named).resolve()] if (named := os.environ.get("THERMO_KIT_WORKBOOK")) else []
    around = [*named, start, *start.parents, Workbook.of_the_package().root]
    for root in [Path(folder).resolve()] if folder else around:
        if _is_workbook(root):
            return Workbook(root, own or root / "answers", own is not None)
    if folder:
        told = f"the folder {root}", "is not a workbook", "because it holds no folders lessons and exercises"
        raise FileAccessError.about(*told, "name the folder that does")
    advice = "go to the folder that holds lessons and exercises, or name it after --workbook"
    raise FileAccessError.about("the workbook", "was not found", f"in {start} or above it", advice)


def _is_workbook(root):
    return (root / "lessons").is_dir() and (root / "exercises").is_dir()
