"""Fin densities compared: with a fan there is a best one, with a held air speed more is always better."""

import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.components.condenser_cases import CORES, DUTIES, NAMES, duty, head
from thermo_kit.components.condenser import (
    AirConditions,
    condensing_pressure_for,
    fin_curve,
    with_fin_density,
)
from thermo_kit.components.louvered_fins import fins_per_inch
from thermo_kit.errors import OutOfRangeError

HOT = AirConditions(temperature=311.15)
COUNTS = (14, 20, 26, 32, 38)


def curve(name, air):
    return fin_curve(CORES[name], duty(name), air, tuple(fins_per_inch(count) for count in COUNTS))


@pytest.mark.parametrize("name", NAMES)
def test_with_the_fan_curve_there_is_a_best_density(name):
    found = curve(name, HOT)
    flows = [one.condenser.air_side.volume_flow for one in found.heads]
    powers = [one.compressor_power + one.fan_power for one in found.heads]
    assert flows == sorted(flows, reverse=True)
    assert found.best_is_inside
    assert found.best_fin_density == found.fin_densities[powers.index(min(powers))]


@pytest.mark.parametrize("name", NAMES)
def test_with_a_held_air_speed_more_fins_are_always_better(name):
    found = curve(name, dataclasses.replace(HOT, face_velocity=2.5))
    pressures = [one.condensing_pressure for one in found.heads]
    assert pressures == sorted(pressures, reverse=True)
    assert not found.best_is_inside


def test_a_slower_fan_wants_no_more_fins():
    counts = tuple(fins_per_inch(count) for count in range(16, 41, 2))
    bests = [
        fin_curve(CORES["R-1234yf"], duty("R-1234yf"), dataclasses.replace(HOT, fan_speed_share=speed), counts)
        for speed in (1.0, 0.6)
    ]
    assert bests[1].best_fin_density < bests[0].best_fin_density


@settings(max_examples=8, deadline=None)
@given(name=st.sampled_from(NAMES), count=st.floats(14, 36), start=st.floats(14, 36))
def test_where_the_search_begins_does_not_matter(name, count, start):
    core = with_fin_density(CORES[name], fins_per_inch(count))
    near = head(name, with_fin_density(CORES[name], fins_per_inch(round(start))), HOT)
    alone = condensing_pressure_for(core, duty(name), HOT)
    warm = condensing_pressure_for(core, duty(name), HOT, near=near)
    assert warm.condensing_pressure == pytest.approx(alone.condensing_pressure, rel=1e-5)
    assert warm.compressor_power == pytest.approx(alone.compressor_power, rel=1e-5)
    assert warm.cooling_capacity == pytest.approx(DUTIES[name], rel=2e-6)


@pytest.mark.parametrize("densities", [(), (700.0,), (700.0, 700.0), (800.0, 700.0)])
def test_densities_must_rise(densities):
    with pytest.raises(OutOfRangeError, match=r"fin densities .* are not 2 to 100 rising numbers: sort them first"):
        fin_curve(CORES["R-1234yf"], duty("R-1234yf"), HOT, densities)
