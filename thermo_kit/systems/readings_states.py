"""The states behind a set of readings, and how well the instruments know them."""

import dataclasses
import functools
import math
from dataclasses import dataclass

from thermo_kit.errors import OutOfRangeError
from thermo_kit.substances import StatePoint

ON_THE_LINE = 1e-3
GAUGE_CLASS = 0.016
GAUGE_SPANS = {"R-744": (100e5, 160e5)}
USUAL_SPANS = (10e5, 35e5)
CLAMP_ACCURACY = 1.5
LINE_CLAMPS = ("suction_temperature", "discharge_temperature", "liquid_temperature", "evaporator_outlet_temperature")
MEASURED = ("suction_pressure", "discharge_pressure", *LINE_CLAMPS)


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


@functools.lru_cache(maxsize=16)  # results and their pictures ask for the same ones, one after the other
def states_of(readings, fluid):
    """Return the states that readings describe; a state beyond saturation is put onto the saturation line."""
    low, high = readings.suction_pressure, readings.discharge_pressure
    dew = fluid.dew_temperature(low)
    transcritical = is_transcritical(fluid, high)
    bubble = None if transcritical else fluid.bubble_temperature(high)
    high_dew = None if transcritical else fluid.dew_temperature(high)
    one = _vapour(fluid, low, readings.suction_temperature, dew)
    outlet = readings.evaporator_outlet_temperature
    six = one if outlet is None else _vapour(fluid, low, outlet, dew)
    three = _liquid(fluid, high, readings.liquid_temperature, bubble)
    return ReadingStates(
        one=one,
        two=_vapour(fluid, high, readings.discharge_temperature, high_dew),
        ideal=fluid.at(p=high, s=one.s),
        three=three,
        six=six,
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

    References
    ----------
    EN 837-1, accuracy class 1.6; IEC 60584-1, type K class 1. The spans are common practice, no source.
    """
    low_span, high_span = GAUGE_SPANS.get(fluid.name, USUAL_SPANS)
    both, high = readings.pressure_accuracy, readings.discharge_pressure_accuracy
    clamp = CLAMP_ACCURACY if readings.temperature_accuracy is None else readings.temperature_accuracy
    found = dict.fromkeys(LINE_CLAMPS, clamp)
    found["suction_pressure"] = GAUGE_CLASS * low_span if both is None else both
    found["discharge_pressure"] = high if high is not None else GAUGE_CLASS * high_span if both is None else both
    return found


def either_side(compute, readings, name, step):
    """Return what follows from readings of which one is moved up, and down, by its ±.

    step [SI unit of that reading].
    """
    sides = []
    for sign in (1, -1):
        try:
            moved = dataclasses.replace(readings, **{name: getattr(readings, name) + sign * step})
            sides.append(compute(moved))
        except OutOfRangeError:
            sides.append(None)
    return sides


def change_caused(middle, above, below):
    """Return the ± of a result that the ± of one reading causes.

    middle [SI unit of the result], above [SI unit of the result], below [SI unit of the result] → [SI unit of the
    result].
    """
    there = [side for side in (above, below) if side is not None]
    if len(there) == 2:
        return abs(above - below) / 2
    return abs(there[0] - middle) if there else 0.0


def saturation_uncertainty(saturation, pressure, accuracy, clamp):
    """Return the ± of a temperature difference to saturation, from gauge and clamp together.

    pressure [Pa], accuracy [Pa], clamp [K] → [K].
    """
    slope = (saturation(pressure) - saturation(0.99 * pressure)) / (0.01 * pressure)
    return math.hypot(slope * accuracy, clamp)


def _vapour(fluid, p, temperature, dew):
    if dew is not None and temperature <= dew + ON_THE_LINE:
        return fluid.at(p=p, x=1.0)
    return fluid.at(p=p, T=temperature)


def _liquid(fluid, p, temperature, bubble):
    if bubble is not None and temperature >= bubble - ON_THE_LINE:
        return fluid.at(p=p, x=0.0)
    return fluid.at(p=p, T=temperature)
