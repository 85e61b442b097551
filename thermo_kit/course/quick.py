"""Quick questions inside a lesson, with feedback at once, and the exit check at its end."""

import ast
import contextlib
import functools
from dataclasses import dataclass, replace

from thermo_kit.course.declared import declaring
from thermo_kit.course.described import (
    DescribedBox,
    button,
    check_mark,
    escape,
    given_in,
    number_box,
    paragraph,
    pointed,
    radio,
    told_in_panel,
    verdict_line,
)
from thermo_kit.course.drawn import Asked, drawn_anew, questions_of, stands_alone, topic_of
from thermo_kit.course.keys import RIGHT, UNREADABLE, ChoiceKey, Key, Mistake, NumberKey, right_because
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

    @property
    def is_clear(self):
        """Whether each mistake's number can be told from the right one."""
        return bool(self.options) or self.key.is_clear

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


def questions_of_lesson(path, *, alone=False):
    """The quick questions and exit checks of a lesson by name: each a function that puts it for a seed.

    `alone`: only those that can be put without their page.
    """
    notebook, found = declaring(path), {}
    for place, call in notebook.calls("quick_question", "exit_check"):
        declared = [(ast.literal_eval(call.args[0]), call)]
        if call.func.id == "exit_check":
            declared = [(f"{path.stem[:2]}.exit.{i}", one) for i, one in enumerate(call.args[1].elts, 1)]
        for name, node in declared:
            if not alone or stands_alone(name, node.args[-1]):
                found[name] = functools.partial(_ask, notebook, place, node, name)
    return found


def _ask(notebook, place, node, name, seed):
    # Never the number that the page shows.
    others = [replace(n, values=tuple(v for v in n.values if v != n.default)) for n in notebook.varying(place, node)]
    item = _drawn(notebook, place, node, tuple(others), str(seed) if others else "")
    options = drawn_order(item.text, item.options, seed)
    return Asked(name, topic_of(name), item.text, item.key, options, source=f"Lesson {name[:2]}")


@functools.lru_cache(maxsize=1_000)
def _drawn(notebook, place, node, others, seed):
    # Both forms of declaring end in the same question, here without its panel.
    given = {"quick_question": lambda _name, text, **declared: quick(text, **declared)}
    usual = notebook.value(place, node, given)
    if not others:
        return usual

    def is_another(item):
        return item.is_clear and (item.options or abs(item.key.value - usual.key.value) > item.key.tolerance)

    def put(case):
        return notebook.value(place, node, given | case.numbers)

    return drawn_anew(notebook.path, others, seed, put, is_another)[1]


class QuickQuestion(DescribedBox):
    """One question with a button and feedback at once; the last answer is kept in the learner's record."""

    def __init__(self, name, item):
        self.name, self.item, self.record = name, item, Record()
        self.entry = item.entry("Your answer", self.record.order_seed)
        self.check, self.feedback = button("Check", self.on_check), words()
        head = words(paragraph(f"Quick question. {item.text}", bold=True))
        super().__init__(f"Quick question ({name}): {item.describe()}", (head, self.entry, self.check, self.feedback))
        self._show_kept()
        self.entry.observe(lambda _change: self.feedback.set_trait("value", ""), names="value")

    @told_in_panel
    def _show_kept(self):
        # In practice it was asked with other numbers.
        kept = self.record.last_answer(self.name, mode="lesson")
        if kept and (not self.item.options or kept.text in self.item.options):
            self.entry.value = kept.text if self.item.options else pointed(kept.text)
            told = paragraph(f"You answered this on {kept.at:%Y-%m-%d}.", status=True)
            self.feedback.value = told + _feedback(self.item, self.item.key.judge(kept.text))

    @told_in_panel
    def on_check(self, _button):
        """Judge the answer and keep it."""
        given = given_in(self.entry)
        verdict = self.item.key.judge(given)
        self.feedback.value = _feedback(self.item, verdict)
        keep_judged(self.record, self.name, verdict, given, "lesson")


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
            cases[place] = case_html(asked)
        seed = self.record.order_seed
        self.entries = [item.entry(f"Answer {number}", seed) for number, item in enumerate(self.items, 1)]
        self.feedback = [words() for _ in items]
        self.finish = button("Finish the exit check", self.on_finish)
        self.status = words()
        parts = []
        for number, (item, entry, told) in enumerate(zip(self.items, self.entries, self.feedback, strict=True), 1):
            text = cases[number - 1] + paragraph(f"{number}. {item.text}", bold=True)
            parts += [words(text), entry, told]
        super().__init__("\n".join([f"Exit check of lesson {lesson}", *lines]), (*parts, self.finish, self.status))
        self._tell_last()

    @told_in_panel
    def _tell_last(self):
        told = "Answer all three, then finish."
        self.status.value = paragraph(told, status=True)
        for score in [score for score in self.record.scores(EXIT_CHECK) if score.name == self.lesson][-1:]:
            told += f" Last time, on {score.on}: {score.right:g} of {score.out_of:g} right."
            self.status.value = paragraph(told, status=True)

    def _fresh(self):
        """What comes back on a later day: for what was known the exercise's questions, for the rest other numbers."""
        today, seed = self.record.today, f"{self.record.order_seed}.{self.record.today}"
        with contextlib.suppress(ThermoKitError):
            last = [self.record.last_answer(name) for name in self.names]
            earlier = [place for place, one in enumerate(last) if one and one.at.date() < today]
            known = [place for place in earlier if last[place].right]
            book = find_workbook()
            path = book.exercise(self.lesson)
            asks = questions_of(book, path) if known else {}
            for place, name in zip(known, drawn_order(self.lesson, asks, seed), strict=False):
                yield place, asks[name](seed)
            own = questions_of_lesson(book.lessons / path.name) if set(earlier) - set(known) else {}
            for place in set(earlier) - set(known):
                if self.names[place] in own:
                    yield place, own[self.names[place]](seed)

    @told_in_panel
    def on_finish(self, _button):
        """Judge all three and keep the result."""
        missing = [str(i) for i, entry in enumerate(self.entries, 1) if not (entry.value or "").strip()]
        if missing:
            raise InputError.about("the exit check", f"has no answer to {', '.join(missing)}", advice="answer it first")
        verdicts = [i.key.judge(given_in(e)) for i, e in zip(self.items, self.entries, strict=True)]
        for item, told, verdict in zip(self.items, self.feedback, verdicts, strict=True):
            told.value = _feedback(item, verdict)
        if unread := [str(i) for i, verdict in enumerate(verdicts, 1) if verdict.verdict == UNREADABLE]:
            told = f"has an answer to {', '.join(unread)} that cannot be read"
            raise InputError.about("the exit check", told, advice="correct it first; nothing is counted yet")
        right = sum(verdict.verdict == RIGHT for verdict in verdicts)
        for name, entry, verdict in zip(self.names, self.entries, verdicts, strict=True):
            keep_judged(self.record, name, verdict, given_in(entry), "lesson")
        self.record.keep_score(EXIT_CHECK, self.lesson, right, len(verdicts))
        review = next(r for r in self.record.reviews() if r.lesson == self.lesson)
        days = "tomorrow" if review.days_left == 1 else f"in {review.days_left} days"
        told = f"{right} of 3 right. This is kept in your record. Come back to lesson {self.lesson} {days}."
        self.status.value = paragraph(told, status=True)


def quick_question(name, text, **declared):
    """Ask one question inside a lesson and give feedback at once."""
    return QuickQuestion(name, quick(text, **declared))


# As lessons write it.
exit_check = ExitCheck


def case_html(asked):
    """The picture of a question and the numbers of its case."""
    lines = "".join(f"<li>{escape(line)}</li>" for line in asked.case)
    columns = "" if any(" · " in line for line in asked.case) else "columns:20em;column-gap:2em;"
    lines = f'<ul style="{columns}width:46em;max-width:100%;line-height:1.4">{lines}</ul>' if lines else ""
    picture = f'<div role="img" aria-label="{escape(asked.alt)}">{asked.picture}</div>' if asked.picture else ""
    return picture + lines


def _feedback(item, verdict):
    told = verdict.feedback
    if verdict.verdict == RIGHT and isinstance(item.key, NumberKey) and item.key.question == QUICK:
        told = right_because(item.key.why)
    return verdict_line(verdict.verdict, told)
