"""Solves the internal heat exchanger: the heat that its length can pass, and what pressure that costs."""

import math

import numpy as np

from thermo_kit.components.internal_heat_exchanger.inlets import inlets
from thermo_kit.components.internal_heat_exchanger.sides import Side
from thermo_kit.components.internal_heat_exchanger.spec import ExchangerResult
from thermo_kit.errors import NoSolutionError, Problem
from thermo_kit.laws.exchange import log_mean
from thermo_kit.laws.films import LAMINAR_LIMIT, TURBULENT_LIMIT
from thermo_kit.substances import Refrigerant
from thermo_kit.units import format_both
from thermo_kit.units.checks import Checks

PIECES = 24
_SHARE = np.linspace(0.0, 1.0, PIECES + 1)
CLOSURE_LIMIT = 1e-6
# Beyond this the streams touch: more length passes no more heat that a number could hold.
_MOST_STRETCH = 28.0
_ROUNDS = 60
MOST_LOST = 1.0 / 3.0


def solve_exchanger(spec, streams):
    """Return heat, outlet states and pressure drops of an internal heat exchanger.

    Parameters
    ----------
    spec : ExchangerSpec
        The tubes.
    streams : ExchangerStreams
        What enters.

    Returns
    -------
    ExchangerResult
        Heat flow [W], effectiveness, states, pressure drops [Pa], temperatures along the length [K], closure.

    Raises
    ------
    OutOfRangeError
        If a stream is out of range, is not what its name says, or heat would flow the wrong way.
    UnknownNameError
        If the refrigerant is not in the workbook.
    NoSolutionError
        If the tubes are so narrow that the vapour loses more than a third of its pressure.

    Notes
    -----
    Counterflow, steady, smooth tubes, no heat from outside, no oil. The length is cut into pieces of equal
    heat, each with its own properties. Properties are taken at the inlet pressure of each stream. Real lines
    often have grooves and pass more heat; treat the result as the lower side.

    References
    ----------
    Effectiveness: Kays & London, Compact Heat Exchangers; its use here: Klein, Reindl & Brownell, Int. J.
    Refrig. 23 (2000) 588-596. Films and friction: see `films` and the condenser's tube side.

    Examples
    --------
    >>> from thermo_kit.components.internal_heat_exchanger import ExchangerStreams, van_exchanger
    >>> streams = ExchangerStreams(refrigerant="R-1234yf", mass_flow=0.03, liquid_pressure=13e5,
    ...                            vapour_pressure=3.2e5, liquid_temperature=316.15, vapour_temperature=280.15)
    >>> result = solve_exchanger(van_exchanger(), streams)
    >>> 0.3 < result.effectiveness < 0.6, result.energy_closure < 1e-6
    (True, True)
    """
    return _Pair(spec, streams).result()


def length_for_effectiveness(spec, streams, effectiveness):
    """Return how long the tubes must be for a wanted effectiveness.

    Parameters
    ----------
    spec : ExchangerSpec
        The tubes; their own length is not used.
    streams : ExchangerStreams
        What enters.
    effectiveness : float, [-]
        Share of the most possible heat, above 0 and below 1.

    Returns
    -------
    float, [m]
        Length; it may lie beyond what `ExchangerSpec` accepts.

    Raises
    ------
    OutOfRangeError
        If the effectiveness is not between 0 and 1, or a stream is out of range.
    References
    ----------
    As `solve_exchanger`.
    """
    checks = Checks()
    checks.within(
        "effectiveness", effectiveness, 0.0, 1.0, kind="ratio", exclusive=True,
        advice="give a share between 0 and 1, for example 0.7 for 70 %; 1 would take an endless length",
    )  # fmt: skip
    checks.raise_if_any()
    pair = _Pair(spec, streams)
    return float(pair.pieces(effectiveness * pair.most)[0].sum())


class _Pair:
    """Both streams with their tables, and what follows from a heat that is passed per kilogram."""

    def __init__(self, spec, streams):
        self.spec, self.streams = spec, streams
        self.fluid = Refrigerant(streams.refrigerant)
        warm, cold = inlets(self.fluid, streams)
        in_tube = spec.vapour_path == "inner tube"
        span = (cold.T, warm.T)
        self.cold = Side(spec, self.fluid, cold, span, streams.mass_flow, in_tube)
        self.warm = Side(spec, self.fluid, warm, span, streams.mass_flow, not in_tube)
        # At each temperature: what the warm stream can give above it, and the cold one can take below it.
        room = self.cold.fine_enthalpy - cold.h + warm.h - self.warm.fine_enthalpy
        self.most = float(room.min())
        self.wall = math.log(spec.tube_outside / spec.inner_diameter) / (2.0 * math.pi * spec.wall_conductivity)

    def pieces(self, heat):
        """Lengths of the pieces, and temperatures at their edges, for a heat per kilogram."""
        warm = self.warm.temperature_at(self.warm.inlet.h - heat * _SHARE)
        cold = self.cold.temperature_at(self.cold.inlet.h + heat * (1.0 - _SHARE))
        apart = np.maximum(warm - cold, 1e-12)
        resistance = self.warm.resistance_at(_middle(warm)) + self.wall + self.cold.resistance_at(_middle(cold))
        mean = log_mean(apart[:-1], apart[1:])
        lengths = self.streams.mass_flow * heat / PIECES * resistance / mean
        return lengths, mean, resistance, warm, cold

    def heat_for(self, length):
        """Heat per kilogram that a length passes: the needed length rises steadily with it."""
        low, high = -25.0, math.log(_MOST_STRETCH)
        if self._excess(high, length) <= 0.0:
            return self.most * -math.expm1(-_MOST_STRETCH)
        x = min(high - 1e-6, math.log(length / self.pieces(0.3 * self.most)[0].sum() * 0.3567))
        previous = None
        for _ in range(_ROUNDS):
            y = self._excess(x, length)
            if abs(y) < 1e-11:
                break
            low, high = (x, high) if y < 0.0 else (low, x)
            slope = 1.0 if previous is None or x == previous[0] else (y - previous[1]) / (x - previous[0])
            previous = (x, y)
            step = x - y / slope if slope > 0.0 else math.inf
            x = step if low < step < high else 0.5 * (low + high)
            if high - low < 1e-14:
                break
        return self.most * -math.expm1(-math.exp(x))

    def _excess(self, log_stretch, length):
        heat = self.most * -math.expm1(-math.exp(log_stretch))
        return math.log(float(self.pieces(heat)[0].sum()) / length)

    def result(self):
        spec = self.spec
        heat = self.heat_for(spec.length)
        flow = self.streams.mass_flow
        lengths, mean, resistance, warm, cold = self.pieces(heat)
        # What is left over once the streams have met passes no heat, but rubs.
        spare = max(spec.length - float(lengths.sum()), 0.0)
        rubbed = lengths + spare / PIECES
        warm_drop, warm_out = self._outlet(self.warm, _middle(warm), rubbed, self.warm.inlet.h - heat)
        cold_drop, cold_out = self._outlet(self.cold, _middle(cold), rubbed, self.cold.inlet.h + heat)
        given, taken = flow * (self.warm.inlet.h - warm_out.h), flow * (cold_out.h - self.cold.inlet.h)
        through = float((lengths * mean / resistance).sum())
        closure = (max(given, taken, through) - min(given, taken, through)) / taken
        if spare == 0.0 or heat < 0.999 * self.most:
            closure = max(closure, abs(float(lengths.sum()) / spec.length - 1.0))
        _check_closure(closure)
        conductance = float((lengths / resistance).sum())
        small, large = sorted((given / (warm[0] - warm[-1]), taken / (cold[0] - cold[-1])))
        return ExchangerResult(
            spec=spec,
            streams=self.streams,
            heat_flow=taken,
            most_heat=flow * self.most,
            effectiveness=heat / self.most,
            conductance=conductance,
            transfer_units=conductance / small,
            capacity_ratio=small / large,
            liquid_inlet=self.warm.inlet,
            liquid_outlet=warm_out,
            vapour_inlet=self.cold.inlet,
            vapour_outlet=cold_out,
            liquid_pressure_drop=warm_drop,
            vapour_pressure_drop=cold_drop,
            liquid_coefficient=self.warm.mean_coefficient(_middle(warm), lengths),
            vapour_coefficient=self.cold.mean_coefficient(_middle(cold), lengths),
            liquid_reynolds=self.warm.reynolds,
            vapour_reynolds=self.cold.reynolds,
            position=(0.0, *np.cumsum(lengths).tolist()),
            liquid_temperature=tuple(warm.tolist()),
            vapour_temperature=tuple(cold.tolist()),
            energy_closure=closure,
            notes=self._notes(heat, cold_drop),
        )

    def _outlet(self, side, T, lengths, h):
        p = side.inlet.p
        density = side.density_at(T[-1] if side is self.warm else T[0])
        drop = side.pressure_drop(T, lengths, density)
        if drop > MOST_LOST * p:
            name = "vapour" if side is self.cold else "liquid"
            raise NoSolutionError(
                Problem(
                    f"{name} path of the internal heat exchanger",
                    f"loses {format_both(drop, 'pressure_difference')}",
                    f"of the {format_both(p, 'pressure')} with which it begins; more than a third is not computed",
                    "make the tube wider or shorter, or check mass flow and diameters",
                )
            )
        return drop, self.fluid.at(p=p - drop, h=h)

    def _notes(self, heat, vapour_drop):
        notes = []
        share = vapour_drop / self.cold.inlet.p
        if share > 0.05:
            notes.append(f"The vapour loses {share * 100:.0f} % of its pressure.")
        if heat > 0.95 * self.most:
            notes.append("The two streams have all but met: more length brings no more heat, only friction.")
        for name, side in (("liquid", self.warm), ("vapour", self.cold)):
            if LAMINAR_LIMIT < side.reynolds < TURBULENT_LIMIT:
                notes.append(
                    f"The {name} flows neither smoothly nor fully turbulent (Reynolds number {side.reynolds:.0f}): "
                    "its film is known to about a third only."
                )
        if self.warm.inlet.p > self.fluid.critical_pressure and self.fluid.name != "R-744":
            notes.append(f"Only R-744 systems are built to run above the critical pressure; {self.fluid.name} is not.")
        return tuple(notes)


def _middle(edges):
    return 0.5 * (edges[1:] + edges[:-1])


def _check_closure(closure):
    if not closure < CLOSURE_LIMIT:
        raise NoSolutionError(
            Problem(
                "heat balance of the internal heat exchanger",
                f"is off by {closure:.1e} of its heat",
                f"while it must close within {CLOSURE_LIMIT:g}",
                "move the warm stream away from the critical point",
            )
        )
