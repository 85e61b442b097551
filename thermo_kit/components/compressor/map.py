"""How well a compressor works over its whole range of speed and pressure ratio."""

import functools
from dataclasses import dataclass

from thermo_kit.components.compressor.solve import solve_compressor
from thermo_kit.components.compressor.spec import HIGHEST_DISCHARGE_PRESSURE, CompressorConditions, CompressorSpec
from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.substances.stream import Stream

SPEEDS = 9
RATIOS = (1.3, 1.6, 2.0, 2.4, 2.9, 3.5, 4.2, 5.0, 6.0, 7.0)


@dataclass(frozen=True, kw_only=True)
class EfficiencyMap:
    """Isentropic efficiency over speed and pressure ratio, for one state of the suction gas.

    spec: the machine; suction: the gas that comes; supply_voltage [V]; speeds [rad/s];
    ratios [-]; efficiency [-]: one row for each ratio, None where the machine cannot run;
    built_in_pressure_ratio [-]: of the pocket at middle speed; best_speed [rad/s], best_ratio, best_efficiency
    """

    spec: CompressorSpec
    suction: Stream
    supply_voltage: float
    speeds: tuple[float, ...]
    ratios: tuple[float, ...]
    efficiency: tuple[tuple[float | None, ...], ...]
    built_in_pressure_ratio: float
    best_speed: float
    best_ratio: float
    best_efficiency: float


@functools.lru_cache(maxsize=24)
def efficiency_map(spec, suction, *, supply_voltage=400.0):
    """Return the isentropic efficiency over the machine's range, worked out once and kept.

    Parameters
    ----------
    spec : CompressorSpec. The machine.
    suction : Stream. Dry gas at the suction port.
    supply_voltage : float, [V]. Direct voltage at the inverter.

    Returns: EfficiencyMap. Ninety operating points. Raises OutOfRangeError if the suction gas is not dry or outside the
        range of the model; NoSolutionError if the machine can run nowhere.

    Notes: Where voltage, property data or the model's range of discharge pressure end, the map has a gap.

    References: `solve_compressor`.
    """
    step = (spec.highest_speed - spec.lowest_speed) / (SPEEDS - 1)
    speeds = (*(spec.lowest_speed + k * step for k in range(SPEEDS - 1)), spec.highest_speed)
    # This point also refuses a suction state that is wrong; on the map itself such an error would pass for a gap.
    discharge = min(2.5 * suction.pressure, HIGHEST_DISCHARGE_PRESSURE)
    middle = _run(spec, suction, discharge, speeds[SPEEDS // 2], supply_voltage)
    rows = tuple(
        tuple(_efficiency(spec, suction, r * suction.pressure, n, supply_voltage) for n in speeds) for r in RATIOS
    )
    found = [
        (value, n, r)
        for r, row in zip(RATIOS, rows, strict=True)
        for n, value in zip(speeds, row, strict=True)
        if value
    ]
    best, best_speed, best_ratio = max(found)
    return EfficiencyMap(
        spec=spec,
        suction=suction,
        supply_voltage=supply_voltage,
        speeds=speeds,
        ratios=RATIOS,
        efficiency=rows,
        built_in_pressure_ratio=middle.built_in_pressure_ratio,
        best_speed=best_speed,
        best_ratio=best_ratio,
        best_efficiency=best,
    )


def _run(spec, suction, discharge, speed, voltage):
    conditions = CompressorConditions(discharge_pressure=discharge, speed=speed, supply_voltage=voltage)
    return solve_compressor(spec, suction, conditions)


def _efficiency(*point):
    try:
        return _run(*point).isentropic_efficiency
    except (NoSolutionError, OutOfRangeError):
        return None
