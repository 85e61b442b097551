"""The condenser: a core of flat tubes in passes, louvered fins and a fan."""

from thermo_kit.components.condenser.air_side import AirSide, PassAir, air_side, pass_spans
from thermo_kit.components.condenser.compare import CoreComparison, FinCurve, compare_cores, fin_curve
from thermo_kit.components.condenser.head_pressure import HeadPressureResult, condensing_pressure_for, mass_flow_for
from thermo_kit.components.condenser.result import CondenserResult, LastVapour, PassResult, PathPoint, ReceiverFeed
from thermo_kit.components.condenser.solve import solve_condenser
from thermo_kit.components.condenser.spec import (
    AirConditions,
    CompressorDuty,
    CondenserJob,
    CondenserSpec,
    with_fin_density,
)
