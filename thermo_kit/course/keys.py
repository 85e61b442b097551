"""What an answers notebook declares about each question, and how a given answer is judged by it."""

import hashlib
import json
import math
import textwrap
from dataclasses import KW_ONLY, asdict, dataclass

from thermo_kit.errors import NotebookError, ThermoKitError, UnitError

RIGHT, PARTLY, WRONG = "right", "partly right", "wrong"
EMPTY, UNREADABLE, BY_HAND = "not answered", "not readable", "read by hand"
EXPLAINING = ("why", "help", "example")
MARKS = {RIGHT: "✓", PARTLY: "◐", WRONG: "✗", EMPTY: "–", UNREADABLE: "?", BY_HAND: "✎"}


@dataclass(frozen=True)
class Verdict:
    """What came of one answer.

    verdict: one of "right", "partly right", "wrong", "not answered", "not readable", "read by hand"
    mistake: the named mistake it shows, or empty
    feedback: a sentence for the learner
    """

    question: str
    verdict: str
    points: float
    out_of: float
    feedback: str
    mistake: str = ""

    # What a person decided on it: see Decided.
    history, has_lapsed = (), False

    @property
    def by_key(self):
        """The key's own verdict."""
        return self

    @property
    def is_open(self):
        """Whether a person has still to look: a reason nobody has read, or a decision that lapsed."""
        return self.verdict == BY_HAND or self.has_lapsed


@dataclass(frozen=True)
class Mistake:
    """A wrong answer that a named misunderstanding produces, and the sentence that helps."""

    name: str
    value: float | str | tuple[str, ...]
    help: str


@dataclass(frozen=True, kw_only=True)
class Partial:
    """Partial credit for a number that is near: how near, in the question's unit, and for how many points."""

    within: float
    points: float
    help: str


@dataclass(frozen=True)
class _Part:
    """What is declared of every question. why: why this is right; mistakes: what named wrong answers show."""

    question: str
    _: KW_ONLY
    why: str
    points: float = 1
    mistakes: tuple[Mistake, ...] = ()

    def __post_init__(self):
        object.__setattr__(self, "mistakes", tuple(self.mistakes))
        if not self.points > 0:
            self._refuse("gives no points")
        if not self.why and not isinstance(self, ReasonKey):
            self._refuse("does not say why")
        for mistake in self.mistakes:
            if not (mistake.name and mistake.help) or mistake.value == getattr(self, "right", None):
                self._refuse("has a mistake without name or help, or one that equals the right answer")

    def _refuse(self, told):
        where = f"the key of question {self.question}"
        raise NotebookError.about(where, told, advice="correct the answers notebook")

    def judge(self, given):
        """Judge an answer as it stands on a sheet: a text, or steps in order."""
        if not (any(given) if isinstance(given, (list, tuple)) else (given or "").strip()):
            return self._says(EMPTY, 0, "Nothing is written here yet.")
        return self._judge(given)

    def _says(self, verdict, points, feedback, mistake=""):
        return Verdict(self.question, verdict, points, self.points, feedback, mistake)

    def _judge_exactly(self, given):
        """Judge an answer of which each right and each wrong form is known."""
        if given == self.right:
            return self._says(RIGHT, self.points, right_because(self.why))
        shown = next((mistake for mistake in self.mistakes if mistake.value == given), None)
        told = (shown.help, shown.name) if shown else ("Not yet. Read the question once more.",)
        return self._says(WRONG, 0, *told)


@dataclass(frozen=True, kw_only=True)
class NumberKey(_Part):
    """The right number, its unit, its tolerance and why that tolerance.

    `altitude` [m] matters only where a gauge unit is asked for.
    """

    value: float
    unit: str
    tolerance: float
    partial: tuple[Partial, ...] = ()
    altitude: float = 0

    def __post_init__(self):
        object.__setattr__(self, "partial", tuple(self.partial))
        super().__post_init__()
        for name, number in (("value", self.value), ("tolerance", self.tolerance)):
            if not isinstance(number, (int, float)) or not math.isfinite(number):
                self._refuse(f"has a {name} that is not a number")
        if self.tolerance <= 0:
            self._refuse("has a tolerance that is not above zero")
        for partial in self.partial:
            if partial.within <= self.tolerance or not 0 < partial.points < self.points:
                self._refuse("gives partial credit inside the tolerance, or as many points as a right answer")

    def read(self, text):
        """The SI value of a text such as "35 psi"; a number alone is taken in the question's unit.

        → [SI unit of the question].
        """
        return read_number(text, self.unit, self.altitude)

    def _judge(self, text):
        try:
            number = number_in(self.unit, self.read(text), self.altitude)
        except ThermoKitError as error:
            return self._says(UNREADABLE, 0, f"{str(error)[:1].upper()}{str(error)[1:]}.")
        distance = abs(number - self.value)
        if distance <= self.tolerance * (1 + 1e-9):
            return self._says(RIGHT, self.points, "Right.")
        shown = self._shown_by(number)
        for partial in sorted(self.partial, key=lambda p: p.within):
            if distance <= partial.within * (1 + 1e-9):
                # That near to the right value it may be a rough reading: no mistake is counted, only offered.
                told = f"{partial.help} Or it is this: {shown.help}" if shown else partial.help
                return self._says(PARTLY, partial.points, told)
        if shown:
            return self._says(WRONG, 0, shown.help, shown.name)
        if not self.unit and abs(number / 100 - self.value) <= self.tolerance:
            return self._says(WRONG, 0, "A number alone is a share here: write the percent sign, or the share itself.")
        return self._says(WRONG, 0, "Not yet. Work it once more, step by step.")

    @property
    def is_clear(self):
        """Whether each mistake's number lies so far from the right one that marking tells them apart."""
        blurred = max([2 * self.tolerance, *(partial.within for partial in self.partial)])
        return all(abs(mistake.value - self.value) > blurred for mistake in self.mistakes)

    def _shown_by(self, number):
        """The mistake that a number in the question's unit shows, or None."""
        told_apart = [mistake for mistake in self.mistakes if abs(mistake.value - self.value) > 2 * self.tolerance]
        nearest = min(told_apart, key=lambda mistake: abs(number - mistake.value), default=None)
        return nearest if nearest and abs(number - nearest.value) <= self.tolerance else None


@dataclass(frozen=True, kw_only=True)
class ChoiceKey(_Part):
    """The right one of several texts, and what each wrong one shows."""

    right: str

    def _judge(self, given):
        return self._judge_exactly(given)


@dataclass(frozen=True, kw_only=True)
class OrderKey(_Part):
    """The right order of steps. Half the points when only two neighbours are swapped."""

    right: tuple[str, ...]

    def __post_init__(self):
        object.__setattr__(self, "right", tuple(self.right))
        mistakes = tuple(Mistake(m.name, tuple(m.value), m.help) for m in self.mistakes)
        object.__setattr__(self, "mistakes", mistakes)
        super().__post_init__()

    def _judge(self, given):
        given = tuple(given)
        if sorted(given) != sorted(self.right):
            return self._says(WRONG, 0, "Not yet. Each step must stand in exactly one place.")
        verdict = self._judge_exactly(given)
        places = [i for i, step in enumerate(self.right) if given[i] != step]
        if not verdict.mistake and len(places) == 2 and places[1] == places[0] + 1:
            return self._says(PARTLY, self.points / 2, "Nearly. Two neighbouring steps are swapped.")
        return verdict


@dataclass(frozen=True, kw_only=True)
class ReasonKey(_Part):
    """The ideas a reason must touch, each a list of word stems; a person always reads it as well."""

    ideas: tuple[tuple[str, ...], ...]
    example: str
    why: str = ""

    def __post_init__(self):
        if any(isinstance(idea, str) for idea in self.ideas) or not self.ideas or not all(self.ideas):
            self._refuse("needs ideas, each a list of word stems")
        object.__setattr__(self, "ideas", tuple(tuple(idea) for idea in self.ideas))
        super().__post_init__()

    def _judge(self, given):
        """Count the ideas whose words occur. The points stand until a person has read the text."""
        text = " ".join(given.casefold().split())
        found = sum(any(stem.casefold() in text for stem in idea) for idea in self.ideas)
        total = len(self.ideas)
        points = round(self.points * found / total, 2)
        if found == total:
            told = "The words of every idea we look for are there."
        else:
            told = f"We found the words of {found} of {total} ideas."
        told += f" Proposed: {points:g} of {self.points:g} points."
        told += " A machine only looks for words: compare with the worked solution, or let a person read it."
        return self._says(BY_HAND, points, told)


@dataclass(frozen=True, init=False)
class Key:
    """All declared answers of one exercise, in the order of its questions."""

    parts: tuple[NumberKey | ChoiceKey | OrderKey | ReasonKey, ...]

    def __init__(self, *parts):
        names = [part.question for part in parts]
        if not parts or len(set(names)) < len(names):
            raise NotebookError.about("the key", "is empty or answers a question twice", advice="one part per question")
        object.__setattr__(self, "parts", tuple(parts))

    @property
    def out_of(self):
        """The points of the whole exercise."""
        return sum(part.points for part in self.parts)

    @property
    def to_read(self):
        """The questions whose points are only proposed until a person has read the answer."""
        return tuple(part.question for part in self.parts if isinstance(part, ReasonKey))

    @property
    def digest(self):
        """The same for all keys that mark alike: numbers count to six figures, sentences that explain do not count."""
        meaning = [[type(part).__name__, _meaning(asdict(part))] for part in self.parts]
        return hashlib.sha256(json.dumps(meaning, sort_keys=True, default=str).encode()).hexdigest()

    @property
    def is_clear(self):
        """Whether every number that a mistake gives can be told from the right one."""
        return all(part.is_clear for part in self.parts if isinstance(part, NumberKey))

    def judge(self, answers):
        """Judge all answers of a sheet."""
        return tuple(part.judge(_of_kind(part, answers.get(part.question))) for part in self.parts)

    def __repr__(self):
        return "\n".join(
            ["Key", *(_folded(f"  {line}") for part in self.parts for line in told_part(part).splitlines())]
        )


def read_number(text, unit, altitude=0, comma=False):
    """Read a text such as "35 psi", a number alone in the unit given; altitude [m] → [SI unit of the kind]."""
    from thermo_kit.units import parse_quantity, says_gauge

    # A learner's text: a long run of blanks would keep the reading busy for ever.
    text = " ".join(str(text).split())
    if unit.endswith(" abs") and says_gauge(text):
        told = "is a gauge reading, where the absolute pressure is asked for"
        raise UnitError.about("your answer", repr(text[:60]), told, f"give it in {unit}")
    return parse_quantity(text, unit, altitude, argument="your answer", comma=comma)


def number_in(unit, value, altitude=0):
    """Return the number that a stored value [SI unit of the kind] has in a unit; altitude [m]."""
    # From nothing and one of the unit: a number that is sought may itself be one that nobody could measure.
    zero, one = read_number("0", unit, altitude), read_number("1", unit, altitude)
    return (value - zero) / (one - zero)


def si_value(unit, number, altitude=0):
    """Return the value [SI unit of the kind] of a number in a unit; altitude [m]."""
    zero, one = read_number("0", unit, altitude), read_number("1", unit, altitude)
    return zero + number * (one - zero)


def right_because(why):
    """The sentence that praises and tells why."""
    return f"Right. {as_sentence(why)}"


def as_sentence(why):
    """A key's `why`, which may be a fragment, as a sentence."""
    return f"{why[:1].upper()}{why[1:]}" + ("" if why.endswith((".", "!", "?")) else ".")


def _meaning(value):
    if isinstance(value, dict):
        return {name: _meaning(part) for name, part in value.items() if name not in EXPLAINING}
    if isinstance(value, (list, tuple)):
        return [_meaning(part) for part in value]
    return f"{value:.6g}" if isinstance(value, (int, float)) else value


def _of_kind(part, given):
    # A sheet edited by hand may carry a list where a text belongs, or the reverse.
    if isinstance(part, OrderKey):
        return given if isinstance(given, (list, tuple)) else ()
    return given if isinstance(given, str) else ""


def _folded(line):
    # Broken between words here: a page would break it anywhere.
    indent = " " * (len(line) - len(line.lstrip()) + 3)
    return textwrap.fill(line, 100, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)


def told_part(part):
    """What a key says of one question: the right answer, and what each mistake gives."""
    match part:
        case NumberKey(value=value, unit=unit, tolerance=tolerance):
            right = f"{value:.4g} {unit} ± {tolerance:.3g} ({part.why})"
        case ChoiceKey(right=text):
            right = f"{text} ({part.why})"
        case OrderKey(right=steps):
            right = " → ".join(steps)
        case ReasonKey():
            right = f"{part.example} (ideas: {'; '.join(' or '.join(idea) for idea in part.ideas)})"
    mistakes = "".join(f"\n     mistake: {m.name}: {_show_value(part, m.value)}" for m in part.mistakes)
    return f"{part.question}. {right} [{part.points:g}\u00a0point{'s' if part.points != 1 else ''}]{mistakes}"


def _show_value(part, value):
    if isinstance(value, tuple):
        return " → ".join(value)
    return f"{value:.4g} {part.unit}" if isinstance(part, NumberKey) else str(value)
