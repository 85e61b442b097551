"""The receiver-drier: an upright vessel whose standpipe drinks liquid from the bottom."""

from thermo_kit.components.receiver.charge import ChargeBand, ChargeSpec, charge_band, depth_over_years
from thermo_kit.components.receiver.lift import LiftResult
from thermo_kit.components.receiver.moisture import MoistureResult, MoistureSpec, moisture_balance, water_after
from thermo_kit.components.receiver.pickup import REGIMES, DepthCurves, PickUp, depth_curves, pick_up
from thermo_kit.components.receiver.separation import smallest_rising_bubble
from thermo_kit.components.receiver.solve import ReceiverResult, solve_receiver
from thermo_kit.components.receiver.spec import ReceiverConditions, ReceiverSpec
from thermo_kit.components.receiver.submergence import dip_height, safe_submergence
from thermo_kit.components.receiver.vessels import shuttle_bus_receiver, van_receiver

__all__ = [
    "REGIMES",
    "ChargeBand",
    "ChargeSpec",
    "DepthCurves",
    "LiftResult",
    "MoistureResult",
    "MoistureSpec",
    "PickUp",
    "ReceiverConditions",
    "ReceiverResult",
    "ReceiverSpec",
    "charge_band",
    "depth_curves",
    "depth_over_years",
    "dip_height",
    "moisture_balance",
    "pick_up",
    "safe_submergence",
    "shuttle_bus_receiver",
    "smallest_rising_bubble",
    "solve_receiver",
    "van_receiver",
    "water_after",
]
