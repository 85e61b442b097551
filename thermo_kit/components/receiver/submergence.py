"""How much liquid must stand over the standpipe's mouth: two published forms, used as a band."""

import math

from thermo_kit.laws.constants import GRAVITY

DIP_COEFFICIENT = 0.69
FROUDE_FACTOR = 2.3


def dip_height(*, volume_flow, liquid_density, vapour_density, gravity=GRAVITY):
    """Return the height of liquid at which its surface dips into the mouth and vapour goes along.

    Parameters
    ----------
    volume_flow : float, [m³/s]
        Drawn off.
    liquid_density : float, [kg/m³]
        Of the liquid.
    vapour_density : float, [kg/m³]
        Of the vapour above it.
    gravity : float, [m/s²]
        What pulls on the liquid.

    Returns
    -------
    float, [m]
        Height over the mouth, free of swirl.

    Notes
    -----
    Found with a bottom drain in the middle of a still tank; measured heights scatter by about a tenth. The
    coefficient follows from Bernoulli and flow towards a point in half a space: 5/4 (2π²)^(-1/5) = 0.689.

    References
    ----------
    Lubin B.T., Springer G.S., The formation of a dip on the surface of a liquid draining from a tank,
    J. Fluid Mech. 29 (1967) 385-390.

    Examples
    --------
    >>> round(dip_height(volume_flow=0.001, liquid_density=998, vapour_density=1.2) * 1000, 2)
    27.58
    """
    reduced = gravity * (1.0 - vapour_density / liquid_density)
    return DIP_COEFFICIENT * (volume_flow**2 / reduced) ** 0.2


def safe_submergence(*, velocity, diameter, gravity=GRAVITY):
    """Return the depth of a mouth at which pump builders rule out swirl that reaches down to it.

    Parameters
    ----------
    velocity : float, [m/s]
        In the mouth.
    diameter : float, [m]
        Of the mouth.
    gravity : float, [m/s²]
        What pulls on the liquid; for dense vapour above it, the reduced one.

    Returns
    -------
    float, [m]
        Depth over the mouth, with the swirl of an ordinary approach flow.

    Notes
    -----
    Made for pump intakes with water and air, far larger than a standpipe; here it is the safe side of the band.

    References
    ----------
    ANSI/HI 9.8, Rotodynamic Pumps for Pump Intake Design: S = D (1 + 2.3 Fr), Fr = V/√(g D).

    Examples
    --------
    >>> round(safe_submergence(velocity=1.0, diameter=0.05) * 1000, 1)
    214.2
    """
    return diameter * (1.0 + FROUDE_FACTOR * velocity / math.sqrt(gravity * diameter))
