"""Flows against EPANET's engine, a general-purpose network program: within 0.1 %.

Measured differences are about 0.02 %, most of it EPANET's gravity of 32.2 ft/s².
"""

from dataclasses import replace

import pytest

from tests.systems.epanet_network import epanet_flows
from tests.systems.network_builder import held_at, meshed_loop
from thermo_kit.substances.coolant_table import coolant_table
from thermo_kit.systems.coolant_network import NetworkSpec, load_layout, solve_coolant_network

pytest.importorskip("epanet", reason="EPANET's engine comes with the test extra")


@pytest.mark.parametrize("pumps", [1, 2])
def test_meshed_loop_with_turbulent_flow(pumps):
    spec = held_at(meshed_loop(pumps=pumps, mass_fraction=0.3), 328.15)
    result = solve_coolant_network(spec)
    table = coolant_table(spec.coolant, spec.mass_fraction)
    theirs = epanet_flows(spec, float(table.density(328.15)), float(table.viscosity(328.15)))
    largest = max(abs(flow) for flow in theirs.values())
    for branch in spec.branches:
        way = result.way(branch.name)
        assert way.reynolds > 4000.0 or abs(way.volume_flow) < 0.05 * largest
        assert way.volume_flow == pytest.approx(theirs[branch.name], rel=1e-3, abs=1e-3 * largest)


def test_meshed_loop_with_laminar_flow():
    spec = held_at(meshed_loop(mass_fraction=0.6), 253.15)
    result = solve_coolant_network(spec)
    table = coolant_table(spec.coolant, spec.mass_fraction)
    theirs = epanet_flows(spec, float(table.density(253.15)), float(table.viscosity(253.15)))
    for branch in spec.branches:
        way = result.way(branch.name)
        assert way.reynolds < 2000.0
        assert way.volume_flow == pytest.approx(theirs[branch.name], rel=1e-3)


def test_a_wrong_network_is_not_within_the_tolerance():
    spec = held_at(meshed_loop(mass_fraction=0.3), 328.15)
    table = coolant_table(spec.coolant, spec.mass_fraction)
    theirs = epanet_flows(spec, float(table.density(328.15)), float(table.viscosity(328.15)))
    longer = replace(spec.branches[1], passage=replace(spec.branches[1].passage, length=2.1))
    changed = replace(spec, branches=tuple(longer if b.name == "way 1" else b for b in spec.branches))
    ours = solve_coolant_network(changed).way("way 1").volume_flow
    assert ours != pytest.approx(theirs["way 1"], rel=1e-3)


def test_the_drive_loop_of_a_layout():
    """The layout's parallel channels become one passage of the same loss, which EPANET can hold."""
    spec = load_layout("two_loops")
    keep = [
        b
        for b in spec.branches
        if b.name in ("drive pump", "inverter plate", "motor jacket", "radiator", "drive return")
    ]
    plain = tuple(replace(b, radiator=None, passage=replace(b.passage, parallel=1, diameter=0.014)) for b in keep)
    names = {b.start for b in keep} | {b.end for b in keep}
    loop = NetworkSpec(
        name="drive loop",
        nodes=tuple(n for n in spec.nodes if n.name in names),
        branches=plain,
        mass_fraction=0.5,
        ambient_temperature=326.15,
        friction_law="swamee-jain",
    )
    result = solve_coolant_network(loop)
    table = coolant_table(loop.coolant, loop.mass_fraction)
    theirs = epanet_flows(loop, float(table.density(326.15)), float(table.viscosity(326.15)))
    for branch in loop.branches:
        assert result.way(branch.name).volume_flow == pytest.approx(theirs[branch.name], rel=1e-3)
