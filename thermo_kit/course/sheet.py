"""A learner's answers as a file: saved at every entry, restored on reopening, never lost."""

import contextlib
import os
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, StrictBool, StrictFloat, StrictInt, ValidationError

from thermo_kit.course.cases import Case
from thermo_kit.course.files import file_errors_in_plain_words, read_limited, set_aside, write_atomically
from thermo_kit.course.forms import Form, read_form
from thermo_kit.course.tickets import TICKET, learner_of
from thermo_kit.errors import CourseError, SheetError
from thermo_kit.places import RECORDS_VARIABLE

SHEET_LIMIT = 200_000
SHEET_ENDING = ".sheet.json"

ShortText = Annotated[str, Field(max_length=500)]
LongText = Annotated[str, Field(max_length=5_000)]
Name = Annotated[str, Field(pattern=r"^[A-Za-z_][A-Za-z0-9_]{0,63}$")]


class SheetContent(Form):
    """The form of a sheet file, version 1."""

    sheet_version: Literal[1] = 1
    exercise: Annotated[str, Field(pattern=r"^\d\d(_[a-z0-9]+)+$", max_length=80)]
    numbers: Annotated[dict[Name, StrictBool | StrictInt | StrictFloat | ShortText], Field(max_length=100)]
    ticket: Annotated[str, Field(pattern=f"^({TICKET.pattern})?$")] = ""
    saved_at: ShortText = ""
    answers: Annotated[
        dict[Name, LongText | Annotated[list[ShortText], Field(max_length=50)]],
        Field(max_length=100, default_factory=dict),
    ]

    @property
    def case(self):
        """Exercise and numbers as a Case."""
        return Case(self.exercise, tuple(self.numbers.items()))


def read_sheet(path):
    """Read a sheet file as untrusted data."""
    return parse_sheet(read_limited(path, SHEET_LIMIT), Path(path).name)


def parse_sheet(raw, name):
    """The content of a sheet file, untrusted, wherever it was read."""
    if len(raw) > SHEET_LIMIT:
        raise SheetError.about(name, f"is larger than {SHEET_LIMIT // 1000} kB", advice="ask for a fresh copy")
    advice = "ask for the file again, as the notebook saved it"
    return read_form(SheetContent, raw, name, SheetError, advice)


class Sheet:
    """One learner's answers to one exercise."""

    def __init__(self, path, case, ticket=""):
        learner_of(ticket)
        self.path = Path(path)
        self.blank = SheetContent(exercise=case.exercise, numbers=case.numbers, ticket=ticket)
        self.notes = []
        self.content = self._restore()

    @property
    def answers(self):
        """The saved answers by question name."""
        return dict(self.content.answers)

    @property
    def is_handed_out(self):
        """True when a ticket says that an instructor will mark it."""
        return bool(self.blank.ticket)

    def answer(self, question, given):
        """Save one entry at once."""
        # Read again first: the notebook may be open in a second tab that saved other answers.
        current = self._restore()
        answers, now = {**current.answers, question: given}, datetime.now(UTC).isoformat(timespec="seconds")
        try:
            new = SheetContent.model_validate(current.model_dump() | {"answers": answers, "saved_at": now})
        except ValidationError as error:
            advice = "write at most 5,000 letters"
            raise SheetError.about(f"answer {question}", "is too long to be saved", advice=advice) from error
        write_atomically(self.path, new.model_dump_json(indent=1) + "\n")
        self.content = new

    def _restore(self):
        with file_errors_in_plain_words(self.path, "be read"):
            is_there = self.path.exists()
            too_large = is_there and self.path.stat().st_size > SHEET_LIMIT
        if not is_there:
            return self._take_back() or self.blank
        if too_large:
            return self._start_afresh(set_aside(self.path, "damaged"), "far too large")
        try:
            content = read_sheet(self.path)
        except SheetError:
            return self._start_afresh(set_aside(self.path, "damaged"), "damaged")
        if self._fits(content):
            return content
        kept = set_aside(self.path, "other")
        return self._take_back() or self._start_afresh(kept, "for other numbers or another learner")

    def _fits(self, content):
        same = (content.exercise, content.ticket) == (self.blank.exercise, self.blank.ticket)
        return same and content.numbers == self.blank.numbers

    def _take_back(self):
        # Notebooks in folders of the same name may share one place for their sheets, and meet there in turn.
        newest, where = None, None
        for path in sorted(self.path.parent.glob(f"{self.path.name}.other-*")):
            with contextlib.suppress(CourseError):
                content = read_sheet(path)
                if self._fits(content) and (newest is None or content.saved_at > newest.saved_at):
                    newest, where = content, path
        if newest:
            with file_errors_in_plain_words(where, "be taken back"):
                os.rename(where, self.path)
            self.notes.append("Your earlier answers to these numbers were found and taken back.")
        return newest

    def _start_afresh(self, kept, told):
        told = f"The saved answer sheet was {told}. It is kept as {kept.name}; this sheet starts empty."
        self.notes.append(told)
        return self.blank


def sheet_path(exercise, *, handed_out, folder=None):
    """Where a notebook keeps its sheet: beside it when handed out, in `sheets` in self-study."""
    folder = Path(folder or Path.cwd()).resolve()
    if not handed_out:
        # One folder for each notebook's folder: a practice round never meets the sheet of another.
        named = os.environ.get(RECORDS_VARIABLE)
        folder = Path(named).expanduser().resolve() / folder.name if named else folder / "sheets"
    return folder / f"{exercise}{SHEET_ENDING}"
