"""Dry air as the fin correlations want it."""

import functools
from dataclasses import dataclass

from thermo_kit.units import STANDARD_ATMOSPHERE, Checks

AIR_GAS_CONSTANT = 287.055
AIR_SPECIFIC_HEAT = 1007.0


@dataclass(frozen=True, slots=True)
class DryAir:
    """Dry air at one point: density [kg/m³]; viscosity [Pa s]; prandtl."""

    density: float
    viscosity: float
    prandtl: float


@functools.lru_cache(maxsize=256)
def dry_air(*, T, p=STANDARD_ATMOSPHERE):
    """Return what the fin correlations ask of the air; its moisture is left out; T [K], p [Pa].

    References: U.S. Standard Atmosphere 1976 (viscosity and conductivity, as carried by `fluids`); ideal gas.

    Examples
    --------
    >>> round(dry_air(T=300.0, p=101325.0).density, 3)
    1.177
    """
    from fluids.atmosphere import ATMOSPHERE_1976

    with Checks() as checks:
        checks.within("air temperature", T, 223.15, 423.15, kind="temperature")
        checks.within("air pressure", p, 4e4, 1.2e5, kind="pressure")
    viscosity = ATMOSPHERE_1976.viscosity(T)
    prandtl = viscosity * AIR_SPECIFIC_HEAT / ATMOSPHERE_1976.thermal_conductivity(T)
    return DryAir(p / (AIR_GAS_CONSTANT * T), viscosity, prandtl)
