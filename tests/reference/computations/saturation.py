"""What the substances room says of a refrigerant, in the quantities that tables print."""

from thermo_kit.substances import Refrigerant


def of(refrigerant, name, **given):
    """A number or a function of a refrigerant, by name."""
    found = getattr(Refrigerant(refrigerant), name)
    return found(**given) if given else found


def state(refrigerant, name, **given):
    """A property at two others."""
    return getattr(Refrigerant(refrigerant).at(**given), name)


def vapour_volume(refrigerant, p):
    return 1.0 / Refrigerant(refrigerant).at(p=p, x=1.0).rho


def evaporation_enthalpy(refrigerant, **given):
    fluid = Refrigerant(refrigerant)
    return fluid.at(x=1.0, **given).h - fluid.at(x=0.0, **given).h


def clapeyron(refrigerant, T):
    """Heat of evaporation over T Δv dp/dT: 1 where the tables agree with each other."""
    fluid = Refrigerant(refrigerant)
    slope = (fluid.dew_pressure(T + 0.1) - fluid.dew_pressure(T - 0.1)) / 0.2
    widening = 1.0 / fluid.at(T=T, x=1.0).rho - 1.0 / fluid.at(T=T, x=0.0).rho
    return evaporation_enthalpy(refrigerant, T=T) / (T * widening * slope)


def evaporation_entropy(refrigerant, T):
    fluid = Refrigerant(refrigerant)
    return fluid.at(T=T, x=1.0).s - fluid.at(T=T, x=0.0).s


def saturation_property(refrigerant, T, name):
    return getattr(Refrigerant(refrigerant).saturation(T), name)


def transport_property(refrigerant, T, name, p):
    return getattr(Refrigerant(refrigerant).transport(p=p, T=T), name)


def viscosity_at_density(refrigerant, T, molar_density, molar_mass):
    fluid = Refrigerant(refrigerant)
    p = fluid.at(T=T, rho=molar_density * molar_mass).p
    return fluid.transport(p=p, T=T).viscosity


def pressure_at_density(refrigerant, T, molar_density, molar_mass):
    return Refrigerant(refrigerant).at(T=T, rho=molar_density * molar_mass).p


def enthalpy_above_saturated_vapour(refrigerant, p, T, saturation_at):
    fluid = Refrigerant(refrigerant)
    return fluid.at(p=p, T=T).h - fluid.at(T=saturation_at, x=1.0).h


def zero_point(refrigerant, name):
    """Enthalpy or entropy of saturated liquid at 0 °C, where the counting starts by convention."""
    return getattr(Refrigerant(refrigerant).at(T=273.15, x=0.0), name)
