"""All flows of a network at once, by the global gradient method."""

from dataclasses import dataclass

import numpy as np

from thermo_kit.components.pipe import LAMINAR_END, friction_factor
from thermo_kit.components.pump import pump_head
from thermo_kit.errors import NoSolutionError, Problem
from thermo_kit.laws.constants import GRAVITY

MOST_STEPS = 100
SMALLEST_SCALE = 100.0


@dataclass(frozen=True, eq=False)
class Flows:
    """Mass flow of each way [kg/s], pressure of each node against its fixed node [Pa], pressure drop of each way,
    and the closures of nodes and loops, relative."""

    mass_flow: np.ndarray
    pressure: np.ndarray
    drop: np.ndarray
    node_closure: float
    loop_closure: float
    steps: int


def solve_flows(graph, *, density, viscosity, law="colebrook", guess=None):
    """Return the flows at which every node and every loop is in balance.

    density [kg/m³], viscosity [Pa s], guess [kg/s].

    Notes
    -----
    Loss and pump curves rise and fall steadily, so the problem has one solution; the step is shortened
    whenever the full one would overshoot along its direction, which makes the iteration safe.

    References
    ----------
    Todini & Pilati 1988, A gradient algorithm for the analysis of pipe networks.
    """
    incidence = graph.incidence
    free = graph.free_nodes
    reduced = incidence[free]
    shapes = [_shape(way) for way in graph.ways]
    scale = max([SMALLEST_SCALE, *(_pump_scale(way, rho) for way, rho in zip(graph.ways, density, strict=True))])
    rho, mu = density.tolist(), viscosity.tolist()

    def losses(flow):
        pairs = [
            _loss(shape, way.pump, m, r, v, law)
            for shape, way, m, r, v in zip(shapes, graph.ways, flow.tolist(), rho, mu, strict=True)
        ]
        return np.array(pairs).T

    if guess is None:
        flow = np.array([0.5 * r * way.passage.area for way, r in zip(graph.ways, rho, strict=True)])
    else:
        flow = np.array(guess, dtype=float)
    balanced = False
    pressure = np.zeros(incidence.shape[0])
    drop, slope = losses(flow)
    steps = 0
    while steps < MOST_STEPS:
        steps += 1
        weight = 1.0 / slope
        matrix = (reduced * weight) @ reduced.T
        pressure[free] = np.linalg.solve(matrix, reduced @ (weight * drop - flow))
        between = incidence.T @ pressure
        change = weight * (between - drop)
        new = flow + change
        new_drop, new_slope = losses(new)
        if balanced:
            # Taking the node pressures off changes nothing in exact arithmetic but keeps the digits near the end.
            start = float(change @ (change * slope))
            share = 1.0
            while float(change @ (new_drop - between)) > 0.5 * start and share > 1e-3:
                share *= 0.5
                new = flow + share * change
                new_drop, new_slope = losses(new)
        balanced = True
        moved = np.max(np.abs(new - flow))
        flow, drop, slope = new, new_drop, new_slope
        residual = np.max(np.abs(drop - between), initial=0.0)
        if residual <= 1e-9 * scale or moved <= 1e-13 * np.max(np.abs(flow), initial=1e-6):
            break
    else:
        raise NoSolutionError(
            Problem("coolant flows", f"did not settle in {MOST_STEPS} steps", "", "check the pump curves and losses")
        )
    return _closed(graph, flow, drop, scale, steps)


def _closed(graph, flow, drop, scale, steps):
    """Walk the pressures along a tree, so that the loop closure is measured and not taken from the iteration."""
    incidence = graph.incidence
    taken = drop.tolist()
    pressure = [0.0] * incidence.shape[0]
    for here, there, way, direction in graph.tree:
        pressure[there] = pressure[here] - direction * taken[way]
    pressure = np.array(pressure)
    loop_closure = float(np.max(np.abs(incidence.T @ pressure - drop), initial=0.0) / scale)
    largest = float(np.max(np.abs(flow), initial=0.0))
    node_closure = float(np.max(np.abs(incidence @ flow))) / max(largest, 1e-6)
    return Flows(flow, pressure, drop, node_closure, loop_closure, steps)


def _pump_scale(way, density):
    return density * GRAVITY * abs(pump_head(way.pump, 0.0)[0]) if way.pump else 0.0


def _shape(way):
    passage = way.passage
    return (
        passage.area,
        passage.diameter,
        passage.length / passage.diameter,
        passage.roughness / passage.diameter,
        way.loss_coefficient,
        way.laminar_loss,
    )


def _loss(shape, pump, flow, density, viscosity, law):
    """Return pressure drop [Pa] of one way, pump rise taken off, and its slope over mass flow."""
    area, diameter, length_ratio, roughness, quadratic, laminar = shape
    velocity = flow / (density * area)
    size = abs(velocity)
    reynolds = density * size * diameter / viscosity
    dynamic = 0.5 * density * size
    per_velocity = laminar * viscosity / (2.0 * diameter)
    if reynolds <= LAMINAR_END:
        per_velocity += 32.0 * length_ratio * viscosity / diameter
        drop = (per_velocity + quadratic * dynamic) * velocity
        slope = per_velocity + 2.0 * quadratic * dynamic
    else:
        factor, log_slope = friction_factor(reynolds, roughness, law)
        drop = (per_velocity + (factor * length_ratio + quadratic) * dynamic) * velocity
        slope = per_velocity + ((2.0 + log_slope) * factor * length_ratio + 2.0 * quadratic) * dynamic
    slope /= density * area
    if pump is not None:
        head, head_slope = pump_head(pump, flow / density)
        drop -= density * GRAVITY * head
        slope -= GRAVITY * head_slope
    return drop, slope
