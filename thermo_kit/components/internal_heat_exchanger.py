"""The internal heat exchanger: two tubes, one inside the other; warm liquid one way, cold vapour the other."""

import functools
import math
from dataclasses import dataclass

import numpy as np

from thermo_kit.errors import NoSolutionError
from thermo_kit.laws.closure import closed
from thermo_kit.laws.exchange import log_mean
from thermo_kit.laws.films import LAMINAR_LIMIT, TURBULENT_LIMIT, laminar_to_turbulent, single_phase_coefficient
from thermo_kit.laws.friction import single_phase_friction
from thermo_kit.laws.roots import root_near
from thermo_kit.substances import Refrigerant, StatePoint, Stream
from thermo_kit.units import Amount, Checks, Said, Spec, one_of, quantity

VAPOUR_PATHS = ("inner tube", "annulus")
THINNEST_GAP = 0.0003


class ExchangerSpec(Spec):
    """A double tube: one stream in the inner tube, the other the opposite way in the gap round it.

    Vapour flows in the "inner tube", with the liquid in the gap, or in the "annulus". Aluminium alloys conduct about
    160 W/(m K). The two ends of each stream together lose 1.5 dynamic pressures: a sharp entry and a sudden widening.

    References: Geometry. Loss coefficients 0.5 and 1.0: any hydraulics textbook, for example Cengel & Cimbala, chapter
        8.
    """

    length: float = quantity("length", 0.02, 5.0, "exchanger length")
    inner_diameter: float = quantity("length", 0.002, 0.04, "bore of the inner tube")
    wall_thickness: float = quantity("length", 0.0003, 0.005, "wall of the inner tube")
    outer_diameter: float = quantity("length", 0.003, 0.08, "bore of the outer tube")
    vapour_path: str = one_of(VAPOUR_PATHS, "vapour path", "inner tube")
    wall_conductivity: float = quantity("conductivity", 10.0, 400.0, "wall conductivity", 160.0)
    loss_coefficient: float = quantity("ratio", 0.0, 20.0, "loss coefficient of the ends", 1.5)

    def fit(self, checks):
        needed = self.tube_outside + 2 * THINNEST_GAP
        if self.outer_diameter < needed - 1e-9:
            limit = Said("leaves no room round an inner tube of {} outside", Amount(self.tube_outside, "length", 2))
            told = "it takes at least {}: were the two tubes swapped, or the wall counted once instead of twice?"
            advice = Said(told, Amount(needed, "length", 2))
            checks.add("bore of the outer tube", Amount(self.outer_diameter, "length", 2), limit, advice)

    @property
    def tube_outside(self):
        """Outer diameter of the inner tube [m]."""
        return self.inner_diameter + 2.0 * self.wall_thickness

    @property
    def tube_area(self):
        """Open area of the inner tube [m²]."""
        return 0.25 * math.pi * self.inner_diameter**2

    @property
    def gap_area(self):
        """Open area of the gap [m²]."""
        return 0.25 * math.pi * (self.outer_diameter**2 - self.tube_outside**2)


@dataclass(frozen=True, kw_only=True)
class ExchangerResult:
    """A solved internal heat exchanger, SI.

    spec, liquid, vapour: what was asked; heat_flow: from liquid to vapour [W]; effectiveness: heat flow by what an
    endlessly long one would pass; liquid_inlet, liquid_outlet, vapour_inlet,
    vapour_outlet: states; liquid_pressure_drop [Pa]; vapour_pressure_drop [Pa];
    liquid_coefficient, vapour_coefficient: mean film coefficients [W/(m² K)];
    position: from the condenser end [m]; liquid_temperature, vapour_temperature: at these places [K];
    energy_closure: largest disagreement of heat given, heat taken and heat through the wall, as a share;
    notes: what to keep in mind, in plain words
    """

    spec: ExchangerSpec
    liquid: Stream
    vapour: Stream
    heat_flow: float
    effectiveness: float
    liquid_inlet: StatePoint
    liquid_outlet: StatePoint
    vapour_inlet: StatePoint
    vapour_outlet: StatePoint
    liquid_pressure_drop: float
    vapour_pressure_drop: float
    liquid_coefficient: float
    vapour_coefficient: float
    position: tuple[float, ...]
    liquid_temperature: tuple[float, ...]
    vapour_temperature: tuple[float, ...]
    energy_closure: float
    notes: tuple = ()

    @property
    def outlets(self):
        """The liquid and the vapour stream on their way to the next part."""
        ends = ((self.liquid, self.liquid_outlet), (self.vapour, self.vapour_outlet))
        return tuple(stream.at(pressure=state.p, enthalpy=state.h) for stream, state in ends)


FINE = 65
# Below the critical pressure properties change gently with temperature; above it specific heat peaks.
NODES, NODES_ABOVE_CRITICAL = 4, 17
# Closer than this to the saturation line transport properties cannot be asked for.
_OFF_THE_LINE = 0.05


def annulus_coefficient(*, mass_flux, inner, outer, viscosity, conductivity, specific_heat):
    """Return the film coefficient on the inner wall of a gap between two tubes; the outer wall passes no heat.

    mass_flux [kg/(m² s)], inner, outer [m]: outside of the inner tube, bore of the outer one; viscosity [Pa s],
    conductivity [W/(m K)], specific_heat [J/(kg K)] → [W/(m² K)].

    Notes: Laminar below Re 2300 (on the gap's hydraulic diameter), turbulent above 4000, a straight line between: no
        jump. Entry length is left out. The factor of the diameters and the laminar form were read in the source text of
        three independent public programs that name the papers, not in the papers.

    References: Gnielinski, Heat Transfer Engineering 30 (2009) 431-436, with the tube equation of Petukhov, Kirillov &
        Popov as carried by `ht`; laminar: Gnielinski in VDI Heat Atlas, section G2 (heat at the inner wall only).

    Examples
    --------
    >>> round(annulus_coefficient(mass_flux=20.0, inner=0.025, outer=0.045, viscosity=0.0325,
    ...                           conductivity=0.138, specific_heat=2131.0), 1)
    38.5
    """
    ratio, gap = inner / outer, outer - inner
    reynolds = mass_flux * gap / viscosity
    prandtl = viscosity * specific_heat / conductivity
    laminar = 3.66 + 1.2 * ratio**-0.8
    nusselt = laminar_to_turbulent(reynolds, laminar, lambda number: _turbulent(number, prandtl, ratio))
    return nusselt * conductivity / gap


def _turbulent(reynolds, prandtl, ratio):
    from ht.conv_internal import turbulent_Petukhov_Kirillov_Popov

    friction = (1.8 * math.log10(reynolds * shape_factor(ratio)) - 1.5) ** -2
    return 0.75 * ratio**-0.17 * turbulent_Petukhov_Kirillov_Popov(Re=reynolds, Pr=prandtl, fd=friction)


def shape_factor(ratio):
    """Return what turns the Reynolds number of a gap into that of a tube with the same laminar friction.

    ratio [-] → [-].

    References: Exact solution of laminar flow in a concentric gap (any fluid mechanics textbook); its use for turbulent
        flow: Jones & Leung, J. Fluids Eng. 103 (1981) 615-623.
    """
    log = math.log(ratio)
    return ((1.0 + ratio**2) * log + (1.0 - ratio**2)) / ((1.0 - ratio) ** 2 * log)


def annulus_friction(*, mass_flux, inner, outer, density, viscosity):
    """Return the friction of pure liquid or vapour per metre of a smooth gap between two tubes.

    mass_flux [kg/(m² s)], inner, outer [m] as above, density [kg/m³], viscosity [Pa s] → [Pa/m].

    References: Jones & Leung, J. Fluids Eng. 103 (1981) 615-623, with the friction curve of Churchill (1977) as carried
        by `fluids`.
    """
    like_a_tube = viscosity / shape_factor(inner / outer)
    return single_phase_friction(mass_flux=mass_flux, diameter=outer - inner, density=density, viscosity=like_a_tube)


class Side:
    """Tables of one stream; temperature in equal steps from the coldest to the hottest it can take on.

    span [K], mass_flow [kg/s].
    """

    def __init__(self, spec, fluid, inlet, span, mass_flow, in_tube):
        self.spec, self.inlet, self.in_tube = spec, inlet, in_tube
        self.mass_flux = mass_flow / (spec.tube_area if in_tube else spec.gap_area)
        is_above = inlet.p >= fluid.critical_pressure
        self.temperature = np.linspace(*span, NODES_ABOVE_CRITICAL if is_above else NODES)
        nodes = [self._node(fluid, inlet, float(T)) for T in self.temperature]
        enthalpy, specific_heat, self.density, self.coefficient, self.friction, viscosity = map(
            np.array, zip(*nodes, strict=True)
        )
        hydraulic = spec.inner_diameter if in_tube else spec.outer_diameter - spec.tube_outside
        self.reynolds = self.mass_flux * hydraulic / float(np.interp(inlet.T, self.temperature, viscosity))
        self.fine_temperature = np.linspace(*span, FINE)
        step = float(self.temperature[1] - self.temperature[0])
        self.fine_enthalpy = _through(len(nodes), enthalpy, specific_heat * step)

    def _node(self, fluid, inlet, T):
        known = (inlet.h, inlet.rho) if abs(T - inlet.T) < 1e-9 else ()
        h, density, specific_heat, viscosity, conductivity = _properties(fluid.name, inlet.p, T, *known)
        common = {"mass_flux": self.mass_flux, "viscosity": viscosity}
        heat = {"conductivity": conductivity, "specific_heat": specific_heat}
        if self.in_tube:
            diameter = self.spec.inner_diameter
            film = single_phase_coefficient(diameter=diameter, **common, **heat)
            friction = single_phase_friction(diameter=diameter, density=density, **common)
        else:
            gap = {"inner": self.spec.tube_outside, "outer": self.spec.outer_diameter}
            film = annulus_coefficient(**gap, **common, **heat)
            friction = annulus_friction(density=density, **gap, **common)
        return h, specific_heat, density, film, friction, viscosity

    def enthalpy_at(self, T):
        """Return the enthalpy at temperatures; T [K] → [J/kg]."""
        return np.interp(T, self.fine_temperature, self.fine_enthalpy)

    def temperature_at(self, h):
        """Return the temperature at enthalpies; h [J/kg] → [K]."""
        return np.interp(h, self.fine_enthalpy, self.fine_temperature)

    def resistance_at(self, T):
        """Return the resistance of the film on one metre of wall; T [K] → [K m/W]."""
        wall = self.spec.inner_diameter if self.in_tube else self.spec.tube_outside
        return 1.0 / (np.interp(T, self.temperature, self.coefficient) * np.pi * wall)

    def mean_coefficient(self, T, lengths):
        """Return the film coefficient, weighted by length; T [K], lengths [m] → [W/(m² K)]."""
        return float((np.interp(T, self.temperature, self.coefficient) * lengths).sum() / lengths.sum())

    def pressure_drop(self, T, lengths, outlet_density):
        """Return what friction, speeding up and the two ends take.

        T [K], lengths [m], outlet_density [kg/m³] → [Pa].
        """
        rubbing = float((np.interp(T, self.temperature, self.friction) * lengths).sum())
        thin, thick = 1.0 / outlet_density, 1.0 / self.inlet.rho
        ends = self.spec.loss_coefficient * 0.25 * (thin + thick)
        return rubbing + self.mass_flux**2 * (thin - thick + ends)


def _through(count, y, step):
    """Draw a smooth line through points in equal steps, given the rise over a step that each point's slope means.

    Close to the critical point the slope shoots up; held to three times the neighbouring rises the line cannot
    overshoot (Fritsch & Carlson, SIAM J. Numer. Anal. 17 (1980) 238-246).
    """
    rise = np.diff(y)
    step = np.minimum(step, 3.0 * np.minimum(np.append(rise[0], rise), np.append(rise, rise[-1])))
    place, (a, b, c, d) = _weights(count)
    return a * y[place] + b * step[place] + c * y[place + 1] + d * step[place + 1]


@functools.cache
def _weights(count):
    """Where each fine point lies, and the cubic Hermite weights of its two neighbours."""
    u = np.linspace(0.0, count - 1.0, FINE)
    place = np.minimum(u.astype(int), count - 2)
    t = u - place
    return place, ((1 + 2 * t) * (1 - t) ** 2, t * (1 - t) ** 2, t * t * (3 - 2 * t), t * t * (t - 1))


@functools.lru_cache(maxsize=4096)
def _properties(name, p, T, h=None, density=None):
    """Return what a node needs; kept, since other lengths, bores and flows ask for the same temperatures again."""
    fluid = Refrigerant(name)
    if h is None:
        state = fluid.at(p=p, T=T)
        h, density = state.h, state.rho
    asked = T
    if p < 0.999 * fluid.critical_pressure:
        saturated = fluid.dew_temperature(p)
        if abs(T - saturated) < _OFF_THE_LINE:
            is_vapour = density < fluid.at(p=p, x=0.5).rho
            asked = saturated + (_OFF_THE_LINE if is_vapour else -_OFF_THE_LINE)
    flow = fluid.transport(p=p, T=asked)
    return h, density, flow.specific_heat, flow.viscosity, flow.conductivity


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
        Refrig. 23 (2000) 588-596. Films and friction: see `annulus_coefficient`,
        `annulus_friction` and the laws.

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
        return ExchangerResult(
            spec=spec,
            liquid=self.liquid,
            vapour=self.vapour,
            heat_flow=taken,
            effectiveness=heat / self.most,
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
        density = float(np.interp(T[-1] if side is self.warm else T[0], side.temperature, side.density))
        drop = side.pressure_drop(T, lengths, density)
        if drop > MOST_LOST * p:
            name = "vapour" if side is self.cold else "liquid"
            given = Said("loses {}", Amount(drop, "pressure_difference"))
            limit = "more than a third of the absolute pressure with which it begins, which is not computed"
            advice = "make the tube wider or shorter, or check mass flow and diameters"
            raise NoSolutionError.about(f"{name} path of the internal heat exchanger", given, limit, advice)
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
        limit = Said("must be above the vapour pressure {}", Amount(vapour.pressure, "pressure"))
        checks.add("liquid pressure", Amount(liquid.pressure, "pressure"), limit, "were the two sides swapped?")
    checks.raise_if_any()
    warm, cold = liquid.state, vapour.state
    # A hair below critical there is no bubble point to speak of.
    if warm.p < 0.999 * fluid.critical_pressure and (warm.phase == "vapour" or (warm.x or 0.0) > _HARDLY):
        limit = Said("brings vapour along: it boils at {}", Amount(fluid.bubble_temperature(warm.p), "temperature"))
        advice = "this model takes pure liquid: with vapour in the liquid line look at charge and condenser first"
        checks.add("liquid", Said("of {}", Amount(warm.T, "temperature")), limit, advice)
    if cold.phase == "liquid" or (1.0 if cold.x is None else cold.x) < 1.0 - _HARDLY:
        limit = Said("brings liquid along: its dew point is {}", Amount(fluid.dew_temperature(cold.p), "temperature"))
        advice = "this model takes pure vapour: a valve that floods is for the lesson on valves"
        checks.add("vapour", Said("of {}", Amount(cold.T, "temperature")), limit, advice)
    checks.raise_if_any()
    if warm.T <= cold.T + 0.1:
        limit = Said("must be above the vapour temperature {}", Amount(cold.T, "temperature"))
        advice = "otherwise the exchanger would run backwards: check the two clamps"
        checks.add("liquid temperature", Amount(warm.T, "temperature"), limit, advice)
    checks.raise_if_any()
    return warm, cold
