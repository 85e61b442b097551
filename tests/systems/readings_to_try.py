"""Sets of readings that tests share, and how they are changed."""

import dataclasses

import pytest

from thermo_kit.errors import ReadingsError
from thermo_kit.systems import Readings, cycle_from_readings
from thermo_kit.systems.readings_states import LINE_CLAMPS, MEASURED
from thermo_kit.units import barg, celsius


def taken(low=2.0, high=12.5, suction=9, discharge=72, liquid=43, outlet=6, *, gauge=barg, degrees=celsius, **others):
    """Readings in bar(g) and °C, or what else `gauge` and `degrees` turn into SI; by themselves a healthy system's."""
    clamps = (None if T is None else degrees(T) for T in (suction, discharge, liquid, outlet))
    pressures = {"suction_pressure": gauge(low), "discharge_pressure": gauge(high)}
    shown = pressures | dict(zip(LINE_CLAMPS, clamps, strict=True))
    return Readings(**{"refrigerant": "R-134a", **shown, **others})


HEALTHY = taken()
GAS_COOLER = taken(35, 95, 10, 95, 37, refrigerant="R-744")


def changed(readings=HEALTHY, **values):
    return dataclasses.replace(readings, **values)


def swapped(first, second, readings=HEALTHY):
    return changed(readings, **{first: getattr(readings, second), second: getattr(readings, first)})


def refused(readings):
    with pytest.raises(ReadingsError) as caught:
        cycle_from_readings(readings)
    return str(caught.value)


def noted(readings):
    """What is to be kept in mind, as one text."""
    return "\n".join(map(str, cycle_from_readings(readings).notes))


def readings_of(cycle, **others):
    one, two, _three, four, _five, six = (point.state for point in cycle.points)
    shown = zip(MEASURED, (one.p, two.p, one.T, two.T, four.T, six.T), strict=True)
    return Readings(refrigerant=cycle.refrigerant, **dict(shown), **others)
