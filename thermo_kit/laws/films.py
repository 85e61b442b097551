"""Film coefficients inside channels: pure liquid or vapour, and a condensing mixture."""

import math

from thermo_kit.laws.friction import to_the_ends

LAMINAR_NUSSELT = 3.66
LAMINAR_LIMIT, TURBULENT_LIMIT = 2300.0, 4000.0


def laminar_to_turbulent(reynolds, laminar, turbulent):
    """Return the Nusselt number: laminar below Re 2300, turbulent above 4000, a straight line between, so no jump.

    laminar: a number; turbulent: a function of the Reynolds number.

    References: Gnielinski, Int. J. Heat Mass Transfer 63 (2013) 134-140.
    """
    if reynolds <= LAMINAR_LIMIT:
        return laminar
    if reynolds >= TURBULENT_LIMIT:
        return turbulent(reynolds)
    share = (reynolds - LAMINAR_LIMIT) / (TURBULENT_LIMIT - LAMINAR_LIMIT)
    return (1.0 - share) * laminar + share * turbulent(TURBULENT_LIMIT)


def single_phase_coefficient(*, mass_flux, diameter, viscosity, conductivity, specific_heat):
    """Return the film coefficient of pure liquid or pure vapour in a channel; entry length is left out.

    mass_flux [kg/(m² s)], diameter [m], viscosity [Pa s], conductivity [W/(m K)], specific_heat [J/(kg K)] →
    [W/(m² K)].

    References: Gnielinski, Int. Chem. Eng. 16 (1976) 359-368, as carried by `ht`; laminar: Nu 3.66 (textbook limit).

    Examples
    --------
    >>> h = single_phase_coefficient(
    ...     mass_flux=300.0, diameter=1e-3, viscosity=1.3e-5, conductivity=0.018, specific_heat=1200.0)
    >>> 1000 < h < 2500
    True
    """
    prandtl = viscosity * specific_heat / conductivity
    nusselt = laminar_to_turbulent(
        mass_flux * diameter / viscosity, LAMINAR_NUSSELT, lambda reynolds: _gnielinski(reynolds, prandtl)
    )
    return nusselt * conductivity / diameter


def _gnielinski(reynolds, prandtl):
    from ht.conv_internal import turbulent_Gnielinski

    return turbulent_Gnielinski(Re=reynolds, Pr=prandtl, fd=(1.8 * math.log10(reynolds) - 1.5) ** -2)


def condensing_coefficient(*, mass_flux, diameter, quality, saturation, critical_pressure, liquid, vapour):
    """Return the film coefficient of a condensing mixture in a channel.

    mass_flux [kg/(m² s)], diameter [m], quality [-], critical_pressure [Pa], liquid and vapour: films of the pure
    ends [W/(m² K)] → [W/(m² K)].

    Notes: From round tubes of 7 to 40 mm; narrow channels are outside its data. In a core the air side holds back most
        of the heat, so an error of 30 % here moves the duty by a few per cent.

    References: Shah, Int. J. Heat Mass Transfer 22 (1979) 547-556, as carried by `ht`.
    """
    from ht.condensation import Shah

    s = saturation

    def middle(inside):
        return Shah(
            m=mass_flux * 0.25 * math.pi * diameter**2, x=inside, D=diameter, rhol=s.liquid_density,
            mul=s.liquid_viscosity, kl=s.liquid_conductivity, Cpl=s.liquid_specific_heat, P=s.p, Pc=critical_pressure,
        )  # fmt: skip

    return to_the_ends(quality, middle, lambda: liquid, lambda: vapour)
