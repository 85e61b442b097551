"""The electronic expansion valve: a stepper moves the pin, a controller holds a superheat that two sensors report."""

import functools
import math
from dataclasses import dataclass

from thermo_kit.components.expansion_valve.solve import FedEvaporator, inlet_of, settle, settled_to
from thermo_kit.substances import Refrigerant
from thermo_kit.units import Spec, count, quantity

LIMITS = {
    "holds": "the controller holds its target",
    "upper limit": "the controller wants more and stands at its upper limit",
    "lower limit": "the controller wants less and stands at its lower limit",
}
"""What the controller can say of itself; that a pin does not follow, it cannot see."""


class ElectronicValveSpec(Spec):
    """An electronic expansion valve with its controller.

    The pin leaves its seat at the steps to open and stands at its stop at the full steps; between them the opening
    grows by the same area with every step. The controller keeps to its lowest and highest steps. The target is the
    superheat that it holds at the sensor behind the evaporator.

    Notes: Geometry, and a definition of the control; opening in proportion to the steps is common practice, no source.
        It is set in software: there is no screw.
    """

    port_diameter: float = quantity("length", 5e-4, 6e-3, "port diameter", 0.0016)
    full_steps: int = count(50, 4000, "steps from shut to fully open", 480)
    steps_to_open: int = count(0, 400, "steps until the pin leaves its seat", 20)
    lowest_steps: int = count(0, 4000, "lowest steps of the controller", 40)
    highest_steps: int = count(1, 4000, "highest steps of the controller", 480)
    target_superheat: float = quantity("temperature_difference", 1.0, 25.0, "target superheat", 6.0)

    def fit(self, checks):
        for name, low, high in (
            ("steps until the pin leaves its seat", self.steps_to_open, self.full_steps),
            ("lowest steps of the controller", self.lowest_steps, self.highest_steps),
        ):
            if low >= high:
                checks.add(name, f"{low}", f"is not below {high}", "were two of them swapped?")
        if self.highest_steps > self.full_steps:
            advice = "the motor would only rattle at its stop"
            told = f"is above the stop at {self.full_steps}"
            checks.add("highest steps of the controller", f"{self.highest_steps}", told, advice)


class ElectronicValveFault(Spec):
    """What is wrong with an electronic valve; all as it should be by default.

    A sensor that lies shows more than there is by its error, less where that is negative. A stuck pin stands at a
    number of steps, whatever is commanded (None follows).

    Notes: Definition of the faults.
    """

    temperature_error: float = quantity("temperature_difference", -20.0, 20.0, "error of the temperature sensor", 0.0)
    pressure_error: float = quantity("pressure_difference", -150e3, 150e3, "error of the pressure sensor", 0.0)
    stuck_at: int | None = count(0, 4000, "steps at which the pin sticks", None)


@dataclass(frozen=True, kw_only=True)
class ElectronicValveResult(FedEvaporator):
    """An electronic valve, its evaporator and the compressor at rest, SI; the first six are what a scan tool shows.

    target_superheat [K]; shown_superheat: what the controller believes [K]; commanded_steps; shown_pressure [Pa] and
    shown_temperature [K]: of the sensor behind the evaporator; limit: a key of LIMITS; spec: what was
    asked; steps: where the pin stands; opening_share: area by full area
    """

    target_superheat: float
    shown_superheat: float
    commanded_steps: int
    shown_pressure: float
    shown_temperature: float
    limit: str
    spec: ElectronicValveSpec
    steps: int
    opening_share: float


def sensed_superheat(refrigerant, *, pressure, temperature):
    """Return the superheat that a controller works out from its two sensors.

    Parameters
    ----------
    refrigerant : str. The refrigerant that the controller was told.
    pressure : float, [Pa]. Absolute, as the sensor shows it.
    temperature : float, [K]. As the sensor shows it.

    Returns: float, [K]. Temperature above the dew point; negative where the two sensors contradict each other. Raises
        OutOfRangeError if the pressure has no dew point.

    Notes: Definition of superheat. A pressure error of 10 kPa near 0 °C moves it by about 1 K with R-134a.

    Examples
    --------
    >>> round(sensed_superheat("R-134a", pressure=292803, temperature=279.15), 2)
    6.0
    """
    return temperature - Refrigerant(refrigerant).dew_temperature(pressure)


def solve_electronic_valve(spec, duty, *, fault=None):
    """Return what an electronic valve, its evaporator and the compressor settle to, and what a scan tool shows.

    Parameters
    ----------
    spec : ElectronicValveSpec. Valve and controller.
    duty : EvaporatorDuty. What it is fed with, what it feeds, how hard the compressor draws.
    fault : ElectronicValveFault, optional. A sensor that lies or a pin that sticks.

    Returns: ElectronicValveResult. Target, shown and true superheat, steps, limits, sensor values, low side, cooling,
        closures.

    Raises: NoSolutionError. As `solve_valve`.

    Notes: At rest only: the controller has stopped moving. It stands at the whole step whose shown superheat is nearest
        to the target, within its limits. How fast it gets there, and whether it swings, is not computed. Near the
        target a real evaporator swings by itself below some superheat (Huelle's line of least stable superheat), which
        is left out.

    References: Flow: single orifice with Wile's coefficient, see `discharge_coefficient`. Control of superheat from
        pressure and temperature: definition. Evaporator as in `solve_valve`.

    Examples
    --------
    >>> from thermo_kit.components.expansion_valve import EvaporatorDuty
    >>> duty = EvaporatorDuty(refrigerant="R-134a", condensing_temperature=323.15)
    >>> found = solve_electronic_valve(ElectronicValveSpec(), duty)
    >>> found.limit, round(found.superheat)
    ('holds', 6)
    """
    fault = fault or ElectronicValveFault()
    inlet, fluid = inlet_of(duty), Refrigerant(duty.refrigerant)

    def flow_at(steps):
        area = 0.25 * math.pi * spec.port_diameter**2 * _opening_share(spec, steps)

        def flow(outlet_pressure, _outlet_temperature, behind_volume):
            return inlet.through(area, outlet_pressure + duty.pressure_drop, behind_volume)

        return flow

    @functools.cache
    def at(steps):
        return settle(duty, inlet, flow_at(steps))

    def shown(draw):
        pressure = max(draw.evaporating_pressure + fault.pressure_error, fluid.lowest_pressure)
        temperature = draw.outlet_temperature + fault.temperature_error
        return pressure, temperature, sensed_superheat(fluid.name, pressure=pressure, temperature=temperature)

    def believed(steps):
        return shown(at(steps))[2]

    commanded, limit = _commanded(spec, believed, fault.stuck_at)
    steps = commanded if fault.stuck_at is None else min(fault.stuck_at, spec.full_steps)
    pressure, temperature, superheat = shown(at(steps))
    return ElectronicValveResult(
        **settled_to(at(steps), duty, inlet.enthalpy, flow_at(steps)),
        target_superheat=spec.target_superheat,
        shown_superheat=superheat,
        commanded_steps=commanded,
        shown_pressure=pressure,
        shown_temperature=temperature,
        limit=limit,
        spec=spec,
        steps=steps,
        opening_share=_opening_share(spec, steps),
    )


def _opening_share(spec, steps):
    """Return the share of the full port that is open at a number of steps."""
    return min(max((steps - spec.steps_to_open) / (spec.full_steps - spec.steps_to_open), 0.0), 1.0)


def _commanded(spec, believed, stuck_at):
    """Return (steps, key of LIMITS) of a controller; believed: superheat [K] at a number of steps, falling."""
    target = spec.target_superheat
    if stuck_at is not None:
        error = believed(min(stuck_at, spec.full_steps)) - target
        if abs(error) < 1.0:
            return min(max(stuck_at, spec.lowest_steps), spec.highest_steps), "holds"
        return (spec.highest_steps, "upper limit") if error > 0.0 else (spec.lowest_steps, "lower limit")
    low, high = spec.lowest_steps, spec.highest_steps
    if believed(high) > target:
        return high, "upper limit"
    if believed(low) < target:
        return low, "lower limit"
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if believed(middle) > target else (low, middle)
    return min(low, high, key=lambda steps: abs(believed(steps) - target)), "holds"
