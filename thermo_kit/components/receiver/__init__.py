"""The receiver-drier: an upright vessel whose standpipe drinks liquid from the bottom."""

from thermo_kit import doors

__all__, __getattr__, __dir__ = doors.door(
    __name__,
    solve=(
        "ChargeSpec MoistureSpec UsualCharge charge_band depth_over_years moisture_balance smallest_rising_bubble "
        "solve_receiver water_after"
    ),
    vessel="REGIMES ReceiverConditions ReceiverSpec depth_curves dip_height pick_up safe_submergence",
)
