"""What a receiver-drier is, and what it is asked to do."""

import math
from dataclasses import dataclass

from thermo_kit.laws.constants import GRAVITY
from thermo_kit.substances.names import canonical_name
from thermo_kit.units import format_quantity
from thermo_kit.units.checks import Checks

BEAD_DENSITY = 1100.0
"""Mass of a desiccant bead by its own outer volume [kg/m³]: common practice, no source."""
BAG_DENSITY = 700.0
"""Mass of a heap of beads by the room it takes [kg/m³]: common practice, no source."""
HARDEST_BEND = 15.0
"""Largest lateral acceleration looked at [m/s²]; tyres of road vehicles slide before."""
STEEPEST = math.radians(45.0)
STEEPEST_SURFACE = math.radians(83.0)


def _mm(value):
    return format_quantity(value, "length")


@dataclass(frozen=True, kw_only=True)
class ReceiverSpec:
    """An upright round vessel whose standpipe drinks from the bottom.

    Parameters
    ----------
    diameter : float, [m]
        Inside, 0.015 to 0.3.
    height : float, [m]
        Inside, from floor to lid, 0.04 to 0.8.
    standpipe_diameter : float, [m]
        Bore, 0.002 to 0.03.
    standpipe_length : float, [m]
        From the lid down to the mouth; shorter than the vessel.
    standpipe_offset : float, [m]
        How far the mouth stands off the vessel's axis, from 0.
    outlet_height : float or None, [m]
        Height above the vessel's floor at which the subcooling pass takes over; None means at the lid.
    desiccant_mass : float, [kg]
        Dry beads, 0 to 1.
    desiccant_bottom : float, [m]
        Lower end of the bag above the floor.
    desiccant_height : float, [m]
        Height of the bag.
    filter_area : float, [m²]
        Of the mesh in front of the outlet, 1e-5 to 0.05.
    filter_open_share : float, [-]
        Share of the clean mesh that is open, 0.1 to 0.9.
    filter_blocked_share : float, [-]
        Share of the openings that dirt has closed, 0 to 0.95.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range or two of them do not fit; all are told at once.

    Notes
    -----
    Flat floor and lid; the wall of the standpipe takes no room. Geometry only.
    """

    diameter: float
    height: float
    standpipe_diameter: float
    standpipe_length: float
    standpipe_offset: float = 0.0
    outlet_height: float | None = None
    desiccant_mass: float = 0.0
    desiccant_bottom: float = 0.0
    desiccant_height: float = 0.0
    filter_area: float = 6e-4
    filter_open_share: float = 0.4
    filter_blocked_share: float = 0.0

    def __post_init__(self):
        checks = Checks()
        checks.within("vessel diameter", self.diameter, 0.015, 0.3, kind="length")
        checks.within("vessel height", self.height, 0.04, 0.8, kind="length")
        checks.within("standpipe bore", self.standpipe_diameter, 0.002, 0.03, kind="length")
        checks.within("standpipe length", self.standpipe_length, 0.0, 2.0, kind="length")
        checks.within("standpipe offset", self.standpipe_offset, 0.0, 0.15, kind="length")
        checks.within("desiccant mass", self.desiccant_mass, 0.0, 1.0, kind="mass", advice="40 g is 0.04 kg")
        checks.within("lower end of the bag", self.desiccant_bottom, 0.0, 0.8, kind="length")
        checks.within("height of the bag", self.desiccant_height, 0.0, 0.8, kind="length")
        checks.within("filter area", self.filter_area, 1e-5, 0.05, kind="area", advice="6 cm² is 6e-4 m²")
        checks.within("open share of the filter", self.filter_open_share, 0.1, 0.9, kind="ratio", advice="40 % is 0.4")
        checks.within(
            "blocked share of the filter",
            self.filter_blocked_share,
            0.0,
            0.95,
            kind="ratio",
            advice="a share: 30 % is 0.3; a fully blocked filter passes nothing",
        )
        if self.outlet_height is not None:
            checks.within("outlet height", self.outlet_height, -0.5, 2.0, kind="length")
        if not checks.problems:
            self._check_standpipe(checks)
            self._check_bag(checks)
        checks.raise_if_any()

    def _check_standpipe(self, checks):
        name, length = "standpipe length", _mm(self.standpipe_length)
        if self.standpipe_length >= self.height:
            checks.add(
                name,
                length,
                f"is not less than the vessel's {_mm(self.height)}",
                "it would stand through the floor: measure from the lid down to the mouth",
            )
        elif self.mouth_height < 0.001:
            checks.add(
                name,
                length,
                f"leaves only {_mm(self.mouth_height)} below the mouth, less than {_mm(0.001)}",
                "the floor would shut the mouth: shorten the pipe a little",
            )
        elif self.mouth_height > self.height / 2:
            checks.add(
                name,
                length,
                f"ends in the upper half of the vessel, {_mm(self.height)} high",
                "it would drink vapour: a standpipe reaches to the bottom; was its clearance typed?",
            )
        if self.standpipe_diameter > self.diameter / 2:
            checks.add(
                "standpipe bore",
                _mm(self.standpipe_diameter),
                f"is more than half the vessel's {_mm(self.diameter)}",
                "check which of the two diameters was typed",
            )
        elif self.standpipe_offset + self.standpipe_diameter / 2 > self.radius:
            checks.add(
                "standpipe offset",
                _mm(self.standpipe_offset),
                f"puts the mouth through the wall, {_mm(self.radius)} from the axis",
                "measure from the vessel's axis to the pipe's axis",
            )

    def _check_bag(self, checks):
        if self.desiccant_bottom + self.desiccant_height > self.height:
            checks.add(
                "bag",
                f"from {_mm(self.desiccant_bottom)} to {_mm(self.desiccant_bottom + self.desiccant_height)}",
                f"is higher than the vessel's {_mm(self.height)}",
                "check its height and its lower end",
            )
        elif self.desiccant_mass > BAG_DENSITY * self.area * self.desiccant_height:
            fits = BAG_DENSITY * self.area * self.desiccant_height
            checks.add(
                "desiccant mass",
                format_quantity(self.desiccant_mass, "mass"),
                f"does not fit: a bag of this height holds {format_quantity(fits, 'mass')} at most",
                "check the mass, or make the bag higher",
            )

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


@dataclass(frozen=True, kw_only=True)
class ReceiverConditions:
    """What flows through the receiver, and how the vehicle stands or drives.

    Parameters
    ----------
    refrigerant : str
        One of the workbook's refrigerants, below its critical point.
    condensing_temperature : float, [K]
        Saturation temperature in the vessel.
    mass_flow : float, [kg/s]
        Up the standpipe, 0.0005 to 0.5.
    inventory : float, [kg]
        Refrigerant in the vessel, liquid and vapour together.
    tilt : float, [rad]
        Slope of the ground towards the bad side, 0 to 45 degrees.
    lateral_acceleration : float, [m/s²]
        In a bend, or when braking, towards the bad side, 0 to 15.
    pass_subcooling : float, [K]
        What the subcooling pass takes off liquid that comes in without bubbles, 0.5 to 40.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    UnknownNameError
        If the refrigerant is not in the workbook.
    """

    refrigerant: str
    condensing_temperature: float
    mass_flow: float
    inventory: float
    tilt: float = 0.0
    lateral_acceleration: float = 0.0
    pass_subcooling: float = 8.0

    def __post_init__(self):
        object.__setattr__(self, "refrigerant", canonical_name(self.refrigerant))
        checks = Checks()
        check_flow(checks, self.mass_flow)
        check_temperature(checks, self.condensing_temperature)
        checks.within("refrigerant in the receiver", self.inventory, 0.0, 20.0, kind="mass", advice="90 g is 0.09 kg")
        check_motion(checks, self.tilt, self.lateral_acceleration)
        checks.within("subcooling of the pass", self.pass_subcooling, 0.5, 40.0, kind="temperature_difference")
        checks.raise_if_any()

    @property
    def slope(self):
        """Tangent of the angle between liquid surface and vessel floor [-]."""
        return surface_slope(self.tilt, self.lateral_acceleration)


def check_flow(checks, mass_flow):
    """Note a flow that the model cannot use; mass_flow [kg/s].

    Notes
    -----
    Definition of the model's range.
    """
    if mass_flow == 0:
        checks.add(
            "refrigerant flow",
            "0",
            "is no flow",
            "a standing system drinks nothing: give the flow while it runs, 0.5 g/s or more",
        )
    else:
        checks.within(
            "refrigerant flow",
            mass_flow,
            5e-4,
            0.5,
            kind="mass_flow",
            advice="mass flow is in kg/s inside the package: 30 g/s is 0.03",
        )


def check_temperature(checks, condensing_temperature):
    """Note a condensing temperature that no refrigerant of the workbook could have; condensing_temperature [K].

    Notes
    -----
    Definition of the model's range.
    """
    checks.within("condensing temperature", condensing_temperature, 223.15, 403.15, kind="temperature")


def check_motion(checks, tilt, lateral_acceleration):
    """Note a slope or a bend that the model cannot use; tilt [rad], lateral_acceleration [m/s²].

    Notes
    -----
    Definition of the model's range.
    """
    checks.within("tilt", tilt, 0.0, STEEPEST, kind="angle", advice="the side is the bad one already: give 0 to 45°")
    checks.within(
        "lateral acceleration",
        lateral_acceleration,
        0.0,
        HARDEST_BEND,
        kind="acceleration",
        advice="0.6 g is 5.9 m/s²; tyres slide before 15",
    )


def surface_angle(tilt, lateral_acceleration):
    """Return the angle between the liquid's surface and the vessel's floor.

    tilt [rad], lateral_acceleration [m/s²] → [rad].

    Notes
    -----
    Definition: the surface stands square to gravity and inertia together, tan = a/g on level ground. Steady
    bends only; sloshing is left out.
    """
    return min(tilt + math.atan(lateral_acceleration / GRAVITY), STEEPEST_SURFACE)


def surface_slope(tilt, lateral_acceleration):
    """Return how steeply the liquid surface stands to the vessel's floor.

    tilt [rad], lateral_acceleration [m/s²] → [-].

    Notes
    -----
    Definition, see `surface_angle`.
    """
    return math.tan(surface_angle(tilt, lateral_acceleration))


def felt_gravity(lateral_acceleration):
    """Return what pulls on the liquid in a bend: gravity and inertia together; lateral_acceleration [m/s²] → [m/s²].

    Notes
    -----
    Definition.
    """
    return math.hypot(GRAVITY, lateral_acceleration)
