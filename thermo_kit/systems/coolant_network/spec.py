"""What a coolant network is made of: nodes, branches with their parts, thermal masses, multi-way valves."""

import math
from dataclasses import dataclass

from thermo_kit.components.pipe import PipeSpec
from thermo_kit.components.pump import PumpSpec
from thermo_kit.components.radiator import RadiatorSpec
from thermo_kit.components.valve_ports import ValveSpec
from thermo_kit.errors import InputError, Problem, UnknownNameError
from thermo_kit.substances import COOLANT_KINDS
from thermo_kit.units.checks import Checks

ROLES = ("battery", "inverter", "motor", "heater", "other")
HOSE_LOSS = 8.0
"""Heat that a bare hose gives to still air, W/(m² K): a round engineering figure without source."""


@dataclass(frozen=True, kw_only=True)
class NodeSpec:
    """A place where branches meet.

    volume: coolant held [m³], above 0 makes it a reservoir; x: across the picture, 0 to 100 [-]; y: down the picture,
    0 to 100 [-]; air_loss: heat given to the air [W/K].
    """

    name: str
    x: float = 0.0
    y: float = 0.0
    volume: float = 0.0
    air_loss: float = 0.5


@dataclass(frozen=True, kw_only=True)
class ChillerLink:
    """A boiling-refrigerant plate as the loop sees it.

    conductance [W/K] at rated_flow [kg/s] to a wall at evaporating_temperature [K]. With a body named, a thermostat
    switches it over time: on above `on_above`, off below `off_below` [K] of that body. A steady solution has no
    thermostat: there it runs all the time, or not.
    """

    conductance: float
    rated_flow: float
    evaporating_temperature: float
    running: bool = True
    body: str = ""
    on_above: float = 303.15
    off_below: float = 298.15


@dataclass(frozen=True, kw_only=True)
class BranchSpec:
    """A way from node to node: a passage, and at most one of pump, radiator, chiller on it.

    corners: points (x, y) through which its line is drawn [-]; air: what the radiator blows, "ambient" or "cabin".
    """

    name: str
    start: str
    end: str
    passage: PipeSpec
    pump: PumpSpec | None = None
    radiator: RadiatorSpec | None = None
    air: str = "ambient"
    chiller: ChillerLink | None = None
    corners: tuple[tuple[float, float], ...] = ()

    @property
    def air_loss(self):
        """Heat the bare passage gives to the air around it [W/K]."""
        return HOSE_LOSS * math.pi * self.passage.diameter * self.passage.length


@dataclass(frozen=True, kw_only=True)
class BodySpec:
    """A part with mass that heats the coolant of one branch.

    heat: steady heat [W]; heat_capacity [J/K]; conductance to the coolant [W/K] at rated_flow [kg/s], of whose
    resistance solid_share lies in the solid; air_loss [W/K]; temperature_limit [K].
    """

    name: str
    role: str
    branch: str
    heat: float
    heat_capacity: float
    conductance: float
    rated_flow: float
    temperature_limit: float
    solid_share: float = 0.5
    air_loss: float = 1.0


@dataclass(frozen=True, kw_only=True)
class ValveLink:
    """A valve with the node at each port, as pairs (port, node).

    x: across the picture, 0 to 100 [-]; y: down the picture, 0 to 100 [-].
    """

    name: str
    valve: ValveSpec
    nodes: tuple[tuple[str, str], ...]
    x: float = 0.0
    y: float = 0.0


@dataclass(frozen=True, kw_only=True)
class NetworkSpec:
    """A whole coolant network under steady conditions.

    Parameters
    ----------
    name : str
        What it is called.
    nodes, branches, bodies, valves : tuples
        The parts. Names must differ within nodes and within everything that carries flow or heat.
    coolant : str
        Kind of coolant, as `thermo_kit.substances.Coolant` knows it.
    mass_fraction : float, [kg/kg]
        Share of glycol by mass, 0 to 0.60.
    ambient_temperature : float, [K]
        Air outside, 223.15 to 328.15.
    cabin_temperature : float, [K]
        Air that a heater core blows on, 223.15 to 328.15.
    vehicle_speed : float, [m/s]
        Driving speed, 0 to 60.
    fill_pressure : float, [Pa]
        Absolute pressure in the reservoir, 5e4 to 4e5.
    friction_law : str
        As `thermo_kit.components.pipe.FRICTION_LAWS`.
    title, description : str
        Words for the learner.
    faults : tuple of str
        What `apply_faults` has done to it; empty for a healthy network.

    Raises
    ------
    InputError
        If names double, a node or branch is unknown, or a number is out of range: every slip is named.

    Notes
    -----
    Closed loops; buoyancy and the coolant's expansion are left out.
    """

    name: str
    nodes: tuple[NodeSpec, ...]
    branches: tuple[BranchSpec, ...]
    bodies: tuple[BodySpec, ...] = ()
    valves: tuple[ValveLink, ...] = ()
    coolant: str = "ethylene glycol"
    mass_fraction: float = 0.5
    ambient_temperature: float = 298.15
    cabin_temperature: float = 293.15
    vehicle_speed: float = 0.0
    fill_pressure: float = 1.3e5
    friction_law: str = "colebrook"
    title: str = ""
    description: str = ""
    faults: tuple[str, ...] = ()

    def __post_init__(self):
        checks = Checks()
        _check_names(checks, self)
        _check_numbers(checks, self)
        checks.raise_if_any(InputError)

    def branch(self, name):
        """Return the branch of that name.

        Parameters
        ----------
        name : str
            Its name.

        Returns
        -------
        BranchSpec
            The branch.

        Raises
        ------
        UnknownNameError
            If there is none.
        """
        return pick("branch", name, {branch.name: branch for branch in self.branches})


def pick(kind, name, entries):
    """Return the entry of that name."""
    if name not in entries:
        known = ", ".join(entries) or "nothing"
        raise UnknownNameError(Problem(kind, repr(name), "is not in this network", f"use one of {known}"))
    return entries[name]


def _check_names(checks, spec):
    node_names = [node.name for node in spec.nodes]
    groups = (
        ("node", node_names),
        ("branch, body or valve", [part.name for part in (*spec.branches, *spec.bodies, *spec.valves)]),
    )
    for kind, names in groups:
        for name in sorted({name for name in names if names.count(name) > 1}):
            checks.add(f"{kind} {name!r}", "is named twice", "", "give each its own name")
    for branch in spec.branches:
        for field in ("start", "end"):
            if getattr(branch, field) not in node_names:
                checks.add(
                    f"{field} of branch {branch.name!r}",
                    repr(getattr(branch, field)),
                    "is no node",
                    "use one of " + ", ".join(node_names),
                )
        if branch.start == branch.end:
            checks.add(f"branch {branch.name!r}", "starts and ends at one node", "", "lead it to another node")
        if sum(part is not None for part in (branch.pump, branch.radiator, branch.chiller)) > 1:
            checks.add(f"branch {branch.name!r}", "has two parts", "of pump, radiator, chiller", "split it in two")
    branch_names = [branch.name for branch in spec.branches]
    for body in spec.bodies:
        if body.branch not in branch_names:
            checks.add(
                f"branch of body {body.name!r}",
                repr(body.branch),
                "is unknown",
                "use one of " + ", ".join(branch_names),
            )
    carriers = [body.branch for body in spec.bodies]
    for name in sorted({name for name in carriers if carriers.count(name) > 1}):
        checks.add(f"branch {name!r}", "carries two bodies", "", "give each body its own branch")
    for link in spec.valves:
        if sorted(port for port, _ in link.nodes) != sorted(link.valve.ports):
            checks.add(f"ports of valve {link.name!r}", "are not each joined to one node", "", "name a node per port")
        for port, node in link.nodes:
            if node not in node_names:
                checks.add(f"node at port {port!r} of valve {link.name!r}", repr(node), "is no node", "name a node")


def _check_numbers(checks, spec):
    checks.one_of("coolant", spec.coolant, COOLANT_KINDS)
    advice = "a share from 0 to 0.60 by mass: 30 % is 0.30"
    checks.within("mass_fraction of glycol", spec.mass_fraction, 0.0, 0.60, kind="ratio", advice=advice)
    checks.within("ambient temperature", spec.ambient_temperature, 223.15, 328.15, kind="temperature")
    checks.within("cabin temperature", spec.cabin_temperature, 223.15, 328.15, kind="temperature")
    checks.within("vehicle speed", spec.vehicle_speed, 0.0, 60.0, kind="velocity")
    checks.within("fill pressure", spec.fill_pressure, 5e4, 4e5, kind="pressure")
    for node in spec.nodes:
        checks.within(f"volume of node {node.name!r}", node.volume, 0.0, 1.0, kind="volume")
    reservoirs = [node for node in spec.nodes if node.volume > 0.0]
    if not reservoirs:
        checks.add("volume of the reservoir", "is 0 L", "", "give one node a volume: the filler bottle, 0.5 L or more")
    for branch in spec.branches:
        checks.one_of(f"air of branch {branch.name!r}", branch.air, ("ambient", "cabin"))
        if branch.chiller:
            where = f"chiller {branch.name!r}"
            checks.within(f"conductance of {where}", branch.chiller.conductance, 1.0, 1e5, kind="ratio")
            checks.within(f"rated flow of {where}", branch.chiller.rated_flow, 1e-3, 10.0, kind="mass_flow")
            wall = branch.chiller.evaporating_temperature
            checks.within(f"evaporating temperature of {where}", wall, 233.15, 313.15, kind="temperature")
            if branch.chiller.body and branch.chiller.body not in [body.name for body in spec.bodies]:
                checks.add(
                    f"body watched by {where}", repr(branch.chiller.body), "is no body", "name one of the bodies"
                )
            if branch.chiller.off_below >= branch.chiller.on_above:
                checks.add(f"off_below of {where}", "is not below on_above", "", "leave a few kelvin between them")
    for body in spec.bodies:
        checks.one_of(f"role of body {body.name!r}", body.role, ROLES)
        checks.within(f"heat of body {body.name!r}", body.heat, -1e5, 1e6, kind="power")
        checks.within(f"heat capacity of body {body.name!r}", body.heat_capacity, 10.0, 1e7, kind="ratio")
        checks.within(f"conductance of body {body.name!r}", body.conductance, 0.1, 1e5, kind="ratio")
        checks.within(f"rated flow of body {body.name!r}", body.rated_flow, 1e-3, 10.0, kind="mass_flow")
        checks.within(f"solid share of body {body.name!r}", body.solid_share, 0.0, 0.99, kind="ratio")
        checks.within(f"loss to air of body {body.name!r}", body.air_loss, 0.0, 1e3, kind="ratio")
        limit = body.temperature_limit
        checks.within(f"temperature limit of body {body.name!r}", limit, 253.15, 473.15, kind="temperature")
