"""What the receiver's panels share: which vessels there are, and limits that follow the settings."""

from dataclasses import replace

from thermo_kit.components.receiver import pick_up, shuttle_bus_receiver, van_receiver
from thermo_kit.substances import Refrigerant
from thermo_kit.units import celsius

REFRIGERANTS = ("R-1234yf", "R-134a", "R-152a", "R-290")
VESSELS = (("parcel van, slim", "van"), ("shuttle bus, wide", "shuttle bus"))
_MADE = {"van": van_receiver, "shuttle bus": shuttle_bus_receiver}
COOLEST, HOTTEST = celsius(20), celsius(70)
BEND_HELP = "A brisk bend: 0.3 g, 2.9 m/s², 9.7 ft/s². A hard one: 0.6 g, 5.9 m/s², 19 ft/s²."


def vessel_of(settings):
    """Return the receiver that the settings choose, with its standpipe cut where they say so.

    Parameters
    ----------
    settings : object
        With `vessel` and, where there is one, `too_short` [m].

    Returns
    -------
    ReceiverSpec
        Invented vessel of the depot.
    """
    vessel = _MADE[settings.vessel]()
    cut = getattr(settings, "too_short", 0.0)
    return replace(vessel, standpipe_length=vessel.standpipe_length - cut) if cut else vessel


def hottest(settings):
    """Return the highest condensing temperature at which the refrigerant still parts well into liquid and vapour.

    Parameters
    ----------
    settings : object
        With `refrigerant`.

    Returns
    -------
    float, [K]
        Five kelvin below critical, 70 °C at most.
    """
    return min(HOTTEST, Refrigerant(settings.refrigerant).critical_temperature - 5.0)


def masses(settings):
    """Return what the chosen vessel holds without liquid and when full.

    Parameters
    ----------
    settings : object
        With `vessel`, `refrigerant`, `condensing_temperature`, `mass_flow`.

    Returns
    -------
    tuple of float, [kg]
        Vapour only, liquid only.
    """
    return pick_up(
        vessel=vessel_of(settings),
        refrigerant=settings.refrigerant,
        condensing_temperature=settings.condensing_temperature,
        mass_flow=settings.mass_flow,
    ).masses()


def bend_text(acceleration, look):
    """Write a lateral acceleration, also as a share of gravity.

    Parameters
    ----------
    acceleration : float or None, [m/s²]
        None means more than the model looks at.
    look : Look
        How numbers are shown.

    Returns
    -------
    str
        For example "5.9 m/s² (0.60 g)".
    """
    if acceleration is None:
        return f"more than {look.text(15.0, 'acceleration')} (1.53 g)"
    return f"{look.text(acceleration, 'acceleration')} ({acceleration / 9.80665:.2f} g)"
