"""How much refrigerant goes through the gap between pin and seat."""

import math

from thermo_kit.errors import OutOfRangeError


def port_area(spec, lift):
    """Return the gap that the pin leaves open.

    Parameters
    ----------
    spec : ExpansionValveSpec. The valve.
    lift : float, [m]. Way of the pin from its seat, 0 to the full lift.

    Returns: float, [m²]. Area of the narrowest ring between cone and seat, at most the open port.

    References: Geometry: side of the cut cone that stands square to the pin's flank.

    Examples
    --------
    >>> from thermo_kit.fleet import part_of
    >>> valve = part_of("older_van", "expansion_valve")
    >>> round(port_area(valve, 0.0003) * 1e6, 2)
    1.02
    """
    sine = math.sin(spec.pin_angle)
    ring = math.pi * lift * sine * (spec.port_diameter - lift * sine * math.cos(spec.pin_angle))
    # Beyond this lift the ring would shrink again, and the port itself is the narrowest place.
    widest = spec.port_diameter / (2.0 * sine * math.cos(spec.pin_angle))
    whole = 0.25 * math.pi * spec.port_diameter**2
    return whole if lift >= widest else min(ring, whole)


def discharge_coefficient(*, inlet_density, outlet_volume):
    """Return the share of the loss-free flow that really passes.

    Parameters
    ----------
    inlet_density : float, [kg/m³]. Of the liquid that enters, 1 to 2000.
    outlet_volume : float, [m³/kg]. Of the mixture behind the valve, 0 to 1.

    Returns: float, [-]. Discharge coefficient, at most 1.

    Notes: Found for liquid of refrigerants near 900 to 1300 kg/m³; for the light R-290 it is a stretch. Scatter about
        10 % (common practice, no source). With vapour at the inlet it is taken at the density of the liquid.

    References: Wile, D.D., The measurement of expansion valve capacity, Refrigerating Engineering 30 (1935); its two
        coefficients in SI as later papers repeat them, from memory.

    Examples
    --------
    >>> round(discharge_coefficient(inlet_density=1120.0, outlet_volume=0.02), 3)
    0.684
    """
    return min(0.02005 * math.sqrt(inlet_density) + 0.634 * outlet_volume, 1.0)


def inlet_density(*, liquid_density, vapour_density, quality=0.0):
    """Return the density of what enters the valve.

    Parameters
    ----------
    liquid_density : float, [kg/m³]. Of the liquid.
    vapour_density : float, [kg/m³]. Of the vapour among it.
    quality : float, [-]. Vapour share by mass, 0 to 1.

    Returns: float, [kg/m³]. Density of the homogeneous mixture: a little flash gas takes a lot of room.

    References: Homogeneous two-phase mixture, any textbook. Tests of short tubes (Kim & O'Neal, Int. J. Refrigeration
        18 (1995) 447-455) found mist flow near to this; a valve may pass somewhat more, so this is the low side.

    Examples
    --------
    >>> round(inlet_density(liquid_density=1100.0, vapour_density=66.0, quality=0.1))
    429
    """
    if not 0.0 <= quality <= 1.0:
        raise OutOfRangeError.about(
            "vapour share at the inlet", f"{quality:g}", "is not between 0 and 1", "10 % is 0.1"
        )
    return 1.0 / (quality / vapour_density + (1.0 - quality) / liquid_density)


def orifice_flow(*, area, density, pressure_drop, coefficient):
    """Return the flow through one opening.

    Parameters
    ----------
    area : float, [m²]. Of the opening.
    density : float, [kg/m³]. Of what enters.
    pressure_drop : float, [Pa]. Across it; no flow where it is negative.
    coefficient : float, [-]. Discharge coefficient.

    Returns: float, [kg/s]. Mass flow.

    References: Single-orifice form, Bernoulli; for expansion valves Wile 1935.

    Examples
    --------
    >>> round(orifice_flow(area=1.5e-6, density=1120.0, pressure_drop=10e5, coefficient=0.68), 4)
    0.0483
    """
    return coefficient * area * math.sqrt(2.0 * density * max(pressure_drop, 0.0))


def in_series(first, second):
    """Return the one opening that passes as much as two, one behind the other, [m²]."""
    if first <= 0.0 or second <= 0.0:
        return 0.0
    return first * second / math.hypot(first, second)
