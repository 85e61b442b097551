"""The network at rest in time: heat carried by the flows, and flows and temperatures that agree."""

import math
from dataclasses import dataclass

import numpy as np

from thermo_kit.components.pipe import flow_regime
from thermo_kit.components.pump import PumpResult, run_pump, shaft_power
from thermo_kit.components.radiator import radiator_air_flow, radiator_effectiveness
from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.laws.closure import closed, linear_solution
from thermo_kit.laws.exchange import mean_share
from thermo_kit.substances.coolant import HIGHEST_TEMPERATURE as HOTTEST
from thermo_kit.substances.coolant import coolant_table
from thermo_kit.systems.coolant_network.flows import graph_of, has_part, solve_flows
from thermo_kit.systems.coolant_network.spec import NetworkSpec, finder, pick
from thermo_kit.units import Amount, Said

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


def lay_out(spec, cells_at_part=4):
    """Return the places of all temperatures in the state vector; cells along each branch with a part."""
    heated = {body.branch for body in spec.bodies}
    count = np.array([cells_at_part if has_part(branch, heated) else 1 for branch in spec.branches])
    ends = np.cumsum(count)
    bottles = [i for i, node in enumerate(spec.nodes) if node.volume > 0.0]
    reservoir = {node: place for place, node in enumerate(bottles, int(ends[-1]))}
    body = {part.name: place for place, part in enumerate(spec.bodies, int(ends[-1]) + len(bottles))}
    cells = np.repeat([branch.passage.volume for branch in spec.branches] / count, count)
    volume = np.concatenate([cells, [spec.nodes[node].volume for node in bottles], np.zeros(len(body))])
    return Layout(ends - count, count, reservoir, body, len(volume), volume)


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


HOTTEST_STEADY = 423.15
MOST_ROUNDS = 60
LEAST_HEAT = 1.0
"""Heat [W] against which a network is judged in which hardly any heat moves."""


@dataclass(frozen=True, slots=True)
class NodeState:
    """A node: pressure [Pa absolute], temperature [K], None where nothing flows or no steady value exists."""

    name: str
    pressure: float
    temperature: float | None


@dataclass(frozen=True, slots=True)
class WayState:
    """A branch or a way through a valve: flows from its start to its end count positive; temperatures [K] along the
    flow; radiator_heat: given to the air blown through its core, without what its bare passage loses, and
    heat_to_chiller [W]; regime in words; valve: (valve, from port, to port), empty for a branch."""

    name: str
    mass_flow: float
    volume_flow: float
    velocity: float
    reynolds: float
    regime: str
    pressure_drop: float
    inlet_temperature: float | None
    outlet_temperature: float | None
    radiator_heat: float
    heat_to_chiller: float
    valve: tuple = ()


@dataclass(frozen=True, slots=True)
class BodyState:
    """A thermal mass: temperature [K] (None: no steady value below the model's limit) and its limit [K]."""

    name: str
    temperature: float | None
    temperature_limit: float


@dataclass(frozen=True, slots=True)
class NetworkResult:
    """Everything a steady network does.

    spec: what was asked; nodes, ways (branches, then valve ways), bodies, pumps as pairs (name, PumpResult);
    node_closure, loop_closure, energy_closure: relative, each below 1e-6;
    heat_lost: what hoses, reservoirs and bodies give to the air around them [W], None where a body finds no steady
    temperature; notes: what to keep in mind.
    """

    spec: NetworkSpec
    nodes: tuple[NodeState, ...]
    ways: tuple[WayState, ...]
    bodies: tuple[BodyState, ...]
    pumps: tuple[tuple[str, PumpResult], ...]
    freezing_point: float
    heat_lost: float | None
    node_closure: float
    loop_closure: float
    energy_closure: float
    notes: tuple

    node = finder("node", "nodes")
    way = finder("branch or valve way", "ways")
    body = finder("body", "bodies")

    def pump(self, name):
        """Return the pump on a branch.

        Parameters
        ----------
        name : str. Name of the branch.

        Returns: PumpResult. The pump at its flow. Raises UnknownNameError if there is none.
        """
        return pick("pump", name, dict(self.pumps))


def solve_coolant_network(spec, *, cells_at_part=4):
    """Return all flows and steady temperatures of a coolant network.

    Parameters
    ----------
    spec : NetworkSpec. The network, healthy or with faults.
    cells_at_part : int. Cells along each branch with a part, 1 to 50.

    Returns: NetworkResult. Flows, pressures, temperatures, pump points, closures, notes. Raises InputError if a healthy
        network has a loop without pump, or a pump without loop; OutOfRangeError if the surroundings are colder than the
        coolant's freezing point; NoSolutionError if flows or temperatures do not settle, or a balance does not close.

    Notes: All the power on the pumps' shafts warms the coolant. Viscosity and density follow the temperature of each
        branch; one specific heat holds for the network. Nothing protects the parts: where flow fails, a steady
        temperature above 150 °C is not given (None); `simulate_network` tells how long it takes. Coolant data end at
        100 °C and are held there.

    References: Todini & Pilati 1988 for the flows; upwind energy balance for the temperatures.

    Examples
    --------
    >>> from thermo_kit.systems.coolant_network.spec import load_layout
    >>> solve_coolant_network(load_layout("one_loop")).energy_closure < 1e-6
    True
    """
    graph = graph_of(spec)
    table = coolant_table(spec.coolant, spec.mass_fraction)
    check_not_frozen(table.freezing_point, "ambient temperature", spec.ambient_temperature)
    layout = lay_out(spec, cells_at_part)
    temperature = np.full(layout.size, spec.ambient_temperature)
    flows = None
    for round_number in range(1, MOST_ROUNDS + 1):
        way_temperature = way_temperatures(graph, layout, temperature)
        density, viscosity = table.density(way_temperature), table.viscosity(way_temperature)
        guess = None if flows is None else flows.mass_flow
        flows = solve_flows(graph, density=density, viscosity=viscosity, guess=guess)
        system = build_heat_system(spec, graph, layout, table, flow=flows.mass_flow, temperature=temperature)
        new = system.ambient + linear_solution(system.matrix, -system.load, what="steady temperature")
        change = np.max(np.abs(np.clip(new, 0, HOTTEST_STEADY) - np.clip(temperature, 0, HOTTEST_STEADY)))
        moved = np.inf if guess is None else np.max(np.abs(flows.mass_flow - guess))
        # Near the switch from laminar to turbulent flow the rounds can swing to and fro: then go half the way.
        temperature = new if round_number < 8 else 0.5 * (new + temperature)
        if change < 1e-4 and moved <= 1e-6 * max(np.max(np.abs(flows.mass_flow)), 1e-6):
            temperature = new
            break
    else:
        advice = "change the load a little"
        raise NoSolutionError.about("coolant temperatures", f"did not settle in {MOST_ROUNDS} rounds", "", advice)
    properties = density.tolist(), viscosity.tolist()
    return _result(spec, graph, layout, table, flows, system, temperature, *properties)


def check_not_frozen(freezing_point, what, temperature):
    """Refuse coolant that would be ice from the start; freezing_point [K], temperature [K]."""
    if temperature < freezing_point:
        advice = "raise mass_fraction or the temperature: this model moves liquid only"
        told = "is below the freezing point {} of this coolant"
        given = Amount(temperature, "temperature")
        raise OutOfRangeError.about(what, given, Said(told, Amount(freezing_point, "temperature")), advice)


def way_temperatures(graph, layout, temperature):
    """Return one temperature for each way: the mean of its cells; for a valve, which holds no coolant, of all branches.

    temperature [K] → [K].
    """
    cells = np.clip(temperature, 200.0, HOTTEST)
    mean = np.add.reduceat(cells[: layout.first[-1] + layout.count[-1]], layout.first) / layout.count
    missing = len(graph.ways) - len(mean)
    return np.concatenate([mean, np.full(missing, float(np.mean(mean)))]) if missing else mean


def _known(value):
    return float(value) if value <= HOTTEST_STEADY else None


def _result(spec, graph, layout, table, flows, system, temperature, density, viscosity):
    heats = system.heats(temperature)
    moved = sum(float(np.sum(np.abs(part))) for part in heats.values())
    energy_closure = abs(float(sum(np.sum(part) for part in heats.values()))) / max(moved, LEAST_HEAT)
    closed(flow=flows.node_closure, pressure=flows.loop_closure, heat=energy_closure)
    moving = np.abs(flows.mass_flow) > NO_FLOW
    reached = system.node_weight.sum(axis=1) > 0.5
    node_temperature = system.node_weight @ temperature
    at_node = [_known(T) if here else None for T, here in zip(node_temperature, reached, strict=True)]
    pressures = (spec.fill_pressure + flows.pressure).tolist()
    nodes = tuple(map(NodeState, [node.name for node in spec.nodes], pressures, at_node))

    def state(i, way):
        flow = float(flows.mass_flow[i]) if moving[i] else 0.0
        velocity = flow / (density[i] * way.passage.area)
        reynolds = density[i] * abs(velocity) * way.passage.diameter / viscosity[i]
        inlet = outlet = _known(node_temperature[way.start if flow > 0 else way.end]) if moving[i] else None
        radiated = chilled = 0.0
        if way.branch >= 0:
            cells = slice(layout.first[i], layout.first[i] + layout.count[i])
            radiated, chilled = (-float(np.sum(heats[sink][cells])) for sink in ("radiator", "chiller"))
            outlet = _known(temperature[cells][-1 if flow > 0 else 0]) if moving[i] else None
        return WayState(
            way.name, flow, flow / density[i], velocity, reynolds, flow_regime(reynolds), float(flows.drop[i]),
            inlet, outlet, radiated, chilled, way.valve,
        )  # fmt: skip

    ways = tuple(state(i, way) for i, way in enumerate(graph.ways))
    bodies = tuple(
        BodyState(part.name, _known(temperature[layout.body[part.name]]), part.temperature_limit)
        for part in spec.bodies
    )
    pumps = tuple(
        (way.name, run_pump(way.pump, volume_flow=ways[i].volume_flow, density=density[i]))
        for i, way in enumerate(graph.ways)
        if way.pump
    )
    lost = None if any(body.temperature is None for body in bodies) else -float(np.sum(heats["air"]))
    notes = tuple(_notes(spec, table, layout, temperature, bodies, graph, moving))
    closures = flows.node_closure, flows.loop_closure, energy_closure
    return NetworkResult(spec, nodes, ways, bodies, pumps, table.freezing_point, lost, *closures, notes)


def _notes(spec, table, layout, temperature, bodies, graph, moving):
    yield from (f"fault: {text}" for text in spec.faults)
    for body in bodies:
        if body.temperature is None:
            told = "{}: no steady temperature below {}; simulate_network tells how fast it heats"
            yield Said(told, body.name, Amount(HOTTEST_STEADY, "temperature", 0))
        elif body.temperature > body.temperature_limit:
            told = "{}: {} above its limit; a real control would cut its power"
            yield Said(told, body.name, Amount(body.temperature - body.temperature_limit, "temperature_difference"))
    coolant = temperature[: layout.size - len(layout.body)]
    if np.max(coolant) > HOTTEST:
        hottest = Amount(HOTTEST, "temperature", 0)
        yield Said("coolant above {} somewhere: it may boil, and its data are held at {}", hottest, hottest)
    if np.min(coolant) < table.freezing_point:
        yield "coolant below its freezing point somewhere: slush forms, which this model does not move"
    if any(branch.chiller and branch.chiller.running and branch.chiller.body for branch in spec.branches):
        yield "the chiller runs all the time here; over time its thermostat switches it"
    still = [graph.ways[i].name for i in range(len(spec.branches)) if not moving[i]]
    if still:
        yield "no flow in: " + ", ".join(still)
