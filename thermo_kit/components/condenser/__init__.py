"""The condenser: a core of flat tubes in passes, louvered fins and a fan."""

from thermo_kit.components.condenser.air_side import AirSide, PassAir, air_side, pass_spans
from thermo_kit.components.condenser.compare import CoreComparison, compare_cores
from thermo_kit.components.condenser.cores import shuttle_bus_core, van_core, with_fin_density
from thermo_kit.components.condenser.fin_choice import FinCurve, fin_curve
from thermo_kit.components.condenser.head_pressure import (
    CompressorDuty,
    HeadPressureResult,
    condensing_pressure_for,
    mass_flow_for,
)
from thermo_kit.components.condenser.march import solve_condenser
from thermo_kit.components.condenser.result import CondenserResult, LastVapour, PassResult, PathPoint, ReceiverFeed
from thermo_kit.components.condenser.spec import AirConditions, CondenserSpec, RefrigerantInlet

__all__ = [
    "AirConditions",
    "AirSide",
    "CompressorDuty",
    "CondenserResult",
    "CondenserSpec",
    "CoreComparison",
    "FinCurve",
    "HeadPressureResult",
    "LastVapour",
    "PassAir",
    "PassResult",
    "PathPoint",
    "ReceiverFeed",
    "RefrigerantInlet",
    "air_side",
    "compare_cores",
    "condensing_pressure_for",
    "fin_curve",
    "mass_flow_for",
    "pass_spans",
    "shuttle_bus_core",
    "solve_condenser",
    "van_core",
    "with_fin_density",
]
