"""Turn the condenser round: at which pressure does it just condense what the compressor sends?"""

import math
from dataclasses import dataclass

from thermo_kit.components.condenser.march import LOWEST_CONDENSING_TEMPERATURE, solve_condenser
from thermo_kit.components.condenser.result import CondenserResult
from thermo_kit.components.condenser.spec import RefrigerantInlet
from thermo_kit.components.condenser.tables import HIGHEST_REDUCED_PRESSURE, saturation_table
from thermo_kit.errors import InputError, NoSolutionError, OutOfRangeError, Problem
from thermo_kit.substances import Refrigerant, canonical_name
from thermo_kit.units import format_quantity
from thermo_kit.units.checks import Checks

SMALLEST_DIFFERENCE = 0.6
SETTLED = 0.1  # J/kg, about a millionth of the latent heat
FAILED = 1e6
SMALLEST_FLOW, LARGEST_FLOW = 5e-4, 1.0  # kg/s
CAPACITY_SETTLED = 1e-6


@dataclass(frozen=True, kw_only=True)
class CompressorDuty:
    """What stands in front of the condenser: suction state, compressor, and how much is asked of the circuit.

    Parameters
    ----------
    refrigerant : str
        One of the workbook's refrigerants.
    evaporating_temperature : float, [K]
        Dew temperature at the compressor's suction pressure, 233.15 to 303.15.
    superheat : float, [K]
        Of the suction gas, 0.1 to 40.
    isentropic_efficiency : float, [-]
        Loss-free work divided by real work, 0.2 to 1.
    mass_flow : float or None, [kg/s]
        Refrigerant flow; give this or the cooling capacity.
    cooling_capacity : float or None, [W]
        Heat taken in between the liquid line and the suction; the flow then follows, 50 to 100,000.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range, or not exactly one of flow and capacity is given.
    """

    refrigerant: str
    evaporating_temperature: float
    superheat: float = 5.0
    isentropic_efficiency: float = 0.65
    mass_flow: float | None = None
    cooling_capacity: float | None = None

    def __post_init__(self):
        checks = Checks()
        checks.within("evaporating temperature", self.evaporating_temperature, 233.15, 303.15, kind="temperature")
        checks.within("suction superheat", self.superheat, 0.1, 40.0, kind="temperature_difference")
        share = "a share of 1: 65 % is 0.65"
        checks.within("isentropic efficiency", self.isentropic_efficiency, 0.2, 1.0, kind="ratio", advice=share)
        if (self.mass_flow is None) == (self.cooling_capacity is None):
            checks.add("duty", "of the circuit", "is needed once", "give mass_flow or cooling_capacity, not both")
        if self.mass_flow is not None:
            advice = "mass flow is in kg/s inside the package: 45 g/s is 0.045"
            checks.within("refrigerant mass flow", self.mass_flow, 5e-4, 1.0, kind="mass_flow", advice=advice)
        if self.cooling_capacity is not None:
            advice = "capacity is in watt inside the package: 5 kW is 5000"
            checks.within("cooling capacity", self.cooling_capacity, 50.0, 1e5, kind="power", advice=advice)
        checks.raise_if_any()


@dataclass(frozen=True, slots=True)
class HeadPressureResult:
    """A condenser and a compressor that agree.

    duty; condenser: the solved core; condensing_pressure [Pa] and condensing_temperature [K] at the core's inlet;
    mass_flow [kg/s]; cooling_capacity, compressor_power, heat_rejection, fan_power [W];
    discharge_temperature [K]; coefficient_of_performance: without the fan; subcooling [K]
    """

    duty: CompressorDuty
    condenser: CondenserResult
    condensing_pressure: float
    condensing_temperature: float
    mass_flow: float
    cooling_capacity: float
    compressor_power: float
    heat_rejection: float
    fan_power: float
    discharge_temperature: float
    coefficient_of_performance: float
    subcooling: float


def condensing_pressure_for(spec, duty, air, *, subcooling=None, near=None):
    """Return the head pressure at which a core just condenses what the compressor sends.

    Parameters
    ----------
    spec : CondenserSpec
        The core.
    duty : CompressorDuty
        Suction state, compressor efficiency, and mass flow or cooling capacity.
    air : AirConditions
        The air in front of the core.
    subcooling : float or None, [K]
        Wanted at the core's outlet, 0 to 40; None means that liquid reaches the receiver just saturated.
    near : HeadPressureResult or None
        The answer to a question much like this one: the search begins there and takes half the time.

    Returns
    -------
    HeadPressureResult
        Condensing pressure, powers, flow, and the whole condenser solution.

    Raises
    ------
    OutOfRangeError
        If no target is given for a core without receiver.
    NoSolutionError
        If the core cannot condense this much below 95 % of the critical pressure.

    Notes
    -----
    Suction state and pressure are held. Lines between compressor and core are left out.

    References
    ----------
    Energy balance of compressor and condenser; the core as in `solve_condenser`.

    Examples
    --------
    >>> from thermo_kit.components.condenser import AirConditions, van_core
    >>> duty = CompressorDuty(refrigerant="R-1234yf", evaporating_temperature=278.15, cooling_capacity=4500.0)
    >>> head = condensing_pressure_for(van_core(), duty, AirConditions(temperature=308.15))
    >>> abs(head.condenser.receiver.enthalpy_above_liquid) < 1.0
    True
    """
    _check_target(spec, subcooling)
    circuit = _Circuit(spec, duty, air, subcooling)
    if near is not None:
        circuit.guess = near.condensing_temperature
    if duty.mass_flow is not None:
        return circuit.at_flow(duty.mass_flow)
    flow = near.mass_flow if near is not None else duty.cooling_capacity / circuit.first_effect()
    return _flow_for_capacity(circuit, duty.cooling_capacity, flow)


def _flow_for_capacity(circuit, capacity, flow):
    """Secant steps on the flow; a flow too large to be condensed is halved back towards the last that was."""
    good, bad = None, None
    for turn in range(40):
        settled = (300.0, 10.0)[turn] if turn < 2 else SETTLED  # the first flows are guesses: near enough will do
        try:
            found = circuit.at_flow(min(flow, LARGEST_FLOW), settled)
        except NoSolutionError:
            bad = flow
            if good is not None and bad / good[0] < 1.0001:
                raise
            flow = 0.5 * (flow + (good[0] if good else 0.0))
            if flow < SMALLEST_FLOW:
                raise
            continue
        miss = found.cooling_capacity / capacity - 1.0
        if abs(miss) < CAPACITY_SETTLED and settled == SETTLED:
            return found
        slope = 0.8 / flow
        if good is not None and abs(flow / good[0] - 1.0) > 1e-9:
            slope = min(max((miss - good[1]) / (flow - good[0]), 0.05 / flow), 1.5 / flow)
        good = (flow, miss)
        flow -= miss / slope
        if bad is not None and flow >= bad:
            flow = 0.5 * (good[0] + bad)
    raise _no_answer("refrigerant flow", "found no flow that gives this cooling capacity: ask for less")


def mass_flow_for(spec, duty, air, *, condensing_pressure, subcooling=None):
    """Return how much a core can condense at a given head pressure.

    Parameters
    ----------
    spec : CondenserSpec
        The core.
    duty : CompressorDuty
        Suction state and compressor efficiency; its flow or capacity is only the first guess.
    air : AirConditions
        The air in front of the core.
    condensing_pressure : float, [Pa]
        Absolute pressure at the core's inlet.
    subcooling : float or None, [K]
        As in `condensing_pressure_for`.

    Returns
    -------
    HeadPressureResult
        The flow that is condensed, with heat and powers.

    Raises
    ------
    OutOfRangeError
        If no target is given for a core without receiver, or the pressure does not suit the core.
    NoSolutionError
        If no flow from 0.5 g/s to 1 kg/s meets the target.

    References
    ----------
    As in `condensing_pressure_for`.
    """
    _check_target(spec, subcooling)
    checks = Checks()
    checks.within("condensing pressure", condensing_pressure, 0.0, 1e8, kind="pressure", exclusive=True)
    checks.raise_if_any()
    circuit = _Circuit(spec, duty, air, subcooling)
    temperature = circuit.refrigerant.dew_temperature(condensing_pressure)

    # Tenths of a factor e, counted backwards: on this scale a step moves the target about as much as a kelvin does.
    steps = 10.0 * math.log(1.0 / LARGEST_FLOW), 10.0 * math.log(1.0 / SMALLEST_FLOW)
    guess = -10.0 * math.log(duty.mass_flow or duty.cooling_capacity / circuit.first_effect())
    _falling_root(lambda step: circuit.lack(temperature, math.exp(-0.1 * step)), *steps, guess, _beyond_flow)
    return circuit.result()


class _Circuit:
    def __init__(self, spec, duty, air, subcooling):
        self.spec, self.duty, self.air, self.target = spec, duty, air, subcooling
        self.refrigerant = Refrigerant(canonical_name(duty.refrigerant))
        self.suction_pressure = self.refrigerant.dew_pressure(duty.evaporating_temperature)
        suction = self.refrigerant.at(p=self.suction_pressure, T=duty.evaporating_temperature + duty.superheat)
        self.suction_enthalpy, self.suction_entropy = suction.h, suction.s
        self.last = None
        self.guess, self.slope = air.temperature + 15.0, None
        self.low, self.high = self._limits()

    def _limits(self):
        r = self.refrigerant
        coldest = max(self.air.temperature + SMALLEST_DIFFERENCE, LOWEST_CONDENSING_TEMPERATURE + 1.0,
                      self.duty.evaporating_temperature + 1.0)  # fmt: skip
        hottest = r.dew_temperature(HIGHEST_REDUCED_PRESSURE * 0.9999 * r.critical_pressure)
        if coldest >= hottest - 1.0:
            checks = Checks()
            checks.within(
                "condenser inlet air", self.air.temperature, 243.15, hottest - 2.0, kind="temperature",
                advice=f"{r.name} cannot condense in air this hot: it needs a gas cooler",
            )  # fmt: skip
            checks.raise_if_any(OutOfRangeError)
        return coldest, hottest

    def first_effect(self):
        """Return a guess of the heat a kilogram takes in [J/kg]."""
        warm = min(self.guess, self.high) - 6.0
        liquid = saturation_table(self.refrigerant.name).at(self.refrigerant.dew_pressure(warm)).liquid_enthalpy
        return max(self.suction_enthalpy - liquid, 2e4)

    def at_flow(self, flow, settled=SETTLED):
        """Return the solution at the temperature at which this flow is just condensed to the target."""
        self.guess, self.slope = _falling_root(
            lambda T: self.lack(T, flow), self.low, self.high, self.guess, _beyond_temperature, self.slope, settled
        )
        return self.result()

    def lack(self, temperature, flow):
        """Return how far the core is from its target [J/kg]: positive when too little is condensed."""
        hot = self._hot_gas(temperature)
        inlet = RefrigerantInlet(refrigerant=self.refrigerant.name, mass_flow=flow, pressure=hot[0], temperature=hot[3])
        try:
            solved = solve_condenser(self.spec, inlet, self.air)
        except NoSolutionError:
            return FAILED
        self.last = (hot, solved)
        return self._distance(solved)

    def _hot_gas(self, temperature):
        p = self.refrigerant.dew_pressure(temperature)
        loss_free = self.refrigerant.at(p=p, s=self.suction_entropy).h - self.suction_enthalpy
        enthalpy = self.suction_enthalpy + loss_free / self.duty.isentropic_efficiency
        return p, temperature, enthalpy, self.refrigerant.at(p=p, h=enthalpy).T

    def _distance(self, solved):
        if self.target is None:
            return solved.receiver.enthalpy_above_liquid
        s = saturation_table(self.refrigerant.name).at(solved.outlet_pressure)
        above = max(solved.outlet_enthalpy - s.liquid_enthalpy, 0.0)
        return above + s.liquid_specific_heat * (self.target - solved.subcooling)

    def result(self):
        (_, temperature, enthalpy, hot_temperature), solved = self.last
        m = solved.inlet.mass_flow
        work = enthalpy - self.suction_enthalpy
        effect = self.suction_enthalpy - solved.outlet_enthalpy
        return HeadPressureResult(
            self.duty, solved, solved.condensing_pressure, temperature, m, m * effect, m * work,
            solved.heat_rejection, solved.air_side.fan_power, hot_temperature, effect / work, solved.subcooling,
        )  # fmt: skip


def _falling_root(function, low, high, guess, beyond, slope=None, settled=SETTLED):
    """Take secant steps, held inside the bracket found so far and halved where slow; return (root, slope)."""
    here = min(max(guess, low), high)
    value = function(here)
    left, right, slow = None, None, 0
    while abs(value) > settled:
        before, at_before = here, value
        if value > 0.0:
            left = here
        else:
            right = here
        if here == (high if value > 0.0 else low):
            raise beyond(here, value > 0.0)
        # A kelvin moves the target by some 8 kJ/kg while it condenses, and by far less once it is liquid.
        steep = slope or (-8e3 if value > 0.0 else -2e3)
        here = before + min(max(-value / steep, -9.0), 9.0)
        if left is not None and right is not None:
            if right - left < 1e-9:
                raise _no_answer("condenser", "jumps from too little to too much condensed: ask for less flow")
            if not left < here < right or slow >= 3:
                here, slow = 0.5 * (left + right), 0
        else:
            here = min(max(here, low), high)
        value = function(here)
        slow = slow + 1 if abs(value) > 0.5 * abs(at_before) else 0
        change = (value - at_before) / (here - before)
        slope = change if -1e5 < change < -100.0 else None
    return here, slope


def _beyond_flow(_, too_large):
    if too_large:
        return _no_answer("flow", "smaller than 0.5 g/s would be needed: raise the pressure or cool the air")
    return _no_answer("flow", "larger than 1 kg/s would still be condensed: check pressure and target")


def _beyond_temperature(limit, warmer):
    shown = format_quantity(limit, "temperature")
    if warmer:
        text = f"above {shown} would be needed, beyond 95 % of the critical pressure: less flow, more air, larger core"
    else:
        text = f"below {shown} would be needed: the core is far too large for this duty, or the suction is too warm"
    return _no_answer("condensing temperature", text)


def _check_target(spec, subcooling):
    checks = Checks()
    if subcooling is not None:
        checks.within("wanted subcooling", subcooling, 0.0, 40.0, kind="temperature_difference")
    elif spec.receiver_after is None:
        checks.add(
            "wanted subcooling", "is missing", "for a core without receiver",
            "the receiver would fix it: give subcooling in kelvin, for example 6.0",
        )  # fmt: skip
    checks.raise_if_any(InputError)


def _no_answer(what, text):
    return NoSolutionError(Problem(what, "has no answer", "", text))
