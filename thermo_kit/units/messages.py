"""Messages that carry values: the physics says what is wrong, the edge writes it in the learner's units."""

from dataclasses import dataclass

from thermo_kit.errors import ThermoKitError
from thermo_kit.units.look import Look

_PLAIN = Look(gauge=False)
_SMALLEST = 1e-2


@dataclass(frozen=True)
class Amount:
    """A stored SI number with its kind, written where it is read; decimals: None as usual for the kind."""

    value: float
    kind: str
    decimals: int | None = None

    def told(self, look):
        """Return the number with its unit as a look shows it; tiny ones keep three digits."""
        number = look.number(self.value, self.kind)
        if self.decimals is None and self.kind == "ratio":
            return f"{number:.6g}"
        if self.decimals is None and 0.0 < abs(number) < _SMALLEST:
            return f"{number:.3g} {look.sign(self.kind)}".strip()
        return look.text(self.value, self.kind, self.decimals)

    def __str__(self):
        return self.told(_PLAIN)


class Said:
    """A sentence with gaps, `{}`, and what fills them: amounts, other sentences, plain words.

    Whoever shows it calls `tell` with the learner's look; as plain text it is SI with absolute pressures.

    Examples
    --------
    >>> told = Said("air of {} is too warm", Amount(368.15, "temperature"))
    >>> str(told)
    'air of 95.0 °C is too warm'
    """

    def __init__(self, sentence, *parts):
        self.sentence, self.parts = sentence, parts

    def told(self, look):
        """Return the sentence as a look shows numbers."""
        return self.sentence.format(*(tell(part, look) for part in self.parts))

    def __str__(self):
        return self.told(_PLAIN)

    def __repr__(self):
        return repr(str(self))

    def __eq__(self, other):
        return isinstance(other, Said) and (self.sentence, self.parts) == (other.sentence, other.parts)

    def __hash__(self):
        return hash((self.sentence, self.parts))


def tell(message, look):
    """Write a message, a note or an error of this package in the learner's units; plain text stays as it is."""
    if isinstance(message, ThermoKitError):
        told = "; ".join(problem.told(lambda part: tell(part, look)) for problem in message.problems)
        return told.replace("?; ", "? ")
    return message.told(look) if isinstance(message, Said | Amount) else str(message)
