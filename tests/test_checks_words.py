"""Errors that teach, the collector of bad arguments, the list of words."""

import pytest

from thermo_kit.errors import InputError, NoSolutionError, OutOfRangeError, Problem, ThermoKitError
from thermo_kit.units import KINDS
from thermo_kit.units.checks import Checks
from thermo_kit.units.words import WORDS


def test_a_problem_reads_as_one_sentence():
    problem = Problem("air temperature", "95.0 °C", "is above 60.0 °C", "check the unit")
    assert str(problem) == "air temperature 95.0 °C is above 60.0 °C: check the unit"


def test_an_error_tells_every_problem():
    error = OutOfRangeError(Problem("a", "1", "is below 2"), Problem("b", "9", "is above 5"))
    assert str(error) == "a 1 is below 2; b 9 is above 5"
    assert len(error.problems) == 2
    assert isinstance(error, InputError)
    assert isinstance(error, ValueError)
    assert isinstance(NoSolutionError("x"), ThermoKitError)


def test_all_bad_arguments_are_told_at_once_and_good_ones_are_not():
    with pytest.raises(OutOfRangeError) as caught, Checks() as checks:
        checks.within("ambient", 400.0, 243.15, 333.15, kind="temperature")
        checks.within("ambient", 243.15, 243.15, 333.15, kind="temperature")
        checks.within("humidity", 1.4, 0.0, 1.0, kind="ratio", advice="a share: 50 % is 0.5")
        checks.within("flow", float("nan"), 0.0, 1.0, kind="mass_flow")
        checks.within("charge", "much", 0.0, 1.0, kind="mass")
        checks.within("area", 0.0, 0.0, 1.0, kind="area", exclusive=True)
        checks.within("area", 1.0, 0.0, 1.0, kind="area", exclusive=True)
        checks.one_of("gas", "R-12", ["R-134a", "R-744"])
        checks.one_of("gas", "R-744", ["R-744"])
    expected = (
        "ambient 126.9 °C is above 60.0 °C",
        "humidity 1.4 is above 1: a share: 50 % is 0.5",
        "flow nan is not a finite number",
        "charge 'much' is not a number",
        "area 0.0 cm² must be above 0.0 cm²",
        "area 10,000.0 cm² must be below 10,000.0 cm²",
        "gas 'R-12' is not known: use one of R-134a, R-744",
    )
    for problem, told in zip(caught.value.problems, expected, strict=True):
        assert str(problem).startswith(told)
    with Checks() as checks:
        checks.one_of("gas", "R-744", ["R-744"])


@pytest.mark.parametrize(
    "value, low, high, kind, slip",
    [
        (35.0, 243.15, 333.15, "temperature", "kelvin inside the package: was this typed in °C?"),
        (273.15 + 95, 243.15, 333.15, "temperature", "95.0 °F is 35.0 °C"),
        (2.0, 1e5, 1e6, "pressure", "was this typed in bar?"),
        (300.0, 1e5, 1e6, "pressure", "was this typed in kPa?"),
        (8.0, 1e-3, 2e-2, "length", "was this typed in mm?"),
        (1e12, 1e5, 1e6, "pressure", "check the number and its unit"),
    ],
)
def test_a_likely_slip_is_named(value, low, high, kind, slip):
    checks = Checks()
    checks.within("it", value, low, high, kind=kind)
    assert slip in str(checks.problems[0])


def test_every_word_is_complete_and_its_kind_exists():
    for name, entry in WORDS.items():
        assert name == entry.name
        assert name.isidentifier()
        assert entry.kind in KINDS
        assert entry.meaning.endswith(".")
        assert entry.sign and entry.trade
    assert len({entry.sign for entry in WORDS.values()}) == len(WORDS)
