"""What the condenser's panels add to the solutions they show."""

import dataclasses
import itertools
import statistics
import time

import pytest

from thermo_kit.charts import Look
from thermo_kit.components.condenser import condensing_pressure_for
from thermo_kit.panels import compare_cores_panel, condenser_panel, condenser_parts, fin_density_panel

_fresh = itertools.count(1)


def _milliseconds(function, rounds=12):
    taken = []
    for _ in range(rounds):
        start = time.process_time()
        function()
        taken.append(1e3 * (time.process_time() - start))
    return statistics.median(taken)


@pytest.mark.parametrize(
    ("room", "settings", "most"),
    [
        (condenser_panel, condenser_panel.CondenserSettings(), 3.0),
        (compare_cores_panel, compare_cores_panel.CompareCoresSettings(), 4.0),
        (fin_density_panel, fin_density_panel.FinSettings(), 3.0),
    ],
    ids=["walk", "two cores", "fins"],
)
def test_a_description_costs_little_more_than_its_solution(room, settings, most, record_property):
    look = Look()
    field = "second_fins" if hasattr(settings, "second_fins") else "fin_density"
    start = getattr(settings, field)
    core = condenser_parts.core_of(condenser_panel.CondenserSettings())
    air, job = condenser_parts.air_of(settings, look), condenser_parts.duty_of(settings)
    room.describe(settings, look)

    def solve():
        condensing_pressure_for(core, dataclasses.replace(job, cooling_capacity=4500.0 + 0.01 * next(_fresh)), air)

    def describe():
        room.describe(dataclasses.replace(settings, **{field: start + 0.1 * next(_fresh)}), look)

    bare, whole = _milliseconds(solve), _milliseconds(describe)
    record_property(
        "ratio",
        f"{room.__name__.rpartition('.')[2]}: description {whole:.1f} ms, one head pressure {bare:.1f} ms: "
        f"{whole / bare:.1f} times",
    )
    assert whole / bare < most
