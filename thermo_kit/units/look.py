"""How numbers are shown: unit system, altitude, gauge or absolute pressures, decimal point or comma."""

import re
import string
from dataclasses import dataclass

from thermo_kit.units.convert import from_display, to_display
from thermo_kit.units.kinds import KINDS, UnitSystem, sign_of
from thermo_kit.units.text import format_quantity, ohms

_NUMBER = re.compile(r"(?<![\w.,-])\d+(?:,\d{3})*(?:\.\d+)?(?![\w.,]*\d)")
_WORDS = re.compile(r"(?<=>)[^<>]*\d[^<>]*(?=<)")


def percent(share, decimals=0):
    """Write a share as a percentage; without `decimals` one is written where it tells, below 10 %.

    Examples
    --------
    >>> percent(0.123), percent(0.031, None), percent(10.0)
    ('12 %', '3.1 %', '1,000 %')
    """
    if decimals is None:
        decimals = 0 if share >= 0.095 else 1
    return f"{share * 100:,.{decimals}f} %"


def signed_percent(share):
    """Write a change as a percentage with its sign.

    Examples
    --------
    >>> signed_percent(-0.021), signed_percent(-0.0001)
    ('−2.1 %', '+0.0 %')
    """
    return f"{round(share * 100, 1) + 0.0:+.1f} %".replace("-", "−")


_WRITERS = {
    "share": percent,
    "any share": lambda share: percent(share, None),
    "change": signed_percent,
    "ppm": lambda share: f"{share * 1e6:,.0f} ppm",
    "ohms": ohms,
}


class _Teller(string.Formatter):
    """Finds what stands between braces among named values, then among the fields of things, and writes it."""

    def __init__(self, look):
        self._look = look

    def get_value(self, key, args, kwargs):
        if key in kwargs:
            return kwargs[key]
        return next(getattr(thing, key) for thing in args if hasattr(thing, key))

    def format_field(self, value, format_spec):
        how, _, none = format_spec.partition("|")
        if value is None:
            return none
        name, _, places = how.partition(".")
        if name not in _WRITERS and name not in KINDS:
            return format(value, how)
        decimals = [int(places.split("/")[-1 if self._look.system is UnitSystem.US else 0])] if places else []
        return _WRITERS[name](value, *decimals) if name in _WRITERS else self._look.text(value, name, *decimals)


@dataclass(frozen=True)
class Look:
    """What every chart, panel and message obeys: one unit system, one altitude, gauge or absolute pressure.

    system: SI or US customary; altitude [m]: turns absolute into gauge pressure; gauge: pressures as a gauge reads
    them; comma: numbers with a decimal comma, thousands apart
    """

    system: UnitSystem = UnitSystem.SI
    altitude: float = 0.0
    gauge: bool = True
    comma: bool = False

    def kind(self, kind):
        """Return the kind a pressure is shown as; other kinds stay what they are."""
        if kind in ("pressure", "gauge_pressure"):
            return "gauge_pressure" if self.gauge else "pressure"
        return kind

    def number(self, value, kind):
        """Turn a stored SI number, or an array, into display numbers; value [SI unit of the kind]."""
        return to_display(value, self.kind(kind), self.system, self.altitude)

    def stored(self, number, kind):
        """Turn a display number back into the stored SI number; number [display unit of the kind]."""
        return from_display(number, self.kind(kind), self.system, self.altitude)

    def text(self, value, kind, decimals=None):
        """Write a stored SI number with its unit; value [SI unit of the kind]."""
        return format_quantity(value, self.kind(kind), self.system, self.altitude, decimals)

    def say(self, text, *things, **named):
        """Write a text with numbers in its places: {name:kind}, looked for in named values and in the fields of things.

        {name:kind.2} and {name:kind.1/2} set the decimals (SI/US), {name:kind|words} tells what stands for None. Beside
        the kinds there are `share`, `any share`, `change` (percentages), `ppm`, `ohms`, and what Python's format knows.

        Examples
        --------
        >>> Look().say("{T:temperature.0}, {x:share}, {p:pressure|no gauge}", T=300.15, x=0.5, p=None)
        '27 °C, 50 %, no gauge'
        """
        return _Teller(self).vformat(text, things, named)

    def sign(self, kind):
        """Return the unit sign of a kind as this look shows it."""
        return sign_of(self.kind(kind), self.system)

    def words(self, text):
        """Return finished text with its numbers as this look writes them.

        Examples
        --------
        >>> Look(comma=True).words("1,234.5 kJ/kg and 2.0 bar(g)")
        '1\u202f234,5 kJ/kg and 2,0 bar(g)'
        """
        if not self.comma:
            return text
        return _NUMBER.sub(lambda found: found[0].replace(",", "\u202f").replace(".", ","), text)

    def drawing(self, svg):
        """Return a drawing with the numbers of its words as this look writes them."""
        return _WORDS.sub(lambda found: self.words(found[0]), svg) if self.comma else svg
