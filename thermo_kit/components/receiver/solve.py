"""The receiver at one moment: level, pick-up, bubbles, lift and flash."""

from dataclasses import dataclass

from thermo_kit.components.receiver.geometry import liquid_volume, surface_height
from thermo_kit.components.receiver.lift import LiftResult, lift_liquid
from thermo_kit.components.receiver.pickup import REGIMES, pick_up
from thermo_kit.components.receiver.separation import smallest_rising_bubble
from thermo_kit.components.receiver.spec import ReceiverConditions, ReceiverSpec, surface_angle
from thermo_kit.units import format_quantity
from thermo_kit.units.checks import Checks


@dataclass(frozen=True, kw_only=True, slots=True)
class ReceiverResult:
    """A receiver at one moment.

    spec, conditions: what was asked; liquid_density, vapour_density [kg/m³]; volume_flow [m³/s];
    liquid_volume [m³]; level [m]: of the liquid above the floor with the vehicle level and at rest;
    axis_height [m]: of the tilted surface on the vessel's axis; surface_angle [rad];
    submergence [m]: depth of the mouth below the surface, square to it, negative in vapour;
    onset_submergence, safe_submergence [m]: the two published depths that it needs here;
    regime, regime_words: see `REGIMES`; uncovering_acceleration, safe_acceleration [m/s²]: hardest bend on this
    ground, None where even 15 m/s² does not uncover it; downward_velocity [m/s]; smallest_rising_bubble [m];
    lift: LiftResult; least_inventory, safe_inventory, full_inventory [kg]: standing level at rest, onset, safe side,
    brim; fill_share [-]: liquid volume by free volume; volume_closure [-]; notes
    """

    spec: ReceiverSpec
    conditions: ReceiverConditions
    liquid_density: float
    vapour_density: float
    volume_flow: float
    liquid_volume: float
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
    least_inventory: float
    safe_inventory: float
    full_inventory: float
    fill_share: float
    volume_closure: float
    notes: tuple[str, ...]


def solve_receiver(spec, conditions):
    """Return where the liquid stands, whether only liquid goes up the standpipe, and what the lift costs.

    Parameters
    ----------
    spec : ReceiverSpec
        The vessel.
    conditions : ReceiverConditions
        Refrigerant, temperature, flow, inventory, slope and bend.

    Returns
    -------
    ReceiverResult
        All in SI.

    Raises
    ------
    OutOfRangeError
        If the inventory is less than the vapour alone weighs, or more than the vessel holds, or the refrigerant is
        too near its critical point.
    NoSolutionError
        If the way to the subcooling pass eats up the pressure.

    Notes
    -----
    A steady bend towards the bad side: the mouth lies where the surface sinks. Sloshing, foam and oil are left
    out. The two published depths form a band: between them nobody can promise either way.

    References
    ----------
    Lubin & Springer 1967 (onset); ANSI/HI 9.8 (safe side); see `dip_height`, `safe_submergence`, `lift_liquid`
    and `smallest_rising_bubble` for the full references.
    """
    here = pick_up(
        vessel=spec,
        refrigerant=conditions.refrigerant,
        condensing_temperature=conditions.condensing_temperature,
        mass_flow=conditions.mass_flow,
    )
    empty, full = here.masses()
    _check_inventory(conditions.inventory, empty, full)
    volume = here.volume_of(conditions.inventory)
    level = surface_height(spec, volume, 0.0)
    slope, bend = conditions.slope, conditions.lateral_acceleration
    axis_height = surface_height(spec, volume, slope)
    depth = here.depth_over_mouth(volume, slope)
    onset, safe = here.needed(bend)
    regime = here.regime(depth, bend)
    # The beads leave less room, so the liquid falls fastest beside the bag.
    downward = here.volume_flow / (spec.area * (1.0 - spec.bead_share))
    saturation = here.saturation
    return ReceiverResult(
        spec=spec,
        conditions=conditions,
        liquid_density=saturation.liquid_density,
        vapour_density=saturation.vapour_density,
        volume_flow=here.volume_flow,
        liquid_volume=volume,
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
        lift=lift_liquid(
            vessel=spec,
            fluid=here.fluid,
            saturation=saturation,
            mass_flow=conditions.mass_flow,
            level=level,
            pass_subcooling=conditions.pass_subcooling,
        ),
        least_inventory=here.least_inventory(),
        safe_inventory=here.least_inventory(safe=True),
        full_inventory=full,
        fill_share=volume / spec.free_volume,
        volume_closure=abs(liquid_volume(spec, axis_height, slope) - volume) / spec.free_volume,
        notes=_notes(regime, conditions, axis_height, spec),
    )


def _check_inventory(inventory, empty, full):
    checks = Checks()
    shown = format_quantity(inventory, "mass")
    if inventory > full * (1 + 1e-9):
        checks.add(
            "refrigerant in the receiver",
            shown,
            f"is more than the vessel holds, {format_quantity(full, 'mass')}",
            "the rest stands in the condenser; or was this the charge of the whole system?",
        )
    elif inventory < empty:
        checks.add(
            "refrigerant in the receiver",
            shown,
            f"is less than its vapour alone weighs, {empty * 1e3:.1f} g",
            "no liquid is left: check the number and its unit",
        )
    checks.raise_if_any()


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
