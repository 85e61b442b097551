"""What a panel tells, as tests ask for it."""

import re

from thermo_kit import panels
from thermo_kit.panels.view import View
from thermo_kit.units import KINDS, Look, UnitSystem

_SI = {kind.si_sign for kind in KINDS.values()}
_US = {kind.us_sign for kind in KINDS.values()}


def _numbers_in(signs):
    return re.compile(rf"\d (?:{'|'.join(re.escape(sign) for sign in sorted(signs, key=len, reverse=True))})(?![\w/])")


STRANGE = {
    UnitSystem.US: _numbers_in((_SI - _US) | {"bar", "kg", "Pa", "MPa", "W/K"}),
    UnitSystem.SI: _numbers_in((_US - _SI - {"in"}) | {"lb", "inches"}),  # "1 in front of the coil"
}
BESIDE = re.compile(r"(?:\d [^\d().,;]{1,12}|\binch) \([−-]?\d[^()]*\)|\([^()]* °F is [^()]* °C\)")
"""A number in one system with the other beside it: 5 °C (41 °F), or a likely slip: (143.2 °F is 61.8 °C)."""


def strange_units(text, system):
    """Find numbers in the units of the other system alone, with the words before them."""
    text = BESIDE.sub("", text)
    return [text[max(0, match.start() - 30) : match.end()] for match in STRANGE[system].finditer(text)]


def shown(name, **settings):
    """Return the panel of this name with these settings, and no error."""
    panel = getattr(panels, name)(view=View(), **settings)
    assert panel.error == ""
    return panel


def described(kind, look=None, **settings):
    """Return what a panel of a kind says of these settings."""
    return kind.describe(kind.Settings(**settings), look or Look())


def row(shown, label, column=0):
    """Return the text of one row that a panel or a description shows."""
    shown = getattr(shown, "description", shown)
    return {head: texts for head, *texts in shown.rows}[label][column]


def number(shown, label, column=0):
    """Return the first number of a row."""
    return float(re.search(r"[−\d][\d.,]*", row(shown, label, column))[0].replace("−", "-").replace(",", ""))


def said_by(told):
    """Return what a description says above its notes, and all words in its pictures."""
    drawn = [word for p in told.pictures for word in re.findall(r">([^<>]+)</text>", p.still + p.moving)]
    rows = [text for row in (told.heads, *told.rows) for text in row]
    return "\n".join([told.sentence, *rows, *(picture.sentence for picture in told.pictures), *drawn])


def words(panel):
    """Return all that a panel says, its notes too."""
    return "\n".join([said_by(panel.description), *panel.description.notes])
