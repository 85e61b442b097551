"""What the receiver model says, in the quantities that rows print."""

from thermo_kit.components.receiver import (
    ChargeSpec,
    ReceiverConditions,
    charge_band,
    dip_height,
    safe_submergence,
    shuttle_bus_receiver,
    smallest_rising_bubble,
    solve_receiver,
    van_receiver,
)
from thermo_kit.components.receiver.geometry import volume_below
from thermo_kit.components.receiver.spec import surface_angle

VESSELS = {"van": van_receiver, "shuttle bus": shuttle_bus_receiver}


def dip(**given):
    return dip_height(**given)


def submergence(**given):
    return safe_submergence(**given)


def hoof(**given):
    return volume_below(**given)


def bubble(**given):
    return smallest_rising_bubble(**given)


def lean(**given):
    return surface_angle(**given)


def volume_closure(vessel, **conditions):
    return solve_receiver(VESSELS[vessel](), ReceiverConditions(**conditions)).volume_closure


def mass_closure(vessel, **charge):
    return charge_band(ChargeSpec(receiver=VESSELS[vessel](), **charge)).mass_closure


def flash_energy(vessel, **conditions):
    """Enthalpy of the mixture at the outlet minus that of the liquid in the vessel, relative to the latter."""
    from thermo_kit.substances import Refrigerant

    result = solve_receiver(VESSELS[vessel](), ReceiverConditions(**conditions))
    fluid = Refrigerant(result.conditions.refrigerant)
    saturation = fluid.saturation(result.conditions.condensing_temperature)
    after = fluid.at(p=saturation.p - result.lift.total_pressure_drop, x=result.lift.flash_quality)
    return abs(after.h / saturation.liquid_enthalpy - 1.0)
