"""Heat in the network: coolant cells moved by the flow, parts that heat or cool them, all linear in temperature."""

import math
from dataclasses import dataclass

import numpy as np

from thermo_kit.components.pump import shaft_power
from thermo_kit.components.radiator import radiator_air_flow, radiator_effectiveness
from thermo_kit.laws.exchange import mean_share
from thermo_kit.substances.coolant import HIGHEST_TEMPERATURE as HOTTEST

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

    source [W]: what parts give by themselves; sinks {name: (conductance [W/K], load [W])}: read the other heats back.
    """

    capacity: np.ndarray
    matrix: np.ndarray
    load: np.ndarray
    source: np.ndarray
    sinks: dict
    node_weight: np.ndarray
    ambient: float

    def heats(self, temperature):
        """Return {name: heat flow into each place [W]}, negative where heat leaves; temperature [K]."""
        above = temperature - self.ambient
        return {"source": self.source} | {name: load - to * above for name, (to, load) in self.sinks.items()}


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


def build_heat_system(spec, graph, layout, table, *, flow, temperature):
    """Return the linear heat balance of every cell, reservoir and body at given flows.

    flow [kg/s]; temperature [K]: of all places, by which density and specific heat are read from the coolant's table.

    Notes: Pipes, bodies and reservoirs lose a little to the air. Walls store no heat beyond the bodies. All the power
        on a pump's shaft warms the coolant, taken at the pump although friction releases a part of it further on; what
        its motor loses goes to the air.

    References: Upwind energy balance; plug-flow outlet by the effectiveness-NTU relations (Incropera & DeWitt, chapter
        11).
    """
    size = layout.size
    mean = float(np.average(np.clip(temperature, 200.0, HOTTEST), weights=layout.volume))
    density, specific_heat = float(table.density(mean)), float(table.specific_heat(mean))
    # Only rounding noise is taken as nothing: dropping a true trickle would break the mass balance of its nodes.
    flow = np.where((np.abs(flow) > NOISE * max(np.max(np.abs(flow)), 1.0)) & ~graph.dead_end, flow, 0.0)
    capacity = density * specific_heat * layout.volume
    matrix = np.zeros((size, size))
    load, air, core, core_load, plate, plate_load, diagonal = np.zeros((7, size))
    ambient = spec.ambient_temperature
    weight, reservoir_rows = node_weights(graph, layout, flow, len(spec.nodes))
    body_on = {part.branch: part for part in spec.bodies}

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
            wind = spec.vehicle_speed if branch.air == "ambient" else 0.0
            radiated = _radiator_conductance(branch.radiator, abs(moved), specific_heat, wind)
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
        matrix[place] += reservoir_rows[node] * specific_heat
        air[place] += spec.nodes[node].air_loss
    matrix.flat[:: size + 1] += diagonal - (air + core + plate)
    sinks = {"air": (air, 0.0), "radiator": (core, core_load), "chiller": (plate, plate_load)}
    return HeatSystem(capacity, matrix, load + core_load + plate_load, load, sinks, weight, ambient)


def node_weights(graph, layout, flow, node_count):
    """Return each node's temperature as weights on the state [-], mixed inflow or the reservoir's own, and of each
    reservoir the row of inflow minus outflow [kg/s]; flow [kg/s]."""
    weight = np.zeros((node_count, layout.size))
    through_valve = np.zeros((node_count, node_count))
    inflow, outflow = np.zeros((2, node_count))
    for i, way in enumerate(graph.ways):
        if flow[i] == 0.0:
            continue
        source, target = (way.start, way.end) if flow[i] > 0.0 else (way.end, way.start)
        size = abs(flow[i])
        inflow[target] += size
        outflow[source] += size
        if way.branch >= 0:
            last = layout.first[i] + (layout.count[i] - 1 if flow[i] > 0.0 else 0)
            weight[target, last] += size
        else:
            through_valve[target, source] += size
    rows = {}
    for node, place in layout.reservoir.items():
        rows[node] = weight[node].copy(), through_valve[node].copy()
        weight[node], through_valve[node], inflow[node] = 0.0, 0.0, 1.0
        weight[node, place] = 1.0
    reached = inflow > 0.0
    weight[reached] /= inflow[reached, None]
    through_valve[reached] /= inflow[reached, None]
    if through_valve.any():
        # A valve way holds no coolant, so its inlet node's mixture appears at its outlet at once.
        weight = np.linalg.solve(np.eye(node_count) - through_valve, weight)
    for node, (held, through) in rows.items():
        rows[node] = held + through @ weight - outflow[node] * weight[node]
    return weight, rows
