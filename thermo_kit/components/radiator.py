"""Coolant to air: the radiator with its fan and the cabin heater core."""

import math

from thermo_kit.components.fan import RATED_DENSITY, FanSpec, fan_pressure
from thermo_kit.laws.exchange import crossflow_effectiveness
from thermo_kit.units import Spec, part, quantity, within_ranges

AIR_SPECIFIC_HEAT = 1006.0
AIR_SIDE_EXPONENT = 0.51
COOLANT_SIDE_EXPONENT = 0.8
LEAST_AIR_SHARE = 0.02
"""Share of the rated air flow that rises through a hot core with fan and wind at rest (no source)."""


class RadiatorSpec(Spec):
    """A crossflow core with its fan, by its heat conductances (coefficient times area) at one rated point.

    core_pressure_drop: air side at rated air flow; fan_speed_share: of full speed; ram_share: of the driving wind's
    dynamic pressure that stands across the core; blockage: of the core's face.
    """

    air_conductance: float = quantity("conductance", 1.0, 1e5, "air-side conductance of the radiator")
    coolant_conductance: float = quantity("conductance", 1.0, 1e5, "coolant-side conductance of the radiator")
    rated_air_flow: float = quantity("air_flow", 0.001, 10.0, "rated air flow of the radiator")
    rated_coolant_flow: float = quantity("mass_flow", 0.001, 10.0, "rated coolant flow of the radiator")
    core_pressure_drop: float = quantity("pressure_difference", 1.0, 2000.0, "core pressure drop")
    fan: FanSpec = part(FanSpec, "fan of the radiator")
    fan_speed_share: float = quantity("ratio", 0.0, 1.2, "fan speed share", 1.0, advice="80 % is 0.8")
    ram_share: float = quantity("ratio", 0.0, 1.0, "ram share", 0.4)
    blockage: float = quantity("ratio", 0.0, 0.98, "blocked share of the core", 0.0, advice="60 % is 0.6")


def radiator_air_flow(spec, *, vehicle_speed=0.0):
    """Return the air that fan and driving wind move through the core; vehicle_speed [m/s] → [m³/s].

    Notes: The core's pressure drop grows with the square of the flow; a blocked share narrows the face. A standing fan
        lets wind through as its curve says.

    References: Fan and system curve: Cengel & Cimbala, Fluid Mechanics, section 14-2; dynamic pressure rho v²/2.

    Examples
    --------
    >>> fan = FanSpec(free_flow=0.8, stall_pressure=240.0)
    >>> core = RadiatorSpec(air_conductance=800.0, coolant_conductance=1500.0, rated_air_flow=0.5,
    ...                     rated_coolant_flow=0.3, core_pressure_drop=120.0, fan=fan)
    >>> 0.5 < radiator_air_flow(core) < 0.6
    True
    """
    within_ranges(("vehicle speed", vehicle_speed, 0.0, 60.0, "driving_speed"))
    still = fan_pressure(spec.fan, volume_flow=0.0, speed_share=spec.fan_speed_share)
    bend = -fan_pressure(spec.fan, volume_flow=1.0, speed_share=0.0)
    wind = spec.ram_share * RATED_DENSITY * vehicle_speed**2 / 2.0
    core = spec.core_pressure_drop / (spec.rated_air_flow * (1.0 - spec.blockage)) ** 2
    flow = math.sqrt((still + wind) / (bend + core))
    return max(flow, LEAST_AIR_SHARE * spec.rated_air_flow * (1.0 - spec.blockage))


def radiator_effectiveness(spec, *, coolant_flow, coolant_heat_rate, air_flow):
    """Return effectiveness of the core and the smaller heat capacity rate it refers to [W/K].

    coolant_flow [kg/s], coolant_heat_rate [W/K], air_flow [m³/s].

    Notes: Both conductances fall with the open share of the core. Wall and fin resistance are taken as part of the air
        side.

    References: Crossflow, both streams unmixed: Incropera & DeWitt, chapter 11 (through `ht`). Air side with flow^0.51,
        the exponent of the louvered fin's j factor (Chang & Wang 1997, h ~ Re^(1 - 0.49)); coolant side with flow^0.8
        (Dittus & Boelter 1930), an overestimate of the change where the tubes run laminar.
    """
    open_face = 1.0 - spec.blockage
    air_side = spec.air_conductance * open_face * (air_flow / (spec.rated_air_flow * open_face)) ** AIR_SIDE_EXPONENT
    coolant_side = (
        spec.coolant_conductance * open_face * (coolant_flow / spec.rated_coolant_flow) ** COOLANT_SIDE_EXPONENT
    )
    conductance = 1.0 / (1.0 / air_side + 1.0 / coolant_side)
    air_heat_rate = air_flow * RATED_DENSITY * AIR_SPECIFIC_HEAT
    smaller, larger = sorted((coolant_heat_rate, air_heat_rate))
    return crossflow_effectiveness(conductance / smaller, smaller / larger), smaller
