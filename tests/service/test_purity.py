"""A cylinder judged: air, another refrigerant, how full, how long it must rest, what may be used again."""

import pytest

from thermo_kit import service
from thermo_kit.errors import NoSolutionError
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.blend import Blend
from thermo_kit.units import celsius

ROOM = celsius(25)


def reading(excess, **more):
    pressure = Refrigerant("R-134a").dew_pressure(ROOM) + excess
    return service.air_in_cylinder(
        service.CylinderReading(refrigerant="R-134a", pressure=pressure, temperature=ROOM, **more)
    )


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
    fluid = Refrigerant("R-134a")
    sun = service.air_in_cylinder(
        service.CylinderReading(refrigerant="R-134a", pressure=fluid.dew_pressure(ROOM), temperature=ROOM - 2.0, **FINE)
    )
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
    fluid = Refrigerant("R-134a")
    assert Blend("R-134a", "R-1234yf", 0.0).bubble_pressure(ROOM) == pytest.approx(
        fluid.bubble_pressure(ROOM), rel=1e-6
    )
    assert Blend("R-134a", "R-1234yf", 1.0).dew_pressure(ROOM) == pytest.approx(
        Refrigerant("R-1234yf").dew_pressure(ROOM), rel=1e-6
    )


def test_a_blend_without_an_answer_is_refused():
    with pytest.raises(NoSolutionError, match="no liquid and vapour"):
        Blend("R-744", "R-290", 0.1).bubble_pressure(celsius(70))


def test_the_jump_comes_when_the_vapour_is_gone():
    result = service.fill_cylinder(service.CylinderSpec(refrigerant="R-134a", volume=0.012, mass=13.0))
    before = [p for T, p in zip(result.temperatures, result.pressures, strict=True) if T < result.full_temperature]
    after = [p for T, p in zip(result.temperatures, result.pressures, strict=True) if T > result.full_temperature]
    assert before[-1] - before[-2] < 1e5 < 5e5 < after[1] - after[0]
    assert result.verdict == "too full"


@pytest.mark.parametrize(("mass", "verdict"), [(11.5, "may travel"), (12.0, "too full"), (14.0, "dangerous")])
def test_how_full_is_told_by_weight(mass, verdict):
    assert service.fill_cylinder(service.CylinderSpec(refrigerant="R-134a", volume=0.012, mass=mass)).verdict == verdict


def test_rest_ends_where_it_should():
    result = service.rest_cylinder(
        service.RestSpec(refrigerant="R-134a", start_temperature=celsius(45), surroundings=celsius(20))
    )
    assert result.temperatures[0] == celsius(45)
    assert result.temperatures[-1] == pytest.approx(celsius(20), abs=0.01)
    third = next(t for t, T in zip(result.times, result.temperatures, strict=True) if T < celsius(20) + 25 * 0.3679)
    assert third == pytest.approx(result.time_constant, abs=900.0)
    heavy = service.rest_cylinder(
        service.RestSpec(refrigerant="R-134a", mass=2.0, start_temperature=celsius(45), surroundings=celsius(20))
    )
    assert heavy.trusted_after < result.trusted_after


def test_a_cylinder_that_is_already_as_warm_needs_no_rest():
    spec = service.RestSpec(refrigerant="R-134a", start_temperature=celsius(20), surroundings=celsius(20))
    assert service.rest_cylinder(spec).trusted_after == 0.0


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
def test_air_in_a_running_system_is_what_a_gauge_would_find_at_rest(name):
    seen = service.air_in_system(service.RunningAir(refrigerant=name, air_mass=2e-3))
    at_rest = service.CylinderReading(
        refrigerant=name, pressure=seen.head_pressure, temperature=seen.spec.condensing_temperature,
        vapour_volume=seen.spec.gas_room,
    )  # fmt: skip
    assert service.air_in_cylinder(at_rest).air_mass == pytest.approx(2e-3, rel=1e-6)
    # What the gauge's scale says is saturation of the whole head pressure; the liquid is no colder for it.
    assert Refrigerant(name).bubble_pressure(seen.shown_condensing) == pytest.approx(seen.head_pressure, rel=1e-6)
    assert seen.shown_subcooling - seen.spec.subcooling == pytest.approx(
        seen.shown_condensing - seen.spec.condensing_temperature
    )
    clean = service.air_in_system(service.RunningAir(refrigerant=name, air_mass=0.0))
    assert seen.discharge_temperature > clean.discharge_temperature and seen.more_work > 0.0


def test_without_air_nothing_is_seen():
    seen = service.air_in_system(service.RunningAir(refrigerant="R-134a", air_mass=0.0))
    assert seen.shown_subcooling == pytest.approx(seen.spec.subcooling, abs=1e-6)
    clean = Refrigerant("R-134a").dew_pressure(seen.spec.condensing_temperature)
    assert (seen.head_pressure, seen.more_work) == (clean, 0.0)
