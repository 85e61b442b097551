"""What a run over time leaves behind: histories at recorded times and the events worth saying."""

from dataclasses import dataclass

import numpy as np

from thermo_kit.errors import NoSolutionError, Problem
from thermo_kit.substances.coolant import HIGHEST_TEMPERATURE as HOTTEST
from thermo_kit.systems.coolant_network.scenario import Scenario
from thermo_kit.systems.coolant_network.spec import NetworkSpec
from thermo_kit.systems.coolant_network.steady import CLOSURE


@dataclass(frozen=True, slots=True)
class Event:
    """Something worth saying: time [s], part, text."""

    time: float
    part: str
    text: str


@dataclass(frozen=True, eq=False)
class SimulationResult:
    """A run over time, at the recorded times [s].

    body_temperature and way_temperature (outlet of each branch) [K], way_flow [kg/s], body_heat [W]: dicts of arrays
    by name; events in order; energy_closure, node_closure, loop_closure: largest of the run, relative;
    flow_solutions: how often the flows were solved; notes.
    """

    spec: NetworkSpec
    scenario: Scenario
    time: np.ndarray
    body_temperature: dict
    way_temperature: dict
    way_flow: dict
    body_heat: dict
    events: tuple[Event, ...]
    energy_closure: float
    node_closure: float
    loop_closure: float
    flow_solutions: int
    notes: tuple[str, ...]

    def first_over_limit(self):
        """Return the first event of a part over its limit.

        Returns
        -------
        Event or None
            The event; None where every part stayed below its limit.
        """
        return next((event for event in self.events if event.text.startswith("over its limit")), None)


class Book:
    """Keeps what is recorded and notices what is worth saying."""

    def __init__(self, spec, run, every):
        self.spec, self.run, self.every = spec, run, every
        self.next = 0.0
        self.times, self.states, self.flows, self.heats = [], [], [], []
        self.events, self.seen = [], set()

    def write(self, time, last=False):
        """Look at the state and record it if its time has come; time [s]."""
        run = self.run
        self._watch(time)
        if time >= self.next - 1e-9 or last:
            self.times.append(time)
            self.states.append(run.temperature)
            flow = run.flows.mass_flow[: len(self.spec.branches)] if run.flows else None
            self.flows.append(flow)
            self.heats.append([part.heat for part in (run.spec or self.spec).bodies])
            self.next = time + self.every

    def _watch(self, time):
        state, layout = self.run.temperature, self.run.layout
        for part in self.spec.bodies:
            value = state[layout.body[part.name]]
            if value > part.temperature_limit:
                limit = part.temperature_limit - 273.15
                self._say(time, part.name, f"over its limit of {limit:.0f} °C")
        coolant = state[: layout.size - len(layout.body)]
        if np.max(coolant) > HOTTEST:
            self._say(time, "coolant", "above 100 °C somewhere: it may boil, its data end here")
        if np.min(coolant) < self.run.table.freezing_point:
            self._say(time, "coolant", "below its freezing point somewhere: slush")

    def _say(self, time, part, text):
        if (part, text) not in self.seen:
            self.seen.add((part, text))
            self.events.append(Event(float(time), part, text))

    def result(self, spec, scenario, run, faults):
        """Return the whole record, if every balance closed."""
        worst = run.worst
        for what, closure in worst.items():
            if not closure < CLOSURE:
                raise NoSolutionError(
                    Problem(f"{what} balance", f"does not close: {closure:.1e}", "", "take a smaller step")
                )
        layout = run.layout
        states = np.array(self.states)
        first_flow = next(flow for flow in self.flows if flow is not None)
        flows = np.array([first_flow if flow is None else flow for flow in self.flows])
        heats = np.array(self.heats)
        outlet = {}
        for i, branch in enumerate(spec.branches):
            ends = layout.first[i], layout.first[i] + layout.count[i] - 1
            outlet[branch.name] = np.where(flows[:, i] >= 0.0, states[:, ends[1]], states[:, ends[0]])
        notes = [f"fault: {fault}" for fault in faults]
        notes.append("no control steps in: a part over its limit heats on")
        return SimulationResult(
            spec=spec,
            scenario=scenario,
            time=np.array(self.times),
            body_temperature={part.name: states[:, layout.body[part.name]] for part in spec.bodies},
            way_temperature=outlet,
            way_flow={branch.name: flows[:, i] for i, branch in enumerate(spec.branches)},
            body_heat={part.name: heats[:, i] for i, part in enumerate(spec.bodies)},
            events=tuple(self.events),
            energy_closure=worst["energy"],
            node_closure=worst["node"],
            loop_closure=worst["loop"],
            flow_solutions=run.solutions,
            notes=tuple(notes),
        )
