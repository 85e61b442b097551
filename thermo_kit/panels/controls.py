"""The labelled controls of a panel: what they are called and what they accept."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from thermo_kit.errors import OutOfRangeError, Problem
from thermo_kit.panels.entries import ChoiceEntry, NumberEntry, TextEntry
from thermo_kit.units import decimals_of


@dataclass(frozen=True)
class NumberControl:
    """A number with its unit: a labelled box, linked with a slider.

    field: name in the settings; label: visible name without unit; kind: key of `thermo_kit.units.KINDS`;
    low, high: allowed range in SI, numbers or functions of the settings; step: of the slider in SI;
    needed: function of the settings, says whether the number matters beside them (else it is not shown); None: always
    """

    field: str
    label: str
    kind: str
    low: float | Callable = field(kw_only=True)
    high: float | Callable = field(kw_only=True)
    step: float = field(kw_only=True)
    us_step: float | None = field(default=None, kw_only=True)
    decimals: int | None = field(default=None, kw_only=True)
    help: str = field(default="", kw_only=True)
    slider: bool = field(default=True, kw_only=True)
    fixed: bool = field(default=False, kw_only=True)
    needed: Callable | None = field(default=None, kw_only=True)

    def is_needed(self, settings):
        """Return whether the number matters beside these settings.

        Parameters
        ----------
        settings : object
            The panel's settings.

        Returns
        -------
        bool
            False where it is not shown.
        """
        return self.needed is None or bool(self.needed(settings))

    def own_look(self, look):
        """Return the look this control obeys.

        Parameters
        ----------
        look : Look
            Units, altitude, gauge or absolute, as the view has them.

        Returns
        -------
        Look
            The same, but for a fixed pressure.
        """
        return replace(look, gauge=self.kind == "gauge_pressure") if self.fixed and self.is_pressure else look

    def bounds(self, settings):
        """Return the lowest and highest allowed value for these settings.

        Parameters
        ----------
        settings : object
            The panel's settings.

        Returns
        -------
        tuple of float, [SI unit of the kind]
            Lowest and highest.
        """
        return tuple(limit(settings) if callable(limit) else limit for limit in (self.low, self.high))

    @property
    def is_pressure(self):
        """Whether the view decides between gauge and absolute.

        Returns
        -------
        bool
            True for a pressure, not for a pressure difference.
        """
        return self.kind in ("pressure", "gauge_pressure")

    @property
    def limits_move(self):
        """Whether the limits depend on other settings.

        Returns
        -------
        bool
            True if they do.
        """
        return callable(self.low) or callable(self.high)

    def check(self, value, settings, look):
        """Refuse a value outside the limits.

        Parameters
        ----------
        value : float, [SI unit of the kind]
            The value.
        settings : object
            The panel's settings.
        look : Look
            Units, altitude, gauge or absolute.

        Raises
        ------
        OutOfRangeError
            In the units the learner sees.
        """
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
        """Write a value with its unit as this control shows it.

        Parameters
        ----------
        value : float, [SI unit of the kind]
            The value.
        look : Look
            Units, altitude, gauge or absolute.

        Returns
        -------
        str
            For example "2.00 bar(g)".
        """
        return self.own_look(look).text(value, self.kind, self.places(look))

    def places(self, look):
        """Return how many decimals this control shows.

        Parameters
        ----------
        look : Look
            Units, altitude, gauge or absolute.

        Returns
        -------
        int
            Number of decimals.
        """
        return decimals_of(self.own_look(look).kind(self.kind), look.system) if self.decimals is None else self.decimals

    def make(self, on_entry, on_problem):
        """Make the widgets of this control.

        Parameters
        ----------
        on_entry : callable
            Called with (field, SI value) at each valid entry.
        on_problem : callable
            Called with (field, message) at an entry that cannot be used.

        Returns
        -------
        NumberEntry
            The widgets and what they do.
        """
        return NumberEntry(self, on_entry, on_problem)


@dataclass(frozen=True)
class ChoiceControl:
    """One of a few: a labelled drop-down list.

    field: name in the settings; label: visible name; options: values, or (text, value) pairs; help: one short sentence;
    fits: function of the settings and a value, says whether this value is offered beside them; None offers all
    """

    field: str
    label: str
    options: tuple
    help: str = field(default="", kw_only=True)
    fits: Callable | None = field(default=None, kw_only=True)

    def pairs(self, settings=None):
        """Return the options as (text, value) pairs.

        Parameters
        ----------
        settings : object, optional
            The panel's settings: only what fits them is returned.

        Returns
        -------
        list of tuple
            Text shown and value meant.
        """
        all_pairs = [option if isinstance(option, tuple) else (str(option), option) for option in self.options]
        if settings is None or self.fits is None:
            return all_pairs
        return [(text, value) for text, value in all_pairs if self.fits(settings, value)]

    def text(self, value, look):
        """Write a value as this control shows it.

        Parameters
        ----------
        value : object
            One of the options' values.
        look : Look
            Not needed for a choice.

        Returns
        -------
        str
            The option's text.
        """
        return next((text for text, option in self.pairs() if option == value), str(value))

    def make(self, on_entry, on_problem):
        """Make the widgets of this control.

        Parameters
        ----------
        on_entry : callable
            Called with (field, value) at each choice.
        on_problem : callable
            Never called: a list holds nothing that cannot be used.

        Returns
        -------
        ChoiceEntry
            The widget and what it does.
        """
        return ChoiceEntry(self, on_entry)


@dataclass(frozen=True)
class TextControl:
    """A labelled line of text.

    field: name in the settings; label: visible name; read: text → value, raises a ThermoKitError that says
    how to write it; write: value → text; help: one short sentence; lines: height of the box
    """

    field: str
    label: str
    read: Callable = field(default=str, kw_only=True)
    write: Callable = field(default=str, kw_only=True)
    help: str = field(default="", kw_only=True)
    lines: int = field(default=1, kw_only=True)

    def text(self, value, look):
        """Write a value as this control shows it.

        Parameters
        ----------
        value : object
            The value.
        look : Look
            Not needed for a text.

        Returns
        -------
        str
            The text.
        """
        return self.write(value)

    def make(self, on_entry, on_problem):
        """Make the widgets of this control.

        Parameters
        ----------
        on_entry : callable
            Called with (field, value) at each valid entry.
        on_problem : callable
            Called with (field, message) at an entry that cannot be used.

        Returns
        -------
        TextEntry
            The widget and what it does.
        """
        return TextEntry(self, on_entry, on_problem)
