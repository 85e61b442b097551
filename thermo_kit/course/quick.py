"""Quick questions inside a lesson, with feedback at once, and the exit check at its end."""

import contextlib
from dataclasses import dataclass

from thermo_kit.course.described import (
    DescribedBox,
    button,
    check_mark,
    number_box,
    paragraph,
    radio,
    told_in_panel,
    verdict_line,
)
from thermo_kit.course.drawn import questions_of
from thermo_kit.course.keys import RIGHT, ChoiceKey, Key, Mistake, NumberKey, right_because
from thermo_kit.course.questions import drawn_order
from thermo_kit.course.record import EXIT_CHECK, Record, keep_judged
from thermo_kit.course.workbook import find_workbook
from thermo_kit.errors import InputError, NotebookError, ThermoKitError
from thermo_kit.panels.bare import words

QUICK = "quick"


@dataclass(frozen=True)
class QuickItem:
    """One question of a lesson with its own key."""

    text: str
    key: NumberKey | ChoiceKey
    options: tuple[str, ...] = ()

    def describe(self):
        """The question as one plain line."""
        asked = "one of: " + " | ".join(self.options) if self.options else f"a number in {self.key.unit or 'no unit'}"
        # As printed, to four figures: the last digits of a computed number differ between machines.
        hidden = check_mark(repr(Key(self.key)), *(mistake.help for mistake in self.key.mistakes))
        return f"{self.text} [{asked}] [check {hidden}]"

    def entry(self, label, seed):
        """A labelled control for the answer; the seed is the learner's."""
        if self.options:
            return radio(drawn_order(self.text, self.options, seed), label)
        return number_box(label, self.key.unit)


def quick(text, *, because, right=None, wrong=None, value=None, unit="", tolerance=None, mistakes=()):
    """Declare a question with its answer: a choice (right, wrong) or a number (value, unit, tolerance)."""
    if (right is None) == (value is None) or (right is not None and not wrong):
        raise NotebookError.about(
            f"the question {text!r}", "needs right and wrong choices, or a value", advice="declare one of them"
        )
    if right is None:
        key = NumberKey(QUICK, value=value, unit=unit, tolerance=tolerance, why=because, mistakes=tuple(mistakes))
        return QuickItem(text, key)
    key = ChoiceKey(
        QUICK, right=right, why=because, mistakes=tuple(Mistake(choice, choice, told) for choice, told in wrong.items())
    )
    return QuickItem(text, key, drawn_order(text, (right, *wrong)))


class QuickQuestion(DescribedBox):
    """One question with a button and feedback at once; the last answer is kept in the learner's record."""

    def __init__(self, name, item, record=None):
        self.name, self.item = name, item
        self.record = record or Record()
        self.entry = item.entry("Your answer", self.record.order_seed)
        self.check = button("Check", self.on_check)
        self.feedback = words()
        super().__init__(
            f"Quick question ({name}): {item.describe()}",
            (words(paragraph(f"Quick question. {item.text}", bold=True)), self.entry, self.check, self.feedback),
        )
        self._show_kept()
        self.entry.observe(self._on_change, names="value")

    @told_in_panel
    def _show_kept(self):
        kept = self.record.last_answer(self.name)
        if kept and (not self.item.options or kept.text in self.item.options):
            self.entry.value = kept.text
            told = paragraph(f"You answered this on {kept.at:%Y-%m-%d}.", status=True)
            self.feedback.value = told + _feedback(self.item, self.item.key.judge(kept.text))

    @told_in_panel
    def on_check(self, _button):
        """Judge the answer and keep it."""
        given = self.entry.value or ""
        verdict = self.item.key.judge(given)
        self.feedback.value = _feedback(self.item, verdict)
        keep_judged(self.record, self.name, verdict, given, "lesson")

    def _on_change(self, _change):
        self.feedback.value = ""


class ExitCheck(DescribedBox):
    """The questions at the end of a lesson; the result is kept in the learner's record."""

    def __init__(self, lesson, items, record=None):
        if len(items) != 3:
            raise NotebookError.about(f"the exit check of {lesson}", "needs three questions", advice="write three")
        self.lesson, self.items = lesson, list(items)
        self.names = [f"{lesson}.exit.{number}" for number in (1, 2, 3)]
        self.record = record or Record()
        lines = [f"  {number}. {item.describe()}" for number, item in enumerate(items, 1)]
        cases = ["", "", ""]
        for place, asked in self._fresh():
            self.names[place], self.items[place] = asked.name, QuickItem(asked.text, asked.key, asked.options)
            cases[place] = "".join(paragraph(line) for line in asked.case)
        seed = self.record.order_seed
        self.entries = [item.entry(f"Answer {number}", seed) for number, item in enumerate(self.items, 1)]
        self.feedback = [words() for _ in items]
        self.finish = button("Finish the exit check", self.on_finish)
        told = "Answer all three, then finish."
        for score in [score for score in self.record.scores(EXIT_CHECK) if score.name == lesson][-1:]:
            told += f" Last time, on {score.on}: {score.right:g} of {score.out_of:g} right."
        self.status = words(paragraph(told, status=True))
        parts = []
        for number, (item, entry, told) in enumerate(zip(self.items, self.entries, self.feedback, strict=True), 1):
            text = cases[number - 1] + paragraph(f"{number}. {item.text}", bold=True)
            parts += [words(text), entry, told]
        super().__init__("\n".join([f"Exit check of lesson {lesson}", *lines]), (*parts, self.finish, self.status))

    def _fresh(self):
        """In place of what was known on an earlier day: the exercise's questions, with numbers of the day."""
        today, seed = self.record.today, f"{self.record.order_seed}.{self.record.today}"
        last = [self.record.last_answer(name) for name in self.names]
        known = [place for place, one in enumerate(last) if one and one.right and one.at.date() < today]
        with contextlib.suppress(ThermoKitError):
            book = find_workbook()
            asks = questions_of(book, book.exercise(self.lesson)) if known else {}
            for place, name in zip(known, drawn_order(self.lesson, asks, seed), strict=False):
                yield place, asks[name](seed)

    @told_in_panel
    def on_finish(self, _button):
        """Judge all three and keep the result."""
        missing = [str(i) for i, entry in enumerate(self.entries, 1) if not (entry.value or "").strip()]
        if missing:
            raise InputError.about("the exit check", f"has no answer to {', '.join(missing)}", advice="answer it first")
        verdicts = [i.key.judge(e.value) for i, e in zip(self.items, self.entries, strict=True)]
        for item, told, verdict in zip(self.items, self.feedback, verdicts, strict=True):
            told.value = _feedback(item, verdict)
        right = sum(verdict.verdict == RIGHT for verdict in verdicts)
        for name, entry, verdict in zip(self.names, self.entries, verdicts, strict=True):
            keep_judged(self.record, name, verdict, entry.value, "lesson")
        self.record.keep_score(EXIT_CHECK, self.lesson, right, len(verdicts))
        review = next(r for r in self.record.reviews() if r.lesson == self.lesson)
        days = "tomorrow" if review.days_left == 1 else f"in {review.days_left} days"
        self.status.value = paragraph(
            f"{right} of {len(verdicts)} right. This is kept in your record. Come back to lesson {self.lesson} {days}.",
            status=True,
        )


def quick_question(name, text, **declared):
    """Ask one question inside a lesson and give feedback at once."""
    return QuickQuestion(name, quick(text, **declared))


def exit_check(lesson, items):
    """Ask three questions at the end of a lesson and keep the result in the learner's record."""
    return ExitCheck(lesson, items)


def _feedback(item, verdict):
    told = verdict.feedback
    if verdict.verdict == RIGHT and isinstance(item.key, NumberKey) and item.key.question == QUICK:
        told = right_because(item.key.why)
    return verdict_line(verdict.verdict, told)
