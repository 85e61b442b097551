"""How sure something was called beside how often it was right: the table of a calibration."""

from itertools import pairwise

import numpy as np


def reliability(pairs, bins):
    """Return rows (from, to, called on average, share that was right, number) of pairs (how sure, whether right)."""
    said, right = np.array(pairs, dtype=float).reshape(-1, 2).T
    inside = [(low, min(high, 1.0), (said >= low) & (said < high)) for low, high in pairwise(bins)]
    return [(low, high, said[own].mean(), right[own].mean(), own.sum()) for low, high, own in inside if own.any()]
