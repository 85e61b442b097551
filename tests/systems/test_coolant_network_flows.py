"""Flows of a network: balances over random networks, a second program, trends, bad input."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.systems.network_builder import body, node, pipe, pump, ring, struck, volume_flows_at, worst_imbalance
from thermo_kit.components.valve_ports import ValvePosition
from thermo_kit.errors import InputError, OutOfRangeError
from thermo_kit.substances import Coolant
from thermo_kit.substances.coolant import coolant_table
from thermo_kit.systems.coolant_network import (
    LAYOUT_NAMES,
    NETWORK_FAULTS,
    NetworkSpec,
    load_layout,
    parts_struck_by,
    solve_coolant_network,
)

WARM = 313.15
TABLE = coolant_table("ethylene glycol", 0.5)


@st.composite
def networks(draw):
    """A ring of nodes with chords, pipes of all sizes, one to three pumps; no heat, so one temperature holds."""
    count = draw(st.integers(3, 8))
    names = [f"n{i}" for i in range(count)]
    chords = draw(st.lists(st.tuples(st.integers(0, count - 1), st.integers(0, count - 1)), max_size=8))
    ends = [(i, (i + 1) % count) for i in range(count)] + [(a, b) for a, b in chords if a != b]
    pumped = draw(st.sets(st.integers(0, len(ends) - 1), min_size=1, max_size=3))
    branches = []
    for i, (a, b) in enumerate(ends):
        lift, flow = draw(st.floats(1.0, 15.0)), draw(st.floats(10.0, 60.0))
        machine = pump(lift, flow, linear_share=draw(st.floats(0.0, 1.0))) if i in pumped else None
        sizes = {"length": st.floats(0.1, 10.0), "diameter": st.floats(0.004, 0.03), "loss": st.floats(0.0, 20.0)}
        branches.append(pipe(f"b{i}", names[a], names[b], pump=machine, **draw(st.fixed_dictionaries(sizes))))
    nodes = (node(names[0], 1e-3), *(node(name) for name in names[1:]))
    return NetworkSpec(name="random", nodes=nodes, branches=tuple(branches))


def test_the_property_tables_follow_the_coolant():
    coolant = Coolant("ethylene glycol", mass_fraction=0.5)
    for T in (243.9, 273.3, 301.7, 345.2, 372.9):
        assert float(TABLE.viscosity(T)) == pytest.approx(coolant.viscosity(T), rel=1e-3)
        assert float(TABLE.density(T)) == pytest.approx(coolant.density(T), rel=1e-5)
        assert float(TABLE.specific_heat(T)) == pytest.approx(coolant.specific_heat(T), rel=1e-4)


def flow_in(spec, name):
    """Return the volume flow of a branch with all coolant at one temperature."""
    return volume_flows_at(spec, WARM)[0][name]


@given(spec=networks())
def test_every_node_and_loop_balances(spec):
    result = solve_coolant_network(spec)
    assert max(result.node_closure, result.loop_closure, result.energy_closure) < 1e-6
    assert max(worst_imbalance(spec, WARM)) < 1e-6


@given(spec=networks(), more=st.floats(1.01, 1.4))
def test_one_faster_pump_moves_more_through_itself(spec, more):
    driven = next(branch for branch in spec.branches if branch.pump)
    faster = replace(driven, pump=replace(driven.pump, speed_share=more))
    fast = replace(spec, branches=tuple(faster if branch is driven else branch for branch in spec.branches))
    assert flow_in(fast, driven.name) > flow_in(spec, driven.name)


@given(spec=networks(), open_share=st.floats(0.05, 0.9), which=st.integers(0, 100))
def test_a_kink_never_raises_the_flow_in_its_own_branch(spec, open_share, which):
    name = spec.branches[which % len(spec.branches)].name
    bad = struck(spec, "hose kinked", name, amount=1.0 - open_share)
    largest = max(map(abs, volume_flows_at(spec, WARM)[0].values()))
    assert abs(flow_in(bad, name)) <= abs(flow_in(spec, name)) + 1e-7 * largest


def test_pumps_in_line_add_their_heads_and_side_by_side_their_flows():
    one, both = flow_in(ring(), "third"), flow_in(ring(pumps=(pump(), pump())), "third")
    assert both > one
    # Two in line lift twice as much at the same flow, as one pump of twice the head does.
    assert both == pytest.approx(flow_in(ring(pumps=(pump(16.0),)), "third"), rel=1e-6)
    spec = ring()
    spec = replace(spec, branches=(*spec.branches, replace(spec.branches[0], name="twin")))
    assert flow_in(spec, "first") == pytest.approx(flow_in(spec, "twin"))
    assert one < flow_in(spec, "third") < 2.0 * one


@pytest.mark.parametrize("name", LAYOUT_NAMES)
def test_layouts_run_closed_and_hold_the_picture(name):
    spec = load_layout(name)
    result = solve_coolant_network(spec)
    assert max(result.node_closure, result.loop_closure, result.energy_closure) < 1e-6
    for _, machine in result.pumps:
        assert 10.0 < machine.volume_flow * 60e3 < 30.0 and 20.0 < machine.electric_power < 120.0
    places = {(entry.x, entry.y) for entry in spec.nodes}
    assert len(places) == len(spec.nodes)


def test_the_valve_parts_and_joins_the_loops():
    spec = load_layout("join_or_part")
    link = spec.valves[0]
    apart = solve_coolant_network(spec)
    joined = solve_coolant_network(replace(spec, valves=(replace(link, valve=replace(link.valve, position="joined")),)))
    assert apart.way("battery pump").mass_flow != pytest.approx(apart.way("drive pump").mass_flow, rel=0.05)
    assert joined.way("battery pump").mass_flow == pytest.approx(joined.way("drive pump").mass_flow, rel=1e-9)
    assert joined.body("battery").temperature > apart.body("battery").temperature + 2.0
    half = solve_coolant_network(struck(spec, "valve stuck", "loop valve"))
    assert len([way for way in half.ways if way.valve]) == 4
    assert apart.body("battery").temperature < half.body("battery").temperature


@pytest.mark.parametrize("mass_fraction, ambient", [(0.6, 233.15), (0.3, 313.15)])
def test_a_valve_way_loses_by_the_two_k_rule(mass_fraction, ambient):
    """Hooper's constant for slow flow through a wide open valve of full line size, read in `fluids`."""
    from fluids.fittings import Hooper

    slow = Hooper["Valve, Gate, Full line size, Beta = 1"][0]
    spec = replace(load_layout("join_or_part"), mass_fraction=mass_fraction, ambient_temperature=ambient)
    result = solve_coolant_network(spec)
    ways = [way for way in result.ways if way.valve[:1] == ("loop valve",)]
    assert len(ways) == 2
    for way in ways:
        density = way.mass_flow / way.volume_flow
        dynamic = 0.5 * density * way.velocity**2
        assert way.pressure_drop == pytest.approx((1.5 + slow / way.reynolds) * dynamic, rel=0.02)


ALL_FAULTS = [
    (name, kind, part)
    for name in LAYOUT_NAMES
    for kind in NETWORK_FAULTS
    for part in parts_struck_by(load_layout(name), kind)
]


@pytest.mark.parametrize(("name", "kind", "part"), ALL_FAULTS)
def test_every_fault_of_every_layout_is_solved_and_closed(name, kind, part):
    spec = replace(load_layout(name), ambient_temperature=298.15)
    result = solve_coolant_network(struck(spec, kind, part))
    assert max(result.node_closure, result.loop_closure, result.energy_closure) < 1e-6
    assert str(result.notes[0]).startswith("fault: " + kind)


def test_what_each_fault_does():
    spec = replace(load_layout("one_loop"), ambient_temperature=308.15)
    healthy = solve_coolant_network(spec)

    def faulty(kind, part, **fields):
        return solve_coolant_network(struck(spec, kind, part, **fields))

    dead = faulty("pump dead", "pump")
    assert dead.way("pump").mass_flow == 0.0 and dead.pump("pump").electric_power == 0.0
    assert dead.body("motor").temperature is None
    assert any("no flow in: pump" in str(note) for note in dead.notes)
    backwards = faulty("pump reversed", "pump")
    assert backwards.way("radiator").mass_flow < 0.0
    assert abs(backwards.way("radiator").mass_flow) == pytest.approx(healthy.way("radiator").mass_flow, rel=0.02)
    assert faulty("pump air-locked", "pump").way("pump").mass_flow == 0.0
    foam = faulty("pump air-locked", "pump", amount=0.5)
    assert 0.0 < foam.way("pump").mass_flow < healthy.way("pump").mass_flow
    assert foam.pump("pump").electric_power < healthy.pump("pump").electric_power
    kinked = faulty("hose kinked", "return hose")
    assert kinked.way("pump").mass_flow < 0.7 * healthy.way("pump").mass_flow
    blocked = faulty("radiator blocked", "radiator")
    assert blocked.way("pump").mass_flow == pytest.approx(healthy.way("pump").mass_flow, rel=0.02)
    assert abs(blocked.way("radiator").radiator_heat) < abs(healthy.way("radiator").radiator_heat)
    water, rich = faulty("wrong mixture", "", amount=0.0), faulty("wrong mixture", "", amount=0.6)
    assert water.way("pump").volume_flow > healthy.way("pump").volume_flow > rich.way("pump").volume_flow
    assert water.freezing_point == pytest.approx(273.15)


def test_a_loop_without_pump_is_refused():
    spec = ring()
    branches = (replace(spec.branches[0], pump=None), *spec.branches[1:])
    with pytest.raises(InputError, match="hold no pump.*give one branch a pump"):
        solve_coolant_network(replace(spec, branches=branches))
    nodes = (*spec.nodes, node("c"), node("d"))
    second = (pipe("there", "c", "d"), pipe("back", "d", "c"))
    lonely = replace(spec, nodes=nodes, branches=(*spec.branches, *second), bodies=(body("motor", "there"),))
    with pytest.raises(InputError, match="loop of 'there' has no pump in it"):
        solve_coolant_network(lonely)


def test_a_port_map_that_isolates_a_pump_is_refused():
    spec = load_layout("join_or_part")
    link = spec.valves[0]
    shut = replace(link.valve, positions=(ValvePosition(name="apart", joins=(("B", "A"),)), link.valve.positions[1]))
    with pytest.raises(InputError, match=r"pump 'drive pump' is isolated.*loop valve in 'apart'"):
        solve_coolant_network(replace(spec, valves=(replace(link, valve=shut),)))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda: {"branches": (pipe("first", "tank", "z", pump=pump()),)}, "end of branch 'first' 'z' is no node"),
        (lambda: {"branches": (pipe("x", "tank", "tank", pump=pump()),)}, "starts and ends at one node"),
        (lambda: {"branches": (pipe("x", "tank", "a", length=0.0),)}, "pipe length"),
        (lambda: {"nodes": (node("tank", 1e-3), node("a"), node("b"), node("a"))}, "node 'a' is named twice"),
        (lambda: {"nodes": (node("tank"), node("a"), node("b"))}, "volume of the reservoir is 0 L"),
        (lambda: {"nodes": (node("tank", 5.0), node("a"), node("b"))}, "volume of the node"),
        (lambda: {"bodies": (body("motor", "nowhere"),)}, "branch of body 'motor' 'nowhere' is no branch"),
        (lambda: {"bodies": (body("m", "first"), body("n", "first"))}, "carries two bodies"),
        (lambda: {"bodies": (body("first", "first"),)}, "'first' is named twice"),
    ],
)
def test_slips_in_a_network_are_named(change, words):
    with pytest.raises(InputError, match=words):
        replace(ring(), **change())


def test_frozen_from_the_start_is_refused():
    with pytest.raises(OutOfRangeError, match=r"ambient temperature.*freezing point.*mass_fraction"):
        solve_coolant_network(ring(mass_fraction=0.2, ambient_temperature=253.15))
