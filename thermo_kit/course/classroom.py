"""A class's own folder, never in the workbook: what learners get, and what only the instructor keeps."""

import contextlib
import json
import os
import secrets
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StrictBool, StrictFloat, StrictInt, StrictStr, ValidationError

from thermo_kit.course.cases import Case
from thermo_kit.course.files import file_errors_in_plain_words, read_limited, write_atomically, write_new
from thermo_kit.errors import CourseError, FileAccessError

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
    """The folders and files of one class."""

    def __init__(self, folder):
        self.folder = Path(folder).resolve()
        self.for_learners = self.folder / "for_learners"
        self.instructor = self.folder / "instructor"
        self.secret_file = self.instructor / "class_secret"
        self.cases_file = self.instructor / "cases.json"
        self.mark_book_file = self.instructor / "mark_book.sqlite"
        self.lock_file = self.instructor / "handout_is_running"

    @contextlib.contextmanager
    def one_hand_out(self):
        """Keep a second hand-out to this class away for as long as the `with` block lasts."""
        with file_errors_in_plain_words(self.instructor, "be made"):
            if not self.instructor.is_dir():
                self.instructor.mkdir(parents=True, exist_ok=True)
                os.chmod(self.instructor, 0o700)
        with file_errors_in_plain_words(self.lock_file, "be written"):
            try:
                os.close(os.open(self.lock_file, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
            except FileExistsError as error:
                raise CourseError.about(
                    str(self.lock_file),
                    "is there",
                    "because another hand-out to this class is running, or one was cut off",
                    "wait until it is done; if none is running, delete this file and hand out again",
                ) from error
        try:
            yield
        finally:
            with contextlib.suppress(OSError):
                self.lock_file.unlink()
                # Fails unless nothing was handed out: then no half-made class stays behind.
                self.instructor.rmdir()

    def secret(self):
        """The class secret: 32 random bytes, readable for the instructor only."""
        with file_errors_in_plain_words(self.instructor, "be read"):
            handed_out, has_secret = self.cases_file.exists(), self.secret_file.exists()
        if handed_out and not has_secret:
            raise CourseError.about(
                str(self.secret_file),
                "is missing",
                "although this class has a list of cases",
                "restore it from a copy, or all tickets are void",
            )
        if not has_secret:
            raise FileAccessError.about(
                f"the folder {self.folder}",
                "is not a class",
                "because it holds no instructor/class_secret",
                "name the folder that `thermo-kit handout` filled",
            )
        text = read_limited(self.secret_file, 1_000).decode("ascii", "replace").strip()
        try:
            secret = bytes.fromhex(text)
        except ValueError:
            secret = b""
        if len(secret) != 32:
            advice = "restore it from a copy, or all tickets are void"
            if not handed_out:
                advice = "delete it and hand out again; nothing was handed out yet"
            raise CourseError.about(str(self.secret_file), "is damaged", advice=advice)
        return secret

    def secret_or_new(self):
        """The class secret, or a new one that is not written yet."""
        is_new = not self.secret_file.exists() and not self.cases_file.exists()
        return secrets.token_bytes(32) if is_new else self.secret()

    def keep_secret(self, secret):
        """Write the class secret unless it is there already."""
        if not self.secret_file.exists():
            write_new(self.secret_file, secret.hex() + "\n", mode=0o600)

    def cases(self):
        """The list of cases handed out so far."""
        if not self.cases_file.exists():
            return CaseList()
        try:
            return CaseList.model_validate(json.loads(read_limited(self.cases_file, CASES_LIMIT).decode("utf-8")))
        except (ValidationError, ValueError) as error:
            raise CourseError.about(
                str(self.cases_file), "is damaged", advice="restore it from a copy; nothing was changed"
            ) from error

    def keep_cases(self, cases):
        """Write the list of cases in one step."""
        write_atomically(self.cases_file, cases.model_dump_json(indent=1) + "\n", mode=0o600)

    def notebook(self, learner, exercise):
        """Where a learner's notebook of an exercise lies."""
        return self.for_learners / learner / f"{exercise}.ipynb"
