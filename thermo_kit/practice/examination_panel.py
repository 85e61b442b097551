"""The examination as a panel: choose, begin, answer against the clock, hand in, read what came of it."""

import asyncio
import contextlib
import functools

import ipywidgets as widgets

from thermo_kit.course.described import OWN_WIDTH, DescribedBox, button, given_in, paragraph, told_in_panel
from thermo_kit.course.quick import case_html
from thermo_kit.course.record import Record
from thermo_kit.panels.bare import words
from thermo_kit.practice.bank import load
from thermo_kit.practice.blueprint import load_blueprint, supplied_blueprints
from thermo_kit.practice.examination import KEPT_AS, Sitting
from thermo_kit.practice.panel import beside, entry_for

TICK = 15
RULES = (
    "No answer is told until the end. Every entry is kept at once. The clock goes on while the page is closed. "
    "When the time is over, the examination ends by itself."
)


class BlueprintChoice(widgets.VBox):
    """Which examination: a supplied one, or an instructor's own from a file."""

    def __init__(self):
        self._supplied = supplied_blueprints()
        titles = [(one.title, name) for name, one in self._supplied.items()]
        wide = {"style": OWN_WIDTH, "layout": widgets.Layout(width="36em", max_width="100%")}
        self.name = widgets.Dropdown(options=titles, description="Examination", **wide)
        told = {"description": "Or a plan of your own (file)", "placeholder": "for example plan.toml"}
        self.file, self.about = widgets.Text(**told, **wide), words()
        widgets.dlink((self.name, "value"), (self.about, "value"), self._told)
        super().__init__((self.name, self.file, self.about))

    @property
    def chosen(self):
        """The blueprint that is chosen."""
        file = self.file.value.strip()
        return load_blueprint(file) if file else self._supplied[self.name.value]

    def _told(self, name):
        one = self._supplied[name]
        return paragraph(
            f"{one.questions} questions, {one.minutes} minutes, passed with {one.pass_mark:g} %. {one.about}"
        )

    def __repr__(self):
        told = (f"{one.title}: {one.questions} questions, {one.minutes} minutes" for one in self._supplied.values())
        return "; ".join(told)


class ExaminationPanel(DescribedBox):
    """One examination at a time; the one in the record is taken up again."""

    def __init__(self, bank=None, record=None):
        self._given_bank, self._record, self._sitting = bank, record or Record(), None
        self.choice = BlueprintChoice()
        self.begin = button("Begin the examination", self.on_begin)
        self.last = button("Show my last result", self.on_end)
        self.clock, self.shown, self.question = (words() for _ in range(3))
        self.place = widgets.Dropdown(description="Go to question", style=OWN_WIDTH)
        self.back = button("Back", lambda _button: self.on_step(-1))
        self.next = button("Next", lambda _button: self.on_step(1)).add_class("tk-go")
        self.hand_in = button("Hand in", self.on_hand_in)
        self.entry, self.result = widgets.VBox().add_class("tk-entry"), words()
        self.place.observe(self._on_place, names="value")
        self.rules = words(paragraph(RULES))
        super().__init__(f"Examination. {RULES} {self.choice!r}.")
        self.add_class("tk-practice")
        self._open()

    @functools.cached_property
    def bank(self):
        """The bank, loaded when it is first needed."""
        return load() if self._given_bank is None else self._given_bank

    @told_in_panel
    def _open(self):
        # Shown first: also where the old examination cannot be taken up, another one can be begun.
        self._show()
        if self._record.state(KEPT_AS):
            self._sitting = Sitting.resume(self.bank, self._record)
            self._show()

    @told_in_panel
    def on_begin(self, _button):
        """Draw a new examination and start its clock."""
        self._sitting = Sitting.begin(self.choice.chosen, self.bank, self._record)
        self._show()

    def _show(self):
        if self._sitting is None or self._sitting.is_judged:
            last = (self.last,) if self._sitting else ()
            self.children = (self.choice, self.rules, self.begin, *last, self.error_line)
        elif self._sitting.is_ended:
            self.on_end()
        else:
            self._list_places((self._sitting.open_places or [0])[0])
            self._show_question()
            buttons = widgets.HBox((self.back, self.next, self.hand_in))
            controls = beside(self.shown, self.question, self.entry, buttons)
            self.children = (self.clock, self.place, controls, self.error_line)
            self._tick(self._sitting)

    def _list_places(self, at):
        """Tell which places are answered, without a question being drawn by it."""
        left, count = set(self._sitting.open_places), len(self._sitting.items)
        self.place.unobserve(self._on_place, names="value")
        self.place.options = [(f"{n + 1} of {count}{'' if n in left else ', answered'}", n) for n in range(count)]
        self.place.value = at
        self.place.observe(self._on_place, names="value")
        minutes = -(-self._sitting.seconds_left // 60)
        self.clock.value = paragraph(f"{minutes:.0f} minutes left. {count - len(left)} of {count} answered.", bold=True)

    def _show_question(self):
        number = self.place.value
        # An exercise takes a while to work out; meanwhile no key may reach the question before.
        self.shown.value, self.entry.children = "", ()
        self.question.value = paragraph("The question is being drawn …", status=True)
        asked = self._sitting.asked(number)
        self.shown.value, self.question.value = case_html(asked), paragraph(asked.text, bold=True)
        entry = entry_for(asked, self._sitting.given(number))
        entry.observe(lambda _change: self._on_answer(number, given_in(entry)), names="value")
        self.entry.children = (entry,)
        self.hand_in.description = "Hand in"

    @told_in_panel
    def _on_place(self, change):
        if change.new is not None and self._sitting and not self._sitting.is_ended:
            self._show_question()

    @told_in_panel
    def _on_answer(self, number, given):
        if self._sitting.is_ended:
            return self.on_end()
        self._sitting.answer(number, given)
        self._list_places(self.place.value)

    @told_in_panel
    def on_step(self, step):
        """Go to the question so many places on."""
        if self._sitting.is_ended:
            self.on_end()
        else:
            self.place.value = min(max(self.place.value + step, 0), len(self._sitting.items) - 1)

    @told_in_panel
    def on_hand_in(self, _button):
        """End the examination; with questions left open, only when it is pressed a second time."""
        left = len(self._sitting.open_places)
        if left and "anyway" not in self.hand_in.description:
            self.hand_in.description = f"Hand in anyway: {left} without an answer"
        else:
            self.on_end()

    @told_in_panel
    def on_end(self, _button=None):
        """End the examination, if it is not ended, and show its result."""
        page = self._sitting.finish().page
        link = page.link("Save the result as a page to print", "examination")
        self.result.value = f'<div style="max-width:46em;line-height:1.45">{link}{page.body}</div>'
        self.begin.description = "Begin another examination"
        self.children = (self.result, self.choice, self.rules, self.begin, self.error_line)

    def _tick(self, sitting):
        """Move the clock on while the page is open, and end the examination when its time is over."""
        if sitting is not self._sitting or self.result in self.children:
            return
        if sitting.is_ended:
            return self.on_end()
        self._list_places(self.place.value)
        with contextlib.suppress(RuntimeError):
            asyncio.get_running_loop().call_later(min(TICK, sitting.seconds_left + 0.1), self._tick, sitting)
