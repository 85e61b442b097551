"""Every public function is attacked with seeded random input: closed, finite results or a typed error, nothing else.

Which specifications a function takes is read from its docstring, and the ranges from the fields of the specifications:
a new model is attacked without a new test. Numbers beside them are drawn from the small table RECIPES.
THERMO_KIT_DRAWS says how often (default few, so that the run stays short).
"""

import dataclasses
import functools
import importlib
import inspect
import math
import os
import random
import re

import pytest

from tests.attack import drawn, made, specifications, troubles
from tests.attack_recipes import RECIPES
from tests.house.docstrings import documented
from thermo_kit.errors import ThermoKitError
from thermo_kit.substances.stream import Stream
from thermo_kit.units.spec import Count, Name, Quantity, Several, Word, asked_of

DRAWS = int(os.environ.get("THERMO_KIT_DRAWS", "2"))
ROOMS = ("components", "systems", "service")
MOST_REFUSED = 40
"""So many draws may be refused before the first is solved."""
WRONG = ("12", b"1", 1j, [1.0], None, 10**400, float("nan"), float("inf"), {}, object())
SLOW = {"charge_band": 10, "safe_time_map": 100, "failure_table": 30, "longest_safe_reaction": 30, "pull_down": 5,
        "simulate_chiller_freeze": 5, "simulate_network": 10, "compare_cores": 2, "fin_curve": 5,
        "diagnose": 5, "solve_vehicle": 5}  # fmt: skip
"""Functions that take long, and how many times fewer draws they get."""


ENDLESS = {"longest_safe_reaction", "safe_time_map"}
"""Functions that say in their docstring that a time may be infinite: the harm never comes."""


LOGS = ("log", "pressure_log", "recovery_log", "vacuum_log")
READS_FILES = {"load_layout", *(f"read_{what}" for what in ("layout", "sheet", *LOGS))}
"""Public functions attacked by the tests of their own files: they take what stands in a file."""


def offered():
    """Return {name: function} of everything public that can be called and is no class."""
    doors = [importlib.import_module(f"thermo_kit.{room}") for room in ROOMS]
    found = {name: getattr(door, name) for door in doors for name in door.__all__}
    return {name: one for name, one in sorted(found.items()) if callable(one) and not inspect.isclass(one)}


def targets():
    """Return [(name, function, {parameter: class or recipe}, names that may be left out)]."""
    known, found = specifications() | {"Stream": Stream}, []
    for name, function in offered().items():
        told = documented(function.__doc__)
        recipe, takes, optional = RECIPES.get(name, {}), {}, set()
        for one in inspect.signature(function).parameters.values():
            what = recipe.get(one.name) or known.get(re.match(r"\w*", told.get(one.name, ""))[0])
            if what is None:
                if one.default is one.empty:
                    break
                continue
            takes[one.name] = what
            optional |= {one.name} if one.default is not one.empty else set()
        else:
            found.append((name, function, takes, optional))
    return found


def _short(spec):
    """Return a freeze case that is soon computed; how long it lasts changes nothing in what must be true."""
    small = {"duration": min(spec.duration, 30.0), "segments": min(spec.segments, 4), "layers": min(spec.layers, 3)}
    return dataclasses.replace(spec, **small)


def arguments(takes, optional, rng):
    """Return random arguments of one call; those drawn last may look at those drawn first."""
    given = {}
    for name, what in sorted(takes.items(), key=lambda pair: not inspect.isclass(pair[1]) or pair[1] is Stream):
        if name in optional and rng.random() < 0.5:
            continue
        if inspect.isclass(what):
            given[name] = made(what, rng)
            if what.__name__ == "FreezeSpec":
                given[name] = _short(given[name])
        else:
            given[name] = what(rng, given) if inspect.isfunction(what) else drawn(what, rng)
    return given


def refusal(function, given, name):
    """Return the typed error with which a call is refused for the argument of that name."""
    told = f"{name} = {given.get(name)!r:.60}"
    try:
        function(**given)
    except ThermoKitError as error:
        return error
    except Exception as error:
        raise AssertionError(f"{told}: {type(error).__name__}: {error}") from error
    raise AssertionError(f"{told} was taken")


def each_target(test):
    return pytest.mark.parametrize("target", targets(), ids=lambda one: one[0])(test)


@each_target
def test_random_input_within_its_ranges(target):
    name, function, takes, optional = target
    rng, solved = random.Random(name), 0
    wanted = max(DRAWS // SLOW.get(name, 1), 1)
    for draw in range(max(wanted, MOST_REFUSED)):
        if draw >= wanted and solved:
            break
        given = {}
        try:
            given = arguments(takes, optional, rng)
            result = function(**given)
        except ThermoKitError as error:
            assert str(error).strip(), "an error without words"
            continue
        except Exception as error:
            raise AssertionError(f"draw {draw}: {type(error).__name__}: {error}\n{given}") from error
        solved += 1
        found = [] if name in ENDLESS else troubles(result)
        assert not found, f"draw {draw}: {found[:5]}\n{given}"
    assert solved, "all that was drawn was refused: the recipe attacks nothing"


@each_target
def test_numbers_of_a_wrong_kind_give_typed_errors(target):
    name, function, takes, optional = target
    rng = random.Random(name)
    for parameter, what in takes.items():
        if not isinstance(what, Quantity | Name) or parameter == "mass_fractions":
            continue
        for value in WRONG:
            if value is None and parameter in optional:
                continue
            given = arguments(takes, set(), rng) | {parameter: value}
            refusal(function, given, parameter)


def fits(what, value):
    """Whether a field may take one of the values of WRONG after all: a text or a list is what it asks for."""
    if isinstance(what, Word):
        return isinstance(value, str)
    if isinstance(what, Several) and isinstance(value, list):
        return isinstance(what.each, Quantity) and what.least <= 1 and what.each.low <= 1.0 <= what.each.high
    return False


def beyond(what):
    """Return values just outside what a number may be."""
    if isinstance(what, Count):
        return what.low - 1, what.high + 1, what.low + 0.5, True
    if not isinstance(what, Quantity):
        return ()
    little = 0.01 * (what.high - what.low) + 1e-9
    return what.low - little, what.high + little


@pytest.mark.parametrize("kind", specifications().values(), ids=lambda kind: kind.__name__)
def test_wrong_types_and_values_beyond_the_range_give_typed_errors(kind):
    changed = functools.partial(dataclasses.replace, made(kind, random.Random(kind.__name__)))
    for name, what in asked_of(kind).items():
        assert what.line() in kind.__doc__, f"{name} is not documented"
        for value in (*WRONG, *beyond(what)):
            if fits(what, value) or (value is None and kind.__dataclass_fields__[name].default is None):
                continue
            told = str(refusal(changed, {name: value}, name))
            assert what.words in told, f"{name} = {value!r:.60} is refused without its name: {told}"
            assert not isinstance(what, Quantity | Count) or what.advice in told, told
    numbers = {name: what.words for name, what in asked_of(kind).items() if isinstance(what, Quantity | Count)}
    if numbers:
        told = str(refusal(changed, dict.fromkeys(numbers, math.nan), "every number"))
        assert all(words in told for words in numbers.values()), "not all is told at once"


def test_every_public_function_is_attacked():
    assert set(offered()) - {name for name, *_ in targets()} == READS_FILES


def test_the_attack_sees_what_is_wrong():
    @dataclasses.dataclass
    class Result:
        energy_closure: float
        flows: tuple = ()
        effectiveness: float = 0.5

    assert troubles(Result(1e-9, (1.0,))) == []
    wrong = (Result(1e-3), Result(float("nan")), Result(0.0, (float("inf"),)), Result(0.0, (1j,)), Result(0.0, (), 1.1))
    assert all(troubles(one) for one in wrong)
