"""What happens to the air of a closed space when the whole charge leaks into it."""

from dataclasses import dataclass

from thermo_kit.substances import REFRIGERANT_NAMES, facts_of
from thermo_kit.substances.names import canonical_name
from thermo_kit.units import Spec, one_of, quantity


class LeakSpec(Spec):
    """A charge that escapes into a closed space."""

    refrigerant: str = one_of(REFRIGERANT_NAMES, "refrigerant", known=canonical_name)
    charge: float = quantity("mass", 0.0, 20.0, "leaked charge")
    volume: float = quantity("volume", 0.5, 1e4, "air volume")


@dataclass(frozen=True, kw_only=True)
class LeakResult:
    """How the mixture compares with the published limits.

    spec: what was asked; concentration [kg/m³]; lower_flammability_limit [kg/m³] or None if it does not burn;
    limit_for_people [kg/m³]: practical or acute limit, whichever is lower;
    largest_charge [kg]: the charge that spreads to that limit; for all that burn it lies below the flammability limit;
    notes: what to keep in mind
    """

    spec: LeakSpec
    concentration: float
    lower_flammability_limit: float | None
    limit_for_people: float
    largest_charge: float
    notes: tuple[str, ...]


def spread_leak(spec):
    """Return the concentration of a leaked charge, spread evenly, beside the limits of the standards.

    Parameters
    ----------
    spec : LeakSpec
        Refrigerant, charge and volume.

    Returns
    -------
    LeakResult
        Concentration and limits [kg/m³], largest charge [kg].

    Raises
    ------
    OutOfRangeError
        If charge or volume is outside its range.
    UnknownNameError
        If the refrigerant is not in the workbook.

    Notes
    -----
    Even mixing is the kindest case. Refrigerants are heavier than air: at the floor, in a pit or at the leak
    itself the mixture is richer for minutes. So a result below the limit is no permission to work.

    References
    ----------
    Definition of concentration; limits from EN 378-1, Annex E, as listed in the facts table.

    Examples
    --------
    >>> round(spread_leak(LeakSpec(refrigerant="R-290", charge=0.5, volume=10)).concentration, 3)
    0.05
    """
    facts = facts_of(spec.refrigerant)
    burns = facts.lower_flammability_limit.value != "none"
    flammable = float(facts.lower_flammability_limit.value) if burns else None
    concentration = spec.charge / spec.volume
    notes = ["Spread evenly. At the floor and near the leak there is more: this is no permission to work."]
    if burns and concentration >= flammable:
        notes.append("Above the lower flammability limit: a spark is enough.")
    if concentration >= float(facts.acute_limit.value):
        notes.append("Above the acute limit for breathing: whoever is in there is in danger.")
    elif concentration >= facts.limit_for_people:
        notes.append("Above the limit for people, about a fifth of the flammability limit: nobody should be in there.")
    return LeakResult(
        spec=spec,
        concentration=concentration,
        lower_flammability_limit=flammable,
        limit_for_people=facts.limit_for_people,
        largest_charge=facts.limit_for_people * spec.volume,
        notes=tuple(notes),
    )
