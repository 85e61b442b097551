"""Chiller and freeze transient: processor milliseconds, and how many bare calls of the films that is."""

import math
import time
from dataclasses import replace

import pytest

from thermo_kit.components.chiller import ChillerSpec, PlateStack, solve_chiller
from thermo_kit.components.chiller_films import boiling_film, vapour_film
from thermo_kit.substances import Refrigerant
from thermo_kit.systems.chiller_freeze import FreezeSpec, longest_safe_reaction, simulate_chiller_freeze

pytestmark = pytest.mark.quiet
STEADY = ChillerSpec(evaporating_temperature=272.15)
# Median of the runs against the targets; the room above them is for slower and busier machines.
SLACK = 4.0


def median_seconds(call, cases):
    call(cases[0])
    times = []
    for case in cases:
        begin = time.process_time()
        call(case)
        times.append(time.process_time() - begin)
    return sorted(times)[len(times) // 2]


def floor_seconds():
    """Return the time of what one steady solution cannot do without: saturation and the two films, once."""
    stack, fluid = PlateStack(), Refrigerant("R-134a")

    def bare(T):
        saturation = fluid.saturation(T)
        boiling_film(saturation, mass_flux=15.0, stack=stack)
        vapour_film(saturation, mass_flux=15.0, stack=stack)

    return median_seconds(bare, [270.0 + 0.01 * i for i in range(60)])


def test_chiller(record_property):
    cases = [replace(STEADY, coolant_inlet_temperature=288.0 + 0.01 * i) for i in range(60)]
    taken, bare = median_seconds(solve_chiller, cases), floor_seconds()
    record_property("ratio", f"chiller: {taken * 1e3:.2f} ms, {taken / bare:.0f} × its bare property and film calls")
    assert taken < SLACK * 1.5e-3


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
    taken = median_seconds(simulate_chiller_freeze, cases)
    record_property("ratio", f"freeze transient, {name}: {taken * 1e3:.0f} ms (target 150)")
    assert taken < SLACK * 0.150


def test_map_point(record_property):
    """A map of 400 points in 30 s on two cores leaves 150 ms for each; a mixed sample of its points is timed."""
    cases = [
        FreezeSpec(mass_fraction=share, flow_profile=((0.0, 1.0), (1.0, left)))
        for share in (0.0, 0.15, 0.3, 0.45, 0.57) for left in (0.0, 0.12, 0.25, 0.37, 0.5)
    ]  # fmt: skip
    longest_safe_reaction(cases[0])
    begin = time.process_time()
    found = [longest_safe_reaction(case, accuracy=0.5) for case in cases]
    mean = (time.process_time() - begin) / len(cases)
    assert any(math.isfinite(seconds) for seconds in found) and math.inf in found
    text = f"safe-time map: {mean * 1e3:.0f} ms a point, 400 points on two cores {mean * 200:.0f} s (target 30)"
    record_property("ratio", text)
    assert mean < SLACK * 0.150
