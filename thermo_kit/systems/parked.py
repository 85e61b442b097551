"""What a gauge on a parked vehicle tells, and what it cannot tell."""

import math
from dataclasses import dataclass

from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant, canonical_name
from thermo_kit.units import Amount, Said, Spec, one_of, quantity

SATURATED, ALL_VAPOUR, ABOVE, NO_LIQUID = "saturated", "all vapour", "above saturation", "too warm for liquid"
_WARMED_BY = 10.0


class ParkedSpec(Spec):
    """A system that has stood still until all its parts have one temperature; pressure is absolute."""

    refrigerant: str = one_of(REFRIGERANT_NAMES, "refrigerant", known=canonical_name)
    pressure: float = quantity("pressure", 1e4, 15e6, "pressure in the system")
    temperature: float = quantity("temperature", 233.15, 368.15, "temperature of the system")
    volume: float = quantity("volume", 1e-4, 0.05, "inside volume")
    pressure_accuracy: float = quantity("pressure_difference", 0.0, 5e5, "accuracy of the gauge", 10e3)
    temperature_accuracy: float = quantity("temperature_difference", 0.0, 10.0, "accuracy of the thermometer", 1.0)


@dataclass(frozen=True, kw_only=True)
class ParkedResult:
    """What follows from one pressure and one temperature.

    spec: what was asked; verdict: "saturated", "all vapour", "above saturation" or "too warm for liquid";
    saturation_pressure [Pa]: at the temperature, None above the critical one; excess [Pa]: reading minus saturation;
    tolerance [Pa]: how far reading and saturation may lie apart by gauge and thermometer alone;
    least_charge, most_charge [kg]: every charge between them gives this reading, if no air is inside;
    excess_share: part of the pressure that refrigerant alone does not explain, 0 where it explains all;
    notes: what to keep in mind
    """

    spec: ParkedSpec
    verdict: str
    saturation_pressure: float | None
    excess: float | None
    tolerance: float
    least_charge: float
    most_charge: float
    excess_share: float
    notes: tuple


def judge_parked(spec):
    """Tell from a parked system's pressure and temperature what is inside, as far as it can be told.

    Parameters
    ----------
    spec : ParkedSpec. Refrigerant, pressure [Pa], temperature [K], volume [m³], accuracies.

    Returns: ParkedResult. Verdict, saturation pressure [Pa], and the range of charges [kg] that give this reading.
        Raises OutOfRangeError if the refrigerant has no state there.

    Notes: Gauge and thermometer errors are taken as independent. Above saturation the gap is read as the partial
        pressure of air in the vapour space (ideal mixture, no air dissolved in liquid or oil). At saturation, vapour
        alone with air may give the same pressure: a note tells how a second reading, warmer, tells them apart. Oil in
        the circuit dissolves refrigerant and lowers the pressure a little: left out.

    References: Saturation of a pure substance and Dalton's law of partial pressures: any textbook of thermodynamics,
        for example Moran, Shapiro, Boettner & Bailey, Fundamentals of Engineering Thermodynamics, chapters 3 and 12
        (chapter numbers from memory). Propagation of independent errors: JCGM 100:2008, section 5.1.2.

    Examples
    --------
    >>> parked = judge_parked(ParkedSpec(refrigerant="R-134a", pressure=665e3, temperature=298.15, volume=0.003))
    >>> parked.verdict, round(parked.least_charge, 3), round(parked.most_charge, 1)
    ('saturated', 0.097, 3.6)
    """
    fluid, T = Refrigerant(spec.refrigerant), spec.temperature
    if fluid.critical_temperature - 0.01 <= T:
        mass = _density(fluid, spec) * spec.volume
        return _result(spec, NO_LIQUID, None, None, spec.pressure_accuracy, (mass, mass), 0.0, _NO_LIQUID)
    saturation = fluid.dew_pressure(T)
    upper = min(T + 0.05, fluid.critical_temperature - 0.002)
    slope = (fluid.dew_pressure(upper) - fluid.dew_pressure(upper - 0.1)) / 0.1
    tolerance = math.hypot(spec.pressure_accuracy, slope * spec.temperature_accuracy)
    excess = spec.pressure - saturation
    charges = tuple(fluid.at(T=T, x=x).rho * spec.volume for x in (1.0, 0.0))
    if excess < -tolerance:
        mass = _density(fluid, spec) * spec.volume
        return _result(spec, ALL_VAPOUR, saturation, excess, tolerance, (mass, mass), 0.0, (_WAIT, *_LITTLE_LEFT))
    if excess > tolerance:
        share = excess / spec.pressure
        return _result(spec, ABOVE, saturation, excess, tolerance, charges, share, (_WAIT, *_TOO_HIGH))
    notes = (_WAIT, *_MASKED_BY_AIR, *_read_again(fluid, spec))
    return _result(spec, SATURATED, saturation, excess, tolerance, charges, 0.0, notes)


def _result(spec, verdict, saturation, excess, tolerance, charges, share, notes):
    return ParkedResult(
        spec=spec, verdict=verdict, saturation_pressure=saturation, excess=excess, tolerance=tolerance,
        least_charge=charges[0], most_charge=charges[1], excess_share=share, notes=notes,
    )  # fmt: skip


def _density(fluid, spec):
    """Density [kg/m³] of the gas; below the fluid's table of pressures it is found from temperature and density."""
    if spec.pressure >= fluid.lowest_pressure:
        return fluid.at(p=spec.pressure, T=spec.temperature).rho
    from scipy.optimize import brentq

    reference = fluid.at(p=fluid.lowest_pressure, T=spec.temperature)
    nearly = reference.rho * spec.pressure / reference.p
    return brentq(lambda rho: fluid.at(T=spec.temperature, rho=rho).p - spec.pressure, 0.5 * nearly, 1.5 * nearly)


def _read_again(fluid, spec):
    """Say how a warmer reading tells boiling liquid from a gas alone (ideal, of constant volume)."""
    warmer = spec.temperature + _WARMED_BY
    if warmer >= fluid.critical_temperature - 0.01:
        return
    yield Said(
        "To tell them apart, let all parts warm up by {} and read again: with liquid inside the pressure climbs to "
        "about {}, without liquid only to about {}.",
        Amount(_WARMED_BY, "temperature_difference", 0),
        Amount(fluid.dew_pressure(warmer), "gauge_pressure", 1),
        Amount(spec.pressure * warmer / spec.temperature, "gauge_pressure", 1),
    )


_WAIT = (
    "Holds once all parts have one temperature. "
    "Where they differ, the coldest place that holds liquid sets the pressure."
)
_MASKED_BY_AIR = (
    "The pressure cannot tell how much liquid there is. Only weighing the charge can.",
    "Little refrigerant with air beside it can show this pressure without a drop of liquid.",
)
_LITTLE_LEFT = (
    "If the label names more than this, find the leak before you charge. Wear goggles and gloves, and follow "
    "the vehicle maker's procedure.",
)
_TOO_HIGH = (
    "First measure again: a clamp on a cold spot, or a vehicle that has not stood long enough, looks the same.",
    "Other causes: air or another gas, a wrong refrigerant, or a circuit filled up with liquid.",
)
_NO_LIQUID = (
    "Above its critical temperature this refrigerant cannot be liquid: here pressure and temperature do tell "
    "the charge, if you know the volume.",
    "Holds for a pure charge at one temperature; this pressure is high even at rest.",
)
