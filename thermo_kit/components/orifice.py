"""The fixed orifice, a short tube with liquid in front and an accumulator far behind it: it holds no superheat."""

import math

from thermo_kit.errors import OutOfRangeError, Problem
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.substances.names import canonical_name
from thermo_kit.substances.stream import Stream
from thermo_kit.units import Amount, Checks, Said, Spec, quantity

ORIFICE_REFRIGERANTS = tuple(name for name in REFRIGERANT_NAMES if name != "R-744")
"""R-744 works above its critical point on a warm day; the published form needs liquid."""
MOST_SUBCOOLING = 20.0
"""Beyond this subcooling the form is not asked; its data ended near 14 K (from memory) [K]."""
_NEARLY_CHOKED = 0.9
_RATIONAL = (0.38811, 11.427, -14.194, 1.0703, -0.091928, 21.425, -581.95)


class OrificeSpec(Spec):
    """A fixed orifice by the sizes of its short tube, sharp at its mouth.

    Notes
    -----
    Measured between bores of 1.09 and 1.94 mm and lengths of 9.5 and 25.4 mm (Payne & O'Neal 2004); beyond them the
    form is a stretch.
    """

    bore: float = quantity("length", 0.0008, 0.0025, "bore of the orifice")
    length: float = quantity("length", 0.008, 0.045, "length of the orifice")

    def fit(self, checks):
        if self.length < 4.0 * self.bore:
            told = Said("is less than four times the bore of {}", Amount(self.bore, "length"))
            checks.add("length of the orifice", Amount(self.length, "length"), told, "were the two swapped?")

    @property
    def area(self):
        """Cross-section [m²]."""
        return 0.25 * math.pi * self.bore**2


def orifice_flow(spec, inlet, outlet_pressure):
    """Return what a fixed orifice lets through.

    Parameters
    ----------
    spec : OrificeSpec
        The orifice.
    inlet : Stream
        In front of it: subcooled by up to 20 K, or liquid with vapour. Its mass flow is not asked.
    outlet_pressure : float, [Pa]
        Absolute, behind it, not above the pressure in front.

    Returns
    -------
    Stream
        Behind it: same enthalpy, outlet pressure, and the mass flow that passes.

    Raises
    ------
    OutOfRangeError
        If the refrigerant, the state in front or the pressure behind is outside the range.

    Notes
    -----
    The flow is choked, and no longer asks for the pressure behind, below the saturation pressure of the liquid that
    enters (measured: Kim & O'Neal 1995). Above that, or above 90 % of the pressure in front, it falls with the square
    root of the pressure difference, our own choice. With vapour at the inlet the flow of saturated liquid is scaled
    with the square root of the density of a homogeneous mixture, near to the mist that Kim & O'Neal saw. Scatter of the
    published forms against each other: about 10 %.

    References
    ----------
    Payne, W.V., O'Neal, D.L., A mass flowrate correlation for refrigerants and refrigerant mixtures flowing through
    short tubes, HVAC&R Research 10(1) (2004) 73-87, subcooled form; its coefficients from memory, found to give the
    kept evaluations of that form. Kim, Y., O'Neal, D.L., Int. J. Refrigeration 18 (1995) 447-455.

    Examples
    --------
    >>> from thermo_kit.substances.stream import stream_at
    >>> liquid = stream_at("R-134a", p=12.21e5, T=314.55)
    >>> round(orifice_flow(OrificeSpec(bore=0.00135, length=0.0127), liquid, 3.2e5).mass_flow * 3600, 1)
    98.4
    """
    fluid = _checked(inlet, outlet_pressure)
    liquid, vapour = (fluid.at(p=inlet.pressure, x=x) for x in (0.0, 1.0))
    quality = max((inlet.enthalpy - liquid.h) / (vapour.h - liquid.h), 0.0)
    entering = liquid.T if quality > 0.0 else inlet.state.T
    subcooling = max(liquid.T - entering, 0.0)
    if subcooling > MOST_SUBCOOLING + 1e-9 or quality > 0.5:
        raise OutOfRangeError(
            Problem(
                "liquid in front of the orifice", "is out of range", "",
                "give liquid with at most 20 K of subcooling, or with at most half of it vapour by mass",
            )
        )  # fmt: skip
    flashing = fluid.bubble_pressure(entering)
    flow = spec.area * _choked_flux(fluid, inlet.pressure, flashing, subcooling, liquid.rho, vapour.rho, spec)
    mixture = 1.0 / (quality / vapour.rho + (1.0 - quality) / liquid.rho)
    flow *= math.sqrt(mixture / liquid.rho)
    choked_below = min(flashing, _NEARLY_CHOKED * inlet.pressure)
    if outlet_pressure > choked_below:
        flow *= math.sqrt((inlet.pressure - outlet_pressure) / (inlet.pressure - choked_below))
    return Stream(refrigerant=fluid.name, pressure=outlet_pressure, enthalpy=inlet.enthalpy, mass_flow=flow)


def _choked_flux(fluid, pressure, flashing, subcooling, liquid_density, vapour_density, spec):
    """Return the mass flux of the published form [kg/(m² s)]."""
    a1, a2, a3, a4, a5, a6, a7 = _RATIONAL
    excess, colder = (pressure - flashing) / fluid.critical_pressure, subcooling / fluid.critical_temperature
    above = a1 + a2 * excess + a3 * colder + a4 * vapour_density / liquid_density
    above += a5 * math.log(spec.length / spec.bore)
    below = 1.0 + a6 * excess + a7 * colder**2
    return above / below * math.sqrt(liquid_density * fluid.critical_pressure)


def _checked(inlet, outlet_pressure):
    checks = Checks()
    checks.one_of("refrigerant", canonical_name(inlet.refrigerant), ORIFICE_REFRIGERANTS)
    checks.raise_if_any()
    fluid = Refrigerant(inlet.refrigerant)
    checks.within(
        "pressure in front of the orifice", inlet.pressure, fluid.bubble_pressure(283.15),
        0.95 * fluid.critical_pressure, kind="pressure",
    )  # fmt: skip
    checks.raise_if_any()
    checks.within(
        "pressure behind the orifice", outlet_pressure, fluid.lowest_pressure, inlet.pressure, kind="pressure"
    )  # fmt: skip
    checks.raise_if_any()
    return fluid
