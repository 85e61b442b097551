"""Turn the condenser round: at which pressure does it just condense what the compressor sends, and with which core?"""

import functools
import itertools
import math
from dataclasses import dataclass, replace
from operator import attrgetter

from thermo_kit.components.condenser.solve import (
    HIGHEST_REDUCED_PRESSURE,
    LOWEST_CONDENSING_TEMPERATURE,
    solve_condenser,
)
from thermo_kit.components.condenser.spec import FLOW, CompressorDuty, CondenserResult, with_fin_density
from thermo_kit.errors import InputError, NoSolutionError
from thermo_kit.laws.roots import root_near
from thermo_kit.substances import Refrigerant, StatePoint, Stream
from thermo_kit.substances.refrigerant import saturation_table
from thermo_kit.units import Amount, Checks, Said

SMALLEST_DIFFERENCE = 0.6
SETTLED = 0.1  # J/kg, about a millionth of the latent heat
CAPACITY_SETTLED = 1e-6
# Stands for a flow so large that the tubes eat up the pressure.
_FAILED = 1e6


@dataclass(frozen=True, slots=True)
class HeadPressureResult:
    """A condenser and a compressor that agree.

    duty; condenser: the solved core; suction: of the compressor
    """

    duty: CompressorDuty
    condenser: CondenserResult
    suction: StatePoint

    condensing_pressure = property(attrgetter("condenser.condensing_pressure"), doc="At the core's inlet [Pa].")
    condensing_temperature = property(attrgetter("condenser.condensing_temperature"), doc="At the core's inlet [K].")
    discharge_temperature = property(attrgetter("condenser.inlet_temperature"), doc="Of the hot gas [K].")
    mass_flow = property(attrgetter("condenser.inlet.mass_flow"), doc="Of the refrigerant [kg/s].")
    heat_rejection = property(attrgetter("condenser.heat_rejection"), doc="Given to the air [W].")
    fan_power = property(attrgetter("condenser.air_side.fan_power"), doc="Electric [W].")
    subcooling = property(attrgetter("condenser.subcooling"), doc="At the core's outlet [K].")

    @property
    def cooling_capacity(self):
        """Heat taken in between liquid line and suction [W]."""
        return self.mass_flow * (self.suction.h - self.condenser.outlet_enthalpy)

    @property
    def compressor_power(self):
        """Given to the refrigerant [W]."""
        return self.mass_flow * (self.condenser.inlet.enthalpy - self.suction.h)

    @property
    def coefficient_of_performance(self):
        """Cooling by compressor power, without the fan."""
        return self.cooling_capacity / self.compressor_power


def condensing_pressure_for(spec, duty, air, *, subcooling=None, near=None):
    """Return the head pressure at which a core just condenses what the compressor sends.

    Parameters
    ----------
    spec : CondenserSpec. The core.
    duty : CompressorDuty. Suction state, compressor efficiency, and mass flow or cooling capacity.
    air : AirConditions. The air in front of the core.
    subcooling : float or None, [K]
        Wanted at the core's outlet, 0 to 40; None means that liquid reaches the receiver just saturated.
    near : HeadPressureResult or None. The answer to a question much like this one: the search begins there.

    Returns: HeadPressureResult. Condensing pressure, powers, flow, and the whole condenser solution. Raises InputError
        if no target is given for a core without receiver; NoSolutionError if the core cannot condense this much below
        95 % of the critical pressure.

    Notes: Suction state and pressure are held. Lines between compressor and core are left out.

    References: Energy balance of compressor and condenser; the core as in `solve_condenser`.

    Examples
    --------
    >>> from thermo_kit.components.condenser import AirConditions
    >>> from thermo_kit.fleet import part_of
    >>> duty = CompressorDuty(refrigerant="R-1234yf", evaporating_temperature=278.15, cooling_capacity=4500.0)
    >>> head = condensing_pressure_for(part_of("parcel_van", "condenser"), duty, AirConditions(temperature=308.15))
    >>> abs(head.condenser.receiver.enthalpy_above_liquid) < 1.0
    True
    """
    circuit = _Circuit(spec, duty, air, subcooling)
    guess = near.condensing_temperature if near else min(air.temperature + 15.0, circuit.hottest)
    if duty.mass_flow is not None:
        return circuit.at_flow(duty.mass_flow, guess)
    flow = near.mass_flow if near else duty.cooling_capacity / circuit.effect_near(guess - 6.0)
    flow = min(max(flow, FLOW.low), FLOW.high)
    return circuit.both_at_once(guess, flow) or circuit.one_inside_the_other(guess, flow)


def mass_flow_for(spec, duty, air, *, condensing_pressure, subcooling=None):
    """Return how much a core can condense at a given head pressure.

    Parameters
    ----------
    spec : CondenserSpec. The core.
    duty : CompressorDuty. Suction state and compressor efficiency; its flow or capacity is only the first guess.
    air : AirConditions. The air in front of the core.
    condensing_pressure : float, [Pa]. Absolute pressure at the core's inlet.
    subcooling : float or None, [K]. As in `condensing_pressure_for`.

    Returns
    -------
    HeadPressureResult. The flow that is condensed, with heat and powers. Raises InputError if no target is given for a
        core without receiver; OutOfRangeError if the pressure does not suit the core; NoSolutionError if no flow from
        0.5 g/s to 1 kg/s meets the target.

    References: As in `condensing_pressure_for`.
    """
    circuit = _Circuit(spec, duty, air, subcooling)
    with Checks() as checks:
        checks.within("condensing pressure", condensing_pressure, 0.0, 1e8, kind="pressure", exclusive=True)
    temperature = circuit.refrigerant.dew_temperature(condensing_pressure)
    guess = duty.mass_flow or duty.cooling_capacity / circuit.effect_near(temperature - 6.0)
    return circuit.at_temperature(temperature, guess)


class _Circuit:
    """A core with all that stands around it; target: wanted subcooling [K], None for saturated at the receiver."""

    def __init__(self, spec, duty, air, target):
        check_target(spec, target)
        self.spec, self.duty, self.air, self.target = spec, duty, air, target
        self.refrigerant = fluid = Refrigerant(duty.refrigerant)
        self.coldest = max(air.temperature + SMALLEST_DIFFERENCE, LOWEST_CONDENSING_TEMPERATURE + 1.0,
                           duty.evaporating_temperature + 1.0)  # fmt: skip
        self.hottest = fluid.dew_temperature(HIGHEST_REDUCED_PRESSURE * 0.9999 * fluid.critical_pressure)
        if self.coldest >= self.hottest - 1.0:
            with Checks() as checks:
                advice = f"{fluid.name} cannot condense in air this hot: it needs a gas cooler"
                checks.within("condenser inlet air", air.temperature, 243.15, self.hottest - 2.0, kind="temperature",
                              advice=advice)  # fmt: skip
        pressure = fluid.dew_pressure(duty.evaporating_temperature)
        self.suction = fluid.at(p=pressure, T=duty.evaporating_temperature + duty.superheat)

    def effect_near(self, temperature):
        """Return a guess of the heat a kilogram takes in, behind liquid of a temperature [K] → [J/kg]."""
        p = self.refrigerant.dew_pressure(min(temperature, self.hottest))
        return max(self.suction.h - saturation_table(self.refrigerant.name).at(p).liquid_enthalpy, 2e4)

    def lack(self, temperature, flow):
        """Return how far the core is from its target [J/kg], positive when too little is condensed, and its solution.

        temperature [K], flow [kg/s]
        """
        p = self.refrigerant.dew_pressure(temperature)
        loss_free = self.refrigerant.at(p=p, s=self.suction.s).h - self.suction.h
        hot = self.suction.h + loss_free / self.duty.isentropic_efficiency
        inlet = Stream(refrigerant=self.refrigerant.name, pressure=p, enthalpy=hot, mass_flow=flow)
        try:
            solved = solve_condenser(self.spec, inlet, self.air)
        except NoSolutionError:
            return _FAILED, None
        return self._distance(solved), solved

    def _distance(self, solved):
        if self.target is None:
            return solved.receiver.enthalpy_above_liquid
        s = saturation_table(self.refrigerant.name).at(solved.outlet_pressure)
        above = max(solved.outlet_enthalpy - s.liquid_enthalpy, 0.0)
        return above + s.liquid_specific_heat * (self.target - solved.subcooling)

    def at_flow(self, flow, guess):
        """Return the solution at the temperature at which this flow is just condensed; [kg/s], [K]."""
        # A kelvin moves the target by some 8 kJ/kg while it condenses, and by far less once it is liquid.
        return self._found(
            lambda T: self.lack(T, flow), guess, lambda off: min(abs(off) / (6e3 if off > 0.0 else 1.5e3), 9.0),
            self.coldest, self.hottest, what="condensing temperature",
            beyond=(
                Said("below {} would be needed: the core is far too large for this duty, or the suction is too warm",
                     Amount(self.coldest, "temperature")),
                Said("above {} would be needed, beyond 95 % of the critical pressure: less flow, more air, larger core",
                     Amount(self.hottest, "temperature")),
            ),
        )  # fmt: skip

    def at_temperature(self, temperature, guess):
        """Return the solution with the flow that is just condensed at a temperature; [K], [kg/s]."""
        # Counted backwards and in powers of e: what is lacking then falls steadily.
        return self._found(
            lambda power: self.lack(temperature, math.exp(-power)), -math.log(guess),
            lambda off: min(abs(off) / 1e5, 0.9), -math.log(FLOW.high), -math.log(FLOW.low), what="flow",
            beyond=(
                Said("larger than {} would still be condensed: check pressure and target",
                     Amount(FLOW.high, "mass_flow")),
                Said("smaller than {} would be needed: raise the pressure or cool the air",
                     Amount(FLOW.low, "mass_flow")),
            ),
        )  # fmt: skip

    def _found(self, lack, *search, **words):
        solved = {}

        def off(unknown):
            value, solved[unknown] = lack(unknown)
            return value

        found = solved[root_near(off, *search, settled=SETTLED, xtol=1e-7, **words)]
        return HeadPressureResult(self.duty, found, self.suction)

    def both_at_once(self, temperature, flow):
        """Look for temperature [K] and flow [kg/s] together, which is quick; None where that leads nowhere."""
        from scipy.optimize import root

        found = []

        @functools.cache
        def off(T, log_flow):
            flow = math.exp(log_flow)
            if not (self.coldest <= T <= self.hottest and FLOW.low <= flow <= FLOW.high):
                raise NoSolutionError
            lack, solved = self.lack(T, flow)
            if solved is None:
                raise NoSolutionError
            head = HeadPressureResult(self.duty, solved, self.suction)
            miss = head.cooling_capacity / self.duty.cooling_capacity - 1.0
            if abs(lack) <= SETTLED and abs(miss) <= CAPACITY_SETTLED:
                found.append(head)
                return 0.0, 0.0
            return lack / 8e4, miss

        try:
            start, limits = (temperature, math.log(flow)), {"eps": 1e-6, "maxfev": 30}
            root(lambda unknown: off(*unknown.tolist()), start, method="hybr", options=limits)
        except NoSolutionError:
            return None
        return found[0] if found else None

    def one_inside_the_other(self, temperature, flow):
        """Look for the flow, and for each flow for its temperature; what cannot be condensed is too much of it."""
        wanted, refused, found = self.duty.cooling_capacity, [], {}

        def spare(flow):
            guess = found[max(found)].condensing_temperature if found else temperature
            try:
                found[flow] = self.at_flow(flow, guess)
            except NoSolutionError as error:
                refused.append(error)
                return -1.0
            return 1.0 - found[flow].cooling_capacity / wanted

        off = spare(flow)
        if found:  # from where this flow is just condensed, both at once may lead to the answer
            quick = self.both_at_once(found[flow].condensing_temperature, flow / (1.0 - off))
            if quick:
                return quick
        try:
            flow = root_near(
                lambda one: off if one == flow else spare(one), flow, lambda off: 1.2 * abs(off) * flow,
                FLOW.low, FLOW.high, what="refrigerant flow", settled=CAPACITY_SETTLED,
                xtol=1e-7 * flow,
                beyond=("this core cannot do so little: ask for more cooling", "ask for less cooling"),
            )  # fmt: skip
        except NoSolutionError as error:
            raise (refused or [error])[-1] from None
        return found[flow]


def check_target(spec, subcooling):
    """Refuse a subcooling that cannot be asked for [K], or none where no receiver fixes it."""
    checks = Checks()
    if subcooling is not None:
        checks.within("wanted subcooling", subcooling, 0.0, 40.0, kind="temperature_difference")
    elif spec.receiver_after is None:
        told = "the receiver would fix it: give subcooling, for example {}"
        advice = Said(told, Amount(6.0, "temperature_difference"))
        checks.add("wanted subcooling", "is missing", "for a core without receiver", advice)
    checks.raise_if_any(InputError)


@dataclass(frozen=True, slots=True)
class CoreComparison:
    """Two cores under the same duty.

    first, second: each core at the head pressure it needs; second_at_first_pressure: what the second core still
    condenses at the first one's pressure. Shifts are second minus first; ratios second divided by first.
    """

    first: HeadPressureResult
    second: HeadPressureResult
    second_at_first_pressure: HeadPressureResult

    @property
    def condensing_pressure_shift(self):
        """Head pressure [Pa]."""
        return self.second.condensing_pressure - self.first.condensing_pressure

    @property
    def condensing_temperature_shift(self):
        """Condensing temperature [K]."""
        return self.second.condensing_temperature - self.first.condensing_temperature

    @property
    def compressor_power_ratio(self):
        """Compressor power [-]."""
        return self.second.compressor_power / self.first.compressor_power

    @property
    def capacity_ratio_at_equal_pressure(self):
        """Cooling capacity of the second at the first one's pressure, by that of the first [-]."""
        return self.second_at_first_pressure.cooling_capacity / self.first.cooling_capacity


def compare_cores(first, second, duty, air, *, subcooling=None):
    """Compare two cores at equal duty and at equal condensing pressure.

    Parameters
    ----------
    first : CondenserSpec. The core to compare with, for example the original.
    second : CondenserSpec. The other core, for example a replacement with fewer fins.
    duty : CompressorDuty. Equal cooling capacity if that is given in it, equal mass flow otherwise.
    air : AirConditions. The air in front of both.
    subcooling : float or None, [K]. As in `condensing_pressure_for`.

    Returns: CoreComparison. Both solutions, their differences, and the second core at the first one's pressure. Raises
        InputError if no target is given for a core without receiver; NoSolutionError if one of the cores cannot do the
        duty.

    Notes: The evaporating temperature is held. On a vehicle it may drift up with the head pressure, which a model of
        the whole circuit shows.

    References: As in `condensing_pressure_for`.

    Examples
    --------
    >>> from thermo_kit.components.condenser import AirConditions, CompressorDuty
    >>> from thermo_kit.fleet import part_of
    >>> duty = CompressorDuty(refrigerant="R-1234yf", evaporating_temperature=278.15, cooling_capacity=4500.0)
    >>> core = part_of("parcel_van", "condenser")
    >>> poorer = with_fin_density(core, 630.0)
    >>> compare_cores(core, poorer, duty, AirConditions(temperature=311.15)).condensing_pressure_shift > 0
    True
    """
    check_target(first, subcooling)
    a = _alone(first, duty, air, subcooling)
    b = condensing_pressure_for(second, duty, air, subcooling=subcooling, near=a)
    near = replace(duty, cooling_capacity=None, mass_flow=a.mass_flow)
    held = mass_flow_for(second, near, air, condensing_pressure=a.condensing_pressure, subcooling=subcooling)
    return CoreComparison(a, b, held)


# Kept, because on a slider of the second core the first one stays what it was.
_alone = functools.lru_cache(maxsize=16)(
    lambda core, duty, air, subcooling: condensing_pressure_for(core, duty, air, subcooling=subcooling)
)


@dataclass(frozen=True, slots=True)
class FinCurve:
    """One core under one duty with several fin densities.

    fin_densities [1/m]; heads: the head pressure and all that goes with it, one for each density;
    best_fin_density: the one of them with the least power of compressor and fan together [1/m];
    best_is_inside: False if the best lies at an end of the range looked at
    """

    fin_densities: tuple[float, ...]
    heads: tuple[HeadPressureResult, ...]
    best_fin_density: float
    best_is_inside: bool


def fin_curve(core, duty, air, fin_densities):
    """Return what a core with receiver does with fewer and with more fins, at equal duty.

    Parameters
    ----------
    core : CondenserSpec. The core; its own fin density is left aside.
    duty : CompressorDuty. What the circuit asks for.
    air : AirConditions. The air in front of the core; the fan then decides how much of it flows.
    fin_densities : tuple of float, [1/m]. Rising, 2 to 100 of them.

    Returns: FinCurve. One solution for each density, and the best of them. Raises OutOfRangeError if the densities do
        not rise or are too few or too many; NoSolutionError if one of the cores cannot do the duty.

    Notes: More fins give more surface and hold the air back. With a fan there is a best density; with a fixed air speed
        more is always better. The model knows neither dirt nor the price of fins.

    References: As in `condensing_pressure_for`.

    Examples
    --------
    >>> from thermo_kit.components.condenser import AirConditions, CompressorDuty
    >>> from thermo_kit.fleet import part_of
    >>> duty = CompressorDuty(refrigerant="R-1234yf", evaporating_temperature=278.15, cooling_capacity=4500.0)
    >>> core = part_of("parcel_van", "condenser")
    >>> fin_curve(core, duty, AirConditions(temperature=311.15), (400.0, 600.0, 800.0)).best_fin_density
    800.0
    """
    densities = tuple(fin_densities)
    with Checks() as checks:
        if not 2 <= len(densities) <= 100 or any(b <= a for a, b in itertools.pairwise(densities)):
            checks.add("fin densities", f"{len(densities)} given", "are not 2 to 100 rising numbers", "sort them first")
    heads = []
    for density in densities:
        near = heads[-1] if heads else None
        heads.append(condensing_pressure_for(with_fin_density(core, density), duty, air, near=near))
    best = min(range(len(heads)), key=lambda i: heads[i].compressor_power + heads[i].fan_power)
    return FinCurve(densities, tuple(heads), densities[best], 0 < best < len(heads) - 1)
