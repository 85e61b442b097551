"""What the substances room says of a refrigerant, in the quantities that tables print."""

from functools import partial

from thermo_kit.substances import Refrigerant


def at(refrigerant, name, **given):
    """One property of the state at two others."""
    return getattr(Refrigerant(refrigerant).at(**given), name)


density = partial(at, name="rho")
liquid_density = partial(density, x=0.0)
vapour_density = partial(density, x=1.0)
zero_point = partial(at, T=273.15, x=0.0)
"""Enthalpy or entropy of saturated liquid at 0 °C, where the counting starts by convention."""


def saturation_pressure(refrigerant, T):
    return Refrigerant(refrigerant).dew_pressure(T)


def saturation_temperature(refrigerant, p):
    return Refrigerant(refrigerant).dew_temperature(p)


def vapour_volume(refrigerant, p):
    return 1.0 / vapour_density(refrigerant, p=p)


def evaporation_enthalpy(refrigerant, **given):
    return at(refrigerant, "h", x=1.0, **given) - at(refrigerant, "h", x=0.0, **given)


def clapeyron(refrigerant, T):
    """Heat of evaporation over T Δv dp/dT: 1 where the tables agree with each other."""
    fluid = Refrigerant(refrigerant)
    slope = (fluid.dew_pressure(T + 0.1) - fluid.dew_pressure(T - 0.1)) / 0.2
    widening = 1.0 / vapour_density(refrigerant, T=T) - 1.0 / liquid_density(refrigerant, T=T)
    return evaporation_enthalpy(refrigerant, T=T) / (T * widening * slope)


def evaporation_entropy(refrigerant, T):
    return at(refrigerant, "s", T=T, x=1.0) - at(refrigerant, "s", T=T, x=0.0)


def saturation_property(refrigerant, T, name):
    return getattr(Refrigerant(refrigerant).saturation(T), name)


def transport_property(refrigerant, T, name, p):
    return getattr(Refrigerant(refrigerant).transport(p=p, T=T), name)


def viscosity_at_density(refrigerant, T, molar_density, molar_mass):
    p = pressure_at_density(refrigerant, T, molar_density, molar_mass)
    return transport_property(refrigerant, T, "viscosity", p)


def pressure_at_density(refrigerant, T, molar_density, molar_mass):
    return at(refrigerant, "p", T=T, rho=molar_density * molar_mass)


def enthalpy_above_saturated_vapour(refrigerant, p, T, saturation_at):
    return at(refrigerant, "h", p=p, T=T) - at(refrigerant, "h", T=saturation_at, x=1.0)


def critical_temperature(refrigerant):
    return Refrigerant(refrigerant).critical_temperature


def critical_pressure(refrigerant):
    return Refrigerant(refrigerant).critical_pressure
