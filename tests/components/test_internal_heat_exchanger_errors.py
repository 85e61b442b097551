"""Bad exchangers and streams: each is refused with its name, its limit and the likely slip."""

import dataclasses

import pytest

from tests.components.exchanger_cases import gas_streams, streams
from thermo_kit.components.internal_heat_exchanger import (
    ExchangerSpec,
    length_for_effectiveness,
    solve_exchanger,
    van_exchanger,
)
from thermo_kit.errors import NoSolutionError, OutOfRangeError, UnknownNameError
from thermo_kit.units import celsius

SIZES = {"length": 1.2, "inner_diameter": 0.014, "wall_thickness": 0.0012, "outer_diameter": 0.0194}

BAD_TUBES = [
    ({"length": 0.0}, "exchanger length .* leave the exchanger out of the cycle"),
    ({"length": -1.0}, "exchanger length"),
    ({"length": 1200.0}, "exchanger length .* was this typed in mm"),
    ({"length": float("nan")}, "exchanger length .* not a finite number"),
    ({"length": "long"}, "exchanger length .* not a number"),
    ({"inner_diameter": 14.0}, "bore of the inner tube .* was this typed in mm"),
    ({"wall_thickness": 0.0}, "wall of the inner tube"),
    ({"outer_diameter": 0.013}, "leaves no room .* were the two tubes swapped"),
    ({"outer_diameter": 0.0165}, "16.40 mm .* takes at least 17.00 mm"),
    ({"wall_conductivity": 1.0}, "wall conductivity"),
    ({"loss_coefficient": -0.1}, "loss coefficient of the ends"),
    ({"vapour_path": "outside"}, "vapour path 'outside' is not known: use one of inner tube, annulus"),
]


@pytest.mark.parametrize("change, message", BAD_TUBES)
def test_tubes_that_cannot_be_are_refused(change, message):
    with pytest.raises(OutOfRangeError, match=message):
        ExchangerSpec(**(SIZES | change))


def test_all_problems_are_told_at_once():
    with pytest.raises(OutOfRangeError) as caught:
        ExchangerSpec(length=0.0, inner_diameter=14.0, wall_thickness=-1.0, outer_diameter=0.02)
    assert len(caught.value.problems) == 3


BAD_STREAMS = [
    ({"mass_flow": 0.0}, "mass flow .* give kg/s inside the package"),
    ({"mass_flow": 30.0}, "mass flow .* 30 g/s is 0.03"),
    ({"liquid_pressure": 12.0}, "liquid pressure .* was this typed in bar"),
    ({"liquid_pressure": 2e5}, "liquid pressure .* must be above the vapour pressure .* swapped"),
    ({"vapour_pressure": 40e5}, "vapour pressure .* must be able to boil"),
    ({"liquid_temperature": 45.0}, "liquid temperature .* typed in °C"),
    ({"liquid_temperature": celsius(60)}, "liquid temperature 60.0 °C is above the bubble point 50.0 °C"),
    ({"vapour_temperature": celsius(-5)}, "vapour temperature .5.0 °C is below the dew point 2.0 °C .* floods"),
    ({"vapour_temperature": celsius(46)}, "must be above the vapour temperature .* run backwards"),
]


@pytest.mark.parametrize("change, message", BAD_STREAMS)
def test_streams_that_are_not_what_they_say_are_refused(change, message):
    with pytest.raises(OutOfRangeError, match=message):
        solve_exchanger(van_exchanger(), dataclasses.replace(streams(), **change))


def test_a_gas_cooler_needs_its_outlet_temperature():
    with pytest.raises(OutOfRangeError, match="liquid temperature is missing.*no bubble point.*gas cooler"):
        solve_exchanger(van_exchanger(), dataclasses.replace(gas_streams(), liquid_temperature=None))


def test_an_unknown_refrigerant_is_refused():
    with pytest.raises(UnknownNameError, match="R-22"):
        solve_exchanger(van_exchanger(), dataclasses.replace(streams(), refrigerant="R-22"))


@pytest.mark.parametrize("effectiveness", (0.0, 1.0, 1.3, -0.2, 70.0))
def test_an_effectiveness_that_is_no_share_is_refused(effectiveness):
    with pytest.raises(OutOfRangeError, match="effectiveness.*share between 0 and 1.*0.7 for 70 %"):
        length_for_effectiveness(van_exchanger(), streams(), effectiveness)


def test_a_tube_far_too_narrow_is_refused():
    thin = ExchangerSpec(length=3.0, inner_diameter=0.004, wall_thickness=0.001, outer_diameter=0.012)
    with pytest.raises(NoSolutionError, match="vapour path .* more than a third .* make the tube wider"):
        solve_exchanger(thin, streams())
