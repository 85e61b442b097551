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
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import NamedTuple

from thermo_kit.course.files import file_errors_in_plain_words, read_limited, set_aside, write_atomically
from thermo_kit.course.keys import RIGHT
from thermo_kit.course.report import safe_cell
from thermo_kit.course.workbook import find_workbook
from thermo_kit.errors import CourseError, FileAccessError, FileRefusedError, InputError
from thermo_kit.places import RECORDS_VARIABLE, own_folder

FILE_NAME, OLD_NAME = "record.sqlite", "progress.json"
# Versions 1 and 2 were JSON in a file of the old name.
VERSION = 3
OLD_LIMIT = 5_000_000
LONGEST_TEXT = 5_000
FIRST_WAIT, LONGEST_WAIT, WAIT_AFTER_MISTAKE = 2, 64, 1
MODES = ("lesson", "practice", "examination", "exercise")
EXIT_CHECK, EXERCISE = "exit check", "exercise"
# A clock may be corrected by so much without a word.
CLOCK_SLACK = timedelta(minutes=5)

ADDED_ONLY = {
    "answers": "question TEXT NOT NULL, topic TEXT NOT NULL, is_right INTEGER NOT NULL, mistake TEXT NOT NULL, "
    "at TEXT NOT NULL, mode TEXT NOT NULL, text TEXT NOT NULL",
    "predictions": "name TEXT NOT NULL, text TEXT NOT NULL, value REAL, unit TEXT NOT NULL, at TEXT NOT NULL",
    "outcomes": "text TEXT NOT NULL, value REAL, at TEXT NOT NULL",
    "scores": "kind TEXT NOT NULL, name TEXT NOT NULL, points REAL NOT NULL, out_of REAL NOT NULL, at TEXT NOT NULL",
}
TABLES = (
    *(f"CREATE TABLE {name} (number INTEGER PRIMARY KEY, {columns})" for name, columns in ADDED_ONLY.items()),
    *(
        f"CREATE TRIGGER {name}_no_{what} BEFORE {what} ON {name} BEGIN SELECT RAISE(ABORT, 'only added'); END"
        for name in ADDED_ONLY
        for what in ("UPDATE", "DELETE")
    ),
    "CREATE INDEX answers_by_question ON answers (question, number)",
    "CREATE INDEX predictions_by_name ON predictions (name, number)",
    "CREATE TABLE state (name TEXT PRIMARY KEY, data TEXT NOT NULL)",
)
_PREDICTIONS = (
    "SELECT p.name, p.text, p.value, p.unit, p.at, o.text, o.value, o.at "
    "FROM predictions p LEFT JOIN outcomes o ON o.number = p.number"
)
# What SQLite says of a file that is no database, is broken, or holds other tables than ours.
_DAMAGE = {sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_ERROR}


class Answer(NamedTuple):
    """One answer, in whichever part of the workbook; `number` grows with each (a tuple, as there may be very many)."""

    question: str
    topic: str
    right: bool
    mistake: str
    at: datetime
    mode: str
    text: str
    number: int = 0

    @property
    def on(self):
        """The learner's own day."""
        return self.at.date()


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
        self.notes = []

    @property
    def today(self):
        """The learner's own day."""
        return self.now().date()

    @property
    def order_seed(self):
        """What the order of options is drawn from for this learner; empty before anything is recorded."""
        try:
            return self.state("order_seed", "")
        except FileAccessError:
            return ""

    def answers(self, *, after=0):
        """Every answer in the order given; `after`: only those of a higher number."""
        query = "SELECT question, topic, is_right, mistake, at, mode, text, number FROM answers WHERE number > ?"
        return self._do(lambda file: tuple(map(_answer, file.execute(query + " ORDER BY number", (after,)))))

    def last_answer(self, question):
        """The newest answer to a question, or None."""
        query = "SELECT question, topic, is_right, mistake, at, mode, text, number FROM answers WHERE question = ?"
        return _first(
            self._do(lambda file: [*map(_answer, file.execute(query + " ORDER BY number DESC LIMIT 1", (question,)))])
        )

    def keep_answer(self, question, *, right, mode, text="", mistake="", topic=""):
        """Add an answer at once."""
        if mode not in MODES:
            raise InputError.about("the mode of an answer", repr(mode), f"is none of {', '.join(MODES)}")
        self._add("answers", question, topic, bool(right), mistake, self._stamp(), mode, str(text)[:LONGEST_TEXT])

    def predictions(self):
        """Every prediction with what came, in the order committed."""
        return self._do(lambda file: tuple(map(_prediction, file.execute(_PREDICTIONS + " ORDER BY p.number"))))

    def last_prediction(self, name):
        """The newest prediction of that name, or None."""
        query = _PREDICTIONS + " WHERE p.name = ? ORDER BY p.number DESC LIMIT 1"
        return _first(self._do(lambda file: [*map(_prediction, file.execute(query, (name,)))]))

    def keep_prediction(self, name, text, value=None, unit=""):
        """Add a prediction; value [SI]."""
        self._add("predictions", name, str(text)[:LONGEST_TEXT], value, unit, self._stamp())

    def keep_outcome(self, name, text, value=None):
        """Add what came after the newest prediction of that name, if it has none yet; value [SI]."""
        newest = "SELECT number FROM predictions WHERE name = ? ORDER BY number DESC LIMIT 1"
        words = f"INSERT OR IGNORE INTO outcomes (number, text, value, at) SELECT ({newest}), ?, ?, ?"
        words += " WHERE EXISTS (SELECT 1 FROM predictions WHERE name = ?)"
        self._do(lambda file: file.execute(words, (name, text, value, self._stamp(), name)), writing=True)

    def scores(self, kind):
        """The results of one kind, `EXIT_CHECK` or `EXERCISE`, in the order kept."""
        query = "SELECT name, points, out_of, at FROM scores WHERE kind = ? ORDER BY number"
        return self._do(
            lambda file: tuple(
                Score(name, points, out_of, _when(at).date())
                for name, points, out_of, at in file.execute(query, (kind,))
            )
        )

    def keep_score(self, kind, name, right, out_of):
        """Add the result of an exit check or of an exercise."""
        self._add("scores", kind, name, right, out_of, self._stamp())

    def state(self, name, default=None):
        """What was kept under a name."""
        row = self._do(lambda file: file.execute("SELECT data FROM state WHERE name = ?", (name,)).fetchone())
        return default if row is None else json.loads(row[0])

    def keep_state(self, name, data):
        """Keep plain data under a name, in place of what was there."""
        values = (name, json.dumps(data))
        self._do(lambda file: file.execute("INSERT OR REPLACE INTO state VALUES (?, ?)", values), writing=True)

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

    def told(self):
        """What the learner should know of the record itself: damage, an old file taken over, a clock set back."""
        newest = self._do(lambda file: file.execute(f"SELECT {', '.join(map(_newest, ADDED_ONLY))}").fetchone())
        last = max((_when(at) for at in newest if at), default=None)
        if last and last > self.now() + CLOCK_SLACK:
            told = (
                f"The clock shows {self.now():%Y-%m-%d %H:%M}, but your record has an entry of {last:%Y-%m-%d %H:%M}."
            )
            told += " Set the clock right. Nothing is lost, and what waits for a later day is asked now."
            self.notes = [*(note for note in self.notes if not note.startswith("The clock ")), told]
        return tuple(self.notes)

    def export(self, path):
        """Write all entries as one CSV file that a spreadsheet opens; return how many."""
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\r\n")
        writer.writerow(("at", "entry", "name", "topic", "text", "value_SI", "points", "out_of", "mistake"))
        rows = [(a.at, a.mode, a.question, a.topic, a.text, "", int(a.right), 1, a.mistake) for a in self.answers()]
        for p in self.predictions():
            rows.append((p.at, "prediction", p.name, "", p.text, p.value, "", "", ""))
            if p.came_at:
                rows.append((p.came_at, "what came", p.name, "", p.came, p.came_value, "", "", ""))
        for kind in (EXIT_CHECK, EXERCISE):
            rows += [(s.on, f"result of {kind}", s.name, "", "", "", s.right, s.out_of, "") for s in self.scores(kind)]
        for at, *cells in rows:
            writer.writerow([at.isoformat(), *(safe_cell(cell) if isinstance(cell, str) else cell for cell in cells)])
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

    def _add(self, table, *values):
        columns = ", ".join(part.split()[0] for part in ADDED_ONLY[table].split(", "))
        words = f"INSERT INTO {table} ({columns}) VALUES ({', '.join('?' * len(values))})"
        self._do(lambda file: file.execute(words, values), writing=True)

    def _do(self, work, *, writing=False):
        """Do one thing with the open file: whole, or not at all. A damaged file is set aside, and a new one begun."""
        for is_new in (False, True):
            seen = self._identity()
            try:
                with file_errors_in_plain_words(self.path, "be used"), self._opened(writing) as file:
                    if not writing:
                        return work(file)
                    file.execute("BEGIN IMMEDIATE")
                    file.execute("INSERT OR IGNORE INTO state VALUES ('order_seed', ?)", (f'"{secrets.token_hex(8)}"',))
                    result = work(file)
                    file.execute("COMMIT")
                    return result
            except (sqlite3.Error, ValueError, TypeError) as error:
                code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_CORRUPT) & 0xFF
                if is_new or code not in _DAMAGE:
                    raise FileRefusedError.about(
                        f"your record {self.path}",
                        f"cannot be used ({error})",
                        advice="close other programs that use it, and see that the disk is not full",
                    ) from error
                # Unless another program has just begun a new one.
                if self._identity() == seen:
                    self._set_damaged_aside()

    @contextlib.contextmanager
    def _opened(self, writing):
        is_there = writing or self.path.exists() or self._old() is not None
        if is_there:
            self.path.parent.mkdir(parents=True, exist_ok=True)
        # Without a level of isolation Python begins no transaction by itself.
        file = sqlite3.connect(self.path if is_there else ":memory:", timeout=20, isolation_level=None)
        try:
            version = _version(file)
            if version > VERSION:
                raise CourseError.about(str(self.path), f"is of version {version}", advice="update the workbook")
            if version < VERSION:
                self._begin(file, is_there)
            yield file
        finally:
            # What was not committed is undone by this.
            file.close()

    def _begin(self, file, is_there):
        file.execute("BEGIN IMMEDIATE")
        if _version(file) == VERSION:
            # Another program did it in the meantime.
            file.execute("ROLLBACK")
            return
        for words in TABLES:
            file.execute(words)
        old = self._old() if is_there else None
        aside = self._take_over(file, old) if old else None
        file.execute(f"PRAGMA user_version = {VERSION}")
        file.execute("COMMIT")
        if is_there:
            self.path.chmod(0o600)
        if old:
            with contextlib.suppress(FileAccessError):
                new = set_aside(old, aside)
                if aside == "damaged":
                    told = f"Your older progress record was damaged. It is kept as {new.name}; a new one begins."
                    self.notes.append(told)

    def _take_over(self, file, old):
        """Add what the JSON record held; return the word under which it is set aside."""
        try:
            rows = _rows_of_old(json.loads(read_limited(old, OLD_LIMIT).decode("utf-8")))
        except (FileAccessError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
            return "damaged"
        for words, values in rows:
            file.execute(words, values)
        return "taken_over"

    def _old(self):
        own = self.path.with_name(OLD_NAME)
        if own.exists() or not self._may_take_over:
            return own if own.exists() else None
        # Before it had a place of its own, the record lay in the workbook.
        with contextlib.suppress(FileAccessError, OSError):
            path = find_workbook().root / "sheets" / OLD_NAME
            return path if path.is_file() else None

    def _identity(self):
        with file_errors_in_plain_words(self.path, "be read"):
            return self.path.stat().st_ino if self.path.exists() else None

    def _set_damaged_aside(self):
        with file_errors_in_plain_words(self.path, "be set aside"):
            new = set_aside(self.path, "damaged")
            journal = self.path.with_name(f"{FILE_NAME}-journal")
            if journal.exists():
                # It belongs to the damaged file; SQLite would apply it to the new one.
                journal.rename(new.with_name(f"{new.name}-journal"))
        self.notes.append(f"Your record was damaged. It is kept as {new.name}; a new one begins.")


def keep_judged(record, question, verdict, given, mode, topic=""):
    """Add a judged answer; the same one given again on the same day shows the same memory and adds nothing."""
    text = given if isinstance(given, str) else " → ".join(given)
    last = record.last_answer(question)
    if last is None or (last.text, last.mode, last.on) != (text[:LONGEST_TEXT], mode, record.today):
        right, mistake = verdict.verdict == RIGHT, verdict.mistake
        record.keep_answer(question, topic=topic, right=right, mistake=mistake, mode=mode, text=text)


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


def _rows_of_old(content):
    """The statements that add what a record of version 1 or 2 held."""
    if content["record_version"] not in (1, 2):
        raise ValueError("another version")
    rows = []
    if seed := content.get("order_seed"):
        rows.append(("INSERT INTO state VALUES ('order_seed', ?)", (json.dumps(str(seed)),)))
    for name, kept in content.get("quick_questions", {}).items():
        values = (name, bool(kept["right"]), _noon(kept["on"]), str(kept["text"]))
        words = "INSERT INTO answers (question, topic, is_right, mistake, at, mode, text) "
        rows.append((words + "VALUES (?, '', ?, '', ?, 'lesson', ?)", values))
    for name, several in content.get("predictions", {}).items():
        words = "INSERT INTO predictions (name, text, value, unit, at) VALUES (?, ?, ?, '', ?)"
        for kept in several:
            value = None if kept.get("value") is None else float(kept["value"])
            rows.append((words, (name, str(kept["text"]), value, _noon(kept["on"]))))
    for part, kind in (("exit_checks", EXIT_CHECK), ("practice", EXERCISE)):
        words = "INSERT INTO scores (kind, name, points, out_of, at) VALUES (?, ?, ?, ?, ?)"
        for name, several in content.get(part, {}).items():
            for kept in several:
                rows.append((words, (kind, name, float(kept["right"]), float(kept["out_of"]), _noon(kept["on"]))))
    return rows


def _noon(day):
    return datetime.combine(date.fromisoformat(day), time(12)).astimezone().isoformat(timespec="milliseconds")


def _answer(row):
    question, topic, right, mistake, at, mode, text, number = row
    return Answer(question, topic, bool(right), mistake, datetime.fromisoformat(at), mode, text, number)


def _prediction(row):
    name, text, value, unit, at, came, came_value, came_at = row
    return Prediction(name, text, value, unit, _when(at), came, came_value, came_at and _when(came_at))


def _when(text):
    return datetime.fromisoformat(text)


def _first(found):
    return found[0] if found else None


def _newest(table):
    return f"(SELECT at FROM {table} ORDER BY number DESC LIMIT 1)"


def _version(file):
    return file.execute("PRAGMA user_version").fetchone()[0]
