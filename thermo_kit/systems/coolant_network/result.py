"""What a solved network tells."""

from dataclasses import dataclass

from thermo_kit.components.pump import PumpResult
from thermo_kit.systems.coolant_network.spec import NetworkSpec, pick


@dataclass(frozen=True, slots=True)
class NodeState:
    """A node: pressure [Pa absolute], temperature [K], None where nothing flows or no steady value exists."""

    name: str
    pressure: float
    temperature: float | None


@dataclass(frozen=True, slots=True)
class WayState:
    """A branch or a way through a valve: flows from its start to its end count positive; temperatures [K] along the
    flow; heat_to_air and heat_to_chiller [W]; regime in words."""

    name: str
    mass_flow: float
    volume_flow: float
    velocity: float
    reynolds: float
    regime: str
    pressure_drop: float
    inlet_temperature: float | None
    outlet_temperature: float | None
    heat_to_air: float
    heat_to_chiller: float


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
    node_closure, loop_closure, energy_closure: relative, each below 1e-6; flow_steps: iterations of the flows;
    notes: what to keep in mind.
    """

    spec: NetworkSpec
    nodes: tuple[NodeState, ...]
    ways: tuple[WayState, ...]
    bodies: tuple[BodyState, ...]
    pumps: tuple[tuple[str, PumpResult], ...]
    freezing_point: float
    node_closure: float
    loop_closure: float
    energy_closure: float
    flow_steps: int
    notes: tuple[str, ...]

    def node(self, name):
        """Return the node of that name.

        Parameters
        ----------
        name : str
            Its name.

        Returns
        -------
        NodeState
            Its state.

        Raises
        ------
        UnknownNameError
            If there is none.
        """
        return pick("node", name, {entry.name: entry for entry in self.nodes})

    def way(self, name):
        """Return the branch or valve way of that name.

        Parameters
        ----------
        name : str
            Its name.

        Returns
        -------
        WayState
            Its state.

        Raises
        ------
        UnknownNameError
            If there is none.
        """
        return pick("branch or valve way", name, {entry.name: entry for entry in self.ways})

    def body(self, name):
        """Return the body of that name.

        Parameters
        ----------
        name : str
            Its name.

        Returns
        -------
        BodyState
            Its state.

        Raises
        ------
        UnknownNameError
            If there is none.
        """
        return pick("body", name, {entry.name: entry for entry in self.bodies})

    def pump(self, name):
        """Return the pump on the branch of that name.

        Parameters
        ----------
        name : str
            Name of its branch.

        Returns
        -------
        PumpResult
            The pump at its flow.

        Raises
        ------
        UnknownNameError
            If there is none.
        """
        return pick("pump", name, dict(self.pumps))
