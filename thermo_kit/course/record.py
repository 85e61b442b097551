"""The learner's own record: one SQLite file in which answers, predictions and scores are only ever added.

The rule for review: after an exit check with every answer right, come back in 2 days; each further
success in a row doubles the wait, up to 64 days. After any wrong answer, come back the next day.
"""

import contextlib
import csv
import io
import json
import os
import secrets
import sqlite3
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from importlib.resources import files
from pathlib import Path
from typing import NamedTuple

from thermo_kit.course.files import file_errors_in_plain_words, read_limited, set_aside, write_atomically
from thermo_kit.course.keys import BY_HAND, EMPTY, RIGHT, UNREADABLE
from thermo_kit.course.report import safe_cell
from thermo_kit.course.workbook import find_workbook
from thermo_kit.errors import CourseError, FileAccessError, FileRefusedError
from thermo_kit.places import RECORDS_VARIABLE, own_folder

FILE_NAME, OLD_NAME = "record.sqlite", "progress.json"
# Versions 1 and 2 were JSON in a file of the old name.
VERSION = 3
OLD_LIMIT = 5_000_000
LONGEST_TEXT = 5_000
FIRST_WAIT, LONGEST_WAIT, WAIT_AFTER_MISTAKE = 2, 64, 1
EXIT_CHECK, EXERCISE = "exit check", "exercise"
# A clock may be corrected by so much without a word.
CLOCK_SLACK = timedelta(minutes=5)
# What SQLite says of a file that is no database, is broken, or holds other tables than ours.
_DAMAGE = ("not a database", "malformed", "no such table", "no such column", "already exists")


class Answer(NamedTuple):
    """One answer in a "lesson", "exercise", "practice" or "examination" (its mode); `number` grows with each."""

    question: str
    topic: str
    right: bool
    mistake: str
    at: datetime
    mode: str
    text: str
    number: int = 0


@dataclass(frozen=True)
class Prediction:
    """A prediction the learner committed to, and what came; values in SI of `unit`'s kind where they are numbers."""

    name: str
    text: str
    value: float | None
    unit: str
    at: datetime
    came: str | None = None
    came_value: float | None = None
    came_at: datetime | None = None


@dataclass(frozen=True)
class Score:
    """The result of an exit check or of a practice exercise."""

    name: str
    right: float
    out_of: float
    on: date


@dataclass(frozen=True)
class Review:
    """When a lesson should be looked at again. `days_left` is 0 or less when it is due."""

    lesson: str
    last: Score
    due_on: date
    days_left: int


class Record:
    """The record file; each call opens it and is whole when it returns. Days are those of the learner's own place."""

    def __init__(self, folder=None, now=None):
        self.path = Path(folder or own_folder()) / FILE_NAME
        self._may_take_over = folder is None and not os.environ.get(RECORDS_VARIABLE)
        self.now = now or (lambda: datetime.now().astimezone())
        self._note = ""

    @property
    def today(self):
        """The learner's own day."""
        return self.now().date()

    @property
    def order_seed(self):
        """What the order of options is drawn from for this learner; empty before anything is recorded."""
        try:
            return self.state("order_seed", "")
        except CourseError:
            return ""

    def answers(self, *, after=0):
        """Every answer in the order given; `after`: only those of a higher number."""
        return self._read("SELECT * FROM answers WHERE number > ? ORDER BY number", after, made=_answer)

    def answer_columns(self, *, after=0):
        """The answers of a higher number as four columns, fast: number, question, right, when (aware times)."""

        def work(file):
            query = "SELECT number, question, is_right, at FROM answers WHERE number > ? ORDER BY number"
            rows = file.execute(query, (after,)).fetchall()
            return *([row[at] for row in rows] for at in range(3)), [datetime.fromisoformat(row[3]) for row in rows]

        return self._do(work, writing=False)

    def last_answer(self, question, mode="%"):
        """The newest answer to a question, or the newest of one mode, or None."""
        query = "SELECT * FROM answers WHERE question = ? AND mode LIKE ? ORDER BY number DESC LIMIT 1"
        return (*self._read(query, question, mode, made=_answer), None)[0]

    def keep_answer(self, question, *, right, mode, text="", mistake="", topic=""):
        """Add an answer at once."""
        values = (question, topic, bool(right), mistake, self._stamp(), mode, str(text)[:LONGEST_TEXT])
        self._write("INSERT INTO answers VALUES (NULL, ?, ?, ?, ?, ?, ?, ?)", *values)

    def predictions(self):
        """Every prediction with what came, in the order committed."""
        return self._read("SELECT * FROM predicted ORDER BY number", made=_prediction)

    def last_prediction(self, name):
        """The newest prediction of that name, or None."""
        query = "SELECT * FROM predicted WHERE name = ? ORDER BY number DESC LIMIT 1"
        return (*self._read(query, name, made=_prediction), None)[0]

    def keep_prediction(self, name, text, value=None, unit=""):
        """Add a prediction; value [SI]."""
        values = (name, str(text)[:LONGEST_TEXT], value, unit, self._stamp())
        self._write("INSERT INTO predictions VALUES (NULL, ?, ?, ?, ?, ?)", *values)

    def keep_outcome(self, name, text, value=None):
        """Add what came after the newest prediction of that name, if it has none yet; value [SI]."""
        newest = "SELECT number, ?, ?, ? FROM predictions WHERE name = ? ORDER BY number DESC LIMIT 1"
        self._write(f"INSERT OR IGNORE INTO outcomes {newest}", text, value, self._stamp(), name)

    def scores(self, kind):
        """The results of one kind, `EXIT_CHECK` or `EXERCISE`, in the order kept."""
        return self._read("SELECT * FROM scores WHERE kind = ? ORDER BY number", kind, made=_score)

    def keep_score(self, kind, name, right, out_of):
        """Add the result of an exit check or of an exercise."""
        self._write("INSERT INTO scores VALUES (NULL, ?, ?, ?, ?, ?)", kind, name, right, out_of, self._stamp())

    def state(self, name, default=None):
        """What was kept under a name."""
        rows = self._read("SELECT data FROM state WHERE name = ?", name, made=lambda row: json.loads(row[0]))
        return rows[0] if rows else default

    def keep_state(self, name, data):
        """Keep plain data under a name, in place of what was there."""
        self._write("INSERT OR REPLACE INTO state VALUES (?, ?)", name, json.dumps(data))

    def reviews(self):
        """Every lesson with an exit check, the one most due first."""
        by_lesson, found = {}, []
        for score in self.scores(EXIT_CHECK):
            by_lesson.setdefault(score.name, []).append(score)
        for lesson, scores in by_lesson.items():
            due = scores[-1].on + timedelta(days=wait_before_review(scores))
            # A result from the future: the clock was wrong then or is now, and nobody shall wait for it.
            due = self.today if scores[-1].on > self.today else due
            found.append(Review(lesson, scores[-1], due, (due - self.today).days))
        return tuple(sorted(found, key=lambda review: (review.due_on, review.lesson)))

    def minutes(self):
        """The minutes worked on each lesson and its exercise, by number: gaps of ten minutes or more do not count."""
        return dict(self._read("SELECT lesson, minutes FROM worked", made=tuple))

    def told(self):
        """What the learner should know of the record itself: that one was damaged, that the clock was set back."""
        notes = [self.state("note")] if self.state("note") else []
        last, now = max(self._read("SELECT at FROM newest", made=lambda row: _when(row[0])), default=None), self.now()
        if last and last > now + CLOCK_SLACK:
            told = f"The clock shows {now:%Y-%m-%d %H:%M}, but your record has an entry of {last:%Y-%m-%d %H:%M}."
            notes.append(f"{told} Set it right. Nothing is lost, and what waits for a later day is asked now.")
        return tuple(notes)

    def export(self, path):
        """Write all entries as one CSV file that a spreadsheet opens; return how many."""
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\r\n")
        rows = self._read("SELECT * FROM entries", made=tuple)
        writer.writerow(("at", "entry", "name", "topic", "text", "value_SI", "points", "out_of", "mistake"))
        writer.writerows([safe_cell(cell) if isinstance(cell, str) else cell for cell in row] for row in rows)
        write_atomically(path, "\ufeff" + out.getvalue(), mode=0o600)
        return len(rows)

    def forget(self):
        """Delete the record and all that was set aside of it; return the names of the deleted files."""
        found = [path for name in (FILE_NAME, OLD_NAME) for path in sorted(self.path.parent.glob(f"{name}*"))]
        for path in found:
            with file_errors_in_plain_words(path, "be deleted"):
                path.unlink()
        return tuple(path.name for path in found)

    def _stamp(self):
        return self.now().isoformat(timespec="milliseconds")

    def _read(self, query, *values, made):
        return self._do(lambda file: tuple(map(made, file.execute(query, values))), writing=False)

    def _write(self, words, *values):
        def work(file):
            file.execute("BEGIN IMMEDIATE")
            seed = json.dumps(secrets.token_hex(8))
            file.execute("INSERT OR IGNORE INTO state VALUES ('order_seed', ?)", (seed,))
            file.execute(words, values)
            file.execute("COMMIT")

        self._do(work, writing=True)

    def _do(self, work, *, writing):
        """Do one thing with the open file: whole, or not at all. A damaged file is set aside, and a new one begun."""
        for is_new in (False, True):
            try:
                with file_errors_in_plain_words(self.path, "be used"):
                    seen = self.path.stat().st_ino if self.path.exists() else None
                    is_there = writing or seen or self._note or self._old()
                    if is_there:
                        self.path.parent.mkdir(parents=True, exist_ok=True)
                    # Without a level of isolation Python begins no transaction by itself; closing undoes an open one.
                    place = self.path if is_there else ":memory:"
                    with contextlib.closing(sqlite3.connect(place, timeout=20, isolation_level=None)) as file:
                        self._bring_up_to_date(file, is_there)
                        if self._note:
                            values = ("note", json.dumps(self._note))
                            file.execute("INSERT OR REPLACE INTO state VALUES (?, ?)", values)
                            self._note = ""
                        return work(file)
            except (sqlite3.Error, ValueError, TypeError) as error:
                is_damage = not isinstance(error, sqlite3.Error) or any(words in str(error) for words in _DAMAGE)
                if is_new or not is_damage:
                    raise self._refused(error) from error
                self._set_damaged_aside(seen)

    def _refused(self, error):
        advice = "close other programs that use it, and see that the disk is not full"
        return FileRefusedError.about(f"your record {self.path}", f"cannot be used ({error})", advice=advice)

    def _bring_up_to_date(self, file, is_there):
        if (version := _version(file)) == VERSION:
            return
        if version > VERSION:
            raise CourseError.about(str(self.path), f"is of version {version}", advice="update the workbook to read it")
        old = self._old() if is_there else None
        schema = (files("thermo_kit.course") / "record.sql").read_text("utf-8").split("\n\n")[1:]
        # What an older record holds may be refused; then the new one begins empty.
        for content in filter(None, (old and _text_of(old), "{}")):
            file.execute("BEGIN IMMEDIATE")
            if _version(file) == VERSION:
                # Another program did it in the meantime.
                return file.execute("ROLLBACK")
            with contextlib.suppress(sqlite3.IntegrityError):
                for words in schema:
                    file.execute(words, {"old": content, "offset": self.now().isoformat()[-6:]})
                break
            file.execute("ROLLBACK")
        file.execute("COMMIT")
        if is_there:
            self.path.chmod(0o600)
        if old:
            with contextlib.suppress(FileAccessError):
                self._keep_aside(old, "damaged" if content == "{}" else "taken_over")

    def _old(self):
        own = self.path.with_name(OLD_NAME)
        if own.exists() or not self._may_take_over:
            return own if own.exists() else None
        # Before it had a place of its own, the record lay in the workbook.
        with contextlib.suppress(FileAccessError, OSError):
            path = find_workbook().root / "sheets" / OLD_NAME
            return path if path.is_file() else None

    def _set_damaged_aside(self, seen):
        # Of several programs that met the damage, one acts; the others find a new file.
        try:
            lock = sqlite3.connect(self.path.with_name(f"{FILE_NAME}.lock"), timeout=20, isolation_level=None)
            lock.execute("BEGIN EXCLUSIVE")
        except sqlite3.Error as error:
            raise self._refused(error) from error
        with file_errors_in_plain_words(self.path, "be set aside"), contextlib.closing(lock):
            if self.path.exists() and self.path.stat().st_ino == seen:
                # The journal first: beside a new file SQLite would apply it to that one.
                for path in (self.path.with_name(f"{FILE_NAME}-journal"), self.path):
                    if path.exists():
                        self._keep_aside(path, "damaged")

    def _keep_aside(self, path, word):
        new = set_aside(path, word)
        if word == "damaged":
            self._note = f"On {self.today} your record was damaged. It is kept as {new.name}; a new one began."
        return new


def keep_judged(record, question, verdict, given, mode, topic=""):
    """Add a judged answer; the same one on the same day shows the same memory, unless other numbers make it right."""
    text = given if isinstance(given, str) else " → ".join(given)
    last, right = record.last_answer(question), verdict.verdict == RIGHT
    kept = last and (last.text, last.right, last.mode, last.at.date())
    is_new = kept != (text[:LONGEST_TEXT], right, mode, record.today)
    if is_new and verdict.verdict not in (EMPTY, UNREADABLE, BY_HAND):
        record.keep_answer(question, topic=topic, right=right, mistake=verdict.mistake, mode=mode, text=text)


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


def _text_of(old):
    """The JSON of an older record, or nothing where it is damaged."""
    try:
        text = read_limited(old, OLD_LIMIT).decode("utf-8")
        return text if json.loads(text)["record_version"] in (1, 2) else ""
    except (FileAccessError, ValueError, TypeError, KeyError, RecursionError):
        return ""


def _answer(row):
    number, question, topic, right, mistake, at, mode, text = row
    return Answer(question, topic, bool(right), mistake, _when(at), mode, text, number)


def _prediction(row):
    *asked, at, came, came_value, came_at, _number = row
    return Prediction(*asked, _when(at), came, came_value, came_at and _when(came_at))


def _score(row):
    _number, _kind, name, points, out_of, at = row
    return Score(name, points, out_of, _when(at).date())


def _when(text):
    return datetime.fromisoformat(text)


def _version(file):
    return file.execute("PRAGMA user_version").fetchone()[0]
