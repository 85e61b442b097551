"""The thermostatic expansion valve: bulb, spring and evaporator pressure fight over a pin."""

from thermo_kit.components.expansion_valve.cases import FAULTS, FaultCase, fault_case
from thermo_kit.components.expansion_valve.curves import OpeningCurves, opening_curves
from thermo_kit.components.expansion_valve.fixed_orifice import AccumulatorBleed, OrificeFeedResult, solve_orifice_feed
from thermo_kit.components.expansion_valve.flow import discharge_coefficient, inlet_density, orifice_flow, port_area
from thermo_kit.components.expansion_valve.forces import (
    ForceBalance,
    bulb_pressure,
    force_balance,
    maximum_operating_pressure,
    static_superheat,
)
from thermo_kit.components.expansion_valve.shut import ShutResult, close_shut_off
from thermo_kit.components.expansion_valve.solve import (
    FLOODING_BELOW,
    STARVED_ABOVE,
    VERDICTS,
    ValveResult,
    solve_valve,
)
from thermo_kit.components.expansion_valve.spec import (
    BODIES,
    CHARGES,
    EQUALISATIONS,
    VALVE_REFRIGERANTS,
    EvaporatorDuty,
    ExpansionValveSpec,
    ShutOffSpec,
    ValveFault,
)

__all__ = [
    "BODIES",
    "CHARGES",
    "EQUALISATIONS",
    "FAULTS",
    "FLOODING_BELOW",
    "STARVED_ABOVE",
    "VALVE_REFRIGERANTS",
    "VERDICTS",
    "AccumulatorBleed",
    "EvaporatorDuty",
    "ExpansionValveSpec",
    "FaultCase",
    "ForceBalance",
    "OpeningCurves",
    "OrificeFeedResult",
    "ShutOffSpec",
    "ShutResult",
    "ValveFault",
    "ValveResult",
    "bulb_pressure",
    "close_shut_off",
    "discharge_coefficient",
    "fault_case",
    "force_balance",
    "inlet_density",
    "maximum_operating_pressure",
    "opening_curves",
    "orifice_flow",
    "port_area",
    "solve_orifice_feed",
    "solve_valve",
    "static_superheat",
]
