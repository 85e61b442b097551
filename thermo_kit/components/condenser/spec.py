"""What a condenser core is, and what it is asked to do."""

import dataclasses

from thermo_kit.components.fan import FanSpec
from thermo_kit.components.louvered_fins import FinSpec
from thermo_kit.substances import canonical_name
from thermo_kit.substances.names import REFRIGERANT_NAMES
from thermo_kit.units import STANDARD_ATMOSPHERE, Spec, count, one_of, part, quantity, several
from thermo_kit.units.spec import Count, Quantity

FLOW_ADVICE = "mass flow is in kg/s inside the package: 45 g/s is 0.045"
SMALLEST_FLOW, LARGEST_FLOW = 5e-4, 1.0
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
    mass_flow: float | None = quantity(
        "mass_flow", SMALLEST_FLOW, LARGEST_FLOW, "refrigerant mass flow", None, advice=FLOW_ADVICE
    )
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
    mass_flow: float = quantity("mass_flow", SMALLEST_FLOW, LARGEST_FLOW, "usual refrigerant flow")
    least_flow: float = quantity("mass_flow", SMALLEST_FLOW, LARGEST_FLOW, "least refrigerant flow")
    most_flow: float = quantity("mass_flow", SMALLEST_FLOW, LARGEST_FLOW, "most refrigerant flow")

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
    return dataclasses.replace(spec, fins=dataclasses.replace(spec.fins, fin_density=fin_density))
