"""The answer sheet as a panel: one labelled control a question, saved at every entry."""

import contextlib
import functools
import re
from datetime import datetime
from pathlib import Path

import ipywidgets as widgets

from thermo_kit.course.cases import Case
from thermo_kit.course.described import (
    DescribedBox,
    button,
    escape,
    given_in,
    labelled,
    number_box,
    paragraph,
    radio,
    told_in_panel,
    verdict_line,
)
from thermo_kit.course.keys import RIGHT, read_number
from thermo_kit.course.questions import ChoiceQuestion, NumberQuestion, OrderQuestion, describe_question, drawn_order
from thermo_kit.course.record import EXERCISE, Record, keep_judged
from thermo_kit.course.sheet import Sheet, sheet_path
from thermo_kit.errors import NotebookError, ThermoKitError
from thermo_kit.panels.bare import words
from thermo_kit.panels.view import the_view

ANCHOR = re.compile(r'<a class="anchor-link".*?</a>')
HEADING = re.compile(r"(</?)h[1-6]\b")
NOT_CHOSEN = "– choose –"
# So much of a saved text is repeated under its box.
REPEATED = 120


class _Entry:
    """The control of one question, its line of what is saved, and its feedback."""

    def __init__(self, question, saved, on_change, seed):
        self.question = question
        self.saved_line, self.feedback = words(), words()
        self.controls = _controls(question, f"Answer {question.name}", saved, seed)
        for control in self.controls:
            control.observe(lambda _change: on_change(self), names="value")
        head = f"{question.name}. {question.text}"
        if getattr(question, "picture", ""):
            head += f" (Read it off {question.picture}.)"
        self.children = (words(paragraph(head, bold=True)), *self.controls, self.saved_line, self.feedback)

    @property
    def given(self):
        """What stands in the controls: a text, or the chosen steps in order."""
        if isinstance(self.question, OrderQuestion):
            return [control.value for control in self.controls]
        return given_in(self.controls[0])

    @property
    def is_empty(self):
        """True when nothing was entered."""
        return not any(self.given) if isinstance(self.given, list) else not self.given.strip()

    @property
    def trouble(self):
        """Why what was entered cannot be judged yet; empty where it can."""
        given = self.given
        if isinstance(given, list):
            twice = {step for step in given if step and given.count(step) > 1}
            return f"chosen twice: {', '.join(sorted(twice))}" if twice else ""
        if isinstance(self.question, NumberQuestion) and not self.is_empty:
            try:
                read_number(self.controls[0].value, self.question.unit, comma=the_view().comma)
            except ThermoKitError as error:
                return f"not readable yet: {error}"
        return ""

    def show_saved(self):
        """Say what is saved, and whether it can be read as a number with that unit."""
        told = "Nothing saved yet." if self.is_empty else f"Saved: {self._as_text()}"
        self.saved_line.value = paragraph(told, status=True)

    def _as_text(self):
        given, trouble = self.given, self.trouble
        if isinstance(given, list):
            told = " → ".join(step or "?" for step in given)
        else:
            told = given if len(given) <= REPEATED else f"{given[:REPEATED]} … ({len(given)} characters)"
        return f"{told} ({trouble})" if trouble else told


def _controls(question, label, saved, seed):
    """The controls for an answer, with what was saved: one, or one a step."""
    text = saved if isinstance(saved, str) else ""
    match question:
        case NumberQuestion():
            return [number_box(label, question.unit, text)]
        case ChoiceQuestion():
            return [radio(drawn_order(question.text, question.options, seed), label, saved)]
        case OrderQuestion(steps=steps):
            saved = saved if isinstance(saved, list) and len(saved) == len(steps) else [""] * len(steps)
            listed = [(NOT_CHOSEN, ""), *((step, step) for step in drawn_order(question.text, steps, seed))]
            chosen = [(f"{label}, step {place}", step if step in steps else "") for place, step in enumerate(saved, 1)]
            return [labelled(widgets.Dropdown, told, "46em", options=listed, value=step) for told, step in chosen]
    settings = {"placeholder": "one or two sentences", "continuous_update": False, "rows": 3}
    return [labelled(widgets.Textarea, label, "44em", value=text, **settings)]


class AnswerSheet(DescribedBox):
    """The answer sheet of one exercise: saves every entry at once and restores it on reopening."""

    def __init__(self, exercise, *, numbers, questions, ticket="", folder=None):
        names = [question.name for question in questions]
        if not names or len(set(names)) < len(names):
            raise NotebookError.about(f"the sheet of {exercise}", "asks no question, or one twice", advice="correct it")
        self.case = Case(exercise, tuple(numbers.items()))
        self.questions = tuple(questions)
        text = [f"Answer sheet {exercise}", *(f"  {describe_question(question)}" for question in questions)]
        self.status = words()
        self.solution = widgets.HTMLMath()
        self.entries = []
        super().__init__("\n".join(text))
        self._open(Path(folder or Path.cwd()), ticket)

    @told_in_panel
    def _open(self, folder, ticket):
        self.sheet = Sheet(sheet_path(self.case.exercise, handed_out=bool(ticket), folder=folder), self.case, ticket)
        saved = self.sheet.answers
        seed = ticket or Record().order_seed
        self.entries = [_Entry(q, saved.get(q.name), self._on_change, seed) for q in self.questions]
        for entry in self.entries:
            entry.show_saved()
        parts = [widgets.VBox(entry.children, layout=widgets.Layout(margin="0 0 12px 0")) for entry in self.entries]
        notes = [words(paragraph(note, status=True)) for note in self.sheet.notes]
        self.check = button("Check my answers", self.on_check)
        self.solve = button("Show the worked solution", self.on_solve, disabled=True)
        closing = [] if self.sheet.is_handed_out else [widgets.HBox((self.check, self.solve)), self.solution]
        self._tell_saved()
        self.children = (*notes, *parts, self.status, *closing, self.error_line)

    @told_in_panel
    def _on_change(self, entry):
        entry.feedback.value = ""
        self.sheet.answer(entry.question.name, entry.given)
        entry.show_saved()
        self._tell_saved()

    def _tell_saved(self):
        done = sum(not entry.is_empty for entry in self.entries)
        saved = self.sheet.content.saved_at
        when = ""
        with contextlib.suppress(ValueError, OverflowError):
            # No time, where the file was edited by hand.
            when = f"{datetime.fromisoformat(saved).astimezone():%Y-%m-%d %H:%M}"
        told = f"{done} of {len(self.entries)} questions answered. "
        unclear = ", ".join(entry.question.name for entry in self.entries if entry.trouble)
        told += f"Look again at {unclear}: this cannot be marked yet. " if unclear else ""
        told += f"Saved {when} as {self.sheet.path.name}." if when else "Every entry is saved at once."
        if self.sheet.is_handed_out:
            told += " Your instructor marks this sheet; hand in that file."
        self.status.value = paragraph(told, status=True)

    @told_in_panel
    def on_check(self, _button):
        """Judge every answer by the answers notebook and say which misunderstanding it shows."""
        key = self._answers().key(self.case)
        verdicts = {v.question: v for v in key.judge(self.sheet.answers)}
        for entry in self.entries:
            told = paragraph("The answers notebook says nothing on this question.", status=True)
            if verdict := verdicts.get(entry.question.name):
                told = verdict_line(verdict.verdict, verdict.feedback)
            entry.feedback.value = told
        self.solve.disabled = not any(self.sheet.answers.values())
        counted = [v for v in verdicts.values() if v.question not in key.to_read]
        for v in counted:
            given = self.sheet.answers.get(v.question, "")
            keep_judged(Record(), f"{self.case.exercise}.{v.question}", v, given, "exercise")
        if counted:
            points, out_of = sum(v.points for v in counted), sum(v.out_of for v in counted)
            Record().keep_score(EXERCISE, self.case.exercise, points, out_of)
        right = sum(verdict.verdict == RIGHT for verdict in counted)
        told = f"Checked: {right} of {len(counted)} right. The reason stands below each answer."
        self.status.value = paragraph(told, status=True)
        self.check.focus()  # what stands above it now would push it out of sight

    @told_in_panel
    def on_solve(self, _button):
        """Show the worked solution with the numbers of this case."""
        self.solution.value = solution_html(self._answers().worked(self.case)[1])

    def _answers(self):
        from thermo_kit.course.answers import load_answers
        from thermo_kit.course.workbook import find_workbook

        return load_answers(find_workbook().answer(self.case.exercise))


def solution_html(steps):
    """The worked solution as HTML, without any outside reference."""
    result = '<pre style="padding:4px 8px;border-left:3px solid currentColor">{}</pre>'
    parts = (_text_html(s.text) if s.kind == "text" else result.format(escape(s.text)) for s in steps)
    inside = "\n".join(parts)
    return f'<div role="region" aria-label="Worked solution" style="max-width:46em;line-height:1.45">{inside}</div>'


@functools.lru_cache(maxsize=1_000)
def _text_html(text):
    from nbconvert.filters import markdown2html

    # Inside a panel a heading is a small one, and nothing links to it.
    return HEADING.sub(r"\1h4", ANCHOR.sub("", markdown2html(text)))


# As exercises write it.
answer_sheet = AnswerSheet
