"""Collects every bad argument of one call, so that the user hears about all of them at once."""

import math

from thermo_kit.errors import OutOfRangeError, Problem
from thermo_kit.units.convert import from_display
from thermo_kit.units.kinds import UNITS, UnitSystem, kind_of
from thermo_kit.units.messages import Amount, Said

_NO_NUMBER = "give one number in SI units"


class Checks:
    """A list of problems that grows while arguments are looked at, and is raised once at the end of `with`.

    Examples
    --------
    >>> with Checks() as checks:
    ...     checks.within("condenser inlet air", 368.15, 243.15, 333.15, kind="temperature")
    Traceback (most recent call last):
    thermo_kit.errors.OutOfRangeError: condenser inlet air 95.0 °C is above 60.0 °C: \
check the unit (95.0 °F is 35.0 °C)
    """

    def __init__(self, error=OutOfRangeError):
        self.problems, self.error = [], error

    def __enter__(self):
        return self

    def __exit__(self, failure, *_):
        if failure is None:
            self.raise_if_any(self.error)

    def add(self, argument, given="", limit="", advice=""):
        """Note a problem in words; each may be an `Amount` or `Said`."""
        self.problems.append(Problem(argument, given, limit, advice))

    def within(self, argument, value, low, high, *, kind, advice="", exclusive=False):
        """Note a problem if a number is not finite or lies outside its range; exclusive: the limits too are refused.

        value, low, high [SI unit of the kind]; without advice a likely unit slip is named.
        """
        try:
            # Adding keeps out texts such as "12", which float() alone would take and arithmetic later would not.
            number = float(value + 0.0)
        except (TypeError, ValueError, OverflowError):
            self.add(argument, repr(value)[:60], "is not a number", advice or _NO_NUMBER)
            return
        shown = Amount(number, kind)
        if not math.isfinite(number):
            self.add(argument, f"{number}", "is not a finite number", advice or _NO_NUMBER)
        elif number < low or (exclusive and number == low):
            said = Said("must be above {}" if exclusive else "is below {}", Amount(low, kind))
            self.add(argument, shown, said, advice or _slip(number, low, high, kind))
        elif number > high or (exclusive and number == high):
            said = Said("must be below {}" if exclusive else "is above {}", Amount(high, kind))
            self.add(argument, shown, said, advice or _slip(number, low, high, kind))

    def whole(self, argument, value, low, high, *, advice=""):
        """Note a problem if a count is not a whole number within its range."""
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            self.add(argument, repr(value)[:60], f"is not a whole number from {low} to {high}", advice)

    def one_of(self, argument, value, names):
        """Note a problem if a name is not in a list."""
        names = tuple(names)
        if not isinstance(value, str | int | None) or value not in names:
            self.add(argument, repr(value)[:60], "is not known", "use one of " + ", ".join(str(n) for n in names))

    def raise_if_any(self, error=OutOfRangeError):
        """Raise one error of the class given that tells every problem noted so far."""
        if self.problems:
            raise error(*self.problems)


def within_ranges(*asked):
    """Raise one error that tells every (name, value, low, high, kind[, advice]) which is no number within its range."""
    with Checks() as checks:
        for argument, value, low, high, kind, *advice in asked:
            checks.within(argument, value, low, high, kind=kind, advice="".join(advice))


def _slip(value, low, high, kind):
    """Name the unit slip that would explain the value, if there is one."""
    if kind == "temperature":
        if low <= value + 273.15 <= high:
            return "temperatures are in kelvin inside the package: was this typed in °C?"
        as_fahrenheit = (value - 273.15 + 459.67) / 1.8
        if low <= as_fahrenheit <= high:
            shown = value - 273.15
            return f"check the unit ({shown:.1f} °F is {as_fahrenheit - 273.15:.1f} °C)"
    if kind in ("pressure", "gauge_pressure"):
        for unit in ("bar", "kPa", "psi"):
            if low <= UNITS[unit].stored(value) <= high:
                return f"pressures are in pascal inside the package: was this typed in {unit}?"
    if kind in ("length", "mass", "area", "volume", "rotational_speed"):
        converted = from_display(value, kind, UnitSystem.SI)
        if low <= converted <= high and value > 3.0 * high:
            return f"was this typed in {kind_of(kind).si_sign}? Give it in {kind_of(kind).base}"
    return "check the number and its unit"
