"""The labelled controls of a panel: what they are called and what they accept."""

from collections.abc import Callable
from dataclasses import KW_ONLY, dataclass, replace
from typing import ClassVar

from thermo_kit.errors import OutOfRangeError, Problem
from thermo_kit.panels.entries import ChoiceEntry, NumberEntry, TextEntry
from thermo_kit.units import decimals_of


@dataclass(frozen=True)
class Control:
    """What every control has.

    field: name in the settings; label: visible name, a number's without unit; help: one short sentence;
    entry: what makes its widgets
    """

    field: str
    label: str
    _: KW_ONLY
    help: str = ""
    entry: ClassVar = None


@dataclass(frozen=True)
class NumberControl(Control):
    """A number with its unit: a labelled box, linked with a slider.

    kind: key of `thermo_kit.units.KINDS`;
    low, high: allowed range in SI, numbers or functions of the settings; step: of the slider in SI;
    needed: function of the settings, says whether the number matters beside them (else it is not shown); None: always
    """

    kind: str
    _: KW_ONLY
    low: float | Callable
    high: float | Callable
    step: float
    us_step: float | None = None
    decimals: int | None = None
    slider: bool = True
    fixed: bool = False
    needed: Callable | None = None
    entry: ClassVar = NumberEntry

    def is_needed(self, settings):
        """Return whether the number matters beside these settings."""
        return self.needed is None or bool(self.needed(settings))

    def own_look(self, look):
        """Return the look this control obeys."""
        return replace(look, gauge=self.kind == "gauge_pressure") if self.fixed and self.is_pressure else look

    def bounds(self, settings):
        """Return the lowest and highest allowed value for these settings; → [SI unit of the kind]."""
        return tuple(limit(settings) if callable(limit) else limit for limit in (self.low, self.high))

    @property
    def is_pressure(self):
        """Whether the view decides between gauge and absolute."""
        return self.kind in ("pressure", "gauge_pressure")

    @property
    def limits_move(self):
        """Whether the limits depend on other settings."""
        return callable(self.low) or callable(self.high)

    def check(self, value, settings, look):
        """Refuse a value outside the limits; value [SI unit of the kind]."""
        low, high = self.bounds(settings)
        if low <= value <= high:
            return
        word, limit, other = ("below", low, "lowest") if value < low else ("above", high, "highest")
        advice = "check the number and its unit"
        if self.is_pressure:
            advice += ", and whether it is gauge or absolute"
        told = f"is {word} {self.text(limit, look)}, the {other} value here"
        raise OutOfRangeError(Problem(self.label, self.text(value, look), told, advice))

    def text(self, value, look):
        """Write a value with its unit as this control shows it; value [SI unit of the kind]."""
        return self.own_look(look).text(value, self.kind, self.places(look))

    def places(self, look):
        """Return how many decimals this control shows."""
        return decimals_of(self.own_look(look).kind(self.kind), look.system) if self.decimals is None else self.decimals


@dataclass(frozen=True)
class ChoiceControl(Control):
    """One of a few: a labelled drop-down list.

    options: values, or (text, value) pairs;
    fits: function of the settings and a value, says whether this value is offered beside them; None offers all
    """

    options: tuple
    _: KW_ONLY
    fits: Callable | None = None
    entry: ClassVar = ChoiceEntry

    def pairs(self, settings=None):
        """Return the options as (text, value) pairs."""
        all_pairs = [option if isinstance(option, tuple) else (str(option), option) for option in self.options]
        if settings is None or self.fits is None:
            return all_pairs
        return [(text, value) for text, value in all_pairs if self.fits(settings, value)]

    def text(self, value, look):
        """Write a value as this control shows it."""
        return next((text for text, option in self.pairs() if option == value), str(value))


@dataclass(frozen=True)
class TextControl(Control):
    """A labelled line of text.

    read: text → value, raises a ThermoKitError that says how to write it; write: value → text; lines: height of the box
    """

    _: KW_ONLY
    read: Callable = str
    write: Callable = str
    lines: int = 1
    entry: ClassVar = TextEntry

    def text(self, value, look):
        """Write a value as this control shows it."""
        return self.write(value)
