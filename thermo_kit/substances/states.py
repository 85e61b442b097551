"""Frozen results of the substances room: what a fluid is at a point."""

from dataclasses import dataclass
from typing import NamedTuple


class StatePoint(NamedTuple):
    """A refrigerant at one point.

    p: pressure, absolute [Pa]; T: temperature [K]; h: specific enthalpy [J/kg];
    s: specific entropy [J/(kg K)]; rho: density [kg/m³]; x: quality [0 to 1], None outside the two-phase dome;
    phase: "liquid", "two-phase", "vapour" or "supercritical"
    """

    p: float
    T: float
    h: float
    s: float
    rho: float
    x: float | None
    phase: str


class Saturation(NamedTuple):
    """Saturated liquid and vapour at one temperature, with what heat-transfer correlations ask for.

    T [K]; p [Pa]; liquid_density, vapour_density [kg/m³]; liquid_enthalpy, vapour_enthalpy [J/kg];
    liquid_specific_heat, vapour_specific_heat [J/(kg K)]; liquid_viscosity, vapour_viscosity [Pa s];
    liquid_conductivity, vapour_conductivity [W/(m K)]; surface_tension [N/m]
    """

    T: float
    p: float
    liquid_density: float
    vapour_density: float
    liquid_enthalpy: float
    vapour_enthalpy: float
    liquid_specific_heat: float
    vapour_specific_heat: float
    liquid_viscosity: float
    vapour_viscosity: float
    liquid_conductivity: float
    vapour_conductivity: float
    surface_tension: float


@dataclass(frozen=True, slots=True)
class Transport:
    """Transport properties of liquid or vapour: specific_heat [J/(kg K)], viscosity [Pa s], conductivity [W/(m K)]."""

    specific_heat: float
    viscosity: float
    conductivity: float
