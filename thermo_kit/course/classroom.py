"""A class's own folder, never in the workbook: what learners get, and what only the instructor keeps."""

import json
import os
import secrets
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StrictBool, StrictFloat, StrictInt, StrictStr, ValidationError

from thermo_kit.course.cases import Case
from thermo_kit.course.files import file_errors_in_plain_words, read_limited, write_atomically
from thermo_kit.errors import CourseError, Problem

CASES_LIMIT = 20_000_000


class CaseList(BaseModel):
    """The form of the list of cases, version 1: exercise → learner → numbers."""

    model_config = ConfigDict(extra="forbid")

    cases_version: Literal[1] = 1
    exercises: Annotated[
        dict[str, dict[str, dict[str, StrictBool | StrictInt | StrictFloat | StrictStr]]], Field(max_length=100)
    ] = {}

    def case(self, exercise, learner):
        """The case a learner already has, or None."""
        numbers = self.exercises.get(exercise, {}).get(learner)
        return None if numbers is None else Case(exercise, tuple(numbers.items()))


class Classroom:
    """The folders and files of one class.

    Parameters
    ----------
    folder : Path
        the folder the instructor named
    """

    def __init__(self, folder):
        self.folder = Path(folder).resolve()
        self.for_learners = self.folder / "for_learners"
        self.instructor = self.folder / "instructor"
        self.secret_file = self.instructor / "class_secret"
        self.cases_file = self.instructor / "cases.json"
        self.mark_book_file = self.instructor / "mark_book.sqlite"

    def secret(self):
        """The class secret: 32 random bytes, readable for the instructor only.

        Returns
        -------
        bytes
            the secret

        Raises
        ------
        CourseError
            when there is none, or it is damaged
        """
        if not self.secret_file.exists():
            raise CourseError(
                Problem(
                    f"the folder {self.folder}",
                    "is not a class",
                    "because it holds no instructor/class_secret",
                    "name the folder that `thermo-kit handout` filled",
                )
            )
        text = read_limited(self.secret_file, 1_000).decode("ascii", "replace").strip()
        try:
            secret = bytes.fromhex(text)
        except ValueError:
            secret = b""
        if len(secret) != 32:
            raise CourseError(
                Problem(str(self.secret_file), "is damaged", "", "restore it from a copy, or all tickets are void")
            )
        return secret

    def secret_or_new(self):
        """The class secret, or a new one that is not written yet.

        Returns
        -------
        bytes
            the secret
        """
        return self.secret() if self.secret_file.exists() else secrets.token_bytes(32)

    def keep_secret(self, secret):
        """Write the class secret unless it is there already.

        Parameters
        ----------
        secret : bytes
            from `secret_or_new`
        """
        if not self.secret_file.exists():
            with file_errors_in_plain_words(self.instructor, "be made"):
                self.instructor.mkdir(parents=True, exist_ok=True)
                os.chmod(self.instructor, 0o700)
            write_atomically(self.secret_file, secret.hex() + "\n", mode=0o600)

    def cases(self):
        """The list of cases handed out so far.

        Returns
        -------
        CaseList
            empty at first

        Raises
        ------
        CourseError
            when the file is damaged
        """
        if not self.cases_file.exists():
            return CaseList()
        try:
            return CaseList.model_validate(json.loads(read_limited(self.cases_file, CASES_LIMIT).decode("utf-8")))
        except (ValidationError, ValueError) as error:
            raise CourseError(
                Problem(str(self.cases_file), "is damaged", "", "restore it from a copy; nothing was changed")
            ) from error

    def keep_cases(self, cases):
        """Write the list of cases in one step.

        Parameters
        ----------
        cases : CaseList
            the whole list
        """
        write_atomically(self.cases_file, cases.model_dump_json(indent=1) + "\n", mode=0o600)

    def notebook(self, learner, exercise):
        """Where a learner's notebook of an exercise lies.

        Parameters
        ----------
        learner : str
            the learner's id
        exercise : str
            full name of the exercise

        Returns
        -------
        Path
            the file
        """
        return self.for_learners / learner / f"{exercise}.ipynb"
