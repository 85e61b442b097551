"""The receiver-drier: an upright vessel whose standpipe drinks liquid from the bottom."""

from thermo_kit import doors

__all__, __getattr__, __dir__ = doors.door(
    __name__,
    solve=(
        "ChargeBand ChargeSpec LiftResult MoistureResult MoistureSpec ReceiverResult UsualCharge charge_band "
        "depth_over_years moisture_balance smallest_rising_bubble solve_receiver water_after"
    ),
    vessel="DepthCurves REGIMES ReceiverConditions ReceiverSpec depth_curves dip_height pick_up safe_submergence",
)
