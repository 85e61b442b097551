"""Pump curve, loop curve, and where they meet: against the whole network, the pump laws, and bad input."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from thermo_kit.errors import InputError, OutOfRangeError
from thermo_kit.laws.constants import GRAVITY
from thermo_kit.systems.coolant_network import NetworkFault, apply_faults, load_layout, solve_coolant_network
from thermo_kit.systems.coolant_network.faults import with_heats, with_pump_speeds
from thermo_kit.systems.operating_curves import operating_curves
from thermo_kit.units import celsius

WARM = celsius(25)


def loop(speed=1.0, shut=0.0):
    spec = with_pump_speeds(load_layout("two_loops"), speed)
    return apply_faults(spec, [NetworkFault(kind="hose kinked", part="drive return", amount=shut)] if shut else [])


def test_the_parts_take_what_the_pump_gives():
    curves = operating_curves(loop(), "drive pump", temperature=WARM)
    assert sum(value for _, value in curves.shares) == pytest.approx(curves.point.pressure_rise, rel=1e-9)
    assert curves.shares[0][0] == "drive pump" and len(curves.shares) == 5


def test_the_point_is_that_of_the_whole_network_at_the_same_temperature():
    # All heat off and the air at the coolant's temperature: the network then has one temperature as well.
    spec = load_layout("two_loops")
    spec = with_heats(replace(spec, ambient_temperature=WARM), battery=0.0, drive=0.0)
    network = solve_coolant_network(spec).way("drive pump").volume_flow
    assert operating_curves(spec, "drive pump", temperature=WARM).point.volume_flow == pytest.approx(network, rel=2e-3)


def test_the_curves_start_and_end_where_the_pump_does():
    curves = operating_curves(loop(), "drive pump", temperature=WARM)
    assert curves.loop_pressure[0] == 0.0 and list(curves.loop_pressure) == sorted(curves.loop_pressure)
    assert curves.pump_pressure[0] == pytest.approx(curves.density * GRAVITY * curves.pump.shut_off_head)
    assert curves.pump_pressure == curves.healthy_pressure


@settings(max_examples=25, deadline=None)
@given(shut=st.floats(0.0, 0.96), more=st.floats(0.005, 0.02), speed=st.floats(0.3, 1.1))
def test_a_tighter_hose_never_raises_the_flow_and_speed_never_lowers_it(shut, more, speed):
    flow = operating_curves(loop(speed, shut), "drive pump", temperature=WARM).point.volume_flow
    assert operating_curves(loop(speed, shut + more), "drive pump", temperature=WARM).point.volume_flow <= flow
    assert operating_curves(loop(speed + 0.05, shut), "drive pump", temperature=WARM).point.volume_flow > flow


def test_cold_coolant_is_thick_and_flows_less():
    cold, warm = (operating_curves(loop(), "drive pump", temperature=celsius(t)) for t in (-25, 60))
    assert cold.viscosity > 10 * warm.viscosity and cold.point.volume_flow < 0.8 * warm.point.volume_flow


def test_a_pump_that_lifts_nothing_has_no_point():
    spec = apply_faults(loop(), [NetworkFault(kind="pump dead", part="drive pump")])
    curves = operating_curves(spec, "drive pump", temperature=WARM)
    assert curves.point is None and all(value == 0.0 for _, value in curves.shares)


@pytest.mark.parametrize("layout, branch, kind, error, words", [
    ("two_loops", "drive return", "", InputError, "has no pump that pushes forwards"),
    ("two_loops", "drive pump", "pump reversed", InputError, "has no pump that pushes forwards"),
    ("join_or_part", "drive pump", "", InputError, "does not go on as one way"),
])  # fmt: skip
def test_a_loop_it_cannot_follow_is_refused(layout, branch, kind, error, words):
    spec = apply_faults(load_layout(layout), [NetworkFault(kind=kind, part=branch)] if kind else [])
    with pytest.raises(error, match=words):
        operating_curves(spec, branch, temperature=WARM)


def test_frozen_coolant_is_refused():
    with pytest.raises(OutOfRangeError, match="freezing point of this mixture"):
        operating_curves(loop(), "drive pump", temperature=celsius(-45))
