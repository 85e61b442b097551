"""The same job done by several refrigerants."""

from dataclasses import dataclass, replace

from thermo_kit.errors import NoSolutionError
from thermo_kit.substances import Refrigerant
from thermo_kit.systems.cycle import solve_cycle
from thermo_kit.systems.cycle_result import CycleResult, cycle_between, of_cycle, several_refrigerants
from thermo_kit.systems.gas_cooler import HIGHEST_GAS_COOLER_PRESSURE, best_gas_cooler_pressure
from thermo_kit.units import Spec

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
    refrigerants: tuple[str, ...] = several_refrigerants()


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
