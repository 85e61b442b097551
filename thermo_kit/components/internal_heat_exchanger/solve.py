"""Solves the internal heat exchanger: the heat that its length can pass, and what pressure that costs."""

import math

import numpy as np

from thermo_kit.components.internal_heat_exchanger.sides import Side
from thermo_kit.components.internal_heat_exchanger.spec import ExchangerResult
from thermo_kit.errors import NoSolutionError
from thermo_kit.laws.closure import closed
from thermo_kit.laws.exchange import log_mean
from thermo_kit.laws.films import LAMINAR_LIMIT, TURBULENT_LIMIT
from thermo_kit.laws.roots import root_near
from thermo_kit.substances import Refrigerant
from thermo_kit.units import Amount, Checks, Said

PIECES = 24
_SHARE = np.linspace(0.0, 1.0, PIECES + 1)
# Beyond this the streams touch: more length passes no more heat that a number could hold.
_MOST_STRETCH = 28.0
MOST_LOST = 1.0 / 3.0
# A vapour share this small is what is left of saturated liquid after rounding.
_HARDLY = 1e-6


def solve_exchanger(spec, liquid, vapour):
    """Return heat, outlet states and pressure drops of an internal heat exchanger.

    Parameters
    ----------
    spec : ExchangerSpec. The tubes.
    liquid : Stream. Warm, from the condenser or, above the critical pressure, from the gas cooler; 0.0005 to 0.3 kg/s.
    vapour : Stream. Cold, from the evaporator; the same flow.

    Returns: ExchangerResult. Heat flow [W], effectiveness, states, pressure drops [Pa], temperatures along the length
        [K], closure. Raises OutOfRangeError if a stream is out of range, is not what its name says, or heat would flow
        the wrong way; NoSolutionError if the tubes are so narrow that the vapour loses more than a third of its
        pressure.

    Notes: Counterflow, steady, smooth tubes, no heat from outside, no oil. The length is cut into pieces of equal heat,
        each with its own properties. Properties are taken at the inlet pressure of each stream. Real lines often have
        grooves and pass more heat; treat the result as the lower side.

    References: Effectiveness: Kays & London, Compact Heat Exchangers; its use here: Klein, Reindl & Brownell, Int. J.
        Refrig. 23 (2000) 588-596. Films and friction: see `sides` and the laws.

    Examples
    --------
    >>> from thermo_kit.fleet import part_of
    >>> from thermo_kit.substances import stream_at
    >>> liquid = stream_at("R-1234yf", 0.03, p=13e5, T=316.15)
    >>> result = solve_exchanger(part_of("parcel_van", "internal_heat_exchanger"), liquid,
    ...                          stream_at("R-1234yf", 0.03, p=3.2e5, T=280.15))
    >>> 0.3 < result.effectiveness < 0.6, result.energy_closure < 1e-6
    (True, True)
    """
    return _Pair(spec, liquid, vapour).result()


class _Pair:
    """Both streams with their tables, and what follows from a heat that is passed per kilogram."""

    def __init__(self, spec, liquid, vapour):
        self.spec, self.liquid, self.vapour = spec, liquid, vapour
        self.fluid = Refrigerant(liquid.refrigerant)
        warm, cold = _inlets(self.fluid, liquid, vapour)
        in_tube = spec.vapour_path == "inner tube"
        span = (cold.T, warm.T)
        self.cold = Side(spec, self.fluid, cold, span, liquid.flow, in_tube)
        self.warm = Side(spec, self.fluid, warm, span, liquid.flow, not in_tube)
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
        lengths = self.liquid.flow * heat / PIECES * resistance / mean
        return lengths, mean, resistance, warm, cold

    def heat_for(self, length):
        """Heat per kilogram that a length passes: the needed length rises steadily with it."""
        highest = math.log(_MOST_STRETCH)
        if self._spare(highest, length) >= 0.0:
            return self.most * -math.expm1(-_MOST_STRETCH)
        guess = math.log(length / self.pieces(0.3 * self.most)[0].sum() * 0.3567)
        stretch = root_near(
            lambda x: self._spare(x, length), guess, lambda off: 1.2 * abs(off) + 1e-9, -25.0, highest,
            what="heat of the internal heat exchanger", settled=1e-11,
        )  # fmt: skip
        return self.most * -math.expm1(-math.exp(stretch))

    def _spare(self, log_stretch, length):
        heat = self.most * -math.expm1(-math.exp(log_stretch))
        return -math.log(float(self.pieces(heat)[0].sum()) / length)

    def result(self):
        """Solve for the tubes' own length."""
        spec = self.spec
        heat = self.heat_for(spec.length)
        flow = self.liquid.flow
        lengths, mean, resistance, warm, cold = self.pieces(heat)
        # What is left over once the streams have met passes no heat, but rubs.
        spare = max(spec.length - float(lengths.sum()), 0.0)
        rubbed = lengths + spare / PIECES
        warm_drop, warm_out = self._outlet(self.warm, _middle(warm), rubbed, self.warm.inlet.h - heat)
        cold_drop, cold_out = self._outlet(self.cold, _middle(cold), rubbed, self.cold.inlet.h + heat)
        given, taken = flow * (self.warm.inlet.h - warm_out.h), flow * (cold_out.h - self.cold.inlet.h)
        through = float((lengths * mean / resistance).sum())
        closures = {"exchanger_heat": (max(given, taken, through) - min(given, taken, through)) / taken}
        if spare == 0.0 or heat < 0.999 * self.most:
            closures["exchanger_length"] = abs(float(lengths.sum()) / spec.length - 1.0)
        conductance = float((lengths / resistance).sum())
        small, large = sorted((given / (warm[0] - warm[-1]), taken / (cold[0] - cold[-1])))
        return ExchangerResult(
            spec=spec,
            liquid=self.liquid,
            vapour=self.vapour,
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
            position=(0.0, *np.cumsum(lengths).tolist()),
            liquid_temperature=tuple(warm.tolist()),
            vapour_temperature=tuple(cold.tolist()),
            energy_closure=closed(**closures),
            notes=tuple(self._notes(heat, cold_drop)),
        )

    def _outlet(self, side, T, lengths, h):
        p = side.inlet.p
        density = side.density_at(T[-1] if side is self.warm else T[0])
        drop = side.pressure_drop(T, lengths, density)
        if drop > MOST_LOST * p:
            name = "vapour" if side is self.cold else "liquid"
            raise NoSolutionError.about(
                f"{name} path of the internal heat exchanger",
                Said("loses {}", Amount(drop, "pressure_difference")),
                "more than a third of the absolute pressure with which it begins, which is not computed",
                "make the tube wider or shorter, or check mass flow and diameters",
            )
        return drop, self.fluid.at(p=p - drop, h=h)

    def _notes(self, heat, vapour_drop):
        share = vapour_drop / self.cold.inlet.p
        if share > 0.05:
            yield f"The vapour loses {share * 100:.0f} % of its pressure."
        if heat > 0.95 * self.most:
            yield "The two streams have all but met: more length brings no more heat, only friction."
        for name, side in (("liquid", self.warm), ("vapour", self.cold)):
            if LAMINAR_LIMIT < side.reynolds < TURBULENT_LIMIT:
                yield (
                    f"The {name} flows neither smoothly nor fully turbulent (Reynolds number {side.reynolds:.0f}): "
                    "its film is known to about a third only."
                )
        if self.warm.inlet.p > self.fluid.critical_pressure and self.fluid.name != "R-744":
            yield f"Only R-744 systems are built to run above the critical pressure; {self.fluid.name} is not."


def _middle(edges):
    return 0.5 * (edges[1:] + edges[:-1])


def _inlets(fluid, liquid, vapour):
    """Return the two states that enter, or say everything that is wrong with them."""
    checks = Checks()
    slip = "give kg/s inside the package: 30 g/s is 0.03"
    checks.within("mass flow", liquid.flow, 0.0005, 0.3, kind="mass_flow", advice=slip)
    if vapour.flow != liquid.flow or vapour.refrigerant != liquid.refrigerant:
        checks.add("vapour", "is not the liquid's own flow", "", "what leaves the condenser comes back as vapour")
    highest = fluid.highest_pressure
    checks.within("liquid pressure", liquid.pressure, fluid.lowest_pressure, highest, kind="pressure")
    boils = 0.98 * fluid.critical_pressure
    above = "the cold side must be able to boil: were the two sides swapped?" if vapour.pressure > boils else ""
    checks.within("vapour pressure", vapour.pressure, fluid.lowest_pressure, boils, kind="pressure", advice=above)
    checks.raise_if_any()
    if liquid.pressure <= vapour.pressure:
        checks.add(
            "liquid pressure", Amount(liquid.pressure, "pressure"),
            Said("must be above the vapour pressure {}", Amount(vapour.pressure, "pressure")),
            "were the two sides swapped?",
        )  # fmt: skip
    checks.raise_if_any()
    warm, cold = liquid.state, vapour.state
    # A hair below critical there is no bubble point to speak of.
    if warm.p < 0.999 * fluid.critical_pressure and (warm.phase == "vapour" or (warm.x or 0.0) > _HARDLY):
        checks.add(
            "liquid", Said("of {}", Amount(warm.T, "temperature")),
            Said("brings vapour along: it boils at {}", Amount(fluid.bubble_temperature(warm.p), "temperature")),
            "this model takes pure liquid: with vapour in the liquid line look at charge and condenser first",
        )  # fmt: skip
    if cold.phase == "liquid" or (1.0 if cold.x is None else cold.x) < 1.0 - _HARDLY:
        checks.add(
            "vapour", Said("of {}", Amount(cold.T, "temperature")),
            Said("brings liquid along: its dew point is {}", Amount(fluid.dew_temperature(cold.p), "temperature")),
            "this model takes pure vapour: a valve that floods is for the lesson on valves",
        )  # fmt: skip
    checks.raise_if_any()
    if warm.T <= cold.T + 0.1:
        checks.add(
            "liquid temperature", Amount(warm.T, "temperature"),
            Said("must be above the vapour temperature {}", Amount(cold.T, "temperature")),
            "otherwise the exchanger would run backwards: check the two clamps",
        )  # fmt: skip
    checks.raise_if_any()
    return warm, cold
