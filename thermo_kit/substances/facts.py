"""Safety class, flammability and climate figures of the refrigerants, each with its source."""

import tomllib
from dataclasses import dataclass
from importlib.resources import files

from thermo_kit.substances.names import canonical_name


@dataclass(frozen=True)
class Fact:
    """One figure: value in [unit], its published source, and how it was seen: "read: ..." or "nothing found"."""

    value: str | float
    source: str
    seen: str
    unit: str = ""


@dataclass(frozen=True)
class RefrigerantFacts:
    """What a technician must know of a refrigerant before opening a bottle.

    safety_class: letter for toxicity, figure for flammability; lower_flammability_limit: by mass and by volume;
    exposure_limit: average over a working day; short_term_limit: over 15 minutes; immediately_dangerous: from here on
    nobody stays without breathing apparatus, by volume, "none" where the list sets none; acute_limit: highest short
    exposure; practical_limit: highest concentration in an occupied space;
    gwp: climate figure by assessment report ("AR4", "AR5", "AR6")
    """

    name: str
    chemical_name: str
    safety_class: Fact
    lower_flammability_limit: Fact
    lower_flammability_volume: Fact
    exposure_limit: Fact
    short_term_limit: Fact
    immediately_dangerous: Fact
    acute_limit: Fact
    practical_limit: Fact
    gwp: dict
    caution: str

    @property
    def limit_for_people(self):
        """The lower of practical and acute limit: some lists give a practical limit above the acute one.

        Returns: float, [kg/m³] Refrigerant in the air of a place where people may be. For those that burn it is the
            practical limit, about a fifth of the flammability limit, and so far below what harms to breathe; for the
            others the acute limit.
        """
        return min(float(self.practical_limit.value), float(self.acute_limit.value))


_TABLE = tomllib.loads((files("thermo_kit.substances") / "facts.toml").read_text(encoding="utf-8"))


def facts_of(name):
    """Return the facts of one refrigerant.

    Parameters
    ----------
    name : str. The workbook's spelling, for example "R-134a".

    Returns: RefrigerantFacts. Class, limits and climate figures with their sources. Raises UnknownNameError if it is
        not in this workbook.

    Notes: Served data: each figure names its own source.

    Examples
    --------
    >>> facts_of("R-134a").safety_class.value
    'A1'
    """
    row = _TABLE[canonical_name(name)]
    facts = {key: Fact(**one) for key, one in row.items() if isinstance(one, dict) and key != "gwp"}
    gwp = {report: Fact(**one) for report, one in row["gwp"].items()}
    return RefrigerantFacts(**row | facts | {"name": name, "gwp": gwp})
