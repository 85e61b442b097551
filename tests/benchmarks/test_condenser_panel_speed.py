"""What the condenser's panels add to the solutions they show."""

import dataclasses
import itertools
import statistics
import time

import pytest

from thermo_kit.charts import Look
from thermo_kit.components.condenser import condensing_pressure_for
from thermo_kit.panels import CompareCoresPanel, CondenserPanel, FinDensityPanel

_fresh = itertools.count(1)


def _milliseconds(function, rounds=12):
    taken = []
    for _ in range(rounds):
        start = time.process_time()
        function()
        taken.append(1e3 * (time.process_time() - start))
    return statistics.median(taken)


@pytest.mark.parametrize(
    ("panel", "field", "most"),
    [
        (CondenserPanel, "fin_density", 3.0),
        (CompareCoresPanel, "second_fins", 4.0),
        (FinDensityPanel, "fin_density", 3.0),
    ],
    ids=["walk", "two cores", "fins"],
)
def test_a_description_costs_little_more_than_its_solution(panel, field, most, record_property):
    look, settings, core = Look(), panel.Settings(), CondenserPanel.Settings().rebuilt
    start, air, job = getattr(settings, field), settings.air(look), settings.duty
    settings.describe(look)

    def solve():
        condensing_pressure_for(core, dataclasses.replace(job, cooling_capacity=4500.0 + 0.01 * next(_fresh)), air)

    def describe():
        dataclasses.replace(settings, **{field: start + 0.1 * next(_fresh)}).describe(look)

    bare, whole = _milliseconds(solve), _milliseconds(describe)
    record_property(
        "ratio",
        f"{panel.__name__}: description {whole:.1f} ms, one head pressure {bare:.1f} ms: {whole / bare:.1f} times",
    )
    assert whole / bare < most
