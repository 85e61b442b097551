"""What a receiver-drier is, and how much liquid it must hold so that the mouth of its pipe stays covered."""

import math
from dataclasses import dataclass, replace
from itertools import pairwise

from thermo_kit.laws.constants import GRAVITY
from thermo_kit.laws.roots import root
from thermo_kit.substances import Refrigerant
from thermo_kit.units import Amount, Checks, Quantity, Said, Spec, asked, quantity

BEAD_DENSITY = 1100.0
"""Mass of a desiccant bead by its own outer volume [kg/m³]: common practice, no source."""
BAG_DENSITY = 700.0
"""Mass of a heap of beads by the room it takes [kg/m³]: common practice, no source."""
HARDEST_BEND = 15.0
"""Largest lateral acceleration looked at [m/s²]; tyres of road vehicles slide before."""
STEEPEST = math.radians(45.0)
STEEPEST_SURFACE = math.radians(83.0)
FLOW = Quantity(
    "mass_flow", 5e-4, 0.5, "refrigerant flow",
    "a standing system drinks nothing; mass flow is in kg/s inside the package: 30 g/s is 0.03",
)  # fmt: skip

TILT = Quantity("angle", 0.0, STEEPEST, "tilt", "the side is the bad one already: give 0 to 45°")
BEND = Quantity("acceleration", 0.0, HARDEST_BEND, "lateral acceleration", "0.6 g is 5.9 m/s²; tyres slide before 15")


class ReceiverSpec(Spec):
    """An upright round vessel whose standpipe drinks from the bottom; lengths are inside.

    The standpipe's length counts from the lid down to its mouth, its offset from the vessel's axis, the bag's lower
    end and the outlet (where the subcooling pass takes over; None: at the lid) from the floor.

    Notes: Flat floor and lid; the wall of the standpipe takes no room. Geometry only.
    """

    diameter: float = quantity("length", 0.015, 0.3, "vessel diameter")
    height: float = quantity("length", 0.04, 0.8, "vessel height")
    standpipe_diameter: float = quantity("length", 0.002, 0.03, "standpipe bore")
    standpipe_length: float = quantity("length", 0.0, 2.0, "standpipe length")
    standpipe_offset: float = quantity("length", 0.0, 0.15, "standpipe offset", 0.0)
    outlet_height: float | None = quantity("length", -0.5, 2.0, "outlet height", None)
    desiccant_mass: float = quantity("mass", 0.0, 1.0, "desiccant mass", 0.0, advice="40 g is 0.04 kg")
    desiccant_bottom: float = quantity("length", 0.0, 0.8, "lower end of the bag", 0.0)
    desiccant_height: float = quantity("length", 0.0, 0.8, "height of the bag", 0.0)
    filter_area: float = quantity("area", 1e-5, 0.05, "filter area", 6e-4, advice="6 cm² is 6e-4 m²")
    filter_open_share: float = quantity("ratio", 0.1, 0.9, "open share of the filter", 0.4, advice="40 % is 0.4")
    filter_blocked_share: float = quantity(
        "ratio", 0.0, 0.95, "blocked share of the filter", 0.0,
        advice="a share: 30 % is 0.3; a fully blocked filter passes nothing",
    )  # fmt: skip

    def fit(self, checks):
        name, length = "standpipe length", _length(self.standpipe_length)
        if self.standpipe_length >= self.height:
            advice = "it would stand through the floor: measure from the lid down to the mouth"
            checks.add(name, length, Said("is not less than the vessel's {}", _length(self.height)), advice)
        elif self.mouth_height < 0.001:
            advice = "the floor would shut the mouth: shorten the pipe a little"
            told = "leaves only {} below the mouth, less than {}"
            checks.add(name, length, Said(told, _length(self.mouth_height), _length(0.001)), advice)
        elif self.mouth_height > self.height / 2:
            advice = "it would drink vapour: a standpipe reaches to the bottom; was its clearance typed?"
            told = "ends in the upper half of the vessel, {} high"
            checks.add(name, length, Said(told, _length(self.height)), advice)
        if self.standpipe_diameter > self.diameter / 2:
            advice = "check which of the two diameters was typed"
            told = "is more than half the vessel's {}"
            checks.add("standpipe bore", _length(self.standpipe_diameter), Said(told, _length(self.diameter)), advice)
        elif self.standpipe_offset + self.standpipe_diameter / 2 > self.radius:
            advice = "measure from the vessel's axis to the pipe's axis"
            told = "puts the mouth through the wall, {} from the axis"
            checks.add("standpipe offset", _length(self.standpipe_offset), Said(told, _length(self.radius)), advice)
        fits = BAG_DENSITY * self.area * self.desiccant_height
        if self.bag_top > self.height:
            given = Said("from {} to {}", _length(self.desiccant_bottom), _length(self.bag_top))
            limit = Said("is higher than the vessel's {}", _length(self.height))
            checks.add("bag", given, limit, "check its height and its lower end")
        elif self.desiccant_mass > fits:
            advice = "check the mass, or make the bag higher"
            told = "does not fit: a bag of this height holds {} at most"
            checks.add("desiccant mass", Amount(self.desiccant_mass, "mass"), Said(told, Amount(fits, "mass")), advice)

    @property
    def radius(self):
        """Inner radius [m]."""
        return self.diameter / 2

    @property
    def area(self):
        """Inner section [m²]."""
        return math.pi * self.radius**2

    @property
    def mouth_height(self):
        """Mouth of the standpipe above the floor [m]."""
        return self.height - self.standpipe_length

    @property
    def outlet(self):
        """Height above the floor at which the subcooling pass takes over [m]."""
        return self.height if self.outlet_height is None else self.outlet_height

    @property
    def bag_top(self):
        """Upper end of the bag above the floor [m]."""
        return self.desiccant_bottom + self.desiccant_height

    @property
    def bead_volume(self):
        """Room that the beads take from the liquid [m³]."""
        return self.desiccant_mass / BEAD_DENSITY

    @property
    def bead_share(self):
        """Share of the section that beads take up where the bag hangs [-]."""
        return self.bead_volume / (self.area * self.desiccant_height) if self.desiccant_mass else 0.0

    @property
    def free_volume(self):
        """Room for refrigerant, liquid and vapour [m³]."""
        return self.area * self.height - self.bead_volume


def _length(value):
    return Amount(value, "length")


class ReceiverConditions(Spec):
    """What is in the receiver, liquid and vapour together, and how the vehicle stands or drives.

    Slope and bend act towards the bad side. The subcooling pass takes its subcooling off liquid that comes without
    bubbles.
    """

    inventory: float = quantity("mass", 0.0, 20.0, "refrigerant in the receiver", advice="90 g is 0.09 kg")
    tilt: float = asked(TILT, 0.0)
    lateral_acceleration: float = asked(BEND, 0.0)
    pass_subcooling: float = quantity("temperature_difference", 0.5, 40.0, "subcooling of the pass", 8.0)

    @property
    def slope(self):
        """Tangent of the angle between liquid surface and vessel floor [-]."""
        return surface_slope(self.tilt, self.lateral_acceleration)


def surface_angle(tilt, lateral_acceleration):
    """Return the angle between the liquid's surface and the vessel's floor; tilt [rad], bend [m/s²] → [rad].

    Definition: the surface stands square to gravity and inertia together, tan = a/g on level ground. Steady bends
    only; sloshing is left out.
    """
    return min(tilt + math.atan(lateral_acceleration / GRAVITY), STEEPEST_SURFACE)


def surface_slope(tilt, lateral_acceleration):
    """Return the tangent of `surface_angle`; tilt [rad], bend [m/s²] → [-]."""
    return math.tan(surface_angle(tilt, lateral_acceleration))


NEAREST_TO_CRITICAL = 3.0
DIP_COEFFICIENT = 0.69
FROUDE_FACTOR = 2.3
_STEPS = 24
REGIMES = {
    "flooded": "the mouth is deep in liquid: nothing but liquid goes up",
    "vapour possible": "the mouth is covered, but a swirl may suck vapour down to it",
    "vapour pulled down": "the surface dips into the mouth: bubbles go up with the liquid",
    "uncovered": "the mouth stands in vapour: vapour goes up",
}
"""The four regimes and what they mean."""


def volume_below(height, slope, radius):
    """Return the volume between the floor and a tilted plane in an upright round vessel without a lid.

    height: of the plane on the axis [m]; slope [-]; radius [m] → [m³]. Where the plane cuts the floor, the volume is
    a cylindrical hoof (ungula).

    Examples
    --------
    >>> round(volume_below(0.1, 0.0, 0.02) * 1e6, 2)
    125.66
    """
    reach = slope * radius
    if height >= reach:
        return height * math.pi * radius**2
    if height <= -reach:
        return 0.0
    cut = -height / slope
    chord = math.sqrt(max(radius**2 - cut**2, 0.0))
    area = radius**2 * math.acos(cut / radius) - cut * chord
    return height * area + slope * (2.0 / 3.0) * chord**3


def liquid_volume(vessel, height, slope):
    """Return the liquid below a tilted surface, under the lid and without what the beads take up; [m], [-] → [m³].

    The beads are taken to be spread evenly over the vessel's section where the bag hangs.
    """
    radius = vessel.radius
    under_lid = volume_below(height, slope, radius) - volume_below(height - vessel.height, slope, radius)
    if not vessel.bead_share:
        return under_lid
    beside_bag = volume_below(height - vessel.desiccant_bottom, slope, radius)
    return under_lid - vessel.bead_share * (beside_bag - volume_below(height - vessel.bag_top, slope, radius))


def surface_height(vessel, volume, slope):
    """Return where the surface stands on the vessel's axis, the inverse of `liquid_volume`; [m³], [-] → [m]."""
    low, high = -slope * vessel.radius, vessel.height + slope * vessel.radius
    if volume <= 0.0:
        return low
    if volume >= vessel.free_volume:
        return high
    return root(lambda height: liquid_volume(vessel, height, slope) - volume, low, high, what="height of the surface")


def dip_height(*, volume_flow, liquid_density, vapour_density, gravity=GRAVITY):
    """Return the height of liquid at which its surface dips into the mouth and vapour goes along.

    Parameters
    ----------
    volume_flow : float, [m³/s]. Drawn off.
    liquid_density : float, [kg/m³]. Of the liquid.
    vapour_density : float, [kg/m³]. Of the vapour above it.
    gravity : float, [m/s²]. What pulls on the liquid.

    Returns: float, [m]. Height over the mouth, free of swirl.

    Notes: Found with a bottom drain in the middle of a still tank; measured heights scatter by about a tenth. The
        coefficient follows from Bernoulli and flow towards a point in half a space: 5/4 (2π²)^(-1/5) = 0.689.

    References: Lubin B.T., Springer G.S., The formation of a dip on the surface of a liquid draining from a tank, J.
        Fluid Mech. 29 (1967) 385-390.

    Examples
    --------
    >>> round(dip_height(volume_flow=0.001, liquid_density=998, vapour_density=1.2) * 1000, 2)
    27.58
    """
    reduced = gravity * (1.0 - vapour_density / liquid_density)
    return DIP_COEFFICIENT * (volume_flow**2 / reduced) ** 0.2


def safe_submergence(*, velocity, diameter, gravity=GRAVITY):
    """Return the depth of a mouth at which pump builders rule out swirl that reaches down to it.

    Parameters
    ----------
    velocity : float, [m/s]. In the mouth.
    diameter : float, [m]. Of the mouth.
    gravity : float, [m/s²]. What pulls on the liquid; for dense vapour above it, the reduced one.

    Returns: float, [m]. Depth over the mouth, with the swirl of an ordinary approach flow.

    Notes: Made for pump intakes with water and air, far larger than a standpipe; here it is the safe side of the band.

    References: ANSI/HI 9.8, Rotodynamic Pumps for Pump Intake Design: S = D (1 + 2.3 Fr), Fr = V/√(g D).

    Examples
    --------
    >>> round(safe_submergence(velocity=1.0, diameter=0.05) * 1000, 1)
    214.2
    """
    return diameter * (1.0 + FROUDE_FACTOR * velocity / math.sqrt(gravity * diameter))


@dataclass(frozen=True, slots=True)
class PickUp:
    """A vessel, a fluid and a flow, worked out once: mass_flow [kg/s], volume_flow [m³/s], velocity [m/s]."""

    vessel: object
    fluid: object
    saturation: object
    mass_flow: float
    volume_flow: float
    velocity: float

    def masses(self):
        """Return what the vessel holds of vapour alone, and when it is full of liquid; → [kg], [kg]."""
        volume = self.vessel.free_volume
        return volume * self.saturation.vapour_density, volume * self.saturation.liquid_density

    def volume_of(self, inventory):
        """Return the liquid volume of an inventory, liquid and vapour together; [kg] → [m³]."""
        empty, full = self.masses()
        return self.vessel.free_volume * (inventory - empty) / (full - empty)

    def inventory_of(self, volume):
        """Return the mass, liquid and vapour together, that belongs to a liquid volume; [m³] → [kg]."""
        empty, full = self.masses()
        return empty + (full - empty) * volume / self.vessel.free_volume

    def needed(self, lateral_acceleration):
        """Return the two published depths that the mouth needs, square to the surface.

        lateral_acceleration: in the bend [m/s²] → onset (the surface dips in) and safe side [m].
        """
        pull = math.hypot(GRAVITY, lateral_acceleration)  # gravity and inertia together
        liquid, vapour = self.saturation.liquid_density, self.saturation.vapour_density
        onset = dip_height(volume_flow=self.volume_flow, liquid_density=liquid, vapour_density=vapour, gravity=pull)
        safe = safe_submergence(
            velocity=self.velocity, diameter=self.vessel.standpipe_diameter, gravity=pull * (1.0 - vapour / liquid)
        )
        return onset, max(safe, onset)

    def least_inventory(self, *, tilt=0.0, lateral_acceleration=0.0, safe=False):
        """Return the smallest mass in the vessel that keeps the mouth covered; tilt [rad], bend [m/s²] → [kg].

        safe: True for the safe side, False for the onset. The full vessel at most: then even that is not enough, or
        only just.
        """
        slope = surface_slope(tilt, lateral_acceleration)
        depth = self.needed(lateral_acceleration)[1 if safe else 0] * math.hypot(1.0, slope)
        height = self.vessel.mouth_height + self.vessel.standpipe_offset * slope + depth
        return self.inventory_of(liquid_volume(self.vessel, height, slope))

    def depth_over_mouth(self, volume, slope):
        """Return how far the surface stands over the mouth, square to it, negative in vapour; [m³], [-] → [m]."""
        over = surface_height(self.vessel, volume, slope) - self.vessel.standpipe_offset * slope
        return (over - self.vessel.mouth_height) / math.hypot(1.0, slope)

    def hardest_bend(self, inventory, *, tilt=0.0, safe=False):
        """Return the lateral acceleration at which the mouth is no longer covered; [kg], tilt [rad] → [m/s²].

        0 if it is not covered even standing; None if it holds up to the hardest bend.
        """

        def missing(bend):
            return self.least_inventory(tilt=tilt, lateral_acceleration=bend, safe=safe) - inventory

        if missing(0.0) > 0.0:
            return 0.0
        bends = [HARDEST_BEND * step / _STEPS for step in range(_STEPS + 1)]
        for before, here in pairwise(bends):
            if missing(here) > 0.0:
                return root(missing, before, here, what="hardest bend")
        return None

    def regime(self, depth, lateral_acceleration):
        """Return the key of `REGIMES` at one depth of the mouth, square to the surface; [m], bend [m/s²]."""
        onset, safe = self.needed(lateral_acceleration)
        if depth <= 0.0:
            return "uncovered"
        if depth < onset:
            return "vapour pulled down"
        return "vapour possible" if depth < safe else "flooded"


def pick_up(*, vessel, refrigerant, condensing_temperature, mass_flow):
    """Work out a vessel with one refrigerant, temperature and flow.

    Parameters
    ----------
    vessel : ReceiverSpec. The receiver.
    refrigerant : str. One of the workbook's refrigerants.
    condensing_temperature : float, [K]. Saturation temperature in the vessel.
    mass_flow : float, [kg/s]. Up the standpipe, 0.0005 to 0.5.

    Returns: PickUp. What the other functions need. Raises OutOfRangeError if the flow is out of range, or there are no
        two phases to tell apart at this temperature.

    Notes: Depth and slope: geometry. The two depths: see `dip_height` and `safe_submergence`.
    """
    fluid = Refrigerant(refrigerant)
    top = fluid.critical_temperature - NEAREST_TO_CRITICAL
    with Checks() as checks:
        FLOW.check(checks, mass_flow)
        checks.within("condensing temperature", condensing_temperature, 223.15, 403.15, kind="temperature")
        if not checks.problems and condensing_temperature > top:
            told = "is above {}, where {} still parts into liquid and vapour"
            given = Amount(condensing_temperature, "temperature")
            advice = "above the critical point there is no liquid level: choose a cooler day or another refrigerant"
            checks.add("condensing temperature", given, Said(told, Amount(top, "temperature"), fluid.name), advice)
    saturation = fluid.saturation(condensing_temperature)
    flow = mass_flow / saturation.liquid_density
    velocity = flow / (math.pi / 4.0 * vessel.standpipe_diameter**2)
    return PickUp(vessel, fluid, saturation, mass_flow, flow, velocity)


@dataclass(frozen=True, slots=True)
class DepthCurves:
    """Both published depths over a range of flows, and one operating point.

    flows [kg/s]; onset, safe [m]: at each flow; mass_flow [kg/s], bore [m], depth, onset_here, safe_here [m]: the
    point; regime: one of `REGIMES`
    """

    flows: tuple[float, ...]
    onset: tuple[float, ...]
    safe: tuple[float, ...]
    mass_flow: float
    bore: float
    depth: float
    onset_here: float
    safe_here: float
    regime: str


def depth_curves(here, *, depth, most, lateral_acceleration=0.0, steps=40):
    """Return both published depths from no flow up to the largest, and the regime at one point.

    Parameters
    ----------
    here : PickUp. Vessel, fluid and flow of the point.
    depth : float, [m]. Of the mouth, square to the surface.
    most : float, [kg/s]. Largest flow of the curves.
    lateral_acceleration : float, [m/s²]. In the bend.
    steps : int. Number of steps along the curves.

    Returns: DepthCurves. For a chart.

    Notes: See `dip_height` and `safe_submergence`; at no flow the curves start at nothing and at one bore (definition).
    """
    flows = tuple(most * step / steps for step in range(steps + 1))
    bore = here.vessel.standpipe_diameter
    pairs = [(0.0, bore)]
    for flow in flows[1:]:
        share = flow / here.mass_flow
        moved = replace(here, mass_flow=flow, volume_flow=share * here.volume_flow, velocity=share * here.velocity)
        pairs.append(moved.needed(lateral_acceleration))
    onset, safe = zip(*pairs, strict=True)
    onset_here, safe_here = here.needed(lateral_acceleration)
    regime = here.regime(depth, lateral_acceleration)
    return DepthCurves(flows, onset, safe, here.mass_flow, bore, depth, onset_here, safe_here, regime)
