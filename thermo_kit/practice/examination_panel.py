"""The examination as a panel: choose, begin, answer against the clock, hand in, read what came of it."""

import asyncio
import contextlib
import functools

import ipywidgets as widgets

from thermo_kit.course.described import OWN_WIDTH, DescribedBox, button, paragraph, told_in_panel
from thermo_kit.course.keys import ChoiceKey, NumberKey
from thermo_kit.course.questions import ChoiceQuestion, NumberQuestion, OrderQuestion
from thermo_kit.course.record import Record
from thermo_kit.course.sheet_panel import Entry
from thermo_kit.practice.bank import load
from thermo_kit.practice.blueprint import load_blueprint, supplied_blueprints
from thermo_kit.practice.examination import Sitting

TICK = 15
RULES = (
    "No answer is told until the end. Every entry is kept at once. The clock goes on while the page is closed. "
    "When the time is over, the examination ends by itself."
)


class ExaminationPanel(DescribedBox):
    """One examination at a time; the one in the record is taken up again."""

    def __init__(self, bank=None, record=None):
        self._bank, self._record = bank or load, record or Record()
        self._blueprints = supplied_blueprints()
        titles = [(one.title, name) for name, one in self._blueprints.items()]
        wide = {"style": OWN_WIDTH, "layout": widgets.Layout(width="36em", max_width="100%")}
        self.blueprint = widgets.Dropdown(options=titles, description="Examination", **wide)
        self.own = widgets.Text(description="Or your instructor's plan (file)", placeholder="for example plan.toml", **wide)
        self.begin = button("Begin the examination", self.on_begin)
        self.about, self.clock, self.question = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self.place = widgets.Dropdown(description="Go to question", **wide)
        self.back, self.next = button("Back", self.on_back), button("Next", self.on_next)
        self.hand_in = button("Hand in", self.on_hand_in)
        self.entry, self.result = widgets.VBox(), widgets.HTML()
        self.blueprint.observe(lambda _change: self._show_choice(), names="value")
        self.place.observe(self._on_place, names="value")
        offered = "; ".join(f"{b.title}: {b.questions} questions, {b.minutes} minutes" for b in self._blueprints.values())
        super().__init__(f"Examination. {RULES} {offered}.")
        self._sitting = None
        self._open()

    @functools.cached_property
    def bank(self):
        """The bank, loaded when it is first needed."""
        return self._bank() if callable(self._bank) else self._bank

    @told_in_panel
    def _open(self):
        self._show_choice()
        if self._record.state("examination"):
            self._sitting = Sitting.resume(self.bank, self._record)
        self._show()

    def _show_choice(self):
        one = self._blueprints[self.blueprint.value]
        told = f"{one.questions} questions, {one.minutes} minutes, passed with {one.pass_mark:g} %. {one.about}"
        self.about.value = paragraph(f"{told} {RULES}")

    @told_in_panel
    def on_begin(self, _button):
        """Draw a new examination and start its clock."""
        own = self.own.value.strip()
        blueprint = load_blueprint(own) if own else self._blueprints[self.blueprint.value]
        self._sitting = Sitting.begin(blueprint, self.bank, self._record)
        self._show()

    def _show(self):
        if self._sitting is None:
            self.children = (self.blueprint, self.own, self.about, self.begin, self.error_line)
        elif self._sitting.is_ended:
            self._end()
        else:
            self.place.options = self._places()
            self.place.value = (self._sitting.open_places or [0])[0]
            self._show_question()
            buttons = widgets.HBox((self.back, self.next, self.hand_in))
            self.children = (self.clock, self.place, self.question, self.entry, buttons, self.error_line)
            self._tick(self._sitting)

    def _places(self):
        unanswered = set(self._sitting.open_places)
        count = len(self._sitting.items)
        return [(f"{n + 1} of {count}{'' if n in unanswered else ', answered'}", n) for n in range(count)]

    def _show_question(self):
        number = self.place.value
        asked = self._sitting.asked(number)
        picture = f'<div role="img" aria-label="{asked.alt}">{asked.picture}</div>' if asked.picture else ""
        self.question.value = "".join(paragraph(line) for line in asked.case) + picture
        entry = Entry(_as_question(number, asked), self._sitting.given(number), self._on_answer, self._sitting.seed)
        self.entry.children = entry.children
        self._show_clock()

    def _on_place(self, change):
        if change.new is not None and self._sitting and not self._sitting.is_ended:
            self._show_question()

    @told_in_panel
    def _on_answer(self, entry):
        number = int(entry.question.name) - 1
        if self._sitting.is_ended:
            self._end()
            return
        self._sitting.answer(number, entry.given)
        entry.show_saved()
        # The list is told anew without moving to another question.
        self.place.unobserve(self._on_place, names="value")
        self.place.options, self.place.value = self._places(), number
        self.place.observe(self._on_place, names="value")
        self._show_clock()

    @told_in_panel
    def on_back(self, _button):
        """Go to the question before."""
        self._move(-1)

    @told_in_panel
    def on_next(self, _button):
        """Go to the question after."""
        self._move(1)

    def _move(self, step):
        if self._sitting.is_ended:
            self._end()
        else:
            self.place.value = min(max(self.place.value + step, 0), len(self._sitting.items) - 1)

    @told_in_panel
    def on_hand_in(self, _button):
        """End the examination; with questions left open, only when it is pressed a second time."""
        left = len(self._sitting.open_places)
        if left and "anyway" not in self.hand_in.description:
            self.hand_in.description = f"Hand in anyway: {left} without an answer"
        else:
            self._end()

    def _end(self):
        report = self._sitting.finish()
        page = report.page
        self.result.value = page.body + paragraph("") + page.link("Save the result as a page to print", "examination")
        self.hand_in.description = "Hand in"
        self.begin.description = "Begin another examination"
        self.children = (self.result, self.blueprint, self.own, self.about, self.begin, self.error_line)

    def _show_clock(self):
        left = len(self._sitting.open_places)
        minutes = -(-self._sitting.seconds_left // 60)
        told = f"{minutes:.0f} minutes left. {len(self._sitting.items) - left} of {len(self._sitting.items)} answered."
        self.clock.value = paragraph(told, bold=True)

    def _tick(self, sitting):
        """Move the clock on while the page is open, and end the examination when its time is over."""
        if sitting is not self._sitting or self.result in self.children:
            return
        if sitting.is_ended:
            self._end()
            return
        self._show_clock()
        with contextlib.suppress(RuntimeError):
            asyncio.get_running_loop().call_later(min(TICK, sitting.seconds_left + 0.1), self._tick, sitting)


def _as_question(number, asked):
    name = str(number + 1)
    if isinstance(asked.key, NumberKey):
        return NumberQuestion(name, asked.text, asked.key.unit)
    kind = ChoiceQuestion if isinstance(asked.key, ChoiceKey) else OrderQuestion
    return kind(name, asked.text, asked.options)


def examination():
    """Show the examination: a choice of blueprints, or the one in progress."""
    return ExaminationPanel()
