"""Two cores side by side: what a poorer one costs in head pressure, power and air."""

import dataclasses
import functools
from dataclasses import dataclass

from thermo_kit.components.condenser.head_pressure import HeadPressureResult, condensing_pressure_for, mass_flow_for


@dataclass(frozen=True, slots=True)
class CoreComparison:
    """Two cores under the same duty.

    first, second: each core at the head pressure it needs; second_at_first_pressure: what the second core still
    condenses at the first one's pressure; condensing_pressure_shift [Pa], condensing_temperature_shift [K],
    compressor_power_shift [W], discharge_temperature_shift [K], air_flow_shift [m³/s]: second minus first;
    compressor_power_ratio, air_flow_ratio: second divided by first; capacity_ratio_at_equal_pressure [-]: cooling
    capacity of the second at the first one's pressure divided by that of the first
    """

    first: HeadPressureResult
    second: HeadPressureResult
    second_at_first_pressure: HeadPressureResult
    condensing_pressure_shift: float
    condensing_temperature_shift: float
    compressor_power_shift: float
    compressor_power_ratio: float
    discharge_temperature_shift: float
    air_flow_shift: float
    air_flow_ratio: float
    capacity_ratio_at_equal_pressure: float


def compare_cores(first, second, duty, air, *, subcooling=None):
    """Compare two cores at equal duty and at equal condensing pressure.

    Parameters
    ----------
    first : CondenserSpec
        The core to compare with, for example the original.
    second : CondenserSpec
        The other core, for example a replacement with fewer fins.
    duty : CompressorDuty
        Equal cooling capacity if that is given in it, equal mass flow otherwise.
    air : AirConditions
        The air in front of both.
    subcooling : float or None, [K]
        As in `condensing_pressure_for`.

    Returns
    -------
    CoreComparison
        Both solutions, their differences, and the second core at the first one's pressure.

    Raises
    ------
    OutOfRangeError
        If no target is given for a core without receiver.
    NoSolutionError
        If one of the cores cannot do the duty.

    Notes
    -----
    The evaporating temperature is held. On a vehicle it may drift up with the head pressure, which a model of
    the whole circuit shows.

    References
    ----------
    As in `condensing_pressure_for`.

    Examples
    --------
    >>> from thermo_kit.components.condenser import AirConditions, CompressorDuty, van_core, with_fin_density
    >>> duty = CompressorDuty(refrigerant="R-1234yf", evaporating_temperature=278.15, cooling_capacity=4500.0)
    >>> poorer = with_fin_density(van_core(), 630.0)
    >>> compare_cores(van_core(), poorer, duty, AirConditions(temperature=311.15)).condensing_pressure_shift > 0
    True
    """
    a = _alone(first, duty, air, subcooling)
    b = condensing_pressure_for(second, duty, air, subcooling=subcooling, near=a)
    near = dataclasses.replace(duty, cooling_capacity=None, mass_flow=a.mass_flow)
    held = mass_flow_for(second, near, air, condensing_pressure=a.condensing_pressure, subcooling=subcooling)
    flow_a, flow_b = a.condenser.air_side.volume_flow, b.condenser.air_side.volume_flow
    return CoreComparison(
        first=a, second=b, second_at_first_pressure=held,
        condensing_pressure_shift=b.condensing_pressure - a.condensing_pressure,
        condensing_temperature_shift=b.condensing_temperature - a.condensing_temperature,
        compressor_power_shift=b.compressor_power - a.compressor_power,
        compressor_power_ratio=b.compressor_power / a.compressor_power,
        discharge_temperature_shift=b.discharge_temperature - a.discharge_temperature,
        air_flow_shift=flow_b - flow_a, air_flow_ratio=flow_b / flow_a,
        capacity_ratio_at_equal_pressure=held.cooling_capacity / a.cooling_capacity,
    )  # fmt: skip


# Kept, because on a slider of the second core the first one stays what it was.
_alone = functools.lru_cache(maxsize=16)(
    lambda core, duty, air, subcooling: condensing_pressure_for(core, duty, air, subcooling=subcooling)
)
