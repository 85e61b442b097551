"""Predict first: the learner commits to a number or a choice, and later sees what the model says."""

from collections import defaultdict

import ipywidgets as widgets

from thermo_kit.course.described import (
    DescribedBox,
    button,
    check_mark,
    number_box,
    paragraph,
    radio,
    told_in_panel,
    told_line,
)
from thermo_kit.course.keys import number_in, read_number, si_value
from thermo_kit.course.questions import drawn_order
from thermo_kit.course.record import Record
from thermo_kit.errors import InputError, NotebookError
from thermo_kit.panels.bare import words
from thermo_kit.panels.view import the_view

_waiting = defaultdict(dict)


class Prediction(DescribedBox):
    """Asks for a prediction and keeps it in the learner's progress record."""

    def __init__(self, name, text, *, unit=None, options=()):
        if bool(options) == (unit is not None):
            raise NotebookError.about(f"prediction {name}", "needs either a unit or options", advice="pass one of them")
        self.name, self.unit, self.options, self.record = name, unit, tuple(options), Record()
        asked = f"a number in {unit or 'no unit'}" if unit is not None else "one of: " + " | ".join(options)
        label = "My prediction"
        if self.options:
            self.entry = radio(drawn_order(text, self.options, self.record.order_seed), label)
        else:
            self.entry = number_box(label, unit)
        self.commit = button("Commit my prediction", self.on_commit)
        self.again = button("Predict again", self.on_again)
        self.status, head = words(), words(paragraph(f"Predict first. {text}", bold=True))
        parts = (head, self.entry, widgets.HBox((self.commit, self.again)), self.status)
        super().__init__(f"Predict first ({name}): {text} [{asked}]", parts)
        self._show_saved()

    @told_in_panel
    def _show_saved(self):
        saved = self.record.last_prediction(self.name)
        if saved and (not self.options or saved.text in self.options):
            self.entry.value = saved.text
        self._lock(saved is not None)
        told = f"Your prediction is kept: {saved.text}." if saved else "Nothing is committed yet."
        self.status.value = paragraph(told, status=True)

    @told_in_panel
    def on_commit(self, _button):
        """Keep what was entered, and let the reveal open."""
        text = (self.entry.value or "").strip()
        if not text:
            raise InputError.about("the prediction", "is empty", advice="choose or write something, a guess is fine")
        value = None if self.options else read_number(text, self.unit, comma=the_view().comma)
        self.record.keep_prediction(self.name, text, value, self.unit or "")
        self._show_saved()
        self.again.focus()  # the box it was in is locked now
        for box in _waiting[self.name].values():
            box.wake()

    def on_again(self, _button):
        """Open the entry for another prediction."""
        self._lock(False)

    def _lock(self, locked):
        self.entry.disabled = self.commit.disabled = locked
        self.again.layout.display = None if locked else "none"


class Reveal(DescribedBox):
    """Shows what the model says beside the prediction, once there is one; `shown` is what is told along with it."""

    def __init__(self, name, actual, *, unit=None, because, decimals=2, close=None, shown=None):
        self.name, self.actual, self.unit, self.because = name, actual, unit or "", because
        self.decimals, self.close, self._shown, self.record = decimals, close, shown, Record()
        self.told = f"{actual:.{decimals}f} {self.unit}".strip() if _is_number(actual) else str(actual)
        # What stays hidden must still be seen to change.
        told = (self.told, because) if shown is None else (self.told, because, repr(shown))
        self.show = button("Show what the model says", self.on_show, disabled=True)
        self.status = words()
        super().__init__(
            f"What the model says ({name}): shown after your prediction. [check {check_mark(*told)}]",
            (self.show, self.status),
        )
        # A cell that runs again leaves its old box behind; only the newest of a name listens.
        _waiting[name]["reveal"] = self
        self.wake()

    @told_in_panel
    def wake(self):
        """Open the button when a prediction is there."""
        ready = self.record.last_prediction(self.name) is not None
        self.show.disabled = not ready
        told = "Your prediction is in." if ready else "Write your prediction first, then come back here."
        self.status.value = paragraph(told, status=True)

    @told_in_panel
    def on_show(self, _button):
        """Compare the prediction with the model."""
        saved = self.record.last_prediction(self.name)
        if saved is None or (_is_number(self.actual) and saved.value is None):
            raise InputError.about("your prediction", "is missing", advice="write your prediction first")
        value = si_value(self.unit, self.actual) if _is_number(self.actual) else None
        quoted = str if _is_number(self.actual) else "“{}”".format
        self.record.keep_outcome(self.name, self.told, value)
        self.status.value = (
            paragraph(f"You predicted {quoted(saved.text)}. The model says {quoted(self.told)}.", bold=True)
            + told_line(*self._compare(saved))
            + paragraph(self.because)
        )
        if self._shown is not None:
            self.children = (self.show, self.status, _as_widget(self._shown), self.error_line)

    def _compare(self, saved):
        if not _is_number(self.actual):
            return ("=", "As you predicted.") if saved.text == self.actual else ("≠", "It went another way.")
        off = round(number_in(self.unit, saved.value) - self.actual, 9)
        size = f"{abs(off):.{self.decimals}f} {self.unit}".strip()
        if abs(off) < 0.5 * 10**-self.decimals:
            return "=", "As you predicted."
        close = abs(self.actual) * 0.1 if self.close is None else self.close
        if abs(off) <= close:
            return "≈", f"Close: {size} {'above' if off > 0 else 'below'} the model."
        return ("↑", f"Your number is {size} too high.") if off > 0 else ("↓", f"Your number is {size} too low.")


class After(DescribedBox):
    """Keeps a table, picture or panel out of sight until the prediction of that name is there."""

    def __init__(self, name, thing):
        self.name, self._thing = name, thing
        self.record = Record()
        self.status = words(paragraph("Write your prediction first. Then you see here what it is about.", status=True))
        mark = check_mark(repr(thing))
        super().__init__(f"Shown after your prediction ({name}). [check {mark}]", (self.status,))
        _waiting[name][mark] = self
        self.wake()

    @told_in_panel
    def wake(self):
        """Show what was kept back when a prediction is there."""
        if self.record.last_prediction(self.name) is not None:
            self.children = (_as_widget(self._thing), self.error_line)


def _as_widget(thing):
    return thing if isinstance(thing, widgets.Widget) else words(thing._repr_html_())


def _is_number(value):
    return isinstance(value, (int, float)) and not isinstance(value, bool)


# As lessons write them.
predict, reveal, after = Prediction, Reveal, After
