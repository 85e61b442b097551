"""Rows of published values: how they are read, what they must say, and when a result agrees with one."""

import functools
import math
import pkgutil
import re
import tomllib
from dataclasses import dataclass
from pathlib import Path

from thermo_kit.units.convert import unit_registry

FOLDER = Path(__file__).parent
KINDS = ("published", "reference-library", "conserved", "limit", "common-practice", "frozen", "memory")
EVIDENCE = ("published", "reference-library", "conserved", "limit")
SIDES = ("both", "at least", "at most")
_QUANTITY = re.compile(r"^([-+]?\d[\d.]*(?:[eE][-+]?\d+)?)\s+(\S.*)$")


@dataclass(frozen=True, kw_only=True)
class Row:
    """One check value; see README.md for what each field means."""

    id: str
    topic: str
    quantity: str
    value: float | str
    compute: str
    source: str
    kind: str
    inputs: dict
    unit: str = ""
    rel: float | None = None
    abs: float | None = None
    side: str = "both"
    why: str = ""
    seen: str = ""
    note: str = ""
    same_formula: bool = False

    @property
    def evidence(self):
        """What this row counts as: a guard against typing slips is no evidence."""
        return "typing-guard" if self.same_formula else self.kind


def load_rows(folder=FOLDER):
    """Return every row of every file, checked; a file's name is its topic."""
    rows = []
    for path in sorted(folder.glob("*.toml")):
        entries = tomllib.loads(path.read_text(encoding="utf-8"))["value"]
        rows.extend(_checked(path.stem, entry) for entry in entries)
    ids = [row.id for row in rows]
    doubles = {name for name in ids if ids.count(name) > 1}
    assert not doubles, f"row ids used twice: {sorted(doubles)}"
    return tuple(rows)


def _checked(topic, entry):
    row = Row(topic=topic, **entry)
    where = f"{topic}.toml, row {row.id}"
    assert row.kind in KINDS, f"{where}: kind {row.kind!r} is none of {KINDS}"
    assert row.side in SIDES, f"{where}: side {row.side!r} is none of {SIDES}"
    assert len(row.source) > 3, f"{where}: no source"
    if isinstance(row.value, str):
        assert row.rel is None and row.abs is None, f"{where}: a word has no tolerance"
        return row
    assert row.rel is not None or row.abs is not None, f"{where}: no tolerance"
    assert row.why, f"{where}: no reason for the tolerance"
    assert row.kind != "published" or row.same_formula or row.seen, f"{where}: published, but not said how it was seen"
    return row


def quantity(text):
    """Return "2 MPa" as the SI number 2e6; anything that is no number with a unit comes back unchanged."""
    if isinstance(text, list):
        return [quantity(item) for item in text]
    match = _QUANTITY.match(text) if isinstance(text, str) else None
    if match is None:
        return text
    return float(unit_registry().Quantity(float(match[1]), match[2]).to_base_units().magnitude)


def compute(row):
    """Run the computation a row names, with its inputs in SI."""
    where = f"thermo_kit.{row.compute}" if ":" in row.compute else f"tests.reference.computations.{row.compute}"
    return pkgutil.resolve_name(where)(**{key: quantity(value) for key, value in row.inputs.items()})


def in_unit(result, unit):
    """Return an SI result in a row's unit."""
    registry = unit_registry()
    base = registry.Quantity(1.0, unit).to_base_units().units
    return float(registry.Quantity(result, base).to(unit).magnitude)


def disagreement(row, result):
    """Return why a result does not agree with its row, or an empty text; either tolerance suffices."""
    if isinstance(row.value, str):
        return "" if result == row.value else f"{row.id}: {result!r} computed, {row.value!r} in {row.source}"
    number = in_unit(result, row.unit)
    difference = number - row.value
    if row.side == "at least":
        difference = min(difference, 0.0)
    elif row.side == "at most":
        difference = max(difference, 0.0)
    allowed = max((row.rel or 0.0) * abs(row.value), row.abs or 0.0)
    if math.isfinite(number) and abs(difference) <= allowed * (1 + 1e-9):
        return ""
    return (
        f"{row.id}: {row.quantity} computed {number:.6g} {row.unit}, should be {row.value:g} {row.unit} "
        f"({row.side} sides within {allowed:.2g}) by {row.source}"
    )


@functools.cache
def rows():
    """All rows of this folder, read once."""
    return load_rows()
