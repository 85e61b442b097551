"""The receiver-drier: an upright vessel whose standpipe drinks liquid from the bottom."""

from thermo_kit.components.receiver.charge import ChargeBand, ChargeSpec, UsualCharge, charge_band, depth_over_years
from thermo_kit.components.receiver.moisture import MoistureResult, MoistureSpec, moisture_balance, water_after
from thermo_kit.components.receiver.pickup import (
    REGIMES,
    DepthCurves,
    depth_curves,
    dip_height,
    pick_up,
    safe_submergence,
)
from thermo_kit.components.receiver.solve import LiftResult, ReceiverResult, smallest_rising_bubble, solve_receiver
from thermo_kit.components.receiver.spec import ReceiverConditions, ReceiverSpec
