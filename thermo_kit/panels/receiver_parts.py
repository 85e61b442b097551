"""What the receiver's panels share: settings and controls, which vessels there are, limits that follow the settings."""

from dataclasses import dataclass, replace

from thermo_kit.components.receiver import pick_up, shuttle_bus_receiver, van_receiver
from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.substances import Refrigerant
from thermo_kit.units import celsius

REFRIGERANTS = ("R-1234yf", "R-134a", "R-152a", "R-290")
VESSELS = (("parcel van, slim", "van"), ("shuttle bus, wide", "shuttle bus"))
_MADE = {"van": van_receiver, "shuttle bus": shuttle_bus_receiver}
COOLEST, HOTTEST = celsius(20), celsius(70)
BEND_HELP = "A brisk bend: 0.3 g, 2.9 m/s², 9.7 ft/s². A hard one: 0.6 g, 5.9 m/s², 19 ft/s²."


@dataclass(frozen=True, kw_only=True)
class LiquidSettings:
    """Refrigerant [name], condensing temperature [K], flow up the standpipe [kg/s], bend [m/s²]."""

    refrigerant: str = "R-1234yf"
    condensing_temperature: float = celsius(45)
    mass_flow: float = 0.030
    lateral_acceleration: float = 0.0


@dataclass(frozen=True, kw_only=True)
class VesselSettings(LiquidSettings):
    """The same in a vessel of the depot [name], with its standpipe too short by a piece [m]."""

    vessel: str = "van"
    too_short: float = 0.0


def vessel_of(settings):
    """Return the receiver that the settings choose, with its standpipe cut where they say so."""
    vessel = _MADE[settings.vessel]()
    cut = getattr(settings, "too_short", 0.0)
    return replace(vessel, standpipe_length=vessel.standpipe_length - cut) if cut else vessel


def hottest(settings):
    """Return the highest condensing temperature at which the refrigerant still parts well into liquid and vapour.

    → [K].
    """
    return min(HOTTEST, Refrigerant(settings.refrigerant).critical_temperature - 5.0)


def masses(settings):
    """Return what the chosen vessel holds without liquid and when full; → [kg]."""
    return pick_up(
        vessel=vessel_of(settings),
        refrigerant=settings.refrigerant,
        condensing_temperature=settings.condensing_temperature,
        mass_flow=settings.mass_flow,
    ).masses()


def bend_text(acceleration, look):
    """Write a lateral acceleration, also as a share of gravity; acceleration [m/s²]."""
    if acceleration is None:
        return f"more than {look.text(15.0, 'acceleration')} (1.53 g)"
    return f"{look.text(acceleration, 'acceleration')} ({acceleration / 9.80665:.2f} g)"


def flow_control(high=0.12):
    """Make the control of the flow up the standpipe; high [kg/s]."""
    return NumberControl(
        "mass_flow", "Flow up the standpipe", "mass_flow", low=0.002, high=high, step=0.001, us_step=0.1
    )  # fmt: skip


def bend_control(label):
    """Make the control of the sideways acceleration."""
    return NumberControl(
        "lateral_acceleration", label, "acceleration", low=0.0, high=12.0, step=0.1, us_step=0.5, help=BEND_HELP
    )  # fmt: skip


BORE_CONTROL = NumberControl(
    "bore", "Bore of the standpipe", "length", low=0.004, high=0.014, step=0.0005, us_step=0.02
)  # fmt: skip
TOO_SHORT_CONTROL = NumberControl(
    "too_short", "Standpipe too short by", "length", low=0.0, high=0.06, step=0.001, us_step=0.05,
    help="A wrong spare part.",
)  # fmt: skip
CONDENSING_CONTROL = NumberControl(
    "condensing_temperature", "Condensing temperature", "temperature", low=COOLEST, high=hottest, step=0.5, us_step=1
)  # fmt: skip
REFRIGERANT_CONTROL = ChoiceControl("refrigerant", "Refrigerant", REFRIGERANTS)
VESSEL_CONTROL = ChoiceControl("vessel", "Receiver", VESSELS)
