"""A class's own folder, never in the workbook: what learners get, and what only the instructor keeps."""

import contextlib
import hashlib
import os
import re
import secrets
import sqlite3
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, StrictBool, StrictFloat, StrictInt, StrictStr

from thermo_kit.course.cases import NOTEBOOK_LIMIT, Case, exercise_and_resit, resit
from thermo_kit.course.files import file_errors_in_plain_words, read_limited, remove_leftovers, write_atomically
from thermo_kit.course.forms import Form, read_form
from thermo_kit.course.workbook import Workbook
from thermo_kit.errors import CourseError, FileAccessError

CASES_LIMIT = 20_000_000
# 32 random bytes as hexadecimal.
SECRET_FORM = re.compile(r"[0-9a-fA-F]{64}")


class CaseList(Form):
    """The form of the list of cases, version 1: exercise, or one of its re-sits → learner → numbers."""

    cases_version: Literal[1] = 1
    exercises: Annotated[
        dict[str, dict[str, dict[str, StrictBool | StrictInt | StrictFloat | StrictStr]]],
        Field(max_length=1_000, default_factory=dict),
    ]

    def case(self, name, learner):
        """The case a learner already has of an exercise or re-sit, or None."""
        numbers = self.exercises.get(name, {}).get(learner)
        return None if numbers is None else Case(exercise_and_resit(name)[0], tuple(numbers.items()))

    def names_of(self, exercise):
        """The exercise and its re-sits, the first numbers first."""
        there = [exercise_and_resit(name) for name in self.exercises]
        return [resit(*pair) for pair in sorted(there) if pair[0] == exercise]


class RosterColumns(Form):
    """The form of what rosters tell besides, version 1: learner → column → text."""

    roster_version: Literal[1] = 1
    learners: dict[str, dict[str, str]] = Field(default_factory=dict)


class ClosedAnswers(Form):
    """The form of the list of closed exercises, version 1: exercise → SHA-256 of the notebook kept in the class."""

    closed_version: Literal[1] = 1
    exercises: dict[str, str] = Field(max_length=100, default_factory=dict)


class AnswersFolders(Form):
    """The form of the list of the instructor's own answers, version 1: exercise → folder."""

    answers_folders_version: Literal[1] = 1
    folders: dict[str, str] = Field(max_length=100, default_factory=dict)


class Classroom:
    """The folders and files of one class."""

    def __init__(self, folder):
        self.folder = Path(folder).resolve()
        self.for_learners = self.folder / "for_learners"
        self.instructor = self.folder / "instructor"
        self.secret_file = self.instructor / "class_secret"
        self.cases_file = self.instructor / "cases.json"
        self.mark_book_file = self.instructor / "mark_book.sqlite"
        self.answers_folders_file = self.instructor / "answers_folders.json"
        self.closed_file = self.instructor / "closed.json"
        self.closed_answers = self.instructor / "answers"
        self.roster_file = self.instructor / "roster.json"
        self.term_file = self.instructor / "term.toml"
        self.lock_file = self.instructor / "handout_lock"

    @contextlib.contextmanager
    def one_hand_out(self):
        """Keep a second hand-out to this class away for as long as the `with` block lasts."""
        with file_errors_in_plain_words(self.instructor, "be made"):
            if not self.instructor.is_dir():
                self.instructor.mkdir(parents=True, exist_ok=True)
                os.chmod(self.instructor, 0o700)
        with file_errors_in_plain_words(self.lock_file, "be written"):
            os.close(os.open(self.lock_file, os.O_CREAT | os.O_WRONLY, 0o600))
        lock = self._locked()
        try:
            yield
        finally:
            lock.close()
            with contextlib.suppress(OSError):
                if os.listdir(self.instructor) == [self.lock_file.name]:
                    # Nothing was handed out: no half-made class stays behind.
                    self.lock_file.unlink()
                    self.instructor.rmdir()

    def _locked(self):
        # The system itself gives a database's lock free when the program that holds it is killed.
        lock = sqlite3.connect(self.lock_file, timeout=0, isolation_level=None)
        try:
            lock.execute("BEGIN EXCLUSIVE")
        except sqlite3.Error as error:
            lock.close()
            if error.sqlite_errorcode == sqlite3.SQLITE_BUSY:
                told = "has another hand-out running just now"
                raise CourseError.about(f"the class {self.folder}", told, advice="wait until it is done") from error
            told, advice = f"cannot be used ({error})", "delete this file and hand out again"
            raise CourseError.about(str(self.lock_file), told, advice=advice) from error
        return lock

    def remove_leftovers(self):
        """Remove what killed runs left half-written in the instructor's folder."""
        for folder in (self.instructor, self.closed_answers):
            # Another run may be writing just now.
            remove_leftovers(folder, older_than=60.0)

    def secret(self):
        """The class secret: 32 random bytes, readable for the instructor only."""
        with file_errors_in_plain_words(self.instructor, "be read"):
            handed_out, has_secret = self.cases_file.exists(), self.secret_file.exists()
        restore = "restore it from a copy, or all tickets are void"
        if handed_out and not has_secret:
            limit = "although this class has a list of cases"
            raise CourseError.about(str(self.secret_file), "is missing", limit, restore)
        if not has_secret:
            limit, advice = (
                "because it holds no instructor/class_secret",
                "name the folder that `thermo-kit handout` filled",
            )
            raise FileAccessError.about(f"the folder {self.folder}", "is not a class", limit, advice)
        text = read_limited(self.secret_file, 1_000).decode("ascii", "replace").strip()
        if not SECRET_FORM.fullmatch(text):
            advice = restore if handed_out else "delete it and hand out again; nothing was handed out yet"
            raise CourseError.about(str(self.secret_file), "is damaged", advice=advice)
        return bytes.fromhex(text)

    def secret_or_new(self):
        """The class secret, or a new one that is not written yet."""
        is_new = not self.secret_file.exists() and not self.cases_file.exists()
        return secrets.token_bytes(32) if is_new else self.secret()

    def keep_secret(self, secret):
        """Write the class secret unless it is there already."""
        if not self.secret_file.exists():
            write_atomically(self.secret_file, secret.hex() + "\n", mode=0o600)

    def cases(self):
        """The list of cases handed out so far."""
        return _read(CaseList, self.cases_file)

    def keep_cases(self, cases):
        """Write the list of cases in one step."""
        _write(cases, self.cases_file)

    def notebook(self, learner, name):
        """Where a learner's notebook of an exercise or re-sit lies."""
        exercise, number = exercise_and_resit(name)
        return self.for_learners / learner / (name if number else "") / f"{exercise}.ipynb"

    def roster(self):
        """What the rosters so far told of each learner besides the id."""
        return _read(RosterColumns, self.roster_file).learners

    def keep_roster(self, told):
        """Keep what a roster tells besides the ids; what an earlier one told stays where this one is silent."""
        known = self.roster()
        new = known | {learner: known.get(learner, {}) | columns for learner, columns in told.items() if columns}
        if new != known:
            _write(RosterColumns(learners=new), self.roster_file)

    def closed(self):
        """The exercises whose answers are kept in the class, and what their notebooks' digests must be."""
        return _read(ClosedAnswers, self.closed_file).exercises

    def keep_closed(self, exercise, content):
        """Keep the answers notebook of a closed examination in the class."""
        write_atomically(self.closed_answers / f"{exercise}.ipynb", content.decode("utf-8"), mode=0o600)
        known = self.closed() | {exercise: hashlib.sha256(content).hexdigest()}
        _write(ClosedAnswers(exercises=known), self.closed_file)

    def answers_notebook(self, exercise, workbook):
        """The answers notebook of an exercise: closed in the class, or in the folder named now or before."""
        exercise = exercise_and_resit(exercise)[0]
        if (path := self.closed_answers / f"{exercise}.ipynb").exists() or exercise in self.closed():
            return self._closed_notebook(exercise, path, workbook)
        remembered = _read(AnswersFolders, self.answers_folders_file).folders.get(exercise)
        if workbook.answers_were_named or remembered is None:
            return workbook.answer(exercise)
        if not Path(remembered).is_dir():
            limit = f"although it was named for {exercise} of this class"
            advice = "name the folder where your answers lie now after --answers"
            raise FileAccessError.about(f"the answers folder {remembered}", "does not exist", limit, advice)
        return Workbook(workbook.root, Path(remembered)).answer(exercise)

    def _closed_notebook(self, exercise, path, workbook):
        advice = f"hand {exercise} out again with --closed and --answers FOLDER if its answers changed"
        if hashlib.sha256(read_limited(path, NOTEBOOK_LIMIT)).hexdigest() != self.closed().get(exercise):
            raise CourseError.about(str(path), "is not the notebook that was kept", advice=f"restore it, or {advice}")
        named = workbook.answers / path.name
        if workbook.answers_were_named and named.is_file() and read_limited(named, NOTEBOOK_LIMIT) != path.read_bytes():
            told = "differs from the closed answers of this class"
            raise FileAccessError.about(str(named), told, advice=f"leave --answers out, or {advice}")
        return path

    def remember_answers(self, exercises, workbook):
        """Keep the folder of answers that was named just now, for each exercise that it answers."""
        closed = self.closed()
        answered = [n for n in exercises if n not in closed and (workbook.answers / f"{n}.ipynb").is_file()]
        if not workbook.answers_were_named or not answered:
            return
        kept = _read(AnswersFolders, self.answers_folders_file)
        new = kept.model_copy(update={"folders": kept.folders | dict.fromkeys(answered, str(workbook.answers))})
        if new != kept:
            _write(new, self.answers_folders_file)


def _write(form, path):
    text = form.model_dump_json(indent=1) + "\n"
    if len(text.encode()) > CASES_LIMIT:
        told = f"would become larger than {CASES_LIMIT // 1_000_000} MB"
        raise CourseError.about(str(path), told, advice="begin another class folder for part of it")
    write_atomically(path, text, mode=0o600)


def _read(form, path):
    """One of the instructor's own files, or the empty form where there is none."""
    if not path.exists():
        return form()
    advice = "restore it from a copy; nothing was changed"
    return read_form(form, read_limited(path, CASES_LIMIT), str(path), CourseError, advice)
