"""Refrigerants compared at the same temperatures, each above its critical point at its best gas cooler pressure."""

import functools
import math
from dataclasses import dataclass, replace

from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant, canonical_name
from thermo_kit.systems.cycle import CycleResult, cycle_between, of_cycle, solve_cycle
from thermo_kit.units import Amount, Name, Said, Spec, several

HIGHEST_GAS_COOLER_PRESSURE = 15e6
_STEPS = 12
_NEAR_ENOUGH = 1e-5


def best_gas_cooler_pressure(spec):
    """Return the gas cooler pressure with the highest COP, everything else of the cycle unchanged.

    Parameters
    ----------
    spec : CycleSpec. A transcritical cycle; its gas_cooler_pressure is not used and may be left out.

    Returns: float, [Pa]. Absolute pressure at the gas cooler outlet. Raises OutOfRangeError if the gas cooler outlet
        temperature is missing or another argument is out of range; NoSolutionError if there is no best pressure between
        the critical one and 15 MPa.

    Notes: Found by trying pressures, not by a fitted formula. Isentropic efficiency is held constant; a real
        compressor's falls with pressure ratio, which moves the best pressure a little lower. Where the discharge gas
        would be hotter than the property data reach, it is the best pressure among those that can be computed.

    References: Compared in the tests with the fit of Liao, Zhao & Jakobsen, Appl. Therm. Eng. 20 (2000) 831-841.

    Examples
    --------
    >>> from thermo_kit.systems import CycleSpec
    >>> bus = CycleSpec(refrigerant="R-744", evaporating_temperature=278.15, gas_cooler_outlet_temperature=313.15)
    >>> round(best_gas_cooler_pressure(bus) / 1e5)
    101
    """
    if spec.gas_cooler_outlet_temperature is None:
        advice = "give it; the pressure is what is looked for"
        raise OutOfRangeError.about("gas cooler outlet temperature", "is missing", "", advice)
    try:
        # A constant efficiency multiplies COP and leaves its best place; with an ideal compressor a try costs less.
        pressure = _best_pressure(replace(spec, isentropic_efficiency=1.0))
        solve_cycle(replace(spec, gas_cooler_pressure=pressure))
    except NoSolutionError:
        # The real compressor's hot gas may leave the property data there: the best of what can be computed.
        return _best_pressure(spec)
    return pressure


def _best_pressure(spec):
    from scipy.optimize import minimize_scalar

    low = Refrigerant(spec.refrigerant).critical_pressure * 1.002

    @functools.cache
    def loss(pressure):
        try:
            cycle = solve_cycle(replace(spec, gas_cooler_pressure=float(pressure)))
            return -cycle.coefficient_of_performance
        except NoSolutionError:
            return 0.0

    # Short steps at both ends, where a best pressure close to the end would else be stepped over.
    half = 0.5 * (HIGHEST_GAS_COOLER_PRESSURE - low)
    steps = [low + half * (1.0 - math.cos(math.pi * i / _STEPS)) for i in range(_STEPS + 1)]
    losses = []
    for pressure in steps:
        losses.append(loss(pressure))
        if losses[-1] > min(losses):  # COP rises to its best and falls from there on
            break
    best = losses.index(min(losses))
    if losses[best] == 0.0:
        told = "at {} gas cooler outlet: no pressure gives any cooling"
        limit = Said(told, Amount(spec.gas_cooler_outlet_temperature, "temperature"))
        advice = "cool the gas further, or lower superheat and heat exchanger effectiveness"
        raise NoSolutionError.about("best gas cooler pressure", "does not exist", limit, advice)
    if best in (0, len(steps) - 1):
        told = "between the critical pressure and {}: COP still rises towards {}"
        limit = Said(told, Amount(HIGHEST_GAS_COOLER_PRESSURE, "pressure"), Amount(steps[best], "pressure"))
        advice = (
            "with a cool outlet let the refrigerant condense below the critical pressure; with a very hot one "
            "cool the gas further"
        )
        raise NoSolutionError.about("best gas cooler pressure", "does not exist", limit, advice)
    found = minimize_scalar(loss, bracket=steps[best - 1 : best + 2], method="brent", options={"xtol": _NEAR_ENOUGH})
    return float(found.x)


COOLING = 1000.0
LOWEST_ABOVE_CRITICAL = 1.05


class ComparisonSpec(Spec):
    """The job that every refrigerant has to do.

    A refrigerant whose critical temperature lies below the condensing temperature gets a gas cooler instead, with the
    same outlet temperature.
    """

    evaporating_temperature: float = of_cycle("evaporating_temperature")
    condensing_temperature: float = of_cycle("condensing_temperature")
    superheat: float = of_cycle("superheat", 5.0)
    subcooling: float = of_cycle("subcooling", 5.0)
    isentropic_efficiency: float = of_cycle("isentropic_efficiency", 0.7)
    refrigerants: tuple[str, ...] = several(
        Name(REFRIGERANT_NAMES, "refrigerant", canonical_name), 1, len(REFRIGERANT_NAMES), REFRIGERANT_NAMES
    )


@dataclass(frozen=True, slots=True)
class ComparedCycle:
    """One refrigerant at the job. cycle: its solved cycle; suction_volume_flow [m³/s]: what the compressor has to draw
    in for 1 kW of cooling; above_critical: the high side lies above the critical pressure; limit: "highest" or
    "lowest" where its gas cooler stands at that end of the pressures tried and the best lies beyond, else ""."""

    refrigerant: str
    cycle: CycleResult
    suction_volume_flow: float
    above_critical: bool
    limit: str = ""


def compare_refrigerants(spec):
    """Return the cycle of each refrigerant at the same temperatures.

    Notes: Equal temperatures and equal isentropic efficiency for all, which no real set of compressors has. A
        refrigerant above its critical temperature gets the gas cooler pressure with the highest COP, within 5 % above
        the critical one and 15 MPa: a cool or a very hot gas cooler outlet has no best pressure between them.

    References: Cycle as in `solve_cycle`; volume for a given cooling: ASHRAE Handbook Fundamentals, chapter
        Refrigerants, table of comparative performance, which compares in the same way.

    Examples
    --------
    >>> job = ComparisonSpec(evaporating_temperature=273.15, condensing_temperature=318.15)
    >>> [row.refrigerant for row in compare_refrigerants(job) if row.above_critical]
    ['R-744']
    """
    return tuple(_compared(spec, name) for name in spec.refrigerants)


def _gas_cooler_pressure(asked):
    fluid = Refrigerant(asked.refrigerant)
    lowest = LOWEST_ABOVE_CRITICAL * fluid.critical_pressure
    ends = {lowest: "lowest", HIGHEST_GAS_COOLER_PRESSURE: "highest"}
    if asked.gas_cooler_outlet_temperature < fluid.critical_temperature:
        pressure = lowest
    else:
        try:
            pressure = max(lowest, best_gas_cooler_pressure(asked))
        except NoSolutionError:  # the COP rises, or falls, all the way between the two ends
            pressure = max(reversed(ends), key=lambda p: _performance(asked, p))
    return pressure, ends.get(pressure, "")


def _performance(asked, pressure):
    try:
        return solve_cycle(replace(asked, gas_cooler_pressure=pressure)).coefficient_of_performance
    except NoSolutionError:
        return 0.0


def _compared(spec, name):
    asked, limit = cycle_between(spec, name), ""
    above = asked.gas_cooler_outlet_temperature is not None
    if above:
        pressure, limit = _gas_cooler_pressure(asked)
        asked = replace(asked, gas_cooler_pressure=pressure)
    cycle = solve_cycle(asked)
    drawn_in = cycle.points[0].state
    return ComparedCycle(name, cycle, COOLING / (cycle.refrigerating_effect * drawn_in.rho), above, limit)
