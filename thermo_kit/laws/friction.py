"""Friction per metre of smooth channel: pure liquid or vapour, and a boiling or condensing mixture."""

import math

# Where a correlation for mixtures is led over to that of pure liquid or vapour.
LIQUID_END, VAPOUR_END = 0.05, 0.95


def to_the_ends(quality, middle, liquid, vapour):
    """Return what a mixture's law gives, led over in a straight line to pure liquid and pure vapour at both ends.

    middle: function of quality; liquid, vapour: functions of nothing, asked only where needed.
    """
    if quality > VAPOUR_END:
        share, end = min((quality - VAPOUR_END) / (1.0 - VAPOUR_END), 1.0), vapour()
    elif quality < LIQUID_END:
        share, end = min((LIQUID_END - quality) / LIQUID_END, 1.0), liquid()
    else:
        return middle(quality)
    inside = middle(min(max(quality, LIQUID_END), VAPOUR_END))
    return inside + share * (end - inside)


def single_phase_friction(*, mass_flux, diameter, density, viscosity):
    """Return the friction of pure liquid or vapour.

    mass_flux [kg/(m² s)], diameter [m], density [kg/m³], viscosity [Pa s] → [Pa/m].

    References: Churchill, Chem. Eng. 84 (1977) 91-92, one smooth curve from laminar to turbulent, as carried by
        `fluids`.
    """
    from fluids.friction import Churchill_1977

    reynolds = mass_flux * diameter / viscosity
    return Churchill_1977(reynolds, 0.0) / diameter * mass_flux**2 / (2.0 * density)


def two_phase_friction(*, mass_flux, diameter, quality, saturation):
    """Return the friction of a mixture of liquid and vapour.

    mass_flux [kg/(m² s)], diameter [m], quality [-] → [Pa/m].

    Notes: The correlation jumps where its laminar rule gives way to the turbulent one, for the liquid and for the
        vapour; a straight line in logarithms from three quarters to four thirds of that flow takes each jump away.
        Other published correlations differ by tens of per cent.

    References: Friedel, European Two-Phase Flow Group Meeting, Ispra 1979, as carried by `fluids`.
    """
    s = saturation

    def pure(density, viscosity):
        return single_phase_friction(mass_flux=mass_flux, diameter=diameter, density=density, viscosity=viscosity)

    def middle(inside):
        def over_vapour(flux):
            return bridged(lambda f: friedel(f, diameter, inside, s), flux, *_turn(s.vapour_viscosity, diameter))

        return bridged(over_vapour, mass_flux, *_turn(s.liquid_viscosity, diameter))

    return to_the_ends(
        quality, middle, lambda: pure(s.liquid_density, s.liquid_viscosity),
        lambda: pure(s.vapour_density, s.vapour_viscosity),
    )  # fmt: skip


def _turn(viscosity, diameter):
    switch = 2040.0 * viscosity / diameter
    return 0.75 * switch, 4.0 / 3.0 * switch


def bridged(function, at, low, high):
    """Return function(at), but between low and high, where it jumps, a straight line in logarithms between both."""
    if not low < at < high:
        return function(at)
    share = math.log(at / low) / math.log(high / low)
    return function(low) ** (1.0 - share) * function(high) ** share


def friedel(mass_flux, diameter, quality, saturation):
    """Return Friedel's friction as published, with its jumps; [kg/(m² s)], [m], [-] → [Pa/m]."""
    from fluids.two_phase import Friedel

    s = saturation
    return Friedel(
        m=mass_flux * 0.25 * math.pi * diameter**2, x=quality, rhol=s.liquid_density, rhog=s.vapour_density,
        mul=s.liquid_viscosity, mug=s.vapour_viscosity, sigma=s.surface_tension, D=diameter, L=1.0,
    )  # fmt: skip
