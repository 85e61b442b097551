"""Flows against EPANET's engine, a general-purpose network program: within 0.1 %.

Measured differences are about 0.02 %, most of it EPANET's gravity of 32.2 ft/s².
"""

from dataclasses import replace

import pytest

from tests.systems.epanet_network import epanet_flows, epanet_friction
from tests.systems.network_builder import meshed_loop, volume_flows_at
from thermo_kit.components.pipe import pipe_flow
from thermo_kit.systems.coolant_network import NetworkSpec, load_layout

pytest.importorskip("epanet", reason="EPANET's engine comes with the test extra")
DRIVE = ("drive pump", "inverter plate", "motor jacket", "radiator", "drive return")


def drive_loop():
    """The drive loop of a layout; its parallel channels become one passage, which EPANET can hold."""
    spec = load_layout("two_loops")
    branches = tuple(
        replace(b, radiator=None, passage=replace(b.passage, parallel=1, diameter=0.014))
        for b in spec.branches
        if b.name in DRIVE
    )
    names = {b.start for b in branches} | {b.end for b in branches}
    nodes = tuple(n for n in spec.nodes if n.name in names)
    return NetworkSpec(name="drive loop", nodes=nodes, branches=branches, mass_fraction=0.5)


def both(spec, temperature):
    """Return our flows, theirs, and the Reynolds number of each branch."""
    with epanet_friction():
        ours, density, viscosity = volume_flows_at(spec, temperature)
    theirs = epanet_flows(spec, density, viscosity)
    held = {"density": density, "viscosity": viscosity}
    reynolds = {b.name: pipe_flow(b.passage, volume_flow=ours[b.name], **held).reynolds for b in spec.branches}
    return ours, theirs, reynolds


@pytest.mark.parametrize(
    ("spec", "temperature", "turbulent"),
    [
        (meshed_loop(pumps=1, mass_fraction=0.3), 328.15, True),
        (meshed_loop(pumps=2, mass_fraction=0.3), 328.15, True),
        (meshed_loop(mass_fraction=0.6), 253.15, False),
        (drive_loop(), 326.15, True),
    ],
    ids=["one pump", "two pumps", "laminar", "drive loop"],
)
def test_flows_are_those_of_epanet(spec, temperature, turbulent):
    ours, theirs, reynolds = both(spec, temperature)
    largest = max(abs(flow) for flow in theirs.values())
    for name, flow in theirs.items():
        in_regime = reynolds[name] > 4000.0 if turbulent else reynolds[name] < 2000.0
        assert in_regime or abs(ours[name]) < 0.05 * largest
        assert ours[name] == pytest.approx(flow, rel=1e-3, abs=1e-3 * largest if turbulent else 0.0)


def test_a_wrong_network_is_not_within_the_tolerance():
    spec = meshed_loop(mass_fraction=0.3)
    _, theirs, _ = both(spec, 328.15)
    longer = replace(spec.branches[1], passage=replace(spec.branches[1].passage, length=2.1))
    changed = replace(spec, branches=tuple(longer if b.name == "way 1" else b for b in spec.branches))
    with epanet_friction():
        ours = volume_flows_at(changed, 328.15)[0]["way 1"]
    assert ours != pytest.approx(theirs["way 1"], rel=1e-3)
