"""The mark book: one SQLite file in which marks, and decisions on them, are only ever added."""

import contextlib
import itertools
import json
import sqlite3
import tomllib
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from thermo_kit.course.decisions import Decision
from thermo_kit.course.files import file_errors_in_plain_words
from thermo_kit.course.keys import Verdict
from thermo_kit.errors import CourseError

VERSION = 5
STEPS = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
MARKED = "learner, exercise, sheet_digest, key_digest, points, out_of, verdicts, answers, handed_in_at"
DECIDED = "learner, exercise, question, points, why, decided_by, sheet_digest, answer_digest"
ROWS = (
    "SELECT learner, exercise, marks.number, sheet_digest, key_digest, coalesce(confirmed.verdicts, marks.verdicts), "
    "answers, marked_at, handed_in_at, program FROM marks LEFT JOIN confirmed ON confirmed.number = marks.number"
)


@dataclass(frozen=True)
class KeptMark:
    """One row of the mark book.

    verdicts: empty where the row is damaged
    answers: what was marked; None in rows of version 1 and where the row is damaged
    handed_in_at: UTC, by the time of the file; empty in rows before version 4
    program: of what program and answers notebook the verdicts are the newest word, or empty
    """

    number: int
    sheet_digest: str
    key_digest: str
    verdicts: tuple[Verdict, ...]
    answers: dict | None
    marked_at: str
    handed_in_at: str = ""
    program: str = ""

    def says(self, sheet_digest, key_digest, verdicts):
        """Whether this row already holds exactly that mark, with its answers."""
        same = (self.sheet_digest, self.key_digest) == (sheet_digest, key_digest) and self.answers is not None
        return same and [_gist(v) for v in self.verdicts] == [_gist(v) for v in verdicts]


class MarkBook(contextlib.AbstractContextManager):
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

    def __exit__(self, *_error):
        self._file.close()

    def _version(self):
        return self._file.execute("PRAGMA user_version").fetchone()[0]

    def _bring_up_to_date(self):
        with self._alone():
            if self._version() == VERSION:
                # Another program did it in the meantime.
                return
            names = ["to_version_3", "to_version_4", "to_version_5"][max(self._version() - 2, 0) :]
            if self._version() < 2:
                is_old = self._file.execute("SELECT count(*) FROM sqlite_master WHERE name = 'marks'").fetchone()[0]
                old = ["before_version_2", "version_2", "from_version_1"] if is_old else ["version_2"]
                names = [*old, *names]
            for words in (words for name in names for words in STEPS[name]):
                self._file.execute(words)

    @contextlib.contextmanager
    def _alone(self):
        """One step for all other programs: done whole, or not at all."""
        with self._file:
            self._file.execute("BEGIN IMMEDIATE")
            yield

    def newest(self, learner, exercise):
        """The last mark that was kept of a learner and an exercise, or None."""
        return self._one("WHERE (learner, exercise) = (?, ?) ORDER BY marks.number DESC LIMIT 1", learner, exercise)

    def row(self, number):
        """The mark in one row."""
        return self._one("WHERE marks.number = ?", number)

    def _one(self, which, *given):
        with self._damage_in_plain_words():
            row = self._file.execute(f"{ROWS} {which}", given).fetchone()
        return None if row is None else _kept(*row[2:])

    def hand_ins(self):
        """All marks: (learner, exercise) → the last row on each sheet in turn, with the first time it was seen."""
        found = {}
        with self._damage_in_plain_words():
            for learner, exercise, *row in self._file.execute(f"{ROWS} ORDER BY marks.number"):
                kept, so_far = _kept(*row), found.setdefault((learner, exercise), [])
                if so_far and so_far[-1].sheet_digest == kept.sheet_digest:
                    times = [one.handed_in_at or one.marked_at for one in (so_far.pop(), kept)]
                    kept = replace(kept, handed_in_at=min(times))
                so_far.append(kept)
        return found

    def add(self, pairs, again=False, program=""):
        """Keep marks, pairs of work and what came of it, all or none; what the newest one already says is not added.

        → for each the number of its row, and whether it was added
        """
        with self._damage_in_plain_words(), self._alone():
            return [self._add(work, judged, again, program) for work, judged in pairs]

    def _add(self, work, judged, again, program):
        newest = self.newest(work.learner, work.exercise)
        is_new = not newest or again or not newest.says(work.sheet_digest, judged.key_digest, judged.verdicts)
        verdicts = json.dumps([asdict(v) for v in judged.verdicts])
        if is_new:
            sums = (sum(getattr(v, name) for v in judged.verdicts) for name in ("points", "out_of"))
            digests, answers = (work.sheet_digest, judged.key_digest), json.dumps(work.answers)
            row = (*work.place, *digests, *sums, verdicts, answers, work.handed_in_at)
            added = self._file.execute(f"INSERT INTO marks ({MARKED}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", row)
        number = added.lastrowid if is_new else newest.number
        # A sentence that was worded anew is no new mark.
        words = "INSERT OR REPLACE INTO confirmed SELECT number, ?, nullif(?, verdicts) FROM marks WHERE number = ?"
        self._file.execute(words, (program, verdicts, number))
        return number, is_new

    def copy(self):
        """The bytes of a whole copy, also while another program adds to the book."""
        with self._damage_in_plain_words(), contextlib.closing(sqlite3.connect(":memory:")) as copy:
            self._file.backup(copy)
            return copy.serialize()

    def decide(self, decisions):
        """Keep decisions, all of them or none."""
        with self._damage_in_plain_words(), self._alone():
            rows = [tuple(asdict(decision).values())[:-1] for decision in decisions]
            self._file.executemany(f"INSERT INTO decisions ({DECIDED}) VALUES (?, ?, ?, ?, ?, ?, ?, ?)", rows)

    def decisions(self, *place):
        """All decisions, or those on a place: (learner, exercise, question) → those on this question, oldest first."""
        found, which = {}, "WHERE (learner, exercise) = (?, ?)" if place else ""
        words = f"SELECT {DECIDED}, decided_at FROM decisions {which} ORDER BY number"
        with self._damage_in_plain_words():
            for decision in itertools.starmap(Decision, self._file.execute(words, place)):
                found[decision.place] = (*found.get(decision.place, ()), decision)
        return found

    @contextlib.contextmanager
    def _damage_in_plain_words(self):
        try:
            yield
        except sqlite3.Error as error:
            advice = "close other programs that use it, or restore it from a copy"
            raise CourseError.about(f"the mark book {self.path}", f"cannot be used ({error})", advice=advice) from error


def _kept(number, sheet_digest, key_digest, verdicts, answers, marked_at, handed_in_at, program):
    try:
        judged = tuple(Verdict(**entry) for entry in json.loads(verdicts))
        given = None if answers is None else dict(json.loads(answers))
        sum(v.points + v.out_of for v in judged)
    except (ValueError, TypeError, RecursionError):
        judged, given = (), None
    return KeptMark(number, sheet_digest, key_digest, judged, given, marked_at, handed_in_at or "", program or "")


def _gist(verdict):
    # A sentence that was worded anew is no other mark.
    return verdict.question, verdict.verdict, verdict.points, verdict.out_of, verdict.mistake
