"""What the panels of the expansion valve share: the depot's valve with a few settings changed."""

from dataclasses import replace

from thermo_kit.components.expansion_valve import CHARGES, EQUALISATIONS, van_duty, van_valve
from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.substances import REFRIGERANT_NAMES
from thermo_kit.units import celsius

REFRIGERANTS = tuple(name for name in REFRIGERANT_NAMES if name != "R-744")
"""R-744 works above its critical point on a warm day: this valve wants liquid."""

REFRIGERANT = ChoiceControl("refrigerant", "Refrigerant", REFRIGERANTS)
PRELOAD = NumberControl(
    "spring_preload",
    "Spring preload",
    "force",
    low=2.0,
    high=60.0,
    step=0.5,
    us_step=0.1,
    decimals=1,
    help="Force of the spring while the pin rests on its seat. The screw sets it.",
)
CHARGE = ChoiceControl("charge", "Charge of the bulb", CHARGES)
EQUALISATION = ChoiceControl(
    "equalisation", "Equalisation", EQUALISATIONS, help="Where the pressure below the diaphragm comes from."
)
PRESSURE_DROP = NumberControl(
    "pressure_drop",
    "Pressure drop of the evaporator",
    "pressure_difference",
    low=0.0,
    high=100e3,
    step=1e3,
    us_step=0.2,
)
CONDENSING = NumberControl(
    "condensing_temperature",
    "Condensing temperature",
    "temperature",
    low=celsius(25),
    high=celsius(75),
    step=0.5,
    us_step=1,
)


def valve_of(settings):
    """Return the depot's valve as a panel's settings have it."""
    names = ("spring_preload", "charge", "equalisation")
    return replace(van_valve(), **{name: getattr(settings, name) for name in names if hasattr(settings, name)})


def duty_of(settings):
    """Return the depot's duty as a panel's settings have it."""
    duty = van_duty()
    names = ("refrigerant", "condensing_temperature", "subcooling", "air_temperature", "suction_flow", "pressure_drop")
    return replace(duty, **{name: getattr(settings, name) for name in names if hasattr(settings, name)})
