"""What is true of every specification: what a field cannot be is refused with the field's name, all at once."""

import dataclasses
import math

import pytest

from tests.attack import specifications
from thermo_kit.errors import InputError
from thermo_kit.units import Count, Name, Quantity, Spec, asked_of, quantity

SPECS = [kind for _, kind in sorted(specifications().items())]


def usual(spec):
    """Numbers from the middle of their ranges and first names; parts are left out, so they are refused as well."""
    middles = {Count: lambda w: w.low, Quantity: lambda w: 0.5 * (w.low + w.high), Name: lambda w: w.names[0]}
    needed = {one.name: None for one in dataclasses.fields(spec) if one.default is dataclasses.MISSING}
    return needed | {name: middles.get(type(what), lambda w: None)(what) for name, what in asked_of(spec).items()}


def beyond(what):
    """Values that a field cannot be."""
    span = what.high - what.low
    outside = (what.low - 0.01 * span - 1e-9, what.high + 0.01 * span + 1e-9)
    if isinstance(what, Count):
        return (what.low - 1, what.high + 1, what.low + 0.5, True, "3", math.nan)
    return (*outside, math.nan, math.inf, -math.inf, "12", b"1", [what.low], complex(what.low))


def refused(spec, values):
    """Return the problems told of a specification."""
    try:
        spec(**values)
    except InputError as error:
        return error.problems
    return ()


def complaints(spec):
    """Return what a specification takes that it should not."""
    found, numbers = [], {n: w for n, w in asked_of(spec).items() if isinstance(w, Quantity | Count)}
    for name, what in numbers.items():
        if what.line() not in spec.__doc__:
            found.append(f"{name} is not documented")
        for value in beyond(what):
            told = [str(p) for p in refused(spec, usual(spec) | {name: value}) if str(p.argument) == what.words]
            if not told or (what.advice and what.advice not in told[0]):
                found.append(f"{name} may be {value!r}")
    worst = refused(spec, usual(spec) | {name: math.nan for name in numbers})
    if not {what.words for what in numbers.values()} <= {str(problem.argument) for problem in worst}:
        found.append("not all is told at once")
    return found


@pytest.mark.parametrize("spec", SPECS, ids=lambda spec: spec.__name__)
def test_what_a_field_cannot_be_is_refused(spec):
    assert complaints(spec) == []


def test_the_guard_sees_a_careless_specification():
    class Careless(Spec):
        """A pane of glass that takes anything."""

        width: float = quantity("length", 0.1, 3.0, "width of the pane")

        def __post_init__(self):
            pass

    assert len(SPECS) > 5 and len(complaints(Careless)) > 5
