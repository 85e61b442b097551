"""A panel told as data: one class whose fields are settings and controls at once, and what it says of them."""

from copy import copy
from dataclasses import Field, dataclass, field, fields, replace
from inspect import get_annotations

from thermo_kit.panels.controls import ChoiceControl, NumberControl, TextControl
from thermo_kit.panels.frame import Panel
from thermo_kit.units import asked_of, celsius

STEPS = {
    "temperature": {"step": (0.5, 1)},
    "temperature_difference": {"step": (0.5, 1)},
    "percent": {"step": 0.01, "decimals": 0},
    "ratio": {"step": 0.01},
    "gauge_pressure": {"step": (0.1e5, 1)},
    "pressure": {"step": (0.1e5, 1)},
    "mass": {"step": (0.005, 0.1)},
    "mass_flow": {"step": (0.001, 0.1)},
    "driving_speed": {"step": (5 / 3.6, 5)},
}
"""How a slider of a kind moves and is shown, where nothing else is said."""


def number(label, default, kind=None, low=None, high=None, **more):
    """Ask for a number; limits [SI unit of the kind] may be functions of the settings.

    more: as in `NumberControl`, where `STEPS` knows what is usual for the kind; step: in SI, or (in SI, in US units)
    where the other would be no round number; of: a specification, the kind and range of whose field of this name hold
    where none is given here.
    """
    return _asks(default, _number_control, label, kind, low, high, **more)


def _number_control(name, label, kind, low, high, *, of=None, **more):
    if of:
        what = asked_of(of)[name]
        kind, low, high = kind or what.kind, what.low if low is None else low, what.high if high is None else high
    more = {**STEPS.get(kind, {}), **more}
    if isinstance(more["step"], tuple):
        more["step"], more["us_step"] = more["step"]
    return NumberControl(name, label, kind, low=low, high=high, **more)


def degrees(label, default, low, high, **more):
    """Ask for a temperature; default, low, high in °C, a limit may be a function of the settings that returns [K]."""
    low, high = (limit if callable(limit) else celsius(limit) for limit in (low, high))
    return number(label, celsius(default), "temperature", low, high, **more)


def choice(label, default, options, **more):
    """Ask for one of a few: values, or (text, value) pairs."""
    return _asks(default, ChoiceControl, label, tuple(options), **more)


def text(label, default="", **more):
    """Ask for a line of text."""
    return _asks(default, TextControl, label, **more)


def filled(spec, settings, **others):
    """Make a specification from the settings of the same names; others: what is named otherwise, or reckoned.

    spec: its class, or a specification that holds where the settings say nothing.
    """
    asked = {one.name for one in fields(spec)}
    own = {name: value for name, value in vars(settings).items() if name in asked}
    return spec(**own | others) if isinstance(spec, type) else replace(spec, **own | others)


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


def _with_shared(settings):
    """Return the fields of a class: its own, then those it shares; one that it makes anew stands where it stood."""
    shared = {name: kind for base in settings.__mro__[1:] for name, kind in get_annotations(base).items()}
    return {name: kind for name, kind in get_annotations(settings).items() if name not in shared} | shared


def panel(title, *, typed=()):
    """Make the panel of a settings class: its fields in their order, its `describe(look)`, its `follow(changed)`.

    A base is a plain class; its fields stand below the panel's own, in the order of the bases. `describe` returns a
    `Description`; `follow`, where there is one, the values that go along with what changed.
    typed: names of the numbers that get no slider. The class becomes frozen and keyword-only; the panel keeps it as
    `Settings`.
    """

    def made(settings):
        settings.__annotations__ = _with_shared(settings)
        for name in settings.__annotations__:
            if isinstance(shared := getattr(settings, name, None), Field):
                setattr(settings, name, copy(shared))  # dataclass writes into it
        settings = dataclass(frozen=True, kw_only=True)(settings)
        follow, controls = getattr(settings, "follow", None), {one.field: one for one in controls_of(settings)}
        controls |= {name: replace(controls[name], slider=False) for name in typed}
        body = {
            "title": title,
            "Settings": settings,
            "controls": tuple(controls.values()),
            "describe": staticmethod(settings.describe),
            "follow": follow and staticmethod(follow),
            "__doc__": settings.__doc__,
            "__module__": settings.__module__,
        }
        return type(settings.__name__, (Panel,), body)

    return made
