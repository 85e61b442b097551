"""The learner parks a van in the sun and sees how long the cabin takes to cool."""

from dataclasses import dataclass

from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.evaporator_parts import (
    INVENTED,
    air_flow_control,
    boiling_control,
    coil_of,
    conditions_of,
)
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.systems import CabinSpec, pull_down
from thermo_kit.units import celsius

HOUR = 3600.0
POINTS = 121
_PER_MINUTE = 2


@dataclass(frozen=True, kw_only=True)
class PullDownSettings:
    """Cabin at the start [K], outside air [K], [-], blower [m³/s], recirculated share [-], sun [W], people [-],
    evaporating temperature [K], cool enough at [K]."""

    start_temperature: float = celsius(55)
    outside_temperature: float = celsius(32)
    relative_humidity: float = 0.4
    air_flow: float = 0.11
    recirculated_share: float = 0.8
    sun: float = 700.0
    people: int = 1
    evaporating_temperature: float = celsius(3)
    wish: float = celsius(25)


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.pull_down import after_text, pull_down_picture

    cabin = CabinSpec(sun=settings.sun, people=settings.people, fresh_air_share=1.0 - settings.recirculated_share)
    outside = conditions_of(settings, look, air_temperature=settings.outside_temperature)
    result = pull_down(
        cabin, outside, coil_of(settings), start=settings.start_temperature, wish=settings.wish,
        duration=HOUR, points=POINTS,
    )  # fmt: skip
    picture = pull_down_picture(result, look, wish=settings.wish, outside=settings.outside_temperature)

    def at(values, minutes, kind="temperature"):
        return look.text(values[minutes * _PER_MINUTE], kind)

    rows = (
        ("Cool enough", after_text(result)),
        *((f"Cabin after {minutes} minutes", at(result.air, minutes)) for minutes in (5, 10, 20, 60)),
        *((f"Vent after {minutes} minutes", at(result.vent, minutes)) for minutes in (5, 60)),
        ("Seats and trim after 60 minutes", at(result.interior, 60)),
        ("Cooling at the start", at(result.cooling, 0, "power")),
        ("Cooling after 60 minutes", at(result.cooling, 60, "power")),
        ("Water dripped off in 60 minutes", at(result.condensate, 60, "mass")),
    )
    notes = (
        *result.notes,
        "The cabin is invented: well-mixed air, and seats and trim as one mass of heat.",
        INVENTED,
    )
    return Description((picture,), picture.sentence, rows, notes)


class PullDownPanel(Panel):
    """A hot cabin over an hour."""

    title = "How long until the cabin is cool?"
    Settings = PullDownSettings
    controls = (
        NumberControl(
            "start_temperature", "Cabin at the start", "temperature",
            low=lambda s: s.outside_temperature, high=celsius(75), step=1.0, us_step=2,
        ),
        NumberControl(
            "outside_temperature", "Outside air", "temperature",
            low=celsius(20), high=celsius(45), step=0.5, us_step=1,
        ),
        NumberControl(
            "relative_humidity", "Humidity outside", "percent", low=0.1, high=0.9, step=0.01, decimals=0
        ),
        air_flow_control(),
        NumberControl(
            "recirculated_share", "Recirculated share of the air", "percent",
            low=0.0, high=1.0, step=0.01, decimals=0, help="The rest comes from outside.",
        ),
        NumberControl("sun", "Sun through the glass", "power", low=0.0, high=1500.0, step=20.0, us_step=50),
        ChoiceControl("people", "People in the cabin", (0, 1, 2, 3, 4)),
        boiling_control(low=celsius(-5)),
        NumberControl(
            "wish", "Cool enough at", "temperature", low=celsius(20), high=celsius(30), step=0.5, us_step=1
        ),
    )  # fmt: skip
    describe = staticmethod(describe)
