"""The freeze transient: stiff integration between the events that change the circuit."""

import itertools
from dataclasses import replace

import numpy as np

from thermo_kit.errors import NoSolutionError
from thermo_kit.systems import guard_table as guard
from thermo_kit.systems.chiller_freeze.circuit import Mode
from thermo_kit.systems.chiller_freeze.model import ChillerModel, jacobian
from thermo_kit.systems.chiller_freeze.result import GuardStep, read_result
from thermo_kit.systems.chiller_freeze.spec import GuardSettings
from thermo_kit.units import Amount, Said

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
        self.t, self.y = 0.0, self.model.start() if start is None else start.copy()
        self.start_y = self.y.copy()
        self.marks, self.steps, self.pieces = {}, [], []
        self.pending = []
        self.cold_limit = None
        if spec.guards is not None and spec.guards.cold_limit is None:
            self.cold_limit = self.model.curve.freezing_point + 3.0
        elif spec.guards is not None:
            self.cold_limit = spec.guards.cold_limit
        if spec.reaction_time is not None:
            self._schedule(spec.reaction_time, guard.GuardEvent.ORDERED)

    def resumed(self, t, y):
        """Return a case that goes on from a state with the valve just closed, nothing else changed; t [s], y [SI]."""
        run = object.__new__(Run)
        run.spec, run.model, run.rtol = self.spec, self.model, self.rtol
        run.state = guard.GuardState.FEED_SHUT
        run.t, run.y, run.start_y = t, y.copy(), y
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
        ice, coldest = model.ice(layers), float(layers.min())
        # Enthalpy counts from liquid at the freezing point: above 0 there is no ice to look for.
        fullest = float(model.fullest(ice)) if coldest < 0.0 else 0.0
        marks = [
            float(plates.min()) - model.curve.freezing_point,
            coldest + 1.0,
            self.spec.slush_limit - fullest,
            self.spec.burst_pressure - model.trapped_pressure(fullest),
        ]
        if self.spec.guards is None or not self.steps_watched:
            return np.array([*marks, 1.0, 1.0, 1.0])
        coolant = model.curve.temperature_at(layers)
        flow = float(model.flow(ice, model.flow_share(t), coolant)) / self.spec.coolant_flow
        pressure = model.circuit.table.pool(float(mass), float(energy), model.circuit.volume)[3]
        return np.array([*marks, flow - self.spec.guards.flow_limit, float(sensor) - self.cold_limit,
                         pressure - self.spec.guards.pressure_limit])  # fmt: skip

    @property
    def steps_watched(self):
        """Whether any watch is looked at."""
        return self.cold_limit is not None

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
            return jacobian(lambda columns: model.rates(min(t, last), columns, mode), y, model.scale)

        cells = model.n * model.m
        atol = np.concatenate((np.full(cells, 30.0), np.full(model.n, 0.01), [1e-6, 0.2, 0.02, 50.0, 50.0, 1e-5]))
        atol *= self.rtol / 1e-4
        first = min(0.02, end - begin)
        solver = LSODA(rates, begin, self.y, end, rtol=self.rtol, atol=atol, jac=slope, first_step=first)
        before = self.indicators(begin, self.y)
        self._pass_marks(begin, np.ones_like(before), before)
        scheduled = len(self.pending)
        for _ in range(_MOST_STEPS):
            message = solver.step()
            if solver.status == "failed":
                raise NoSolutionError.about(
                    "freeze transient", "stopped", Said("at {}", Amount(solver.t, "time")), str(message)
                )
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

    def _pass_marks(self, t, before, now):
        for index, value in enumerate(now):
            if before[index] > 0.0 >= value and _MARKS[index] not in self.marks:
                self._mark(index, t)

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
