"""A slider on whole steps that tells a learner's move from the browser's echo of our own."""

import math
import time

import ipywidgets as widgets
import traitlets

from thermo_kit.panels.bare import bare

ECHO_SECONDS = 1.0


class _Knob(widgets.FloatSlider):
    """A slider whose moves are not sent back to the browser they came from: one message less on the way."""

    value = traitlets.CFloat(0.0).tag(sync=True, echo_update=False)


class SteppedSlider:
    """A slider whose places are whole multiples of its step.

    The browser rounds each place we ask for to a step and reports that back as if someone had moved the knob, in
    binary fractions that differ from ours, and perhaps after we have asked for the next place. Such an echo must
    not become an entry. A new range gets a new slider, so that nothing said about the old one can arrive.
    """

    def __init__(self, on_move):
        self._on_move = on_move
        self._range, self._place, self._asked = None, None, []
        self.slider = None
        self.widget = bare(widgets.VBox, css="tk-slider")

    def show(self, number, low, high, step):
        """Move the knob to the step nearest to a number.

        number [display unit], low [display unit], high [display unit], step [display unit].
        """
        first, last = _up(low / step), -_up(-high / step)
        first, last = (_round(first * step), _round(last * step)) if last > first else (low, high)
        step = min(step, last - first)
        number = min(max(number, first), last)
        self._place = _round(min(first + round((number - first) / step) * step, last))
        if self._range != (first, last, step):
            self._range, self._asked = (first, last, step), []
            self._renew()
        elif abs(self.slider.value - self._place) > step / 100:
            self._asked = [*self._recent(), (self._place, time.monotonic())]
            self.slider.value = self._place

    def _renew(self):
        old = self.slider
        first, last, step = self._range
        self.slider = bare(_Knob, value=self._place, min=first, max=last, step=step, readout=False)
        self.slider.observe(self._heard, "value")
        self.widget.children = [self.slider]
        if old is not None:
            old.unobserve_all()
            old.close()

    def _heard(self, change):
        near = self._range[2] / 100
        if abs(change.new - self._place) < near:
            return
        echoed = [(place, when) for place, when in self._recent() if abs(change.new - place) < near]
        if echoed:
            self._asked.remove(echoed[0])
            self.slider.value = self._place
            return
        self._place, self._asked = change.new, []
        self._on_move(_round(change.new))

    def _recent(self):
        now = time.monotonic()
        self._asked = [(place, when) for place, when in self._asked if now - when < ECHO_SECONDS]
        return self._asked


def _up(number):
    """Round up to a whole number, forgiving what binary fractions leave over."""
    return math.ceil(number - 1e-6)


def _round(number):
    return round(number, 9) + 0.0
