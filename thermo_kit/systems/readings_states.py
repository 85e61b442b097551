"""What gauges and clamps show, the states behind it, and how well the instruments know them."""

import functools
import math
from dataclasses import dataclass, replace

from thermo_kit.errors import OutOfRangeError
from thermo_kit.substances import StatePoint
from thermo_kit.systems.cycle_result import ON_THE_LINE
from thermo_kit.units import Spec, quantity

GAUGE_CLASS = 0.016
GAUGE_SPANS = {"R-744": (100e5, 160e5)}
USUAL_SPANS = (10e5, 35e5)
CLAMP_ACCURACY = 1.5
LINE_CLAMPS = ("suction_temperature", "discharge_temperature", "liquid_temperature", "evaporator_outlet_temperature")
MEASURED = ("suction_pressure", "discharge_pressure", *LINE_CLAMPS)


class Readings(Spec):
    """What gauges and clamps show on a running system, already in SI with absolute pressures.

    The readings themselves may be impossible: `cycle_from_readings` says why. Evaporator outlet: without it the suction
    clamp stands in. Liquid: with an internal heat exchanger between it and the valve; on R-744 above its critical
    pressure at the gas cooler outlet. Accuracies: the ± of both gauges (of the high-side gauge where it differs) and
    of each clamp; None is gauge class 1.6 of the usual span (EN 837-1) and thermocouple type K of class 1, 1.5 K
    (IEC 60584-1). Altitude turns messages into gauge readings; a flow counts as exact.

    Parameters
    ----------
    refrigerant : str. One of `thermo_kit.substances.REFRIGERANT_NAMES`.
    suction_pressure, discharge_pressure : float, [Pa]. Absolute.
    suction_temperature, discharge_temperature, liquid_temperature, evaporator_outlet_temperature : float, [K]
        Clamps on the suction and discharge line at the compressor, on the liquid line, at the evaporator outlet.
    altitude : float, [m]. Height of the workshop.
    pressure_accuracy, discharge_pressure_accuracy : float, [Pa]. ± of the gauges.
    temperature_accuracy : float, [K]. ± of each clamp.
    mass_flow : float, [kg/s]. Of refrigerant, where it is known.
    """

    refrigerant: str
    suction_pressure: float
    discharge_pressure: float
    suction_temperature: float
    discharge_temperature: float
    liquid_temperature: float
    evaporator_outlet_temperature: float | None = None
    altitude: float = quantity("altitude", -500.0, 5000.0, "altitude", 0.0)
    pressure_accuracy: float | None = quantity("pressure_difference", 0.0, 5e5, "pressure accuracy", None)
    discharge_pressure_accuracy: float | None = quantity(
        "pressure_difference", 0.0, 5e5, "discharge pressure accuracy", None
    )
    temperature_accuracy: float | None = quantity("temperature_difference", 0.0, 20.0, "temperature accuracy", None)
    mass_flow: float | None = quantity("mass_flow", 0.0, 1.0, "mass flow", None)


@dataclass(frozen=True, slots=True)
class ReadingStates:
    """States at compressor inlet (one), outlet (two), loss-free outlet (ideal), liquid line (three) and evaporator
    outlet (six); dew and bubble temperature [K] (bubble None above the critical pressure); superheat [K]."""

    one: StatePoint
    two: StatePoint
    ideal: StatePoint
    three: StatePoint
    six: StatePoint
    dew: float
    bubble: float | None
    superheat: float
    transcritical: bool

    @property
    def isentropic_efficiency(self):
        """Loss-free work over work; → [-]."""
        return (self.ideal.h - self.one.h) / (self.two.h - self.one.h)


@functools.lru_cache(maxsize=16)  # results and their pictures ask for the same ones, one after the other
def states_of(readings, fluid):
    """Return the states that readings describe; a state beyond saturation is put onto the saturation line."""
    low, high = readings.suction_pressure, readings.discharge_pressure
    dew = fluid.dew_temperature(low)
    transcritical = is_transcritical(fluid, high)
    bubble = None if transcritical else fluid.bubble_temperature(high)
    high_dew = None if transcritical else fluid.dew_temperature(high)

    def vapour(p, temperature, dew):
        beyond = dew is not None and temperature <= dew + ON_THE_LINE
        return fluid.at(p=p, x=1.0) if beyond else fluid.at(p=p, T=temperature)

    one = vapour(low, readings.suction_temperature, dew)
    outlet, liquid = readings.evaporator_outlet_temperature, readings.liquid_temperature
    boils = bubble is not None and liquid >= bubble - ON_THE_LINE
    return ReadingStates(
        one=one,
        two=vapour(high, readings.discharge_temperature, high_dew),
        ideal=fluid.at(p=high, s=one.s),
        three=fluid.at(p=high, x=0.0) if boils else fluid.at(p=high, T=liquid),
        six=one if outlet is None else vapour(low, outlet, dew),
        dew=dew,
        bubble=bubble,
        superheat=(readings.suction_temperature if outlet is None else outlet) - dew,
        transcritical=transcritical,
    )


def is_transcritical(fluid, pressure):
    """Return whether a high-side pressure is so high that nothing condenses; pressure [Pa]."""
    return pressure >= fluid.bubble_pressure(fluid.critical_temperature - ON_THE_LINE)


def accuracies_of(readings, fluid):
    """Return the ± of each reading, by the reading's name.

    References: EN 837-1, accuracy class 1.6; IEC 60584-1, type K class 1. The spans are common practice, no source.
    """
    low_span, high_span = GAUGE_SPANS.get(fluid.name, USUAL_SPANS)
    both, high = readings.pressure_accuracy, readings.discharge_pressure_accuracy
    clamp = CLAMP_ACCURACY if readings.temperature_accuracy is None else readings.temperature_accuracy
    found = dict.fromkeys(LINE_CLAMPS, clamp)
    found["suction_pressure"] = GAUGE_CLASS * low_span if both is None else both
    found["discharge_pressure"] = high if high is not None else GAUGE_CLASS * high_span if both is None else both
    return found


def combined(compute, readings, fluid):
    """Return the ± of each number of a result: root sum of squares of the changes that each instrument's ± causes.

    compute: readings → {name: number}, in SI.

    References: JCGM 100:2008 (GUM), section 5.1 and F.2 (numerical sensitivity).
    """
    accuracies, middle = accuracies_of(readings, fluid), compute(readings)
    squares = dict.fromkeys(middle, 0.0)
    for name in MEASURED:
        if getattr(readings, name) is None:
            continue
        sides = []
        for step in (accuracies[name], -accuracies[name]):
            try:
                sides.append(compute(replace(readings, **{name: getattr(readings, name) + step})))
            except OutOfRangeError:
                continue  # beside the end of the table only one side exists
        for key in squares:
            there = [side[key] for side in sides if key in side]
            if len(there) == 2:
                squares[key] += ((there[0] - there[1]) / 2) ** 2
            elif there:
                squares[key] += (there[0] - middle[key]) ** 2
    return {key: math.sqrt(total) for key, total in squares.items()}


def suction_margin(readings, fluid):
    """Return the ± of superheat at the compressor; → [K]."""
    return _beside_saturation(readings, fluid, fluid.dew_temperature, "suction_pressure")


def liquid_margin(readings, fluid):
    """Return the ± of subcooling; → [K]."""
    return _beside_saturation(readings, fluid, fluid.bubble_temperature, "discharge_pressure")


def clamp_accuracy(readings, fluid):
    """Return the ± of a clamp; → [K]."""
    return accuracies_of(readings, fluid)["suction_temperature"]


def _beside_saturation(readings, fluid, saturation, gauge):
    """± [K] of a temperature difference to saturation, from gauge and clamp together."""
    pressure = getattr(readings, gauge)
    slope = (saturation(pressure) - saturation(0.99 * pressure)) / (0.01 * pressure)
    return math.hypot(slope * accuracies_of(readings, fluid)[gauge], clamp_accuracy(readings, fluid))
