"""What is asked of the freeze transient, and the look at every number before it starts."""

import itertools
from dataclasses import dataclass, field

from thermo_kit.components.chiller_plates import PlateStack, check_fluids, check_stack
from thermo_kit.components.coolant_table import coolant_table
from thermo_kit.substances import Refrigerant
from thermo_kit.systems.freeze_guard import GuardSettings, check_guards
from thermo_kit.units.checks import Checks

__all__ = ["FreezeSpec", "GuardSettings", "check_spec"]


@dataclass(frozen=True, kw_only=True)
class FreezeSpec:
    """A chiller, its circuit, and how the coolant flow fails. The numbers set here are an invented electric van's.

    stack: plates; counterflow: coolant against refrigerant; fouling [m² K/W] on the coolant side
    coolant; mass_fraction [kg/kg] of glycol; coolant_flow [kg/s] before the failure; coolant_inlet_temperature [K]
    flow_profile: pairs of (time in s, share of the flow), straight between them
    refrigerant; compressor_displacement [m³] a revolution; compressor_speed [rad/s]; volumetric_efficiency [-]
    speed_control_temperature [K]: the speed follows the boiling temperature; None: fixed speed
    lowest_speed_ratio [-]: how far the control slows down
    cabin_open: the cabin evaporator boils too; cabin_conductance [W/K]; cabin_air_temperature [K]
    condensing_temperature [K]; subcooling [K]
    valve_full_flow [kg/s] of the expansion valve wide open at 0 °C; it holds the liquid in the chiller, as a
    superheat-controlled valve does
    suction_volume [m³] up to the compressor; liquid_share [-] of the channel volume that boiling liquid fills
    reaction_time [s] after the start until closing is ordered; None: nobody orders it
    valve_leak [-]: share of the feed that passes a closed shut-off valve; 1 is a valve stuck open
    guards: None for none at all
    slush_limit [kg/kg]: ice at which slush stops flowing; burst_pressure [Pa] that the plates bear
    loop_share [-]: the chiller's part of the loop's resistance
    viscous_power [-]: 0 keeps the flow as given for every mixture; 1 lets it fall as the coolant thickens against 30 %
    glycol at the inlet temperature, as with a pump that hardly turns (0.25 is nearer to a healthy one)
    duration [s]; segments along and layers across a channel
    """

    stack: PlateStack = field(default_factory=PlateStack)
    counterflow: bool = True
    fouling: float = 0.0
    refrigerant: str = "R-134a"
    coolant: str = "ethylene glycol"
    mass_fraction: float = 0.30
    coolant_flow: float = 0.20
    coolant_inlet_temperature: float = 288.15
    flow_profile: tuple = ((0.0, 1.0), (1.0, 0.0))
    compressor_displacement: float = 34.0e-6
    compressor_speed: float = 418.9
    volumetric_efficiency: float = 0.75
    speed_control_temperature: float | None = None
    lowest_speed_ratio: float = 0.25
    cabin_open: bool = False
    cabin_conductance: float = 120.0
    cabin_air_temperature: float = 298.15
    condensing_temperature: float = 318.15
    subcooling: float = 5.0
    valve_full_flow: float = 0.05
    suction_volume: float = 0.15e-3
    liquid_share: float = 0.10
    reaction_time: float | None = None
    valve_leak: float = 0.0
    guards: GuardSettings | None = None
    slush_limit: float = 0.30
    burst_pressure: float = 10.0e6
    loop_share: float = 0.30
    viscous_power: float = 0.0
    duration: float = 180.0
    segments: int = 6
    layers: int = 4

    @property
    def glycol(self):
        """Share of glycol by mass, 0 for water [kg/kg]."""
        return 0.0 if self.coolant == "water" else float(self.mass_fraction)


def check_spec(spec):
    """Look at every number of a freeze case and raise one error that tells all that is wrong."""
    checks = Checks()
    check_fluids(checks, refrigerant=spec.refrigerant, coolant=spec.coolant, mass_fraction=spec.mass_fraction)
    check_stack(checks, spec.stack)
    for name, low, high, kind in (
        ("fouling", 0.0, 5e-3, "ratio"),
        ("compressor_displacement", 1e-6, 5e-4, "volume"),
        ("compressor_speed", 20.0, 1500.0, "rotational_speed"),
        ("volumetric_efficiency", 0.2, 1.0, "ratio"),
        ("lowest_speed_ratio", 0.02, 1.0, "ratio"),
        ("cabin_conductance", 0.0, 1000.0, "ratio"),
        ("cabin_air_temperature", 273.15, 333.15, "temperature"),
        ("condensing_temperature", 288.15, 343.15, "temperature"),
        ("subcooling", 0.0, 30.0, "temperature_difference"),
        ("valve_full_flow", 1e-3, 1.0, "mass_flow"),
        ("suction_volume", 1e-5, 1e-2, "volume"),
        ("liquid_share", 0.02, 0.6, "ratio"),
        ("valve_leak", 0.0, 1.0, "ratio"),
        ("slush_limit", 0.05, 0.9, "ratio"),
        ("burst_pressure", 5e5, 1e8, "pressure"),
        ("loop_share", 0.0, 1.0, "ratio"),
        ("viscous_power", 0.0, 1.0, "ratio"),
        ("duration", 1.0, 3600.0, "time"),
        ("segments", 2, 60, "ratio"),
        ("layers", 2, 60, "ratio"),
    ):
        checks.within(name, getattr(spec, name), low, high, kind=kind)
    checks.within("coolant_flow", spec.coolant_flow, 0.0, 5.0, kind="mass_flow", exclusive=True,
                  advice="the case starts with the pump running: give the flow before the failure")  # fmt: skip
    if spec.speed_control_temperature is not None:
        checks.within("speed_control_temperature", spec.speed_control_temperature, 243.15, 293.15, kind="temperature")
    if spec.reaction_time is not None:
        checks.within("reaction_time", spec.reaction_time, 0.0, 3600.0, kind="time",
                      advice="seconds after the start; None if nobody closes the valve")  # fmt: skip
    if spec.guards is not None:
        check_guards(checks, spec.guards)
    _check_profile(checks, spec.flow_profile)
    checks.raise_if_any()
    fluid = Refrigerant(spec.refrigerant)
    table = coolant_table(spec.coolant, spec.glycol)
    checks.within(
        "coolant_inlet_temperature", spec.coolant_inlet_temperature, table.freezing_point + 0.5, 323.15,
        kind="temperature",
        advice="a frozen chiller is no start for this case: thaw it, or check concentration and unit"
        if spec.coolant_inlet_temperature < table.freezing_point + 0.5 and spec.coolant_inlet_temperature > 150.0
        else "",
    )  # fmt: skip
    checks.within("condensing_temperature", spec.condensing_temperature, 288.15, fluid.critical_temperature - 3.0,
                  kind="temperature", advice="this model condenses below the critical point")  # fmt: skip
    checks.raise_if_any()


def _check_profile(checks, profile):
    try:
        pairs = [(float(time), float(share)) for time, share in profile]
    except (TypeError, ValueError):
        checks.add("flow_profile", repr(profile), "is not a row of (time, share)", "for example ((0, 1), (1, 0))")
        return
    if not pairs or pairs[0][0] != 0.0:
        checks.add("flow_profile", "must start at time 0", advice="for example ((0, 1), (1, 0))")
        return
    if pairs[0][1] <= 0.0:
        checks.add("flow_profile", "starts with no flow", "at time 0 the share must be above 0",
                   "the case starts with the pump running: begin with (0, 1)")  # fmt: skip
    if any(later[0] < earlier[0] for earlier, later in itertools.pairwise(pairs)):
        checks.add("flow_profile", "goes back in time", advice="sort the pairs by time")
    for _, share in pairs:
        checks.within("flow_profile share", share, 0.0, 1.5, kind="ratio", advice="1 is the normal flow, 0 none")
