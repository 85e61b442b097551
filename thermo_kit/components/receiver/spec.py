"""What a receiver-drier is, and what it is asked to do."""

import math

from thermo_kit.laws.constants import GRAVITY
from thermo_kit.units import Amount, Quantity, Said, Spec, quantity

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
        self._fit_standpipe(checks)
        self._fit_bag(checks)

    def _fit_standpipe(self, checks):
        name, length = "standpipe length", _length(self.standpipe_length)
        if self.standpipe_length >= self.height:
            checks.add(
                name, length, Said("is not less than the vessel's {}", _length(self.height)),
                "it would stand through the floor: measure from the lid down to the mouth",
            )  # fmt: skip
        elif self.mouth_height < 0.001:
            checks.add(
                name, length,
                Said("leaves only {} below the mouth, less than {}", _length(self.mouth_height), _length(0.001)),
                "the floor would shut the mouth: shorten the pipe a little",
            )  # fmt: skip
        elif self.mouth_height > self.height / 2:
            checks.add(
                name, length, Said("ends in the upper half of the vessel, {} high", _length(self.height)),
                "it would drink vapour: a standpipe reaches to the bottom; was its clearance typed?",
            )  # fmt: skip
        if self.standpipe_diameter > self.diameter / 2:
            checks.add(
                "standpipe bore", _length(self.standpipe_diameter),
                Said("is more than half the vessel's {}", _length(self.diameter)),
                "check which of the two diameters was typed",
            )  # fmt: skip
        elif self.standpipe_offset + self.standpipe_diameter / 2 > self.radius:
            checks.add(
                "standpipe offset", _length(self.standpipe_offset),
                Said("puts the mouth through the wall, {} from the axis", _length(self.radius)),
                "measure from the vessel's axis to the pipe's axis",
            )  # fmt: skip

    def _fit_bag(self, checks):
        fits = BAG_DENSITY * self.area * self.desiccant_height
        if self.bag_top > self.height:
            checks.add(
                "bag", Said("from {} to {}", _length(self.desiccant_bottom), _length(self.bag_top)),
                Said("is higher than the vessel's {}", _length(self.height)), "check its height and its lower end",
            )  # fmt: skip
        elif self.desiccant_mass > fits:
            checks.add(
                "desiccant mass", Amount(self.desiccant_mass, "mass"),
                Said("does not fit: a bag of this height holds {} at most", Amount(fits, "mass")),
                "check the mass, or make the bag higher",
            )  # fmt: skip

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


def tilt_of(default=0.0):
    """Declare the slope of the ground."""
    return quantity(
        "angle", 0.0, STEEPEST, "tilt", default, advice="the side is the bad one already: give 0 to 45°"
    )  # fmt: skip


def bend_of(default=0.0):
    """Declare the lateral acceleration in a bend, or when braking."""
    return quantity(
        "acceleration", 0.0, HARDEST_BEND, "lateral acceleration", default,
        advice="0.6 g is 5.9 m/s²; tyres slide before 15",
    )  # fmt: skip


class ReceiverConditions(Spec):
    """What is in the receiver, liquid and vapour together, and how the vehicle stands or drives.

    Slope and bend act towards the bad side. The subcooling pass takes its subcooling off liquid that comes without
    bubbles.
    """

    inventory: float = quantity("mass", 0.0, 20.0, "refrigerant in the receiver", advice="90 g is 0.09 kg")
    tilt: float = tilt_of()
    lateral_acceleration: float = bend_of()
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


def felt_gravity(lateral_acceleration):
    """Return what pulls on the liquid in a bend: gravity and inertia together; [m/s²] → [m/s²]."""
    return math.hypot(GRAVITY, lateral_acceleration)
