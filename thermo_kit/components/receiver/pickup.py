"""How much liquid the vessel must hold so that the mouth stays covered, at any slope and in any bend."""

import math
from dataclasses import dataclass, replace

from thermo_kit.components.receiver.geometry import liquid_volume, surface_height
from thermo_kit.components.receiver.spec import HARDEST_BEND, felt_gravity, surface_slope
from thermo_kit.components.receiver.submergence import dip_height, safe_submergence
from thermo_kit.substances import Refrigerant
from thermo_kit.units import format_quantity
from thermo_kit.units.checks import Checks

NEAREST_TO_CRITICAL = 3.0
_STEPS = 24
REGIMES = {
    "flooded": "the mouth is deep in liquid: nothing but liquid goes up",
    "vapour possible": "the mouth is covered, but a swirl may suck vapour down to it",
    "vapour pulled down": "the surface dips into the mouth: bubbles go up with the liquid",
    "uncovered": "the mouth stands in vapour: vapour goes up",
}
"""The four regimes and what they mean."""


@dataclass(frozen=True, slots=True)
class PickUp:
    """A vessel, a fluid and a flow, worked out once: densities [kg/m³], volume_flow [m³/s], velocity [m/s]."""

    vessel: object
    fluid: object
    saturation: object
    mass_flow: float
    volume_flow: float
    velocity: float

    def masses(self):
        """Return what the vessel holds when it is free of liquid, and when it is full.

        Returns
        -------
        tuple of float, [kg]
            Vapour only, liquid only.
        """
        volume = self.vessel.free_volume
        return volume * self.saturation.vapour_density, volume * self.saturation.liquid_density

    def volume_of(self, inventory):
        """Return the liquid volume of an inventory.

        Parameters
        ----------
        inventory : float, [kg]
            Liquid and vapour together.

        Returns
        -------
        float, [m³]
            From nothing to the free volume.
        """
        empty, full = self.masses()
        return self.vessel.free_volume * (inventory - empty) / (full - empty)

    def inventory_of(self, volume):
        """Return the mass that belongs to a liquid volume.

        Parameters
        ----------
        volume : float, [m³]
            Liquid volume.

        Returns
        -------
        float, [kg]
            Liquid and vapour together.
        """
        empty, full = self.masses()
        return empty + (full - empty) * volume / self.vessel.free_volume

    def needed(self, lateral_acceleration):
        """Return the two published depths that the mouth needs.

        Parameters
        ----------
        lateral_acceleration : float, [m/s²]
            In the bend.

        Returns
        -------
        tuple of float, [m]
            Onset (the surface dips in) and safe side, square to the surface.
        """
        pull = felt_gravity(lateral_acceleration)
        liquid, vapour = self.saturation.liquid_density, self.saturation.vapour_density
        onset = dip_height(volume_flow=self.volume_flow, liquid_density=liquid, vapour_density=vapour, gravity=pull)
        safe = safe_submergence(
            velocity=self.velocity, diameter=self.vessel.standpipe_diameter, gravity=pull * (1.0 - vapour / liquid)
        )
        return onset, max(safe, onset)

    def least_inventory(self, *, tilt=0.0, lateral_acceleration=0.0, safe=False):
        """Return the smallest mass in the vessel that keeps the mouth covered.

        Parameters
        ----------
        tilt : float, [rad]
            Slope of the ground.
        lateral_acceleration : float, [m/s²]
            In the bend.
        safe : bool
            True for the safe side, False for the onset.

        Returns
        -------
        float, [kg]
            The full vessel at most: then even that is not enough, or only just.
        """
        slope = surface_slope(tilt, lateral_acceleration)
        depth = self.needed(lateral_acceleration)[1 if safe else 0] * math.hypot(1.0, slope)
        height = self.vessel.mouth_height + self.vessel.standpipe_offset * slope + depth
        return self.inventory_of(liquid_volume(self.vessel, height, slope))

    def depth_over_mouth(self, volume, slope):
        """Return how far the surface stands over the mouth, square to the surface.

        Parameters
        ----------
        volume : float, [m³]
            Liquid in the vessel.
        slope : float, [-]
            Tangent of the surface's angle.

        Returns
        -------
        float, [m]
            Negative where the mouth stands in vapour.
        """
        over = surface_height(self.vessel, volume, slope) - self.vessel.standpipe_offset * slope
        return (over - self.vessel.mouth_height) / math.hypot(1.0, slope)

    def hardest_bend(self, inventory, *, tilt=0.0, safe=False):
        """Return the lateral acceleration at which the mouth is no longer covered.

        Parameters
        ----------
        inventory : float, [kg]
            In the vessel.
        tilt : float, [rad]
            Slope of the ground.
        safe : bool
            True for the safe side, False for the onset.

        Returns
        -------
        float or None, [m/s²]
            0 if it is not covered even standing; None if it holds up to 15 m/s².
        """
        before = 0.0
        for step in range(_STEPS + 1):
            here = HARDEST_BEND * step / _STEPS
            if self.least_inventory(tilt=tilt, lateral_acceleration=here, safe=safe) > inventory:
                return self._first(before, here, inventory, tilt, safe) if step else 0.0
            before = here
        return None

    def _first(self, low, high, inventory, tilt, safe):
        for _ in range(30):
            middle = 0.5 * (low + high)
            enough = self.least_inventory(tilt=tilt, lateral_acceleration=middle, safe=safe) <= inventory
            low, high = (middle, high) if enough else (low, middle)
        return low

    def regime(self, depth, lateral_acceleration):
        """Return the regime at one depth.

        Parameters
        ----------
        depth : float, [m]
            Of the mouth, square to the surface.
        lateral_acceleration : float, [m/s²]
            In the bend.

        Returns
        -------
        str
            One of `REGIMES`.
        """
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
    vessel : ReceiverSpec
        The receiver.
    refrigerant : str
        One of the workbook's refrigerants.
    condensing_temperature : float, [K]
        Saturation temperature in the vessel.
    mass_flow : float, [kg/s]
        Up the standpipe, above 0.

    Returns
    -------
    PickUp
        What the other functions need.

    Raises
    ------
    OutOfRangeError
        If there are no two phases to tell apart at this temperature.

    Notes
    -----
    Depth and slope: geometry. The two depths: see `dip_height` and `safe_submergence`.
    """
    fluid = Refrigerant(refrigerant)
    top = fluid.critical_temperature - NEAREST_TO_CRITICAL
    if condensing_temperature > top:
        checks = Checks()
        shown = format_quantity(condensing_temperature, "temperature")
        checks.add(
            "condensing temperature",
            shown,
            f"is above {format_quantity(top, 'temperature')}, where {fluid.name} still parts into liquid and vapour",
            "above the critical point there is no liquid level: choose a cooler day or another refrigerant",
        )
        checks.raise_if_any()
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
    here : PickUp
        Vessel, fluid and flow of the point.
    depth : float, [m]
        Of the mouth, square to the surface.
    most : float, [kg/s]
        Largest flow of the curves.
    lateral_acceleration : float, [m/s²]
        In the bend.
    steps : int
        Number of steps along the curves.

    Returns
    -------
    DepthCurves
        For a chart.

    Notes
    -----
    See `dip_height` and `safe_submergence`; at no flow the curves start at nothing and at one bore (definition).
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
