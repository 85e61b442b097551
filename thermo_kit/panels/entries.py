"""The widgets behind the controls: they show SI values in display units and report what the learner enters.

What was entered is shown by the panel, which calls `show` of every control once the picture is on its way.
"""

from html import escape

import ipywidgets as widgets

from thermo_kit.errors import Problem, ThermoKitError, UnitError
from thermo_kit.panels.bare import bare, words
from thermo_kit.panels.stepped import SteppedSlider
from thermo_kit.units import UnitSystem, parse_quantity, tell

LONG_TEXT = 13


class Entry:
    """A labelled box with its help, and what is wrong with it right below."""

    def __init__(self, control, box, on_entry, on_problem, *parts):
        self.control, self.box, self._on_entry, self._on_problem = control, box, on_entry, on_problem
        self._quiet, self._look = False, None
        self.box.observe(self._on_box, "value")
        self._complaint = words()
        helps = [words(f'<div class="tk-help">{escape(control.help)}</div>')] if control.help else []
        self.widget = bare(widgets.VBox, [box, *parts, self._complaint, *helps], css="tk-control")

    def complain(self, message):
        """Say below the box what is wrong with it; nothing where all is well."""
        told = f'<div class="tk-complaint">⚠ {escape(message)}</div>' if message else ""
        if self._complaint.value != told:
            self._complaint.value = told
            (self.box.add_class if message else self.box.remove_class)("tk-bad")

    def show(self, value, settings, look):
        """Show a value in display units without reporting it as an entry; value [SI unit of the kind]."""
        self._quiet, self._look = True, look
        try:
            self._show(value, settings)
        finally:
            self._quiet = False

    def _on_box(self, change):
        if self._quiet:
            return
        try:
            value = self._read(change.new)
        except ThermoKitError as error:
            self._on_problem(self.control.field, tell(error, self._look))
        else:
            self._on_entry(self.control.field, value)


class NumberEntry(Entry):
    """Box and slider of one number; both show display units, the value kept outside is SI."""

    def __init__(self, control, on_entry, on_problem):
        self._shown = ""
        self.stepped = SteppedSlider(self._on_slider) if control.slider else None
        parts = [self.stepped.widget] if self.stepped else []
        box = bare(widgets.Text, continuous_update=False, css="tk-box")
        super().__init__(control, box, on_entry, on_problem, *parts)

    @property
    def slider(self):
        """The slider of the present range."""
        return self.stepped and self.stepped.slider

    def _show(self, value, settings):
        self._look, self._value = self.control.own_look(self._look), value
        self._bounds = self.control.bounds(settings)
        (self.widget.remove_class if self.control.is_needed(settings) else self.widget.add_class)("tk-folded")
        sign = self._look.sign(self.control.kind)
        unit = "inches" if sign == "in" else sign  # "Length in in" is hard to read, and to listen to
        self.box.description = f"{self.control.label} in {unit}" if unit else self.control.label
        shown = f"{self._rounded(value) + 0.0:.{self.control.places(self._look)}f}"
        self._shown = shown.replace(".", ",") if self._look.comma else shown
        self.box.value = self._shown
        if self.stepped:
            self._show_on_slider(value)

    def _rounded(self, value):
        return round(float(self._look.number(value, self.control.kind)), self.control.places(self._look))

    def _show_on_slider(self, value):
        control, look = self.control, self._look
        low, high = (float(look.number(limit, control.kind)) for limit in self._bounds)
        step = float(look.number(self._bounds[0] + control.step, control.kind)) - low
        if look.system is UnitSystem.US and control.us_step:
            step = control.us_step
        self.stepped.show(float(look.number(value, control.kind)), low, high, float(f"{step:.9g}"))

    def _on_slider(self, number):
        low, high = self._bounds
        value = min(max(self._look.stored(number, self.control.kind), low), high)
        self._on_entry(self.control.field, value)

    def _read(self, text):
        if text.strip() == self._shown:
            return self._value
        control, look = self.control, self._look
        sign = look.sign(control.kind)
        if not any(character.isdigit() for character in text):
            example = f"{self._shown} {sign}".strip()
            given, told = (repr(text[:40]), "is not a number") if text.strip() else ("", "is empty")
            raise UnitError(Problem(control.label, given, told, f'write it like "{example}"'))
        value = parse_quantity(text, sign, look.altitude, control.label, look.comma)
        low, high = self._bounds
        # Limits are shown rounded: whoever types the limit as shown must not be refused.
        is_limit = self._rounded(value) in map(self._rounded, self._bounds)
        return min(max(value, low), high) if is_limit else value


class ChoiceEntry(Entry):
    """The drop-down list of one choice."""

    def __init__(self, control, on_entry, on_problem):
        is_long = max(len(text) for text, _ in control.pairs()) > LONG_TEXT
        css = "tk-box tk-long" if is_long else "tk-box"
        box = bare(widgets.Dropdown, options=control.pairs(), description=control.label, css=css)
        super().__init__(control, box, on_entry, on_problem)

    def _show(self, value, settings):
        pairs = self.control.pairs(settings)
        if value not in [option for _, option in pairs]:
            # Set in code and not offered: shown all the same where it has a name, so that box and picture agree.
            pairs += [pair for pair in self.control.pairs() if pair[1] == value]
        if list(self.box.options) != pairs:
            self.box.options = pairs
        self.box.value = value if value in [option for _, option in pairs] else None

    def _on_box(self, change):
        if change.new is not None:
            super()._on_box(change)

    def _read(self, value):
        return value


class TextEntry(Entry):
    """The box of one line of text."""

    def __init__(self, control, on_entry, on_problem):
        kind, more = (widgets.Text, {}) if control.lines == 1 else (widgets.Textarea, {"rows": control.lines})
        box = bare(kind, description=control.label, continuous_update=False, css="tk-box tk-long", **more)
        super().__init__(control, box, on_entry, on_problem)

    def _show(self, value, settings):
        self.box.value = self.control.write(value)

    def _read(self, text):
        return self.control.read(text)
