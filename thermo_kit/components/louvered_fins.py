"""Louvered fins between flat tubes: how much heat they pass to the air, and how much they hold the air back."""

import functools
import math
from dataclasses import dataclass

from thermo_kit.components.dry_air import AIR_SPECIFIC_HEAT
from thermo_kit.laws.fins import fin_efficiency
from thermo_kit.units import Amount, Checks, Said, Spec, quantity
from thermo_kit.units.look import percent

INCH = 0.0254
LOWEST_FRICTION_REYNOLDS = 40.0
FASTEST_FACE = 25.0
# Towards 0.01 the friction formula runs away. Below this, more fins would seem to hold the air back less.
THINNEST_SHARE = 0.02
# What the two papers' test cores covered, as recalled: outside it a note is given, not an error.
_TESTED = {
    "fin_pitch": (0.51e-3, 3.33e-3),
    "fin_height": (2.84e-3, 25e-3),
    "louver_pitch": (0.7e-3, 3e-3),
    "fin_depth": (15.6e-3, 57.4e-3),
    "louver_length": (2.13e-3, 18.5e-3),
    "tube_pitch": (7.51e-3, 25e-3),
    "fin_thickness": (0.0254e-3, 0.16e-3),
    "louver_angle": (8.4, 35.0),
}


class FinSpec(Spec):
    """The folded, louvered fin strip of a core and the flat tube it is brazed to.

    fin_density: counted along the tube; fin_height: gap between two tubes that the fin bridges; fin_depth: in the
    direction of the air; louver_pitch: from one louver to the next; louver_length: of the cut; louver_angle: out of the
    sheet [degree]; tube_height, tube_depth: the thin and the wide outside measure of the flat tube; conductivity: of
    the fin metal.
    """

    fin_density: float = quantity(
        "fin_density", 4.0 / INCH, 40.0 / INCH, "fin density", 20.0 / INCH,
        advice="fins are counted per metre here: 20 fins per inch is 787 per metre",
    )  # fmt: skip
    fin_height: float = quantity("length", 2e-3, 25e-3, "fin height", 8.0e-3)
    fin_depth: float = quantity("length", 8e-3, 60e-3, "fin depth", 16.0e-3)
    fin_thickness: float = quantity("length", 0.02e-3, 0.3e-3, "fin thickness", 0.08e-3)
    louver_pitch: float = quantity("length", 0.4e-3, 4e-3, "louver pitch", 1.1e-3)
    louver_length: float = quantity("length", 1e-3, 25e-3, "louver length", 6.8e-3)
    louver_angle: float = quantity("ratio", 8.0, 40.0, "louver angle", 28.0, advice="the angle is in degrees")
    tube_height: float = quantity("length", 0.8e-3, 6e-3, "tube height", 1.8e-3)
    tube_depth: float = quantity("length", 8e-3, 60e-3, "tube depth", 16.0e-3)
    conductivity: float = quantity("conductivity", 50.0, 400.0, "fin conductivity", 190.0)

    def fit(self, checks):
        if self.louver_length >= self.fin_height:
            checks.add("louver length", "is not less than the fin height", "", "a cut ends before the tube")
        share = self.fin_thickness * self.fin_density
        if share > 0.5:
            checks.add("fin thickness", "is more than half the fin pitch", "", "use thinner or fewer fins")
        elif share < THINNEST_SHARE:
            thick_enough = Amount(THINNEST_SHARE / self.fin_density, "length", 3)
            least = percent(THINNEST_SHARE)
            limit = f"is {percent(share, 1)} of the fin pitch; the friction formula holds from {least}"
            advice = Said("use thicker fins, of at least {}, or more of them", thick_enough)
            checks.add("fin thickness", Amount(self.fin_thickness, "length", 3), limit, advice)


@dataclass(frozen=True, slots=True)
class FinGeometry:
    """Areas that follow from a fin strip, per metre of one tube with its share of fins.

    fin_pitch, tube_pitch, hydraulic_diameter [m]; total_area, fin_area [m²/m]; free_flow_area [m²/m];
    contraction: free-flow area divided by face area; notes: measures outside the tested cores
    """

    fin_pitch: float
    tube_pitch: float
    hydraulic_diameter: float
    total_area: float
    fin_area: float
    free_flow_area: float
    contraction: float
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FinResult:
    """What a louvered core does at one face velocity.

    reynolds [-]: on louver pitch; conductance: air side of one metre of tube [W/(m K)]; pressure_drop [Pa]; notes
    """

    reynolds: float
    conductance: float
    pressure_drop: float
    notes: tuple[str, ...]


def fins_per_inch(count):
    """Return a fin density from the count the trade uses.

    Parameters
    ----------
    count : float, [1/inch]. Fins on one inch of tube, 0.1 to 200.

    Returns: float, [1/m]. Fins on one metre of tube. Raises OutOfRangeError if the count is outside its range.

    Notes: Definition of the inch.

    Examples
    --------
    >>> round(fins_per_inch(20), 1)
    787.4
    """
    with Checks() as checks:
        checks.within("fins on one inch", count, 0.1, 200.0, kind="ratio", advice="16 is usual")
    return count / INCH


@functools.lru_cache(maxsize=256)
def fin_geometry(fins):
    """Return the areas of a fin strip with its tube.

    Notes: The fold is taken as rectangular. One strip of fins belongs to each tube; the noses of the tube are left out.

    References: Kays & London, Compact Heat Exchangers, hydraulic diameter 4 x free-flow area x depth / total area.

    Examples
    --------
    >>> round(fin_geometry(FinSpec()).fin_pitch * 1000, 2)
    1.27
    """
    pitch = 1.0 / fins.fin_density
    open_share = 1.0 - fins.fin_thickness / pitch
    fin_area = 2.0 * fins.fin_height * fins.fin_depth / pitch
    total_area = fin_area + 2.0 * fins.tube_depth * open_share
    free_flow = fins.fin_height * open_share
    tube_pitch = fins.fin_height + fins.tube_height
    measures = vars(fins) | {"fin_pitch": pitch, "tube_pitch": tube_pitch}
    outside = [name.replace("_", " ") for name, (low, high) in _TESTED.items() if not low <= measures[name] <= high]
    return FinGeometry(
        fin_pitch=pitch, tube_pitch=tube_pitch, hydraulic_diameter=4.0 * free_flow * fins.fin_depth / total_area,
        total_area=total_area, fin_area=fin_area, free_flow_area=free_flow, contraction=free_flow / tube_pitch,
        notes=(f"outside the cores the fin correlations were tested on: {', '.join(outside)}",) if outside else (),
    )  # fmt: skip


def colburn_factor(fins, reynolds):
    """Return the Colburn factor j of louvered fins: how well the air takes up heat; reynolds [-] → [-].

    Notes: 89 % of the paper's data lie within 15 %.

    References: Chang & Wang, Int. J. Heat Mass Transfer 40 (1997) 533-544.
    """
    geometry = fin_geometry(fins)
    pitch = fins.louver_pitch
    return (
        reynolds**-0.49
        * (fins.louver_angle / 90.0) ** 0.27
        * (geometry.fin_pitch / pitch) ** -0.14
        * (fins.fin_height / pitch) ** -0.29
        * (fins.tube_depth / pitch) ** -0.23
        * (fins.louver_length / pitch) ** 0.68
        * (geometry.tube_pitch / pitch) ** -0.28
        * (fins.fin_thickness / pitch) ** -0.05
    )


def friction_factor(fins, reynolds):
    """Return the Fanning friction factor of louvered fins: how much they hold the air back; reynolds [-] → [-].

    Notes: The 2000 correlation has one form below and one above Re 150 and jumps there. The 2006 amendment joins the
        values at 130 and 230 by a weighted mean of squares. Below Re 40 the factor is continued as 1/Re, as in any slow
        flow; that part is ours and has no data behind it.

    References: Chang, Hsu, Lin & Wang, Int. J. Heat Mass Transfer 43 (2000) 2237-2243; amendment: Chang, Chang, Li &
        Wang, 49 (2006) 4250-4253 (its weighting read second hand, in two independent public codes).

    Examples
    --------
    >>> friction_factor(FinSpec(), 200.0) > friction_factor(FinSpec(), 400.0)
    True
    """
    slow, fast = _friction_parts(fins)
    if reynolds >= 230.0:
        return fast(reynolds)
    if reynolds > 130.0:
        weight = 3.6 - 0.02 * reynolds
        return math.sqrt(0.5 * (1.0 + weight) * slow(130.0) ** 2 + 0.5 * (1.0 - weight) * fast(230.0) ** 2)
    if reynolds >= LOWEST_FRICTION_REYNOLDS:
        return slow(reynolds)
    return slow(LOWEST_FRICTION_REYNOLDS) * LOWEST_FRICTION_REYNOLDS / max(reynolds, 1e-9)


@functools.lru_cache(maxsize=256)
def _friction_parts(fins):
    g = fin_geometry(fins)
    height, pitch, angle = fins.fin_height, fins.louver_pitch, fins.louver_angle
    slow_constant = (
        14.39
        * math.log(1.0 + g.fin_pitch / pitch) ** 3.04
        * math.log((fins.fin_thickness / g.fin_pitch) ** 0.48 + 0.9) ** -1.435
        * (g.hydraulic_diameter / pitch) ** -3.01
        * (g.fin_pitch / fins.louver_length) ** -0.308
        * (fins.fin_depth / fins.louver_length) ** -0.308
        * math.exp(-0.1167 * g.tube_pitch / fins.tube_height)
        * angle**0.35
    )
    slow_power = -0.805 * g.fin_pitch / height
    fast_constant = (
        4.97
        * math.log((fins.fin_thickness / g.fin_pitch) ** 0.5 + 0.9) ** -0.527
        * (g.hydraulic_diameter / pitch) ** -2.966
        * (g.fin_pitch / fins.louver_length) ** (-0.7931 * g.tube_pitch / height)
        * (g.tube_pitch / fins.tube_height) ** -0.0446
        * math.log(1.2 + (pitch / g.fin_pitch) ** 1.4) ** -3.553
        * angle**-0.477
    )
    fast_power = 0.6049 - 1.064 / angle**0.2

    def slow(reynolds):
        return slow_constant * reynolds**slow_power * math.log(0.5 * reynolds) ** -3.01

    def fast(reynolds):
        return fast_constant * reynolds**fast_power * math.log(0.3 * reynolds) ** -2.966

    return slow, fast


def fin_surface(fins, *, face_velocity, air):
    """Return heat transfer and resistance of a louvered core at one face velocity.

    Parameters
    ----------
    fins : FinSpec. Fin and tube measures.
    face_velocity : float, [m/s]. Air speed in front of the open part of the core, above 0 up to 25.
    air : DryAir. The air that enters.

    Returns: FinResult. Conductance of one metre of tube, pressure drop. Raises OutOfRangeError if the face velocity is
        outside its range.

    Notes: Entrance and exit losses of the core and the thinning of the air as it warms are left out: together some 10
        per cent of the pressure drop, less than the scatter of the friction data.

    References: As in `colburn_factor`, `friction_factor`, `thermo_kit.laws.fins`; Kays & London, Compact Heat
        Exchangers.

    Examples
    --------
    >>> from thermo_kit.components.dry_air import dry_air
    >>> result = fin_surface(FinSpec(), face_velocity=2.5, air=dry_air(T=308.15))
    >>> 20 < result.pressure_drop < 120
    True
    """
    with Checks() as checks:
        checks.within("face velocity", face_velocity, 0.0, FASTEST_FACE, kind="velocity", exclusive=True)
    geometry = fin_geometry(fins)
    mass_flux = air.density * face_velocity / geometry.contraction
    reynolds = mass_flux * fins.louver_pitch / air.viscosity
    j, f = colburn_factor(fins, reynolds), friction_factor(fins, reynolds)
    coefficient = j * mass_flux * AIR_SPECIFIC_HEAT / air.prandtl ** (2.0 / 3.0)
    efficiency = fin_efficiency(
        film=coefficient, conductivity=fins.conductivity, thickness=fins.fin_thickness, depth=fins.fin_depth,
        reach=0.5 * fins.fin_height - fins.fin_thickness,
    )  # fmt: skip
    surface = 1.0 - geometry.fin_area / geometry.total_area * (1.0 - efficiency)
    notes = geometry.notes
    if not 100.0 <= reynolds <= 3000.0:
        notes = (*notes, f"louver Reynolds number {reynolds:.0f} is outside 100 to 3000, where the fin data lie")
    drop = f * geometry.total_area / geometry.free_flow_area * mass_flux**2 / (2.0 * air.density)
    return FinResult(reynolds, surface * coefficient * geometry.total_area, drop, notes)
