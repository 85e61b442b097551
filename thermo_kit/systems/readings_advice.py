"""What to keep in mind about readings, and which slip would explain readings that are impossible."""

import dataclasses
import math

from thermo_kit.errors import OutOfRangeError, Problem
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.systems.readings_checks import (
    CLAMP_NAMES,
    find_problems,
    kelvin,
    liquid_margin,
    suction_margin,
)
from thermo_kit.systems.readings_states import LINE_CLAMPS, accuracies_of, states_of
from thermo_kit.units import STANDARD_ATMOSPHERE, atmosphere_pressure


def points_to_note(readings, fluid):
    """Return what a careful technician would keep in mind about readings that are possible."""
    found = states_of(readings, fluid)
    notes = []
    suction = readings.suction_temperature - found.dew
    margin = suction_margin(readings, fluid)
    if suction <= margin:
        notes.append(_wet_suction(readings, fluid, suction, margin))
    elif suction > 30:
        notes.append(
            f"The vapour is {kelvin(suction)} above dew at the compressor: starved evaporator, or a hot clamp "
            "(common practice, no source)."
        )
    if readings.evaporator_outlet_temperature is not None:
        if suction > margin and found.superheat <= 0:
            notes.append("The evaporator outlet is not above dew: it may send liquid on, so cooling is uncertain.")
        if readings.suction_temperature < readings.evaporator_outlet_temperature - 2 * _clamp(readings, fluid):
            notes.append(
                "The suction line is colder at the compressor than at the evaporator outlet: are those two "
                "thermocouples swapped?"
            )
        if not _liquid_above_outlet(readings, fluid):
            notes.append(
                "The liquid line is colder than the evaporator outlet: possible only where it is cooler outside than "
                "in the cabin; otherwise look whether two clamps are swapped."
            )
    notes.extend(_liquid_notes(readings, fluid, found))
    efficiency = (found.ideal.h - found.one.h) / (found.two.h - found.one.h)
    if efficiency > 1:
        text = "The apparent isentropic efficiency is above 1, which the uncertainty of the instruments allows."
        if _fits(_shifted(readings, atmosphere_pressure(readings.altitude)), fluid):
            text += " Or gauge pressures were typed as absolute."
        notes.append(text)
    elif efficiency < 0.45:
        notes.append(
            f"The apparent isentropic efficiency is only {efficiency:.2f}: a worn compressor, or a discharge clamp "
            "near something hot (common practice, no source)."
        )
    if readings.suction_pressure < atmosphere_pressure(readings.altitude):
        notes.append("The low side is in vacuum: a leak there draws in air.")
    if readings.pressure_accuracy is None or readings.temperature_accuracy is None:
        notes.append(
            "Where no accuracy was given, ± assumes gauges of class 1.6 (EN 837-1) and type K thermocouples of "
            "class 1 (IEC 60584-1), which is common practice."
        )
    return notes


def _wet_suction(readings, fluid, superheat, margin):
    text = (
        f"Wet suction is possible: superheat at the compressor is {kelvin(superheat)} ±{kelvin(margin)}, so liquid "
        "may be returning. Pressure and temperature cannot tell how much; work and efficiency assume dry vapour."
    )
    air = atmosphere_pressure(readings.altitude)
    lower = _shifted(readings, -air)
    if superheat < 0 and _fits(lower, fluid):
        shown = kelvin(readings.suction_temperature - states_of(lower, fluid).dew)
        text += f" Or absolute pressures were typed as gauge: then superheat would be {shown}."
    return text


def _liquid_notes(readings, fluid, found):
    if found.bubble is None:
        return
    subcooling = found.bubble - readings.liquid_temperature
    margin = liquid_margin(readings, fluid)
    if subcooling < 0:
        yield (
            f"The liquid line is {kelvin(-subcooling)} warmer than its bubble temperature (±{kelvin(margin)}): flash "
            "gas in the liquid line, from low charge or a restriction. How much vapour it holds cannot be known; "
            "cooling is computed as if it were all liquid and is the most it can be."
        )
    elif subcooling <= margin:
        yield (
            f"Subcooling {kelvin(subcooling)} is within its uncertainty ±{kelvin(margin)}: the liquid line may carry "
            "bubbles."
        )
    elif subcooling > 25:
        yield (
            f"Subcooling {kelvin(subcooling)} is unusually high: overcharge, air in the system, an internal heat "
            "exchanger ahead of the clamp, or a clamp in poor contact (common practice, no source)."
        )


def likely_causes(readings, fluid):
    """Return which slip, if undone, would make all readings fit together."""
    if not _numbers(readings):
        return []
    air = atmosphere_pressure(readings.altitude) if -500 <= readings.altitude <= 5000 else STANDARD_ATMOSPHERE
    found = [text for text, changed in _slips(readings, air) if _fits(changed, fluid)]
    if not found and not _may_be_wet(readings, fluid):
        others = [name for name in REFRIGERANT_NAMES if name != fluid.name and _fits_as(readings, name)]
        found = [f"refrigerant chosen wrongly ({' or '.join(others)} would fit)"] if others else []
    if not found:
        return []
    return [Problem("likely cause:", " or ".join(found[:3]), "", "with that undone, all readings fit together")]


def _slips(readings, air):
    """Yield (what went wrong, readings with it undone), the commonest first."""
    clamps = [name for name in LINE_CLAMPS if getattr(readings, name) is not None]
    low, high = readings.suction_pressure, readings.discharge_pressure
    hoses = dataclasses.replace(readings, suction_pressure=high, discharge_pressure=low)
    yield "hoses swapped", hoses
    for i, first in enumerate(clamps):
        for second in clamps[i + 1 :]:
            swapped = {first: getattr(readings, second), second: getattr(readings, first)}
            names = f"{CLAMP_NAMES[first]} and {CLAMP_NAMES[second]}"
            yield f"thermocouples of {names} line swapped", dataclasses.replace(readings, **swapped)
    yield "absolute pressures typed as gauge", _shifted(readings, -air)
    yield "gauge pressures typed as absolute", _shifted(readings, air)
    for text, factor in (
        ("psi typed as bar", 0.06894757),
        ("bar typed as psi", 14.503774),
        ("kPa typed as bar", 0.01),
        ("kPa typed as psi", 0.14503774),
    ):
        scaled = {
            name: (getattr(readings, name) - air) * factor + air for name in ("suction_pressure", "discharge_pressure")
        }
        yield text, dataclasses.replace(readings, **scaled)
    for text, undo in (
        ("°F typed as °C", lambda t: (t - 273.15 - 32) / 1.8 + 273.15),
        ("°C typed as °F", lambda t: (t - 273.15) * 1.8 + 32 + 273.15),
    ):
        yield text, dataclasses.replace(readings, **{name: undo(getattr(readings, name)) for name in clamps})


def _shifted(readings, by):
    return dataclasses.replace(
        readings,
        suction_pressure=readings.suction_pressure + by,
        discharge_pressure=readings.discharge_pressure + by,
    )


def _fits(readings, fluid):
    """Whether readings are not just possible but usual, so that a slip that leads here explains them."""
    if find_problems(readings, fluid):
        return False
    found = states_of(readings, fluid)
    efficiency = (found.ideal.h - found.one.h) / (found.two.h - found.one.h)
    outlet = readings.evaporator_outlet_temperature
    in_order = outlet is None or (
        outlet <= readings.suction_temperature + 2 * _clamp(readings, fluid) and _liquid_above_outlet(readings, fluid)
    )
    liquid = found.bubble is None or -1 <= found.bubble - readings.liquid_temperature <= 30
    suction = readings.suction_temperature - found.dew
    return in_order and liquid and 0.4 <= efficiency <= 1.05 and -0.5 <= found.superheat <= 30 and suction <= 45


def _fits_as(readings, name):
    try:
        return _fits(dataclasses.replace(readings, refrigerant=name), Refrigerant(name))
    except OutOfRangeError:
        return False


def _numbers(readings):
    names = ("suction_pressure", "discharge_pressure", "altitude", *LINE_CLAMPS)
    given = [getattr(readings, name) for name in names if getattr(readings, name) is not None]
    return len(given) >= len(names) - 1 and all(isinstance(v, int | float) and math.isfinite(v) for v in given)


def _may_be_wet(readings, fluid):
    """Liquid returning explains a cold discharge line; another refrigerant need not be blamed."""
    try:
        superheat = readings.suction_temperature - fluid.dew_temperature(readings.suction_pressure)
    except OutOfRangeError:
        return False
    return abs(superheat) <= suction_margin(readings, fluid)


def _liquid_above_outlet(readings, fluid):
    clamp = accuracies_of(readings, fluid)["liquid_temperature"]
    return readings.liquid_temperature >= readings.evaporator_outlet_temperature - 2 * clamp


def _clamp(readings, fluid):
    return accuracies_of(readings, fluid)["suction_temperature"]
