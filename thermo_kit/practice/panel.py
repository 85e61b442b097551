"""Ten minutes of practice: what is due today, one question after the other, by keys alone."""

import ipywidgets as widgets

from thermo_kit.course import described
from thermo_kit.course.keys import EMPTY, RIGHT, UNREADABLE, as_sentence
from thermo_kit.course.quick import case_html
from thermo_kit.course.record import Record, keep_judged
from thermo_kit.errors import InputError
from thermo_kit.panels.bare import words
from thermo_kit.practice.bank import load
from thermo_kit.practice.schedule import keep_settings, known, plan, seed_of, settings

KEYS = "By keys: a digit or an arrow chooses, Enter checks, Enter again goes on."


class PracticePanel(described.DescribedBox):
    """Asks what is due, keeps each answer, and asks a wrong one once more at the end, with other numbers."""

    def __init__(self, record=None, bank=None):
        self.record, self.bank = record or Record(), load() if bank is None else bank
        self.head, self.shown, self.question, self.feedback = (words() for _ in range(4))
        self.entry = None
        # The page extension presses this one for the Enter key.
        self.go = described.button("Begin", self.on_go).add_class("tk-go")
        self.minutes, self.day = described.number_box("Minutes a day"), described.number_box("Day of the examination")
        self.day.placeholder, self.day.layout.width = "year-month-day", "26em"
        self.keep = described.button("Keep these two", self.on_keep)
        self.choices = widgets.HBox((self.minutes, self.day, self.keep), layout=widgets.Layout(flex_flow="row wrap"))
        super().__init__(f"Practice: what is due today, one question after the other. {KEYS}")
        self.add_class("tk-practice")
        self._open()

    @described.told_in_panel
    def _open(self):
        minutes, day = settings(self.record)
        self.minutes.value, self.day.value = str(minutes), str(day or "")
        self._begin()

    def _begin(self, told="", more=False):
        cards = known(self.record)
        today = plan(self.record, self.bank, cards, more=more)
        self.queue, self.again, self.right, self.asked_so_far = list(today.names), set(), 0, 0
        self.times = {name: cards[name].times if name in cards else 0 for name in self.queue}
        self.asked, self.judged = None, False
        told += f" {today.told} "
        if self.queue:
            told += f"Today: {len(self.queue)} questions, about {max(1, round(today.minutes))} minutes."
        else:
            told += (
                "Today's minutes are done; answers in lessons and exercises count too. Another round is yours to take."
            )
        notes = "".join(described.paragraph(note, status=True) for note in self.record.told())
        self.head.value = notes + described.paragraph(told.strip(), status=True) + described.paragraph(KEYS)
        self.go.description = "Begin" if self.queue else "Another round"
        self.children = (self.head, self.go, self.choices, self.error_line)

    @described.told_in_panel
    def on_keep(self, _button):
        """Keep minutes a day and the day of the examination, and plan anew."""
        if not self.minutes.value.strip().isdecimal():
            raise InputError.about("the minutes a day", repr(self.minutes.value), "are no whole number", "write 10")
        keep_settings(self.record, minutes=int(self.minutes.value), examination=self.day.value)
        self._begin("Kept.")

    @described.told_in_panel
    def on_go(self, _button):
        """Check the answer, or go on to the next question."""
        if self.asked and not self.judged:
            self._judge()
        elif self.asked or self.queue:
            self._ask()
        else:
            self._begin(more=True)

    def _ask(self):
        cards = known(self.record)
        # Another notebook may have asked a question in the meantime.
        self.queue = [n for n in self.queue if (cards[n].times if n in cards else 0) == self.times[n]]
        if not self.queue:
            return self._begin(f"Done: {self.right} of {self.asked_so_far} right.")
        self.feedback.value = described.paragraph("The next question is being drawn …", status=True)
        # Meanwhile the old question is out of the way, and nothing can be pressed.
        self.children, self.go.disabled = (self.head, self.feedback, self.go, self.error_line), True
        name = self.queue.pop(0)
        try:
            self.asked, self.judged = self.bank[name].draw(seed_of(self.record, cards, name)), False
        finally:
            self.go.disabled = False
        asked, left = self.asked, len(self.queue)
        self.head.value = described.paragraph(f"On {asked.topic.replace('_', ' ')}. {left} more after this one.")
        self.shown.value, self.question.value = case_html(asked), described.paragraph(asked.text, bold=True)
        self.entry = entry_for(asked).add_class("tk-entry")
        self.feedback.value, self.go.description = "", "Check"
        controls = beside(self.shown, self.question, self.entry, self.go, self.feedback)
        self.children = (self.head, controls, self.error_line)

    def _judge(self):
        asked, key = self.asked, self.asked.key
        given = described.given_in(self.entry)
        verdict = key.judge(given)
        self.feedback.value = described.verdict_line(verdict.verdict, verdict.feedback)
        if verdict.verdict in (EMPTY, UNREADABLE):
            return
        self.judged, self.go.description = True, "Go on"
        keep_judged(self.record, asked.name, verdict, given, "practice", asked.topic)
        self.asked_so_far += 1
        self.right += verdict.verdict == RIGHT
        answer = key.right if asked.options else f"{key.value:.4g} {key.unit}".strip()
        # An exercise's number has a reason for its tolerance only; why a choice is right, praise tells already.
        why = as_sentence(key.why) if asked.options or not asked.source.startswith("Exercise") else ""
        if verdict.verdict != RIGHT:
            self.feedback.value += described.paragraph(f"The answer: {answer}. {why}")
        elif not asked.options and why:
            self.feedback.value += described.paragraph(why)
        self.feedback.value += described.paragraph(f"Source: {asked.source}.")
        if verdict.verdict != RIGHT and asked.name not in self.again:
            self.again.add(asked.name)
            self.times[asked.name] = known(self.record)[asked.name].times
            self.queue.append(asked.name)


def beside(shown, *controls):
    """What is shown, and the question with its controls beside it where there is room, else below."""
    question = widgets.VBox(controls, layout=widgets.Layout(flex="1 1 24em", max_width="46em", margin="0 0 0 8px"))
    return widgets.HBox((shown, question), layout=widgets.Layout(flex_flow="row wrap"))


def entry_for(asked, given=""):
    """The control for the answer, with what was given before."""
    if not asked.options:
        return described.number_box("Your answer", asked.key.unit, given)
    made = described.radio([(f"{number}  {text}", text) for number, text in enumerate(asked.options, 1)], "Your answer")
    made.value = given if given in asked.options else None
    return made
