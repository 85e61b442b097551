"""What a gauge on a parked vehicle tells, and what it cannot tell."""

import math
from dataclasses import dataclass

from thermo_kit.substances import Refrigerant, canonical_name
from thermo_kit.units.checks import Checks

SATURATED, ALL_VAPOUR, ABOVE, NO_LIQUID = "saturated", "all vapour", "above saturation", "too warm for liquid"


@dataclass(frozen=True, kw_only=True)
class ParkedSpec:
    """A system that has stood still until all its parts have one temperature.

    Parameters
    ----------
    refrigerant : str
        One of `thermo_kit.substances.REFRIGERANT_NAMES`.
    pressure : float, [Pa]
        Absolute pressure in the system, 10 kPa to 15 MPa.
    temperature : float, [K]
        Temperature of the system, 233.15 to 368.15.
    volume : float, [m³]
        Inside volume of the whole circuit, 0.0001 to 0.05.
    pressure_accuracy : float, [Pa]
        The gauge may be off by this much, 0 to 500 kPa.
    temperature_accuracy : float, [K]
        The thermometer may be off by this much, 0 to 10.
    """

    refrigerant: str
    pressure: float
    temperature: float
    volume: float
    pressure_accuracy: float = 10e3
    temperature_accuracy: float = 1.0


@dataclass(frozen=True, kw_only=True)
class ParkedResult:
    """What follows from one pressure and one temperature.

    spec: what was asked; verdict: "saturated", "all vapour", "above saturation" or "too warm for liquid";
    saturation_pressure [Pa]: at the temperature, None above the critical one; excess [Pa]: reading minus saturation;
    tolerance [Pa]: how far reading and saturation may lie apart by gauge and thermometer alone;
    least_charge, most_charge [kg]: every charge between them gives this reading;
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
    notes: tuple[str, ...]


def judge_parked(spec):
    """Tell from a parked system's pressure and temperature what is inside, as far as it can be told.

    Parameters
    ----------
    spec : ParkedSpec
        Refrigerant, pressure [Pa], temperature [K], volume [m³], accuracies.

    Returns
    -------
    ParkedResult
        Verdict, saturation pressure [Pa], and the range of charges [kg] that give this reading.

    Raises
    ------
    OutOfRangeError
        If a number is outside its range.
    UnknownNameError
        If the refrigerant is not in the workbook.

    Notes
    -----
    Gauge and thermometer errors are taken as independent. Above saturation the gap is read as the partial
    pressure of air in the vapour space (ideal mixture, no air dissolved in liquid or oil). Oil in the circuit
    dissolves refrigerant and lowers the pressure a little: left out.

    References
    ----------
    Saturation of a pure substance and Dalton's law of partial pressures: any textbook of thermodynamics, for
    example Moran, Shapiro, Boettner & Bailey, Fundamentals of Engineering Thermodynamics, chapters 3 and 12
    (chapter numbers from memory). Propagation of independent errors: JCGM 100:2008, section 5.1.2.

    Examples
    --------
    >>> parked = judge_parked(ParkedSpec(refrigerant="R-134a", pressure=665e3, temperature=298.15, volume=0.003))
    >>> parked.verdict, round(parked.least_charge, 3), round(parked.most_charge, 1)
    ('saturated', 0.097, 3.6)
    """
    _check(spec)
    fluid = Refrigerant(canonical_name(spec.refrigerant))
    if spec.temperature >= fluid.critical_temperature - 0.01:
        return _without_liquid(spec, fluid)
    saturation = fluid.dew_pressure(spec.temperature)
    tolerance = math.hypot(spec.pressure_accuracy, _slope(fluid, spec.temperature) * spec.temperature_accuracy)
    excess = spec.pressure - saturation
    most = fluid.at(T=spec.temperature, x=0.0).rho * spec.volume
    least = fluid.at(T=spec.temperature, x=1.0).rho * spec.volume
    share, verdict = 0.0, SATURATED
    if excess < -tolerance:
        verdict = ALL_VAPOUR
        least = most = _density(fluid, spec) * spec.volume
    elif excess > tolerance:
        verdict, share = ABOVE, excess / spec.pressure
    return ParkedResult(
        spec=spec, verdict=verdict, saturation_pressure=saturation, excess=excess, tolerance=tolerance,
        least_charge=least, most_charge=most, excess_share=share, notes=_NOTES[verdict],
    )  # fmt: skip


def _check(spec):
    checks = Checks()
    checks.within("pressure in the system", spec.pressure, 1e4, 15e6, kind="pressure")
    checks.within("temperature of the system", spec.temperature, 233.15, 368.15, kind="temperature")
    checks.within("inside volume", spec.volume, 1e-4, 0.05, kind="volume")
    checks.within("accuracy of the gauge", spec.pressure_accuracy, 0.0, 5e5, kind="pressure_difference")
    checks.within("accuracy of the thermometer", spec.temperature_accuracy, 0.0, 10.0, kind="temperature_difference")
    checks.raise_if_any()


def _slope(fluid, T):
    """Slope of the boiling line [Pa/K], from two points 0.1 K apart that stay below the critical one."""
    upper = min(T + 0.05, fluid.critical_temperature - 0.002)
    return (fluid.dew_pressure(upper) - fluid.dew_pressure(upper - 0.1)) / 0.1


def _density(fluid, spec):
    """Density [kg/m³] of the gas; below the fluid's table of pressures it is found from temperature and density."""
    if spec.pressure >= fluid.lowest_pressure:
        return fluid.at(p=spec.pressure, T=spec.temperature).rho
    reference = fluid.at(p=fluid.lowest_pressure, T=spec.temperature)
    density = reference.rho * spec.pressure / reference.p
    for _ in range(6):  # so thin a gas is nearly ideal: each step gains two digits or more
        density *= spec.pressure / fluid.at(T=spec.temperature, rho=density).p
    return density


def _without_liquid(spec, fluid):
    mass = _density(fluid, spec) * spec.volume
    return ParkedResult(
        spec=spec, verdict=NO_LIQUID, saturation_pressure=None, excess=None, tolerance=spec.pressure_accuracy,
        least_charge=mass, most_charge=mass, excess_share=0.0, notes=_NOTES[NO_LIQUID],
    )  # fmt: skip


_WAIT = (
    "Holds once all parts have one temperature. "
    "Where they differ, the coldest place that holds liquid sets the pressure."
)
_NOTES = {
    SATURATED: (
        _WAIT,
        "The pressure cannot tell how much liquid there is. Only weighing the charge can.",
    ),
    ALL_VAPOUR: (
        _WAIT,
        "If the label names more than this, find the leak before you charge. Wear goggles and gloves, and follow "
        "the vehicle maker's procedure.",
    ),
    ABOVE: (
        _WAIT,
        "First measure again: a clamp on a cold spot, or a vehicle that has not stood long enough, looks the same.",
        "Other causes: air or another gas, a wrong refrigerant, or a circuit filled up with liquid.",
    ),
    NO_LIQUID: (
        "Above its critical temperature this refrigerant cannot be liquid: here pressure and temperature do tell "
        "the charge, if you know the volume.",
        "Holds for a pure charge at one temperature; this pressure is high even at rest.",
    ),
}
