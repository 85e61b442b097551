"""Flows of a coolant network beside a general root finder and EPANET's engine.

Processor times; ratios are medians of both sides timed one right after the other, so that a busy machine slows both.
"""

import statistics
import time

import numpy as np
import pytest

from tests.systems.network_builder import meshed_loop
from thermo_kit.substances.coolant import coolant_table
from thermo_kit.systems.coolant_network.flows import _loss, _shape, graph_of, solve_flows

LEAST_OVER_ROOT = 3.0


def _time(call):
    start = time.process_time()
    call()
    return time.process_time() - start


def _ratio(slow, fast, rounds=30):
    return statistics.median(_time(slow) / _time(lambda: [fast() for _ in range(10)]) * 10 for _ in range(rounds))


def _say(record_property, text):
    record_property("ratio", text)


def _problem(spec, temperature):
    graph = graph_of(spec)
    table = coolant_table(spec.coolant, spec.mass_fraction)
    count = len(graph.ways)
    density = np.full(count, float(table.density(temperature)))
    viscosity = np.full(count, float(table.viscosity(temperature)))
    return graph, density, viscosity


def test_flows_beside_a_general_root_finder(record_property):
    from scipy.optimize import root

    spec = meshed_loop(mass_fraction=0.3)
    graph, density, viscosity = _problem(spec, 328.15)
    incidence, free = graph.incidence, graph.free_nodes
    shapes = [_shape(way) for way in graph.ways]
    start = np.array([0.5 * rho * way.passage.area for way, rho in zip(graph.ways, density, strict=True)])
    count = len(start)

    def residual(unknown):
        flow, pressure = unknown[:count], np.zeros(incidence.shape[0])
        pressure[free] = unknown[count:] * 1e4
        drop = np.array(
            [
                _loss(shape, way.pump, m, r, v)[0]
                for shape, way, m, r, v in zip(shapes, graph.ways, flow, density, viscosity, strict=True)
            ]
        )
        return np.concatenate([(incidence @ flow)[free], (drop - incidence.T @ pressure) * 1e-4])

    def general():
        return root(residual, np.concatenate([start, np.zeros(len(free))]), method="hybr", tol=1e-9)

    def ours():
        return solve_flows(graph, density=density, viscosity=viscosity)

    solution = general()
    assert solution.success
    assert solution.x[:count] == pytest.approx(ours().mass_flow, rel=1e-5, abs=1e-7)
    ratio = _ratio(general, ours)
    _say(record_property, f"general root finder / flows of a meshed loop: {ratio:.0f} times")
    assert ratio > LEAST_OVER_ROOT


def test_flows_beside_epanet(record_property):
    toolkit = pytest.importorskip("epanet.toolkit", reason="EPANET's engine comes with the test extra")
    from tests.systems.epanet_network import network_text

    spec = meshed_loop(mass_fraction=0.3)
    graph, density, viscosity = _problem(spec, 328.15)
    with network_text(spec, density[0], viscosity[0]) as (file, report, out):
        project = toolkit.createproject()
        toolkit.open(project, file, report, out)
        ratio = _ratio(
            lambda: toolkit.solveH(project), lambda: solve_flows(graph, density=density, viscosity=viscosity)
        )
        toolkit.close(project)
        toolkit.deleteproject(project)
    # A compiled engine may well be faster; the number is told, and only a gross loss fails.
    _say(record_property, f"EPANET's compiled engine / flows of the same meshed loop: {ratio:.2f} times")
    assert ratio > 0.1
