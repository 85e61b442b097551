"""Flows of a coolant network beside a general root finder and EPANET's engine.

Processor times; ratios are medians of both sides timed one right after the other, so that a busy machine slows both.
"""

import numpy as np
import pytest

from tests.benchmarks.beside import ratio
from tests.systems.network_builder import meshed_loop
from thermo_kit.substances.coolant import coolant_table
from thermo_kit.systems.coolant_network.flows import _loss, _shape, graph_of, solve_flows

LEAST_OVER_ROOT = 3.0


SPEC = meshed_loop(mass_fraction=0.3)
GRAPH = graph_of(SPEC)
TABLE = coolant_table(SPEC.coolant, SPEC.mass_fraction)
DENSITY, VISCOSITY = (np.full(len(GRAPH.ways), float(of(328.15))) for of in (TABLE.density, TABLE.viscosity))


def ours():
    return solve_flows(GRAPH, density=DENSITY, viscosity=VISCOSITY)


def test_flows_beside_a_general_root_finder(record_property):
    from scipy.optimize import root

    incidence, free = GRAPH.incidence, GRAPH.free_nodes
    ways = [(_shape(way), way.pump, rho, nu) for way, rho, nu in zip(GRAPH.ways, DENSITY, VISCOSITY, strict=True)]
    start = np.array([0.5 * rho * way.passage.area for way, rho in zip(GRAPH.ways, DENSITY, strict=True)])
    count = len(start)

    def residual(unknown):
        flow, pressure = unknown[:count], np.zeros(incidence.shape[0])
        pressure[free] = unknown[count:] * 1e4
        drop = np.array([_loss(shape, pump, m, r, v)[0] for (shape, pump, r, v), m in zip(ways, flow, strict=True)])
        return np.concatenate([(incidence @ flow)[free], (drop - incidence.T @ pressure) * 1e-4])

    def general():
        return root(residual, np.concatenate([start, np.zeros(len(free))]), method="hybr", tol=1e-9)

    solution = general()
    assert solution.success
    assert solution.x[:count] == pytest.approx(ours().mass_flow, rel=1e-5, abs=1e-7)
    times = ratio(general, ours, rounds=30, repeats=(1, 10))
    record_property("ratio", f"general root finder / flows of a meshed loop: {times:.0f} times")
    assert times > LEAST_OVER_ROOT


def test_flows_beside_epanet(record_property):
    toolkit = pytest.importorskip("epanet.toolkit", reason="EPANET's engine comes with the test extra")
    from tests.systems.epanet_network import network_text

    with network_text(SPEC, DENSITY[0], VISCOSITY[0]) as (file, report, out):
        project = toolkit.createproject()
        toolkit.open(project, file, report, out)
        times = ratio(lambda: toolkit.solveH(project), ours, rounds=30, repeats=(1, 10))
        toolkit.close(project)
        toolkit.deleteproject(project)
    # A compiled engine may well be faster; the number is told, and only a gross loss fails.
    record_property("ratio", f"EPANET's compiled engine / flows of the same meshed loop: {times:.2f} times")
    assert times > 0.1
