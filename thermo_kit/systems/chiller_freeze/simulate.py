"""The freeze transient: stiff integration between the events that change the circuit, and what comes of it."""

import copy
import itertools
from dataclasses import dataclass, replace

import numpy as np

from thermo_kit.errors import NoSolutionError
from thermo_kit.laws.closure import closed
from thermo_kit.systems import guard_table as guard
from thermo_kit.systems.chiller_freeze.circuit import Mode
from thermo_kit.systems.chiller_freeze.model import ChillerModel, linear, settled
from thermo_kit.systems.chiller_freeze.spec import FreezeSpec, GuardSettings
from thermo_kit.units import Amount, Said

NO_ICE, SLUSH, BLOCKED, BURST = "no ice", "slush", "blocked", "burst"
OUTCOMES = (NO_ICE, SLUSH, BLOCKED, BURST)
"""From harmless to broken: no ice; slush that still flows; a channel blocked but whole; plates burst."""


@dataclass(frozen=True)
class GuardStep:
    """One step of the protection: time [s], event and new state in words."""

    time: float
    event: str
    state: str


@dataclass(frozen=True)
class FreezeResult:
    """How the case goes. Times are None where it never happens; histories are tuples along `time`.

    spec: what was asked; outcome: one of OUTCOMES
    first_ice_time [s]: a layer of coolant reaches its freezing point
    wall_below_freezing_time [s]: the coldest plate passes the freezing point
    blocked_time [s]: the first channel section holds more ice than slush flows with
    burst_time [s]: its pressure passes what the plates bear
    valve_closed_time [s]; compressor_stopped_time [s]
    peak_ice [kg/kg]: highest share over a channel section
    freezing_point [K] of the coolant
    start_evaporating_temperature [K]: before the failure
    energy_closure: largest gap of the energy balance at any output over the heat moved until then [-]
    mass_closure: largest gap of the refrigerant balance over its mass [-]
    guard_steps: what the protection did; notes: limits of this answer
    time [s]; evaporating_pressure [Pa]; evaporating_temperature [K]; coldest_plate_temperature [K];
    mean_coolant_temperature [K]; coolant_flow [kg/s]; ice [kg/kg] in the fullest
    section; cooling_capacity [W]
    """

    spec: FreezeSpec
    outcome: str
    first_ice_time: float | None
    wall_below_freezing_time: float | None
    blocked_time: float | None
    burst_time: float | None
    valve_closed_time: float | None
    compressor_stopped_time: float | None
    peak_ice: float
    freezing_point: float
    start_evaporating_temperature: float
    energy_closure: float
    mass_closure: float
    guard_steps: tuple
    time: tuple
    evaporating_pressure: tuple
    evaporating_temperature: tuple
    coldest_plate_temperature: tuple
    mean_coolant_temperature: tuple
    coolant_flow: tuple
    ice: tuple
    cooling_capacity: tuple
    notes: tuple

    @property
    def failed(self):
        """Names of the guards that have failed."""
        return self.spec.guards.failed if self.spec.guards else ()


def read_result(run, times):
    """Return the result of a case that has run; times [s]."""
    model, spec = run.model, run.spec
    Y, modes = run.at(times)
    layers, plates, mass, energy, _, through, moved, refrigerant = model.split(Y)
    circuit, table = model.circuit, model.circuit.table
    T = np.array([table.pool(*pool, circuit.volume)[2] for pool in zip(mass.tolist(), energy.tolist(), strict=True)])
    ice = model.curve.ice_at(layers)
    coolant = model.curve.temperature_at(layers)
    stored = model.stored(Y)
    if T.min() < table.coldest - 0.5 or T.max() > table.temperature[-1] or mass.min() <= 0.0:
        raise NoSolutionError.about("freeze transient", "left the refrigerant's table", "", "check the high side")
    energy_closure = float(np.max(np.abs(stored - stored[0] - through) / np.maximum(moved, 1.0)))
    mass_closure = float(np.max(np.abs(mass - mass[0] - refrigerant)) / mass[0])
    closed(freeze_transient_energy=energy_closure, freeze_transient_mass=mass_closure)
    boiled = [model.boiling_heat(plates[:, i], mass[i], energy[i], mode).sum() for i, mode in enumerate(modes)]
    section = ice.mean(axis=0)
    shares = [model.flow_share(min(t, np.nextafter(run.t, 0.0))) for t in times]
    flow = model.flow(ice, np.array(shares), coolant)
    marks = run.marks
    outcome = NO_ICE
    for name, word in (("ice", SLUSH), ("blocked", BLOCKED), ("burst", BURST)):
        outcome = word if name in marks else outcome
    return FreezeResult(
        spec=spec,
        outcome=outcome,
        first_ice_time=marks.get("ice"),
        wall_below_freezing_time=marks.get("wall"),
        blocked_time=marks.get("blocked"),
        burst_time=marks.get("burst"),
        valve_closed_time=marks.get("shut"),
        compressor_stopped_time=marks.get("stopped"),
        peak_ice=float(section.max()),
        freezing_point=model.curve.freezing_point,
        start_evaporating_temperature=float(T[0]),
        energy_closure=energy_closure,
        mass_closure=mass_closure,
        guard_steps=tuple(run.steps),
        time=_row(times),
        evaporating_pressure=_row(table.read("pressure", T)),
        evaporating_temperature=_row(T),
        coldest_plate_temperature=_row(plates.min(axis=0)),
        mean_coolant_temperature=_row(coolant.mean(axis=(0, 1))),
        coolant_flow=_row(flow),
        ice=_row(section.max(axis=0)),
        cooling_capacity=_row(boiled),
        notes=tuple(_notes(run, T)),
    )


def _row(values):
    return tuple(np.asarray(values, dtype=float).tolist())


def _notes(run, T):
    if run.spec.valve_leak >= 0.5:
        yield "the shut-off valve hardly closes: half of the feed or more passes it"
    if T.min() < run.model.circuit.table.coldest + 8.0:
        yield ("the boiling temperature fell to the end of the refrigerant table: the pressure shown is too high there")
    if "ice" in run.marks:
        yield "real coolant may undercool by some kelvin before the first crystal, then freezes at once"


_MARKS = ("wall", "ice", "blocked", "burst", "flow watch", "cold watch", "pressure watch")
_MOST_STEPS = 20000
_LEAST_POINTS = 61


def simulate_chiller_freeze(spec, *, outputs=121):
    """Return what happens in a chiller when its coolant flow fails while refrigerant still feeds it.

    Parameters
    ----------
    spec : FreezeSpec. Chiller, circuit, failure, protection.
    outputs : int
        How many points of the histories, evenly over the duration; at least 61 of them if a burst ends it early.

    Returns: FreezeResult. Times of the first ice, of a blocked channel, of a burst; histories; balances. Raises
        NoSolutionError if the chiller freezes already with its pump running, or the balance does not close.

    Notes: Ice forms without undercooling. Slush is taken to flow up to slush_limit by mass; the published table of
        freeze and burst protection of glycol implies 0.29 to 0.34 (this package's own reckoning from it). A channel
        whose section holds more is blocked, and what freezes in it further presses on the plates (9 % expansion against
        the stiffness of water); above burst_pressure they burst. The same limit is used for water, since the corrugated
        gap closes first where the plates touch. These are assumptions on the safe side, as are the guards' settings.
        The pool of refrigerant has one temperature; plates are cooled evenly by all channels. A real chiller may fail
        earlier in one channel that is fed unevenly. Times are good for comparison, perhaps ±30 % in themselves (a
        judgement, no source).

    References: Enthalpy method: Alexiades & Solomon 1993. Films: Martin 1996, Amalfi et al. 2016. Slush: lever rule.
        Freeze and burst table: Math for HVACR, 2018, chapter 5, table of hydronic system mixtures. Integrator: LSODA,
        Petzold, SIAM J. Sci. Stat. Comput. 4 (1983) 136-148, in scipy.
    """
    return Run(spec).to_result(outputs)


def failure_table(spec, *, most=2):
    """Return what happens with every guard healthy, with each one failed, and with each pair failed.

    Parameters
    ----------
    spec : FreezeSpec. The case; where it has no guards, those of `GuardSettings()` are set.
    most : int. How many guards fail together at most, 0 to 4.

    Returns: tuple of FreezeResult. No failure first, then single ones, then pairs, in the order of GUARD_NAMES. Raises
        NoSolutionError if the chiller freezes already with its pump running.

    Notes: Each failure is total: a failed watch never reports, a failed valve stays open. See
        `simulate_chiller_freeze`.

    References: The sources of `simulate_chiller_freeze`; the protection itself is an invented one.
    """
    guards = spec.guards or GuardSettings()
    rows = []
    model = start = None
    for count in range(int(most) + 1):
        for failed in itertools.combinations(guard.GUARD_NAMES, count):
            case = replace(spec, guards=replace(guards, failed=failed))
            run = Run(case, model, start)
            # The guards change nothing before the failure: one model and one start serve all.
            model, start = run.model, run.start_y
            rows.append(run.to_result(_LEAST_POINTS))
    return tuple(rows)


class Run:
    """One case on its way: state, protection, marks passed; keeps every step so that it can be read or resumed."""

    def __init__(self, spec, model=None, start=None, *, rtol=1e-4):
        self.spec, self.rtol = spec, rtol
        self.model = model or ChillerModel(spec)
        self.state = guard.GuardState.WATCHING
        self.t, self.y = 0.0, settled(self.model) if start is None else start.copy()
        self.start_y = self.y.copy()
        self.marks, self.steps, self.pieces = {}, [], []
        self.pending = []
        self.cold_limit = spec.guards and spec.guards.cold_limit
        if spec.guards and self.cold_limit is None:
            self.cold_limit = self.model.curve.freezing_point + 3.0
        if spec.reaction_time is not None:
            self._schedule(spec.reaction_time, guard.GuardEvent.ORDERED)

    def resumed(self, t, y):
        """Return a case that goes on from a state with the valve just closed, nothing else changed; t [s], y [SI]."""
        run = copy.copy(self)
        run.state, run.t, run.y, run.start_y = guard.GuardState.FEED_SHUT, t, y.copy(), y
        run.marks, run.steps, run.pieces, run.pending, run.cold_limit = {}, [], [], [], None
        return run

    def _schedule(self, t, event):
        self.pending = sorted([*self.pending, (t, event)], key=lambda entry: entry[0])

    @property
    def mode(self):
        """Feed and compressor as the protection has left them."""
        feed = self.spec.valve_leak if guard.feed_is_shut(self.state) else 1.0
        return Mode(feed, guard.compressor_runs(self.state))

    def indicators(self, t, y):
        """Return one number per mark, which turns negative when the mark is passed; t [s], y [SI] → [-]."""
        model = self.model
        layers, plates, mass, energy, sensor, *_ = model.split(y)
        ice, coldest = model.curve.ice_at(layers), float(layers.min())
        # Enthalpy counts from liquid at the freezing point: above 0 there is no ice to look for.
        fullest = float(model.fullest(ice)) if coldest < 0.0 else 0.0
        marks = [
            float(plates.min()) - model.curve.freezing_point,
            coldest + 1.0,
            self.spec.slush_limit - fullest,
            self.spec.burst_pressure - model.trapped_pressure(fullest),
        ]
        if self.cold_limit is None:
            return np.array([*marks, 1.0, 1.0, 1.0])
        coolant = model.curve.temperature_at(layers)
        flow = float(model.flow(ice, model.flow_share(t), coolant)) / self.spec.coolant_flow
        pressure = model.circuit.table.pool(float(mass), float(energy), model.circuit.volume)[3]
        return np.array([*marks, flow - self.spec.guards.flow_limit, float(sensor) - self.cold_limit,
                         pressure - self.spec.guards.pressure_limit])  # fmt: skip

    def go(self, until, *, stop=None):
        """Integrate to a time, to the burst, or until told to stop; until [s]."""
        corners = [t for t in self.model.times if t > 0.0]
        while self.t < until and "burst" not in self.marks:
            while self.pending and self.pending[0][0] <= self.t + 1e-9:
                self._handle(self.pending.pop(0)[1])
            ends = [until] + [c for c in corners if c > self.t + 1e-9] + [p[0] for p in self.pending]
            if self._piece(min(ends), stop):
                return

    def _piece(self, end, stop):
        from scipy.integrate import LSODA

        mode, model, begin = self.mode, self.model, self.t
        # A step of the flow at the very end belongs to the next piece.
        last = np.nextafter(end, begin)

        def rates(t, y):
            return model.rates(min(t, last), y, mode)

        def slope(t, y):
            return linear(lambda columns: model.rates(min(t, last), columns, mode), y, model.scale)[1]

        cells = model.n * model.m
        atol = np.concatenate((np.full(cells, 30.0), np.full(model.n, 0.01), [1e-6, 0.2, 0.02, 50.0, 50.0, 1e-5]))
        atol *= self.rtol / 1e-4
        first = min(0.02, end - begin)
        solver = LSODA(rates, begin, self.y, end, rtol=self.rtol, atol=atol, jac=slope, first_step=first)
        before = self.indicators(begin, self.y)
        for index in np.flatnonzero(before <= 0.0):
            if _MARKS[index] not in self.marks:
                self._mark(index, begin)
        scheduled = len(self.pending)
        for _ in range(_MOST_STEPS):
            message = solver.step()
            if solver.status == "failed":
                limit = Said("at {}", Amount(solver.t, "time"))
                raise NoSolutionError.about("freeze transient", "stopped", limit, str(message))
            curve = solver.dense_output()
            self.pieces.append((solver.t_old, solver.t, curve, mode))
            after = self.indicators(min(solver.t, last), solver.y)
            crossed = [i for i in range(len(after)) if before[i] > 0.0 >= after[i] and _MARKS[i] not in self.marks]
            for index in crossed:
                self._mark(index, self._crossing(index, solver.t_old, solver.t, curve, last))
            if "burst" in self.marks:
                self.t = self.marks["burst"]
                self.y = curve(self.t)
                return True
            self.t, self.y, before = solver.t, solver.y.copy(), after
            if stop is not None and stop(self.t, self.y):
                return True
            if len(self.pending) > scheduled and self.pending[0][0] < end - 1e-9:
                self._back_to(max(self.pending[0][0], solver.t_old))
                return False
            if solver.status == "finished":
                self.t = end
                return False
        raise NoSolutionError.about("freeze transient", "takes too many steps", Said("by {}", Amount(solver.t, "time")))

    def _back_to(self, t):
        """Forget what was computed beyond a time at which the protection acts."""
        if t < self.t:
            self.t, self.y = t, self.pieces[-1][2](t)
            self.pieces[-1] = (self.pieces[-1][0], t, *self.pieces[-1][2:])
            self.marks = {name: when for name, when in self.marks.items() if when <= t}

    def _crossing(self, index, low, high, curve, last):
        from scipy.optimize import bisect

        def side(t):
            # The ends were seen to lie on both sides; the interpolant may miss them by a hair.
            return 1.0 if t <= low else -1.0 if t >= high else self.indicators(min(t, last), curve(t))[index] or -1.0

        return bisect(side, low, high, xtol=1e-4)

    def _mark(self, index, t):
        name = _MARKS[index]
        self.marks[name] = t
        if index >= 4 and name in self.spec.guards.events():
            event, delay = self.spec.guards.events()[name]
            self._schedule(t + delay, event)

    def _handle(self, event):
        state = guard.next_state(self.state, event)
        if state is self.state:
            return
        self.state = state
        self.steps.append(GuardStep(self.t, event.value, state.value))
        if guard.compressor_runs(state) is False:
            self.marks.setdefault("stopped", self.t)
        if guard.feed_is_shut(state):
            self.marks.setdefault("shut", self.t)
        if guard.valve_is_moving(state) and not any(e[1] in _ANSWERS for e in self.pending):
            guards = self.spec.guards
            travel = 0.0 if guards is None else guards.valve_time
            works = guards is None or guards.healthy("shut-off valve")
            self._schedule(self.t + travel, guard.GuardEvent.VALVE_CLOSED if works else guard.GuardEvent.VALVE_FAILED)

    def at(self, times):
        """Return states at some times already computed; times [s]."""
        ends = np.array([piece[1] for piece in self.pieces])
        index = np.minimum(np.searchsorted(ends, times), len(ends) - 1)
        columns = [self.pieces[i][2](t) for i, t in zip(index, times, strict=True)]
        return np.column_stack(columns), [self.pieces[i][3] for i in index]

    def to_result(self, outputs):
        """Run to the end and read the result."""
        self.go(self.spec.duration)
        # A burst ends the story early: its curves must not be left with a handful of points.
        points = max(round(outputs * self.t / self.spec.duration), min(outputs, _LEAST_POINTS), 3)
        return read_result(self, np.linspace(0.0, self.t, points))


_ANSWERS = (guard.GuardEvent.VALVE_CLOSED, guard.GuardEvent.VALVE_FAILED)
