"""One time read off a safe-time map, between the points that were computed."""

import math

import numpy as np


def read_safe_time(seconds_map, mass_fraction, value):
    """Return the time to react at a place on a safe-time map.

    Parameters
    ----------
    seconds_map : SafeTimeMap
        Complete, or cancelled with some points missing.
    mass_fraction : float, [kg/kg]
        Glycol share.
    value : float, [SI unit of the map's second quantity]
        Share of the flow left, or compressor speed in rad/s.

    Returns
    -------
    float or None, [s]
        inf where it never comes about, nan beside a point that freezes in normal work, None beside a point that is
        missing.

    Notes
    -----
    Arithmetic: the inverse of the time is read along straight lines between the four points around, so that "never"
    (inverse 0) lies next to very long. What comes out beyond twice the duration counts as never.
    """
    i, x = _cell(seconds_map.mass_fractions, mass_fraction)
    j, y = _cell(seconds_map.values, value)
    inverse = 0.0
    for di, wx in ((0, 1.0 - x), (1, x)):
        for dj, wy in ((0, 1.0 - y), (1, y)):
            if wx * wy == 0.0:
                continue
            seconds = seconds_map.seconds[i + di][j + dj]
            if seconds is None:
                return None
            inverse += wx * wy / max(seconds, 0.1) if not math.isnan(seconds) else math.nan
    if math.isnan(inverse):
        return math.nan
    seconds = 1.0 / inverse if inverse > 0.5 / seconds_map.spec.duration else math.inf
    return 0.0 if seconds <= 0.1 else min(seconds, seconds_map.spec.duration) if seconds < math.inf else seconds


def _cell(points, at):
    """Return the point before a place and how far the place lies towards the next one, 0 to 1."""
    at = min(max(at, points[0]), points[-1])
    k = min(max(int(np.searchsorted(points, at, side="right")) - 1, 0), max(len(points) - 2, 0))
    if len(points) == 1:
        return 0, 0.0
    return k, (at - points[k]) / (points[k + 1] - points[k])
