"""The radiator: balances, limits, trends."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermo_kit.components.fan import FanSpec, fan_operating_point
from thermo_kit.components.radiator import RadiatorSpec, radiator_air_flow, radiator_effectiveness

CORE = RadiatorSpec(
    air_conductance=700.0,
    coolant_conductance=1600.0,
    rated_air_flow=0.5,
    rated_coolant_flow=0.25,
    core_pressure_drop=110.0,
    fan=FanSpec(free_flow=0.8, stall_pressure=240.0),
)


def _heat(core=CORE, flow=0.25, hot=343.15, cold=303.15, speed=0.0):
    air_flow = radiator_air_flow(core, vehicle_speed=speed)
    share, smaller = radiator_effectiveness(core, coolant_flow=flow, coolant_heat_rate=3500.0 * flow, air_flow=air_flow)
    return share * smaller * (hot - cold)


@given(flow=st.floats(0.005, 1.0), blockage=st.floats(0.0, 0.95), fan=st.floats(0.0, 1.0), speed=st.floats(0.0, 40.0))
def test_neither_stream_passes_the_other_ones_inlet(flow, blockage, fan, speed):
    core = replace(CORE, blockage=blockage, fan_speed_share=fan)
    heat = _heat(core, flow=flow, speed=speed)
    # Air of 1.2 kg/m³ and 1006 J/(kg K) takes up what the coolant loses.
    air_rate = radiator_air_flow(core, vehicle_speed=speed) * 1.2 * 1006.0
    assert 0.0 < heat / min(air_rate, flow * 3500.0) <= 40.0


@given(one=st.floats(0.0, 0.95), two=st.floats(0.0, 0.95))
def test_more_blockage_never_cools_more(one, two):
    less, more = sorted((one, two))
    assert _heat(replace(CORE, blockage=more)) <= _heat(replace(CORE, blockage=less)) * (1 + 1e-9)


def test_air_flow_is_the_fans_operating_point():
    core = replace(CORE, blockage=0.2)
    resistance = core.core_pressure_drop / (core.rated_air_flow * 0.8) ** 2
    point = fan_operating_point(core.fan, lambda flow: resistance * flow**2)
    assert radiator_air_flow(core) == pytest.approx(point.volume_flow, rel=1e-8)


@given(flow=st.floats(0.02, 1.0), air_flow=st.floats(0.05, 1.0))
def test_effectiveness_is_that_of_the_books_crossflow(flow, air_flow):
    """Incropera, chapter 11, both streams unmixed; films by the powers 0.51 and 0.8 from the rated point."""
    rate = 3500.0 * flow
    effectiveness, smaller = radiator_effectiveness(CORE, coolant_flow=flow, coolant_heat_rate=rate, air_flow=air_flow)
    films = 1.0 / (700.0 * (air_flow / 0.5) ** 0.51) + 1.0 / (1600.0 * (flow / 0.25) ** 0.8)
    rates = sorted((3500.0 * flow, 1.2 * 1006.0 * air_flow))
    ratio, number = rates[0] / rates[1], 1.0 / films / rates[0]
    assert smaller == pytest.approx(rates[0])
    book = 1.0 - math.exp(number**0.22 / ratio * (math.exp(-ratio * number**0.78) - 1.0))
    assert effectiveness == pytest.approx(book, rel=1e-6)


def test_with_the_fan_at_rest_the_wind_pays_for_core_and_fan():
    still = replace(CORE, fan_speed_share=0.0)
    flow = radiator_air_flow(still, vehicle_speed=25.0)
    core, fan = 110.0 * (flow / 0.5) ** 2, 240.0 * (flow / 0.8) ** 2
    assert core + fan == pytest.approx(0.4 * 0.5 * 1.2 * 25.0**2)
