"""A cylinder judged: air, another refrigerant, how full, how long it must rest, what may be used again."""

import numpy as np
import pytest

from thermo_kit import service
from thermo_kit.errors import NoSolutionError
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.blend import Blend
from thermo_kit.units import celsius

ROOM = celsius(25)


def reading(excess, **more):
    shown = {"pressure": Refrigerant("R-134a").dew_pressure(ROOM) + excess, "temperature": ROOM} | more
    return service.air_in_cylinder(service.CylinderReading(refrigerant="R-134a", **shown))


FINE = {"pressure_accuracy": 500.0, "temperature_accuracy": 0.1}


@pytest.mark.parametrize(
    ("excess", "instruments", "verdict"),
    [
        (6e4, {}, "too much air"),
        (1.2e4, {}, "cannot tell"),
        (0.0, {}, "cannot tell"),
        (0.0, FINE, "pure enough"),
        (1.2e4, {"pressure_accuracy": 100.0, "temperature_accuracy": 0.01}, "too much air"),
        (-5e4, {}, "colder than it looks"),
    ],
)
def test_the_verdict_is_given_where_the_instruments_carry_it(excess, instruments, verdict):
    assert reading(excess, **instruments).verdict == verdict


def test_the_air_that_was_put_in_is_found_again():
    result = reading(3e4, vapour_volume=3e-3)
    assert result.excess_pressure == pytest.approx(3e4)
    moles = 3e4 * 3e-3 / (8.314462618 * ROOM)
    assert result.air_mass == pytest.approx(moles * 0.028965, rel=1e-4)
    assert result.air_fraction == pytest.approx(3e4 / result.reading.pressure)


def test_a_wrong_thermometer_looks_like_air():
    # Two kelvin too low on the wall is 38 kPa of saturation: four times what 1.5 % of air adds.
    fluid, sun = Refrigerant("R-134a"), reading(0.0, temperature=ROOM - 2.0, **FINE)
    assert sun.verdict == "too much air"
    assert sun.excess_pressure == pytest.approx(fluid.dew_pressure(ROOM) - fluid.dew_pressure(ROOM - 2.0))


def test_short_rest_is_told():
    assert any("12 hours" in str(note) for note in reading(0.0, time_at_rest=3600.0).notes)
    assert not any("12 hours" in str(note) for note in reading(0.0).notes)


def test_no_gauge_sees_two_per_cent_of_another_refrigerant():
    result = service.blend_reading("R-134a", "R-1234yf", 0.02, temperature=ROOM)
    assert abs(result.shift) < 0.2 * result.uncertainty
    assert result.least_seen > 0.1


def test_a_pure_refrigerant_is_its_own_blend():
    for share, name in ((0.0, "R-134a"), (1.0, "R-1234yf")):
        blend, pure = Blend("R-134a", "R-1234yf", share), Refrigerant(name).dew_pressure(ROOM)
        assert (blend.bubble_pressure(ROOM), blend.dew_pressure(ROOM)) == pytest.approx((pure, pure), rel=1e-6)


def test_a_blend_without_an_answer_is_refused():
    with pytest.raises(NoSolutionError, match="no liquid and vapour"):
        Blend("R-744", "R-290", 0.1).bubble_pressure(celsius(70))


def filled(mass):
    return service.fill_cylinder(service.CylinderSpec(refrigerant="R-134a", volume=0.012, mass=mass))


def test_the_jump_comes_when_the_vapour_is_gone():
    result = filled(13.0)
    gone = next(i for i, T in enumerate(result.temperatures) if result.full_temperature < T)
    steps = np.diff(result.pressures)
    assert steps[gone - 2] < 1e5 < 5e5 < steps[gone]


@pytest.mark.parametrize(("mass", "verdict"), [(11.5, "may travel"), (12.0, "too full"), (14.0, "dangerous")])
def test_how_full_is_told_by_weight(mass, verdict):
    assert filled(mass).verdict == verdict


def rest(start, **more):
    spec = service.RestSpec(refrigerant="R-134a", start_temperature=celsius(start), surroundings=celsius(20), **more)
    return service.rest_cylinder(spec)


def test_rest_ends_where_it_should():
    result = rest(45)
    assert result.temperatures[0] == celsius(45)
    assert result.temperatures[-1] == pytest.approx(celsius(20), abs=0.01)
    third = next(t for t, T in zip(result.times, result.temperatures, strict=True) if T < celsius(20) + 25 * 0.3679)
    assert third == pytest.approx(result.time_constant, abs=900.0)
    assert 0.0 == rest(20).trusted_after < rest(45, mass=2.0).trusted_after < result.trusted_after


@pytest.mark.parametrize(
    ("finding", "verdict"),
    [
        ({}, "recycle and use again"),
        ({"other_refrigerant": 0.01}, "recycle and use again"),
        ({"other_refrigerant": 0.03}, "cannot tell"),
        ({"other_refrigerant": 0.05}, "to the marked cylinder"),
        ({"air": 0.05}, "draw off the air, check again"),
        ({"air": 0.05, "other_refrigerant": 0.05}, "to the marked cylinder"),
        ({"hydrocarbon": 0.05}, "to the marked cylinder"),
        ({"sealant": 1}, "to the marked cylinder"),
        ({"debris": 1}, "recycle and use again"),
    ],
)
def test_what_may_be_used_again(finding, verdict):
    assert service.judge_reuse(service.ContaminantFinding(**finding))[0] == verdict


@pytest.mark.parametrize("name", ("R-134a", "R-1234yf"))
def test_air_in_a_running_system_shows_as_subcooling_and_costs_work(name):
    clean, seen = (service.air_in_system(service.RunningAir(refrigerant=name, air_mass=air)) for air in (0.0, 2e-3))
    # What the gauge's scale says is saturation of the whole head pressure; the liquid is no colder for it.
    assert Refrigerant(name).bubble_pressure(seen.shown_condensing) == pytest.approx(seen.head_pressure, rel=1e-6)
    assert seen.shown_subcooling - seen.spec.subcooling == pytest.approx(
        seen.shown_condensing - seen.spec.condensing_temperature
    )
    assert seen.discharge_temperature > clean.discharge_temperature and seen.more_work > 0.0
    # Without air nothing is seen.
    assert clean.shown_subcooling == pytest.approx(clean.spec.subcooling, abs=1e-6)
    pure = Refrigerant(name).dew_pressure(clean.spec.condensing_temperature)
    assert (clean.head_pressure, clean.more_work) == (pure, 0.0)
