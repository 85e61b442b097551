"""The learner rebuilds a condenser core and sees how the refrigerant walks through it."""

from dataclasses import dataclass

from thermo_kit.components.condenser import condensing_pressure_for, pass_spans
from thermo_kit.components.louvered_fins import fins_per_inch
from thermo_kit.panels.condenser_parts import (
    AIR_PROFILES,
    BEFORE_LAST,
    HELD,
    PATCHES,
    RECEIVER_CONTROL,
    VEHICLE_CONTROL,
    WITHOUT_RECEIVER,
    air_controls,
    air_of,
    cooling_control,
    core_of,
    duty_of,
    fin_control,
    follow_vehicle,
    read_tubes,
    subcooling_of,
    write_tubes,
)
from thermo_kit.panels.controls import ChoiceControl, NumberControl, TextControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.substances import facts_of
from thermo_kit.units import celsius


@dataclass(frozen=True, kw_only=True)
class CondenserSettings:
    """Vehicle, tubes of each pass, places; fins [1/m], shares [-], temperature [K], speed [m/s], cooling [W]."""

    vehicle: str = "van"
    tubes: tuple = (15, 9, 6, 6)
    receiver: int = BEFORE_LAST
    last_pass_at: str = "bottom"
    fin_density: float = fins_per_inch(20)
    blocked: float = 0.0
    blocked_where: str = "all over the face"
    air_profile: str = "even"
    air_temperature: float = celsius(40)
    fan_speed: float = 1.0
    driving_speed: float = 0.0
    cooling: float = 4500.0


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.condenser_core import core_picture

    core = core_of(settings)
    head = condensing_pressure_for(core, duty_of(settings), air_of(settings, look), subcooling=subcooling_of(core))
    result = head.condenser
    air = result.air_side
    above = head.condensing_temperature - result.air.temperature
    pressure = look.text(head.condensing_pressure, "pressure")
    rows = (
        ("Head pressure", pressure),
        ("Condenses at", look.text(head.condensing_temperature, "temperature")),
        ("Above the air by", look.text(above, "temperature_difference")),
        ("Subcooling", look.text(head.subcooling, "temperature_difference")),
        ("Compressor power", look.text(head.compressor_power, "electric_power")),
        ("Hot gas", look.text(head.discharge_temperature, "temperature")),
        ("Refrigerant flow", look.text(head.mass_flow, "mass_flow")),
        ("Heat given to the air", look.text(head.heat_rejection, "power")),
        ("Pressure lost in the core", look.text(result.pressure_drop, "pressure_difference")),
        ("Refrigerant in the tubes", look.text(result.charge, "mass")),
        ("Air flow", look.text(air.volume_flow, "air_flow")),
        ("Fan power", look.text(air.fan_power, "electric_power")),
    )
    picture = core_picture(result, pass_spans(core), look)
    flux = "; ".join(f"pass {one.number}: {look.text(one.mass_flux, 'mass_flux')}" for one in result.passes)
    notes = [f"Mass flux, {flux}.", *result.notes, HELD]
    if core.receiver_after is None:
        held = look.text(WITHOUT_RECEIVER, "temperature_difference")
        notes.append(f"Without receiver the system is taken to be charged to {held} of subcooling.")
    sentence = (
        f"Head pressure {pressure}, compressor {look.text(head.compressor_power, 'electric_power')}. {picture.sentence}"
    )
    return Description((picture,), sentence, rows, (*notes, facts_of(head.duty.refrigerant).caution))


class CondenserPanel(Panel):
    """A core to rebuild: passes, receiver, fins, dirt, air."""

    title = "A walk through the condenser"
    Settings = CondenserSettings
    controls = (
        TextControl(
            "tubes", "Tubes in each pass", read=read_tubes, write=write_tubes, help="In flow order: 17, 10, 6.",
        ),
        RECEIVER_CONTROL,
        ChoiceControl("last_pass_at", "Last pass lies at the", ("bottom", "top")),
        fin_control("fin_density", "Fin density"),
        NumberControl("blocked", "Blocked share", "percent", low=0.0, high=0.9, step=0.05, us_step=5, decimals=0),
        ChoiceControl("blocked_where", "Blocked where", tuple(PATCHES)),
        ChoiceControl("air_profile", "Air over the face", tuple(AIR_PROFILES)),
        *air_controls(),
        cooling_control(),
        VEHICLE_CONTROL,
    )  # fmt: skip
    describe = staticmethod(describe)
    follow = staticmethod(follow_vehicle)
