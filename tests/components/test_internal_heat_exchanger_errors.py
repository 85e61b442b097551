"""Bad exchangers and streams: each is refused with its name, its limit and the likely slip."""

import dataclasses

import pytest

from tests.components.exchanger_cases import gas_streams, streams, van_exchanger
from thermo_kit.components.internal_heat_exchanger import ExchangerSpec, solve_exchanger
from thermo_kit.errors import InputError, NoSolutionError, OutOfRangeError
from thermo_kit.substances import stream_at
from thermo_kit.units import celsius

LIQUID, VAPOUR = streams()


def both(**changes):
    return dataclasses.replace(LIQUID, **changes), dataclasses.replace(VAPOUR, **changes)


BAD_STREAMS = [
    (both(mass_flow=0.0), "mass flow .* give kg/s inside the package"),
    (both(mass_flow=30.0), "mass flow .* 30 g/s is 0.03"),
    ((dataclasses.replace(LIQUID, mass_flow=0.02), VAPOUR), "vapour is not the liquid's own flow"),
    ((LIQUID, dataclasses.replace(VAPOUR, refrigerant="R-134a")), "vapour is not the liquid's own flow"),
    ((LIQUID.at(pressure=12.0), VAPOUR), "liquid pressure .* was this typed in bar"),
    ((LIQUID.at(pressure=2e5), VAPOUR), "liquid pressure .* must be above the vapour pressure .* swapped"),
    ((LIQUID, VAPOUR.at(pressure=40e5)), "vapour pressure .* must be able to boil"),
    ((stream_at("R-1234yf", 0.03, p=LIQUID.pressure, T=celsius(60)), VAPOUR), "60.0 °C brings vapour .* 50.0 °C"),
    ((stream_at("R-1234yf", 0.03, p=LIQUID.pressure, x=0.1), VAPOUR), "liquid of 50.0 °C brings vapour along"),
    ((LIQUID, stream_at("R-1234yf", 0.03, p=VAPOUR.pressure, T=celsius(-5))), "−5.0 °C brings liquid .* floods"),
    ((LIQUID, stream_at("R-1234yf", 0.03, p=VAPOUR.pressure, x=0.9)), "vapour of 2.0 °C brings liquid along"),
    ((LIQUID, stream_at("R-1234yf", 0.03, p=VAPOUR.pressure, T=celsius(46))), "must be above .* run backwards"),
]


@pytest.mark.parametrize("given, message", BAD_STREAMS, ids=[message for _, message in BAD_STREAMS])
def test_streams_that_are_not_what_they_say_are_refused(given, message):
    with pytest.raises(OutOfRangeError, match=message):
        solve_exchanger(van_exchanger(), *given)


def test_a_stream_must_know_its_flow():
    with pytest.raises(InputError, match="mass flow is missing"):
        solve_exchanger(van_exchanger(), *both(mass_flow=None))


def test_gas_just_above_critical_is_no_mixture():
    assert solve_exchanger(van_exchanger(), *gas_streams(pressure=74e5, outlet=33.0)).heat_flow > 0.0


def test_a_tube_far_too_narrow_is_refused():
    thin = ExchangerSpec(length=3.0, inner_diameter=0.004, wall_thickness=0.001, outer_diameter=0.012)
    with pytest.raises(NoSolutionError, match="vapour path .* more than a third .* make the tube wider"):
        solve_exchanger(thin, *streams())
