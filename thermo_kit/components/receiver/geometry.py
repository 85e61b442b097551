"""How much liquid lies below a tilted surface in an upright round vessel with a desiccant bag in it."""

import math


def volume_below(height, slope, radius):
    """Return the volume between the floor and a tilted plane, in a round vessel without a lid.

    height [m], slope [-], radius [m] → [m³].

    Notes
    -----
    Geometry. Where the plane cuts the floor, the volume is a cylindrical hoof (ungula).

    Examples
    --------
    >>> round(volume_below(0.1, 0.0, 0.02) * 1e6, 2)
    125.66
    """
    reach = slope * radius
    if height >= reach:
        return height * math.pi * radius**2
    if height <= -reach:
        return 0.0
    cut = -height / slope
    chord = math.sqrt(max(radius**2 - cut**2, 0.0))
    area = radius**2 * math.acos(cut / radius) - cut * chord
    return height * area + slope * (2.0 / 3.0) * chord**3


def liquid_volume(vessel, height, slope):
    """Return the liquid below a tilted surface: under the lid, and without what the beads take up.

    height [m], slope [-] → [m³].

    Notes
    -----
    Geometry. The beads are taken to be spread evenly over the vessel's section where the bag hangs.
    """
    radius = vessel.radius
    under_lid = volume_below(height, slope, radius) - volume_below(height - vessel.height, slope, radius)
    if not vessel.bead_share:
        return under_lid
    low, high = vessel.desiccant_bottom, vessel.desiccant_bottom + vessel.desiccant_height
    beside_bag = volume_below(height - low, slope, radius) - volume_below(height - high, slope, radius)
    return under_lid - vessel.bead_share * beside_bag


def surface_height(vessel, volume, slope):
    """Return where the surface stands on the vessel's axis; volume [m³], slope [-] → [m].

    Notes
    -----
    Geometry: the inverse of `liquid_volume`, found by bisection steps that Newton's method shortens.
    """
    low, high = -slope * vessel.radius, vessel.height + slope * vessel.radius
    if volume <= 0.0:
        return low
    if volume >= vessel.free_volume:
        return high
    step = 1e-7 * vessel.height
    height = min(max(volume / vessel.area, low), high)
    for _ in range(80):
        here = liquid_volume(vessel, height, slope)
        low, high = (height, high) if here < volume else (low, height)
        wetted = (liquid_volume(vessel, height + step, slope) - here) / step
        guess = height + (volume - here) / wetted if wetted > 0.0 else low
        guess = guess if low < guess < high else 0.5 * (low + high)
        if abs(guess - height) < 1e-12 * vessel.height or high - low < 1e-13:
            return guess
        height = guess
    return height
