"""The same core with few and with many fins: what each does to air, head pressure and power."""

import itertools
from dataclasses import dataclass

from thermo_kit.components.condenser.cores import with_fin_density
from thermo_kit.components.condenser.head_pressure import HeadPressureResult, condensing_pressure_for
from thermo_kit.units.checks import Checks


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


def fin_curve(core, duty, air, fin_densities, *, subcooling=None):
    """Return what a core does with fewer and with more fins, at equal duty.

    Parameters
    ----------
    core : CondenserSpec
        The core; its own fin density is left aside.
    duty : CompressorDuty
        What the circuit asks for.
    air : AirConditions
        The air in front of the core; the fan then decides how much of it flows.
    fin_densities : tuple of float, [1/m]
        Rising, 2 to 100 of them.
    subcooling : float or None, [K]
        As in `condensing_pressure_for`.

    Returns
    -------
    FinCurve
        One solution for each density, and the best of them.

    Raises
    ------
    OutOfRangeError
        If the densities do not rise or are too few or too many.
    NoSolutionError
        If one of the cores cannot do the duty.

    Notes
    -----
    More fins give more surface and hold the air back. With a fan there is a best density; with a fixed air speed
    more is always better. The model knows neither dirt nor the price of fins.

    References
    ----------
    As in `condensing_pressure_for`.

    Examples
    --------
    >>> from thermo_kit.components.condenser import AirConditions, CompressorDuty, van_core
    >>> duty = CompressorDuty(refrigerant="R-1234yf", evaporating_temperature=278.15, cooling_capacity=4500.0)
    >>> curve = fin_curve(van_core(), duty, AirConditions(temperature=311.15), (400.0, 600.0, 800.0))
    >>> curve.best_fin_density
    800.0
    """
    densities = tuple(fin_densities)
    checks = Checks()
    if not 2 <= len(densities) <= 100 or any(b <= a for a, b in itertools.pairwise(densities)):
        checks.add("fin densities", f"{len(densities)} given", "are not 2 to 100 rising numbers", "sort them first")
    checks.raise_if_any()
    heads, near = [], None
    for density in densities:
        near = condensing_pressure_for(with_fin_density(core, density), duty, air, subcooling=subcooling, near=near)
        heads.append(near)
    best = min(range(len(heads)), key=lambda i: heads[i].compressor_power + heads[i].fan_power)
    return FinCurve(densities, tuple(heads), densities[best], 0 < best < len(heads) - 1)
