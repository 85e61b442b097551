"""Small networks for tests, and a second look at a solution that shares no code with the solver."""

import numpy as np

from thermo_kit.components.pipe import PipeSpec, pipe_flow
from thermo_kit.components.pump import PumpSpec, pump_head
from thermo_kit.laws.constants import GRAVITY
from thermo_kit.substances.coolant import coolant_table
from thermo_kit.systems.coolant_network import BodySpec, BranchSpec, NetworkFault, NetworkSpec, NodeSpec, apply_faults
from thermo_kit.systems.coolant_network.flows import graph_of, solve_flows


def node(name, volume=0.0):
    return NodeSpec(name=name, volume=volume)


def pipe(name, start, end, *, length=1.0, diameter=0.016, pump=None, loss=1.0, **fields):
    passage = PipeSpec(length=length, diameter=diameter, loss_coefficient=loss)
    return BranchSpec(name=name, start=start, end=end, passage=passage, pump=pump, **fields)


def body(name, branch, *, heat=500.0, role="other", **fields):
    values = {"heat_capacity": 20e3, "conductance": 120.0, "rated_flow": 0.25, "temperature_limit": 373.15, **fields}
    return BodySpec(name=name, role=role, branch=branch, heat=heat, **values)


def pump(lift=8.0, flow_l_min=36.0, **fields):
    return PumpSpec(shut_off_head=lift, run_out_flow=flow_l_min / 60e3, **fields)


def ring(*, pumps=None, bodies=(), **fields):
    """Three branches in a ring; pumps one after the other."""
    pumps = pumps or (pump(),)
    branches = (
        pipe("first", "tank", "a", pump=pumps[0]),
        pipe("second", "a", "b", pump=pumps[1] if len(pumps) > 1 else None),
        pipe("third", "b", "tank"),
    )
    nodes = (node("tank", 1e-3), node("a"), node("b"))
    return NetworkSpec(name="ring", nodes=nodes, branches=branches, bodies=bodies, **fields)


def meshed_loop(pumps=2, **fields):
    """A meshed loop: three ways side by side with a cross hose, back to the tank; invented sizes."""
    second = pump(2.0, 40.0) if pumps > 1 else None
    branches = (
        pipe("pump 1", "tank", "supply", pump=pump(8.0, 50.0), length=0.5, diameter=0.019, loss=1.5),
        pipe("way 1", "supply", "north", length=2.0, diameter=0.014, loss=3.0),
        pipe("way 2", "supply", "middle", length=3.0, diameter=0.016, loss=6.0),
        pipe("way 3", "supply", "south", length=1.0, diameter=0.012, loss=2.0),
        pipe("cross 1", "north", "middle", length=0.6, diameter=0.012, loss=1.0),
        pipe("cross 2", "middle", "south", length=0.8, diameter=0.012, loss=1.0),
        pipe("back 1", "north", "return", length=1.0, diameter=0.016, loss=2.0),
        pipe("back 2", "middle", "return", length=1.0, diameter=0.012, loss=4.0),
        pipe("back 3", "south", "return", pump=second, length=2.0, diameter=0.014, loss=1.0),
        pipe("home", "return", "tank", length=2.0, diameter=0.019, loss=2.0),
    )
    nodes = (node("tank", 1e-3), *(node(name) for name in ("supply", "north", "middle", "south", "return")))
    return NetworkSpec(name="meshed", nodes=nodes, branches=branches, ambient_temperature=313.15, **fields)


def struck(spec, kind, part="", **fields):
    """Return a network with one fault."""
    return apply_faults(spec, [NetworkFault(kind=kind, part=part, **fields)])


def flows_at(spec, temperature):
    """Return (ways, flows) with all coolant at one temperature, so that a second program can say the same."""
    graph = graph_of(spec)
    table = coolant_table(spec.coolant, spec.mass_fraction)
    even = np.ones(len(graph.ways))
    density, viscosity = (float(read(temperature)) for read in (table.density, table.viscosity))
    return graph.ways, solve_flows(graph, density=density * even, viscosity=viscosity * even), density, viscosity


def volume_flows_at(spec, temperature):
    """Return ({branch: volume flow [m³/s]}, density, viscosity) with all coolant at one temperature."""
    ways, flows, density, viscosity = flows_at(spec, temperature)
    return {way.name: flow / density for way, flow in zip(ways, flows.mass_flow, strict=True)}, density, viscosity


def worst_imbalance(spec, temperature):
    """Return the worst open node over the largest flow, and the worst difference between node pressures and what pipe
    and pump say over the largest lift."""
    ways, flows, density, viscosity = flows_at(spec, temperature)
    sums, worst, lift = np.zeros(len(spec.nodes)), 0.0, 100.0
    for way, mass_flow in zip(ways, flows.mass_flow, strict=True):
        flow = mass_flow / density
        sums[way.start] -= mass_flow
        sums[way.end] += mass_flow
        taken = pipe_flow(way.passage, volume_flow=flow, density=density, viscosity=viscosity).pressure_drop
        if way.pump:
            lift = max(lift, density * GRAVITY * way.pump.shut_off_head)
            taken -= density * GRAVITY * pump_head(way.pump, flow)[0]
        worst = max(worst, abs(flows.pressure[way.start] - flows.pressure[way.end] - taken))
    return np.max(np.abs(sums)) / np.max(np.abs(flows.mass_flow)), worst / lift
