"""A panel told as data: one class whose fields are settings and controls at once, and what it says of them."""

from dataclasses import dataclass, field, fields

from thermo_kit.panels.controls import ChoiceControl, NumberControl, TextControl
from thermo_kit.panels.frame import Panel
from thermo_kit.units import asked_of, celsius

TEMPERATURE = {"kind": "temperature", "step": 0.5, "us_step": 1}
DIFFERENCE = {"kind": "temperature_difference", "step": 0.5, "us_step": 1}
SHARE = {"kind": "percent", "step": 0.01, "decimals": 0}


def number(label, default, kind=None, low=None, high=None, *, of=None, **more):
    """Ask for a number; limits [SI unit of the kind] may be functions of the settings.

    of: (specification, field) whose kind and range hold where none is given here.
    """
    if of:
        spec, name = of
        what = asked_of(spec)[name]
        kind, low, high = kind or what.kind, what.low if low is None else low, what.high if high is None else high
    return _asks(default, NumberControl, label, kind, low=low, high=high, **more)


def degrees(label, default, low, high, **more):
    """Ask for a temperature; default, low, high in °C, a limit may be a function of the settings that returns [K]."""
    low, high = (limit if callable(limit) else celsius(limit) for limit in (low, high))
    return number(label, celsius(default), low=low, high=high, **{**TEMPERATURE, **more})


def choice(label, default, options, **more):
    """Ask for one of a few: values, or (text, value) pairs."""
    return _asks(default, ChoiceControl, label, tuple(options), **more)


def text(label, default="", **more):
    """Ask for a line of text."""
    return _asks(default, TextControl, label, **more)


def filled(spec, settings, **others):
    """Make a specification from the settings of the same names; others: what is named otherwise, or reckoned."""
    own = {one.name: getattr(settings, one.name) for one in fields(spec) if hasattr(settings, one.name)}
    return spec(**{**own, **others})


def _asks(default, control, *words, **more):
    return field(default=default, metadata={"control": (control, words, more)})


def controls_of(settings):
    """Return the controls of a settings class in the order of its fields."""
    return tuple(
        control(one.name, *words, **more)
        for one in fields(settings)
        if "control" in one.metadata
        for control, words, more in [one.metadata["control"]]
    )


def panel(title):
    """Make the panel of a settings class: its fields in their order, its `describe(look)`, its `follow(changed)`.

    `describe` returns a `Description`; `follow`, where there is one, the values that go along with what changed.
    The class becomes frozen and keyword-only; the panel keeps it as `Settings`.
    """

    def made(settings):
        settings = dataclass(frozen=True, kw_only=True)(settings)
        follow = getattr(settings, "follow", None)
        body = {
            "title": title,
            "Settings": settings,
            "controls": controls_of(settings),
            "describe": staticmethod(settings.describe),
            "follow": follow and staticmethod(follow),
            "__doc__": settings.__doc__,
            "__module__": settings.__module__,
        }
        return type(settings.__name__, (Panel,), body)

    return made
