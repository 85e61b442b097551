"""What a solved network tells, at rest and over time."""

from dataclasses import dataclass

import numpy as np

from thermo_kit.components.pump import PumpResult
from thermo_kit.systems.coolant_network.scenario import Scenario
from thermo_kit.systems.coolant_network.spec import NetworkSpec, finder, pick


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
    """A thermal mass: temperature [K] (None: no steady value below the model's limit), heat [W] and margin [K] to its
    limit."""

    name: str
    role: str
    temperature: float | None
    heat: float
    temperature_limit: float
    margin: float | None


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


@dataclass(frozen=True, slots=True)
class Event:
    """Something worth saying: time [s], part, kind (one of `EVENT_KINDS`), the temperature that was passed [K]."""

    time: float
    part: str
    kind: str
    temperature: float


EVENT_KINDS = ("over limit", "may boil", "slush")
"""over limit: a body is too hot; may boil, slush: the coolant is, somewhere, above its data or below freezing."""


@dataclass(frozen=True, eq=False)
class SimulationResult:
    """A run over time, at the recorded times [s].

    body_temperature and way_temperature (outlet of each branch) [K], way_flow [kg/s]: dicts of arrays by name; events
    in order; energy_closure, node_closure, loop_closure: largest of the run, relative.
    """

    spec: NetworkSpec
    scenario: Scenario
    time: np.ndarray
    body_temperature: dict
    way_temperature: dict
    way_flow: dict
    events: tuple[Event, ...]
    energy_closure: float
    node_closure: float
    loop_closure: float

    def first_over_limit(self):
        """Return the first event of a part over its limit.

        Returns: Event or None. None where every part stayed below its limit.
        """
        return next((event for event in self.events if event.kind == "over limit"), None)
