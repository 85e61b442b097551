"""What a failure contaminates, what must be changed, flushed or only checked, and an honest range of what it costs."""

import functools
import tomllib
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path

import numpy as np

from thermo_kit.errors import InputError, Problem, UnknownNameError
from thermo_kit.systems.reading_log import text_of
from thermo_kit.units import Checks, Spec, count, flag, one_of, quantity

REPLACE, FLUSH, INSPECT = "replace", "flush", "check"
SCOPES = {
    failure: told["steps"]
    for failure, told in tomllib.loads(files(__package__).joinpath("scopes.toml").read_text(encoding="utf-8")).items()
}
"""What is done with which part after which failure."""
ALWAYS = ("recover_and_charge", "leak_test", "disposal")
HAS = ("cost", "hours")
DEAREST = 1e7
"""No figure of a price list is above it, in any currency."""


class RepairSpec(Spec):
    """A vehicle and what has failed in it."""

    failure: str = one_of(SCOPES, "failure")
    electric: bool = flag("electric compressor", True)
    has_chiller: bool = flag("battery chiller in the circuit", True)
    has_exchanger: bool = flag("internal heat exchanger", False)
    accumulator: bool = flag("accumulator in place of a receiver", False)
    electronic_valve: bool = flag("electronic expansion valve", False)
    further_share: float = quantity("percent", 0.0, 0.9, "chance that a checked part must be changed too", 0.25)
    draws: int = count(200, 200_000, "draws of the estimate", 20_000)


@dataclass(frozen=True)
class Line:
    """One line of a scope; price_key: its row of the price list; cost, hours: (low, likely, high)."""

    item: str
    action: str
    why: str
    price_key: str
    cost: tuple
    hours: tuple


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """A scope and what it may cost, in the currency of the price list, tax included.

    spec: what was asked; lines; low, likely, high: a tenth of the cases lie below, half, nine tenths; currency; tax:
    share [-]; drivers: (item, share of the spread [-]), largest first; totals: of all draws; parts: {item: its cost
    in each draw, tax included}; notes
    """

    spec: RepairSpec
    lines: tuple
    low: float
    likely: float
    high: float
    currency: str
    tax: float
    drivers: tuple
    totals: tuple
    parts: dict
    notes: tuple


def estimate_repair(spec, *, prices="depot", seed=0):
    """Scope a failure and draw what it may cost.

    Parameters
    ----------
    spec : RepairSpec. Vehicle and failure.
    prices : str or Path. A price list of the depot by name, or a file of your own in the same form.
    seed : int. Of the random draws, so that a sheet can be made again.

    Returns: Estimate. Lines, range and what drives it. Raises InputError if the price list lacks a currency or a row,
        holds a price that is none, or leaves no range; the row is named; UnknownNameError if there is no such list;
        FileAccessError if it cannot be read.

    Notes: Prices and hours are drawn from triangular distributions between low and high; a part that is only checked is
        changed with the chance given. Invented prices; what is changed after which failure is common practice, no
        source.

    Examples
    --------
    >>> sheet = estimate_repair(RepairSpec(failure="compressor burnt, debris in the system"))
    >>> 8000 < sheet.likely < 12000
    True
    """
    with Checks() as checks:
        checks.whole("seed of the draws", seed, 0, 2**32 - 1, advice="any of these will do: 0 is usual")
    table = _prices(prices)
    lines = [*_scope(spec, table), *(_work(name, table) for name in _work_of(spec))]
    rng = np.random.default_rng(seed)
    rate, level = (_draw(rng, table[name], spec.draws) for name in ("hourly_rate", "price_level"))
    columns = {}
    for line in lines:
        cost = level * _draw(rng, line.cost, spec.draws) + rate * _draw(rng, line.hours, spec.draws)
        if line.action == INSPECT:
            part = table["part"][line.price_key]
            changed = rng.random(spec.draws) < spec.further_share
            further = level * _draw(rng, part["cost"], spec.draws) + rate * _draw(rng, part["hours"], spec.draws)
            cost = cost + np.where(changed, further, 0.0)
        columns[line.item] = columns.get(line.item, 0.0) + cost
    total = sum(columns.values()) * (1.0 + table["tax"])
    spread = np.array([np.cov(column, total)[0, 1] for column in columns.values()])
    if not spread.sum() > 0.0:
        where, advice = f"price list {Path(prices).name}", "give each price a low and a high end, and no zeros alone"
        raise InputError.about(where, "leaves no range", "every draw costs the same", advice)
    drivers = sorted(zip(columns, spread / spread.sum(), strict=True), key=lambda one: -one[1])
    low, likely, high = (float(v) for v in np.quantile(total, (0.1, 0.5, 0.9)))
    notes = [
        "A range, not an offer: what is found on opening decides. One case in ten costs more than the upper figure."
    ]
    if spec.electric:
        notes.append("High voltage: only trained, authorised people; shut down, locked, and measured dead first.")
    return Estimate(
        spec=spec, lines=tuple(lines), low=low, likely=likely, high=high, currency=table["currency"], tax=table["tax"],
        drivers=tuple((name, float(share)) for name, share in drivers), totals=tuple(total),
        parts={name: column * (1.0 + table["tax"]) for name, column in columns.items()}, notes=tuple(notes),
    )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class NarrowedRange:
    """A range while the job goes on: known: items settled so far; low, likely, high as in the estimate."""

    known: tuple
    low: float
    likely: float
    high: float


def range_so_far(estimate, settled, *, case=0):
    """Return how a range narrows as one line after the other is settled.

    Parameters
    ----------
    estimate : Estimate. As made before the work.
    settled : int. Lines whose bill is known, in the order of the scope.
    case : int. Which of the draws is taken for what this vehicle turns out to cost.

    Returns: NarrowedRange. In the currency of the estimate. Raises InputError if there are fewer lines, or no such
        draw.

    Notes: What is settled counts with its own figure, the rest as it was drawn at first: that one dear part hints at
        another is left out.

    References: Sum of what is known and of the draws of the rest.

    Examples
    --------
    >>> sheet = estimate_repair(RepairSpec(failure="open to the air for weeks", draws=500))
    >>> done = range_so_far(sheet, len(sheet.parts))
    >>> done.low == done.high
    True
    """
    names = tuple(estimate.parts)
    with Checks() as checks:
        checks.whole("lines settled", settled, 0, len(names), advice="as many as the scope has at most")
        checks.whole("case", case, 0, len(estimate.totals) - 1, advice="one of the draws of the estimate")
    known = float(sum(estimate.parts[name][case] for name in names[:settled]))
    rest = sum((estimate.parts[name] for name in names[settled:]), np.zeros(len(estimate.totals)))
    low, likely, high = (known + float(v) for v in np.quantile(rest, (0.1, 0.5, 0.9)))
    return NarrowedRange(known=names[:settled], low=low, likely=likely, high=high)


def _price_key(item, spec):
    """Return the row of the price list for an item of this vehicle."""
    return {
        "compressor": "electric_compressor" if spec.electric else "belt_compressor",
        "dryer": "accumulator" if spec.accumulator else "receiver",
        "valve": "electronic_valve" if spec.electronic_valve else "expansion_valve",
    }.get(item, item)


def _scope(spec, table):
    for step in SCOPES[spec.failure]:
        when = step.get("when")
        if when and not getattr(spec, when):
            continue
        key, action = _price_key(step["item"], spec), step["action"]
        row = table["part"][key] if action == REPLACE else table["work"]["flush" if action == FLUSH else "inspect"]
        yield Line(step["item"], action, step["why"], key, tuple(row["cost"]), tuple(row["hours"]))


def _work_of(spec):
    return (*ALWAYS, *(("high_voltage_shut_down", "scan_and_adapt") if spec.electric else ()))


def _work(name, table):
    row = table["work"][name]
    return Line(name, "do", "part of every such job", name, tuple(row["cost"]), tuple(row["hours"]))


def _draw(rng, three, draws):
    low, likely, high = three
    return np.full(draws, float(low)) if high <= low else rng.triangular(low, likely, high, draws)


def _prices(name):
    path = Path(name)
    if path.suffix != ".toml":
        path = files("thermo_kit.fleet") / "prices" / f"{name}.toml"
        if not path.is_file():
            advice = "name a .toml file of your own"
            raise UnknownNameError.about("price list", repr(str(name)), "is not in the depot", advice)
    text, _ = text_of(path, "price list")
    return _checked(text, path.name)


def _entry(table, *path):
    """Return what stands in tables within tables; None where one of them is no table, or lacks it."""
    for name in path:
        table = table.get(name) if isinstance(table, dict) else None
    return table


@functools.lru_cache(maxsize=8)
def _checked(text, where):
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as reason:
        raise InputError.about(f"price list {where}", f"cannot be read ({reason})") from None
    problems = []
    if not isinstance(table.get("currency"), str) or not table["currency"]:
        problems.append(Problem(f"price list {where}", "currency", "is missing", 'write it like currency = "EUR"'))
    if type(table.get("tax")) not in (int, float) or not 0.0 <= table["tax"] < 1.0:
        problems.append(Problem(f"price list {where}", "tax", "is not a share from 0 to 1", "19 % is 0.19"))
    rows = {name: table.get(name) for name in ("hourly_rate", "price_level")}
    for group, names in (
        ("part", _PARTS),
        ("work", (*ALWAYS, "flush", "inspect", "high_voltage_shut_down", "scan_and_adapt")),
    ):
        rows |= {f"{group}.{name}.{what}": _entry(table, group, name, what) for name in names for what in HAS}
    for name, three in rows.items():
        numbers = isinstance(three, list) and len(three) == 3 and all(type(x) in (int, float) for x in three)
        if not numbers:
            problems.append(Problem(f"price list {where}", name, "is not [low, likely, high]", "give three numbers"))
        elif not 0.0 <= three[0] <= three[1] <= three[2] <= DEAREST:
            advice = f"none below zero or above {DEAREST:,.0f}, and in rising order"
            problems.append(Problem(f"price list {where}", f"{name} = {three}", "is no range", advice))
    if problems:
        raise InputError(*problems)
    return table


_PARTS = (
    "electric_compressor", "belt_compressor", "condenser", "receiver", "accumulator", "expansion_valve",
    "electronic_valve", "chiller", "evaporator", "lines", "internal_heat_exchanger", "seals",
)  # fmt: skip
