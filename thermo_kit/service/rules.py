"""What the law and the standards ask, as dated rows: region, subject, fact in our own words, source, how it was seen.

It informs and does not advise: texts change, countries add rules. Ask your authority.
"""

import functools
import tomllib
from dataclasses import dataclass
from importlib.resources import files

from thermo_kit.errors import UnknownNameError

ASK = "As read on the date given; ask your authority for what holds today."


@dataclass(frozen=True, kw_only=True)
class LawFact:
    """One rule.

    id; region: "EU", "US", "UN" or "world"; subject; fact: in our own words; source: text with article; seen: how it
    was read; as_of: year and month of reading; in_force: date, or empty; doubt: what is uncertain, or empty
    """

    id: str
    region: str
    subject: str
    fact: str
    source: str
    seen: str
    as_of: str
    in_force: str = ""
    doubt: str = ""


@functools.cache
def _facts():
    rows = tomllib.loads((files("thermo_kit.service") / "rules.toml").read_text(encoding="utf-8"))["fact"]
    return tuple(LawFact(**row) for row in rows)


def law(*, region=None, subject=None):
    """Return the rules of a region, with those of the world beside them.

    Parameters
    ----------
    region : str, optional. "EU" or "US"; all where none is given.
    subject : str, optional. One of `law_subjects()`.

    Returns: tuple of LawFact. In the order of the file. Raises UnknownNameError if region or subject is not in the
        data.

    Notes: Data: each row names its source and how it was seen.

    Examples
    --------
    >>> "2024/573" in law(region="EU", subject="records")[0].source
    True
    """
    rows = _facts()
    for what, value, known in (("region", region, {r.region for r in rows}), ("subject", subject, set(law_subjects()))):
        if value is not None and value not in known:
            raise UnknownNameError.about(what, repr(value), "is not in the data", f"one of {', '.join(sorted(known))}")
    wide = {region, "UN", "world"}
    return tuple(r for r in rows if (region is None or r.region in wide) and subject in (None, r.subject))


def law_subjects():
    """Return the subjects that rules are sorted by.

    Returns: tuple of str. In the order of the file.

    Notes: Data.

    Examples
    --------
    >>> "recovery" in law_subjects()
    True
    """
    return tuple(dict.fromkeys(row.subject for row in _facts()))
