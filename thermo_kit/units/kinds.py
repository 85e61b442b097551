"""Which kinds of quantity there are, how each is stored and how each is shown."""

import tomllib
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from importlib.resources import files
from typing import NamedTuple

from thermo_kit.errors import UnitError


class UnitSystem(Enum):
    """The two ways a number is shown."""

    SI = "SI"
    US = "US"


@dataclass(frozen=True)
class Kind:
    """How one kind of quantity is stored and shown (pint unit names, printed signs, decimals)."""

    base: str
    si: str
    us: str
    si_sign: str
    us_sign: str
    si_decimals: int
    us_decimals: int


class Unit(NamedTuple):
    """What a unit measures: `per` of it are `of` of the unit stored, from a zero that lies `offset` away."""

    stored_in: str
    per: float
    of: float
    offset: float = 0.0

    def shown(self, stored):
        """Return the number shown of a number stored, or of an array."""
        return stored * self.per / self.of + self.offset

    def stored(self, shown):
        """Return the number stored of a number shown, or of an array; a float counts as the decimals it shows."""
        if not isinstance(shown, float):
            return (shown - self.offset) * self.of / self.per
        # In binary 1.1 bar would be 110000.00000000001 Pa.
        number, offset, of, per = (Decimal(str(one)) for one in (shown, self.offset, self.of, self.per))
        return float((number - offset) * of / per)


_TABLE = tomllib.loads((files("thermo_kit.units") / "kinds.toml").read_text(encoding="utf-8"))
KINDS = {name: Kind(*row) for name, row in _TABLE["kinds"].items()}
"""Kinds of quantity; how each is stored and shown stands in `kinds.toml`."""
UNITS = {name: Unit(base, *map(float, numbers)) for name, (base, *numbers) in _TABLE["units"].items()}
"""Units that numbers are shown in."""
SPELLINGS = {typed: name for name, ways in _TABLE["spellings"].items() for typed in ways}
"""What may be typed for a unit, in small letters, and the name of that unit."""
ALLOWED = _TABLE["allowed"]
"""Units of one kind, and what a text in another is told to be in."""


def kind_of(kind):
    """Return the facts of a kind, a key of `KINDS`; an unknown one is a `UnitError`."""
    try:
        return KINDS[kind]
    except KeyError:
        advice = "use one of " + ", ".join(sorted(KINDS))
        raise UnitError.about("kind of quantity", repr(kind), "is not known", advice) from None


def sign_of(kind, system=UnitSystem.SI):
    """Return the printed unit sign of a kind, such as "bar(g)" or "psig"; empty for a plain ratio."""
    facts = kind_of(kind)
    return facts.si_sign if system is UnitSystem.SI else facts.us_sign


def decimals_of(kind, system=UnitSystem.SI):
    """Return how many decimals a kind is usually shown with."""
    facts = kind_of(kind)
    return facts.si_decimals if system is UnitSystem.SI else facts.us_decimals
