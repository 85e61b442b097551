"""The network over time: thermal masses heat up and cool down while the flows follow the coolant's viscosity."""

from dataclasses import replace

import numpy as np

from thermo_kit.laws.closure import closed
from thermo_kit.substances.coolant import HIGHEST_TEMPERATURE as HOTTEST
from thermo_kit.substances.coolant_table import coolant_table
from thermo_kit.systems.coolant_network.changes import with_chillers_off
from thermo_kit.systems.coolant_network.faults import apply_faults
from thermo_kit.systems.coolant_network.flows import graph_of, solve_flows
from thermo_kit.systems.coolant_network.heat import build_heat_system, lay_out
from thermo_kit.systems.coolant_network.result import Event, SimulationResult
from thermo_kit.systems.coolant_network.steady import check_not_frozen, heat_flows, way_temperatures
from thermo_kit.units import Checks

VISCOSITY_CHANGE = 0.03
"""Flows are solved anew once the viscosity of any branch has changed by this share."""
_GAMMA = 1.0 - 0.5**0.5


class _Run:
    """The state of one run; it lives only inside `simulate_network`."""

    def __init__(self, spec, scenario, cells_at_part):
        self.table = coolant_table(spec.coolant, spec.mass_fraction)
        self.graph = graph_of(spec)
        self.layout = lay_out(spec, self.graph, cells_at_part)
        self.temperature = np.full(self.layout.size, scenario.initial_temperature)
        starts = dict(scenario.initial_bodies)
        for part in spec.bodies:
            if part.role in starts:
                self.temperature[self.layout.body[part.name]] = starts[part.role]
        self.flows = self.viscosity = self.spec = None
        self.worst = {"node": 0.0, "loop": 0.0, "energy": 0.0}
        self.matrices = {}
        self.asking = {branch.name: False for branch in spec.branches if branch.chiller and branch.chiller.body}

    def change(self, spec):
        """Take over new conditions; the places of all temperatures stay."""
        old = self.spec
        self.wanted = spec
        self.ask_thermostats()
        self.spec, self.matrices = self._as_asked(), {}
        self.table = coolant_table(spec.coolant, spec.mass_fraction)
        if old is None or _hydraulics(spec) != _hydraulics(old):
            self.graph = graph_of(spec)
            self.flows = None
        else:
            self._rebuild()

    def ask_thermostats(self):
        """Return whether any chiller's thermostat has switched."""
        before = dict(self.asking)
        for branch in self.wanted.branches:
            if branch.name in self.asking:
                value = self.temperature[self.layout.body[branch.chiller.body]]
                limit = branch.chiller.off_below if self.asking[branch.name] else branch.chiller.on_above
                self.asking[branch.name] = bool(value > limit)
        return self.asking != before

    def _as_asked(self):
        off = [name for name, asks in self.asking.items() if not asks]
        return with_chillers_off(self.wanted, off) if off else self.wanted

    def follow_viscosity(self):
        means = way_temperatures(self.graph, self.layout, self.temperature)
        viscosity = self.table.viscosity(means)
        if self.flows is not None and np.max(np.abs(viscosity / self.viscosity - 1.0)) < VISCOSITY_CHANGE:
            return
        guess = self.flows.mass_flow if self.flows is not None else None
        self.flows = solve_flows(self.graph, density=self.table.density(means), viscosity=viscosity, guess=guess)
        self.viscosity = viscosity
        self.worst["node"] = max(self.worst["node"], self.flows.node_closure)
        self.worst["loop"] = max(self.worst["loop"], self.flows.loop_closure)
        self._rebuild()

    def _rebuild(self):
        self.matrices = {}
        mean = float(np.average(np.clip(self.temperature, 200.0, HOTTEST), weights=self.layout.volume))
        self.system = build_heat_system(
            self.spec,
            self.graph,
            self.layout,
            flow=self.flows.mass_flow,
            density=float(self.table.density(mean)),
            specific_heat=float(self.table.specific_heat(mean)),
        )

    def advance(self, dt):
        """One step of a second-order implicit scheme (two stages, L-stable), with its heat balance.

        The library's integrators with events (BDF, LSODA, Radau of scipy) took 1.8 to 2.7 times as long for an hour,
        at five and more times the error: each change of viscosity or of the drive starts them anew.
        """
        key = round(dt, 9)
        if key not in self.matrices:
            rates = self.system.matrix / self.system.capacity[:, None]
            self.matrices[key] = np.linalg.inv(np.eye(len(rates)) - _GAMMA * dt * rates)
        inverse = self.matrices[key]
        source = self.system.load / self.system.capacity
        old = self.temperature - self.system.ambient
        first = inverse @ (old + _GAMMA * dt * source)
        slope = (first - old) / (_GAMMA * dt)
        new = inverse @ (old + (1.0 - _GAMMA) * dt * slope + _GAMMA * dt * source)
        gained = self.system.capacity * (new - old)
        # Heat flows are linear in temperature, so those of the two stages are those of their mean.
        mean = (1.0 - _GAMMA) * first + _GAMMA * new + self.system.ambient
        came = dt * np.array([*heat_flows(self.system, mean).values()])
        # Heat carried around counts as moved too, so that a soak without sources has a scale.
        moved = float(np.abs(came).sum() + np.abs(gained).sum())
        self.worst["energy"] = max(self.worst["energy"], abs(float(gained.sum() - came.sum())) / max(moved, 1.0))
        self.temperature = new + self.system.ambient


def simulate_network(spec, scenario, *, faults=(), fault_time=0.0, step=2.0, record_every=10.0, cells_at_part=4):
    """Return temperatures and flows of a network over a scenario, with faults that strike at a given time.

    Parameters
    ----------
    spec : NetworkSpec. The network; its ambient temperature, speed and heats are replaced by the scenario's.
    scenario : Scenario. What the vehicle does.
    faults : tuple of NetworkFault. What goes wrong.
    fault_time : float, [s]. When it goes wrong, 0 to 86400.
    step : float, [s]. Longest time step, 0.05 to 60.
    record_every : float, [s]. Spacing of the recorded times, at least one step.
    cells_at_part : int. Cells along each branch with a part, 1 to 50.

    Returns: SimulationResult. Histories, events, closures. Raises InputError if network, scenario and faults do not fit
        together; OutOfRangeError if the coolant would be frozen at the start; NoSolutionError if flows do not settle or
        a balance does not close.

    Notes: No control steps in: a part over its limit heats on, where a real control would cut its power. Coolant data
        are held above 100 °C. The flow has no inertia (it settles within seconds in a vehicle). The coolant changes at
        once with the fault "wrong mixture".

    References: Alexander 1977, diagonally implicit Runge-Kutta methods (two stages, order 2, L-stable).

    Examples
    --------
    >>> from thermo_kit.systems.coolant_network.layouts import load_layout
    >>> from thermo_kit.systems.coolant_network.scenario import fast_charge
    >>> run = simulate_network(load_layout("two_loops"), fast_charge(duration=600.0))
    >>> run.energy_closure < 1e-6
    True
    """
    with Checks() as checks:
        checks.within("time of the fault", fault_time, 0.0, 86400.0, kind="time")
        checks.within("time step", step, 0.05, 60.0, kind="time")
        checks.within("recording interval", record_every, step, 86400.0, kind="time")
        checks.whole("cells at a part", cells_at_part, 1, 50)
    table = coolant_table(spec.coolant, spec.mass_fraction)
    for what, value in (
        ("ambient temperature", scenario.ambient_temperature),
        ("initial temperature", scenario.initial_temperature),
    ):
        check_not_frozen(table.freezing_point, what, value)
    run = _Run(spec, scenario, cells_at_part)
    book = _Book(spec, run, record_every)
    now = 0.0
    book.write(now)
    for length, segment, faulty in _pieces(scenario, faults, fault_time):
        run.change(conditions(spec, scenario, segment, faults if faulty else ()))
        steps = max(int(np.ceil(length / step - 1e-9)), 1)
        dt = length / steps
        for number in range(1, steps + 1):
            if run.asking and run.ask_thermostats():
                run.change(run.wanted)
            run.follow_viscosity()
            run.advance(dt)
            book.write(now + number * dt, last=number == steps)
        now += length
    return book.result(scenario)


class _Book:
    """Keeps what is recorded and notices what is worth saying."""

    def __init__(self, spec, run, every):
        self.spec, self.run, self.every = spec, run, every
        self.next = 0.0
        self.times, self.states, self.flows = [], [], []
        self.events = {}

    def write(self, time, last=False):
        """Look at the state and record it if its time has come; time [s]."""
        self._watch(time)
        if time >= self.next - 1e-9 or last:
            self.times.append(time)
            self.states.append(self.run.temperature)
            self.flows.append(self.run.flows and self.run.flows.mass_flow[: len(self.spec.branches)])
            self.next = time + self.every

    def _watch(self, time):
        state, layout = self.run.temperature, self.run.layout
        for part in self.spec.bodies:
            if state[layout.body[part.name]] > part.temperature_limit:
                self._say(time, part.name, "over limit", part.temperature_limit)
        coolant, freezing = state[: layout.size - len(layout.body)], self.run.table.freezing_point
        if np.max(coolant) > HOTTEST:
            self._say(time, "coolant", "may boil", HOTTEST)
        if np.min(coolant) < freezing:
            self._say(time, "coolant", "slush", freezing)

    def _say(self, time, part, kind, temperature):
        self.events.setdefault((part, kind), Event(float(time), part, kind, temperature))

    def result(self, scenario):
        """Return the whole record, if every balance closed."""
        spec, layout, worst = self.spec, self.run.layout, self.run.worst
        closed(**worst)
        states = np.array(self.states)
        # At the start nothing has been solved yet: the first flows stand there too.
        flows = np.array([self.flows[1] if flow is None else flow for flow in self.flows])
        outlet = {}
        for i, branch in enumerate(spec.branches):
            ends = layout.first[i], layout.first[i] + layout.count[i] - 1
            outlet[branch.name] = np.where(flows[:, i] >= 0.0, states[:, ends[1]], states[:, ends[0]])
        return SimulationResult(
            spec=spec,
            scenario=scenario,
            time=np.array(self.times),
            body_temperature={part.name: states[:, layout.body[part.name]] for part in spec.bodies},
            way_temperature=outlet,
            way_flow={branch.name: flows[:, i] for i, branch in enumerate(spec.branches)},
            events=tuple(self.events.values()),
            energy_closure=worst["energy"],
            node_closure=worst["node"],
            loop_closure=worst["loop"],
        )


def _pieces(scenario, faults, fault_time):
    """Yield (length, segment, faulty), segments being cut where the fault strikes."""
    start = 0.0
    for segment in scenario.segments:
        end = start + segment.duration
        if faults and start < fault_time < end:
            yield fault_time - start, segment, False
            yield end - fault_time, segment, True
        else:
            yield segment.duration, segment, bool(faults) and start >= fault_time
        start = end


def conditions(spec, scenario, segment, faults=()):
    """Return the network as one segment of a scenario runs it."""
    heat = dict(segment.heat)
    count = {role: sum(part.role == role for part in spec.bodies) for role in heat}
    bodies = tuple(
        replace(part, heat=heat[part.role] / count[part.role]) if part.role in heat else part for part in spec.bodies
    )
    branches = tuple(_switched(branch, segment) for branch in spec.branches)
    changed = replace(
        spec,
        bodies=bodies,
        branches=branches,
        ambient_temperature=scenario.ambient_temperature,
        vehicle_speed=segment.vehicle_speed,
    )
    return apply_faults(changed, faults)


def _switched(branch, segment):
    if branch.pump and not segment.pumps_running:
        return replace(branch, pump=replace(branch.pump, speed_share=0.0))
    if branch.radiator and not segment.fans_running:
        return replace(branch, radiator=replace(branch.radiator, fan_speed_share=0.0))
    if branch.chiller and not segment.chillers_running:
        return replace(branch, chiller=replace(branch.chiller, running=False))
    return branch


def _hydraulics(spec):
    return (
        [(branch.passage, branch.pump) for branch in spec.branches],
        spec.valves,
        spec.coolant,
        spec.mass_fraction,
        spec.faults,
    )
