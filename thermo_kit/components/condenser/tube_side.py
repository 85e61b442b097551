"""The refrigerant inside the channels: film coefficients, friction, and the vapour's share of the room."""

import math

# Where a correlation for boiling or condensing mixtures is led over to that of pure liquid or vapour.
LIQUID_END = 0.05
VAPOUR_END = 0.95
LAMINAR_NUSSELT = 3.66
LAMINAR_LIMIT, TURBULENT_LIMIT = 2300.0, 4000.0


def single_phase_coefficient(*, mass_flux, diameter, viscosity, conductivity, specific_heat):
    """Return the film coefficient of pure liquid or pure vapour in a channel.

    mass_flux [kg/(m² s)], diameter [m], viscosity [Pa s], conductivity [W/(m K)], specific_heat [J/(kg K)] → [W/(m²
    K)].

    Notes
    -----
    Laminar (Nu 3.66) below Re 2300, turbulent above 4000, a straight line between: no jump. Entry length is left out.

    References
    ----------
    Gnielinski, Int. J. Heat Mass Transfer 63 (2013) 134-140; his 1976 equation as carried by `ht`.

    Examples
    --------
    >>> h = single_phase_coefficient(
    ...     mass_flux=300.0, diameter=1e-3, viscosity=1.3e-5, conductivity=0.018, specific_heat=1200.0)
    >>> 1000 < h < 2500
    True
    """
    reynolds = mass_flux * diameter / viscosity
    prandtl = viscosity * specific_heat / conductivity
    if reynolds <= LAMINAR_LIMIT:
        nusselt = LAMINAR_NUSSELT
    elif reynolds >= TURBULENT_LIMIT:
        nusselt = _gnielinski(reynolds, prandtl)
    else:
        share = (reynolds - LAMINAR_LIMIT) / (TURBULENT_LIMIT - LAMINAR_LIMIT)
        nusselt = (1.0 - share) * LAMINAR_NUSSELT + share * _gnielinski(TURBULENT_LIMIT, prandtl)
    return nusselt * conductivity / diameter


def _gnielinski(reynolds, prandtl):
    from ht.conv_internal import turbulent_Gnielinski

    return turbulent_Gnielinski(Re=reynolds, Pr=prandtl, fd=(1.8 * math.log10(reynolds) - 1.5) ** -2)


def condensing_coefficient(form, *, mass_flux, diameter, quality, saturation, critical_pressure, liquid, vapour):
    """Return the film coefficient of a condensing mixture in a channel.

    mass_flux [kg/(m² s)], diameter [m], quality [-], critical_pressure [Pa], liquid [W/(m² K)], vapour [W/(m² K)] →
    [W/(m² K)].

    Notes
    -----
    Both correlations come from round tubes of 7 to 40 mm; narrow channels are outside their data. In a core
    the air side holds back most of the heat, so an error of 30 % here moves the duty by a few per cent.

    References
    ----------
    Shah, Int. J. Heat Mass Transfer 22 (1979) 547-556; Cavallini & Zecchin, 5th Int. Heat Transfer Conf.
    1974; both as carried by `ht`.
    """
    q = min(max(quality, LIQUID_END), VAPOUR_END)
    middle = _condensing(form, mass_flux, diameter, q, saturation, critical_pressure)
    if quality > VAPOUR_END:
        share = min((quality - VAPOUR_END) / (1.0 - VAPOUR_END), 1.0)
        return middle + share * (vapour - middle)
    if quality < LIQUID_END:
        share = min((LIQUID_END - quality) / LIQUID_END, 1.0)
        return middle + share * (liquid - middle)
    return middle


def _condensing(form, mass_flux, diameter, quality, s, critical_pressure):
    from ht.condensation import Cavallini_Smith_Zecchin, Shah

    flow = mass_flux * 0.25 * math.pi * diameter**2
    if form == "Shah":
        return Shah(
            m=flow, x=quality, D=diameter, rhol=s.liquid_density, mul=s.liquid_viscosity, kl=s.liquid_conductivity,
            Cpl=s.liquid_specific_heat, P=s.p, Pc=critical_pressure,
        )  # fmt: skip
    return Cavallini_Smith_Zecchin(
        m=flow, x=quality, D=diameter, rhol=s.liquid_density, rhog=s.vapour_density, mul=s.liquid_viscosity,
        mug=s.vapour_viscosity, kl=s.liquid_conductivity, Cpl=s.liquid_specific_heat,
    )  # fmt: skip


def single_phase_friction(*, mass_flux, diameter, density, viscosity):
    """Return the friction of pure liquid or vapour per metre of smooth channel.

    mass_flux [kg/(m² s)], diameter [m], density [kg/m³], viscosity [Pa s] → [Pa/m].

    References
    ----------
    Churchill, Chem. Eng. 84 (1977) 91-92, one smooth curve from laminar to turbulent, as carried by `fluids`.
    """
    from fluids.friction import Churchill_1977

    reynolds = mass_flux * diameter / viscosity
    return Churchill_1977(reynolds, 0.0) / diameter * mass_flux**2 / (2.0 * density)


def condensing_friction(form, *, mass_flux, diameter, quality, saturation):
    """Return the friction of a condensing mixture per metre of channel.

    mass_flux [kg/(m² s)], diameter [m], quality [-] → [Pa/m].

    Notes
    -----
    Both correlations jump where a laminar rule gives way to a turbulent one; a straight line in logarithms from
    three quarters to four thirds of that flow takes the jump away. At both ends of condensing they are led over
    to single-phase friction. Kim & Mudawar is the one made from narrow channels; correlations differ by tens of
    per cent.

    References
    ----------
    Friedel, European Two-Phase Flow Group Meeting, Ispra 1979; Kim & Mudawar, Int. J. Heat Mass Transfer 55
    (2012) 3246-3261; both as carried by `fluids`.
    """
    s = saturation
    q = min(max(quality, LIQUID_END), VAPOUR_END)
    middle = _bridged_friction(form, mass_flux, diameter, q, s)
    if quality > VAPOUR_END:
        share = min((quality - VAPOUR_END) / (1.0 - VAPOUR_END), 1.0)
        end = single_phase_friction(
            mass_flux=mass_flux, diameter=diameter, density=s.vapour_density, viscosity=s.vapour_viscosity
        )
        return middle + share * (end - middle)
    if quality < LIQUID_END:
        share = min((LIQUID_END - quality) / LIQUID_END, 1.0)
        end = single_phase_friction(
            mass_flux=mass_flux, diameter=diameter, density=s.liquid_density, viscosity=s.liquid_viscosity
        )
        return middle + share * (end - middle)
    return middle


def _bridged_friction(form, mass_flux, diameter, quality, s):
    if form == "Friedel":
        switches = (2040.0 * s.liquid_viscosity / diameter, 2040.0 * s.vapour_viscosity / diameter)
    else:
        switches = (
            2000.0 * s.liquid_viscosity / (diameter * (1.0 - quality)),
            2000.0 * s.vapour_viscosity / (diameter * quality),
        )

    def plain(flux):
        return _friction(form, flux, diameter, quality, s)

    def over_second(flux):
        return _bridge(plain, flux, switches[1])

    return _bridge(over_second, mass_flux, switches[0])


def _bridge(function, flux, switch):
    low, high = 0.75 * switch, 4.0 / 3.0 * switch
    if not low < flux < high:
        return function(flux)
    share = math.log(flux / low) / math.log(high / low)
    return function(low) ** (1.0 - share) * function(high) ** share


def _friction(form, mass_flux, diameter, quality, s):
    from fluids.two_phase import Friedel, Kim_Mudawar

    function = Friedel if form == "Friedel" else Kim_Mudawar
    return function(
        m=mass_flux * 0.25 * math.pi * diameter**2, x=quality, rhol=s.liquid_density, rhog=s.vapour_density,
        mul=s.liquid_viscosity, mug=s.vapour_viscosity, sigma=s.surface_tension, D=diameter, L=1.0,
    )  # fmt: skip


def void_fraction(form, *, mass_flux, diameter, quality, saturation):
    """Return the share of the channel's room that vapour fills; the rest is liquid.

    mass_flux [kg/(m² s)], diameter [m], quality [-] → [-].

    References
    ----------
    Zivi, J. Heat Transfer 86 (1964) 247-252; Rouhani & Axelsson, Int. J. Heat Mass Transfer 13 (1970)
    383-393; both as carried by `fluids`.
    """
    from fluids.two_phase_voidage import Rouhani_1, Zivi

    s = saturation
    if quality <= 0.0:
        return 0.0
    if quality >= 1.0:
        return 1.0
    if form == "Zivi":
        return Zivi(quality, s.liquid_density, s.vapour_density)
    flow = mass_flux * 0.25 * math.pi * diameter**2
    return Rouhani_1(quality, s.liquid_density, s.vapour_density, s.surface_tension, flow, diameter)
