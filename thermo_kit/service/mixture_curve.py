"""The freezing curve of a glycol, by volume: what a mixture chart is drawn from."""

import functools
from dataclasses import dataclass

from thermo_kit.service.mixture import STRONGEST, check_glycol
from thermo_kit.substances import Coolant


@dataclass(frozen=True, slots=True)
class FreezingCurve:
    """Freezing points over strength: kind; volume_fractions [-]; mass_fractions [-]; freezing_points [K]."""

    kind: str
    volume_fractions: tuple[float, ...]
    mass_fractions: tuple[float, ...]
    freezing_points: tuple[float, ...]


@functools.cache
def freezing_curve(kind, count=31):
    """Return the freezing point from pure water to the strongest mixture of the data.

    References
    ----------
    Melinder 2010, as in `thermo_kit.substances.Coolant`.

    Examples
    --------
    >>> curve = freezing_curve("ethylene glycol")
    >>> curve.freezing_points[0] > curve.freezing_points[-1]
    True
    """
    check_glycol(kind)
    mixtures = [Coolant(kind, mass_fraction=STRONGEST * k / (count - 1)) for k in range(count)]
    return FreezingCurve(
        kind,
        tuple(one.volume_fraction for one in mixtures),
        tuple(one.mass_fraction for one in mixtures),
        tuple(one.freezing_point for one in mixtures),
    )
