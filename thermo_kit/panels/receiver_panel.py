"""The learner changes level, flow, slope and bend and looks into the receiver."""

from dataclasses import dataclass

from thermo_kit.components.receiver import ReceiverConditions, solve_receiver
from thermo_kit.panels.controls import NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.panels.receiver_parts import (
    CONDENSING_CONTROL,
    REFRIGERANT_CONTROL,
    TOO_SHORT_CONTROL,
    VESSEL_CONTROL,
    VesselSettings,
    bend_control,
    bend_text,
    flow_control,
    masses,
    vessel_of,
)
from thermo_kit.substances import facts_of
from thermo_kit.units import UnitSystem


@dataclass(frozen=True, kw_only=True)
class ReceiverSettings(VesselSettings):
    """Those of a vessel; mass in it [kg], slope [rad]."""

    inventory: float = 0.060
    tilt: float = 0.0


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.receiver_cutaway import cutaway_picture

    result = solve_receiver(
        vessel_of(settings),
        ReceiverConditions(
            refrigerant=settings.refrigerant,
            condensing_temperature=settings.condensing_temperature,
            mass_flow=settings.mass_flow,
            inventory=settings.inventory,
            tilt=settings.tilt,
            lateral_acceleration=settings.lateral_acceleration,
        ),
    )
    picture = cutaway_picture(result, look)
    rows = (
        ("Verdict", result.regime),
        ("Level, vehicle level", look.text(result.level, "length")),
        ("Depth of the mouth", look.text(result.submergence, "length")),
        ("Surface dips in at", look.text(result.onset_submergence, "length")),
        ("Safe side", look.text(result.safe_submergence, "length")),
        ("Bend that makes the surface dip in", bend_text(result.uncovering_acceleration, look)),
        ("Bend that uses up the safe side", bend_text(result.safe_acceleration, look)),
        (
            "Density of liquid, of vapour",
            f"{look.text(result.liquid_density, 'density')}, {look.text(result.vapour_density, 'density')}",
        ),
        ("Liquid sinks with", look.text(result.downward_velocity, "velocity", 3)),
        (
            "Bubbles that still rise",
            f"from {look.text(result.smallest_rising_bubble, 'length', 2 if look.system is UnitSystem.SI else 4)}",
        ),
        ("Speed in the standpipe", look.text(result.lift.velocity, "velocity")),
        ("Boils on the way up, by volume", f"{result.lift.flash_volume_share * 100:.1f} %"),
    )
    return Description((picture,), picture.sentence, rows, (*result.notes, facts_of(settings.refrigerant).caution))


def follow(settings, changed):
    """Keep the mass in the receiver between empty and full when vessel, refrigerant or temperature change."""
    if changed not in ("vessel", "refrigerant", "condensing_temperature"):
        return {}
    empty, full = masses(settings)
    return {"inventory": min(max(settings.inventory, empty), full)}


class ReceiverPanel(Panel):
    """A cut-away receiver whose liquid moves."""

    title = "A look into the receiver"
    Settings = ReceiverSettings
    controls = (
        NumberControl(
            "inventory",
            "Refrigerant in the receiver",
            "mass",
            low=lambda s: masses(s)[0],
            high=lambda s: masses(s)[1],
            step=0.001,
            us_step=0.05,
            decimals=1,
            help="Liquid and vapour together.",
        ),
        bend_control("Sideways in the bend"),
        NumberControl("tilt", "Slope of the ground", "angle", low=0.0, high=0.5236, step=0.0174533, us_step=1),
        flow_control(),
        TOO_SHORT_CONTROL,
        CONDENSING_CONTROL,
        REFRIGERANT_CONTROL,
        VESSEL_CONTROL,
    )
    describe = staticmethod(describe)
    follow = staticmethod(follow)
