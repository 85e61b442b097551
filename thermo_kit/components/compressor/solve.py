"""Flow, power, currents and hot gas of an electric scroll compressor."""

import math
from dataclasses import dataclass, replace

from thermo_kit.components.compressor.scroll import Pocket, run_scroll, too_hot
from thermo_kit.components.compressor.spec import CompressorConditions, CompressorSpec
from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.laws.closure import closed
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.stream import Stream
from thermo_kit.units import Amount, Checks, Said, celsius

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
    isentropic_efficiency: loss-free power by electric power; internal_efficiency: loss-free work by work in the
    pocket; motor_efficiency, inverter_efficiency; gas_power [W]: done on the gas in the pockets; shaft_power,
    motor_power, electric_power [W]: into shaft, motor, inverter; friction_loss, motor_loss, inverter_loss [W];
    heat_loss [W]: to the air; torque [N m]; supply_current [A]: direct; line_current [A]: in each of the three
    lines, effective; line_voltage [V]: between two of the three lines, effective, first harmonic;
    line_voltage_limit [V]: most that the inverter can make; mismatch_loss [W]: part of the gas power that a fitting
    volume ratio would save; pocket: Pocket; energy_closure [-];
    mass_closure [-]: gas swept in against gas that leaves or leaks; notes
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
    internal_efficiency: float
    motor_efficiency: float
    inverter_efficiency: float
    gas_power: float
    shaft_power: float
    motor_power: float
    electric_power: float
    friction_loss: float
    motor_loss: float
    inverter_loss: float
    heat_loss: float
    torque: float
    supply_current: float
    line_current: float
    line_voltage: float
    line_voltage_limit: float
    mismatch_loss: float
    pocket: Pocket
    energy_closure: float
    mass_closure: float
    notes: tuple[str, ...]

    @property
    def mass_flow(self):
        """What leaves and comes [kg/s]."""
        return self.outlet.mass_flow

    @property
    def suction_enthalpy(self):
        """Of the gas that comes [J/kg]."""
        return self.suction.enthalpy

    @property
    def discharge_enthalpy(self):
        """Of the gas that leaves [J/kg]."""
        return self.outlet.enthalpy


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
    run = run_scroll(spec, gas, conditions, fluid)
    flow, electric = run.mass_flow, run.electric_power
    loss_free = fluid.at(p=conditions.discharge_pressure, s=run.suction.s).h - run.suction.h
    try:
        heat_loss, discharge = _hot_end(spec, conditions, fluid, run)
    except OutOfRangeError as reason:
        raise too_hot() from reason
    line_current = run.torque / spec.torque_constant
    line_voltage = run.motor_power / (SQRT3 * line_current * spec.power_factor)
    voltage_limit = conditions.supply_voltage / math.sqrt(2.0)
    if line_voltage > voltage_limit:
        raise _too_fast(conditions, line_voltage, voltage_limit)
    pocket = run.pocket
    closed_in = pocket.opening_pressure / pocket.pressure
    outside = pocket.discharge_pressure / pocket.pressure
    fitted = fluid.at(p=pocket.discharge_pressure, s=pocket.entropy).h - pocket.enthalpy
    swept = spec.displacement * run.turns * pocket.density
    closure = abs(electric - flow * (discharge.h - run.suction.h) - heat_loss) / electric
    mass_closure = abs(swept - flow - run.leakage_flow) / swept
    closed(energy_of_the_compressor=closure, mass_of_the_compressor=mass_closure)
    gas_in = replace(suction, mass_flow=flow)
    return CompressorResult(
        spec=spec,
        conditions=conditions,
        suction=gas_in,
        outlet=gas_in.at(pressure=conditions.discharge_pressure, enthalpy=discharge.h),
        suction_temperature=run.suction.T,
        leakage_flow=run.leakage_flow,
        pressure_ratio=conditions.discharge_pressure / suction.pressure,
        built_in_pressure_ratio=closed_in,
        mismatch=_mismatch(closed_in, outside),
        discharge_temperature=discharge.T,
        temperature_margin=spec.discharge_temperature_limit - discharge.T,
        volumetric_efficiency=flow / (spec.displacement * run.turns * run.suction.rho),
        isentropic_efficiency=flow * loss_free / electric,
        internal_efficiency=fitted / pocket.work,
        motor_efficiency=run.shaft_power / run.motor_power,
        inverter_efficiency=run.motor_power / electric,
        gas_power=run.gas_power,
        shaft_power=run.shaft_power,
        motor_power=run.motor_power,
        electric_power=electric,
        friction_loss=run.shaft_power - run.gas_power,
        motor_loss=run.motor_power - run.shaft_power,
        inverter_loss=electric - run.motor_power,
        heat_loss=heat_loss,
        torque=run.torque,
        supply_current=electric / conditions.supply_voltage,
        line_current=line_current,
        line_voltage=line_voltage,
        line_voltage_limit=voltage_limit,
        mismatch_loss=(flow + run.leakage_flow) * (pocket.work - fitted),
        pocket=pocket,
        energy_closure=closure,
        mass_closure=mass_closure,
        notes=_notes(spec, discharge.T, line_current, pocket),
    )


def _hot_end(spec, conditions, fluid, run):
    """The hot gas warms the housing's end, which the air cools: one linear balance on its enthalpy."""
    p = conditions.discharge_pressure
    leaving = fluid.at(p=p, h=run.hot_enthalpy)
    cooled = leaving
    for _ in range(4):
        loss = spec.heat_loss_coefficient * (0.5 * (leaving.T + cooled.T) - conditions.ambient_temperature)
        before, cooled = cooled, fluid.at(p=p, h=run.hot_enthalpy - loss / run.mass_flow)
        if abs(cooled.T - before.T) < 1e-3:
            break
    return loss, cooled


def _mismatch(closed_in, outside):
    if abs(outside / closed_in - 1.0) < NEAR_BUILT_IN:
        return "matched"
    return "under-compression" if outside > closed_in else "over-compression"


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


def _too_fast(conditions, needed, limit):
    return NoSolutionError.about(
        "voltage between the motor lines",
        Amount(needed, "voltage"),
        Said(
            "is more than the {} that an inverter makes of {} direct voltage",
            Amount(limit, "voltage"),
            Amount(conditions.supply_voltage, "voltage"),
        ),
        "less speed, less load, or a motor wound for this voltage",
    )


def _notes(spec, hot, current, pocket):
    notes = []
    if hot > spec.discharge_temperature_limit:
        notes.append(
            "The hot gas is beyond the limit: oil and winding insulation age fast. "
            "The control would slow the compressor down."
        )
    if current > spec.current_limit:
        notes.append("The line current is beyond the limit: the inverter would slow the compressor down or stop it.")
    if pocket.opening_pressure > 1.4 * pocket.discharge_pressure:
        notes.append(
            "Much over-compression: real machines often have a relief or discharge valve here; the model has none."
        )
    notes.append(
        "Constants of an invented machine; after fitting to tests such models scatter by about 5 % in flow "
        "and 10 % in power."
    )
    return tuple(notes)
