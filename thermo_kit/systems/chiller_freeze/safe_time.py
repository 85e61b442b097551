"""How long there is to react: the latest closing of the shut-off valve that still saves the plates."""

import contextlib
import math
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from thermo_kit.errors import NoSolutionError
from thermo_kit.systems.chiller_freeze.model import ICE_EXPANSION, WATER_STIFFNESS
from thermo_kit.systems.chiller_freeze.simulate import Run
from thermo_kit.systems.chiller_freeze.spec import FreezeSpec
from thermo_kit.units import Checks

AVOIDABLE = ("burst", "blocked", "ice")
AGAINST = ("flow", "compressor_speed")
_AFTERMATH = 120.0
_FIRST_GUESS = 0.72
# Half the cost of the single run's tolerance, and the time found moves by less than the accuracy asked.
_SEARCH_TOLERANCE = 1e-3
_SEARCH_SEGMENTS = 12
SHAVED_SHARE, SHAVED_SECONDS = 0.05, 0.5
"""Taken off what is found [-], [s]: over 39 cases 12 segments found up to 5 % and 0.5 s more than the limit to which
24 and 48 segments point (this package's own comparison)."""


@dataclass(frozen=True)
class SafeTimeMap:
    """Longest safe reaction time over glycol share and a second quantity.

    mass_fractions [kg/kg]; against: "flow" (share of the coolant flow that remains) or "compressor_speed" [rad/s];
    values of it; seconds[i][j] for mass_fractions[i] and values[j]: inf where it never fails within the duration, 0
    where even closing at once is too late, None where it was not computed (cancelled), nan where the chiller
    freezes already with its pump running; complete: whether every point was computed
    """

    spec: FreezeSpec
    avoid: str
    mass_fractions: tuple
    against: str
    values: tuple
    seconds: tuple
    complete: bool


def longest_safe_reaction(spec, *, avoid="burst", accuracy=0.1):
    """Return the latest time at which closing the shut-off valve still saves the chiller.

    Parameters
    ----------
    spec : FreezeSpec
        The case; its own reaction_time and guards are left out, a valve_leak counts; fewer than 12 segments become 12.
    avoid : str. What must not happen: "burst", "blocked" (a channel) or "ice" (the first crystal).
    accuracy : float, [s]. How finely the time is searched.

    Returns: float, [s]. Seconds from the start of the failure; inf if it never happens within the duration with the
        valve open, 0 if even closing at once does not prevent it. Raises OutOfRangeError if a field cannot be used;
        NoSolutionError if the chiller freezes already with its pump running.

    Notes: The compressor goes on running, and what is left in the plates boils on: that is why the time is shorter than
        the time to the burst itself. 5 % and 0.5 s are taken off: so much too long may the mesh find it. See
        `simulate_chiller_freeze` for the limits of the model.

    References: None: a search of our own on the model of `simulate_chiller_freeze`.
    """
    with Checks() as checks:
        checks.one_of("avoid", avoid, AVOIDABLE)
        checks.within("accuracy", accuracy, 1e-3, 30.0, kind="time")
    segments = max(spec.segments, _SEARCH_SEGMENTS)
    spec = replace(spec, reaction_time=None, guards=None, segments=segments)
    found = _search(Run(spec, rtol=_SEARCH_TOLERANCE), avoid, accuracy)
    return max((1.0 - SHAVED_SHARE) * found - SHAVED_SECONDS, 0.0)


def _search(run, avoid, accuracy):
    """Narrow the time between a closing that saves and one that does not; return the one that was seen to save."""
    gauge = _Gauge(run, avoid)
    run.go(run.spec.duration, stop=lambda t, y: avoid in run.marks)
    if avoid not in run.marks:
        return math.inf
    saved, late = [(0.0, None)], run.marks[avoid]

    def beyond(t):
        return gauge.worst_after(t, run.start_y if t <= 0.0 else run.at([t])[0][:, 0])

    guess = _FIRST_GUESS * late
    while late - saved[-1][0] > accuracy:
        margin = beyond(guess)
        if margin < 0.0:
            saved.append((guess, margin))
        else:
            late = guess
        guess = _next_guess(saved, late, accuracy)
    if saved[-1][0] == 0.0 and beyond(0.0) >= 0.0:
        return 0.0
    return saved[-1][0]


def _next_guess(saved, late, accuracy):
    low = saved[-1][0]
    room = late - low
    guess = low + 0.5 * room
    if len(saved) > 2:
        # Two closings that saved, and by how much, tell where the margin would run out.
        (earlier, first), (later, second) = saved[-2:]
        if second > first:
            guess = later - second * (later - earlier) / (second - first) + 0.3 * accuracy
    return min(max(guess, low + 0.15 * room), low + 0.85 * room)


class _Gauge:
    """How far the worst place is from what must not happen; positive once it has happened."""

    def __init__(self, run, avoid):
        self.run, self.avoid = run, avoid
        limit = run.spec.slush_limit
        self.limit = limit + (run.spec.burst_pressure / (WATER_STIFFNESS * ICE_EXPANSION) if avoid == "burst" else 0.0)

    def now(self, y):
        model = self.run.model
        layers = model.split(y)[0]
        if self.avoid == "ice":
            return -(float(layers.min()) + 1.0) / 3.3e5
        held = float(model.fullest(model.curve.ice_at(layers)))
        # While there is no ice the enthalpy still tells the search how near it is.
        return held - self.limit if held > 0.0 else -self.limit - float(layers.min()) / 3.3e5

    def worst_after(self, t, y):
        run = self.run.resumed(t, y)
        best = [self.now(y), t]

        def stop(t_now, y_now):
            value = self.now(y_now)
            if value > best[0] + 1e-6:
                best[0], best[1] = value, t_now
            # The ice has had its peak once it has not grown for a while.
            return best[0] > 0.0 or t_now - max(best[1], t) > 4.0

        run.go(t + _AFTERMATH, stop=stop)
        return 1.0 if self.avoid in run.marks else best[0]


def safe_time_map(spec, *, mass_fractions, values, against="flow", avoid="burst", accuracy=0.5, workers=2,
                  progress=None, cancelled=None):  # fmt: skip
    """Return the longest safe reaction time over glycol share and remaining flow or compressor speed.

    Parameters
    ----------
    spec : FreezeSpec. The case; the mapped fields are replaced.
    mass_fractions : sequence of float, [kg/kg]. Glycol shares.
    values : sequence of float, [SI]
        Shares of the coolant flow that remain after the failure, or compressor speeds in rad/s.
    against : str. "flow" or "compressor_speed".
    avoid : str. "burst", "blocked" or "ice".
    accuracy : float, [s]. How finely each time is searched.
    workers : int. Processes; 1 computes here.
    progress : function. Called with (points done, points in all).
    cancelled : function. Asked between points; True stops, and the points not yet computed stay None.

    Returns: SafeTimeMap. Seconds at every point. Raises OutOfRangeError if a field cannot be used.

    Notes: With more than one process a script must guard its start with `if __name__ == "__main__":`.

    References: The sources of `simulate_chiller_freeze`.
    """
    with Checks() as checks:
        checks.one_of("against", against, AGAINST)
        checks.one_of("avoid", avoid, AVOIDABLE)
        checks.within("workers", workers, 1, 64, kind="ratio")
        if not len(mass_fractions) or not len(values):
            checks.add("map", "has no points", advice="give at least one mass fraction and one value")
    cases = [_case(spec, share, value, against) for share in mass_fractions for value in values]
    seconds, width = [], len(values)
    with contextlib.closing(_found(cases, workers, partial(_point, avoid=avoid, accuracy=accuracy))) as found:
        while len(seconds) < len(cases) and not (cancelled and cancelled()):
            seconds.append(next(found))
            if progress:
                progress(len(seconds), len(cases))
    complete = len(seconds) == len(cases)
    seconds += [None] * (len(cases) - len(seconds))
    return SafeTimeMap(
        spec, avoid, tuple(float(x) for x in mass_fractions), against, tuple(float(x) for x in values),
        tuple(tuple(seconds[i : i + width]) for i in range(0, len(cases), width)), complete,
    )  # fmt: skip


def _case(spec, share, value, against):
    kind = spec.coolant if spec.coolant != "water" else "ethylene glycol"
    changes = {"coolant": kind, "mass_fraction": float(share), "reaction_time": None, "guards": None}
    if against == "flow":
        changes["flow_profile"] = ((0.0, 1.0), (1.0, float(value)))
    else:
        changes["compressor_speed"] = float(value)
    return replace(spec, **changes)


def _point(case, avoid, accuracy):
    try:
        return longest_safe_reaction(case, avoid=avoid, accuracy=accuracy)
    except NoSolutionError:
        return math.nan


def _found(cases, workers, point):
    """Yield the seconds of each case, in order."""
    if workers == 1:
        yield from map(point, cases)
        return
    from multiprocessing import get_context

    # Fresh processes: a kernel has threads, and a fork of a threaded process may hang.
    pool = ProcessPoolExecutor(workers, mp_context=get_context("spawn"))
    try:
        yield from pool.map(point, cases)
    finally:
        pool.shutdown(cancel_futures=True)


def read_safe_time(seconds_map, mass_fraction, value):
    """Return the time to react at a place on a safe-time map.

    Parameters
    ----------
    seconds_map : SafeTimeMap. Complete, or cancelled with some points missing.
    mass_fraction : float, [kg/kg]. Glycol share.
    value : float, [SI unit of the map's second quantity]. Share of the flow left, or compressor speed in rad/s.

    Returns: float or None, [s]. inf where it never comes about, nan beside a point that freezes in normal work, None
        beside a point that is missing.

    Notes: Arithmetic: the inverse of the time is read along straight lines between the four points around, so that
        "never" (inverse 0) lies next to very long. What comes out beyond twice the duration counts as never.
    """
    i, x = _cell(seconds_map.mass_fractions, mass_fraction)
    j, y = _cell(seconds_map.values, value)
    inverse = 0.0
    for di, wx in ((0, 1.0 - x), (1, x)):
        for dj, wy in ((0, 1.0 - y), (1, y)):
            if wx * wy == 0.0:
                continue
            seconds = seconds_map.seconds[i + di][j + dj]
            if seconds is None:
                return None
            inverse += wx * wy / max(seconds, 0.1) if not math.isnan(seconds) else math.nan
    if math.isnan(inverse):
        return math.nan
    seconds = 1.0 / inverse if inverse > 0.5 / seconds_map.spec.duration else math.inf
    return 0.0 if seconds <= 0.1 else min(seconds, seconds_map.spec.duration) if seconds < math.inf else seconds


def _cell(points, at):
    """Return the point before a place and how far the place lies towards the next one, 0 to 1."""
    at = min(max(at, points[0]), points[-1])
    k = min(max(int(np.searchsorted(points, at, side="right")) - 1, 0), max(len(points) - 2, 0))
    if len(points) == 1:
        return 0, 0.0
    return k, (at - points[k]) / (points[k + 1] - points[k])
