"""The same job for several refrigerants, and the range of the points of a cycle from readings."""

from dataclasses import replace

import pytest

from tests.systems.readings_to_try import taken
from thermo_kit.errors import OutOfRangeError
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.systems import cycle_from_readings, solve_cycle
from thermo_kit.systems.comparison import ComparisonSpec, compare_refrigerants
from thermo_kit.systems.readings import spread_of_points
from thermo_kit.units import celsius

JOB = ComparisonSpec(evaporating_temperature=celsius(0), condensing_temperature=celsius(45))
BUS = taken(
    suction=10, discharge=78, pressure_accuracy=16e3, discharge_pressure_accuracy=40e3, temperature_accuracy=1.5
)


def compared(name="R-744", **changes):
    """What one refrigerant does at the job, changed in temperatures given in °C."""
    return compare_refrigerants(replace(JOB, refrigerants=(name,), **{k: celsius(T) for k, T in changes.items()}))[0]


def performance(row, factor):
    """COP of a compared cycle at a share of its gas cooler pressure."""
    pressure = row.cycle.condensing_pressure * factor
    return solve_cycle(replace(row.cycle.spec, gas_cooler_pressure=pressure)).coefficient_of_performance


def test_every_refrigerant_works_between_the_same_temperatures_for_one_kilowatt():
    for row in compare_refrigerants(JOB):
        fluid, (inlet, _, leaves, *_) = Refrigerant(row.refrigerant), (point.state for point in row.cycle.points)
        assert row.cycle.evaporating_pressure == pytest.approx(fluid.dew_pressure(celsius(0)))
        assert leaves.T == pytest.approx(celsius(40))
        assert row.above_critical == (row.refrigerant == "R-744") == (leaves.p > fluid.critical_pressure)
        assert row.suction_volume_flow * inlet.rho * row.cycle.refrigerating_effect == pytest.approx(1000.0)
        assert row.limit == ""


def test_the_gas_cooler_pressure_is_a_best_one():
    row = compared()
    assert max(performance(row, 0.97), performance(row, 1.03)) < row.cycle.coefficient_of_performance


@pytest.mark.parametrize(("condensing", "limit", "beyond"), [(62, "highest", 1.02), (33, "lowest", 0.97)])
def test_where_a_limit_is_named_the_best_pressure_lies_beyond_it(condensing, limit, beyond):
    row = compared(condensing_temperature=condensing)
    assert row.limit == limit
    assert performance(row, beyond) > row.cycle.coefficient_of_performance


@pytest.mark.parametrize("evaporating", [5, 15, 20])
@pytest.mark.parametrize("outlet", [30.9, 31.0, 31.05, 31.1, 31.5])
def test_an_outlet_hardly_above_critical_asks_for_a_low_pressure(evaporating, outlet):
    row = compared(evaporating_temperature=evaporating, condensing_temperature=outlet + 5)
    assert row.above_critical and 77e5 < row.cycle.condensing_pressure < 79e5


@pytest.mark.parametrize("name", REFRIGERANT_NAMES)
def test_more_lift_costs_every_refrigerant_performance(name):
    rows = [compared(name, condensing_temperature=T) for T in (26, 35, 45, 55, 65)]
    falling = [row.cycle.coefficient_of_performance for row in rows]
    assert falling == sorted(falling, reverse=True)


def test_an_impossible_job_is_refused():
    with pytest.raises(OutOfRangeError, match="isentropic efficiency 1.5 is above 1"):
        replace(JOB, isentropic_efficiency=1.5)


def spreads(readings=BUS, **changes):
    return spread_of_points(cycle_from_readings(replace(readings, **changes)))


def test_every_point_lies_inside_its_range_and_the_gauge_sets_its_height():
    points = cycle_from_readings(BUS).points
    for number, (spread, point) in enumerate(zip(spreads(), points, strict=True), 1):
        assert spread.number == number
        assert spread.p_high - point.state.p == pytest.approx(16e3 if number in (1, 5, 6) else 40e3)
        assert spread.h_low < point.state.h < spread.h_high


@pytest.mark.parametrize(
    ("number", "field"), [(1, "suction_temperature"), (2, "discharge_temperature"), (3, "liquid_temperature")]
)
def test_a_clamp_at_its_limit_moves_the_point_inside_its_range(number, field):
    spread = spreads()[number - 1]
    for off in (1.5, -1.5):
        moved = cycle_from_readings(replace(BUS, **{field: getattr(BUS, field) + off}))
        # Enthalpy is a little curved in temperature, the range is even on both sides.
        room = 0.02 * (spread.h_high - spread.h_low)
        assert spread.h_low - room <= moved.points[number - 1].state.h <= spread.h_high + room


def test_better_instruments_give_smaller_ranges():
    for one, other in zip(
        spreads(),
        spreads(pressure_accuracy=4e3, discharge_pressure_accuracy=4e3, temperature_accuracy=0.3),
        strict=True,
    ):
        assert other.h_high - other.h_low < 0.5 * (one.h_high - one.h_low)


def test_a_gauge_worse_than_its_own_reading_still_gives_a_range_that_can_be_drawn():
    spread = spreads(pressure_accuracy=4.5e5)[0]
    assert 0 < spread.p_low < BUS.suction_pressure < spread.p_high


def test_next_to_the_end_of_the_property_data_the_range_does_not_shrink():
    # The data of R-1234yf end at 410 K: one degree below it the clamp's upper limit has no state any more.
    near, far = (spreads(refrigerant="R-1234yf", discharge_temperature=T)[1] for T in (409.0, 405.0))
    assert near.h_high - near.h_low == pytest.approx(far.h_high - far.h_low, rel=0.05)
