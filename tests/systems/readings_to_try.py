"""Sets of readings that tests share, and how they are changed."""

import dataclasses

import pytest

from thermo_kit.errors import ReadingsError
from thermo_kit.systems import Readings, cycle_from_readings
from thermo_kit.units import barg, celsius

HEALTHY = Readings(
    refrigerant="R-134a",
    suction_pressure=barg(2.0),
    discharge_pressure=barg(12.5),
    suction_temperature=celsius(9),
    discharge_temperature=celsius(72),
    liquid_temperature=celsius(43),
    evaporator_outlet_temperature=celsius(6),
)
GAS_COOLER = Readings(
    refrigerant="R-744",
    suction_pressure=barg(35),
    discharge_pressure=barg(95),
    suction_temperature=celsius(10),
    discharge_temperature=celsius(95),
    liquid_temperature=celsius(37),
    evaporator_outlet_temperature=celsius(6),
)


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
    return Readings(
        refrigerant=cycle.refrigerant,
        suction_pressure=one.p,
        discharge_pressure=two.p,
        suction_temperature=one.T,
        discharge_temperature=two.T,
        liquid_temperature=four.T,
        evaporator_outlet_temperature=six.T,
        **others,
    )
