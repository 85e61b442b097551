"""Small networks for tests, and a second look at a solution that shares no code with the solver."""

from dataclasses import replace

from thermo_kit.components.pipe import PipeSpec, pipe_flow
from thermo_kit.components.pump import GRAVITY, PumpSpec, pump_head
from thermo_kit.systems.coolant_network import BodySpec, BranchSpec, NetworkSpec, NodeSpec
from thermo_kit.systems.coolant_network.heat import NO_FLOW


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
    branches = (
        pipe("pump 1", "tank", "supply", pump=pump(8.0, 50.0), length=0.5, diameter=0.019, loss=1.5),
        pipe("way 1", "supply", "north", length=2.0, diameter=0.014, loss=3.0),
        pipe("way 2", "supply", "middle", length=3.0, diameter=0.016, loss=6.0),
        pipe("way 3", "supply", "south", length=1.0, diameter=0.012, loss=2.0),
        pipe("cross 1", "north", "middle", length=0.6, diameter=0.012, loss=1.0),
        pipe("cross 2", "middle", "south", length=0.8, diameter=0.012, loss=1.0),
        pipe("back 1", "north", "return", length=1.0, diameter=0.016, loss=2.0),
        pipe("back 2", "middle", "return", length=1.0, diameter=0.012, loss=4.0),
        pipe(
            "back 3",
            "south",
            "return",
            length=2.0,
            diameter=0.014,
            loss=1.0,
            pump=pump(2.0, 40.0) if pumps > 1 else None,
        ),
        pipe("home", "return", "tank", length=2.0, diameter=0.019, loss=2.0),
    )
    nodes = (node("tank", 1e-3), *(node(name) for name in ("supply", "north", "middle", "south", "return")))
    return NetworkSpec(
        name="meshed", nodes=nodes, branches=branches, ambient_temperature=313.15, friction_law="swamee-jain", **fields
    )


def held_at(spec, temperature):
    """Hold the whole loop at one temperature by way of the air around it."""
    return replace(spec, ambient_temperature=temperature)


def imbalance_of_nodes(result):
    """Return the worst sum of flows at a node over the largest flow; a still way may hide a flow up to NO_FLOW."""
    spec = result.spec
    sums = {entry.name: 0.0 for entry in spec.nodes}
    hidden = dict.fromkeys(sums, 0.0)
    for branch in spec.branches:
        flow = result.way(branch.name).mass_flow
        for end, sign in ((branch.start, -1), (branch.end, 1)):
            sums[end] += sign * flow
            hidden[end] += NO_FLOW if flow == 0.0 else 0.0
    for link in spec.valves:
        at = dict(link.nodes)
        for way in result.ways:
            if way.name.startswith(link.name + ": "):
                start, end = way.name.removeprefix(link.name + ": ").split(" to ")
                sums[at[start]] -= way.mass_flow
                sums[at[end]] += way.mass_flow
    worst = max(max(abs(value) - hidden[name], 0.0) for name, value in sums.items())
    return worst / max(abs(way.mass_flow) for way in result.ways)


def imbalance_of_branches(result, density, viscosity):
    """Return the worst difference between node pressures and what pipe and pump say, over the largest lift."""
    worst, lift = 0.0, 100.0
    for branch in result.spec.branches:
        way = result.way(branch.name)
        flow = way.mass_flow / density
        taken = pipe_flow(branch.passage, volume_flow=flow, density=density, viscosity=viscosity).pressure_drop
        if branch.pump:
            rise = density * GRAVITY * pump_head(branch.pump, flow)[0]
            lift = max(lift, abs(density * GRAVITY * branch.pump.shut_off_head))
            taken -= rise
        between = result.node(branch.start).pressure - result.node(branch.end).pressure
        hidden = 0.0
        if way.mass_flow == 0.0:
            least = pipe_flow(branch.passage, volume_flow=NO_FLOW / density, density=density, viscosity=viscosity)
            hidden = least.pressure_drop
        worst = max(worst, abs(between - taken) - hidden)
    return worst / lift
