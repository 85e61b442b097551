"""The network over time: what the vehicle does, and how masses heat while flows follow the coolant's viscosity."""

import itertools
from dataclasses import dataclass, replace

import numpy as np

from thermo_kit.laws.closure import closed
from thermo_kit.laws.constants import GRAVITY
from thermo_kit.substances.coolant import HIGHEST_TEMPERATURE as HOTTEST
from thermo_kit.substances.coolant import coolant_table
from thermo_kit.systems.coolant_network.faults import apply_faults, with_parts_off
from thermo_kit.systems.coolant_network.flows import graph_of, solve_flows
from thermo_kit.systems.coolant_network.spec import ROLES, NetworkSpec
from thermo_kit.systems.coolant_network.steady import build_heat_system, check_not_frozen, lay_out, way_temperatures
from thermo_kit.units import Checks, Part, Spec, flag, quantity, several, within_ranges, word

AIR_DENSITY = 1.2


class Segment(Spec):
    """A stretch of time with constant conditions.

    heat: pairs (role, heat [W]), shared by all bodies of that role
    """

    duration: float = quantity("time", 0.0, 86400.0, "duration of the segment", exclusive=True)
    vehicle_speed: float = quantity("driving_speed", 0.0, 60.0, "speed in the segment", 0.0)
    heat: tuple[tuple[str, float], ...] = ()
    pumps_running: bool = flag("pumps running", True)
    fans_running: bool = flag("fans running", True)
    chillers_running: bool = flag("chillers running", True)

    def fit(self, checks):
        for role, watts in self.heat:
            checks.one_of("role in the segment", role, ROLES)
            checks.within(f"heat of {role} in the segment", watts, -1e5, 1e6, kind="power")


class Scenario(Spec):
    """A run of segments with its surroundings.

    Everything starts at the initial temperature, that of the air outside where none is given, but for initial_bodies:
    pairs (role, temperature [K])
    """

    name: str = word("name of the scenario")
    segments: tuple[Segment, ...] = several(
        Part(Segment, "segment"), 1, 20000, advice="give one stretch of time or more"
    )
    ambient_temperature: float = quantity("temperature", 223.15, 328.15, "ambient temperature", 298.15)
    initial_temperature: float | None = quantity("temperature", 223.15, 373.15, "initial temperature", None)
    initial_bodies: tuple[tuple[str, float], ...] = ()

    def fit(self, checks):
        if self.initial_temperature is None:
            object.__setattr__(self, "initial_temperature", self.ambient_temperature)
        for role, value in self.initial_bodies:
            checks.one_of("role of an initial body", role, ROLES)
            checks.within(f"initial temperature of {role}", value, 223.15, 423.15, kind="temperature")

    @property
    def duration(self):
        """Length of the whole run [s], by arithmetic."""
        return sum(segment.duration for segment in self.segments)


# An invented delivery round: (seconds, km/h, climb in %), ten minutes long.
_ROUND = (
    (30, 0, 0), (40, 25, 0), (60, 50, 0), (40, 35, 3), (30, 0, 0), (50, 45, 2), (80, 70, 0), (70, 80, 3),
    (60, 90, 0), (50, 60, -2), (40, 30, 0), (50, 50, 4),
)  # fmt: skip
VAN_MASS = 3300.0
_DRAG_AREA, _ROLLING = 3.2, 0.010
_MOTOR_LOSS, _INVERTER_LOSS, _BATTERY_LOSS_AT_40_KW = 0.10, 0.035, 1600.0


def drive_heat(vehicle_speed, climb):
    """Return the heat in battery, inverter and motor of the invented van at steady speed.

    vehicle_speed [m/s], climb [-] → [W].

    Notes: Mass 3300 kg, drag area 3.2 m², loss shares and the battery's loss at 40 kW are invented round numbers.

    References: Road load: rolling, climbing and air drag, any textbook of vehicle dynamics; battery loss ~ current².

    Examples
    --------
    >>> sorted(drive_heat(0.0, 0.0))
    ['battery', 'inverter', 'motor']
    """
    force = VAN_MASS * GRAVITY * (_ROLLING + climb) + 0.5 * AIR_DENSITY * _DRAG_AREA * vehicle_speed**2
    wheel = abs(force * vehicle_speed)
    battery = _BATTERY_LOSS_AT_40_KW * ((wheel + 500.0) / 40e3) ** 2
    return {"battery": battery, "inverter": 60.0 + _INVERTER_LOSS * wheel, "motor": _MOTOR_LOSS * wheel}


def drive(*, duration=3600.0, ambient_temperature=308.15):
    """Return an invented delivery round, repeated until the time is up.

    Parameters
    ----------
    duration : float, [s]. Length, above 0 to 86400.
    ambient_temperature : float, [K]. Air outside and everything at the start.

    Returns: Scenario. The round. Raises InputError if a value is outside its range.

    Notes: The round is invented; the electric coolant heater is off.

    Examples
    --------
    >>> drive(duration=600.0).duration
    600.0
    """
    _check(duration)
    segments, left = [], float(duration)
    for seconds, speed, climb in itertools.cycle(_ROUND):
        if left <= 0.0 or len(segments) == 20000:
            break
        heat = {**drive_heat(speed / 3.6, climb / 100.0), "heater": 0.0}
        time = min(float(seconds), left)
        segments.append(Segment(duration=time, vehicle_speed=speed / 3.6, heat=tuple(heat.items())))
        left -= time
    return Scenario(name="drive", segments=tuple(segments), ambient_temperature=ambient_temperature)


def fast_charge(*, duration=1800.0, ambient_temperature=308.15):
    """Return a fast charge: the battery heats, inverter and motor rest, no driving wind.

    Parameters
    ----------
    duration : float, [s]. Length, above 0 to 86400; the last quarter runs at 40 % of the heat, as charging tapers off.
    ambient_temperature : float, [K]. Air outside and everything at the start.

    Returns: Scenario. The charge. Raises InputError if a value is outside its range.

    Notes: Heats and times are invented, 6 kW in the battery among them.

    Examples
    --------
    >>> fast_charge().duration
    1800.0
    """
    _check(duration)
    rest = (("inverter", 80.0), ("motor", 0.0), ("heater", 0.0))
    segments = tuple(
        Segment(duration=share * duration, heat=(("battery", battery), *rest))
        for share, battery in ((0.75, 6000.0), (0.25, 2400.0))
    )
    return Scenario(name="fast charge", segments=segments, ambient_temperature=ambient_temperature)


def hot_soak(*, duration=3600.0, ambient_temperature=313.15, after_run=0.0):
    """Return a hot soak: parked in the heat right after a hard drive, everything switched off.

    Parameters
    ----------
    duration : float, [s]. Time parked, above 0 to 86400.
    ambient_temperature : float, [K]. Air outside.
    after_run : float, [s]. Pumps and fans run on for so long, 0 to duration.

    Returns: Scenario. The soak; motor at 110 °C, inverter at 75 °C, battery at 38 °C at the start (invented). Raises
        InputError if a value is outside its range.

    Notes: Temperatures and times are invented.

    Examples
    --------
    >>> len(hot_soak(after_run=300.0).segments)
    2
    """
    _check(duration)
    within_ranges(("time of the after-run", after_run, 0.0, duration, "time"))
    heat = tuple((role, 0.0) for role in ROLES)
    segments = [
        Segment(duration=time, heat=heat, pumps_running=runs, fans_running=runs, chillers_running=False)
        for time, runs in ((after_run, True), (duration - after_run, False))
        if time > 0.0
    ]
    return Scenario(
        name="hot soak",
        segments=tuple(segments),
        ambient_temperature=ambient_temperature,
        initial_temperature=328.15,
        initial_bodies=(("motor", 383.15), ("inverter", 348.15), ("battery", 311.15)),
    )


def _check(duration):
    """Refuse a time that no segment could be made of; duration [s]."""
    with Checks() as checks:
        checks.within("duration", duration, 0.0, 86400.0, kind="time", exclusive=True)


VISCOSITY_CHANGE = 0.03
"""Flows are solved anew once the viscosity of any branch has changed by this share."""
_GAMMA = 1.0 - 0.5**0.5


@dataclass(frozen=True, slots=True)
class Event:
    """Something worth saying: time [s], part, kind, the temperature that was passed [K].

    kind: "over limit": a body is too hot; "may boil", "slush": the coolant is, somewhere, above its data or below
    freezing
    """

    time: float
    part: str
    kind: str
    temperature: float


@dataclass(frozen=True, eq=False)
class SimulationResult:
    """A run over time, at the recorded times [s].

    body_temperature and way_temperature (outlet of each branch) [K], way_flow [kg/s]: dicts of arrays by name; events
    in order; energy_closure, node_closure, loop_closure: largest of the run, relative.
    """

    spec: NetworkSpec
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


class _Run:
    """The state of one run and what is recorded of it; it lives only inside `simulate_network`."""

    def __init__(self, spec, scenario, every):
        self.whole, self.every, self.next = spec, every, 0.0
        self.times, self.states, self.moved, self.events = [], [], [], {}
        self.table = coolant_table(spec.coolant, spec.mass_fraction)
        self.graph, self.layout = graph_of(spec), lay_out(spec)
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
        old, self.wanted = self.spec, spec
        self.ask_thermostats()
        off = [name for name, asks in self.asking.items() if not asks]
        self.spec, self.matrices = with_parts_off(spec, "chiller", off) if off else spec, {}
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

    def follow_viscosity(self):
        means = way_temperatures(self.graph, self.layout, self.temperature)
        viscosity, guess = self.table.viscosity(means), None
        if self.flows is not None:
            if np.max(np.abs(viscosity / self.viscosity - 1.0)) < VISCOSITY_CHANGE:
                return
            guess = self.flows.mass_flow
        self.flows = solve_flows(self.graph, density=self.table.density(means), viscosity=viscosity, guess=guess)
        self.viscosity = viscosity
        self.worst["node"] = max(self.worst["node"], self.flows.node_closure)
        self.worst["loop"] = max(self.worst["loop"], self.flows.loop_closure)
        self._rebuild()

    def _rebuild(self):
        self.matrices = {}
        self.system = build_heat_system(
            self.spec, self.graph, self.layout, self.table, flow=self.flows.mass_flow, temperature=self.temperature
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
        came = dt * np.array([*self.system.heats(mean).values()])
        # Heat carried around counts as moved too, so that a soak without sources has a scale.
        moved = float(np.abs(came).sum() + np.abs(gained).sum())
        self.worst["energy"] = max(self.worst["energy"], abs(float(gained.sum() - came.sum())) / max(moved, 1.0))
        self.temperature = new + self.system.ambient

    def write(self, time, last=False):
        """Look at the state and record it if its time has come; time [s]."""
        state, layout = self.temperature, self.layout
        coolant, freezing = state[: layout.size - len(layout.body)], self.table.freezing_point
        passed = [
            (part.name, "over limit", part.temperature_limit)
            for part in self.whole.bodies
            if state[layout.body[part.name]] > part.temperature_limit
        ]
        if np.max(coolant) > HOTTEST:
            passed.append(("coolant", "may boil", HOTTEST))
        if np.min(coolant) < freezing:
            passed.append(("coolant", "slush", freezing))
        for part, kind, limit in passed:
            self.events.setdefault((part, kind), Event(float(time), part, kind, limit))
        if time >= self.next - 1e-9 or last:
            self.times.append(time)
            self.states.append(state)
            self.moved.append(self.flows and self.flows.mass_flow[: len(self.whole.branches)])
            self.next = time + self.every

    def result(self):
        """Return the whole record, if every balance closed."""
        spec, layout, states = self.whole, self.layout, np.array(self.states)
        # At the start nothing has been solved yet: the first flows stand there too.
        flows = np.array([self.moved[1] if flow is None else flow for flow in self.moved])
        first, last = layout.first, layout.first + layout.count - 1
        outlet = np.where(flows >= 0.0, states[:, last], states[:, first])
        names = [branch.name for branch in spec.branches]
        closed(**self.worst)
        return SimulationResult(
            spec=spec,
            time=np.array(self.times),
            body_temperature={part.name: states[:, layout.body[part.name]] for part in spec.bodies},
            way_temperature=dict(zip(names, outlet.T, strict=True)),
            way_flow=dict(zip(names, flows.T, strict=True)),
            events=tuple(self.events.values()),
            **{f"{name}_closure": value for name, value in self.worst.items()},
        )


def simulate_network(spec, scenario, *, faults=(), fault_time=0.0, step=2.0, record_every=10.0):
    """Return temperatures and flows of a network over a scenario, with faults that strike at a given time.

    Parameters
    ----------
    spec : NetworkSpec. The network; its ambient temperature, speed and heats are replaced by the scenario's.
    scenario : Scenario. What the vehicle does.
    faults : tuple of NetworkFault. What goes wrong.
    fault_time : float, [s]. When it goes wrong, 0 to 86400.
    step : float, [s]. Longest time step, 0.05 to 60.
    record_every : float, [s]. Spacing of the recorded times, at least one step.

    Returns: SimulationResult. Histories, events, closures. Raises InputError if network, scenario and faults do not fit
        together; OutOfRangeError if the coolant would be frozen at the start; NoSolutionError if flows do not settle or
        a balance does not close.

    Notes: No control steps in: a part over its limit heats on, where a real control would cut its power. Coolant data
        are held above 100 °C. The flow has no inertia (it settles within seconds in a vehicle). The coolant changes at
        once with the fault "wrong mixture".

    References: Alexander 1977, diagonally implicit Runge-Kutta methods (two stages, order 2, L-stable).

    Examples
    --------
    >>> from thermo_kit.systems.coolant_network.spec import load_layout
    >>> from thermo_kit.systems.coolant_network.simulate import fast_charge
    >>> simulate_network(load_layout("two_loops"), fast_charge(duration=600.0)).energy_closure < 1e-6
    True
    """
    with Checks() as checks:
        checks.within("time of the fault", fault_time, 0.0, 86400.0, kind="time")
        checks.within("time step", step, 0.05, 60.0, kind="time")
        checks.within("recording interval", record_every, step, 86400.0, kind="time")
    run, now = _Run(spec, scenario, record_every), 0.0
    for what in ("ambient", "initial"):
        check_not_frozen(run.table.freezing_point, f"{what} temperature", getattr(scenario, f"{what}_temperature"))
    run.write(now)
    for length, segment, faulty in _pieces(scenario, faults, fault_time):
        run.change(conditions(spec, scenario, segment, faults if faulty else ()))
        steps = max(int(np.ceil(length / step - 1e-9)), 1)
        dt = length / steps
        for number in range(1, steps + 1):
            if run.asking and run.ask_thermostats():
                run.change(run.wanted)
            run.follow_viscosity()
            run.advance(dt)
            run.write(now + number * dt, last=number == steps)
        now += length
    return run.result()


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
    air = {"ambient_temperature": scenario.ambient_temperature, "vehicle_speed": segment.vehicle_speed}
    spec = replace(spec, bodies=bodies, **air)
    for part, runs in (
        ("pump", segment.pumps_running),
        ("radiator", segment.fans_running),
        ("chiller", segment.chillers_running),
    ):
        spec = spec if runs else with_parts_off(spec, part)
    return apply_faults(spec, faults)


def _hydraulics(spec):
    return (
        [(branch.passage, branch.pump) for branch in spec.branches],
        spec.valves,
        spec.coolant,
        spec.mass_fraction,
        spec.faults,
    )
