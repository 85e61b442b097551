"""Fins: how much of their area counts."""

import math


def fin_efficiency(*, film, conductivity, thickness, depth, reach):
    """Return how much of a fin's area counts, since its far end is nearer to the air's temperature.

    film: heat transfer coefficient [W/(m² K)]; conductivity [W/(m K)] and thickness [m] of the sheet; depth [m] in the
    direction of the air; reach [m] from the root to the insulated tip → [-].

    References: Straight fin with an insulated tip: Incropera et al., Fundamentals of Heat and Mass Transfer, chapter 3;
        edge term: Chang & Wang, Int. J. Heat Mass Transfer 40 (1997) 533-544.

    Examples
    --------
    >>> round(fin_efficiency(film=100.0, conductivity=190.0, thickness=8e-5, depth=0.016, reach=3.92e-3), 3)
    0.937
    """
    length = reach * math.sqrt(2.0 * film / (conductivity * thickness) * (1.0 + thickness / depth))
    return math.tanh(length) / length if length > 1e-9 else 1.0
