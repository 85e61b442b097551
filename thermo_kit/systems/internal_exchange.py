"""What an internal heat exchanger does to a cycle, over its effectiveness and over its length."""

import functools
from dataclasses import dataclass, replace
from typing import NamedTuple

from thermo_kit.components.internal_heat_exchanger import ExchangerResult, solve_exchanger
from thermo_kit.errors import NoSolutionError, Problem
from thermo_kit.laws.roots import root
from thermo_kit.substances import Refrigerant, Stream
from thermo_kit.systems.comparison import ComparisonSpec
from thermo_kit.systems.cycle import CycleResult, OpenCycle, cycle_between, of_cycle, solve_cycle
from thermo_kit.units import Amount, Checks, Quantity, Said, asked

POINTS = 7
DISCHARGE = "discharge temperature"
_LIMIT = Quantity("temperature", 313.15, 453.15, "discharge limit")
_FINE = 1e-7


class ExchangePoint(NamedTuple):
    """One refrigerant at one effectiveness, beside the same cycle without an exchanger.

    effectiveness: where; volumetric_capacity_change, cop_change: shares [-]; discharge_temperature: with the
    exchanger [K]
    """

    effectiveness: float
    volumetric_capacity_change: float
    cop_change: float
    discharge_temperature: float


@dataclass(frozen=True)
class ExchangeCurve:
    """Changes against effectiveness, each as a share of the value without an exchanger.

    refrigerant: its name; effectiveness: where the curve was computed; volumetric_capacity_change, cop_change:
    shares [-]; discharge_temperature: at these places [K]; above_critical: the high side lies above the critical
    pressure
    """

    refrigerant: str
    effectiveness: tuple[float, ...]
    volumetric_capacity_change: tuple[float, ...]
    cop_change: tuple[float, ...]
    discharge_temperature: tuple[float, ...]
    above_critical: bool


class ExchangeLine:
    """One cycle over the whole range of effectiveness; what the exchanger does not change is solved once."""

    def __init__(self, cycle_spec):
        self.open = OpenCycle(cycle_spec)
        self.without = self.open.closed_by(0.0)
        # Asked at once, so that heat which would run backwards is not taken for the end of the property data.
        self.most = self.open.most
        self.point = functools.cache(self._solved)

    def largest(self, discharge_limit):
        """Return the largest effectiveness below a discharge limit, and what sets it; discharge_limit [K]."""
        try:
            if discharge_limit >= self.point(1.0).discharge_temperature:
                return EffectivenessLimit(1.0, "nothing")
        except NoSolutionError:
            # The property data end at a temperature; where the limit lies below it, the search stays inside.
            if discharge_limit >= self.open.fluid.highest_temperature:
                return EffectivenessLimit(self._end_of_data(), "property data")
        return EffectivenessLimit(self._crossing(discharge_limit), DISCHARGE)

    def _crossing(self, limit):
        return root(lambda x: self._above(x, limit), 0.0, 1.0, what="effectiveness", xtol=_FINE)

    def _above(self, effectiveness, limit):
        try:
            return self.point(effectiveness).discharge_temperature - limit
        except NoSolutionError:
            return self.open.fluid.highest_temperature - limit + 1.0

    def _end_of_data(self):
        return max(self._crossing(self.open.fluid.highest_temperature) - _FINE, 0.0)

    def curve(self, points=POINTS):
        """Return the changes at equal steps of effectiveness."""
        end = 1.0
        try:
            self.point(end)
        except NoSolutionError:
            end = self._end_of_data()
        found = [self.point(end * i / (points - 1)) for i in range(points)]
        is_above = self.open.three.p >= self.open.fluid.critical_pressure
        return ExchangeCurve(self.open.fluid.name, *zip(*found, strict=True), is_above)

    def _solved(self, effectiveness):
        bare, heat = self.without, self.open.heat(effectiveness)
        inlet, outlet = self.open.compressed(heat)
        effect = (bare.refrigerating_effect + heat) / bare.refrigerating_effect
        work = (outlet.h - inlet.h) / bare.compressor_work
        volume = effect * inlet.rho / bare.points[0].state.rho
        return ExchangePoint(effectiveness, volume - 1.0, effect / work - 1.0, outlet.T)


class EffectivenessLimit(NamedTuple):
    """The largest effectiveness that a discharge limit allows.

    effectiveness: the largest allowed, None where it is too hot without an exchanger; limited_by: "discharge
    temperature", "nothing" (even a perfect exchanger stays below the limit) or "property data" (the data of the
    refrigerant end before the limit)
    """

    effectiveness: float | None
    limited_by: str


def largest_effectiveness(cycle_spec, discharge_limit):
    """Return the largest effectiveness at which the discharge stays at or below a limit.

    Parameters
    ----------
    cycle_spec : CycleSpec. The cycle; its own effectiveness is not used.
    discharge_limit : float, [K]. Highest allowed temperature behind the compressor, 40 to 180 °C.

    Returns: EffectivenessLimit. The largest effectiveness and what limits it. Raises OutOfRangeError if the limit or an
        argument of the cycle is out of range; NoSolutionError if the cycle is too hot even without an exchanger.

    Notes: A limit is the compressor or oil maker's; 120 °C is often named (common practice, no source). COP hardly ever
        falls with effectiveness in vehicle refrigerants, so it is this limit that decides.

    References: Balance: the cycle's own discharge temperature, solved for the effectiveness.
    """
    with Checks() as checks:
        _LIMIT.check(checks, discharge_limit)
    line = ExchangeLine(cycle_spec)
    bare = line.without.discharge_temperature
    if bare > discharge_limit:
        told = "is above the limit {} even without an internal heat exchanger"
        limit = Said(told, Amount(discharge_limit, "temperature"))
        advice = "leave the exchanger out, and lower superheat, condensing temperature or pressure ratio"
        raise NoSolutionError.about("discharge temperature", Amount(bare, "temperature"), limit, advice)
    return line.largest(discharge_limit)


class ExchangeJob(ComparisonSpec):
    """The same temperatures for every refrigerant; one that cannot condense there gets a gas cooler."""

    isentropic_efficiency: float = of_cycle("isentropic_efficiency", 0.65)
    gas_cooler_pressure: float = of_cycle("gas_cooler_pressure", 110e5)
    effectiveness: float = of_cycle("internal_heat_exchanger_effectiveness", 0.5)
    discharge_limit: float = asked(_LIMIT, 393.15)


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
        return EffectivenessLimit(None, DISCHARGE)
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


_ROUNDS = 40
_SAME = 1e-8
# A smaller change reads as 0.0 %, and a note must not speak against that.
_READABLE = 0.0005


@dataclass(frozen=True, kw_only=True)
class ExchangeEffect:
    """A cycle without and with an internal heat exchanger; changes are shares of the value without.

    without, with_exchanger: the two solved cycles; effectiveness: heat exchanged by the most possible;
    heat: passed from liquid to vapour [J/kg]; exchanger: the solved part, None where only its effectiveness is
    given; refrigerating_effect_change: cooling of each kilogram [-]; volumetric_capacity_change: cooling of
    each litre that the compressor draws in [-]; work_change: work of each kilogram [-]; power_change: work of
    each litre drawn in [-]; cop_change: cooling by work [-]; mass_flow_change: at the same compressor speed [-];
    discharge_temperature_rise: behind the compressor [K]; notes: of the part, of the cycle, and whether the part pays
    """

    without: CycleResult
    with_exchanger: CycleResult
    effectiveness: float
    heat: float
    exchanger: ExchangerResult | None
    refrigerating_effect_change: float
    volumetric_capacity_change: float
    work_change: float
    power_change: float
    cop_change: float
    mass_flow_change: float
    discharge_temperature_rise: float
    notes: tuple


@dataclass(frozen=True, kw_only=True)
class LengthSweep:
    """The same tubes at several lengths. lengths [m]; effects: with pressure losses; frictionless: the same
    effectiveness without them."""

    lengths: tuple[float, ...]
    effects: tuple[ExchangeEffect, ...]
    frictionless: tuple[ExchangePoint, ...]


def effect_of_effectiveness(cycle_spec, effectiveness):
    """Return what an internal heat exchanger of a given effectiveness does to a cycle, without pressure losses.

    Parameters
    ----------
    cycle_spec : CycleSpec. The cycle; its own effectiveness is not used.
    effectiveness : float, [-]. Share of the most possible heat, 0 to 1.

    Returns: ExchangeEffect. Both cycles and the changes. Raises OutOfRangeError if the effectiveness is not a share, or
        the cycle's arguments are out of range; NoSolutionError if the discharge leaves the property data, or more heat
        is asked for than can flow.

    References: Klein, Reindl & Brownell, Int. J. Refrig. 23 (2000) 588-596; Domanski & Didion, Int. J. Refrig. 17
        (1994) 487-493.

    Examples
    --------
    >>> from thermo_kit.systems import CycleSpec
    >>> van = CycleSpec(refrigerant="R-1234yf", evaporating_temperature=275.15, condensing_temperature=323.15)
    >>> effect_of_effectiveness(van, 0.5).cop_change > 0.03
    True
    """
    asked_for = replace(cycle_spec, internal_heat_exchanger_effectiveness=effectiveness)
    cycle = OpenCycle(asked_for)
    return _effect(cycle.closed_by(0.0), cycle.closed_by(effectiveness), effectiveness, None)


def with_internal_heat_exchanger(cycle_spec, exchanger_spec, mass_flow):
    """Return what an internal heat exchanger made of real tubes does to a cycle, with its pressure losses.

    Parameters
    ----------
    cycle_spec : CycleSpec. The cycle without it; losses given there stay and those of the exchanger are added.
    exchanger_spec : ExchangerSpec. The tubes.
    mass_flow : float, [kg/s]. Refrigerant flow without the exchanger.

    Returns: ExchangeEffect. Both cycles, the exchanger and the changes. Raises OutOfRangeError if a size, a flow or an
        argument of the cycle is out of range, or the liquid brings vapour along; NoSolutionError if the tubes are too
        narrow, or the discharge leaves the property data.

    Notes: The compressor draws in the same volume, so that warmer, thinner vapour means less flow. Flow, heat and
        pressure losses depend on each other; they are repeated until the flow stands still. The compressor's volumetric
        and isentropic efficiency are taken to stay.

    References: Balances of the two parts, joined; effect of pressure loss: Klein, Reindl & Brownell, Int. J. Refrig. 23
        (2000) 588-596.
    """
    without = solve_cycle(replace(cycle_spec, internal_heat_exchanger_effectiveness=0.0, mass_flow=mass_flow))
    return _joined(without, exchanger_spec, mass_flow)


def exchange_by_length(cycle_spec, exchanger_spec, mass_flow, lengths):
    """Return the effect for several lengths of the same tubes with the same compressor.

    Parameters
    ----------
    cycle_spec : CycleSpec. The cycle without it.
    exchanger_spec : ExchangerSpec. The tubes; their own length is not used.
    mass_flow : float, [kg/s]. Refrigerant flow without the exchanger.
    lengths : sequence of float, [m]. Lengths.

    Returns: LengthSweep. One effect for each length, and the same heat without friction beside it.

    Raises
    ------
    OutOfRangeError. As `with_internal_heat_exchanger`.
    NoSolutionError. As `with_internal_heat_exchanger`.

    References: As `with_internal_heat_exchanger`.
    """
    line = ExchangeLine(replace(cycle_spec, mass_flow=mass_flow))
    specs = [replace(exchanger_spec, length=float(length)) for length in lengths]
    effects = tuple(_joined(line.without, spec, mass_flow) for spec in specs)
    return LengthSweep(
        lengths=tuple(spec.length for spec in specs),
        effects=effects,
        frictionless=tuple(line.point(effect.effectiveness) for effect in effects),
    )


def _joined(without, exchanger_spec, mass_flow):
    exchanger = solve_exchanger(exchanger_spec, *_streams(without, mass_flow))
    bare = without.points[0].state.rho
    flow, before = mass_flow, None
    for _ in range(_ROUNDS):
        excess = mass_flow * _drawn_in_density(without, exchanger) / bare - flow
        if abs(excess) < _SAME * flow:
            return _with_result(without, exchanger)
        # Secant steps: the flow hardly changes the effectiveness, so that few are needed.
        slope = -1.0 if before is None else (excess - before[1]) / (flow - before[0])
        before, flow = (flow, excess), flow - excess / slope
        exchanger = solve_exchanger(exchanger_spec, *_streams(without, flow))
    advice = "check mass flow and diameters"
    raise NoSolutionError.about("flow through the internal heat exchanger", "does not settle", "", advice)


def _drawn_in_density(without, exchanger):
    """Density at the compressor inlet, behind the exchanger and what the suction line does after it."""
    spec, outlet = without.spec, exchanger.vapour_outlet
    fluid = Refrigerant(without.refrigerant)
    if spec.suction_line_pressure_drop > 0.0:
        outlet = fluid.at(p=outlet.p - spec.suction_line_pressure_drop, h=outlet.h)
    if spec.suction_line_temperature_rise > 0.0:
        outlet = fluid.at(p=outlet.p, T=outlet.T + spec.suction_line_temperature_rise)
    return outlet.rho


def _streams(without, flow):
    return (
        Stream(refrigerant=without.refrigerant, pressure=state.p, enthalpy=state.h, mass_flow=flow)
        for state in (without.points[2].state, without.points[5].state)
    )


def _with_result(without, exchanger):
    """Solve the cycle that gives its exchanger exactly the heat and the losses that were computed for it."""
    spec, fluid = without.spec, Refrigerant(without.refrigerant)
    three, six = without.points[2].state, without.points[5].state
    flow = exchanger.liquid.mass_flow
    suction = spec.suction_line_pressure_drop + exchanger.vapour_pressure_drop
    liquid = spec.liquid_line_pressure_drop + exchanger.liquid_pressure_drop
    # The cycle counts the most possible heat at the outlet pressures, the exchanger at the inlet pressures.
    most = min(three.h - fluid.at(p=three.p - liquid, T=six.T).h, fluid.at(p=six.p - suction, T=three.T).h - six.h)
    wanted = replace(
        spec,
        mass_flow=flow,
        suction_line_pressure_drop=suction,
        liquid_line_pressure_drop=liquid,
        internal_heat_exchanger_effectiveness=min(exchanger.heat_flow / flow / most, 1.0),
    )
    return _effect(without, solve_cycle(wanted), exchanger.effectiveness, exchanger)


def _effect(without, solved, effectiveness, exchanger):
    first, second = without.points[0].state, solved.points[0].state
    capacity = solved.refrigerating_effect / without.refrigerating_effect
    work = solved.compressor_work / without.compressor_work
    density = second.rho / first.rho
    volumetric_change, cop_change = capacity * density - 1.0, capacity / work - 1.0
    notes = solved.notes
    if exchanger is not None:
        notes = (*exchanger.notes, *_verdict(volumetric_change, cop_change), *solved.notes)
    return ExchangeEffect(
        without=without,
        with_exchanger=solved,
        effectiveness=effectiveness,
        heat=solved.points[2].state.h - solved.points[3].state.h,
        exchanger=exchanger,
        refrigerating_effect_change=capacity - 1.0,
        volumetric_capacity_change=volumetric_change,
        work_change=work - 1.0,
        power_change=work * density - 1.0,
        cop_change=cop_change,
        mass_flow_change=density - 1.0,
        discharge_temperature_rise=solved.discharge_temperature - without.discharge_temperature,
        notes=notes,
    )


def _verdict(volumetric_change, cop_change):
    if max(volumetric_change, cop_change) < -_READABLE:
        yield (
            "The exchanger costs more than it brings here: cooling and COP both fall. Take a wider or a shorter one, "
            "or none."
        )
