"""Heat in the network: coolant cells moved by the flow, parts that heat or cool them, all linear in temperature."""

import math
from dataclasses import dataclass

import numpy as np

from thermo_kit.components.pump import shaft_power
from thermo_kit.components.radiator import radiator_air_flow, radiator_effectiveness
from thermo_kit.laws.exchange import mean_share

CELLS_AT_PART = 4
STILL_FLOW_SHARE = 0.03
"""Flow share below which heat transfer no longer falls: natural convection in a still plate (no source)."""
NO_FLOW = 1e-7
"""Mass flow [kg/s] below which a branch is called still."""
NOISE = 1e-12


@dataclass(frozen=True, eq=False)
class Layout:
    """Where each temperature stands in the state: cells of each way (valve ways hold none), reservoirs, bodies."""

    first: np.ndarray
    count: np.ndarray
    reservoir: dict
    body: dict
    size: int
    volume: np.ndarray


@dataclass(frozen=True, eq=False)
class HeatSystem:
    """C dθ/dt = K θ + b, θ counted from the ambient temperature so that idle heat leaves no rounding error.

    The rows to_air, to_radiator, to_chiller [W/K] with their loads [W] read the heats back.
    """

    capacity: np.ndarray
    matrix: np.ndarray
    load: np.ndarray
    to_air: np.ndarray
    to_radiator: np.ndarray
    radiator_load: np.ndarray
    to_chiller: np.ndarray
    chiller_load: np.ndarray
    node_weight: np.ndarray
    ambient: float


def lay_out(spec, graph, cells_at_part=CELLS_AT_PART):
    """Return the places of all temperatures in the state vector."""
    heated = {body.branch for body in spec.bodies}
    first, count, volume, place = [], [], [], 0
    for branch in spec.branches:
        cells = cells_at_part if branch.radiator or branch.chiller or branch.name in heated else 1
        first.append(place)
        count.append(cells)
        volume += [branch.passage.volume / cells] * cells
        place += cells
    reservoir = {}
    for i, node in enumerate(spec.nodes):
        if node.volume > 0.0:
            reservoir[i] = place
            volume.append(node.volume)
            place += 1
    body = {}
    for part in spec.bodies:
        body[part.name] = place
        volume.append(0.0)
        place += 1
    return Layout(np.array(first), np.array(count), reservoir, body, place, np.array(volume))


def conductance_at(rated, rated_flow, flow, solid_share=0.0):
    """Return a conductance at another coolant flow.

    rated [W/K], rated_flow [kg/s], flow [kg/s], solid_share [-] → [W/K].

    References: Turbulent film ~ flow^0.8 (Dittus & Boelter 1930); the floor in still coolant is an assumption.

    Examples
    --------
    >>> round(conductance_at(800.0, 0.2, 0.2), 1)
    800.3
    """
    share = ((flow / rated_flow) ** 2 + STILL_FLOW_SHARE**2) ** 0.4
    return rated / (solid_share + (1.0 - solid_share) / share)


def _per_cell(conductance, heat_rate, cells):
    """Return a stirred cell's conductance with the exact outlet of a plug flow, up to one transfer unit a cell."""
    each = conductance / cells
    units = min(each / heat_rate, 1.0) if heat_rate > 0.0 else 1.0
    return each * mean_share(-units)


def _radiator_conductance(radiator, flow, specific_heat, vehicle_speed):
    """Return the conductance that coolant at air inlet temperature on the other side would need for the same heat."""
    flow = max(flow, 0.01 * radiator.rated_coolant_flow)
    heat_rate = flow * specific_heat
    air_flow = radiator_air_flow(radiator, vehicle_speed=vehicle_speed)
    effectiveness, smaller = radiator_effectiveness(
        radiator, coolant_flow=flow, coolant_heat_rate=heat_rate, air_flow=air_flow
    )
    return -heat_rate * math.log1p(-min(effectiveness * smaller / heat_rate, 0.999))


def build_heat_system(spec, graph, layout, *, flow, density, specific_heat):
    """Return the linear heat balance of every cell, reservoir and body at given flows.

    flow [kg/s], density [kg/m³], specific_heat [J/(kg K)].

    Notes: Pipes, bodies and reservoirs lose a little to the air. Walls store no heat beyond the bodies. All the power
        on a pump's shaft warms the coolant, taken at the pump although friction releases a part of it further on; what
        its motor loses goes to the air.

    References: Upwind energy balance; plug-flow outlet by the effectiveness-NTU relations (Incropera & DeWitt, chapter
        11).
    """
    size = layout.size
    # Only rounding noise is taken as nothing: dropping a true trickle would break the mass balance of its nodes.
    flow = np.where((np.abs(flow) > NOISE * max(np.max(np.abs(flow)), 1.0)) & ~graph.dead_end, flow, 0.0)
    capacity = density * specific_heat * layout.volume
    matrix, load = np.zeros((size, size)), np.zeros(size)
    air = np.zeros(size)
    core, core_load = np.zeros(size), np.zeros(size)
    plate, plate_load = np.zeros(size), np.zeros(size)
    ambient = spec.ambient_temperature
    weight = node_weights(graph, layout, flow, len(spec.nodes))
    body_on = {part.branch: part for part in spec.bodies}

    diagonal = np.zeros(size)
    first, count, moving = layout.first.tolist(), layout.count.tolist(), flow.tolist()
    for i, branch in enumerate(spec.branches):
        moved, n = moving[i], count[i]
        cells = slice(first[i], first[i] + n)
        rate = abs(moved) * specific_heat
        if rate > 0.0:
            source = graph.ways[i].start if moved > 0.0 else graph.ways[i].end
            ahead = 1 if moved > 0.0 else -1
            inlet = first[i] if moved > 0.0 else first[i] + n - 1
            matrix[inlet] += rate * weight[source]
            for step in range(1, n):
                matrix[inlet + step * ahead, inlet + (step - 1) * ahead] = rate
            diagonal[cells] -= rate
        air[cells] = branch.air_loss / n
        if branch.pump:
            load[cells] += shaft_power(branch.pump, moved / density, density) / n
        if branch.radiator:
            radiated = _radiator_conductance(branch.radiator, abs(moved), specific_heat, _wind(spec, branch))
            core[cells] = _per_cell(radiated, rate, n)
            core_load[cells] = core[cells] * (spec.cabin_temperature - ambient if branch.air == "cabin" else 0.0)
        if branch.chiller and branch.chiller.running:
            conductance = conductance_at(branch.chiller.conductance, branch.chiller.rated_flow, moved)
            plate[cells] = _per_cell(conductance, rate, n)
            plate_load[cells] = plate[cells] * (branch.chiller.evaporating_temperature - ambient)
        if branch.name in body_on:
            part = body_on[branch.name]
            place = layout.body[part.name]
            conductance = conductance_at(part.conductance, part.rated_flow, moved, part.solid_share)
            each = _per_cell(conductance, rate, n)
            diagonal[cells] -= each
            matrix[cells, place] = each
            matrix[place, cells] = each
            diagonal[place] -= n * each
            capacity[place] = part.heat_capacity
            load[place] = part.heat
            air[place] = part.air_loss
    for node, place in layout.reservoir.items():
        matrix[place] += _inflow(graph, layout, flow, weight, node, size) * specific_heat
        air[place] += spec.nodes[node].air_loss
    matrix.flat[:: size + 1] += diagonal - (air + core + plate)
    return HeatSystem(
        capacity, matrix, load + core_load + plate_load, air, core, core_load, plate, plate_load, weight, ambient,
    )  # fmt: skip


def _wind(spec, branch):
    return spec.vehicle_speed if branch.air == "ambient" else 0.0


def node_weights(graph, layout, flow, node_count):
    """Return each node's temperature as weights on the state: mixed inflow, or the reservoir's own.

    flow [kg/s] → [-].
    """
    weight = np.zeros((node_count, layout.size))
    through_valve = np.zeros((node_count, node_count))
    inflow = np.zeros(node_count)
    for i, way in enumerate(graph.ways):
        if flow[i] == 0.0:
            continue
        source, target = (way.start, way.end) if flow[i] > 0.0 else (way.end, way.start)
        size = abs(flow[i])
        inflow[target] += size
        if way.branch >= 0:
            last = layout.first[i] + (layout.count[i] - 1 if flow[i] > 0.0 else 0)
            weight[target, last] += size
        else:
            through_valve[target, source] += size
    for node, place in layout.reservoir.items():
        weight[node], through_valve[node], inflow[node] = 0.0, 0.0, 1.0
        weight[node, place] = 1.0
    reached = inflow > 0.0
    weight[reached] /= inflow[reached, None]
    through_valve[reached] /= inflow[reached, None]
    if through_valve.any():
        # A valve way holds no coolant, so its inlet node's mixture appears at its outlet at once.
        weight = np.linalg.solve(np.eye(node_count) - through_valve, weight)
    return weight


def _inflow(graph, layout, flow, weight, node, size):
    """Return the row of inflow minus outflow of a reservoir [kg/s]."""
    row = np.zeros(size)
    for i, way in enumerate(graph.ways):
        if flow[i] == 0.0 or node not in (way.start, way.end):
            continue
        source, target = (way.start, way.end) if flow[i] > 0.0 else (way.end, way.start)
        size_of_flow = abs(flow[i])
        if target == node:
            if way.branch >= 0:
                row[layout.first[i] + (layout.count[i] - 1 if flow[i] > 0.0 else 0)] += size_of_flow
            else:
                row += size_of_flow * weight[source]
        else:
            row[layout.reservoir[node]] -= size_of_flow
    return row
