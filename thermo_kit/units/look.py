"""How numbers are shown: unit system, altitude, gauge or absolute pressures, decimal point or comma."""

import re
from dataclasses import dataclass

from thermo_kit.units.convert import from_display, to_display
from thermo_kit.units.kinds import UnitSystem, sign_of
from thermo_kit.units.text import format_quantity

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
