"""Which bubbles still rise against the liquid that flows down to the mouth."""

from thermo_kit.laws.constants import GRAVITY


def smallest_rising_bubble(*, velocity, liquid_density, vapour_density, viscosity):
    """Return the diameter of the bubble that just stands still in liquid flowing down.

    Parameters
    ----------
    velocity : float, [m/s]
        Of the liquid, downwards, above 0.
    liquid_density : float, [kg/m³]
        Of the liquid.
    vapour_density : float, [kg/m³]
        Of the vapour.
    viscosity : float, [Pa s]
        Of the liquid.

    Returns
    -------
    float, [m]
        Larger bubbles rise out of the liquid, smaller ones go along with it.

    Notes
    -----
    The bubble is taken as a hard ball, which holds for small ones in liquid with oil in it; a clean one rises up to
    one and a half times as fast. Above about a millimetre bubbles flatten and the figure is only a rough one.

    References
    ----------
    Stokes' law and the drag of spheres (Barati, Neyshabouri & Ahmadi 2014), as carried by `fluids`.
    """
    from fluids.drag import drag_sphere

    lift = 4.0 / 3.0 * GRAVITY * (liquid_density - vapour_density) / (liquid_density * velocity**2)
    per_metre = liquid_density * velocity / viscosity
    low, high = 1e-8, 0.5
    # Drag falls and lift grows with the diameter, so halving the logarithmic span cannot miss.
    for _ in range(40):
        middle = (low * high) ** 0.5
        low, high = (middle, high) if lift * middle < drag_sphere(per_metre * middle) else (low, middle)
    return (low * high) ** 0.5
