"""The learner's own record: predictions, quick questions, exit checks, practice; and what is due for review.

The rule for review: after an exit check with every answer right, come back in 2 days; each further
success in a row doubles the wait, up to 64 days. After any wrong answer, come back the next day.
"""

import contextlib
import json
import os
import secrets
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StrictBool, StrictFloat, StrictInt, ValidationError

from thermo_kit.course.files import file_errors_in_plain_words, read_limited, set_aside, write_atomically
from thermo_kit.course.workbook import find_workbook
from thermo_kit.errors import FileAccessError
from thermo_kit.places import RECORDS_VARIABLE, own_folder

RECORD_LIMIT = 5_000_000
FIRST_WAIT, LONGEST_WAIT, WAIT_AFTER_MISTAKE = 2, 64, 1

Text = Annotated[str, Field(max_length=2_000)]


class Prediction(BaseModel):
    """A prediction the learner committed to: the text, and its SI value when it is a number."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    text: Text
    value: StrictFloat | StrictInt | None = None
    on: date


class Score(BaseModel):
    """The result of an exit check or of a practice exercise."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    right: Annotated[float, Field(ge=0)]
    out_of: Annotated[float, Field(gt=0)]
    on: date


class QuickAnswer(BaseModel):
    """The last answer to a quick question."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    text: Text
    right: StrictBool
    on: date


class RecordContent(BaseModel):
    """The form of the record file, version 2; version 1 had neither `order_seed` nor `quick_questions`."""

    model_config = ConfigDict(extra="forbid")

    record_version: Literal[1, 2] = 2
    order_seed: Annotated[str, Field(max_length=64)] = ""
    predictions: dict[Text, list[Prediction]] = {}
    quick_questions: dict[Text, QuickAnswer] = {}
    exit_checks: dict[Text, list[Score]] = {}
    practice: dict[Text, list[Score]] = {}


@dataclass(frozen=True)
class Review:
    """When a lesson should be looked at again. `days_left` is 0 or less when it is due."""

    lesson: str
    last: Score
    due_on: date
    days_left: int


class Progress:
    """The record file. Every change is read, added and written at once; days are those of the learner's own place."""

    def __init__(self, folder=None, today=None):
        self.path = Path(folder or own_folder()) / "progress.json"
        self._may_take_over = folder is None and not os.environ.get(RECORDS_VARIABLE)
        self._today = today or date.today
        self.notes = []

    def read(self):
        """The whole record; a damaged file is set aside and an empty record begun."""
        with file_errors_in_plain_words(self.path, "be read"):
            is_there = self.path.exists()
        return self._read(self.path) if is_there else self._taken_over()

    def _read(self, path):
        try:
            return RecordContent.model_validate(json.loads(read_limited(path, RECORD_LIMIT).decode("utf-8")))
        except (ValidationError, ValueError, RecursionError):
            new = set_aside(path, "damaged")
            self.notes.append(f"Your progress record was damaged. It is kept as {new.name}; a new one begins.")
            return RecordContent()

    def _taken_over(self):
        # Before it had a place of its own, the record lay in the workbook.
        old = _record_in_workbook() if self._may_take_over else None
        if old is None:
            return RecordContent()
        content = self._read(old)
        self._write(content)
        with contextlib.suppress(FileAccessError):
            set_aside(old, "taken_over")
        return content

    @property
    def order_seed(self):
        """What the order of options is drawn from for this learner; empty before anything is recorded."""
        try:
            return self.read().order_seed
        except FileAccessError:
            return ""

    def last_quick_answer(self, name):
        """The kept answer to a quick question, or None."""
        return self.read().quick_questions.get(name)

    def keep_quick_answer(self, name, text, right):
        """Keep the last answer to a quick question."""
        content = self.read()
        content.quick_questions[name] = QuickAnswer(text=text, right=right, on=self._today())
        self._write(content)

    def last_prediction(self, name):
        """The newest prediction of that name."""
        return (self.read().predictions.get(name) or [None])[-1]

    def keep_prediction(self, name, text, value=None):
        """Add a prediction; value [SI]."""
        self._add("predictions", name, Prediction(text=text, value=value, on=self._today()))

    def keep_exit_check(self, lesson, right, out_of):
        """Add the result of an exit check."""
        self._add("exit_checks", lesson, Score(right=right, out_of=out_of, on=self._today()))

    def keep_practice(self, exercise, right, out_of):
        """Add the result of a self-study exercise."""
        self._add("practice", exercise, Score(right=right, out_of=out_of, on=self._today()))

    def _add(self, part, name, entry):
        content = self.read()
        getattr(content, part).setdefault(name, []).append(entry)
        self._write(content)

    def _write(self, content):
        seed = content.order_seed or secrets.token_hex(8)
        content = content.model_copy(update={"record_version": 2, "order_seed": seed})
        write_atomically(self.path, content.model_dump_json(indent=1) + "\n")

    def reviews(self):
        """Every lesson with an exit check, the one most due first."""
        found = []
        for lesson, scores in self.read().exit_checks.items():
            due = scores[-1].on + timedelta(days=wait_before_review(scores))
            found.append(Review(lesson, scores[-1], due, (due - self._today()).days))
        return tuple(sorted(found, key=lambda review: (review.due_on, review.lesson)))


def _record_in_workbook():
    with contextlib.suppress(FileAccessError, OSError):
        path = find_workbook().root / "sheets" / "progress.json"
        return path if path.is_file() else None


def wait_before_review(scores):
    """How long to wait after the last of these exit checks."""
    days_of_success = set()
    for score in reversed(scores):
        if score.right < score.out_of:
            break
        # Two checks on one day show the same memory once.
        days_of_success.add(score.on)
    if not days_of_success:
        return WAIT_AFTER_MISTAKE
    return min(FIRST_WAIT * 2 ** (len(days_of_success) - 1), LONGEST_WAIT)
