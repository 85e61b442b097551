"""The charge band: between a safely covered mouth and a full vessel, and how many years of leakage it covers."""

from dataclasses import dataclass

from thermo_kit.components.receiver.pickup import pick_up
from thermo_kit.components.receiver.spec import FLOW, ReceiverSpec, bend_of, surface_slope, tilt_of
from thermo_kit.errors import OutOfRangeError
from thermo_kit.laws.closure import closed
from thermo_kit.substances import REFRIGERANT_NAMES
from thermo_kit.substances.names import canonical_name
from thermo_kit.units import Amount, Quantity, Said, Spec, one_of, part, quantity, several
from thermo_kit.units.spec import asked

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
    tilt: float = tilt_of()
    lateral_acceleration: float = bend_of()

    def fit(self, checks):
        if self.held_elsewhere >= self.charge:
            checks.add(
                "refrigerant in the other parts", Amount(self.held_elsewhere, "mass"),
                Said("is not less than the charge, {}", Amount(self.charge, "mass")),
                "nothing would be left for the receiver: were the two swapped?",
            )  # fmt: skip


@dataclass(frozen=True, kw_only=True, slots=True)
class ChargeBand:
    """Where the charge stands between bubbles and a full vessel.

    spec: what was asked; inventory [kg]: in the receiver when filled; onset_charge, safe_charge [kg]: charge of the
    system at which the surface dips into the mouth, and from which it is safely covered, standing level;
    bend_onset_charge, bend_safe_charge [kg]: the same on the given slope and in the given bend; full_charge [kg]: the
    vessel is full; band [kg]: from safe to full; years_safe, years_to_bubble, bend_years_safe,
    bend_years_to_bubble [years]: until leakage reaches these charges, None if it never does;
    place: "bubbles", "doubtful", "plateau" or "overfilled"; mass_closure [-]; notes
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
    mass_closure: float
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
    liquid = here.volume_of(inventory)
    weighed = liquid * here.saturation.liquid_density
    weighed += (spec.receiver.free_volume - liquid) * here.saturation.vapour_density
    closure = abs(weighed - inventory) / spec.charge
    closed(mass=closure)
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
        mass_closure=closure,
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
    slope = surface_slope(spec.tilt, spec.lateral_acceleration)
    depths = []
    for year in years:
        volume = here.volume_of(inventory_after(spec, year, here.masses()))
        depths.append((here.depth_over_mouth(volume, 0.0), here.depth_over_mouth(volume, slope)))
    return tuple(zip(*depths, strict=True))


def inventory_after(spec, years, masses):
    """Return what is in the receiver after some years; years [years], masses [kg] → [kg]."""
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
        raise OutOfRangeError.about(
            "receiver", Said("holds {} when full", Amount(full, "mass")),
            Said("more than the whole charge of {}", Amount(spec.charge, "mass")),
            "check the vessel's measures: was a diameter typed for a radius?",
        )  # fmt: skip
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
