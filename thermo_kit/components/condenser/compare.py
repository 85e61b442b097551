"""Cores compared at the same duty: two side by side, or one with few and with many fins."""

import dataclasses
import functools
import itertools
from dataclasses import dataclass

from thermo_kit.components.condenser.head_pressure import (
    HeadPressureResult,
    check_target,
    condensing_pressure_for,
    mass_flow_for,
)
from thermo_kit.components.condenser.spec import with_fin_density
from thermo_kit.units.checks import Checks


@dataclass(frozen=True, slots=True)
class CoreComparison:
    """Two cores under the same duty.

    first, second: each core at the head pressure it needs; second_at_first_pressure: what the second core still
    condenses at the first one's pressure. Shifts are second minus first; ratios second divided by first.
    """

    first: HeadPressureResult
    second: HeadPressureResult
    second_at_first_pressure: HeadPressureResult

    @property
    def condensing_pressure_shift(self):
        """Head pressure [Pa]."""
        return self.second.condensing_pressure - self.first.condensing_pressure

    @property
    def condensing_temperature_shift(self):
        """Condensing temperature [K]."""
        return self.second.condensing_temperature - self.first.condensing_temperature

    @property
    def compressor_power_ratio(self):
        """Compressor power [-]."""
        return self.second.compressor_power / self.first.compressor_power

    @property
    def capacity_ratio_at_equal_pressure(self):
        """Cooling capacity of the second at the first one's pressure, by that of the first [-]."""
        return self.second_at_first_pressure.cooling_capacity / self.first.cooling_capacity


def compare_cores(first, second, duty, air, *, subcooling=None):
    """Compare two cores at equal duty and at equal condensing pressure.

    Parameters
    ----------
    first : CondenserSpec. The core to compare with, for example the original.
    second : CondenserSpec. The other core, for example a replacement with fewer fins.
    duty : CompressorDuty. Equal cooling capacity if that is given in it, equal mass flow otherwise.
    air : AirConditions. The air in front of both.
    subcooling : float or None, [K]. As in `condensing_pressure_for`.

    Returns: CoreComparison. Both solutions, their differences, and the second core at the first one's pressure. Raises
        InputError if no target is given for a core without receiver; NoSolutionError if one of the cores cannot do the
        duty.

    Notes: The evaporating temperature is held. On a vehicle it may drift up with the head pressure, which a model of
        the whole circuit shows.

    References: As in `condensing_pressure_for`.

    Examples
    --------
    >>> from thermo_kit.components.condenser import AirConditions, CompressorDuty
    >>> from thermo_kit.fleet import part_of
    >>> duty = CompressorDuty(refrigerant="R-1234yf", evaporating_temperature=278.15, cooling_capacity=4500.0)
    >>> core = part_of("parcel_van", "condenser")
    >>> poorer = with_fin_density(core, 630.0)
    >>> compare_cores(core, poorer, duty, AirConditions(temperature=311.15)).condensing_pressure_shift > 0
    True
    """
    check_target(first, subcooling)
    a = _alone(first, duty, air, subcooling)
    b = condensing_pressure_for(second, duty, air, subcooling=subcooling, near=a)
    near = dataclasses.replace(duty, cooling_capacity=None, mass_flow=a.mass_flow)
    held = mass_flow_for(second, near, air, condensing_pressure=a.condensing_pressure, subcooling=subcooling)
    return CoreComparison(a, b, held)


# Kept, because on a slider of the second core the first one stays what it was.
_alone = functools.lru_cache(maxsize=16)(
    lambda core, duty, air, subcooling: condensing_pressure_for(core, duty, air, subcooling=subcooling)
)


@dataclass(frozen=True, slots=True)
class FinCurve:
    """One core under one duty with several fin densities.

    fin_densities [1/m]; heads: the head pressure and all that goes with it, one for each density;
    best_fin_density: the one of them with the least power of compressor and fan together [1/m];
    best_is_inside: False if the best lies at an end of the range looked at
    """

    fin_densities: tuple[float, ...]
    heads: tuple[HeadPressureResult, ...]
    best_fin_density: float
    best_is_inside: bool


def fin_curve(core, duty, air, fin_densities):
    """Return what a core with receiver does with fewer and with more fins, at equal duty.

    Parameters
    ----------
    core : CondenserSpec. The core; its own fin density is left aside.
    duty : CompressorDuty. What the circuit asks for.
    air : AirConditions. The air in front of the core; the fan then decides how much of it flows.
    fin_densities : tuple of float, [1/m]. Rising, 2 to 100 of them.

    Returns: FinCurve. One solution for each density, and the best of them. Raises OutOfRangeError if the densities do
        not rise or are too few or too many; NoSolutionError if one of the cores cannot do the duty.

    Notes: More fins give more surface and hold the air back. With a fan there is a best density; with a fixed air speed
        more is always better. The model knows neither dirt nor the price of fins.

    References: As in `condensing_pressure_for`.

    Examples
    --------
    >>> from thermo_kit.components.condenser import AirConditions, CompressorDuty
    >>> from thermo_kit.fleet import part_of
    >>> duty = CompressorDuty(refrigerant="R-1234yf", evaporating_temperature=278.15, cooling_capacity=4500.0)
    >>> core = part_of("parcel_van", "condenser")
    >>> fin_curve(core, duty, AirConditions(temperature=311.15), (400.0, 600.0, 800.0)).best_fin_density
    800.0
    """
    densities = tuple(fin_densities)
    with Checks() as checks:
        if not 2 <= len(densities) <= 100 or any(b <= a for a, b in itertools.pairwise(densities)):
            checks.add("fin densities", f"{len(densities)} given", "are not 2 to 100 rising numbers", "sort them first")
    heads = []
    for density in densities:
        near = heads[-1] if heads else None
        heads.append(condensing_pressure_for(with_fin_density(core, density), duty, air, near=near))
    best = min(range(len(heads)), key=lambda i: heads[i].compressor_power + heads[i].fan_power)
    return FinCurve(densities, tuple(heads), densities[best], 0 < best < len(heads) - 1)
