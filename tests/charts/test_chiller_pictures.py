"""The pictures of the freezing chiller: what is drawn follows the result, and words carry what colour carries."""

import functools
import math

import pytest

from tests.charts.told import words
from thermo_kit.charts import Look
from thermo_kit.charts.chiller import (
    chiller_plate,
    freeze_story,
    safe_time_picture,
    short_time,
    story_events,
    time_words,
)
from thermo_kit.charts.guard_chart import arrows, guard_chart, is_dead
from thermo_kit.components.chiller import ChillerSpec, solve_chiller
from thermo_kit.systems import FreezeSpec, GuardSettings, simulate_chiller_freeze
from thermo_kit.systems.chiller_freeze import SafeTimeMap
from thermo_kit.systems.guard_table import TRANSITIONS, GuardEvent, GuardState
from thermo_kit.units import celsius

SHARES, LEFT = (0.0, 0.1, 0.2, 0.3), (0.0, 0.1, 0.2)
SECONDS = ((16.7, 25.0, 80.0), (23.4, 50.0, math.inf), (36.1, math.inf, math.inf), (math.inf,) * 3)


def a_map(seconds=SECONDS, complete=True):
    return SafeTimeMap(FreezeSpec(), "burst", SHARES, "flow", LEFT, seconds, complete)


@functools.cache
def story(**given):
    return simulate_chiller_freeze(FreezeSpec(coolant="water", **given))


@functools.cache
def guarded(*failed):
    return simulate_chiller_freeze(FreezeSpec(coolant="water", guards=GuardSettings(failed=failed)))


def plate(**given):
    return solve_chiller(ChillerSpec(**{"evaporating_temperature": celsius(-1), **given}))


def test_the_plate_names_its_lines_and_the_margin():
    result = plate(mass_fraction=0.3)
    said = words(chiller_plate(result, Look()))
    for name in ("coolant", "wall, coolant side", "refrigerant", "coolant freezes"):
        assert name in said
    assert f"freeze margin {result.freeze_margin:.1f} K" in said
    assert f"The freeze margin is {result.freeze_margin:.1f} K" in chiller_plate(result, Look()).sentence


def test_a_wall_below_freezing_is_told_in_words():
    result = plate(coolant="water", coolant_flow=0.08, evaporating_temperature=celsius(-8))
    assert result.freeze_margin < 0
    picture = chiller_plate(result, Look())
    assert "below freezing: ice can grow here" in words(picture)
    assert "too cold, ice can grow" in picture.sentence


def test_counterflow_and_parallel_flow_are_drawn_differently():
    counter, parallel = (chiller_plate(plate(counterflow=way), Look()) for way in (True, False))
    assert counter.still != parallel.still
    assert "flows the other way" in counter.sentence
    assert "flows the same way" in parallel.sentence


def test_the_story_writes_every_event_with_its_second():
    result = story()
    picture = freeze_story(result, Look())
    for time, event, _ in story_events(result):
        assert f"{event} {time:.1f} s" in words(picture)
        assert f"{event} at {time:.1f} s" in picture.sentence.lower()
    assert story_events(result)[-1][1] == "plates burst"
    assert picture.sentence.endswith("The plates burst.")


def test_an_event_that_never_happens_is_not_drawn():
    result = story(reaction_time=5.0)
    picture = freeze_story(result, Look())
    assert "plates burst" not in words(picture)
    assert "shut-off valve closed 5.0 s" in words(picture)
    assert "slush that still flows" in picture.sentence


@pytest.mark.parametrize("stops", (True, False))
def test_the_chart_draws_what_the_table_of_the_protection_says(stops):
    left_out = GuardEvent.FLOW_LOST_CABIN_RUNS if stops else GuardEvent.FLOW_LOST
    wanted = {
        (start, end) for (start, event), end in TRANSITIONS.items() if event not in (left_out, GuardEvent.ORDERED)
    }
    assert set(arrows(stops)) == wanted


def test_an_arrow_is_crossed_out_only_when_nothing_can_lead_along_it():
    drawn = arrows(True)
    to_stopped = drawn[GuardState.FEED_SHUT, GuardState.SAFE]
    assert not is_dead(to_stopped, ("flow watch",))
    assert is_dead(to_stopped, ("flow watch", "pressure watch"))
    stuck = drawn[GuardState.CLOSING, GuardState.VALVE_STUCK]
    assert is_dead(stuck, ()) and not is_dead(stuck, ("shut-off valve",))


def test_the_chart_shows_failed_guards_and_the_path():
    result = guarded("flow watch", "shut-off valve")
    failed = ("flow watch", "shut-off valve")
    picture = guard_chart(result.guard_steps, failed, outcome="plates burst at 24.6 s")
    said = words(picture)
    assert said.count("FAILED") == 2 and said.count("works") == 2
    for number, step in enumerate(result.guard_steps, 1):
        assert f"{number}: {step.time:.1f} s" in said
    assert picture.sentence.startswith("Failed: flow watch and shut-off valve.")
    assert picture.sentence.endswith("Plates burst at 24.6 s.")


def test_every_step_of_the_protection_has_an_arrow_to_walk():
    for failed in ((), ("flow watch",), ("shut-off valve",), ("flow watch", "shut-off valve")):
        state = GuardState.WATCHING
        for step in guarded(*failed).guard_steps:
            following = GuardState(step.state)
            assert (state, following) in arrows(True)
            state = following


def test_the_map_labels_its_lines_and_regions_in_words():
    said = words(safe_time_picture(a_map(), Look(), share=0.1, value=0.05, read=30.0))
    assert "not within 180 s" in said
    assert "30 s" in said
    assert "here: 30.0 s" in said


def test_a_stopped_map_and_one_that_freezes_at_work_say_so():
    cut = (SECONDS[0], (23.4, None, None), (None,) * 3, (None,) * 3)
    assert "not computed" in words(safe_time_picture(a_map(cut, False), Look(), share=0.0, value=0.0, read=16.7))
    frozen = ((math.nan,) * 3, SECONDS[1], SECONDS[2], SECONDS[3])
    assert "freezes in normal work" in words(safe_time_picture(a_map(frozen), Look(), share=0.1, value=0.0, read=23.4))


@pytest.mark.parametrize(
    ("read", "short", "long"),
    [
        (None, "not computed", "not computed"),
        (math.nan, "freezes in normal work", "freezes already"),
        (math.inf, "no limit", "within 180 s this does not come about"),
        (0.0, "no time", "no time at all"),
        (16.7, "16.7 s", "must close within 17 s"),
    ],
)
def test_a_time_is_told_in_words(read, short, long):
    assert short_time(read) == short
    assert long in time_words(a_map(), read)
