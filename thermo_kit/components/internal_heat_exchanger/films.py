"""Heat transfer and friction in the gap between two tubes; the round tube's are those of the condenser."""

import math

from thermo_kit.laws.films import laminar_to_turbulent


def annulus_coefficient(*, mass_flux, inner, outer, viscosity, conductivity, specific_heat):
    """Return the film coefficient on the inner wall of a gap between two tubes; the outer wall passes no heat.

    Parameters
    ----------
    mass_flux : float, [kg/(m² s)]
        Mass flow per open area of the gap.
    inner : float, [m]
        Outer diameter of the inner tube.
    outer : float, [m]
        Bore of the outer tube.
    viscosity : float, [Pa s]
        Of the fluid.
    conductivity : float, [W/(m K)]
        Of the fluid.
    specific_heat : float, [J/(kg K)]
        Of the fluid.

    Returns
    -------
    float, [W/(m² K)]
        Film coefficient.

    Notes
    -----
    Laminar below Re 2300 (on the gap's hydraulic diameter), turbulent above 4000, a straight line between: no
    jump. Entry length is left out. The factor of the diameters and the laminar form were read in the source
    text of three independent public programs that name the papers, not in the papers.

    References
    ----------
    Gnielinski, Heat Transfer Engineering 30 (2009) 431-436, with the tube equation of Petukhov, Kirillov &
    Popov as carried by `ht`; laminar: Gnielinski in VDI Heat Atlas, section G2 (heat at the inner wall only).

    Examples
    --------
    >>> round(annulus_coefficient(mass_flux=20.0, inner=0.025, outer=0.045, viscosity=0.0325,
    ...                           conductivity=0.138, specific_heat=2131.0), 1)
    38.5
    """
    ratio, gap = inner / outer, outer - inner
    reynolds = mass_flux * gap / viscosity
    prandtl = viscosity * specific_heat / conductivity
    laminar = 3.66 + 1.2 * ratio**-0.8
    nusselt = laminar_to_turbulent(reynolds, laminar, lambda number: _turbulent(number, prandtl, ratio))
    return nusselt * conductivity / gap


def _turbulent(reynolds, prandtl, ratio):
    from ht.conv_internal import turbulent_Petukhov_Kirillov_Popov

    friction = (1.8 * math.log10(reynolds * shape_factor(ratio)) - 1.5) ** -2
    return 0.75 * ratio**-0.17 * turbulent_Petukhov_Kirillov_Popov(Re=reynolds, Pr=prandtl, fd=friction)


def shape_factor(ratio):
    """Return what turns the Reynolds number of a gap into that of a tube with the same laminar friction.

    ratio [-] → [-].

    References
    ----------
    Exact solution of laminar flow in a concentric gap (any fluid mechanics textbook); its use for turbulent
    flow: Jones & Leung, J. Fluids Eng. 103 (1981) 615-623.
    """
    log = math.log(ratio)
    return ((1.0 + ratio**2) * log + (1.0 - ratio**2)) / ((1.0 - ratio) ** 2 * log)


def annulus_friction(*, mass_flux, inner, outer, density, viscosity):
    """Return the friction of pure liquid or vapour per metre of a smooth gap between two tubes.

    Parameters
    ----------
    mass_flux : float, [kg/(m² s)]
        Mass flow per open area of the gap.
    inner : float, [m]
        Outer diameter of the inner tube.
    outer : float, [m]
        Bore of the outer tube.
    density : float, [kg/m³]
        Of the fluid.
    viscosity : float, [Pa s]
        Of the fluid.

    Returns
    -------
    float, [Pa/m]
        Pressure lost per metre.

    References
    ----------
    Jones & Leung, J. Fluids Eng. 103 (1981) 615-623, with the friction curve of Churchill (1977) as carried by
    `fluids`.
    """
    from fluids.friction import Churchill_1977

    gap = outer - inner
    reynolds = mass_flux * gap / viscosity * shape_factor(inner / outer)
    return Churchill_1977(reynolds, 0.0) / gap * mass_flux**2 / (2.0 * density)
