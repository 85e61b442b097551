"""The widgets behind the controls: they show SI values in display units and report what the learner enters."""

import math
from html import escape

import ipywidgets as widgets

from thermo_kit.errors import Problem, ThermoKitError, UnitError
from thermo_kit.units import UnitSystem, parse_quantity

OWN_WIDTH = {"description_width": "initial"}


class NumberEntry:
    """Box and slider of one number; both show display units, the value kept outside is SI."""

    def __init__(self, control, on_entry, on_problem):
        self.control, self._on_entry, self._on_problem = control, on_entry, on_problem
        self._quiet = False
        self._shown = ""
        self.box = widgets.Text(continuous_update=False, style=OWN_WIDTH)
        self.box.add_class("tk-box")
        self.box.observe(self._on_box, "value")
        parts = [self.box]
        self.slider = None
        if control.slider:
            self.slider = widgets.FloatSlider(readout=False)
            self.slider.add_class("tk-slider")
            self.slider.observe(self._on_slider, "value")
            parts.append(self.slider)
        if control.help:
            parts.append(widgets.HTML(f'<div class="tk-help">{escape(control.help)}</div>'))
        self.widget = widgets.VBox(parts)
        self.widget.add_class("tk-control")

    def show(self, value, settings, look):
        """Show a value in display units without reporting it as an entry.

        Parameters
        ----------
        value : float, [SI unit of the kind]
            The value.
        settings : object
            The panel's settings, for limits that depend on them.
        look : Look
            Units, altitude, gauge or absolute.
        """
        self._look, self._value, self._bounds = self.control.own_look(look), value, self.control.bounds(settings)
        sign = self._look.sign(self.control.kind)
        self._quiet = True
        try:
            self.box.description = f"{self.control.label} in {sign}" if sign else self.control.label
            self._show_in_box(value)
            if self.slider is not None:
                self._show_on_slider(value)
        finally:
            self._quiet = False

    def _show_in_box(self, value):
        number = round(float(self._look.number(value, self.control.kind)), self.control.places(self._look)) + 0.0
        self._shown = f"{number:.{self.control.places(self._look)}f}"
        self.box.value = self._shown

    def _show_on_slider(self, value):
        control, look, slider = self.control, self._look, self.slider
        low, high = (float(look.number(limit, control.kind)) for limit in self._bounds)
        step = float(look.number(self._bounds[0] + control.step, control.kind)) - low
        if look.system is UnitSystem.US and control.us_step:
            step = control.us_step
        step = float(f"{step:.9g}")
        # Whole multiples of the step give the slider round numbers in either unit system.
        first, last = _up(low / step), -_up(-high / step)
        first, last = (first * step, last * step) if last > first else (low, high)
        place = min(max(float(look.number(value, control.kind)), first), last)
        # The browser moves the knob to a whole step and reports that as an entry: ask for that place ourselves.
        place = _round(min(first + round((place - first) / step) * step, last))
        self._place, self._step = place, step
        wanted = {"min": _round(first), "max": _round(last), "step": step, "value": place}
        changed = {name: new for name, new in wanted.items() if getattr(slider, name) != new}
        if set(changed) <= {"value"}:
            slider.value = place
            return
        with slider.hold_sync(), slider.hold_trait_notifications():
            for name, new in changed.items():
                slider.set_trait(name, new)

    def _on_box(self, change):
        if self._quiet:
            return
        try:
            value = self._value if change.new.strip() == self._shown else self._read(change.new)
        except ThermoKitError as error:
            self._on_problem(self.control.field, str(error))
            return
        self._take(value, self.slider is not None)

    def _on_slider(self, change):
        if self._quiet or abs(change.new - self._place) < self._step / 100:
            return
        self._place = change.new
        low, high = self._bounds
        self._take(min(max(self._look.stored(_round(change.new), self.control.kind), low), high), False)

    def _take(self, value, move_slider):
        self._value = value
        self._quiet = True
        try:
            self._show_in_box(value)
            if move_slider:
                self._show_on_slider(value)
        finally:
            self._quiet = False
        self._on_entry(self.control.field, value)

    def _read(self, text):
        control, look = self.control, self._look
        sign = look.sign(control.kind)
        if not any(character.isdigit() for character in text):
            example = f"{self._shown} {sign}".strip()
            raise UnitError(Problem(control.label, repr(text[:40]), "is not a number", f'write it like "{example}"'))
        value = parse_quantity(text, sign, look.altitude, control.label)
        low, high = self._bounds
        # Limits are shown rounded: whoever types the limit as shown must not be refused.
        places = control.places(look)
        for limit in (low, high):
            if round(look.number(value, control.kind), places) == round(look.number(limit, control.kind), places):
                return min(max(value, low), high)
        return value


class ChoiceEntry:
    """The drop-down list of one choice."""

    def __init__(self, control, on_entry):
        self.control, self._on_entry = control, on_entry
        self._quiet = False
        self.box = widgets.Dropdown(options=control.pairs(), description=control.label, style=OWN_WIDTH)
        self.box.add_class("tk-box")
        self.box.observe(self._on_box, "value")
        parts = [self.box]
        if control.help:
            parts.append(widgets.HTML(f'<div class="tk-help">{escape(control.help)}</div>'))
        self.widget = widgets.VBox(parts)
        self.widget.add_class("tk-control")

    def show(self, value, settings, look):
        """Show a value without reporting it as an entry.

        Parameters
        ----------
        value : object
            One of the options' values.
        settings : object
            Not needed for a choice.
        look : Look
            Not needed for a choice.
        """
        self._quiet = True
        try:
            self.box.value = value if value in [option for _, option in self.control.pairs()] else None
        finally:
            self._quiet = False

    def _on_box(self, change):
        if not self._quiet and change.new is not None:
            self._on_entry(self.control.field, change.new)


class TextEntry:
    """The box of one line of text."""

    def __init__(self, control, on_entry, on_problem):
        self.control, self._on_entry, self._on_problem = control, on_entry, on_problem
        self._quiet = False
        self.box = widgets.Text(description=control.label, continuous_update=False, style=OWN_WIDTH)
        self.box.add_class("tk-box")
        self.box.observe(self._on_box, "value")
        parts = [self.box]
        if control.help:
            parts.append(widgets.HTML(f'<div class="tk-help">{escape(control.help)}</div>'))
        self.widget = widgets.VBox(parts)
        self.widget.add_class("tk-control")

    def show(self, value, settings, look):
        """Show a value without reporting it as an entry.

        Parameters
        ----------
        value : object
            The value.
        settings : object
            Not needed for a text.
        look : Look
            Not needed for a text.
        """
        self._quiet = True
        try:
            self.box.value = self.control.write(value)
        finally:
            self._quiet = False

    def _on_box(self, change):
        if self._quiet:
            return
        try:
            value = self.control.read(change.new)
        except ThermoKitError as error:
            self._on_problem(self.control.field, str(error))
        else:
            self._on_entry(self.control.field, value)


def _up(number):
    """Round up to a whole number, forgiving what binary fractions leave over."""
    return math.ceil(number - 1e-6)


def _round(number):
    return round(number, 9) + 0.0
