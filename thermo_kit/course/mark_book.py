"""The mark book: one SQLite file in which marks, and decisions on them, are only ever added."""

import contextlib
import json
import sqlite3
import tomllib
from dataclasses import asdict, dataclass
from pathlib import Path

from thermo_kit.course.decisions import Decision
from thermo_kit.course.files import file_errors_in_plain_words
from thermo_kit.course.keys import Verdict
from thermo_kit.errors import CourseError

VERSION = 3
STEPS = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
COLUMNS = "learner, exercise, question, points, why, decided_by, sheet_digest, answer_digest"


@dataclass(frozen=True)
class KeptMark:
    """One row of the mark book.

    verdicts: empty where the row is damaged
    answers: what was marked; None in rows of version 1 and where the row is damaged
    """

    number: int
    sheet_digest: str
    key_digest: str
    verdicts: tuple[Verdict, ...]
    answers: dict | None
    marked_at: str

    def says(self, sheet_digest, key_digest, verdicts):
        """Whether this row already holds exactly that mark, with its answers."""
        same = (self.sheet_digest, self.key_digest) == (sheet_digest, key_digest) and self.answers is not None
        return same and [_gist(v) for v in self.verdicts] == [_gist(v) for v in verdicts]


class MarkBook:
    """Opens the mark book; use it in a `with` block."""

    def __init__(self, path):
        self.path = path
        with file_errors_in_plain_words(path, "be written"), self._damage_in_plain_words():
            path.parent.mkdir(parents=True, exist_ok=True)
            # Without a level of isolation Python begins no transaction by itself.
            self._file = sqlite3.connect(path, timeout=10, isolation_level=None)
            version = self._version()
            if version > VERSION:
                self._file.close()
                raise CourseError.about(str(path), f"is of version {version}", advice="update the workbook to read it")
            if version < VERSION:
                self._bring_up_to_date()
            path.chmod(0o600)

    def __enter__(self):
        return self

    def __exit__(self, *_error):
        self._file.close()

    def _version(self):
        return self._file.execute("PRAGMA user_version").fetchone()[0]

    def _bring_up_to_date(self):
        with self._alone():
            if self._version() == VERSION:
                # Another program did it in the meantime.
                return
            names = ["to_version_3"]
            if self._version() < 2:
                is_old = self._file.execute("SELECT count(*) FROM sqlite_master WHERE name = 'marks'").fetchone()[0]
                old = ["before_version_2", "version_2", "from_version_1"] if is_old else ["version_2"]
                names = [*old, *names]
            for words in (words for name in names for words in STEPS[name]):
                self._file.execute(words)

    @contextlib.contextmanager
    def _alone(self):
        """One step for all other programs: done whole, or not at all."""
        self._file.execute("BEGIN IMMEDIATE")
        try:
            yield
        except BaseException:
            self._file.execute("ROLLBACK")
            raise
        self._file.execute("COMMIT")

    def newest(self, learner, exercise):
        """The last mark that was kept of a learner and an exercise, or None."""
        with self._damage_in_plain_words():
            row = self._file.execute(
                "SELECT number, sheet_digest, key_digest, verdicts, answers, marked_at FROM marks "
                "WHERE (learner, exercise) = (?, ?) ORDER BY number DESC LIMIT 1",
                (learner, exercise),
            ).fetchone()
        return None if row is None else _kept(*row)

    def add(self, learner, exercise, sheet_digest, key_digest, verdicts, answers, again=False):
        """Keep a mark at once unless the newest one says the same; → whether it was added."""
        with self._damage_in_plain_words(), self._alone():
            newest = self.newest(learner, exercise)
            if newest and not again and newest.says(sheet_digest, key_digest, verdicts):
                return False
            self._file.execute(
                "INSERT INTO marks "
                "(learner, exercise, sheet_digest, key_digest, points, out_of, verdicts, answers) "
                "VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                (
                    learner,
                    exercise,
                    sheet_digest,
                    key_digest,
                    sum(v.points for v in verdicts),
                    sum(v.out_of for v in verdicts),
                    json.dumps([asdict(v) for v in verdicts]),
                    json.dumps(answers),
                ),
            )
            return True

    def decide(self, decisions):
        """Keep decisions, all of them or none."""
        with self._damage_in_plain_words(), self._alone():
            self._file.executemany(
                f"INSERT INTO decisions ({COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                [tuple(asdict(decision).values())[:-1] for decision in decisions],
            )

    def decisions(self):
        """All decisions: (learner, exercise, question) → those on this question, the oldest first."""
        found = {}
        with self._damage_in_plain_words():
            for row in self._file.execute(f"SELECT {COLUMNS}, decided_at FROM decisions ORDER BY number"):
                decision = Decision(*row)
                found[decision.place] = (*found.get(decision.place, ()), decision)
        return found

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


def _kept(number, sheet_digest, key_digest, verdicts, answers, marked_at):
    try:
        judged = tuple(Verdict(**entry) for entry in json.loads(verdicts))
        given = None if answers is None else dict(json.loads(answers))
        sum(v.points + v.out_of for v in judged)
    except (ValueError, TypeError, RecursionError):
        judged, given = (), None
    return KeptMark(number, sheet_digest, key_digest, judged, given, marked_at)


def _gist(verdict):
    # A sentence that was worded anew is no other mark.
    return verdict.question, verdict.verdict, verdict.points, verdict.out_of, verdict.mistake
