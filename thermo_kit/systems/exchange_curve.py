"""What an internal heat exchanger does over its whole range of effectiveness, for one refrigerant or for several."""

import functools
from dataclasses import dataclass, replace

from thermo_kit.errors import NoSolutionError, OutOfRangeError, Problem
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant, canonical_name
from thermo_kit.systems.cycle import solve_cycle
from thermo_kit.systems.cycle_result import CycleSpec
from thermo_kit.units import Name, Spec, quantity, several

POINTS = 7
AS_SHARE = "give a share between 0 and 1, for example 0.7 for 70 %"
LIMITS = ("discharge temperature", "nothing", "property data")


@dataclass(frozen=True, kw_only=True)
class ExchangeCurve:
    """Changes against effectiveness, each as a share of the value without an exchanger.

    refrigerant: its name; effectiveness: where the curve was computed; refrigerating_effect_change,
    volumetric_capacity_change, cop_change: shares [-]; discharge_temperature: at these places [K];
    above_critical: the high side lies above the critical pressure; ends_by: why the curve ends there
    """

    refrigerant: str
    effectiveness: tuple[float, ...]
    refrigerating_effect_change: tuple[float, ...]
    volumetric_capacity_change: tuple[float, ...]
    cop_change: tuple[float, ...]
    discharge_temperature: tuple[float, ...]
    above_critical: bool
    ends_by: str


@dataclass(frozen=True, slots=True)
class ExchangePoint:
    """One refrigerant at one effectiveness, beside the same cycle without an exchanger.

    effectiveness: where; refrigerating_effect_change, volumetric_capacity_change, cop_change: shares [-];
    discharge_temperature: with the exchanger [K]
    """

    effectiveness: float
    refrigerating_effect_change: float
    volumetric_capacity_change: float
    cop_change: float
    discharge_temperature: float


class ExchangeLine:
    """One cycle, ready to be asked for any effectiveness: what does not change is solved once.

    References
    ----------
    The same balance as `solve_cycle`, with which the tests compare it.
    """

    def __init__(self, cycle_spec):
        self.spec = replace(cycle_spec, internal_heat_exchanger_effectiveness=0.0)
        self.fluid = Refrigerant(cycle_spec.refrigerant)
        self.without = solve_cycle(self.spec)
        one, two, three, four, _five, six = (point.state for point in self.without.points)
        self._low, self._discharge, self._warm = one.p, two.p, four.p
        self._three, self._six, self._one = three, six, one
        if three.T <= six.T:
            # The cycle itself says best what is wrong.
            solve_cycle(replace(cycle_spec, internal_heat_exchanger_effectiveness=0.5))
        self.ends = min(self._room(six.T), self._room(three.T))

    def _room(self, T):
        """Heat that the warm stream gives above a temperature and the cold one takes below it."""
        taken = 0.0 if T == self._six.T else self.fluid.at(p=self._low, T=T).h - self._six.h
        given = 0.0 if T == self._three.T else self._three.h - self.fluid.at(p=self._warm, T=T).h
        return taken + given

    def at(self, effectiveness):
        """Return inlet and outlet of the compressor, and the heat exchanged; effectiveness [-]."""
        heat = effectiveness * self.ends
        if heat == 0.0:
            return 0.0, self._one, self.without.points[1].state
        inlet = self.fluid.at(p=self._low, h=self._six.h + heat)
        if self.spec.suction_line_temperature_rise > 0.0:
            inlet = self.fluid.at(p=self._low, T=inlet.T + self.spec.suction_line_temperature_rise)
        ideal = self.fluid.at(p=self._discharge, s=inlet.s).h
        outlet = self.fluid.at(p=self._discharge, h=inlet.h + (ideal - inlet.h) / self.spec.isentropic_efficiency)
        return heat, inlet, outlet

    def largest(self, discharge_limit):
        """Return the largest effectiveness below a discharge limit, and what sets it; discharge_limit [K]."""
        try:
            if discharge_limit >= self.at(1.0)[2].T:
                return 1.0, "nothing"
        except OutOfRangeError:
            # The property data end at a temperature; where the limit lies below it, the search stays inside.
            if discharge_limit >= self.fluid.highest_temperature:
                return self._end_of_data(), "property data"
        from scipy.optimize import brentq

        return brentq(lambda x: self._above(x, discharge_limit), 0.0, 1.0, xtol=1e-7), "discharge temperature"

    def _above(self, effectiveness, limit):
        try:
            return self.at(effectiveness)[2].T - limit
        except OutOfRangeError:
            return self.fluid.highest_temperature - limit + 1.0

    def _end_of_data(self):
        low, high = 0.0, 1.0
        for _ in range(24):
            middle = 0.5 * (low + high)
            try:
                self.at(middle)
                low = middle
            except OutOfRangeError:
                high = middle
        return low

    def curve(self, points=POINTS):
        """Return the changes at equal steps of effectiveness."""
        end, reason = 1.0, "nothing"
        try:
            self.at(end)
        except OutOfRangeError:
            end, reason = self._end_of_data(), "property data"
        found = [self.point(end * i / (points - 1)) for i in range(points)]
        return ExchangeCurve(
            refrigerant=self.fluid.name,
            effectiveness=tuple(point.effectiveness for point in found),
            refrigerating_effect_change=tuple(point.refrigerating_effect_change for point in found),
            volumetric_capacity_change=tuple(point.volumetric_capacity_change for point in found),
            cop_change=tuple(point.cop_change for point in found),
            discharge_temperature=tuple(point.discharge_temperature for point in found),
            above_critical=self._three.p >= self.fluid.critical_pressure,
            ends_by=reason,
        )

    def point(self, effectiveness):
        """Return the changes at one effectiveness; effectiveness [-]."""
        heat, inlet, outlet = self.at(effectiveness)
        bare = self.without
        effect = (bare.refrigerating_effect + heat) / bare.refrigerating_effect
        work = (outlet.h - inlet.h) / bare.compressor_work
        volume = effect * inlet.rho / self._one.rho
        return ExchangePoint(effectiveness, effect - 1.0, volume - 1.0, effect / work - 1.0, outlet.T)


class ExchangeJob(Spec):
    """The same temperatures for every refrigerant; one that cannot condense there gets a gas cooler."""

    evaporating_temperature: float = quantity("temperature", 193.15, 473.15, "evaporating temperature")
    condensing_temperature: float = quantity("temperature", 193.15, 473.15, "condensing temperature")
    superheat: float = quantity("temperature_difference", 0.0, 60.0, "superheat", 5.0)
    subcooling: float = quantity("temperature_difference", 0.0, 60.0, "subcooling", 5.0)
    gas_cooler_pressure: float = quantity("pressure", 1e5, 16e6, "gas cooler pressure", 110e5)
    isentropic_efficiency: float = quantity("ratio", 0.05, 1.0, "isentropic efficiency", 0.65, advice=AS_SHARE)
    effectiveness: float = quantity("ratio", 0.0, 1.0, "internal heat exchanger effectiveness", 0.5, advice=AS_SHARE)
    discharge_limit: float = quantity("temperature", 313.15, 453.15, "discharge limit", 393.15)
    refrigerants: tuple[str, ...] = several(
        Name(REFRIGERANT_NAMES, "refrigerant", canonical_name), 1, len(REFRIGERANT_NAMES), REFRIGERANT_NAMES
    )


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
    job : ExchangeJob
        The temperatures and the limit.

    Returns
    -------
    tuple of ComparedExchange
        In the order asked for.

    Raises
    ------
    OutOfRangeError
        If a temperature, difference or efficiency is out of range.
    NoSolutionError
        If a cycle has no solution even without an exchanger.

    Notes
    -----
    Equal temperatures and isentropic efficiency for all, no pressure losses.

    References
    ----------
    Domanski & Didion, Int. J. Refrig. 17 (1994) 487-493, who compared refrigerants in this way.
    """
    return tuple(_compared(job, name) for name in job.refrigerants)


def cycle_of(job, name):
    """Return the cycle that a refrigerant runs at the job.

    Notes
    -----
    Definition of the comparison.
    """
    fluid = Refrigerant(name)
    high = {"condensing_temperature": job.condensing_temperature, "subcooling": job.subcooling}
    if job.condensing_temperature > fluid.critical_temperature - 1.0:
        high = {
            "gas_cooler_pressure": job.gas_cooler_pressure,
            "gas_cooler_outlet_temperature": job.condensing_temperature - job.subcooling,
        }
    return CycleSpec(
        refrigerant=name,
        evaporating_temperature=job.evaporating_temperature,
        superheat=job.superheat,
        isentropic_efficiency=job.isentropic_efficiency,
        **high,
    )


def _compared(job, name):
    spec = cycle_of(job, name)
    line, curve = _kept(spec)
    reaches = job.effectiveness <= curve.effectiveness[-1]
    largest, reason = _kept_limit(spec, job.discharge_limit)
    return ComparedExchange(
        curve=curve,
        chosen=line.point(job.effectiveness) if reaches else None,
        largest_effectiveness=largest,
        limited_by=reason,
    )


@functools.lru_cache(maxsize=256)
def _kept_limit(cycle_spec, discharge_limit):
    line, _ = _kept(cycle_spec)
    if line.without.discharge_temperature > discharge_limit:
        return None, "discharge temperature"
    return line.largest(discharge_limit)


@functools.lru_cache(maxsize=256)
def _kept(cycle_spec):
    """A slider that moves only the limit or the chosen effectiveness must not solve every curve again."""
    try:
        line = ExchangeLine(cycle_spec)
        return line, line.curve()
    except NoSolutionError as reason:
        raise NoSolutionError(
            *(Problem(f"{cycle_spec.refrigerant}: {p.argument}", p.given, p.limit, p.advice) for p in reason.problems)
        ) from reason
