"""Readings of a running system: the states they mean, how sure they are, what contradicts, what to keep in mind."""

import contextlib
import functools
import math
from dataclasses import dataclass, replace

from thermo_kit.errors import OutOfRangeError, Problem
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant, StatePoint
from thermo_kit.systems.cycle import ON_THE_LINE
from thermo_kit.units import Amount, Checks, Said, Spec, atmosphere_pressure, quantity
from thermo_kit.units.kinds import UNITS

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
    bubble, high_dew = (None, None) if transcritical else (fluid.bubble_temperature(high), fluid.dew_temperature(high))

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
            with contextlib.suppress(OutOfRangeError):  # beside the end of the table only one side exists
                sides.append(compute(replace(readings, **{name: getattr(readings, name) + step})))
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


PUMPING_RATIO = 1.1
LOWEST_EFFICIENCY = 0.15
CLAMP_NAMES = {name: name.replace("_temperature", "").replace("_", " ") for name in LINE_CLAMPS}


def _degrees(temperature):
    return Amount(temperature, "temperature")


def _kelvin(difference):
    return Amount(difference, "temperature_difference")


def find_problems(readings, fluid):
    """Return everything that makes the readings impossible; an empty list if they can be one running system."""
    checks = Checks()
    _check_ranges(checks, readings, fluid)
    if not checks.problems:
        _check_pressures(checks, readings, fluid)
    if not checks.problems:
        try:
            found = states_of(readings, fluid)
        except OutOfRangeError as reason:
            return list(reason.problems)
        _check_suction(checks, readings, fluid, found)
        _check_discharge(checks, readings, fluid, found)
        _check_liquid(checks, readings, fluid, found)
    return checks.problems


def _check_ranges(checks, readings, fluid):
    low, high = fluid.lowest_pressure, fluid.highest_pressure
    for name in ("suction_pressure", "discharge_pressure"):
        value = getattr(readings, name)
        unclear = isinstance(value, int | float) and (value > high or value > 1000)
        advice = "check the unit, and whether it is gauge or absolute" if unclear else ""
        checks.within(name.replace("_", " "), value, low, high, kind="pressure", advice=advice)
    low, high = fluid.lowest_temperature, fluid.highest_temperature
    for name in LINE_CLAMPS:
        value = getattr(readings, name)
        if value is not None or name != "evaporator_outlet_temperature":
            checks.within(name.replace("_", " "), value, low, high, kind="temperature")


def _check_pressures(checks, readings, fluid):
    low, high = readings.suction_pressure, readings.discharge_pressure
    low_side, high_side = Amount(low, "gauge_pressure"), Amount(high, "gauge_pressure")
    if low > high:
        advice = "the low side cannot be above the high side of a running system: are the hoses swapped?"
        checks.add("suction pressure", low_side, Said("is above the discharge pressure {}", high_side), advice)
    elif high < PUMPING_RATIO * low:
        advice = "the compressor is not running or not pumping: these readings describe no running system"
        told = "is almost equal to the suction pressure {}"
        checks.add("discharge pressure", high_side, Said(told, low_side), advice)
    elif is_transcritical(fluid, low):
        critical = Amount(fluid.critical_pressure, "pressure")
        advice = "nothing could boil in the evaporator: check the refrigerant, the unit and the hoses"
        told = "is above the critical pressure of {}, {}"
        checks.add("suction pressure", low_side, Said(told, fluid.name, critical), advice)


def _check_suction(checks, readings, fluid, found):
    margin = suction_margin(readings, fluid)
    for name in ("suction_temperature", "evaporator_outlet_temperature"):
        value = getattr(readings, name)
        if value is not None and value < found.dew - 2 * margin:
            limit = Said(
                "is {} below the dew temperature {} of the suction pressure, more than twice the uncertainty of "
                "superheat ±{}", _kelvin(found.dew - value), _degrees(found.dew), _kelvin(margin),
            )  # fmt: skip
            advice = "vapour cannot be that cold: check the refrigerant chosen, the zero of the gauge and the clamp"
            checks.add(f"{CLAMP_NAMES[name]} temperature", _degrees(value), limit, advice)


def _check_discharge(checks, readings, fluid, found):
    measured, ideal = readings.discharge_temperature, found.ideal.T
    if measured < ideal:
        margin = _ideal_margin(readings, fluid, found)
        if measured < ideal - margin:
            told = "is colder than a loss-free compressor would make it, {} ±{}"
            limit = Said(told, _degrees(ideal), _kelvin(margin))
            wet = readings.suction_temperature - found.dew < suction_margin(readings, fluid)
            cause = (
                "superheat at the compressor is about zero, so liquid returns with the vapour and cools it; "
                "or the discharge clamp has poor contact"
                if wet
                else "does the discharge clamp have poor contact, or are two thermocouples swapped?"
            )
            checks.add("discharge temperature", _degrees(measured), limit, cause)
    elif found.isentropic_efficiency < LOWEST_EFFICIENCY:
        told = "would mean an isentropic efficiency below {}, far below any working compressor (loss-free {})"
        limit = Said(told, Amount(LOWEST_EFFICIENCY, "ratio"), _degrees(ideal))
        advice = "check the units of pressures and temperatures, and which clamp sits on which line"
        checks.add("discharge temperature", _degrees(measured), limit, advice)


def _check_liquid(checks, readings, fluid, found):
    value, clamp = readings.liquid_temperature, clamp_accuracy(readings, fluid)
    if found.bubble is not None and value > found.bubble + 2 * liquid_margin(readings, fluid):
        limit = Said(
            "is {} above the bubble temperature {} of the discharge pressure, more than twice the uncertainty of "
            "subcooling ±{}", _kelvin(value - found.bubble), _degrees(found.bubble),
            _kelvin(liquid_margin(readings, fluid)),
        )  # fmt: skip
        advice = "no liquid can be that hot: check the refrigerant chosen, the high-side gauge and the clamp"
        checks.add("liquid temperature", _degrees(value), limit, advice)
    elif found.bubble is None and value > readings.discharge_temperature + 2 * clamp:
        limit = Said("is above the discharge temperature {}", _degrees(readings.discharge_temperature))
        advice = "the gas cooler only cools: are the two thermocouples swapped?"
        checks.add("gas cooler outlet temperature", _degrees(value), limit, advice)
    # The evaporator outlet is no floor: on a mild day the cabin air may warm it above the liquid.
    if value < found.dew - 2 * clamp:
        limit = Said("is below the evaporating temperature {}", _degrees(found.dew))
        advice = (
            "nothing on the high side is that cold: are thermocouples swapped, or is the line blocked ahead of the "
            "clamp?"
        )
        checks.add("liquid temperature", _degrees(value), limit, advice)


def _ideal_margin(readings, fluid, found):
    """± [K] of the difference between measured and loss-free discharge temperature."""
    known = accuracies_of(readings, fluid)
    total = known["discharge_temperature"] ** 2
    for name in ("suction_pressure", "discharge_pressure", "suction_temperature"):
        moved = replace(readings, **{name: getattr(readings, name) + known[name]})
        try:
            total += (states_of(moved, fluid).ideal.T - found.ideal.T) ** 2
        except OutOfRangeError:
            total += (known[name] if name == "suction_temperature" else 0.0) ** 2
    return math.sqrt(total)


def likely_causes(readings, fluid):
    """Return which slip, if undone, would make all readings fit together."""
    if not _numbers(readings):
        return []
    found = [text for text, changed in _slips(readings) if _fits(changed, fluid)]
    if not found and not _may_be_wet(readings, fluid):
        others = [name for name in REFRIGERANT_NAMES if name != fluid.name and _fits_as(readings, name)]
        found = [f"refrigerant chosen wrongly ({' or '.join(others)} would fit)"] if others else []
    if not found:
        return []
    return [Problem("likely cause:", " or ".join(found[:3]), "", "with that undone, all readings fit together")]


def _slips(readings):
    """Yield (what went wrong, readings with it undone), the commonest first."""
    air = atmosphere_pressure(readings.altitude)
    clamps = [name for name in LINE_CLAMPS if getattr(readings, name) is not None]
    low, high = readings.suction_pressure, readings.discharge_pressure
    yield "hoses swapped", replace(readings, suction_pressure=high, discharge_pressure=low)
    for i, first in enumerate(clamps):
        for second in clamps[i + 1 :]:
            swapped = {first: getattr(readings, second), second: getattr(readings, first)}
            names = f"{CLAMP_NAMES[first]} and {CLAMP_NAMES[second]}"
            yield f"thermocouples of {names} line swapped", replace(readings, **swapped)
    yield "absolute pressures typed as gauge", _shifted(readings, -air)
    yield "gauge pressures typed as absolute", _shifted(readings, air)
    for meant, typed in (("psi", "bar"), ("bar", "psi"), ("kPa", "bar"), ("kPa", "psi")):
        gauges = {
            name: UNITS[meant].stored(UNITS[typed].shown(getattr(readings, name) - air)) + air
            for name in ("suction_pressure", "discharge_pressure")
        }
        yield f"{meant} typed as {typed}", replace(readings, **gauges)
    for text, meant, typed in (("°F typed as °C", "degF", "degC"), ("°C typed as °F", "degC", "degF")):
        undone = {name: UNITS[meant].stored(UNITS[typed].shown(getattr(readings, name))) for name in clamps}
        yield text, replace(readings, **undone)


def _shifted(readings, by):
    low, high = readings.suction_pressure, readings.discharge_pressure
    return replace(readings, suction_pressure=low + by, discharge_pressure=high + by)


def _fits(readings, fluid):
    """Whether readings are not just possible but usual, so that a slip that leads here explains them."""
    if find_problems(readings, fluid):
        return False
    found = states_of(readings, fluid)
    outlet = readings.evaporator_outlet_temperature
    in_order = outlet is None or (
        outlet <= readings.suction_temperature + 2 * clamp_accuracy(readings, fluid)
        and _liquid_above_outlet(readings, fluid)
    )
    liquid = found.bubble is None or -1 <= found.bubble - readings.liquid_temperature <= 30
    suction = readings.suction_temperature - found.dew
    usual = 0.4 <= found.isentropic_efficiency <= 1.05 and -0.5 <= found.superheat <= 30
    return in_order and liquid and usual and suction <= 45


def _fits_as(readings, name):
    try:
        return _fits(replace(readings, refrigerant=name), Refrigerant(name))
    except OutOfRangeError:
        return False


def _numbers(readings):
    """Whether all that was measured is a number; only the clamp at the evaporator outlet may be missing."""
    *needed, outlet = (getattr(readings, name) for name in MEASURED)
    given = needed if outlet is None else [*needed, outlet]
    return all(isinstance(value, int | float) and math.isfinite(value) for value in given)


def _may_be_wet(readings, fluid):
    """Liquid returning explains a cold discharge line; another refrigerant need not be blamed."""
    try:
        superheat = readings.suction_temperature - fluid.dew_temperature(readings.suction_pressure)
        return abs(superheat) <= suction_margin(readings, fluid)
    except OutOfRangeError:
        return False


def _liquid_above_outlet(readings, fluid):
    return readings.liquid_temperature >= readings.evaporator_outlet_temperature - 2 * clamp_accuracy(readings, fluid)


def points_to_note(readings, fluid):
    """Return what a careful technician would keep in mind about readings that are possible."""
    found = states_of(readings, fluid)
    suction, margin = readings.suction_temperature - found.dew, suction_margin(readings, fluid)
    if suction <= margin:
        yield _wet_suction(readings, fluid, suction, margin)
    elif suction > 30:
        yield Said(
            "The vapour is {} above dew at the compressor: starved evaporator, or a hot clamp (common practice, no "
            "source).", _kelvin(suction),
        )  # fmt: skip
    outlet = readings.evaporator_outlet_temperature
    if outlet is not None:
        if suction > margin and found.superheat <= 0:
            yield "The evaporator outlet is not above dew: it may send liquid on, so cooling is uncertain."
        if readings.suction_temperature < outlet - 2 * clamp_accuracy(readings, fluid):
            yield (
                "The suction line is colder at the compressor than at the evaporator outlet: are those two "
                "thermocouples swapped?"
            )
        if not _liquid_above_outlet(readings, fluid):
            yield (
                "The liquid line is colder than the evaporator outlet: possible only where it is cooler outside than "
                "in the cabin; otherwise look whether two clamps are swapped."
            )
    yield from _liquid_notes(readings, fluid, found)
    yield from _efficiency_notes(readings, fluid, found)
    if readings.suction_pressure < atmosphere_pressure(readings.altitude):
        yield "The low side is in vacuum: a leak there draws in air."
    if readings.pressure_accuracy is None or readings.temperature_accuracy is None:
        yield (
            "Where no accuracy was given, ± assumes gauges of class 1.6 (EN 837-1) and type K thermocouples of "
            "class 1 (IEC 60584-1), which is common practice."
        )


def _wet_suction(readings, fluid, superheat, margin):
    wet = Said(
        "Wet suction is possible: superheat at the compressor is {} ±{}, so liquid may be returning. Pressure and "
        "temperature cannot tell how much; work and efficiency assume dry vapour.", _kelvin(superheat), _kelvin(margin),
    )  # fmt: skip
    lower = _shifted(readings, -atmosphere_pressure(readings.altitude))
    if superheat >= 0 or not _fits(lower, fluid):
        return wet
    then = _kelvin(readings.suction_temperature - states_of(lower, fluid).dew)
    return Said("{} Or absolute pressures were typed as gauge: then superheat would be {}.", wet, then)


def _liquid_notes(readings, fluid, found):
    if found.bubble is None:
        return
    subcooling, margin = found.bubble - readings.liquid_temperature, liquid_margin(readings, fluid)
    if subcooling < 0:
        yield Said(
            "The liquid line is {} warmer than its bubble temperature (±{}): flash gas in the liquid line, from low "
            "charge or a restriction. How much vapour it holds cannot be known; cooling is computed as if it were all "
            "liquid and is the most it can be.", _kelvin(-subcooling), _kelvin(margin),
        )  # fmt: skip
    elif subcooling <= margin:
        told = "Subcooling {} is within its uncertainty ±{}: the liquid line may carry bubbles."
        yield Said(told, _kelvin(subcooling), _kelvin(margin))
    elif subcooling > 25:
        yield Said(
            "Subcooling {} is unusually high: overcharge, air in the system, an internal heat exchanger ahead of the "
            "clamp, or a clamp in poor contact (common practice, no source).", _kelvin(subcooling),
        )  # fmt: skip


def _efficiency_notes(readings, fluid, found):
    efficiency = found.isentropic_efficiency
    if efficiency > 1:
        told = "The apparent isentropic efficiency is above 1, which the uncertainty of the instruments allows."
        if _fits(_shifted(readings, atmosphere_pressure(readings.altitude)), fluid):
            told += " Or gauge pressures were typed as absolute."
        yield told
    elif efficiency < 0.45:
        yield Said(
            "The apparent isentropic efficiency is only {}: a worn compressor, or a discharge clamp near something hot "
            "(common practice, no source).", Amount(efficiency, "ratio", 2),
        )  # fmt: skip
