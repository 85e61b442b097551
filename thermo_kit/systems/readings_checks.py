"""Finds readings that contradict each other or physics."""

import dataclasses
import math

from thermo_kit.errors import OutOfRangeError
from thermo_kit.systems.readings_states import (
    LINE_CLAMPS,
    accuracies_of,
    is_transcritical,
    saturation_uncertainty,
    states_of,
)
from thermo_kit.units import format_quantity
from thermo_kit.units.checks import Checks

PUMPING_RATIO = 1.1
LOWEST_EFFICIENCY = 0.15
CLAMP_NAMES = {name: name.replace("_temperature", "").replace("_", " ") for name in LINE_CLAMPS}


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
    within = checks.within
    pressure_advice = "check the unit, and whether it is gauge or absolute"
    for name in ("suction_pressure", "discharge_pressure"):
        value = getattr(readings, name)
        low, high = fluid.lowest_pressure, fluid.highest_pressure
        advice = pressure_advice if isinstance(value, int | float) and (value > high or value > 1000) else ""
        within(name.replace("_", " "), value, low, high, kind="pressure", advice=advice)
    for name in LINE_CLAMPS:
        value = getattr(readings, name)
        if value is not None or name != "evaporator_outlet_temperature":
            low, high = fluid.lowest_temperature, fluid.highest_temperature
            within(name.replace("_", " "), value, low, high, kind="temperature")
    within("altitude", readings.altitude, -500.0, 5000.0, kind="altitude")
    for name, high, kind in (
        ("pressure_accuracy", 5e5, "pressure_difference"),
        ("discharge_pressure_accuracy", 5e5, "pressure_difference"),
        ("temperature_accuracy", 20.0, "temperature_difference"),
        ("mass_flow", 1.0, "mass_flow"),
    ):
        if getattr(readings, name) is not None:
            within(name.replace("_", " "), getattr(readings, name), 0.0, high, kind=kind)


def _check_pressures(checks, readings, fluid):
    low, high = readings.suction_pressure, readings.discharge_pressure

    def shown(p):
        return format_quantity(p, "gauge_pressure", altitude=readings.altitude)

    if low > high:
        checks.add(
            "suction pressure",
            shown(low),
            f"is above the discharge pressure {shown(high)}",
            "the low side cannot be above the high side of a running system: are the hoses swapped?",
        )
    elif high < PUMPING_RATIO * low:
        checks.add(
            "discharge pressure",
            shown(high),
            f"is almost equal to the suction pressure {shown(low)}",
            "the compressor is not running or not pumping: these readings describe no running system",
        )
    elif is_transcritical(fluid, low):
        checks.add(
            "suction pressure",
            shown(low),
            f"is above the critical pressure of {fluid.name}, {format_quantity(fluid.critical_pressure, 'pressure')}",
            "nothing could boil in the evaporator: check the refrigerant, the unit and the hoses",
        )


def _check_suction(checks, readings, fluid, found):
    margin = 2 * suction_margin(readings, fluid)
    for name in ("suction_temperature", "evaporator_outlet_temperature"):
        value = getattr(readings, name)
        if value is not None and value < found.dew - margin:
            checks.add(
                f"{CLAMP_NAMES[name]} temperature",
                degrees(value),
                f"is {kelvin(found.dew - value)} below the dew temperature {degrees(found.dew)} of the suction "
                f"pressure, more than twice the uncertainty of superheat ±{kelvin(margin / 2)}",
                "vapour cannot be that cold: check the refrigerant chosen, the zero of the gauge and the clamp",
            )


def _check_discharge(checks, readings, fluid, found):
    measured, ideal = readings.discharge_temperature, found.ideal.T
    if measured < ideal:
        margin = _ideal_margin(readings, fluid, found)
        if measured < ideal - margin:
            wet = readings.suction_temperature - found.dew < suction_margin(readings, fluid)
            cause = (
                "superheat at the compressor is about zero, so liquid returns with the vapour and cools it; "
                "or the discharge clamp has poor contact"
                if wet
                else "does the discharge clamp have poor contact, or are two thermocouples swapped?"
            )
            checks.add(
                "discharge temperature",
                degrees(measured),
                f"is colder than a loss-free compressor would make it, {degrees(ideal)} ±{kelvin(margin)}",
                cause,
            )
    elif (found.ideal.h - found.one.h) / (found.two.h - found.one.h) < LOWEST_EFFICIENCY:
        checks.add(
            "discharge temperature",
            degrees(measured),
            f"would mean an isentropic efficiency below {LOWEST_EFFICIENCY:g}, far below any working compressor "
            f"(loss-free {degrees(ideal)})",
            "check the units of pressures and temperatures, and which clamp sits on which line",
        )


def _check_liquid(checks, readings, fluid, found):
    value = readings.liquid_temperature
    clamp = accuracies_of(readings, fluid)["liquid_temperature"]
    if found.bubble is not None and value > found.bubble + 2 * liquid_margin(readings, fluid):
        checks.add(
            "liquid temperature",
            degrees(value),
            f"is {kelvin(value - found.bubble)} above the bubble temperature {degrees(found.bubble)} of the "
            "discharge pressure, more than twice the uncertainty of subcooling "
            f"±{kelvin(liquid_margin(readings, fluid))}",
            "no liquid can be that hot: check the refrigerant chosen, the high-side gauge and the clamp",
        )
    elif found.bubble is None and value > readings.discharge_temperature + 2 * clamp:
        checks.add(
            "gas cooler outlet temperature",
            degrees(value),
            f"is above the discharge temperature {degrees(readings.discharge_temperature)}",
            "the gas cooler only cools: are the two thermocouples swapped?",
        )
    # The evaporator outlet is no floor: on a mild day the cabin air may warm it above the liquid.
    if value < found.dew - 2 * clamp:
        checks.add(
            "liquid temperature",
            degrees(value),
            f"is below the evaporating temperature {degrees(found.dew)}",
            "nothing on the high side is that cold: are thermocouples swapped, or is the line blocked ahead of the "
            "clamp?",
        )


def suction_margin(readings, fluid):
    """Return the ± of superheat at the compressor; → [K]."""
    known = accuracies_of(readings, fluid)
    return saturation_uncertainty(
        fluid.dew_temperature, readings.suction_pressure, known["suction_pressure"], known["suction_temperature"]
    )


def liquid_margin(readings, fluid):
    """Return the ± of subcooling; → [K]."""
    known = accuracies_of(readings, fluid)
    return saturation_uncertainty(
        fluid.bubble_temperature, readings.discharge_pressure, known["discharge_pressure"], known["liquid_temperature"]
    )


def _ideal_margin(readings, fluid, found):
    """± of the difference between measured and loss-free discharge temperature."""
    known = accuracies_of(readings, fluid)
    total = known["discharge_temperature"] ** 2
    for name in ("suction_pressure", "discharge_pressure", "suction_temperature"):
        moved = dataclasses.replace(readings, **{name: getattr(readings, name) + known[name]})
        try:
            total += (states_of(moved, fluid).ideal.T - found.ideal.T) ** 2
        except OutOfRangeError:
            total += (known[name] if name == "suction_temperature" else 0.0) ** 2
    return math.sqrt(total)


def degrees(temperature):
    """Return a temperature as text; temperature [K]."""
    return format_quantity(temperature, "temperature")


def kelvin(difference):
    """Return a temperature difference as text; difference [K]."""
    return format_quantity(difference, "temperature_difference")
