"""The learner weighs bulb against evaporator and spring."""

from dataclasses import dataclass

from thermo_kit.components.expansion_valve import ValveFault, force_balance
from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.panels.valve_parts import CHARGE, EQUALISATION, PRELOAD, PRESSURE_DROP, REFRIGERANT, valve_of
from thermo_kit.units import barg, celsius


@dataclass(frozen=True, kw_only=True)
class ForceSettings:
    """Low side [Pa], line at the bulb [K], spring [N], pressure drop [Pa], and the kind of valve."""

    refrigerant: str = "R-134a"
    low_pressure: float = barg(1.8)
    line_temperature: float = celsius(4.0)
    spring_preload: float = 14.1
    pressure_drop: float = 20e3
    equalisation: str = "external"
    charge: str = "same refrigerant"
    bulb: str = "charged"


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.valve_forces import force_picture

    lost = settings.bulb == "lost"
    balance = force_balance(
        valve_of(settings),
        refrigerant=settings.refrigerant,
        outlet_pressure=settings.low_pressure,
        bulb_temperature=settings.line_temperature,
        pressure_drop=settings.pressure_drop,
        fault=ValveFault(bulb_lost=lost),
    )
    picture = force_picture(balance, look, bulb_lost=lost)
    static = balance.static_superheat
    rows = (
        ("State", balance.state),
        ("Opening", f"{balance.opening_share * 100:.0f} %"),
        ("Pressure in the bulb", look.text(balance.bulb_pressure, "pressure")),
        ("Pressure below the diaphragm", look.text(balance.felt_pressure, "pressure")),
        ("Bulb pushes open", look.text(balance.bulb_force, "force")),
        ("Evaporator pushes shut", look.text(balance.evaporator_force, "force")),
        ("Spring pushes shut", look.text(balance.spring_force, "force")),
        ("Boils at", look.text(balance.evaporating_temperature, "temperature")),
        ("Superheat now", look.text(balance.superheat, "temperature_difference")),
        ("Opens from", "never" if static is None else look.text(static, "temperature_difference")),
    )
    notes = ["The pressure of the liquid on the pin itself is left out: little in a valve of this size."]
    if settings.charge == "cross charge":
        notes.append("The cross charge is an approximation of our own; makers keep theirs to themselves.")
    if lost:
        notes.append("A lost charge leaves air pressure above the diaphragm. The valve stays shut.")
    return Description((picture,), picture.sentence, rows, tuple(notes))


class ValveForcePanel(Panel):
    """Three forces on a diaphragm."""

    title = "Three forces on a diaphragm"
    Settings = ForceSettings
    controls = (
        NumberControl(
            "line_temperature",
            "Line temperature at the bulb",
            "temperature",
            low=celsius(-35),
            high=celsius(50),
            step=0.2,
            us_step=0.5,
        ),
        NumberControl(
            "low_pressure",
            "Low side at the evaporator outlet",
            "gauge_pressure",
            low=barg(-0.3),
            high=barg(6),
            step=0.05e5,
            us_step=0.5,
        ),
        PRELOAD,
        PRESSURE_DROP,
        EQUALISATION,
        CHARGE,
        ChoiceControl("bulb", "The bulb", (("has its charge", "charged"), ("has lost its charge", "lost"))),
        REFRIGERANT,
    )
    describe = staticmethod(describe)
