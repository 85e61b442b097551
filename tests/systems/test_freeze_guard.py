"""The protection as a state chart: every branch, every single and double failure."""

from dataclasses import replace

import pytest

from thermo_kit.systems import guard_table as guard
from thermo_kit.systems.chiller_freeze import FreezeSpec, GuardSettings, failure_table, simulate_chiller_freeze

S, E = guard.GuardState, guard.GuardEvent
WATER = FreezeSpec(coolant="water")
BRANCHES = {
    S.WATCHING: {
        E.FLOW_LOST: S.STOPPED_CLOSING,
        E.FLOW_LOST_CABIN_RUNS: S.CLOSING,
        E.TOO_COLD: S.CLOSING,
        E.PRESSURE_LOW: S.STOPPED,
        E.ORDERED: S.CLOSING,
    },
    S.CLOSING: {
        E.FLOW_LOST: S.STOPPED_CLOSING,
        E.PRESSURE_LOW: S.STOPPED_CLOSING,
        E.VALVE_CLOSED: S.FEED_SHUT,
        E.VALVE_FAILED: S.VALVE_STUCK,
    },
    S.FEED_SHUT: {E.FLOW_LOST: S.SAFE, E.PRESSURE_LOW: S.SAFE},
    S.VALVE_STUCK: {E.FLOW_LOST: S.STOPPED_STUCK, E.PRESSURE_LOW: S.STOPPED_STUCK},
    S.STOPPED: dict.fromkeys((E.FLOW_LOST, E.FLOW_LOST_CABIN_RUNS, E.TOO_COLD, E.ORDERED), S.STOPPED_CLOSING),
    S.STOPPED_CLOSING: {E.VALVE_CLOSED: S.SAFE, E.VALVE_FAILED: S.STOPPED_STUCK},
}


@pytest.mark.parametrize("state", S)
def test_these_branches_change_the_state_and_nothing_else_does(state):
    for event in E:
        assert guard.next_state(state, event) is BRANCHES.get(state, {}).get(event, state)


def test_no_branch_starts_the_compressor_or_opens_the_feed_again():
    for (state, _), target in guard.TRANSITIONS.items():
        assert guard.compressor_runs(state) or not guard.compressor_runs(target)
        assert not guard.feed_is_shut(state) or guard.feed_is_shut(target)


def test_what_the_states_mean():
    assert {state for state in S if guard.feed_is_shut(state)} == {S.FEED_SHUT, S.SAFE}
    assert {state for state in S if guard.valve_is_moving(state)} == {S.CLOSING, S.STOPPED_CLOSING}
    assert {state for state in S if guard.compressor_runs(state)} == {S.WATCHING, S.CLOSING, S.FEED_SHUT, S.VALVE_STUCK}


RUNS = {
    "flow watch stops and shuts": (
        dict(guards=GuardSettings()),
        ["compressor stopped, valve closing", "compressor stopped and feed shut off"],
    ),
    "flow watch keeps the cabin": (
        dict(guards=GuardSettings(interlock_stops_compressor=False, failed=("pressure watch",))),
        ["valve closing", "feed shut off"],
    ),
    "cold watch, then low pressure": (
        dict(guards=GuardSettings(failed=("flow watch",))),
        ["valve closing", "feed shut off", "compressor stopped and feed shut off"],
    ),
    "stuck valve, flow watch still stops": (
        dict(guards=GuardSettings(failed=("shut-off valve",))),
        ["compressor stopped, valve closing", "compressor stopped, valve did not close"],
    ),
    "stuck valve, cold watch only": (
        dict(guards=GuardSettings(failed=("shut-off valve", "flow watch"))),
        ["valve closing", "valve did not close"],
    ),
    "low pressure alone": (
        dict(guards=GuardSettings(failed=("flow watch", "cold watch"), pressure_limit=3.0e5)),
        ["compressor stopped"],
    ),
    "closing ordered": (dict(reaction_time=5.0), ["valve closing", "feed shut off"]),
    "low pressure, then closing ordered": (
        dict(reaction_time=9.0, guards=GuardSettings(failed=("flow watch", "cold watch"), pressure_limit=3.0e5)),
        ["compressor stopped", "compressor stopped, valve closing", "compressor stopped and feed shut off"],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", RUNS)
def test_the_case_runs_through_the_chart(name):
    changes, wanted = RUNS[name]
    steps = simulate_chiller_freeze(replace(WATER, **changes)).guard_steps
    assert [step.state for step in steps] == wanted
    assert sorted(steps, key=lambda step: step.time) == list(steps)


def test_delays_and_travel_are_kept():
    guards = GuardSettings(flow_delay=3.0, valve_time=1.5)
    result = simulate_chiller_freeze(replace(WATER, guards=guards))
    lost = 1.0 - guards.flow_limit  # the flow falls straight to nothing within the first second
    assert result.compressor_stopped_time == pytest.approx(lost + 3.0, abs=0.02)
    assert result.valve_closed_time == pytest.approx(lost + 4.5, abs=0.02)


def test_a_sensor_in_the_hose_goes_blind_without_flow():
    at_plate = GuardSettings(failed=("flow watch", "pressure watch"))
    in_hose = replace(at_plate, sensor_place="hose")
    assert simulate_chiller_freeze(replace(WATER, guards=at_plate)).outcome != "burst"
    blind = simulate_chiller_freeze(replace(WATER, guards=in_hose))
    assert blind.outcome == "burst" and blind.guard_steps == ()


def test_which_failures_burst_the_plates():
    rows = {row.failed: row for row in failure_table(WATER)}
    assert len(rows) == 1 + 4 + 6
    assert rows[()].outcome == "no ice"
    assert all(rows[(name,)].outcome != "burst" for name in guard.GUARD_NAMES)
    burst = {failed for failed, row in rows.items() if row.outcome == "burst"}
    assert burst == {("flow watch", "cold watch"), ("flow watch", "shut-off valve")}
    assert all(rows[failed].burst_time > rows[failed].first_ice_time for failed in burst)


def test_a_row_of_the_table_is_the_case_itself():
    rows = failure_table(WATER, most=1)
    alone = simulate_chiller_freeze(replace(WATER, guards=GuardSettings(failed=("flow watch",))))
    row = next(row for row in rows if row.failed == ("flow watch",))
    assert row.first_ice_time == pytest.approx(alone.first_ice_time, abs=1e-6)
    assert row.guard_steps == alone.guard_steps


def test_one_more_failure_never_helps():
    rows = failure_table(WATER, most=3)
    peaks = {frozenset(row.failed): row.peak_ice for row in rows}
    for failed, peak in peaks.items():
        for more, worse in peaks.items():
            if failed < more:
                assert worse > peak - 5e-3
