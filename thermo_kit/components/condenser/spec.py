"""What a condenser core is, what air reaches it, and what solving it gives back."""

import functools
import itertools
from dataclasses import dataclass, replace

from thermo_kit.components.dry_air import AIR_SPECIFIC_HEAT, dry_air
from thermo_kit.components.fan import FanSpec, fan_operating_point
from thermo_kit.components.louvered_fins import FASTEST_FACE, FinSpec, fin_geometry, fin_surface
from thermo_kit.errors import NoSolutionError
from thermo_kit.substances import REFRIGERANT_NAMES, Stream, canonical_name
from thermo_kit.units import STANDARD_ATMOSPHERE, Count, Quantity, Spec, asked, count, one_of, part, quantity, several

FLOW = Quantity(
    "mass_flow", 5e-4, 1.0, "refrigerant mass flow", "mass flow is in kg/s inside the package: 45 g/s is 0.045"
)
_FACE_SHARE = "a share of the face: 20 % is 0.2"
_MOST_PASSES = 12


class CondenserSpec(Spec):
    """A core of flat tubes between two headers, whose separators sort the tubes into passes.

    tubes: in each pass, in flow order; receiver_after: the pass after which the receiver sits (1 is the first), None
    without receiver; subcooling_pass_at: where the last pass lies; blocked_fraction: of the whole face, evenly spread
    (dirt, bent fins); blocked_profile, air_profile: bands of equal height from the top down, such as (0, 0, 0.8) for
    mud at the bottom; front_resistance: what grille, radiator and ducts add; segments: steps along each pass.

    Notes: Every tube of a pass is taken to carry the same flow.
    """

    tubes: tuple[int, ...] = several(
        Count(1, 200, "tubes in pass", "a pass without tubes shuts the core: leave the pass out instead"),
        1, _MOST_PASSES, advice="give the tubes of each pass in flow order, for example (15, 10, 6, 5)",
    )  # fmt: skip
    tube_length: float = quantity("length", 0.1, 2.0, "tube length")
    ports: int = count(1, 60, "ports in a tube", advice="a flat tube has at least one channel")
    port_diameter: float = quantity("length", 0.3e-3, 8e-3, "port diameter")
    fins: FinSpec = part(FinSpec, "fins")
    fan: FanSpec = part(FanSpec, "fan")
    receiver_after: int | None = count(1, _MOST_PASSES, "receiver after pass", None, advice="None means no receiver")
    subcooling_pass_at: str = one_of(("bottom", "top"), "place of the subcooling pass", "bottom")
    blocked_fraction: float = quantity("ratio", 0.0, 0.9, "blocked fraction", 0.0, advice=_FACE_SHARE)
    blocked_profile: tuple[float, ...] = several(
        Quantity("ratio", 0.0, 1.0, "blocked profile, band", _FACE_SHARE), 1, 100, (0.0,), advice=_FACE_SHARE
    )
    air_profile: tuple[float, ...] = several(
        Quantity("ratio", 0.05, 10.0, "air profile, band", "relative speeds: 1 is the average"), 1, 100, (1.0,)
    )
    front_resistance: float = quantity("flow_resistance", 0.0, 2e4, "front resistance", 0.0)
    segments: int = count(2, 200, "segments in a pass", 10, advice="10 is fine enough for most cores")

    def fit(self, checks):
        if self.ports * self.port_diameter > self.fins.tube_depth:
            checks.add("ports", "side by side are wider than the tube", "", "fewer or smaller ports, or a deeper tube")
        if self.port_diameter >= self.fins.tube_height:
            checks.add("port diameter", "is not less than the tube's height", "", "a port needs walls around it")
        if self.receiver_after is not None:
            advice = f"the core has {len(self.tubes)} passes; the first is 1; None means no receiver"
            checks.whole("receiver after pass", self.receiver_after, 1, len(self.tubes), advice=advice)


class AirConditions(Spec):
    """The air in front of the core.

    driving_speed: 0 is idle; ram_recovery: share of the driving wind's pressure that reaches the core, 0.3 is our own
    guess; face_velocity: if given, fan and wind are left out; it is averaged over the whole face.
    """

    temperature: float = quantity("temperature", 243.15, 343.15, "condenser inlet air")
    pressure: float = quantity("pressure", 5e4, 1.1e5, "surrounding air pressure", STANDARD_ATMOSPHERE)
    fan_speed_share: float = quantity("ratio", 0.0, 1.2, "fan speed share", 1.0, advice="80 % is 0.8")
    driving_speed: float = quantity("driving_speed", 0.0, 40.0, "driving speed", 0.0)
    ram_recovery: float = quantity("ratio", 0.0, 1.0, "ram recovery", 0.3)
    face_velocity: float | None = quantity("velocity", 0.2, 15.0, "face velocity", None)


class CompressorDuty(Spec):
    """What stands in front of the condenser: suction state, compressor, and how much is asked of the circuit.

    evaporating_temperature: dew temperature at the compressor's suction pressure; isentropic_efficiency: loss-free work
    divided by real work; mass_flow or cooling_capacity, the heat taken in between liquid line and suction: one of them.
    """

    refrigerant: str = one_of(REFRIGERANT_NAMES, "refrigerant", known=canonical_name)
    evaporating_temperature: float = quantity("temperature", 233.15, 303.15, "evaporating temperature")
    superheat: float = quantity("temperature_difference", 0.1, 40.0, "suction superheat", 5.0)
    isentropic_efficiency: float = quantity(
        "ratio", 0.2, 1.0, "isentropic efficiency", 0.65, advice="a share of 1: 65 % is 0.65"
    )
    mass_flow: float | None = asked(FLOW, None)
    cooling_capacity: float | None = quantity(
        "power", 50.0, 1e5, "cooling capacity", None, advice="capacity is in watt inside the package: 5 kW is 5000"
    )

    def fit(self, checks):
        if (self.mass_flow is None) == (self.cooling_capacity is None):
            checks.add("duty", "of the circuit", "is needed once", "give mass_flow or cooling_capacity, not both")


class CondenserJob(Spec):
    """What is usually asked of a vehicle's condenser, and the limits within which a learner may move it."""

    cooling: float = quantity("power", 50.0, 1e5, "usual cooling")
    least_cooling: float = quantity("power", 50.0, 1e5, "least cooling")
    most_cooling: float = quantity("power", 50.0, 1e5, "most cooling")
    mass_flow: float = quantity("mass_flow", FLOW.low, FLOW.high, "usual refrigerant flow")
    least_flow: float = quantity("mass_flow", FLOW.low, FLOW.high, "least refrigerant flow")
    most_flow: float = quantity("mass_flow", FLOW.low, FLOW.high, "most refrigerant flow")

    def fit(self, checks):
        if not self.least_cooling < self.cooling < self.most_cooling:
            checks.add("usual cooling", "does not lie between least and most", "", "put the three in order")
        if not self.least_flow < self.mass_flow < self.most_flow:
            checks.add("usual refrigerant flow", "does not lie between least and most", "", "put the three in order")


def with_fin_density(spec, fin_density):
    """Return the same core with another number of fins.

    Parameters
    ----------
    spec : CondenserSpec. The core.
    fin_density : float, [1/m]. Fins along the tube; `fins_per_inch(16)` converts the trade's count.

    Returns: CondenserSpec. The changed core.

    Notes: Geometry only: nothing is solved.

    Examples
    --------
    >>> from thermo_kit.components.louvered_fins import fins_per_inch
    >>> from thermo_kit.fleet import part_of
    >>> round(with_fin_density(part_of("parcel_van", "condenser"), fins_per_inch(16)).fins.fin_density)
    630
    """
    return replace(spec, fins=replace(spec.fins, fin_density=fin_density))


@dataclass(frozen=True, slots=True)
class PassAir:
    """The air of one pass: top [-] and bottom [-] as shares of the core's height from the top; open_share of its face;
    velocity in front of the open part [m/s]; conductance (air side) and capacity_rate, both for one metre of one
    tube with open fins [W/(m K)]."""

    top: float
    bottom: float
    open_share: float
    velocity: float
    conductance: float
    capacity_rate: float


@dataclass(frozen=True, slots=True)
class AirSide:
    """The air through a core: volume_flow [m³/s] at inlet density; mass_flow [kg/s]; core_pressure_drop [Pa];
    fan_power [W]; passes; notes."""

    volume_flow: float
    mass_flow: float
    core_pressure_drop: float
    fan_power: float
    passes: tuple[PassAir, ...]
    notes: tuple[str, ...]


def pass_spans(spec):
    """Return where each pass lies in the core.

    Parameters
    ----------
    spec : CondenserSpec. The core.

    Returns: tuple of tuple of float, [-]. (top, bottom) of each pass in flow order, as shares of the core's height from
        the top.

    Notes: Geometry: passes run from the top down. With the subcooling pass at the top, the last pass lies above all
        others.
    """
    last_on_top = spec.subcooling_pass_at == "top"
    downwards = (*spec.tubes[-1:], *spec.tubes[:-1]) if last_on_top else spec.tubes
    edges = [done / sum(spec.tubes) for done in itertools.accumulate(downwards, initial=0)]
    first, *others = itertools.pairwise(edges)
    return (*others, first) if last_on_top else (first, *others)


@functools.lru_cache(maxsize=64)
def air_side(spec, air):
    """Return how much air a core gets from fan and wind, and how it is shared out.

    Parameters
    ----------
    spec : CondenserSpec. The core.
    air : AirConditions. The air in front of it.

    Returns: AirSide. Flow, pressure drop, fan power, and the air of each pass. Raises NoSolutionError if no air moves,
        or all of the face is blocked.

    Notes: The resistance is that of the open face at its average velocity. The fan is taken to work in air of inlet
        density, though it draws air that is 10 to 15 K warmer and 3 to 5 per cent thinner: the true flow is a little
        less.

    References: Fins as in `thermo_kit.components.louvered_fins`; operating point as in `thermo_kit.components.fan`.
    """
    geometry = fin_geometry(spec.fins)
    total = sum(spec.tubes)
    tube_face = geometry.tube_pitch * spec.tube_length
    face_area = total * tube_face
    inlet = dry_air(T=air.temperature, p=air.pressure)
    spans = pass_spans(spec)
    opens = [(1.0 - spec.blocked_fraction) * (1.0 - _mean_of_bands(spec.blocked_profile, *span)) for span in spans]
    weights = [_mean_of_bands(spec.air_profile, *span) for span in spans]
    areas = [count * tube_face * share for count, share in zip(spec.tubes, opens, strict=True)]
    open_area = sum(areas)
    if open_area < 0.02 * face_area:
        raise NoSolutionError.about("core face", "is blocked", "all but shut", "clear the face first")

    def resistance(flow):
        # The search for the flow may look beyond the fin data; what it finds is checked against them below.
        velocity = flow / open_area
        known = min(velocity, 0.99 * FASTEST_FACE)
        core = fin_surface(spec.fins, face_velocity=known, air=inlet).pressure_drop * (velocity / known) ** 2
        return core + spec.front_resistance * inlet.density / 1.2 * flow**2

    if air.face_velocity is not None:
        flow, fan_power = air.face_velocity * face_area, 0.0
    else:
        ram = air.ram_recovery * 0.5 * inlet.density * air.driving_speed**2
        point = fan_operating_point(
            spec.fan, resistance, speed_share=air.fan_speed_share, density=inlet.density, ram_pressure=ram
        )
        flow, fan_power = point.volume_flow, point.electric_power
    mean = fin_surface(spec.fins, face_velocity=flow / open_area, air=inlet)
    scale = flow / sum(a * w for a, w in zip(areas, weights, strict=True))
    passes = []
    for span, share, weight in zip(spans, opens, weights, strict=True):
        velocity = scale * weight
        fins = fin_surface(spec.fins, face_velocity=velocity, air=inlet)
        rate = inlet.density * velocity * geometry.tube_pitch * AIR_SPECIFIC_HEAT
        passes.append(PassAir(*span, share, velocity, fins.conductance, rate))
    return AirSide(flow, flow * inlet.density, mean.pressure_drop, fan_power, tuple(passes), mean.notes)


def _mean_of_bands(bands, top, bottom):
    count = len(bands)
    total = 0.0
    for number, value in enumerate(bands):
        overlap = min(bottom, (number + 1) / count) - max(top, number / count)
        total += value * max(overlap, 0.0)
    return total / (bottom - top)


@dataclass(frozen=True, slots=True)
class PathState:
    """The refrigerant at the end of a step or of a pass.

    quality: None outside the two-phase dome; phase: "vapour", "two-phase" or "liquid"; temperature [K]; pressure [Pa];
    specific_enthalpy [J/kg]; charge [kg] and heat_flow [W]: of the step or pass, all its tubes; air_temperature: mean
    of the air leaving it [K]
    """

    quality: float | None
    phase: str
    temperature: float
    pressure: float
    specific_enthalpy: float
    charge: float
    heat_flow: float
    air_temperature: float


@dataclass(frozen=True, slots=True)
class PathPoint(PathState):
    """The end of a step: pass_number from 1, position [-]: share of this pass walked, 0 to 1."""

    pass_number: int
    position: float


@dataclass(frozen=True, slots=True)
class PassResult(PathState):
    """One pass.

    number: from 1; tubes; top [-], bottom [-]: shares of the core's height from the top; mass_flux [kg/(m² s)];
    subcooling at its end [K] (0 unless liquid); pressure_drop [Pa], entry included; vapour_share, two_phase_share,
    liquid_share: of its length
    """

    number: int
    tubes: int
    top: float
    bottom: float
    mass_flux: float
    subcooling: float
    pressure_drop: float
    vapour_share: float
    two_phase_share: float
    liquid_share: float


@dataclass(frozen=True, slots=True)
class LastVapour:
    """Where the last vapour turns liquid: pass_number, and the position [-] in that pass, 0 to 1."""

    pass_number: int
    position: float


@dataclass(frozen=True, slots=True)
class ReceiverFeed:
    """What reaches the receiver: after_pass; quality (0 for liquid, 1 for vapour only); subcooling [K];
    enthalpy_above_liquid: above saturated liquid at its pressure [J/kg], negative for subcooled liquid;
    pressure [Pa]; vapour_carried: True if vapour arrives."""

    after_pass: int
    quality: float
    subcooling: float
    enthalpy_above_liquid: float
    pressure: float
    vapour_carried: bool


@dataclass(frozen=True, slots=True)
class CondenserResult:
    """A solved condenser.

    spec, inlet, air: what was asked; air_side: the air's shares; path: the refrigerant step by step;
    passes; receiver: None without one; last_vapour: None if vapour leaves the core; inlet_temperature [K];
    condensing_pressure [Pa] and condensing_temperature [K]: at the inlet; heat_rejection [W];
    outlet_pressure [Pa], outlet_temperature [K], outlet_enthalpy [J/kg], outlet_quality (None for liquid or hot gas);
    subcooling: at the outlet [K], 0 unless liquid; pressure_drop [Pa]; charge: in the tubes, headers and receiver left
    out [kg]; air_temperature: mean of the air leaving the open face [K]; energy_closure: relative; notes
    """

    spec: CondenserSpec
    inlet: Stream
    air: AirConditions
    air_side: AirSide
    path: tuple[PathPoint, ...]
    passes: tuple[PassResult, ...]
    receiver: ReceiverFeed | None
    last_vapour: LastVapour | None
    inlet_temperature: float
    condensing_temperature: float
    heat_rejection: float
    outlet_enthalpy: float
    air_temperature: float
    energy_closure: float
    notes: tuple

    @property
    def outlet(self):
        """The refrigerant that leaves."""
        return self.inlet.at(pressure=self.outlet_pressure, enthalpy=self.outlet_enthalpy)

    @property
    def condensing_pressure(self):
        """At the inlet [Pa]."""
        return self.inlet.pressure

    @property
    def outlet_pressure(self):
        """Of what leaves [Pa]."""
        return self.passes[-1].pressure

    @property
    def outlet_temperature(self):
        """Of what leaves [K]."""
        return self.passes[-1].temperature

    @property
    def outlet_quality(self):
        """Vapour share by mass of what leaves [-]; None for liquid or hot gas."""
        return self.passes[-1].quality

    @property
    def subcooling(self):
        """Of what leaves [K], 0 unless liquid."""
        return self.passes[-1].subcooling

    @property
    def pressure_drop(self):
        """Over all passes [Pa]."""
        return self.condensing_pressure - self.outlet_pressure

    @property
    def charge(self):
        """In the tubes, headers and receiver left out [kg]."""
        return sum(one.charge for one in self.passes)
