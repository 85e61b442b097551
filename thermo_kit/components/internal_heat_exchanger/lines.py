"""The depot's two invented exchangers."""

from thermo_kit.components.internal_heat_exchanger.spec import ExchangerSpec


def van_exchanger(length=1.2):
    """Return the coaxial line of an electric parcel van.

    Parameters
    ----------
    length : float, [m]
        Length of the double tube.

    Returns
    -------
    ExchangerSpec
        Vapour inside, liquid in the gap.

    Notes
    -----
    Invented data; sizes are of the order that vehicles use.
    """
    return ExchangerSpec(length=length, inner_diameter=0.014, wall_thickness=0.0012, outer_diameter=0.0194)


def bus_exchanger(length=1.5):
    """Return the coaxial line of a shuttle bus with R-744.

    Parameters
    ----------
    length : float, [m]
        Length of the double tube.

    Returns
    -------
    ExchangerSpec
        High-pressure gas inside the thick-walled inner tube, vapour in the gap.

    Notes
    -----
    Invented data; sizes are of the order that vehicles use.
    """
    return ExchangerSpec(
        length=length, inner_diameter=0.006, wall_thickness=0.0015, outer_diameter=0.0134, vapour_path="annulus"
    )
