"""What the condenser's panels add to the solutions they show; and their key press to picture in real JupyterLab."""

import dataclasses
import itertools
import statistics
import time

import pytest

from tests.benchmarks.press_timer import FLOOR_CODE, FLOOR_TITLE, PressTimer
from thermo_kit.charts import Look
from thermo_kit.components.condenser import condensing_pressure_for
from thermo_kit.panels import compare_cores_panel, condenser_panel, condenser_parts, fin_density_panel

PANELS = [
    ("CondenserPanel", "A walk through the condenser", "Fin density in fins/in", 80),
    ("CondenserPathPanel", "Pass by pass, at a held pressure", "Head pressure in bar(g)", 80),
    ("CompareCoresPanel", "Two cores, the same job", "Second core: fins in fins/in", 80),
    ("FinDensityPanel", "How many fins?", "Fin density in fins/in", 80),
]
"""Class, title, label of the slider, and the target in milliseconds for 95 of 100 presses."""
PRESSES, BLOCK = 40, 20
MOST_OVER_FLOOR = 5.0
_fresh = itertools.count(1)


def _milliseconds(function, rounds=12):
    taken = []
    for _ in range(rounds):
        start = time.process_time()
        function()
        taken.append(1e3 * (time.process_time() - start))
    return statistics.median(taken)


@pytest.mark.quiet
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


@pytest.mark.browser
@pytest.mark.quiet
@pytest.mark.parametrize(("name", "title", "label", "target"), PANELS, ids=[row[0] for row in PANELS])
def test_press_to_picture(notebook, lab, record_property, name, title, label, target):
    path = lab.add_notebook(f"speed_{name}.ipynb", FLOOR_CODE, f"from thermo_kit.panels import {name}\n{name}()")
    notebook.open(path).run_all()
    floor, panel = PressTimer(notebook, FLOOR_TITLE, "Floor"), PressTimer(notebook, title, label)
    for timer in (floor, panel):
        timer.press(5)
        timer.times.clear()
    for _ in range(PRESSES // BLOCK):
        floor.press(BLOCK)
        panel.press(BLOCK)
    least, measured = floor.result, panel.result
    assert len(measured.values) >= PRESSES
    ratio = measured.median / least.median
    record_property(
        "ratio",
        f"{name}: press to picture p95 {measured.p95:.0f} ms (median {measured.median:.0f}, target {target}), "
        f"floor p95 {least.p95:.0f} ms (median {least.median:.0f}): {ratio:.2f} times the floor",
    )
    assert ratio < MOST_OVER_FLOOR
