"""The receiver at one moment: level, pick-up, bubbles, and what the lift to the subcooling pass costs."""

import math
from dataclasses import dataclass

from thermo_kit.components.receiver.pickup import REGIMES, liquid_volume, pick_up, surface_height
from thermo_kit.components.receiver.spec import ReceiverConditions, ReceiverSpec, surface_angle
from thermo_kit.errors import NoSolutionError
from thermo_kit.laws.closure import closed
from thermo_kit.laws.constants import GRAVITY
from thermo_kit.laws.roots import root
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.stream import Stream
from thermo_kit.units import Amount, Checks, Said

PIPE_ROUGHNESS = 2e-6
SMALLEST_OPEN_SHARE = 0.02


@dataclass(frozen=True, slots=True)
class LiftResult:
    """The liquid on its way up.

    velocity [m/s]; rise [m]: from the liquid's surface to the outlet; rise_pressure_drop, friction_pressure_drop,
    entrance_pressure_drop, filter_pressure_drop, total_pressure_drop [Pa]; flash_quality: share that boils, by mass;
    flash_volume_share: the same by volume; recondensing_share: of the subcooling pass
    """

    velocity: float
    rise: float
    rise_pressure_drop: float
    friction_pressure_drop: float
    entrance_pressure_drop: float
    filter_pressure_drop: float
    total_pressure_drop: float
    flash_quality: float
    flash_volume_share: float
    recondensing_share: float


@dataclass(frozen=True, kw_only=True, slots=True)
class ReceiverResult:
    """A receiver at one moment.

    spec, inlet, conditions: what was asked; outlet: Stream at the subcooling pass, the flash of the lift in it;
    liquid_density, vapour_density [kg/m³]; level [m]: of the liquid above the floor with the vehicle level and at
    rest; axis_height [m]: of the tilted surface on the vessel's axis; surface_angle [rad];
    submergence [m]: depth of the mouth below the surface, square to it, negative in vapour;
    onset_submergence, safe_submergence [m]: the two published depths that it needs here;
    regime, regime_words: see `REGIMES`; uncovering_acceleration, safe_acceleration [m/s²]: hardest bend on this
    ground, None where even 15 m/s² does not uncover it; downward_velocity [m/s] of the liquid and
    smallest_rising_bubble [m]: in the narrowest section that the liquid fills; lift: LiftResult;
    volume_closure [-]; notes
    """

    spec: ReceiverSpec
    inlet: Stream
    conditions: ReceiverConditions
    outlet: Stream
    liquid_density: float
    vapour_density: float
    level: float
    axis_height: float
    surface_angle: float
    submergence: float
    onset_submergence: float
    safe_submergence: float
    regime: str
    regime_words: str
    uncovering_acceleration: float | None
    safe_acceleration: float | None
    downward_velocity: float
    smallest_rising_bubble: float
    lift: LiftResult
    volume_closure: float
    notes: tuple


def solve_receiver(spec, inlet, conditions):
    """Return where the liquid stands, whether only liquid goes up the standpipe, and what the lift costs.

    Parameters
    ----------
    spec : ReceiverSpec. The vessel.
    inlet : Stream
        What comes from the condenser; the vessel stands at its pressure, and liquid and vapour in it are saturated.
    conditions : ReceiverConditions. Inventory, slope and bend, subcooling of the pass behind it.

    Returns: ReceiverResult. All in SI. Raises OutOfRangeError if the flow is out of range, the inventory is less than
        the vapour alone weighs or more than the vessel holds, or the refrigerant is too near its critical point;
        NoSolutionError if the way to the subcooling pass eats up the pressure.

    Notes: A steady bend towards the bad side: the mouth lies where the surface sinks. Sloshing, foam and oil are left
        out. The two published depths form a band: between them nobody can promise either way.

    References: Lubin & Springer 1967 (onset); ANSI/HI 9.8 (safe side); see `dip_height`, `safe_submergence`,
        `lift_liquid` and `smallest_rising_bubble` for the full references.
    """
    here = pick_up(
        vessel=spec,
        refrigerant=inlet.refrigerant,
        condensing_temperature=_condensing_temperature(inlet),
        mass_flow=inlet.flow,
    )
    _check_inventory(conditions.inventory, *here.masses())
    volume = here.volume_of(conditions.inventory)
    level = surface_height(spec, volume, 0.0)
    slope, bend = conditions.slope, conditions.lateral_acceleration
    axis_height = surface_height(spec, volume, slope)
    depth = here.depth_over_mouth(volume, slope)
    onset, safe = here.needed(bend)
    regime = here.regime(depth, bend)
    saturation = here.saturation
    # Where liquid reaches the bag, the beads leave less room and it falls fastest beside them.
    beads = spec.bead_share if axis_height > spec.desiccant_bottom else 0.0
    downward = here.volume_flow / (spec.area * (1.0 - beads))
    lift = lift_liquid(
        vessel=spec,
        fluid=here.fluid,
        saturation=saturation,
        mass_flow=inlet.flow,
        level=level,
        pass_subcooling=conditions.pass_subcooling,
    )
    closure = abs(liquid_volume(spec, axis_height, slope) - volume) / spec.free_volume
    closed(volume=closure)
    return ReceiverResult(
        spec=spec,
        inlet=inlet,
        conditions=conditions,
        outlet=inlet.at(pressure=saturation.p - lift.total_pressure_drop, enthalpy=saturation.liquid_enthalpy),
        liquid_density=saturation.liquid_density,
        vapour_density=saturation.vapour_density,
        level=level,
        axis_height=axis_height,
        surface_angle=surface_angle(conditions.tilt, bend),
        submergence=depth,
        onset_submergence=onset,
        safe_submergence=safe,
        regime=regime,
        regime_words=REGIMES[regime],
        uncovering_acceleration=here.hardest_bend(conditions.inventory, tilt=conditions.tilt),
        safe_acceleration=here.hardest_bend(conditions.inventory, tilt=conditions.tilt, safe=True),
        downward_velocity=downward,
        smallest_rising_bubble=smallest_rising_bubble(
            velocity=downward,
            liquid_density=saturation.liquid_density,
            vapour_density=saturation.vapour_density,
            viscosity=saturation.liquid_viscosity,
        ),
        lift=lift,
        volume_closure=closure,
        notes=_notes(regime, conditions, axis_height, spec),
    )


def _condensing_temperature(inlet):
    fluid = Refrigerant(inlet.refrigerant)
    low, high = fluid.lowest_pressure, fluid.critical_pressure
    told = f"{fluid.name} parts into liquid and vapour only between these pressures: no liquid level beyond them"
    with Checks() as checks:
        checks.within("pressure in the receiver", inlet.pressure, low, high, kind="pressure", advice=told)
    return fluid.bubble_temperature(inlet.pressure)


def _check_inventory(inventory, empty, full):
    with Checks() as checks:
        if inventory > full * (1 + 1e-9):
            checks.add(
                "refrigerant in the receiver", Amount(inventory, "mass"),
                Said("is more than the vessel holds, {}", Amount(full, "mass")),
                "the rest stands in the condenser; or was this the charge of the whole system?",
            )  # fmt: skip
        elif inventory < empty * (1 - 1e-9):
            checks.add(
                "refrigerant in the receiver", Amount(inventory, "mass", 1),
                Said("is less than its vapour alone weighs, {}", Amount(empty, "mass", 1)),
                "no liquid is left: check the number and its unit",
            )  # fmt: skip


def _notes(regime, conditions, axis_height, spec):
    notes = [
        "Bend and slope act towards the bad side, where the surface sinks at the mouth; a bend the other way "
        "covers it better."
    ]
    if regime == "vapour possible":
        notes.append("Between the two published depths nobody can promise either way: swirl decides.")
    if regime in ("vapour pulled down", "uncovered"):
        notes.append("How much vapour goes along is not computed: subcooling falls and the valve is starved.")
    reach = conditions.slope * spec.radius
    if axis_height + reach > spec.height or axis_height - reach < 0.0:
        notes.append("The surface touches lid or floor.")
    return tuple(notes)


def lift_liquid(*, vessel, fluid, saturation, mass_flow, level, pass_subcooling):
    """Return the pressure lost between surface and subcooling pass, and the flash it makes in saturated liquid.

    mass_flow [kg/s], level [m], pass_subcooling [K]. The liquid enters the mouth saturated and gains or loses no heat
    on the way. Vapour takes the liquid's speed.

    References: Colebrook's friction and a sharp entrance (Rennels & Hudson, Pipe Flow, 2012) through `fluids`; mesh by
        Blevins, Applied Fluid Dynamics Handbook (1984), through `fluids`. The flash is an energy balance.
    """
    from fluids.filters import square_edge_screen
    from fluids.fittings import entrance_sharp
    from fluids.friction import friction_factor

    density = saturation.liquid_density
    bore = vessel.standpipe_diameter
    velocity = mass_flow / (density * math.pi / 4.0 * bore**2)
    dynamic = density * velocity**2 / 2.0
    reynolds = density * velocity * bore / saturation.liquid_viscosity
    friction = friction_factor(Re=reynolds, eD=PIPE_ROUGHNESS / bore) * vessel.standpipe_length / bore * dynamic
    # The speed gained in the mouth is pressure lost as well, so it is counted with the entrance.
    entrance = (1.0 + entrance_sharp()) * dynamic
    approach = mass_flow / (density * vessel.filter_area)
    open_share = max(vessel.filter_open_share * (1.0 - vessel.filter_blocked_share), SMALLEST_OPEN_SHARE)
    mesh = square_edge_screen(open_share) * density * approach**2 / 2.0
    rise = vessel.outlet - level
    hydrostatic = density * GRAVITY * rise
    total = hydrostatic + friction + entrance + mesh
    flash = _flash(fluid, saturation, total, pass_subcooling)
    return LiftResult(velocity, rise, hydrostatic, friction, entrance, mesh, total, *flash)


def _flash(fluid, saturation, drop, pass_subcooling):
    """Return what boils by mass and by volume, and the share of the pass that condenses it again; [Pa], [K] → [-]."""
    if drop <= 0.0:
        return 0.0, 0.0, 0.0
    pressure = saturation.p - drop
    if pressure < 0.5 * saturation.p:
        raise NoSolutionError.about(
            "pressure on the way up", Said("falls by {}", Amount(drop, "pressure_difference")),
            "more than half of what is there", "less flow, a wider standpipe, or a cleaner filter",
        )  # fmt: skip
    liquid, vapour = fluid.at(p=pressure, x=0.0), fluid.at(p=pressure, x=1.0)
    heat = saturation.liquid_enthalpy - liquid.h
    quality = heat / (vapour.h - liquid.h)
    volume = quality / vapour.rho
    cold = fluid.at(p=pressure, T=liquid.T - pass_subcooling)
    return quality, volume / (volume + (1.0 - quality) / liquid.rho), heat / (liquid.h - cold.h)


def smallest_rising_bubble(*, velocity, liquid_density, vapour_density, viscosity):
    """Return the diameter of the bubble that just stands still in liquid flowing down.

    Parameters
    ----------
    velocity : float, [m/s]. Of the liquid, downwards, above 0.
    liquid_density : float, [kg/m³]. Of the liquid.
    vapour_density : float, [kg/m³]. Of the vapour.
    viscosity : float, [Pa s]. Of the liquid.

    Returns: float, [m]. Larger bubbles rise out of the liquid, smaller ones go along with it.

    Notes: The bubble is taken as a hard ball, which holds for small ones in liquid with oil in it; a clean one rises up
        to one and a half times as fast. Above about a millimetre bubbles flatten and the figure is only a rough one.

    References: Stokes' law and the drag of spheres (Barati, Neyshabouri & Ahmadi 2014), as carried by `fluids`.
    """
    from fluids.drag import drag_sphere

    lift = 4.0 / 3.0 * GRAVITY * (liquid_density - vapour_density) / (liquid_density * velocity**2)
    per_metre = liquid_density * velocity / viscosity

    def rises(log_diameter):
        diameter = math.exp(log_diameter)
        return math.log(lift * diameter / drag_sphere(per_metre * diameter))

    # Drag falls and lift grows with the diameter; by their logarithms the way between is nearly straight.
    return math.exp(root(rises, math.log(1e-8), math.log(0.5), what="bubble that stands still"))
