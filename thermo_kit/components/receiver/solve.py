"""The receiver at one moment, over the years of its leakage, and the water its beads can hold."""

import math
from dataclasses import dataclass

from thermo_kit.components.receiver import vessel
from thermo_kit.components.receiver.vessel import FLOW, ReceiverSpec
from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.laws.closure import closed
from thermo_kit.laws.constants import GRAVITY
from thermo_kit.laws.roots import root
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant, Stream, canonical_name
from thermo_kit.units import Amount, Checks, Quantity, Said, Spec, asked, one_of, part, quantity, several

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
    conditions: vessel.ReceiverConditions
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
    T = _condensing_temperature(inlet)
    here = vessel.pick_up(vessel=spec, refrigerant=inlet.refrigerant, condensing_temperature=T, mass_flow=inlet.flow)
    _check_inventory(conditions.inventory, *here.masses())
    volume = here.volume_of(conditions.inventory)
    level = vessel.surface_height(spec, volume, 0.0)
    slope, bend = conditions.slope, conditions.lateral_acceleration
    axis_height = vessel.surface_height(spec, volume, slope)
    depth = here.depth_over_mouth(volume, slope)
    onset, safe = here.needed(bend)
    regime = here.regime(depth, bend)
    saturation = here.saturation
    liquid, vapour = saturation.liquid_density, saturation.vapour_density
    # Where liquid reaches the bag, the beads leave less room and it falls fastest beside them.
    beads = spec.bead_share if axis_height > spec.desiccant_bottom else 0.0
    downward = here.volume_flow / (spec.area * (1.0 - beads))
    lift = lift_liquid(here, level=level, pass_subcooling=conditions.pass_subcooling)
    bubble = smallest_rising_bubble(
        velocity=downward, liquid_density=liquid, vapour_density=vapour, viscosity=saturation.liquid_viscosity
    )
    closure = abs(vessel.liquid_volume(spec, axis_height, slope) - volume) / spec.free_volume
    closed(volume=closure)
    return ReceiverResult(
        spec=spec,
        inlet=inlet,
        conditions=conditions,
        outlet=inlet.at(pressure=saturation.p - lift.total_pressure_drop, enthalpy=saturation.liquid_enthalpy),
        liquid_density=liquid,
        vapour_density=vapour,
        level=level,
        axis_height=axis_height,
        surface_angle=vessel.surface_angle(conditions.tilt, bend),
        submergence=depth,
        onset_submergence=onset,
        safe_submergence=safe,
        regime=regime,
        regime_words=vessel.REGIMES[regime],
        uncovering_acceleration=here.hardest_bend(conditions.inventory, tilt=conditions.tilt),
        safe_acceleration=here.hardest_bend(conditions.inventory, tilt=conditions.tilt, safe=True),
        downward_velocity=downward,
        smallest_rising_bubble=bubble,
        lift=lift,
        volume_closure=closure,
        notes=tuple(_notes(regime, conditions, axis_height, spec)),
    )


def _condensing_temperature(inlet):
    fluid = Refrigerant(inlet.refrigerant)
    low, high = fluid.lowest_pressure, fluid.critical_pressure
    told = f"{fluid.name} parts into liquid and vapour only between these pressures: no liquid level beyond them"
    with Checks() as checks:
        checks.within("pressure in the receiver", inlet.pressure, low, high, kind="pressure", advice=told)
    return fluid.bubble_temperature(inlet.pressure)


def _check_inventory(inventory, empty, full):
    name = "refrigerant in the receiver"
    if inventory > full * (1 + 1e-9):
        limit = Said("is more than the vessel holds, {}", Amount(full, "mass"))
        advice = "the rest stands in the condenser; or was this the charge of the whole system?"
        raise OutOfRangeError.about(name, Amount(inventory, "mass"), limit, advice)
    if inventory < empty * (1 - 1e-9):
        limit = Said("is less than its vapour alone weighs, {}", Amount(empty, "mass", 1))
        advice = "no liquid is left: check the number and its unit"
        raise OutOfRangeError.about(name, Amount(inventory, "mass", 1), limit, advice)


def _notes(regime, conditions, axis_height, spec):
    yield (
        "Bend and slope act towards the bad side, where the surface sinks at the mouth; a bend the other way "
        "covers it better."
    )
    if regime == "vapour possible":
        yield "Between the two published depths nobody can promise either way: swirl decides."
    if regime in ("vapour pulled down", "uncovered"):
        yield "How much vapour goes along is not computed: subcooling falls and the valve is starved."
    reach = conditions.slope * spec.radius
    if axis_height + reach > spec.height or axis_height - reach < 0.0:
        yield "The surface touches lid or floor."


def lift_liquid(here, *, level, pass_subcooling):
    """Return the pressure lost between surface and subcooling pass, and the flash it makes in saturated liquid.

    level [m], pass_subcooling [K]. The liquid enters the mouth saturated and gains or loses no heat
    on the way. Vapour takes the liquid's speed.

    References: Colebrook's friction and a sharp entrance (Rennels & Hudson, Pipe Flow, 2012) through `fluids`; mesh by
        Blevins, Applied Fluid Dynamics Handbook (1984), through `fluids`. The flash is an energy balance.
    """
    from fluids.filters import square_edge_screen
    from fluids.fittings import entrance_sharp
    from fluids.friction import friction_factor

    spec, density, velocity = here.vessel, here.saturation.liquid_density, here.velocity
    bore = spec.standpipe_diameter
    dynamic = density * velocity**2 / 2.0
    reynolds = density * velocity * bore / here.saturation.liquid_viscosity
    friction = friction_factor(Re=reynolds, eD=PIPE_ROUGHNESS / bore) * spec.standpipe_length / bore * dynamic
    # The speed gained in the mouth is pressure lost as well, so it is counted with the entrance.
    entrance = (1.0 + entrance_sharp()) * dynamic
    approach = here.volume_flow / spec.filter_area
    open_share = max(spec.filter_open_share * (1.0 - spec.filter_blocked_share), SMALLEST_OPEN_SHARE)
    mesh = square_edge_screen(open_share) * density * approach**2 / 2.0
    rise = spec.outlet - level
    hydrostatic = density * GRAVITY * rise
    total = hydrostatic + friction + entrance + mesh
    flash = _flash(here.fluid, here.saturation, total, pass_subcooling)
    return LiftResult(velocity, rise, hydrostatic, friction, entrance, mesh, total, *flash)


def _flash(fluid, saturation, drop, pass_subcooling):
    """Return what boils by mass and by volume, and the share of the pass that condenses it again; [Pa], [K] → [-]."""
    if drop <= 0.0:
        return 0.0, 0.0, 0.0
    pressure = saturation.p - drop
    if pressure < 0.5 * saturation.p:
        given = Said("falls by {}", Amount(drop, "pressure_difference"))
        advice = "less flow, a wider standpipe, or a cleaner filter"
        raise NoSolutionError.about("pressure on the way up", given, "more than half of what is there", advice)
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


CHARGE = Quantity("mass", 0.05, 20.0, "charge of the system", "600 g is 0.6 kg")
ELSEWHERE = Quantity("mass", 0.0, 20.0, "refrigerant in the other parts")
LEAK = Quantity("mass", 0.0, 5.0, "leakage in a year", "20 g is 0.02 kg")


class UsualCharge(Spec):
    """What a vehicle of the depot is filled with and loses, and between which ends a learner may move it."""

    charge: float = asked(CHARGE)
    held_elsewhere: float = asked(ELSEWHERE)
    leak_per_year: float = asked(LEAK)
    mass_flow: float = asked(FLOW)
    charges: tuple = several(CHARGE, 2, 2)
    elsewhere: tuple = several(ELSEWHERE, 2, 2)


class ChargeSpec(Spec):
    """A vehicle's charge and how it leaks; the bend is the hardest that it drives.

    What all other parts hold is counted while the mouth is covered; it is less than the charge.
    """

    receiver: ReceiverSpec = part(ReceiverSpec, "receiver")
    refrigerant: str = one_of(REFRIGERANT_NAMES, "refrigerant", known=canonical_name)
    condensing_temperature: float = quantity("temperature", 223.15, 403.15, "condensing temperature")
    mass_flow: float = asked(FLOW)
    charge: float = asked(CHARGE)
    held_elsewhere: float = asked(ELSEWHERE)
    leak_per_year: float = asked(LEAK)
    tilt: float = asked(vessel.TILT, 0.0)
    lateral_acceleration: float = asked(vessel.BEND, 0.0)

    def fit(self, checks):
        if self.held_elsewhere >= self.charge:
            limit = Said("is not less than the charge, {}", Amount(self.charge, "mass"))
            advice = "nothing would be left for the receiver: were the two swapped?"
            checks.add("refrigerant in the other parts", Amount(self.held_elsewhere, "mass"), limit, advice)


@dataclass(frozen=True, kw_only=True, slots=True)
class ChargeBand:
    """Where the charge stands between bubbles and a full vessel.

    spec: what was asked; inventory [kg]: in the receiver when filled; onset_charge, safe_charge [kg]: charge of the
    system at which the surface dips into the mouth, and from which it is safely covered, standing level;
    bend_onset_charge, bend_safe_charge [kg]: the same on the given slope and in the given bend; full_charge [kg]: the
    vessel is full; band [kg]: from safe to full; years_safe, years_to_bubble, bend_years_safe,
    bend_years_to_bubble [years]: until leakage reaches these charges, None if it never does;
    place: "bubbles", "doubtful", "plateau" or "overfilled"; notes
    """

    spec: ChargeSpec
    inventory: float
    onset_charge: float
    safe_charge: float
    bend_onset_charge: float
    bend_safe_charge: float
    full_charge: float
    band: float
    years_safe: float | None
    years_to_bubble: float | None
    bend_years_safe: float | None
    bend_years_to_bubble: float | None
    place: str
    notes: tuple[str, ...]

    def after(self, years):
        """Return what leakage has left after some years, and the zone it lies in.

        Parameters
        ----------
        years : float, [years]. From filling.

        Returns: tuple of (float, str, str), [kg]. Charge of the system; zone standing level; zone in the hardest bend.
        """
        left = max(self.spec.charge - years * self.spec.leak_per_year, 0.0)
        limits = ((self.onset_charge, self.safe_charge), (self.bend_onset_charge, self.bend_safe_charge))
        return left, *(_place(left, covered, self.full_charge)[0] for covered in limits)


def charge_band(spec):
    """Return the band of charge that hides leakage, and how many years it lasts.

    Parameters
    ----------
    spec : ChargeSpec. Vessel, charge and leakage.

    Returns: ChargeBand. Charges [kg] and years. Raises OutOfRangeError if the vessel holds more than the whole charge,
        or the refrigerant is too near its critical point.

    Notes: A balance: what the other parts hold is taken to stay the same as long as the mouth is covered. On another
        day they hold more or less, and the band moves along. Leakage is taken as even over the years.

    References: Depths: Lubin & Springer 1967 and ANSI/HI 9.8, see `dip_height` and `safe_submergence`.
    """
    here = _pick_up(spec)
    empty, full = here.masses()
    elsewhere = spec.held_elsewhere
    still = [min(here.least_inventory(safe=safe), full) + elsewhere for safe in (False, True)]
    moving = {"tilt": spec.tilt, "lateral_acceleration": spec.lateral_acceleration}
    bend = [min(here.least_inventory(safe=safe, **moving), full) + elsewhere for safe in (False, True)]
    bend = [max(pair) for pair in zip(still, bend, strict=True)]
    full_charge = full + elsewhere
    band = full_charge - still[1]
    place, notes = _place(spec.charge, still, full_charge)
    inventory = min(max(spec.charge - elsewhere, empty), full)
    return ChargeBand(
        spec=spec,
        inventory=inventory,
        onset_charge=still[0],
        safe_charge=still[1],
        bend_onset_charge=bend[0],
        bend_safe_charge=bend[1],
        full_charge=full_charge,
        band=band,
        years_safe=_years(spec, still[1]),
        years_to_bubble=_years(spec, still[0]),
        bend_years_safe=_years(spec, bend[1]),
        bend_years_to_bubble=_years(spec, bend[0]),
        place=place,
        notes=notes,
    )


def depth_over_years(spec, years):
    """Return how deep the mouth lies after each number of years, standing level and in the bend.

    Parameters
    ----------
    spec : ChargeSpec. Vessel, charge and leakage.
    years : sequence of float, [years]. From filling.

    Returns: tuple of tuple of float, [m]. Depths standing level, and depths on the slope and in the bend, square to the
        surface.

    Raises: OutOfRangeError. As `charge_band` does.

    Notes: A balance, see `charge_band`. Below an empty vessel nothing changes any more.
    """
    here = _pick_up(spec)
    slope = vessel.surface_slope(spec.tilt, spec.lateral_acceleration)
    depths = []
    for year in years:
        volume = here.volume_of(inventory_after(spec, year, here.masses()))
        depths.append((here.depth_over_mouth(volume, 0.0), here.depth_over_mouth(volume, slope)))
    return tuple(zip(*depths, strict=True))


def inventory_after(spec, years, masses):
    """Return what is in the receiver after some years; years [years], masses [kg] → [kg]."""
    return min(max(spec.charge - spec.leak_per_year * years - spec.held_elsewhere, masses[0]), masses[1])


def _pick_up(spec):
    here = vessel.pick_up(
        vessel=spec.receiver,
        refrigerant=spec.refrigerant,
        condensing_temperature=spec.condensing_temperature,
        mass_flow=spec.mass_flow,
    )
    full = here.masses()[1]
    if full > spec.charge:
        limit = Said("more than the whole charge of {}", Amount(spec.charge, "mass"))
        advice = "check the vessel's measures: was a diameter typed for a radius?"
        raise OutOfRangeError.about("receiver", Said("holds {} when full", Amount(full, "mass")), limit, advice)
    return here


def _years(spec, charge):
    if spec.charge <= charge:
        return 0.0
    return (spec.charge - charge) / spec.leak_per_year if spec.leak_per_year else None


def _place(charge, still, full_charge):
    if charge > full_charge:
        return "overfilled", ("The vessel is full: the rest backs up in the condenser and takes room from condensing.",)
    if charge >= still[1]:
        return "plateau", ("On the plateau the level hides the charge: subcooling stays nearly the same.",)
    if charge >= still[0]:
        return "doubtful", ("Between the two published depths nobody can promise either way.",)
    return "bubbles", ("Bubbles go up the pipe: subcooling falls with every gram that is missing.",)


class MoistureSpec(Spec):
    """A bag of beads and the water that reaches it: left after evacuation, through hoses and seals, from the open air.

    The capacity is the share of their own mass that beads hold: 0.15 is common practice, no source. The uptake is how
    fast dry beads begin to take water from humid air: 0.003 kg an hour is our own guess.
    """

    desiccant_mass: float = quantity("mass", 0.001, 1.0, "desiccant mass", advice="40 g is 0.04 kg")
    capacity_share: float = quantity("ratio", 0.02, 0.25, "water capacity", 0.15, advice="15 % is 0.15")
    water_at_start: float = quantity("mass", 0.0, 0.2, "water at the start", 0.0, advice="2 g is 0.002 kg")
    ingress_per_year: float = quantity("mass", 0.0, 0.1, "water coming in each year", 0.001, advice="1 g is 0.001 kg")
    open_hours: float = quantity("ratio", 0.0, 100.0, "hours open", 0.0)
    uptake_per_hour: float = quantity("mass", 0.0, 0.1, "uptake of dry beads in an hour", 0.003)


@dataclass(frozen=True, kw_only=True, slots=True)
class MoistureResult:
    """Where the water is.

    spec: what was asked; capacity [kg]: what the beads can hold; from_air [kg]: taken up while the vessel lay open;
    held_at_start [kg]; loading_share [-]: of the capacity; free_at_start [kg]: water the beads cannot
    hold; years_left [years]: until the beads are full, None if never; notes
    """

    spec: MoistureSpec
    capacity: float
    from_air: float
    held_at_start: float
    loading_share: float
    free_at_start: float
    years_left: float | None
    notes: tuple[str, ...]


def moisture_balance(spec):
    """Return how full of water the desiccant is, and how many years it lasts.

    Parameters
    ----------
    spec : MoistureSpec. Beads and water.

    Returns: MoistureResult. Masses [kg] and years.

    Notes: A balance with figures of common practice, no source: beads hold about 15 % of their mass while the
        refrigerant stays dry enough; in open air the uptake fades as they fill.

    Examples
    --------
    >>> moisture_balance(MoistureSpec(desiccant_mass=0.04, ingress_per_year=0.0005)).years_left
    12.0
    """
    capacity = spec.desiccant_mass * spec.capacity_share
    from_air = capacity * -math.expm1(-spec.uptake_per_hour * spec.open_hours / capacity)
    water = from_air + spec.water_at_start
    held = min(water, capacity)
    room = capacity - held
    notes = ["Capacity and uptake are common practice, no source: change the bag whenever the system was opened."]
    if water > capacity:
        notes.append("The beads are full: free water can freeze in the valve and makes acid with oil and refrigerant.")
    return MoistureResult(
        spec=spec,
        capacity=capacity,
        from_air=from_air,
        held_at_start=held,
        loading_share=held / capacity,
        free_at_start=water - held,
        years_left=room / spec.ingress_per_year if spec.ingress_per_year else None if room > 0.0 else 0.0,
        notes=tuple(notes),
    )


def water_after(result, years):
    """Return the water in the beads and the free water after some years.

    Parameters
    ----------
    result : MoistureResult. The balance at the start.
    years : float, [years]. From the start.

    Returns: tuple of float, [kg]. In the beads, and free.

    Notes: A balance.
    """
    water = result.held_at_start + result.free_at_start + result.spec.ingress_per_year * years
    return min(water, result.capacity), max(water - result.capacity, 0.0)
