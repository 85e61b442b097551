"""What a person decided about an answer: an added record, which stands for as long as the answer stays the same."""

import hashlib
import json
from dataclasses import asdict, dataclass

from thermo_kit.course.keys import BY_HAND, PARTLY, RIGHT, WRONG, Verdict


@dataclass(frozen=True)
class Decision:
    """One decision on one answer. Nothing is overwritten: the last one counts.

    points: None takes the decisions before it back
    sheet_digest: of the sheet it was made on
    answer_digest: of this one answer and the numbers it was given for
    """

    learner: str
    exercise: str
    question: str
    points: float | None
    why: str
    decided_by: str
    sheet_digest: str
    answer_digest: str
    decided_at: str = ""

    @property
    def place(self):
        """Learner, exercise and question."""
        return self.learner, self.exercise, self.question


@dataclass(frozen=True)
class Decided(Verdict):
    """A verdict with the decisions on its question, the last one at the end.

    by_key: the key's own verdict
    has_lapsed: the answer, or the points that can be had, changed since, so that the key's verdict counts again
    """

    history: tuple[Decision, ...] = ()
    by_key: Verdict | None = None
    has_lapsed: bool = False


def answer_digest(case, question, given):
    """The same for the same answer to a question with the same numbers."""
    return hashlib.sha256(json.dumps([case.fingerprint, question, given]).encode()).hexdigest()


def settle(verdicts, decisions, place, case, answers):
    """The verdicts on the answers of a learner to an exercise as the decisions of a mark book leave them."""
    settled = []
    for verdict in verdicts:
        if history := decisions.get((*place, verdict.question)):
            digest = answer_digest(case, verdict.question, answers.get(verdict.question, ""))
            verdict = _settled(verdict, history, digest)
        settled.append(verdict)
    return tuple(settled)


def _settled(verdict, history, digest):
    last, facts = history[-1], asdict(verdict)
    has_lapsed = last.points is not None and (last.answer_digest != digest or last.points > verdict.out_of)
    if has_lapsed or last.points is None:
        return Decided(**facts, history=history, by_key=verdict, has_lapsed=has_lapsed)
    word = PARTLY if 0 < last.points < verdict.out_of else RIGHT if last.points else WRONG
    told = f"A person read this and gave {last.points:g} of {verdict.out_of:g} points. {last.why}".strip()
    if word != RIGHT and verdict.verdict not in (BY_HAND, RIGHT):
        told += f" {verdict.feedback}"
    mistake = "" if word == RIGHT else verdict.mistake
    changed = {"verdict": word, "points": last.points, "feedback": told, "mistake": mistake}
    return Decided(**(facts | changed), history=history, by_key=verdict)
