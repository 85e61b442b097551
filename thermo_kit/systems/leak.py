"""What happens to the air of a closed space when the whole charge leaks into it."""

from dataclasses import dataclass

from thermo_kit.laws.constants import GAS_CONSTANT
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant, canonical_name, facts_of
from thermo_kit.units import STANDARD_ATMOSPHERE, Spec, one_of, quantity

# Limits by volume are stated for air at 25 °C and one atmosphere.
MOLAR_VOLUME = GAS_CONSTANT * 298.15 / STANDARD_ATMOSPHERE
BELOW, BETWEEN, DANGER = "below", "between", "danger"


class LeakSpec(Spec):
    """A charge that escapes into a closed space."""

    refrigerant: str = one_of(REFRIGERANT_NAMES, "refrigerant", known=canonical_name)
    charge: float = quantity("mass", 0.0, 20.0, "leaked charge")
    volume: float = quantity("volume", 0.5, 1e4, "air volume")


@dataclass(frozen=True)
class Limit:
    """A published limit: its name, the concentration [kg/m³], the same by volume [-], whether it stands for danger."""

    name: str
    concentration: float
    volume_share: float
    is_danger: bool


@dataclass(frozen=True, kw_only=True)
class LeakResult:
    """How the mixture compares with the published limits.

    spec: what was asked; concentration [kg/m³]; volume_share: the same by volume [-]; limits: all there are, lowest
    first; passed: those reached; level: BELOW all of them, BETWEEN, or DANGER from the lowest that stands for danger;
    lower_flammability_limit [kg/m³] or None if it does not burn;
    largest_charge [kg]: the charge that spreads to the lowest limit;
    notes: what to do and what to keep in mind
    """

    spec: LeakSpec
    concentration: float
    volume_share: float
    limits: tuple[Limit, ...]
    passed: tuple[Limit, ...]
    level: str
    lower_flammability_limit: float | None
    largest_charge: float
    notes: tuple[str, ...]


def limits_of(name):
    """Return the published limits of a refrigerant in air, the lowest first.

    Parameters
    ----------
    name : str. One of `REFRIGERANT_NAMES`.

    Returns: tuple of Limit. The 8-hour limit; the short-term limit and the immediately dangerous level where one is
        set; the limit of EN 378 for people; the lower flammability limit of what burns.

    Notes: Volume and mass are turned into each other as an ideal gas at 25 °C and one atmosphere.

    References: As each figure in the facts table names it.

    Examples
    --------
    >>> [f"{limit.name} {limit.concentration * 1e3:.0f}" for limit in limits_of("R-744")][:2]
    ['8-hour limit 9', 'short-term limit 54']
    """
    facts, by_share = facts_of(name), Refrigerant(name).molar_mass / MOLAR_VOLUME
    found = [Limit("EN 378 limit for people", facts.limit_for_people, facts.limit_for_people / by_share, True)]
    for words, fact, is_danger in (
        ("8-hour limit", facts.exposure_limit, False),
        ("short-term limit", facts.short_term_limit, False),
        ("immediately dangerous level", facts.immediately_dangerous, True),
    ):
        if fact.value != "none":
            found.append(Limit(words, fact.value * 1e-6 * by_share, fact.value * 1e-6, is_danger))
    if facts.lower_flammability_limit.value != "none":
        burns = facts.lower_flammability_limit.value
        found.append(Limit("lower flammability limit", burns, burns / by_share, True))
    return tuple(sorted(found, key=lambda limit: limit.concentration))


def spread_leak(spec):
    """Return the concentration of a leaked charge, spread evenly, beside the limits of the standards.

    Parameters
    ----------
    spec : LeakSpec. Refrigerant, charge and volume.

    Returns: LeakResult. Concentration and limits [kg/m³], largest charge [kg]. Raises OutOfRangeError if charge or
        volume is outside its range; UnknownNameError if the refrigerant is not in the workbook.

    Notes: Even mixing is the kindest case. Refrigerants are heavier than air: at the floor, in a pit or at the leak
        itself the mixture is richer for minutes. So a result below the limits is no permission to work. What to do is
        common practice, no source.

    References: Definition of concentration; limits as listed in the facts table with their sources.

    Examples
    --------
    >>> leak = spread_leak(LeakSpec(refrigerant="R-744", charge=0.2, volume=3))
    >>> round(leak.concentration, 3), leak.level, [limit.name for limit in leak.passed]
    (0.067, 'between', ['8-hour limit', 'short-term limit'])
    """
    limits = limits_of(spec.refrigerant)
    concentration = spec.charge / spec.volume
    passed = tuple(limit for limit in limits if concentration >= limit.concentration)
    level = DANGER if any(limit.is_danger for limit in passed) else BETWEEN if passed else BELOW
    facts = facts_of(spec.refrigerant)
    burns = facts.lower_flammability_limit.value != "none"
    return LeakResult(
        spec=spec,
        concentration=concentration,
        volume_share=concentration * MOLAR_VOLUME / Refrigerant(spec.refrigerant).molar_mass,
        limits=limits,
        passed=passed,
        level=level,
        lower_flammability_limit=facts.lower_flammability_limit.value if burns else None,
        largest_charge=limits[0].concentration * spec.volume,
        notes=tuple(_notes(concentration, {limit.name for limit in passed}, level, facts, burns)),
    )


def _notes(concentration, passed, level, facts, burns):
    yield "Spread evenly. At the floor and near the leak there is more: this is no permission to work."
    if level == BELOW:
        yield "Below every limit listed here. Air the space all the same, and trust a gas detector, not this number."
    elif level == BETWEEN and "short-term limit" in passed:
        yield (
            "Above the short-term limit: everybody out now. Open the doors from outside. Go back in only when a gas "
            "detector shows less than the 8-hour limit."
        )
    elif level == BETWEEN:
        yield "Above the 8-hour limit: do not stay in there. Open the doors and wait until a gas detector shows less."
    if "lower flammability limit" in passed:
        yield "Above the lower flammability limit: a spark is enough. Touch no switch, get everybody out and away."
    elif burns and "immediately dangerous level" in passed:
        yield (
            "Above the level called immediately dangerous, set against fire: no switch, no spark, everybody out, doors "
            "opened from outside."
        )
    if concentration >= facts.acute_limit.value:
        yield (
            "Above the acute limit for breathing: whoever is in there is in danger. Nobody goes in to help without "
            "breathing apparatus; call the emergency number."
        )
    elif not burns and "immediately dangerous level" in passed:
        yield (
            "Immediately dangerous to breathe: nobody goes in, not even to help, without breathing apparatus; call the "
            "emergency number."
        )
    elif "EN 378 limit for people" in passed:
        yield "Above the limit for people, about a fifth of the flammability limit: nobody should be in there."
