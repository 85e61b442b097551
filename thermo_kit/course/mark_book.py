"""The mark book: one SQLite file in which marks are only ever added."""

import contextlib
import json
import sqlite3
from dataclasses import asdict

from thermo_kit.course.files import file_errors_in_plain_words
from thermo_kit.course.keys import Verdict
from thermo_kit.errors import CourseError

FORM = """
CREATE TABLE IF NOT EXISTS marks (
    number INTEGER PRIMARY KEY,
    learner TEXT NOT NULL,
    exercise TEXT NOT NULL,
    sheet_digest TEXT NOT NULL,
    key_digest TEXT NOT NULL,
    points REAL NOT NULL,
    out_of REAL NOT NULL,
    verdicts TEXT NOT NULL,
    marked_at TEXT NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%SZ', 'now')),
    UNIQUE (learner, exercise, sheet_digest, key_digest)
);
CREATE TRIGGER IF NOT EXISTS marks_stay_as_written BEFORE UPDATE ON marks
BEGIN SELECT RAISE(ABORT, 'marks are only added'); END;
CREATE TRIGGER IF NOT EXISTS marks_stay_there BEFORE DELETE ON marks
BEGIN SELECT RAISE(ABORT, 'marks are only added'); END;
PRAGMA user_version = 1;
"""


class MarkBook:
    """Opens the mark book; use it in a `with` block."""

    def __init__(self, path):
        self.path = path
        with file_errors_in_plain_words(path, "be written"), self._damage_in_plain_words():
            path.parent.mkdir(parents=True, exist_ok=True)
            self._file = sqlite3.connect(path, timeout=10)
            version = self._file.execute("PRAGMA user_version").fetchone()[0]
            if version > 1:
                self._file.close()
                raise CourseError.about(str(path), f"is of version {version}", advice="update the workbook to read it")
            self._file.executescript(FORM)
            path.chmod(0o600)

    def __enter__(self):
        return self

    def __exit__(self, *_error):
        self._file.close()

    def find(self, learner, exercise, sheet_digest, key_digest):
        """The verdicts already kept for exactly this sheet and key, or None."""
        with self._damage_in_plain_words():
            row = self._file.execute(
                "SELECT verdicts FROM marks WHERE (learner, exercise, sheet_digest, key_digest) = (?, ?, ?, ?)",
                (learner, exercise, sheet_digest, key_digest),
            ).fetchone()
        return None if row is None else _verdicts(row[0])

    def newest(self, learner, exercise):
        """The last marks that were kept of a learner and an exercise, or None."""
        with self._damage_in_plain_words():
            row = self._file.execute(
                "SELECT verdicts, marked_at FROM marks WHERE (learner, exercise) = (?, ?) ORDER BY number DESC LIMIT 1",
                (learner, exercise),
            ).fetchone()
        return None if row is None else (_verdicts(row[0]), row[1])

    def add(self, learner, exercise, sheet_digest, key_digest, verdicts):
        """Keep the marks of one sheet at once, so that a killed run goes on where it was."""
        with self._damage_in_plain_words(), self._file:
            self._file.execute(
                "INSERT OR IGNORE INTO marks (learner, exercise, sheet_digest, key_digest, points, out_of, verdicts) "
                "VALUES (?, ?, ?, ?, ?, ?, ?)",
                (
                    learner,
                    exercise,
                    sheet_digest,
                    key_digest,
                    sum(v.points for v in verdicts),
                    sum(v.out_of for v in verdicts),
                    json.dumps([asdict(v) for v in verdicts]),
                ),
            )

    def count(self):
        """How many marks are kept."""
        return self._file.execute("SELECT count(*) FROM marks").fetchone()[0]

    @contextlib.contextmanager
    def _damage_in_plain_words(self):
        try:
            yield
        except sqlite3.Error as error:
            raise CourseError.about(
                f"the mark book {self.path}",
                f"cannot be used ({error})",
                advice="close other programs that use it, or restore it from a copy",
            ) from error


def _verdicts(text):
    return tuple(Verdict(**entry) for entry in json.loads(text))
