"""The pictures of the freezing chiller: what is drawn follows the result, and words carry what colour carries."""

import functools
import math

import pytest

from tests.charts.told import tells, words
from thermo_kit.charts import chiller
from thermo_kit.charts.guard_chart import arrows, guard_chart, is_dead
from thermo_kit.components.chiller import ChillerSpec, solve_chiller
from thermo_kit.systems import FreezeSpec, GuardSettings, simulate_chiller_freeze
from thermo_kit.systems.chiller_freeze import SafeTimeMap
from thermo_kit.systems.guard_table import TRANSITIONS, GuardEvent, GuardState
from thermo_kit.units import celsius

SHARES, LEFT = (0.0, 0.1, 0.2, 0.3), (0.0, 0.1, 0.2)
SECONDS = ((16.7, 25.0, 80.0), (23.4, 50.0, math.inf), (36.1, math.inf, math.inf), (math.inf,) * 3)


def a_map(seconds=SECONDS):
    return SafeTimeMap(FreezeSpec(), "burst", SHARES, "flow", LEFT, seconds, True)


@functools.cache
def story(**given):
    return simulate_chiller_freeze(FreezeSpec(coolant="water", **given))


def plate(**given):
    return solve_chiller(ChillerSpec(**{"evaporating_temperature": celsius(-1), **given}))


FAILED = ("flow watch", "shut-off valve")


def test_plates_name_their_lines_the_flow_and_the_margin():
    lines = "|coolant|; |wall, coolant side|; |refrigerant|; |coolant freezes|"
    margin = "freeze margin {freeze_margin:temperature_difference}"
    tells(chiller.chiller_plate, plate(mass_fraction=0.3), f"{lines}; counterflow; {margin}", "flows the other way")
    tells(chiller.chiller_plate, plate(counterflow=False), "parallel flow", "flows the same way")
    cold = plate(coolant="water", coolant_flow=0.08, evaporating_temperature=celsius(-8))
    assert cold.freeze_margin < 0
    tells(chiller.chiller_plate, cold, "below freezing: ice can grow here", "too cold, ice can grow")


def test_the_story_tells_each_event_with_its_second_and_how_it_ends():
    found = chiller.story_events(story())
    seen = "; ".join(f"{event} {time:.1f} s" for time, event, _ in found)
    assert list(found) == sorted(found) and found[-1][1] == "plates burst"
    tells(chiller.freeze_story, story(), seen, f"plates burst at {found[-1][0]:.1f} s; The plates burst.")
    saved = story(reaction_time=5.0)
    tells(chiller.freeze_story, saved, "shut-off valve closed 5.0 s", "slush that still flows", "plates burst")


@pytest.mark.parametrize(
    ("seconds", "read", "seen"),
    [
        (SECONDS, 30.0, "not within 180 s; 30 s; here: 30.0 s"),
        ((SECONDS[0], (23.4, None, None), (None,) * 3, (None,) * 3), 16.7, "not computed"),
        (((math.nan,) * 3, *SECONDS[1:]), 23.4, "freezes in normal work"),
    ],
)
def test_the_map_names_its_lines_and_regions_in_words(seconds, read, seen):
    draw = functools.partial(chiller.safe_time_picture, share=0.1, value=0.05, read=read)
    tells(draw, a_map(seconds), seen)


@pytest.mark.parametrize("stops", (True, False))
def test_the_chart_draws_what_the_table_of_the_protection_says(stops):
    left_out = GuardEvent.FLOW_LOST_CABIN_RUNS if stops else GuardEvent.FLOW_LOST
    unseen = (left_out, GuardEvent.ORDERED)
    assert set(arrows(stops)) == {(start, end) for (start, event), end in TRANSITIONS.items() if event not in unseen}


def test_an_arrow_is_crossed_out_only_when_nothing_can_lead_along_it():
    drawn = arrows(True)
    to_stopped = drawn[GuardState.FEED_SHUT, GuardState.SAFE]
    assert not is_dead(to_stopped, ("flow watch",))
    assert is_dead(to_stopped, ("flow watch", "pressure watch"))
    stuck = drawn[GuardState.CLOSING, GuardState.VALVE_STUCK]
    assert is_dead(stuck, ()) and not is_dead(stuck, ("shut-off valve",))


@pytest.mark.parametrize("failed", [(), FAILED[:1], FAILED[1:], FAILED])
def test_failed_guards_are_told_and_each_step_of_the_protection_walks_an_arrow(failed):
    steps, state = story(guards=GuardSettings(failed=failed)).guard_steps, GuardState.WATCHING
    picture = guard_chart(steps, failed, outcome="plates burst at 24.6 s")
    said = words(picture)
    assert said.count("FAILED") == len(failed) and said.count("works") == 4 - len(failed)
    for number, step in enumerate(steps, 1):
        assert f"{number}: {step.time:.1f} s" in said and (state, GuardState(step.state)) in arrows(True)
        state = GuardState(step.state)
    broken = f"Failed: {' and '.join(failed)}." if failed else "No guard has failed."
    assert picture.sentence.startswith(broken) and picture.sentence.endswith("Plates burst at 24.6 s.")


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
    assert chiller.short_time(read) == short
    assert long in chiller.time_words(a_map(), read)
