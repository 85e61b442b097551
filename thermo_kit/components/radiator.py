"""Coolant to air: the radiator with its fan and the cabin heater core."""

import math
from dataclasses import dataclass

from thermo_kit.components.fan import RATED_DENSITY, FanSpec, fan_pressure
from thermo_kit.laws.exchange import crossflow_effectiveness
from thermo_kit.units.checks import Checks

AIR_SPECIFIC_HEAT = 1006.0
AIR_SIDE_EXPONENT = 0.51
COOLANT_SIDE_EXPONENT = 0.8
LEAST_AIR_SHARE = 0.02
"""Share of the rated air flow that rises through a hot core with fan and wind at rest (no source)."""


@dataclass(frozen=True, kw_only=True)
class RadiatorSpec:
    """A crossflow core with fan, by its heat conductances at one rated point.

    Parameters
    ----------
    air_conductance : float, [W/K]
        Heat transfer coefficient times area on the air side at rated air flow, 1 to 1e5.
    coolant_conductance : float, [W/K]
        The same on the coolant side at rated coolant flow, 1 to 1e5.
    rated_air_flow : float, [m³/s]
        Air flow of that point, 0.001 to 10.
    rated_coolant_flow : float, [kg/s]
        Coolant flow of that point, 0.001 to 10.
    core_pressure_drop : float, [Pa]
        Air-side pressure drop at rated air flow, 1 to 2000.
    fan : FanSpec
        The fan behind it.
    fan_speed_share : float, [-]
        Speed of the fan, 0 to 1.2.
    ram_share : float, [-]
        Share of the driving wind's dynamic pressure that stands across the core, 0 to 1.
    blockage : float, [-]
        Share of the core's face that is blocked, 0 to 0.98.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    """

    air_conductance: float
    coolant_conductance: float
    rated_air_flow: float
    rated_coolant_flow: float
    core_pressure_drop: float
    fan: FanSpec
    fan_speed_share: float = 1.0
    ram_share: float = 0.4
    blockage: float = 0.0

    def __post_init__(self):
        checks = Checks()
        checks.within("air-side conductance of the radiator", self.air_conductance, 1.0, 1e5, kind="ratio")
        checks.within("coolant-side conductance of the radiator", self.coolant_conductance, 1.0, 1e5, kind="ratio")
        checks.within("rated air flow of the radiator", self.rated_air_flow, 0.001, 10.0, kind="air_flow")
        checks.within("rated coolant flow of the radiator", self.rated_coolant_flow, 0.001, 10.0, kind="mass_flow")
        checks.within("core pressure drop", self.core_pressure_drop, 1.0, 2000.0, kind="pressure_difference")
        checks.within("fan speed share", self.fan_speed_share, 0.0, 1.2, kind="ratio", advice="80 % is 0.8")
        checks.within("ram share", self.ram_share, 0.0, 1.0, kind="ratio")
        checks.within("blocked share of the core", self.blockage, 0.0, 0.98, kind="ratio", advice="60 % is 0.6")
        checks.raise_if_any()


@dataclass(frozen=True, slots=True)
class RadiatorResult:
    """A radiator at one point: air_flow [m³/s], conductance [W/K], transfer_units [-], effectiveness, heat [W] given to
    the air, coolant_outlet_temperature [K], air_outlet_temperature [K]."""

    spec: RadiatorSpec
    air_flow: float
    conductance: float
    transfer_units: float
    effectiveness: float
    heat: float
    coolant_outlet_temperature: float
    air_outlet_temperature: float


def radiator_air_flow(spec, *, vehicle_speed=0.0):
    """Return the air that fan and driving wind move through the core; vehicle_speed [m/s] → [m³/s].

    Notes
    -----
    The core's pressure drop grows with the square of the flow; a blocked share narrows the face. A standing
    fan lets wind through as its curve says.

    References
    ----------
    Fan and system curve: Cengel & Cimbala, Fluid Mechanics, section 14-2; dynamic pressure rho v²/2.

    Examples
    --------
    >>> fan = FanSpec(free_flow=0.8, stall_pressure=240.0)
    >>> core = RadiatorSpec(air_conductance=800.0, coolant_conductance=1500.0, rated_air_flow=0.5,
    ...                     rated_coolant_flow=0.3, core_pressure_drop=120.0, fan=fan)
    >>> 0.5 < radiator_air_flow(core) < 0.6
    True
    """
    checks = Checks()
    checks.within("vehicle speed", vehicle_speed, 0.0, 60.0, kind="velocity")
    checks.raise_if_any()
    still = fan_pressure(spec.fan, volume_flow=0.0, speed_share=spec.fan_speed_share)
    bend = -fan_pressure(spec.fan, volume_flow=1.0, speed_share=0.0)
    wind = spec.ram_share * RATED_DENSITY * vehicle_speed**2 / 2.0
    core = spec.core_pressure_drop / (spec.rated_air_flow * (1.0 - spec.blockage)) ** 2
    flow = math.sqrt((still + wind) / (bend + core))
    return max(flow, LEAST_AIR_SHARE * spec.rated_air_flow * (1.0 - spec.blockage))


def radiator_effectiveness(spec, *, coolant_flow, coolant_heat_rate, air_flow):
    """Return conductance, transfer units and effectiveness of the core.

    coolant_flow [kg/s], coolant_heat_rate [W/K], air_flow [m³/s].

    Notes
    -----
    Both conductances fall with the open share of the core. Wall and fin resistance are taken as part of the
    air side.

    References
    ----------
    Crossflow, both streams unmixed: Incropera & DeWitt, chapter 11 (through `ht`). Air side with flow^0.51,
    the exponent of the louvered fin's j factor (Chang & Wang 1997, h ~ Re^(1 - 0.49)); coolant side
    with flow^0.8 (Dittus & Boelter 1930), an overestimate of the change where the tubes run laminar.
    """
    open_face = 1.0 - spec.blockage
    air_side = spec.air_conductance * open_face * (air_flow / (spec.rated_air_flow * open_face)) ** AIR_SIDE_EXPONENT
    coolant_side = (
        spec.coolant_conductance * open_face * (coolant_flow / spec.rated_coolant_flow) ** COOLANT_SIDE_EXPONENT
    )
    conductance = 1.0 / (1.0 / air_side + 1.0 / coolant_side)
    air_heat_rate = air_flow * RATED_DENSITY * AIR_SPECIFIC_HEAT
    smaller, larger = sorted((coolant_heat_rate, air_heat_rate))
    units = conductance / smaller
    return conductance, units, crossflow_effectiveness(units, smaller / larger), smaller


def run_radiator(
    spec, *, coolant_flow, coolant_inlet_temperature, air_inlet_temperature, specific_heat, vehicle_speed=0.0
):
    """Return the heat that a radiator gives to the air.

    Parameters
    ----------
    spec : RadiatorSpec
        The radiator.
    coolant_flow : float, [kg/s]
        Coolant mass flow, 1e-5 to 10.
    coolant_inlet_temperature : float, [K]
        Coolant entering, 223.15 to 400.
    air_inlet_temperature : float, [K]
        Air entering, 223.15 to 340.
    specific_heat : float, [J/(kg K)]
        Of the coolant, 1000 to 5000.
    vehicle_speed : float, [m/s]
        Driving speed, 0 to 60.

    Returns
    -------
    RadiatorResult
        Air flow, effectiveness, heat, both outlet temperatures.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    References
    ----------
    Effectiveness-NTU method: Kays & London; Incropera & DeWitt, chapter 11.

    Examples
    --------
    >>> fan = FanSpec(free_flow=0.8, stall_pressure=240.0)
    >>> core = RadiatorSpec(air_conductance=800.0, coolant_conductance=1500.0, rated_air_flow=0.5,
    ...                     rated_coolant_flow=0.3, core_pressure_drop=120.0, fan=fan)
    >>> result = run_radiator(core, coolant_flow=0.3, coolant_inlet_temperature=333.15,
    ...                       air_inlet_temperature=303.15, specific_heat=3500.0)
    >>> 9e3 < result.heat < 12e3
    True
    """
    checks = Checks()
    checks.within("coolant flow", coolant_flow, 1e-5, 10.0, kind="mass_flow")
    checks.within("coolant inlet temperature", coolant_inlet_temperature, 223.15, 400.0, kind="temperature")
    checks.within("air inlet temperature", air_inlet_temperature, 223.15, 340.0, kind="temperature")
    checks.within("specific heat", specific_heat, 1000.0, 5000.0, kind="specific_heat")
    checks.raise_if_any()
    air_flow = radiator_air_flow(spec, vehicle_speed=vehicle_speed)
    heat_rate = coolant_flow * specific_heat
    conductance, units, effectiveness, smaller = radiator_effectiveness(
        spec, coolant_flow=coolant_flow, coolant_heat_rate=heat_rate, air_flow=air_flow
    )
    heat = effectiveness * smaller * (coolant_inlet_temperature - air_inlet_temperature)
    return RadiatorResult(
        spec=spec,
        air_flow=air_flow,
        conductance=conductance,
        transfer_units=units,
        effectiveness=effectiveness,
        heat=heat,
        coolant_outlet_temperature=coolant_inlet_temperature - heat / heat_rate,
        air_outlet_temperature=air_inlet_temperature + heat / (air_flow * RATED_DENSITY * AIR_SPECIFIC_HEAT),
    )
