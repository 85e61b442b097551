"""The learner follows a valve from its seat to its stop, and warms the evaporator until a gas charge shuts it."""

from dataclasses import dataclass

from thermo_kit.components.expansion_valve import opening_curves
from thermo_kit.components.expansion_valve.curves import HIGHEST_BOILING, HIGHEST_SUPERHEAT, LOWEST_BOILING
from thermo_kit.panels.controls import NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.panels.valve_parts import (
    CHARGE,
    CONDENSING,
    EQUALISATION,
    PRELOAD,
    PRESSURE_DROP,
    REFRIGERANT,
    duty_of,
    valve_of,
)
from thermo_kit.units import celsius


@dataclass(frozen=True, kw_only=True)
class OpeningSettings:
    """Where the valve stands: temperatures [K], spring [N], pressure drop [Pa], and the kind of valve."""

    refrigerant: str = "R-134a"
    evaporating_temperature: float = celsius(0)
    superheat: float = 6.0
    spring_preload: float = 14.1
    charge: str = "gas charge"
    equalisation: str = "external"
    pressure_drop: float = 20e3
    condensing_temperature: float = celsius(50)


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.valve_opening import opening_picture

    curves = opening_curves(
        valve_of(settings),
        duty_of(settings),
        evaporating_temperature=settings.evaporating_temperature,
        superheat=settings.superheat,
    )
    picture = opening_picture(curves, look)

    def told(value):
        return "not here" if value is None else look.text(value, "temperature_difference")

    opening = None
    if curves.static_superheat is not None and curves.full_superheat is not None:
        opening = curves.full_superheat - curves.static_superheat
    rows = (
        ("Static superheat: leaves its seat", told(curves.static_superheat)),
        ("Opening superheat: from there to the stop", told(opening)),
        ("Fully open at", told(curves.full_superheat)),
        ("Flow at this superheat", look.text(curves.flow, "mass_flow")),
        ("Flow fully open", look.text(curves.full_flow, "mass_flow")),
        ("Gas charge: maximum operating pressure", look.text(curves.maximum_operating_pressure, "pressure")),
        ("Boiling point there", look.text(curves.maximum_operating_temperature, "temperature")),
    )
    notes = (
        "The flow formula scatters by about a tenth (common practice, no source).",
        "The cross charge is an approximation of our own; makers keep theirs to themselves.",
    )
    return Description((picture,), picture.sentence, rows, notes)


class ValveOpeningPanel(Panel):
    """Flow over superheat, and what the bulb's charge does when the evaporator is warm."""

    title = "From the seat to the stop"
    Settings = OpeningSettings
    controls = (
        NumberControl(
            "superheat", "Superheat", "temperature_difference", low=0.0, high=HIGHEST_SUPERHEAT, step=0.2, us_step=0.5
        ),
        NumberControl(
            "evaporating_temperature",
            "Evaporating temperature",
            "temperature",
            low=LOWEST_BOILING,
            high=HIGHEST_BOILING,
            step=0.5,
            us_step=1,
        ),
        PRELOAD,
        CHARGE,
        EQUALISATION,
        PRESSURE_DROP,
        CONDENSING,
        REFRIGERANT,
    )
    describe = staticmethod(describe)
