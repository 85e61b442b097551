"""What the receiver model says, in the quantities that rows print."""

from thermo_kit.components.receiver import ReceiverConditions, solve_receiver
from thermo_kit.fleet import part_of
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.stream import stream_at

VESSELS = {"van": part_of("parcel_van", "receiver"), "shuttle bus": part_of("shuttle_bus", "receiver")}


def _solved(vessel, refrigerant, condensing_temperature, mass_flow, **conditions):
    inlet = stream_at(refrigerant, mass_flow, T=condensing_temperature, x=0.0)
    return solve_receiver(VESSELS[vessel], inlet, ReceiverConditions(**conditions))


def volume_closure(vessel, **conditions):
    return _solved(vessel, **conditions).volume_closure


def flash_energy(vessel, **conditions):
    """Enthalpy of the mixture at the outlet minus that of the liquid in the vessel, relative to the latter."""
    result = _solved(vessel, **conditions)
    fluid = Refrigerant(result.inlet.refrigerant)
    saturation = fluid.saturation(conditions["condensing_temperature"])
    after = fluid.at(p=saturation.p - result.lift.total_pressure_drop, x=result.lift.flash_quality)
    return abs(after.h / saturation.liquid_enthalpy - 1.0)
