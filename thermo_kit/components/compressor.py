"""The electric scroll compressor: what it pumps, draws and heats up, and how well over its whole range."""

import functools
import math
from dataclasses import dataclass, replace

from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.laws.closure import closed
from thermo_kit.substances import Refrigerant, Stream
from thermo_kit.units import Amount, Checks, Said, Spec, UnitSystem, celsius, from_display, quantity

HIGHEST_DISCHARGE_PRESSURE = 1.6e7


def rpm(number):
    """Turn revolutions per minute into radians per second.

    Parameters
    ----------
    number : float, [r/min]. Speed.

    Returns: float, [rad/s]. The same speed.

    Notes: Definition.

    Examples
    --------
    >>> round(rpm(6000), 1)
    628.3
    """
    return from_display(number, "rotational_speed", UnitSystem.SI)


_PORT = "120 mm² is 120e-6 m²"


class CompressorSpec(Spec):
    """A scroll with its motor and inverter in one housing; the suction gas cools both.

    The displacement is the gas closed in at each turn; the built-in volume ratio that of a pocket when it closes, by
    its volume when it opens to the discharge; the leakage area is that of all gaps together, a port's area that of
    its narrowest place. The torque constant is torque by effective current in each of the three lines, the iron loss
    its watts for each rad/s. Heat is lost from the hot end of the housing.

    Notes: Data: the vessel of a model, not a maker's figures. Limits of speed and temperature are common practice.
    """

    displacement: float = quantity(
        "displacement", 1e-6, 3e-4, "displacement", advice="read it off the maker's data: 34 cm³ is 34e-6 m³"
    )
    built_in_volume_ratio: float = quantity(
        "ratio", 1.2, 5.0, "built-in volume ratio", advice="large pocket by small pocket, usually 2 to 3"
    )
    leakage_area: float = quantity("area", 0.0, 2e-5, "leakage area", advice="0.5 mm² is 0.5e-6 m²")
    suction_port_area: float = quantity("area", 1e-5, 5e-3, "suction port area", advice=_PORT)
    discharge_port_area: float = quantity("area", 1e-5, 5e-3, "discharge port area", advice=_PORT)
    friction_torque: float = quantity("torque", 0.0, 5.0, "friction torque")
    torque_constant: float = quantity("torque_constant", 0.05, 5.0, "torque constant")
    phase_resistance: float = quantity(
        "winding_resistance", 0.0, 20.0, "phase resistance", advice="ohms of one winding"
    )
    iron_loss: float = quantity("torque", 0.0, 2.0, "iron loss", 0.08, advice="watts for each rad/s")
    power_factor: float = quantity("ratio", 0.5, 1.0, "power factor", 0.92, advice="a share: 92 % is 0.92")
    inverter_idle_loss: float = quantity("electric_power", 0.0, 500.0, "inverter idle loss", 25.0)
    inverter_loss_share: float = quantity("ratio", 0.0, 0.2, "inverter loss share", 0.025, advice="3 % is 0.03")
    heat_loss_coefficient: float = quantity("conductance", 0.0, 50.0, "heat loss coefficient", 1.5)
    lowest_speed: float = quantity("rotational_speed", rpm(100), rpm(20000), "lowest speed", rpm(800))
    highest_speed: float = quantity("rotational_speed", rpm(100), rpm(20000), "highest speed", rpm(8600))
    discharge_temperature_limit: float = quantity(
        "temperature", celsius(60), celsius(180), "discharge temperature limit", celsius(115)
    )
    current_limit: float = quantity("current", 0.5, 500.0, "current limit", 30.0)
    usual_voltage: float = quantity("voltage", 40.0, 1000.0, "voltage that it is wound for", 400.0)

    def fit(self, checks):
        if self.lowest_speed >= self.highest_speed:
            limit = Said("is not below the highest, {}", Amount(self.highest_speed, "rotational_speed"))
            checks.add("lowest speed", Amount(self.lowest_speed, "rotational_speed"), limit, "the two were swapped?")


class CompressorConditions(Spec):
    """How a compressor is run: pressure behind it, speed, direct voltage at the inverter, air round the housing.

    Notes: Data.
    """

    discharge_pressure: float = quantity("pressure", 2e4, HIGHEST_DISCHARGE_PRESSURE, "discharge pressure")
    speed: float = quantity(
        "rotational_speed", rpm(100), rpm(20000), "speed",
        advice="a standing compressor pumps nothing; speeds are rad/s inside the package: 6000 r/min is 628 rad/s",
    )  # fmt: skip
    supply_voltage: float = quantity(
        "voltage", 40.0, 1000.0, "supply voltage", 400.0,
        advice="direct voltage of the high-voltage battery, not of the 12-volt system",
    )  # fmt: skip
    ambient_temperature: float = quantity(
        "temperature", celsius(-40), celsius(120), "air round the compressor", celsius(35)
    )


MOST_STEPS = 40
TIGHT = 1e-9


@dataclass(frozen=True, kw_only=True, slots=True)
class Pocket:
    """One pocket on its way from closing to opening.

    pressure, density, enthalpy, entropy, temperature: when it closes [Pa, kg/m³, J/kg, J/(kg K), K];
    volume_ratio [-]; opening_pressure [Pa]: reached by itself when it opens;
    discharge_pressure [Pa]: in front of the discharge port; work [J/kg]: on the gas, flow work included;
    exponent [-]: of the curve p vⁿ between closing and opening
    """

    pressure: float
    density: float
    enthalpy: float
    entropy: float
    temperature: float
    volume_ratio: float
    opening_pressure: float
    discharge_pressure: float
    work: float
    exponent: float

    def pressure_at(self, share):
        """Return the pressure while the pocket shrinks, its volume a share of what it closed with.

        Parameters
        ----------
        share : float, [-]. From 1 down; beyond the opening the curve is continued.

        Returns: float, [Pa]. Pressure on the loss-free curve.

        Notes: Definition of the exponent.
        """
        return self.pressure * share**-self.exponent


def run_scroll(spec, suction, conditions, fluid):
    """Find the gas in the closing pocket for which all balances hold.

    Returns: mass flow [kg/s], enthalpy in front of the hot end [J/kg], and what the result takes over by its name.

    Notes: One unknown, the enthalpy in the closing pocket: losses and leaking gas warm what the port lets in. Its
        balance is nearly linear, so that secant steps need three to five rounds, and the last turn looked at is the
        answer.

    References: Lemort, doctoral thesis, University of Liege 2008 (the balances; there with a wall as a second unknown).
    """
    turns = conditions.speed / (2.0 * math.pi)
    drop = _port_drop(spec.displacement * turns * suction.rho, spec.suction_port_area, suction.rho)
    inside = suction.p - drop
    if inside < 0.6 * suction.p:
        taken = f"takes {drop / suction.p * 100:.0f} % of the pressure"
        raise NoSolutionError.about("suction port", taken, "", "less speed or a wider port")

    def turned(enthalpy):
        closed_in = fluid.at(p=inside, h=enthalpy)
        through = spec.displacement * turns * closed_in.rho
        pocket = _compress(spec, conditions, fluid, closed_in, through)
        hot = closed_in.h + pocket.work
        leak = _nozzle(spec.leakage_area, pocket, inside)
        flow = through - leak
        if flow < 0.05 * through:
            advice = "more speed, tighter gaps or a lower pressure ratio"
            raise NoSolutionError.about("leak", "eats up the flow", "", advice)
        powers = _drive(spec, conditions.speed, through * pocket.work)
        warming = powers["electric_power"] - powers["gas_power"]
        warmed = (flow * suction.h + warming + leak * hot) / through
        return warmed - enthalpy, flow, hot, {"leakage_flow": leak, "pocket": pocket, **powers}

    try:
        old = suction.h + 0.02 * (2.0 if spec.leakage_area else 1.0) * 1e5
        old_miss = turned(old)[0]
        new = old + old_miss
        for _ in range(MOST_STEPS):
            miss, *found = turned(new)
            if abs(miss) < TIGHT * 1e5:
                return found
            slope = (miss - old_miss) / (new - old)
            old, old_miss = new, miss
            new -= miss / slope if slope < -0.1 else -0.5 * miss
    except OutOfRangeError as reason:
        raise too_hot() from reason
    raise too_hot()


def too_hot():
    """Return the error for gas that leaks round and round until no data are left."""
    advice = "the pressure ratio is high or much leaks back: more speed or a lower discharge pressure"
    return NoSolutionError.about("gas in the compressor", "warms up beyond the property data", "", advice)


def _compress(spec, conditions, fluid, closed, through):
    """Loss-free to the built-in ratio, then at constant volume to the pressure behind the opening."""
    ratio = spec.built_in_volume_ratio
    opening = fluid.at(rho=closed.rho * ratio, s=closed.s)
    outside = conditions.discharge_pressure + _port_drop(through, spec.discharge_port_area, opening.rho)
    return Pocket(
        pressure=closed.p, density=closed.rho, enthalpy=closed.h, entropy=closed.s, temperature=closed.T,
        volume_ratio=ratio, opening_pressure=opening.p, discharge_pressure=outside,
        work=opening.h - closed.h + (outside - opening.p) / opening.rho,
        exponent=math.log(opening.p / closed.p) / math.log(ratio),
    )  # fmt: skip


def _port_drop(flow, area, density):
    return (flow / area) ** 2 / (2.0 * density)


def _nozzle(area, pocket, low):
    """Loss-free nozzle flow from discharge to suction, choked where the pressure ratio is large."""
    k = max(pocket.exponent, 1.02)
    high = pocket.discharge_pressure
    density = pocket.density * (high / pocket.pressure) ** (1.0 / k)
    ratio = max(low / high, (2.0 / (k + 1.0)) ** (k / (k - 1.0)))
    term = 2.0 * k / (k - 1.0) * high * density * (ratio ** (2.0 / k) - ratio ** ((k + 1.0) / k))
    return area * math.sqrt(max(term, 0.0))


def _drive(spec, speed, gas_power):
    """What goes into shaft, motor and inverter [W], and the torque [N m]."""
    shaft = gas_power + spec.friction_torque * speed
    torque = shaft / speed
    current = torque / spec.torque_constant
    motor = shaft + 3.0 * spec.phase_resistance * current**2 + spec.iron_loss * speed
    electric = motor * (1.0 + spec.inverter_loss_share) + spec.inverter_idle_loss
    return {"gas_power": gas_power, "shaft_power": shaft, "motor_power": motor, "electric_power": electric,
            "torque": torque}  # fmt: skip


SQRT3 = math.sqrt(3.0)
NEAR_BUILT_IN = 0.05


@dataclass(frozen=True, kw_only=True, slots=True)
class CompressorResult:
    """A running compressor.

    spec, conditions: what was asked; suction, outlet: gas in and out, with the mass flow [kg/s]; suction_temperature
    [K]; leakage_flow [kg/s]: goes back inside; pressure_ratio [-];
    built_in_pressure_ratio [-]: what the closed pocket reaches by itself; mismatch: "over-compression",
    "under-compression" or "matched"; discharge_temperature [K]; temperature_margin [K]: to the limit, negative
    beyond it; volumetric_efficiency: flow by displacement × speed × density at the suction port;
    isentropic_efficiency: loss-free power by electric power; motor_efficiency, inverter_efficiency;
    gas_power [W]: done on the gas in the pockets; shaft_power, motor_power, electric_power [W]: into shaft, motor,
    inverter; heat_loss [W]: to the air; torque [N m];
    supply_current [A]: direct; line_current [A]: in each of the three lines, effective;
    line_voltage [V]: between two of the three lines, effective, first harmonic;
    mismatch_loss [W]: part of the gas power that a fitting volume ratio would save; pocket: Pocket; energy_closure [-];
    notes
    """

    spec: CompressorSpec
    conditions: CompressorConditions
    suction: Stream
    outlet: Stream
    suction_temperature: float
    leakage_flow: float
    pressure_ratio: float
    built_in_pressure_ratio: float
    mismatch: str
    discharge_temperature: float
    temperature_margin: float
    volumetric_efficiency: float
    isentropic_efficiency: float
    motor_efficiency: float
    inverter_efficiency: float
    gas_power: float
    shaft_power: float
    motor_power: float
    electric_power: float
    heat_loss: float
    torque: float
    supply_current: float
    line_current: float
    line_voltage: float
    mismatch_loss: float
    pocket: Pocket
    energy_closure: float
    notes: tuple[str, ...]

    @property
    def mass_flow(self):
        """What leaves and comes [kg/s]."""
        return self.outlet.mass_flow

    @property
    def suction_enthalpy(self):
        """Of the gas that comes [J/kg]."""
        return self.suction.enthalpy


def solve_compressor(spec, suction, conditions):
    """Return what an electric scroll compressor pumps, draws and heats up at given pressures and speed.

    Parameters
    ----------
    spec : CompressorSpec. The machine.
    suction : Stream. Dry gas at the suction port; the machine decides how much of it it takes.
    conditions : CompressorConditions. Pressure behind it, speed, voltage, air around.

    Returns: CompressorResult. All in SI. Raises OutOfRangeError if the speed is outside the machine's range, or liquid
        comes to the suction port; NoSolutionError if the voltage is too low for the speed, the leak eats up the flow,
        or the balances do not close.

    Notes: Losses of inverter, motor and friction heat the suction gas; heat leaves from the hot end to the air. Leaking
        gas returns to the suction side through a nozzle. Internal compression is loss-free to the built-in volume
        ratio, then at constant volume to the pressure in front of the discharge port. No discharge valve, no oil, no
        gas injection. The constants of a machine are fitted to tests; without them treat flow as ±5 %, power as ±10 %,
        and the hot gas as ±5 K, which is the usual scatter of such models after fitting (Dardenne et al. 2015).

    References: Winandy, Saavedra & Lebrun, Applied Thermal Engineering 22 (2002) 107-120 (the form of the model);
        Lemort, doctoral thesis, University of Liege 2008 (isentropic, then constant-volume compression, leak nozzle);
        Cuevas, Lebrun, Lemort & Winandy, Applied Thermal Engineering 30 (2010) 605-615 (R-134a tests); Dardenne et al.,
        Int. J. Refrigeration 54 (2015) 76-87 (variable speed).

    Examples
    --------
    >>> from thermo_kit.components.compressor import rpm
    >>> from thermo_kit.fleet import part_of
    >>> from thermo_kit.substances.stream import stream_at
    >>> van = solve_compressor(part_of("parcel_van", "compressor"), stream_at("R-1234yf", p=3e5, T=283.15),
    ...     CompressorConditions(discharge_pressure=15e5, speed=rpm(4000)))
    >>> van.mismatch
    'under-compression'
    """
    fluid = Refrigerant(suction.refrigerant)
    gas = _checked(spec, suction, conditions, fluid)
    flow, hot, found = run_scroll(spec, gas, conditions, fluid)
    electric, motor, shaft, pocket = (
        found[name] for name in ("electric_power", "motor_power", "shaft_power", "pocket")
    )
    loss_free = fluid.at(p=conditions.discharge_pressure, s=gas.s).h - gas.h
    try:
        heat_loss, discharge = _hot_end(spec, conditions, fluid, hot, flow)
    except OutOfRangeError as reason:
        raise too_hot() from reason
    line_current = found["torque"] / spec.torque_constant
    line_voltage = motor / (SQRT3 * line_current * spec.power_factor)
    voltage_limit = conditions.supply_voltage / math.sqrt(2.0)
    if line_voltage > voltage_limit:
        told = "is more than the {} that an inverter makes of {} direct voltage"
        limit = Said(told, Amount(voltage_limit, "voltage"), Amount(conditions.supply_voltage, "voltage"))
        advice = "less speed, less load, or a motor wound for this voltage"
        raise NoSolutionError.about("voltage between the motor lines", Amount(line_voltage, "voltage"), limit, advice)
    closed_in, outside = pocket.opening_pressure / pocket.pressure, pocket.discharge_pressure / pocket.pressure
    unlike = "under" if outside > closed_in else "over"
    fitted = fluid.at(p=pocket.discharge_pressure, s=pocket.entropy).h - pocket.enthalpy
    turns, leak = conditions.speed / (2.0 * math.pi), found["leakage_flow"]
    closure = abs(electric - flow * (discharge.h - gas.h) - heat_loss) / electric
    closed(energy_of_the_compressor=closure)
    gas_in = replace(suction, mass_flow=flow)
    return CompressorResult(
        **found,
        spec=spec,
        conditions=conditions,
        suction=gas_in,
        outlet=gas_in.at(pressure=conditions.discharge_pressure, enthalpy=discharge.h),
        suction_temperature=gas.T,
        pressure_ratio=conditions.discharge_pressure / suction.pressure,
        built_in_pressure_ratio=closed_in,
        mismatch="matched" if abs(outside / closed_in - 1.0) < NEAR_BUILT_IN else f"{unlike}-compression",
        discharge_temperature=discharge.T,
        temperature_margin=spec.discharge_temperature_limit - discharge.T,
        volumetric_efficiency=flow / (spec.displacement * turns * gas.rho),
        isentropic_efficiency=flow * loss_free / electric,
        motor_efficiency=shaft / motor,
        inverter_efficiency=motor / electric,
        heat_loss=heat_loss,
        supply_current=electric / conditions.supply_voltage,
        line_current=line_current,
        line_voltage=line_voltage,
        mismatch_loss=(flow + leak) * (pocket.work - fitted),
        energy_closure=closure,
        notes=tuple(_notes(spec, discharge.T, line_current, pocket)),
    )


def _hot_end(spec, conditions, fluid, hot, flow):
    """The hot gas warms the housing's end, which the air cools: one linear balance on its enthalpy."""
    p = conditions.discharge_pressure
    leaving = fluid.at(p=p, h=hot)
    cooled = leaving
    for _ in range(4):
        loss = spec.heat_loss_coefficient * (0.5 * (leaving.T + cooled.T) - conditions.ambient_temperature)
        before, cooled = cooled, fluid.at(p=p, h=hot - loss / flow)
        if abs(cooled.T - before.T) < 1e-3:
            break
    return loss, cooled


def _checked(spec, suction, conditions, fluid):
    """Refuse what cannot run; return the state of the suction gas."""
    checks = Checks()
    p, behind = suction.pressure, conditions.discharge_pressure
    checks.within("speed", conditions.speed, spec.lowest_speed, spec.highest_speed, kind="rotational_speed",
                  advice="outside the range the maker allows for this compressor; speeds are rad/s inside "
                         "the package: 6000 r/min is 628 rad/s")  # fmt: skip
    checks.within("suction pressure", p, 2e4, 7e6, kind="pressure")
    if not checks.problems and behind <= p:
        checks.add("suction pressure", Amount(p, "pressure"),
                   Said("is not below the discharge pressure, {}", Amount(behind, "pressure")),
                   "are the two gauges swapped, or is the system at rest?")  # fmt: skip
    elif not checks.problems and not 1.02 <= behind / p <= 15.0:
        checks.add("pressure ratio", f"{behind / p:.2f}", "is outside 1.02 to 15, the range of this model",
                   "ratio of absolute pressures: was a gauge reading used as absolute?")  # fmt: skip
    checks.raise_if_any()
    gas = suction.state
    checks.within("suction temperature", gas.T, celsius(-50), celsius(80), kind="temperature")
    if p < fluid.critical_pressure:
        dew = fluid.dew_temperature(p)
        if dew + 0.05 > gas.T:
            checks.add("suction temperature", Amount(gas.T, "temperature"),
                       Said("is not above the dew point, {}", Amount(dew, "temperature")),
                       "liquid would come to the compressor: check gauge, clamp and superheat")  # fmt: skip
    checks.raise_if_any()
    return gas


def _notes(spec, hot, current, pocket):
    if hot > spec.discharge_temperature_limit:
        yield (
            "The hot gas is beyond the limit: oil and winding insulation age fast. "
            "The control would slow the compressor down."
        )
    if current > spec.current_limit:
        yield "The line current is beyond the limit: the inverter would slow the compressor down or stop it."
    if pocket.opening_pressure > 1.4 * pocket.discharge_pressure:
        yield ("Much over-compression: real machines often have a relief or discharge valve here; the model has none.")
    yield (
        "Constants of an invented machine; after fitting to tests such models scatter by about 5 % in flow "
        "and 10 % in power."
    )


SPEEDS = 9
RATIOS = (1.3, 1.6, 2.0, 2.4, 2.9, 3.5, 4.2, 5.0, 6.0, 7.0)


@dataclass(frozen=True, kw_only=True)
class EfficiencyMap:
    """Isentropic efficiency over speed and pressure ratio, for one state of the suction gas.

    spec: the machine; suction: the gas that comes; supply_voltage [V]; speeds [rad/s];
    ratios [-]; efficiency [-]: one row for each ratio, None where the machine cannot run;
    built_in_pressure_ratio [-]: of the pocket at middle speed; best_speed [rad/s], best_ratio, best_efficiency
    """

    spec: CompressorSpec
    suction: Stream
    supply_voltage: float
    speeds: tuple[float, ...]
    ratios: tuple[float, ...]
    efficiency: tuple[tuple[float | None, ...], ...]
    built_in_pressure_ratio: float
    best_speed: float
    best_ratio: float
    best_efficiency: float


@functools.lru_cache(maxsize=24)
def efficiency_map(spec, suction, *, supply_voltage=400.0):
    """Return the isentropic efficiency over the machine's range, worked out once and kept.

    Parameters
    ----------
    spec : CompressorSpec. The machine.
    suction : Stream. Dry gas at the suction port.
    supply_voltage : float, [V]. Direct voltage at the inverter.

    Returns: EfficiencyMap. Ninety operating points. Raises OutOfRangeError if the suction gas is not dry or outside the
        range of the model; NoSolutionError if the machine can run nowhere.

    Notes: Where voltage, property data or the model's range of discharge pressure end, the map has a gap.

    References: `solve_compressor`.
    """
    step = (spec.highest_speed - spec.lowest_speed) / (SPEEDS - 1)
    speeds = (*(spec.lowest_speed + k * step for k in range(SPEEDS - 1)), spec.highest_speed)
    # This point also refuses a suction state that is wrong; on the map itself such an error would pass for a gap.
    discharge = min(2.5 * suction.pressure, HIGHEST_DISCHARGE_PRESSURE)
    middle = _run(spec, suction, discharge, speeds[SPEEDS // 2], supply_voltage)
    rows = tuple(
        tuple(_efficiency(spec, suction, r * suction.pressure, n, supply_voltage) for n in speeds) for r in RATIOS
    )
    best, best_speed, best_ratio = max(
        (value, n, r)
        for r, row in zip(RATIOS, rows, strict=True)
        for n, value in zip(speeds, row, strict=True)
        if value
    )
    return EfficiencyMap(
        spec=spec,
        suction=suction,
        supply_voltage=supply_voltage,
        speeds=speeds,
        ratios=RATIOS,
        efficiency=rows,
        built_in_pressure_ratio=middle.built_in_pressure_ratio,
        best_speed=best_speed,
        best_ratio=best_ratio,
        best_efficiency=best,
    )


def _run(spec, suction, discharge, speed, voltage):
    conditions = CompressorConditions(discharge_pressure=discharge, speed=speed, supply_voltage=voltage)
    return solve_compressor(spec, suction, conditions)


def _efficiency(*point):
    try:
        return _run(*point).isentropic_efficiency
    except (NoSolutionError, OutOfRangeError):
        return None
