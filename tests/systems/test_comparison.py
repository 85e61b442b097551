"""The same job for several refrigerants, and the range of the points of a cycle from readings."""

import dataclasses

import pytest

from thermo_kit.errors import OutOfRangeError
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.systems import Readings, cycle_from_readings
from thermo_kit.systems.comparison import ComparisonSpec, compare_refrigerants
from thermo_kit.systems.readings import spread_of_points
from thermo_kit.units import barg, celsius

JOB = ComparisonSpec(evaporating_temperature=celsius(0), condensing_temperature=celsius(45))
BUS = Readings(
    refrigerant="R-134a",
    suction_pressure=barg(2.0),
    discharge_pressure=barg(12.5),
    evaporator_outlet_temperature=celsius(6),
    suction_temperature=celsius(10),
    discharge_temperature=celsius(78),
    liquid_temperature=celsius(43),
    pressure_accuracy=16e3,
    temperature_accuracy=1.5,
)


def test_every_refrigerant_works_between_the_same_temperatures():
    for row in compare_refrigerants(JOB):
        fluid = Refrigerant(row.refrigerant)
        assert row.cycle.evaporating_pressure == pytest.approx(fluid.dew_pressure(celsius(0)))
        leaves = row.cycle.points[2].state
        assert leaves.T == pytest.approx(celsius(40))
        assert row.above_critical == (row.refrigerant == "R-744") == (leaves.p > fluid.critical_pressure)


def test_suction_volume_times_density_times_effect_is_one_kilowatt():
    for row in compare_refrigerants(JOB):
        inlet = row.cycle.points[0].state
        assert row.suction_volume_flow * inlet.rho * row.cycle.refrigerating_effect == pytest.approx(1000.0)


def test_the_gas_cooler_pressure_is_a_best_one():
    from thermo_kit.systems import CycleSpec, solve_cycle

    row = next(row for row in compare_refrigerants(JOB) if row.above_critical)
    assert isinstance(row.cycle.spec, CycleSpec)
    for factor in (0.97, 1.03):
        pressure = row.cycle.condensing_pressure * factor
        other = solve_cycle(dataclasses.replace(row.cycle.spec, gas_cooler_pressure=pressure))
        assert other.coefficient_of_performance < row.cycle.coefficient_of_performance


@pytest.mark.parametrize(("condensing", "limit", "beyond"), [(62, "highest", 1.02), (33, "lowest", 0.97)])
def test_where_a_limit_is_named_the_best_pressure_lies_beyond_it(condensing, limit, beyond):
    from thermo_kit.systems import solve_cycle

    job = dataclasses.replace(JOB, condensing_temperature=celsius(condensing), refrigerants=("R-744",))
    (row,) = compare_refrigerants(job)
    assert row.limit == limit
    asked = dataclasses.replace(row.cycle.spec, gas_cooler_pressure=row.cycle.condensing_pressure * beyond)
    assert solve_cycle(asked).coefficient_of_performance > row.cycle.coefficient_of_performance
    assert all(row.limit == "" for row in compare_refrigerants(JOB))


@pytest.mark.parametrize("evaporating", [5, 15, 20])
@pytest.mark.parametrize("outlet", [30.9, 31.0, 31.05, 31.1, 31.5])
def test_an_outlet_hardly_above_critical_asks_for_a_low_pressure(evaporating, outlet):
    job = dataclasses.replace(
        JOB, evaporating_temperature=celsius(evaporating), subcooling=5.0, condensing_temperature=celsius(outlet + 5),
        refrigerants=("R-744",),
    )  # fmt: skip
    (row,) = compare_refrigerants(job)
    assert row.above_critical and 77e5 < row.cycle.condensing_pressure < 79e5


@pytest.mark.parametrize("name", REFRIGERANT_NAMES)
def test_more_lift_costs_every_refrigerant_performance(name):
    performance = [
        compare_refrigerants(
            dataclasses.replace(JOB, condensing_temperature=celsius(t), refrigerants=(name,))
        )[0].cycle.coefficient_of_performance
        for t in (26, 35, 45, 55, 65)
    ]  # fmt: skip
    assert performance == sorted(performance, reverse=True)


def test_an_impossible_job_is_refused():
    with pytest.raises(OutOfRangeError, match="isentropic efficiency 1.5 is above 1"):
        compare_refrigerants(dataclasses.replace(JOB, isentropic_efficiency=1.5))


def test_every_point_lies_inside_its_range_and_the_gauge_sets_its_height():
    cycle = cycle_from_readings(BUS)
    spreads = spread_of_points(cycle)
    assert [spread.number for spread in spreads] == [1, 2, 3, 4, 5, 6]
    for spread, point in zip(spreads, cycle.points, strict=True):
        assert spread.p_high - point.state.p == pytest.approx(16e3)
        assert spread.h_low < point.state.h < spread.h_high


@pytest.mark.parametrize(
    ("number", "field"), [(1, "suction_temperature"), (2, "discharge_temperature"), (3, "liquid_temperature")]
)
def test_a_clamp_at_its_limit_moves_the_point_inside_its_range(number, field):
    spread = spread_of_points(cycle_from_readings(BUS))[number - 1]
    for sign in (1, -1):
        moved = cycle_from_readings(dataclasses.replace(BUS, **{field: getattr(BUS, field) + sign * 1.5}))
        # Enthalpy is a little curved in temperature, the range is even on both sides.
        room = 0.02 * (spread.h_high - spread.h_low)
        assert spread.h_low - room <= moved.points[number - 1].state.h <= spread.h_high + room


def test_better_instruments_give_smaller_ranges():
    coarse = spread_of_points(cycle_from_readings(BUS))
    fine = spread_of_points(
        cycle_from_readings(dataclasses.replace(BUS, pressure_accuracy=4e3, temperature_accuracy=0.3))
    )
    for one, other in zip(coarse, fine, strict=True):
        assert other.h_high - other.h_low < 0.5 * (one.h_high - one.h_low)


def test_a_gauge_worse_than_its_own_reading_still_gives_a_range_that_can_be_drawn():
    spread = spread_of_points(cycle_from_readings(dataclasses.replace(BUS, pressure_accuracy=4.5e5)))[0]
    assert 0 < spread.p_low < BUS.suction_pressure < spread.p_high


def test_next_to_the_end_of_the_property_data_the_range_does_not_shrink():
    # The data of R-1234yf end at 410 K: one degree below it the clamp's upper limit has no state any more.
    def width(discharge):
        hot = dataclasses.replace(BUS, refrigerant="R-1234yf", discharge_temperature=discharge)
        spread = spread_of_points(cycle_from_readings(hot))[1]
        return spread.h_high - spread.h_low

    assert width(409.0) == pytest.approx(width(405.0), rel=0.05)
