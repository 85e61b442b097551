"""The learner follows the pressure from the liquid's surface to the subcooling pass and sees what boils on the way."""

from dataclasses import dataclass, replace

from thermo_kit.components.receiver import ReceiverConditions, solve_receiver, van_receiver
from thermo_kit.panels.controls import NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.panels.receiver_parts import BORE_CONTROL, REFRIGERANT_CONTROL, flow_control
from thermo_kit.units import celsius

_CONDENSING, _INVENTORY = celsius(45), 0.08


@dataclass(frozen=True, kw_only=True)
class LiftSettings:
    """Flow [kg/s], bore [m], where the pass begins [m], share of the filter that is blocked, its subcooling [K]."""

    refrigerant: str = "R-1234yf"
    mass_flow: float = 0.030
    bore: float = 0.008
    outlet_height: float = 0.210
    blocked: float = 0.0
    pass_subcooling: float = 8.0


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.receiver_lift import lift_picture

    vessel = replace(
        van_receiver(),
        standpipe_diameter=settings.bore,
        outlet_height=settings.outlet_height,
        filter_blocked_share=settings.blocked,
    )
    result = solve_receiver(
        vessel,
        ReceiverConditions(
            refrigerant=settings.refrigerant,
            condensing_temperature=_CONDENSING,
            mass_flow=settings.mass_flow,
            inventory=_INVENTORY,
            pass_subcooling=settings.pass_subcooling,
        ),
    )
    lift = result.lift
    picture = lift_picture(lift, look)
    rows = (
        ("Speed in the standpipe", look.text(lift.velocity, "velocity")),
        ("Lift from the surface", look.text(lift.rise, "length")),
        ("Pressure lost in all", look.text(lift.total_pressure_drop, "pressure_difference", 2)),
        ("Of that in the filter", look.text(lift.filter_pressure_drop, "pressure_difference", 2)),
        ("Boils, by mass", f"{lift.flash_quality * 100:.2f} %"),
        ("Boils, by volume", f"{lift.flash_volume_share * 100:.1f} %"),
        ("Share of the subcooling pass", f"{lift.recondensing_share * 100:.1f} %"),
    )
    notes = (
        "The liquid in the receiver is saturated: it lies under its own vapour. So every drop in pressure boils some.",
        f"Reckoned at {look.text(_CONDENSING, 'temperature', 0)} with {look.text(_INVENTORY, 'mass')} in the receiver.",
    )
    return Description((picture,), picture.sentence, rows, notes)


class ReceiverLiftPanel(Panel):
    """Pressure lost on the way up, and what boils."""

    title = "What the way up costs"
    Settings = LiftSettings
    controls = (
        NumberControl(
            "outlet_height",
            "Subcooling pass begins at",
            "length",
            low=0.0,
            high=0.6,
            step=0.005,
            us_step=0.2,
            help="Above the floor of the receiver: low for a pass at the bottom, high for one at the top.",
        ),
        flow_control(),
        BORE_CONTROL,
        NumberControl("blocked", "Filter blocked", "percent", low=0.0, high=0.93, step=0.01, us_step=1, decimals=0),
        NumberControl(
            "pass_subcooling",
            "Subcooling of the pass",
            "temperature_difference",
            low=2.0,
            high=20.0,
            step=0.5,
            us_step=1,
        ),
        REFRIGERANT_CONTROL,
    )
    describe = staticmethod(describe)
