"""What a coolant network is made of, and how a workshop writes it as a TOML file."""

import functools
import math
import tomllib
from importlib import resources
from pathlib import Path

from thermo_kit.components.pipe import PipeSpec
from thermo_kit.components.pump import PumpSpec
from thermo_kit.components.radiator import RadiatorSpec
from thermo_kit.components.valve_ports import PortValveSpec
from thermo_kit.errors import FileAccessError, InputError, UnknownNameError
from thermo_kit.substances import COOLANT_KINDS
from thermo_kit.systems.reading_log import text_of
from thermo_kit.units import (
    Part,
    Quantity,
    Several,
    Spec,
    Word,
    flag,
    from_table,
    one_of,
    part,
    quantity,
    several,
    word,
)

ROLES = ("battery", "inverter", "motor", "heater", "other")
HOSE_LOSS = 8.0
"""Heat that a bare hose gives to still air, W/(m² K): a round engineering figure without source."""


def _place(words):
    return quantity("ratio", 0.0, 100.0, words, 0.0)


class NodeSpec(Spec):
    """A place where branches meet; one with a volume is a reservoir, whose `air_loss` is the heat it gives to the air.

    x and y are its place on the picture, from the left and from above, in hundredths.
    """

    name: str = word("name of the node")
    x: float = _place("place of the node across")
    y: float = _place("place of the node down")
    volume: float = quantity("volume", 0.0, 1.0, "volume of the node", 0.0)
    air_loss: float = quantity("conductance", 0.0, 1e3, "loss to air of the node", 0.5)


class ChillerLink(Spec):
    """A boiling-refrigerant plate as the loop sees it: a wall of one temperature.

    With a body named, a thermostat switches it over time: on above one, off below another temperature of that body. A
    steady solution has no thermostat: there it runs all the time, or not.
    """

    conductance: float = quantity("conductance", 1.0, 1e5, "conductance of the chiller")
    rated_flow: float = quantity("mass_flow", 1e-3, 10.0, "rated flow of the chiller")
    evaporating_temperature: float = quantity("temperature", 233.15, 313.15, "evaporating temperature of the chiller")
    running: bool = flag("chiller running", True)
    body: str = word("body watched by the chiller", "")
    on_above: float = quantity("temperature", 233.15, 373.15, "on_above of the chiller", 303.15)
    off_below: float = quantity("temperature", 233.15, 373.15, "off_below of the chiller", 298.15)

    def fit(self, checks):
        if self.off_below >= self.on_above:
            checks.add("off_below of the chiller", "is not below on_above", "", "leave a few kelvin between them")


class BranchSpec(Spec):
    """A way from node to node: a passage, and at most one of pump, radiator, chiller on it.

    Its line is drawn through the corners; `air` is what its radiator blows.
    """

    name: str = word("name of the branch")
    start: str = word("start of the branch")
    end: str = word("end of the branch")
    passage: PipeSpec = part(PipeSpec, "passage of the branch")
    pump: PumpSpec | None = part(PumpSpec, "pump of the branch", None)
    radiator: RadiatorSpec | None = part(RadiatorSpec, "radiator of the branch", None)
    air: str = one_of(("ambient", "cabin"), "air that the radiator blows", "ambient")
    chiller: ChillerLink | None = part(ChillerLink, "chiller of the branch", None)
    corners: tuple[tuple[float, float], ...] = several(
        Several(Quantity("ratio", 0.0, 100.0, "corner of the branch"), 2, 2), 0, 20, ()
    )

    def fit(self, checks):
        if self.start == self.end:
            checks.add(f"branch {self.name!r}", "starts and ends at one node", "", "lead it to another node")
        if sum(one is not None for one in (self.pump, self.radiator, self.chiller)) > 1:
            checks.add(f"branch {self.name!r}", "has two parts", "of pump, radiator, chiller", "split it in two")

    @property
    def air_loss(self):
        """Heat the bare passage gives to the air around it [W/K], by its geometry."""
        return HOSE_LOSS * math.pi * self.passage.diameter * self.passage.length


class BodySpec(Spec):
    """A part with mass that heats the coolant of one branch.

    `conductance` to the coolant is that at rated flow; of its resistance `solid_share` lies in the solid.
    """

    name: str = word("name of the body")
    role: str = one_of(ROLES, "role of the body")
    branch: str = word("branch of the body")
    heat: float = quantity("power", -1e5, 1e6, "heat of the body")
    heat_capacity: float = quantity("heat_capacity", 10.0, 1e7, "heat capacity of the body")
    conductance: float = quantity("conductance", 0.1, 1e5, "conductance of the body")
    rated_flow: float = quantity("mass_flow", 1e-3, 10.0, "rated flow of the body")
    temperature_limit: float = quantity("temperature", 253.15, 473.15, "temperature limit of the body")
    solid_share: float = quantity("ratio", 0.0, 0.99, "solid share of the body", 0.5)
    air_loss: float = quantity("conductance", 0.0, 1e3, "loss to air of the body", 1.0)


class ValveLink(Spec):
    """A valve with the node at each port, as pairs (port, node), and its place on the picture."""

    name: str = word("name of the valve")
    valve: PortValveSpec = part(PortValveSpec, "valve")
    nodes: tuple[tuple[str, str], ...] = several(Several(Word("port or node"), 2, 2), 2, 20)
    x: float = _place("place of the valve across")
    y: float = _place("place of the valve down")

    def fit(self, checks):
        if sorted(port for port, _ in self.nodes) != sorted(self.valve.ports):
            checks.add(f"ports of valve {self.name!r}", "are not each joined to one node", "", "name a node per port")


def pick(kind, name, entries):
    """Return the entry of that name."""
    if name not in entries:
        known = ", ".join(entries) or "nothing"
        raise UnknownNameError.about(kind, repr(name), "is not in this network", f"use one of {known}")
    return entries[name]


def finder(kind, entries):
    """Return a method that finds one of the entries of its object by name."""

    def find(self, name):
        return pick(kind, name, {entry.name: entry for entry in getattr(self, entries)})

    find.__doc__ = f"Return the {kind} of that name; `UnknownNameError` where there is none."
    return find


class NetworkSpec(Spec):
    """A whole coolant network under steady conditions.

    A heater core blows on the cabin air; `fill_pressure` is the absolute pressure in the reservoir; `faults` is what
    `apply_faults` has done to it, empty for a healthy network. Names must differ within nodes and within everything
    that carries flow or heat.

    Notes: Closed loops; buoyancy and the coolant's expansion are left out.
    """

    name: str = word("name of the network")
    nodes: tuple[NodeSpec, ...] = several(Part(NodeSpec, "node"), 1, 1000)
    branches: tuple[BranchSpec, ...] = several(Part(BranchSpec, "branch"), 1, 1000)
    bodies: tuple[BodySpec, ...] = several(Part(BodySpec, "body"), 0, 1000, ())
    valves: tuple[ValveLink, ...] = several(Part(ValveLink, "valve of the network"), 0, 100, ())
    coolant: str = one_of(COOLANT_KINDS, "coolant", "ethylene glycol")
    mass_fraction: float = quantity(
        "ratio", 0.0, 0.60, "mass_fraction of glycol", 0.5, advice="a share from 0 to 0.60 by mass: 30 % is 0.30"
    )
    ambient_temperature: float = quantity("temperature", 223.15, 328.15, "ambient temperature", 298.15)
    cabin_temperature: float = quantity("temperature", 223.15, 328.15, "cabin temperature", 293.15)
    vehicle_speed: float = quantity("driving_speed", 0.0, 60.0, "vehicle speed", 0.0)
    fill_pressure: float = quantity("pressure", 5e4, 4e5, "fill pressure", 1.3e5)
    title: str = word("title of the network", "", longest=100)
    description: str = word("description of the network", "", longest=1000)
    faults: tuple[str, ...] = ()

    branch = finder("branch", "branches")

    def fit(self, checks):
        node_names = [node.name for node in self.nodes]
        groups = (
            ("node", node_names),
            ("branch, body or valve", [one.name for one in (*self.branches, *self.bodies, *self.valves)]),
        )
        for kind, names in groups:
            for name in _doubled(names):
                checks.add(f"{kind} {name!r}", "is named twice", "", "give each its own name")
        if not any(node.volume > 0.0 for node in self.nodes):
            told = "give one node a volume: the filler bottle, 0.5 L or more"
            checks.add("volume of the reservoir", "is 0 L", "", told)
        named = [
            (f"{end} of branch {branch.name!r}", getattr(branch, end), "node", node_names)
            for branch in self.branches
            for end in ("start", "end")
        ]
        named += [
            (f"node at port {port!r} of valve {link.name!r}", node, "node", node_names)
            for link in self.valves
            for port, node in link.nodes
        ]
        carriers, branch_names = [body.branch for body in self.bodies], [branch.name for branch in self.branches]
        named += [(f"branch of body {body.name!r}", body.branch, "branch", branch_names) for body in self.bodies]
        body_names = ["", *(body.name for body in self.bodies)]
        named += [
            (f"body watched by chiller {branch.name!r}", branch.chiller.body, "body", body_names)
            for branch in self.branches
            if branch.chiller
        ]
        for what, name, kind, known in named:
            if name not in known:
                checks.add(what, repr(name), f"is no {kind}", "use one of " + ", ".join(filter(None, known)))
        for name in _doubled(carriers):
            checks.add(f"branch {name!r}", "carries two bodies", "", "give each body its own branch")


def _doubled(names):
    return sorted({name for name in names if names.count(name) > 1}) if len(set(names)) < len(names) else ()


LAYOUT_NAMES = ("one_loop", "two_loops", "join_or_part", "warm_cabin")
"""The invented layouts that come with the package."""

LARGEST_FILE = 200_000


@functools.cache
def load_layout(name):
    """Return one of the layouts that come with the package.

    Parameters
    ----------
    name : str. One of `LAYOUT_NAMES`.

    Returns: NetworkSpec. The healthy network. Raises UnknownNameError if there is no such layout.

    Notes: The layouts and all their numbers are invented.

    Examples
    --------
    >>> load_layout("two_loops").title
    'Two separate loops'
    """
    if name not in LAYOUT_NAMES:
        advice = "use one of " + ", ".join(LAYOUT_NAMES)
        raise UnknownNameError.about("layout", repr(name), "does not come with the package", advice)
    text = resources.files("thermo_kit.systems").joinpath("layouts", f"{name}.toml").read_text(encoding="utf-8")
    return read_layout(text)


def read_layout(source):
    """Return the network that a TOML layout describes.

    Parameters
    ----------
    source : str or pathlib.Path. The text itself, or the path of the file.

    Returns: NetworkSpec. The network. Raises FileAccessError if the file cannot be read or is larger than 200 kB;
        InputError if the text is no TOML, a field is missing, unknown or of the wrong kind, or parts do not fit
        together.

    Notes: Words only; fields as in `NetworkSpec` and its parts, numbers in SI or as texts with a unit.
    """
    text = text_of(source, "layout file")[0] if isinstance(source, Path) else source
    if len(text) > LARGEST_FILE:
        raise FileAccessError.about("layout", "is larger than 200 kB", "", "is it the right file?")
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError.about("layout", f"is not TOML ({error})", "", "mend that line") from None
    return from_table(NetworkSpec, table, "layout")
