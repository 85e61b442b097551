"""The charge band: between a safely covered mouth and a full vessel, and how many years of leakage it covers."""

from dataclasses import dataclass

from thermo_kit.components.receiver.pickup import pick_up
from thermo_kit.components.receiver.spec import ReceiverSpec, check_flow, check_motion, check_temperature, surface_slope
from thermo_kit.substances.names import canonical_name
from thermo_kit.units import format_quantity
from thermo_kit.units.checks import Checks


@dataclass(frozen=True, kw_only=True)
class ChargeSpec:
    """A vehicle's charge and how it leaks.

    Parameters
    ----------
    receiver : ReceiverSpec
        The vessel.
    refrigerant : str
        One of the workbook's refrigerants.
    condensing_temperature : float, [K]
        Saturation temperature in the vessel.
    mass_flow : float, [kg/s]
        Up the standpipe, 0.0005 to 0.5.
    charge : float, [kg]
        In the whole system, 0.05 to 20.
    held_elsewhere : float, [kg]
        Refrigerant in all other parts while the mouth is covered; less than the charge.
    leak_per_year : float, [kg]
        Normal leakage in a year, 0 to 5.
    tilt : float, [rad]
        Slope of the ground, 0 to 45 degrees.
    lateral_acceleration : float, [m/s²]
        The hardest bend that the vehicle drives, 0 to 15.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range or two of them do not fit.
    UnknownNameError
        If the refrigerant is not in the workbook.
    """

    receiver: ReceiverSpec
    refrigerant: str
    condensing_temperature: float
    mass_flow: float
    charge: float
    held_elsewhere: float
    leak_per_year: float
    tilt: float = 0.0
    lateral_acceleration: float = 0.0

    def __post_init__(self):
        object.__setattr__(self, "refrigerant", canonical_name(self.refrigerant))
        checks = Checks()
        check_flow(checks, self.mass_flow)
        check_temperature(checks, self.condensing_temperature)
        checks.within("charge of the system", self.charge, 0.05, 20.0, kind="mass", advice="600 g is 0.6 kg")
        checks.within("refrigerant in the other parts", self.held_elsewhere, 0.0, 20.0, kind="mass")
        checks.within("leakage in a year", self.leak_per_year, 0.0, 5.0, kind="mass", advice="20 g is 0.02 kg")
        check_motion(checks, self.tilt, self.lateral_acceleration)
        if not checks.problems and self.held_elsewhere >= self.charge:
            checks.add(
                "refrigerant in the other parts",
                format_quantity(self.held_elsewhere, "mass"),
                f"is not less than the charge, {format_quantity(self.charge, 'mass')}",
                "nothing would be left for the receiver: were the two swapped?",
            )
        checks.raise_if_any()


@dataclass(frozen=True, kw_only=True, slots=True)
class ChargeBand:
    """Where the charge stands between bubbles and a full vessel.

    spec: what was asked; inventory [kg]: in the receiver when filled; onset_charge, safe_charge [kg]: charge of the
    system at which the surface dips into the mouth, and from which it is safely covered, standing level;
    bend_onset_charge, bend_safe_charge [kg]: the same on the given slope and in the given bend; full_charge [kg]: the
    vessel is full; band [kg]: from safe to full; years_safe, years_to_bubble, bend_years_safe,
    bend_years_to_bubble [years]: until leakage reaches these charges, None if it never does;
    place: "bubbles", "doubtful", "plateau" or "overfilled"; plateau_share [-]: place within the band;
    mass_closure [-]; notes
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
    plateau_share: float
    mass_closure: float
    notes: tuple[str, ...]

    def after(self, years):
        """Return what leakage has left after some years, and the zone it lies in.

        Parameters
        ----------
        years : float, [years]
            From filling.

        Returns
        -------
        tuple of (float, str, str), [kg]
            Charge of the system; zone standing level; zone in the hardest bend.
        """
        left = max(self.spec.charge - years * self.spec.leak_per_year, 0.0)
        limits = ((self.onset_charge, self.safe_charge), (self.bend_onset_charge, self.bend_safe_charge))
        return left, *(_place(left, covered, self.full_charge)[0] for covered in limits)


def charge_band(spec):
    """Return the band of charge that hides leakage, and how many years it lasts.

    Parameters
    ----------
    spec : ChargeSpec
        Vessel, charge and leakage.

    Returns
    -------
    ChargeBand
        Charges [kg] and years.

    Raises
    ------
    OutOfRangeError
        If the vessel holds more than the whole charge, or the refrigerant is too near its critical point.

    Notes
    -----
    A balance: what the other parts hold is taken to stay the same as long as the mouth is covered. On another
    day they hold more or less, and the band moves along. Leakage is taken as even over the years.

    References
    ----------
    Depths: Lubin & Springer 1967 and ANSI/HI 9.8, see `dip_height` and `safe_submergence`.
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
    liquid = here.volume_of(inventory)
    weighed = liquid * here.saturation.liquid_density
    weighed += (spec.receiver.free_volume - liquid) * here.saturation.vapour_density
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
        plateau_share=(spec.charge - still[1]) / band if band > 0.0 else 0.0,
        mass_closure=abs(weighed - inventory) / spec.charge,
        notes=notes,
    )


def depth_over_years(spec, years):
    """Return how deep the mouth lies after each number of years, standing level and in the bend.

    Parameters
    ----------
    spec : ChargeSpec
        Vessel, charge and leakage.
    years : sequence of float, [years]
        From filling.

    Returns
    -------
    tuple of tuple of float, [m]
        Depths standing level, and depths on the slope and in the bend, square to the surface.

    Raises
    ------
    OutOfRangeError
        As `charge_band` does.

    Notes
    -----
    A balance, see `charge_band`. Below an empty vessel nothing changes any more.
    """
    here = _pick_up(spec)
    slope = surface_slope(spec.tilt, spec.lateral_acceleration)
    depths = []
    for year in years:
        volume = here.volume_of(inventory_after(spec, year, here.masses()))
        depths.append((here.depth_over_mouth(volume, 0.0), here.depth_over_mouth(volume, slope)))
    return tuple(zip(*depths, strict=True))


def inventory_after(spec, years, masses):
    """Return what is in the receiver after some years; years [years], masses [kg] → [kg].

    Notes
    -----
    A balance.
    """
    return min(max(spec.charge - spec.leak_per_year * years - spec.held_elsewhere, masses[0]), masses[1])


def _pick_up(spec):
    here = pick_up(
        vessel=spec.receiver,
        refrigerant=spec.refrigerant,
        condensing_temperature=spec.condensing_temperature,
        mass_flow=spec.mass_flow,
    )
    full = here.masses()[1]
    if full > spec.charge:
        checks = Checks()
        checks.add(
            "receiver",
            f"holds {format_quantity(full, 'mass')} when full",
            f"more than the whole charge of {format_quantity(spec.charge, 'mass')}",
            "check the vessel's measures: was a diameter typed for a radius?",
        )
        checks.raise_if_any()
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
