"""How long chiller, freeze transient and the map of safe times take, beside bare property states."""

import math
import time
from dataclasses import replace

import pytest

from tests.benchmarks.beside import measured, most_states, seconds_of_a_state, told
from thermo_kit.components.chiller import ChillerSpec, solve_chiller
from thermo_kit.panels.chiller import SafeTimePanel, map_arguments
from thermo_kit.systems.chiller_freeze import FreezeSpec, safe_time_map, simulate_chiller_freeze

STEADY = ChillerSpec(evaporating_temperature=272.15)


def test_chiller(record_property):
    cases = [replace(STEADY, coolant_inlet_temperature=288.0 + 0.01 * i) for i in range(60)]
    record_property("ratio", f"chiller: {measured(solve_chiller, cases, target=1.5)}")


@pytest.mark.parametrize(
    ("name", "spec"),
    [
        ("water, nobody reacts", FreezeSpec(coolant="water")),
        ("water, valve closes at 12 s", FreezeSpec(coolant="water", reaction_time=12.0)),
        ("30 % glycol, nobody reacts", FreezeSpec()),
        ("50 % glycol, a fifth of the flow left", FreezeSpec(mass_fraction=0.5, flow_profile=((0, 1), (1, 0.2)))),
    ],
)
def test_freeze_transient(record_property, name, spec):
    cases = [replace(spec, coolant_inlet_temperature=288.0 + 0.05 * i) for i in range(7)]
    record_property("ratio", f"freeze transient, {name}: {measured(simulate_chiller_freeze, cases, target=150)}")


def test_the_panels_whole_fine_map(record_property):
    """The map that a learner asks for, 20 by 20 points on two processes, held against states timed around it."""
    points = SafeTimePanel.fine_points
    before, begin = seconds_of_a_state(), time.perf_counter()
    found = safe_time_map(**map_arguments(SafeTimePanel.Settings(), points), accuracy=SafeTimePanel.accuracy, workers=2)
    seconds = time.perf_counter() - begin
    states = seconds / (0.5 * (before + seconds_of_a_state()))
    assert found.complete
    assert any(math.isfinite(time) for row in found.seconds for time in row)
    text = f"safe-time map, {points} by {points} on two processes: {seconds:.1f} s, {told(states, 30e3)}"
    record_property("ratio", text)
    assert states < most_states(30e3)
