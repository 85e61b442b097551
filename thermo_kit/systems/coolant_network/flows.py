"""All flows of a network at once: the ways that are open, their loops, and the global gradient method."""

import functools
from dataclasses import dataclass

import numpy as np

from thermo_kit.components.pipe import LAMINAR_END, PipeSpec, friction_factor
from thermo_kit.components.pump import PumpSpec, pump_head
from thermo_kit.components.valve_ports import open_paths
from thermo_kit.errors import InputError, NoSolutionError
from thermo_kit.laws.constants import GRAVITY
from thermo_kit.units import Checks

MOST_STEPS = 100
SMALLEST_SCALE = 100.0
VALVE_LAMINAR_LOSS = 300.0
"""Extra loss of a valve way in slow flow, K = K + 300/Re: the form of Hooper's two-K method (1981)."""


@dataclass(frozen=True)
class Way:
    """One way from node index to node index, with what its pressure loss needs; index of its branch or −1 (valve).

    valve: (valve, from port, to port) of a way through one
    """

    name: str
    start: int
    end: int
    passage: PipeSpec
    loss_coefficient: float
    laminar_loss: float
    pump: PumpSpec | None = None
    branch: int = -1
    valve: tuple = ()


@dataclass(frozen=True, eq=False)
class Graph:
    """Ways with their incidence matrix (nodes × ways), the projector of what ways carry or lose on their loops
    (ways × ways), independent blocks of loops, and free nodes."""

    ways: tuple[Way, ...]
    incidence: np.ndarray
    around: np.ndarray
    blocks: np.ndarray
    dead_end: np.ndarray
    free_nodes: np.ndarray


def has_part(branch, heated):
    """Return whether a branch moves heat other than through its bare hose; heated: branches that carry a body."""
    return branch.radiator or branch.chiller or branch.name in heated


def ways_of(spec):
    """Return every open way: all branches, then the open ways through the valves."""
    index = {node.name: i for i, node in enumerate(spec.nodes)}
    ways = []
    for i, branch in enumerate(spec.branches):
        loss = branch.passage.total_loss_coefficient
        ways.append(Way(branch.name, index[branch.start], index[branch.end], branch.passage, loss, 0.0, branch.pump, i))
    for link in spec.valves:
        node_at = dict(link.nodes)
        for path in open_paths(link.valve):
            start, end = index[node_at[path.start]], index[node_at[path.end]]
            bore = PipeSpec(length=0.001, diameter=link.valve.bore)
            name, ports = f"{link.name}: {path.start} to {path.end}", (link.name, path.start, path.end)
            ways.append(Way(name, start, end, bore, path.loss_coefficient, VALVE_LAMINAR_LOSS, valve=ports))
    return tuple(ways)


@functools.lru_cache(maxsize=256)
def _structure(ends, node_count, reservoirs):
    from scipy.sparse.csgraph import connected_components

    incidence = np.zeros((node_count, len(ends)))
    for way, (start, end) in enumerate(ends):
        incidence[start, way] = 1.0
        incidence[end, way] = -1.0
    _, node_group = connected_components((np.abs(incidence) @ np.abs(incidence.T)) > 0, directed=False)
    # Projector on the space of circulations: its pattern falls apart exactly where loops share no branch.
    circulation = np.eye(len(ends)) - np.linalg.pinv(incidence) @ incidence
    dead_end = np.diag(circulation) < 1e-9
    _, blocks = connected_components(np.abs(circulation) > 1e-9, directed=False)
    fixed = []
    for group in range(node_group.max() + 1):
        members = [int(node) for node in np.flatnonzero(node_group == group)]
        fixed.append(next((node for node in members if node in reservoirs), members[0]))
    free = np.array([node for node in range(node_count) if node not in fixed], dtype=int)
    return incidence, circulation, blocks, dead_end, free


def graph_of(spec):
    """Return the network's graph, after checking that every loop has a pump and every pump a loop."""
    ways = ways_of(spec)
    reservoirs = frozenset(i for i, node in enumerate(spec.nodes) if node.volume > 0.0)
    structure = _structure(tuple((way.start, way.end) for way in ways), len(spec.nodes), reservoirs)
    graph = Graph(ways, *structure)
    if not spec.faults:
        _check_circulation(spec, graph)
    return graph


def _check_circulation(spec, graph):
    checks = Checks()
    if not any(way.pump for way in graph.ways):
        checks.add("branches", "hold no pump", "", "give one branch a pump")
    checks.raise_if_any(InputError)
    positions = ", ".join(f"{link.name} in {link.valve.position!r}" for link in spec.valves)
    for i, way in enumerate(graph.ways):
        if way.pump and graph.dead_end[i]:
            advice = f"change the port map or the position ({positions})" if positions else "close its loop"
            checks.add(f"pump {way.name!r}", "is isolated: no way leads back to it", "", advice)
    driven = {graph.blocks[i] for i, way in enumerate(graph.ways) if way.pump}
    heated = {body.branch for body in spec.bodies}
    for i, way in enumerate(graph.ways):
        part = way.branch >= 0 and has_part(spec.branches[way.branch], heated)
        if part and not graph.dead_end[i] and graph.blocks[i] not in driven:
            advice = "put a pump in this loop or join it to another"
            checks.add(f"loop of {way.name!r}", "has no pump in it", "", advice)
    checks.raise_if_any(InputError)


@dataclass(frozen=True, eq=False)
class Flows:
    """Mass flow of each way [kg/s], pressure of each node against its fixed node [Pa], pressure drop of each way,
    and the closures of nodes and loops, relative."""

    mass_flow: np.ndarray
    pressure: np.ndarray
    drop: np.ndarray
    node_closure: float
    loop_closure: float


def solve_flows(graph, *, density, viscosity, guess=None):
    """Return the flows at which every node and every loop is in balance.

    density [kg/m³], viscosity [Pa s], guess [kg/s].

    Notes: Loss and pump curves rise and fall steadily, so the problem has one solution; the step is shortened whenever
        the full one would overshoot along its direction, which makes the iteration safe.

    References: Todini & Pilati 1988, A gradient algorithm for the analysis of pipe networks.
    """
    incidence = graph.incidence
    free = graph.free_nodes
    reduced = incidence[free]
    shapes = [_shape(way) for way in graph.ways]
    lifts = (
        r * GRAVITY * abs(pump_head(way.pump, 0.0)[0]) for way, r in zip(graph.ways, density, strict=True) if way.pump
    )
    scale = max(SMALLEST_SCALE, *lifts, 0.0)
    rho, mu = density.tolist(), viscosity.tolist()

    def losses(flow):
        pairs = [
            _loss(shape, way.pump, m, r, v)
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
    for _ in range(MOST_STEPS):
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
        advice = "check the pump curves and losses"
        raise NoSolutionError.about("coolant flows", f"did not settle in {MOST_STEPS} steps", "", advice)
    # What no node pressures can explain; spread evenly over a loop, so that the loop is open by all its ways together.
    around = len(graph.ways) * np.max(np.abs(graph.around @ drop), initial=0.0)
    pressure[free] = np.linalg.lstsq(reduced.T, drop, rcond=None)[0]
    largest = float(np.max(np.abs(flow), initial=0.0))
    node_closure = float(np.max(np.abs(incidence @ flow))) / max(largest, 1e-6)
    return Flows(flow, pressure, drop, node_closure, float(around / scale))


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


def _loss(shape, pump, flow, density, viscosity):
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
        factor, log_slope = friction_factor(reynolds, roughness)
        drop = (per_velocity + (factor * length_ratio + quadratic) * dynamic) * velocity
        slope = per_velocity + ((2.0 + log_slope) * factor * length_ratio + 2.0 * quadratic) * dynamic
    slope /= density * area
    if pump is not None:
        head, head_slope = pump_head(pump, flow / density)
        drop -= density * GRAVITY * head
        slope -= GRAVITY * head_slope
    return drop, slope
