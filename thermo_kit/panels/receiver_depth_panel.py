"""The learner moves flow and bore and sees how deep the mouth has to lie by two published forms."""

from dataclasses import dataclass, replace

from thermo_kit.components.receiver import depth_curves, pick_up, van_receiver
from thermo_kit.panels.controls import NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.panels.receiver_parts import (
    BORE_CONTROL,
    CONDENSING_CONTROL,
    REFRIGERANT_CONTROL,
    LiquidSettings,
    bend_control,
    flow_control,
)

LARGEST_FLOW = 0.08


@dataclass(frozen=True, kw_only=True)
class DepthSettings(LiquidSettings):
    """Those of the liquid; bore [m], depth of the mouth [m]."""

    bore: float = 0.008
    depth: float = 0.030


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.receiver_depth import depth_picture

    here = pick_up(
        vessel=replace(van_receiver(), standpipe_diameter=settings.bore),
        refrigerant=settings.refrigerant,
        condensing_temperature=settings.condensing_temperature,
        mass_flow=settings.mass_flow,
    )
    curves = depth_curves(
        here, depth=settings.depth, most=LARGEST_FLOW, lateral_acceleration=settings.lateral_acceleration
    )
    picture = depth_picture(curves, look)
    rows = (
        ("Verdict", curves.regime),
        ("Depth of the mouth", look.text(curves.depth, "length")),
        ("Surface dips in at", look.text(curves.onset_here, "length")),
        ("Safe side", look.text(curves.safe_here, "length")),
        ("Flow by volume", look.text(here.volume_flow, "volume_flow")),
        ("Speed in the mouth", look.text(here.velocity, "velocity")),
    )
    notes = (
        "Onset: measured with still water over a drain, ±10 %. "
        "Safe side: a rule for pump intakes, with swirl allowed for.",
        "Both are borrowed from larger vessels; we found no published form for a receiver.",
    )
    return Description((picture,), picture.sentence, rows, notes)


class ReceiverDepthPanel(Panel):
    """Two published depths against flow."""

    title = "How deep must the mouth lie?"
    Settings = DepthSettings
    controls = (
        flow_control(LARGEST_FLOW),
        NumberControl("depth", "Depth of the mouth", "length", low=0.0, high=0.15, step=0.001, us_step=0.05),
        BORE_CONTROL,
        bend_control("Sideways in the bend"),
        CONDENSING_CONTROL,
        REFRIGERANT_CONTROL,
    )
    describe = staticmethod(describe)
