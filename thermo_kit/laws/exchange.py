"""Heat exchangers: log mean and effectiveness.

Kays & London, Compact Heat Exchangers; Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, chapter 11.
"""

import math


def log_mean(first, second):
    """Return the logarithmic mean of the temperature differences at both ends, above 0; arrays [K] → [K].

    Nearly equal ends take the arithmetic mean, which then differs by less than 1e-11.

    Examples
    --------
    >>> import numpy as np
    >>> log_mean(np.array([20.0, 7.0]), np.array([10.0, 7.0])).round(3).tolist()
    [14.427, 7.0]
    """
    import numpy as np

    ratio = first / second
    near = np.abs(ratio - 1.0) < 1e-5
    safe = np.where(near, 2.0, ratio)
    return np.where(near, 0.5 * (first + second), (first - second) / np.log(safe))


def effectiveness(units):
    """Return the effectiveness of one stream against a side of one temperature; transfer units [-] → [-].

    Examples
    --------
    >>> round(effectiveness(1.0), 4)
    0.6321
    """
    return -math.expm1(-units)


def mean_share(units):
    """Return how much of the first temperature difference is left on the average of the way; transfer units [-] → [-].

    The exact mean of exp(−units · place). It is the log mean over the first difference, and holds where the stream
    reaches the other side's temperature; negative units stand for a stream told from its outlet.

    Examples
    --------
    >>> mean_share(0.0), round(mean_share(1.0), 4), mean_share(1000.0)
    (1.0, 0.6321, 0.001)
    """
    return -math.expm1(-units) / units if abs(units) > 1e-9 else 1.0


def crossflow_effectiveness(units, capacity_ratio):
    """Return the effectiveness of crossflow with both streams unmixed, as carried by `ht`; both above 0 [-] → [-].

    Examples
    --------
    >>> round(crossflow_effectiveness(2.0, 0.5), 2)
    0.74
    """
    from ht import effectiveness_from_NTU

    return min(effectiveness_from_NTU(NTU=units, Cr=capacity_ratio, subtype="crossflow approximate"), 1.0)
