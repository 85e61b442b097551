"""Which ways the coolant can take, and the checks that a pump can move it there."""

import functools
from dataclasses import dataclass

import numpy as np

from thermo_kit.components.pipe import PipeSpec
from thermo_kit.components.pump import PumpSpec
from thermo_kit.components.valve_ports import open_paths
from thermo_kit.errors import InputError, Problem

VALVE_LAMINAR_LOSS = 300.0
"""Extra loss of a valve way in slow flow, K = K + 300/Re: the form of Hooper's two-K method (1981)."""


@dataclass(frozen=True)
class Way:
    """One way from node index to node index, with what its pressure loss needs; index of its branch or −1 (valve)."""

    name: str
    start: int
    end: int
    passage: PipeSpec
    loss_coefficient: float
    laminar_loss: float
    pump: PumpSpec | None
    branch: int


@dataclass(frozen=True, eq=False)
class Graph:
    """Ways with their incidence matrix (nodes × ways), independent blocks of loops, free nodes, and a tree
    that reaches every node from a fixed one, as (known node, new node, way, direction)."""

    ways: tuple[Way, ...]
    incidence: np.ndarray
    blocks: np.ndarray
    dead_end: np.ndarray
    free_nodes: np.ndarray
    tree: tuple[tuple[int, int, int, int], ...]


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
            name = f"{link.name}: {path.start} to {path.end}"
            ways.append(Way(name, start, end, bore, path.loss_coefficient, VALVE_LAMINAR_LOSS, None, -1))
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
    return incidence, blocks, dead_end, free, _tree(ends, fixed)


def _tree(ends, fixed):
    known, steps, grows = set(fixed), [], True
    while grows:
        grows = False
        for way, (start, end) in enumerate(ends):
            for here, there, direction in ((start, end, 1), (end, start, -1)):
                if here in known and there not in known:
                    known.add(there)
                    steps.append((here, there, way, direction))
                    grows = True
    return tuple(steps)


def graph_of(spec):
    """Return the network's graph, after checking that every loop has a pump and every pump a loop."""
    ways = ways_of(spec)
    reservoirs = frozenset(i for i, node in enumerate(spec.nodes) if node.volume > 0.0)
    structure = _structure(tuple((way.start, way.end) for way in ways), len(spec.nodes), reservoirs)
    graph = Graph(ways, *structure)
    if not spec.faults:
        problems = _circulation_problems(spec, graph)
        if problems:
            raise InputError(*problems)
    return graph


def _circulation_problems(spec, graph):
    if not any(way.pump for way in graph.ways):
        return [Problem("branches", "hold no pump", "", "give one branch a pump")]
    problems = []
    positions = ", ".join(f"{link.name} in {link.valve.position!r}" for link in spec.valves)
    for i, way in enumerate(graph.ways):
        if way.pump and graph.dead_end[i]:
            advice = f"change the port map or the position ({positions})" if positions else "close its loop"
            problems.append(Problem(f"pump {way.name!r}", "is isolated: no way leads back to it", "", advice))
    driven = {graph.blocks[i] for i, way in enumerate(graph.ways) if way.pump}
    heated = {body.branch for body in spec.bodies}
    for i, way in enumerate(graph.ways):
        branch = spec.branches[way.branch] if way.branch >= 0 else None
        has_part = branch and (branch.radiator or branch.chiller or branch.name in heated)
        if has_part and not graph.dead_end[i] and graph.blocks[i] not in driven:
            problems.append(
                Problem(
                    f"loop of {way.name!r}", "has no pump in it", "", "put a pump in this loop or join it to another"
                )
            )
    return problems
