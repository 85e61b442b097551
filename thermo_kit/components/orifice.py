"""The fixed orifice: a short tube that passes what pressure, subcooling and bore allow, whatever the load."""

import math

from thermo_kit.errors import NoSolutionError
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.refrigerant import saturation_table
from thermo_kit.units import Amount, Spec, quantity, within_ranges


class OrificeSpec(Spec):
    """A sharp-edged short tube in the liquid line.

    open_share: what dirt leaves of its bore, by area; bypass_share: what a torn seal lets past it, of its own flow.
    """

    diameter: float = quantity("length", 0.8e-3, 3e-3, "bore of the orifice")
    length: float = quantity("length", 5e-3, 60e-3, "length of the orifice")
    open_share: float = quantity("ratio", 0.02, 1.0, "open share of the orifice", 1.0, advice="80 % is 0.8")
    bypass_share: float = quantity("ratio", 0.0, 3.0, "flow past the seal", 0.0)


_LIQUID = (0.38811, 11.427, -14.194, 1.0703, -0.091928, 21.425, -581.95)
_LEAST_SHARE = 0.05


def short_tube_flow(spec, inlet, *, outlet_pressure):
    """Return the flow through a short tube.

    Parameters
    ----------
    spec : OrificeSpec. The tube.
    inlet : Stream. What comes.
    outlet_pressure : float, [Pa]. Absolute, behind it; it matters only where the flow is not choked.

    Returns: float, [kg/s]. Mass flow; 0 where no pressure drives it. Raises NoSolutionError above the critical point.

    Notes: Choked flow of subcooled liquid by the published form. With vapour at the inlet the flow is that of saturated
        liquid, times the root of the density ratio of mixture and liquid: tests found flow near to homogeneous (Kim &
        O'Neal, Int. J. Refrigeration 18 (1995) 447-455), and nothing jumps where the first bubble comes. Never more
        than a loss-free flow of the liquid from the one pressure to the other. Scatter of the form some 6 %. R-1234yf
        lies outside its data.

    References: Payne & O'Neal, A mass flow rate correlation for refrigerants and refrigerant mixtures flowing through
        short tubes, HVAC&R Research 10 (2004) 73-87; its coefficients read second hand, in the source text of a public
        program.

    Examples
    --------
    >>> tube = OrificeSpec(diameter=1.35e-3, length=12.7e-3)
    >>> from thermo_kit.substances import stream_at
    >>> liquid = stream_at("R-134a", p=1221e3, T=314.55)
    >>> 88 < short_tube_flow(tube, liquid, outlet_pressure=3.15e5) * 3600 < 98
    True
    """
    pressure, enthalpy = inlet.pressure, inlet.enthalpy
    within_ranges(
        ("pressure in front of the tube", pressure, 0.0, 3e7, "pressure"),
        ("enthalpy in front of the tube", enthalpy, -1e6, 2e6, "specific_enthalpy"),
        ("pressure behind the tube", outlet_pressure, 0.0, 3e7, "pressure"),
    )
    fluid, drive = Refrigerant(inlet.refrigerant), pressure - outlet_pressure
    if drive <= 0.0:
        return 0.0
    if pressure >= fluid.critical_pressure:
        told = "is above the critical point, where no bubble marks the flow"
        advice = "lower it: air in the circuit, or heat?"
        raise NoSolutionError.about("pressure in front of the tube", Amount(pressure, "pressure"), told, advice)
    here = saturation_table(fluid.name).at(pressure)
    quality = (enthalpy - here.liquid_enthalpy) / (here.vapour_enthalpy - here.liquid_enthalpy)
    thinned = 1.0
    if quality < 0.0:
        T = fluid.at(p=pressure, h=enthalpy).T
        flashing = saturation_table(fluid.name).at(fluid.bubble_pressure(T))
    else:
        T, flashing, x = here.T, here, min(quality, 1.0)
        thinned = math.sqrt(1.0 / (x * here.liquid_density / here.vapour_density + 1.0 - x))
    a1, a2, a3, a4, a5, a6, a7 = _LIQUID
    over = max(pressure - flashing.p, 0.0) / fluid.critical_pressure
    colder = max(here.T - T, 0.0) / fluid.critical_temperature
    ratio = flashing.vapour_density / flashing.liquid_density
    bore = spec.diameter * math.sqrt(spec.open_share)
    share = (a1 + a2 * over + a3 * colder + a4 * ratio + a5 * math.log(spec.length / bore)) / (
        1.0 + a6 * over + a7 * colder**2
    )
    area = 0.25 * math.pi * bore**2
    choked = max(share, _LEAST_SHARE) * area * math.sqrt(flashing.liquid_density * fluid.critical_pressure)
    loss_free = area * math.sqrt(2.0 * flashing.liquid_density * drive)
    return min(choked, loss_free) * thinned * (1.0 + spec.bypass_share)
