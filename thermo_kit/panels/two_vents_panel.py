"""The learner spoils something behind the dashboard and reads two vent thermometers."""

from dataclasses import dataclass

from thermo_kit.errors import OutOfRangeError, Problem
from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.evaporator_parts import (
    HELD,
    INVENTED,
    air_flow_control,
    air_temperature_control,
    boiling_control,
    coil_of,
    conditions_of,
    humidity_control,
)
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.systems import VENT_FAULTS, two_vents
from thermo_kit.units import celsius

HIDDEN = {
    "case A": ("slow blower", 0.55),
    "case B": ("starved coil", 0.45),
    "case C": ("blocked fins", 0.65),
    "case D": ("damper leaks", 0.25),
}
"""Cases whose fault is not told: fault and size."""
NOT_TOLD = "not measured"
_LEAST_AIR = 0.06
"""A fifth of it, which the slow blower leaves, is what the coil can still be asked for [m³/s]."""


@dataclass(frozen=True, kw_only=True)
class TwoVentsSettings:
    """The fault and its size [-]; air in front of the coil [K], [-], its flow [m³/s]; evaporating temperature [K]."""

    fault: str = "none"
    size: float = 0.3
    air_temperature: float = celsius(30)
    relative_humidity: float = 0.5
    air_flow: float = 0.11
    evaporating_temperature: float = celsius(3)

    def __post_init__(self):
        if self.fault not in (*VENT_FAULTS, *HIDDEN):
            known = ", ".join((*VENT_FAULTS, *HIDDEN))
            raise OutOfRangeError(Problem("fault", repr(self.fault), "is not known here", f"use one of {known}"))


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.evaporator_words import drip_text
    from thermo_kit.charts.two_vents import vents_picture

    hidden = settings.fault in HIDDEN
    fault, size = HIDDEN.get(settings.fault, (settings.fault, settings.size))
    case = two_vents(coil_of(settings), conditions_of(settings, look), fault=fault, size=size)
    picture = vents_picture(case, look, name=settings.fault[0].upper() + settings.fault[1:] if hidden else None)
    both = (case.faulty, case.sound)

    def row(label, text, told=True):
        own, sound = (text(vents) for vents in both)
        return (label, own if told else NOT_TOLD, sound)

    rows = (
        row("Left vent", lambda v: look.text(v.left.T, "temperature")),
        row("Right vent", lambda v: look.text(v.right.T, "temperature")),
        row("Right minus left", lambda v: look.text(v.difference, "temperature_difference")),
        row("Air flow", lambda v: look.text(v.air_flow, "air_flow")),
        row("Condensate", lambda v: drip_text(v.coil.condensate, look)),
        row("Superheat", lambda v: look.text(v.coil.conditions.superheat, "temperature_difference"), not hidden),
        row("Cooling of the coil", lambda v: look.text(v.coil.cooling_capacity, "power"), not hidden),
    )
    notes = (
        "A damper for each side would warm one vent only: then look at the dampers before you blame the coil.",
        *(() if hidden else case.faulty.coil.notes),
        HELD,
        INVENTED,
    )
    return Description((picture,), picture.sentence, rows, notes, ("", "Now", "Sound coil"))


def _has_a_size(settings):
    return settings.fault in VENT_FAULTS[1:]


class TwoVentsPanel(Panel):
    """Two vent thermometers under a fault, beside those of a sound coil."""

    title = "Two vents, one fault"
    Settings = TwoVentsSettings
    controls = (
        ChoiceControl("fault", "Fault", (*VENT_FAULTS, *((f"{name}: fault hidden", name) for name in HIDDEN))),
        NumberControl(
            "size", "Size of the fault", "percent", low=0.0, high=1.0, step=0.01, decimals=0,
            help="The sentence says what it means.", needed=_has_a_size,
        ),
        air_temperature_control(),
        humidity_control(),
        air_flow_control(low=_LEAST_AIR),
        boiling_control(),
    )  # fmt: skip
    describe = staticmethod(describe)
