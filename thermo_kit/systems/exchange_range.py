"""An internal heat exchanger over its whole range of effectiveness, for one refrigerant or for several."""

import functools
from dataclasses import dataclass

from thermo_kit.errors import NoSolutionError, Problem
from thermo_kit.laws.roots import root
from thermo_kit.systems.cycle import OpenCycle
from thermo_kit.systems.cycle_result import CycleResult, cycle_between, of_cycle, several_refrigerants
from thermo_kit.units import Amount, Checks, Quantity, Said, Spec, asked

POINTS = 7
DISCHARGE, NOTHING, DATA = "discharge temperature", "nothing", "property data"
_LIMIT = Quantity("temperature", 313.15, 453.15, "discharge limit")
_FINE = 1e-7


@dataclass(frozen=True, slots=True)
class ExchangePoint:
    """One refrigerant at one effectiveness, beside the same cycle without an exchanger.

    effectiveness: where; volumetric_capacity_change, cop_change: shares [-]; discharge_temperature: with the
    exchanger [K]
    """

    effectiveness: float
    volumetric_capacity_change: float
    cop_change: float
    discharge_temperature: float


@dataclass(frozen=True, kw_only=True)
class ExchangeCurve:
    """Changes against effectiveness, each as a share of the value without an exchanger.

    refrigerant: its name; effectiveness: where the curve was computed; volumetric_capacity_change, cop_change:
    shares [-]; discharge_temperature: at these places [K]; above_critical: the high side lies above the critical
    pressure; ends_by: why the curve ends there
    """

    refrigerant: str
    effectiveness: tuple[float, ...]
    volumetric_capacity_change: tuple[float, ...]
    cop_change: tuple[float, ...]
    discharge_temperature: tuple[float, ...]
    above_critical: bool
    ends_by: str


class ExchangeLine:
    """One cycle over the whole range of effectiveness; what the exchanger does not change is solved once."""

    def __init__(self, cycle_spec):
        self.open = OpenCycle(cycle_spec)
        self.without = self.open.closed_by(0.0)
        # Asked at once, so that heat which would run backwards is not taken for the end of the property data.
        self.most = self.open.most
        self._known = {}

    def largest(self, discharge_limit):
        """Return the largest effectiveness below a discharge limit, and what sets it; discharge_limit [K]."""
        try:
            if discharge_limit >= self.point(1.0).discharge_temperature:
                return 1.0, NOTHING
        except NoSolutionError:
            # The property data end at a temperature; where the limit lies below it, the search stays inside.
            if discharge_limit >= self.open.fluid.highest_temperature:
                return self._end_of_data(), DATA
        return root(lambda x: self._above(x, discharge_limit), 0.0, 1.0, what="effectiveness", xtol=_FINE), DISCHARGE

    def _above(self, effectiveness, limit):
        try:
            return self.point(effectiveness).discharge_temperature - limit
        except NoSolutionError:
            return self.open.fluid.highest_temperature - limit + 1.0

    def _end_of_data(self):
        highest = self.open.fluid.highest_temperature
        return max(root(lambda x: self._above(x, highest), 0.0, 1.0, what="effectiveness", xtol=_FINE) - _FINE, 0.0)

    def curve(self, points=POINTS):
        """Return the changes at equal steps of effectiveness."""
        end, reason = 1.0, NOTHING
        try:
            self.point(end)
        except NoSolutionError:
            end, reason = self._end_of_data(), DATA
        found = [self.point(end * i / (points - 1)) for i in range(points)]
        return ExchangeCurve(
            refrigerant=self.open.fluid.name,
            effectiveness=tuple(point.effectiveness for point in found),
            volumetric_capacity_change=tuple(point.volumetric_capacity_change for point in found),
            cop_change=tuple(point.cop_change for point in found),
            discharge_temperature=tuple(point.discharge_temperature for point in found),
            above_critical=self.open.three.p >= self.open.fluid.critical_pressure,
            ends_by=reason,
        )

    def point(self, effectiveness):
        """Return the changes at one effectiveness; effectiveness [-]."""
        if effectiveness not in self._known:
            self._known[effectiveness] = self._solved(effectiveness)
        return self._known[effectiveness]

    def _solved(self, effectiveness):
        bare, heat = self.without, self.open.heat(effectiveness)
        inlet, outlet = self.open.compressed(heat)
        effect = (bare.refrigerating_effect + heat) / bare.refrigerating_effect
        work = (outlet.h - inlet.h) / bare.compressor_work
        volume = effect * inlet.rho / bare.points[0].state.rho
        return ExchangePoint(effectiveness, volume - 1.0, effect / work - 1.0, outlet.T)


@dataclass(frozen=True, kw_only=True)
class EffectivenessLimit:
    """The largest effectiveness that a discharge limit allows.

    effectiveness: the largest allowed; limited_by: "discharge temperature", "nothing" (even a perfect exchanger
    stays below the limit) or "property data" (the data of the refrigerant end before the limit);
    discharge_temperature: at that effectiveness [K]; discharge_limit: what was asked [K]; cycle: solved there
    """

    effectiveness: float
    limited_by: str
    discharge_temperature: float
    discharge_limit: float
    cycle: CycleResult


def largest_effectiveness(cycle_spec, discharge_limit):
    """Return the largest effectiveness at which the discharge stays at or below a limit.

    Parameters
    ----------
    cycle_spec : CycleSpec. The cycle; its own effectiveness is not used.
    discharge_limit : float, [K]. Highest allowed temperature behind the compressor, 40 to 180 °C.

    Returns: EffectivenessLimit. The largest effectiveness, what limits it, and the cycle there. Raises OutOfRangeError
        if the limit or an argument of the cycle is out of range; NoSolutionError if the cycle is too hot even without
        an exchanger.

    Notes: A limit is the compressor or oil maker's; 120 °C is often named (common practice, no source). COP hardly ever
        falls with effectiveness in vehicle refrigerants, so it is this limit that decides.

    References: Balance: the cycle's own discharge temperature, solved for the effectiveness.
    """
    with Checks() as checks:
        _LIMIT.check(checks, discharge_limit)
    line = ExchangeLine(cycle_spec)
    bare = line.without.discharge_temperature
    if bare > discharge_limit:
        raise NoSolutionError.about(
            "discharge temperature",
            Amount(bare, "temperature"),
            Said(
                "is above the limit {} even without an internal heat exchanger", Amount(discharge_limit, "temperature")
            ),
            "leave the exchanger out, and lower superheat, condensing temperature or pressure ratio",
        )
    effectiveness, reason = line.largest(discharge_limit)
    cycle = line.open.closed_by(effectiveness)
    return EffectivenessLimit(
        effectiveness=effectiveness,
        limited_by=reason,
        discharge_temperature=cycle.discharge_temperature,
        discharge_limit=discharge_limit,
        cycle=cycle,
    )


class ExchangeJob(Spec):
    """The same temperatures for every refrigerant; one that cannot condense there gets a gas cooler."""

    evaporating_temperature: float = of_cycle("evaporating_temperature")
    condensing_temperature: float = of_cycle("condensing_temperature")
    superheat: float = of_cycle("superheat", 5.0)
    subcooling: float = of_cycle("subcooling", 5.0)
    gas_cooler_pressure: float = of_cycle("gas_cooler_pressure", 110e5)
    isentropic_efficiency: float = of_cycle("isentropic_efficiency", 0.65)
    effectiveness: float = of_cycle("internal_heat_exchanger_effectiveness", 0.5)
    discharge_limit: float = asked(_LIMIT, 393.15)
    refrigerants: tuple[str, ...] = several_refrigerants()


@dataclass(frozen=True, kw_only=True)
class ComparedExchange:
    """One refrigerant at the job.

    curve: over the whole range; chosen: at the job's effectiveness, None where the curve ends before it;
    largest_effectiveness: below the discharge limit [-], None where it is too hot without an exchanger;
    limited_by: what sets it
    """

    curve: ExchangeCurve
    chosen: ExchangePoint | None
    largest_effectiveness: float | None
    limited_by: str


def compare_exchange(job):
    """Return for each refrigerant what an internal heat exchanger does over its whole range.

    Parameters
    ----------
    job : ExchangeJob. The temperatures and the limit.

    Returns: tuple of ComparedExchange. In the order asked for. Raises OutOfRangeError if a temperature does not suit a
        refrigerant; NoSolutionError if a cycle has no solution even without an exchanger.

    Notes: Equal temperatures and isentropic efficiency for all, no pressure losses.

    References: Domanski & Didion, Int. J. Refrig. 17 (1994) 487-493, who compared refrigerants in this way.
    """
    return tuple(_compared(job, name) for name in job.refrigerants)


def _compared(job, name):
    spec = cycle_between(job, name, job.gas_cooler_pressure)
    line, curve = _kept(spec)
    largest, reason = _kept_limit(spec, job.discharge_limit)
    return ComparedExchange(
        curve=curve,
        chosen=line.point(job.effectiveness) if job.effectiveness <= curve.effectiveness[-1] else None,
        largest_effectiveness=largest,
        limited_by=reason,
    )


@functools.lru_cache(maxsize=256)
def _kept_limit(cycle_spec, discharge_limit):
    line, _ = _kept(cycle_spec)
    if line.without.discharge_temperature > discharge_limit:
        return None, DISCHARGE
    return line.largest(discharge_limit)


@functools.lru_cache(maxsize=256)
def _kept(cycle_spec):
    """A slider that moves only the limit or the chosen effectiveness must not solve every curve again."""
    try:
        line = ExchangeLine(cycle_spec)
        return line, line.curve()
    except NoSolutionError as reason:
        raise NoSolutionError(
            *(
                Problem(Said("{}: {}", cycle_spec.refrigerant, p.argument), p.given, p.limit, p.advice)
                for p in reason.problems
            )
        ) from reason
