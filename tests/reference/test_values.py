"""Every check value against the package, and what the collection as a whole must hold."""

import dataclasses
from collections import Counter

import pytest

from tests.reference.rows import EVIDENCE, compute, disagreement, load_rows, quantity, rows
from thermo_kit.units.convert import unit_registry

# Fewest rows of evidence a topic may hold; raise a number when rows are added.
FLOORS = {
    "saturation": 120,
    "glycol": 55,
    "water_and_air": 45,
    "facts": 38,
    "cycles": 44,
    "condenser": 23,
    "freezing": 19,
    "receiver": 13,
    "expansion_valve": 44,
    "compressor": 14,
    "coolant_network": 22,
    "exchanger": 10,
    "evaporator": 38,
    "service": 25,
    "evacuation": 17,
    "vehicle": 21,
}


@pytest.mark.parametrize("row", rows(), ids=lambda row: row.id)
def test_value_agrees(row, record_property):
    problem = disagreement(row, compute(row))
    assert not problem, problem
    record_property("evidence", row.evidence)
    record_property("topic", row.topic)


def _evidence_by_topic(collection):
    return Counter(row.topic for row in collection if row.evidence in EVIDENCE)


def test_no_topic_loses_its_evidence():
    counts = _evidence_by_topic(rows())
    assert FLOORS, "no floors: the collection is unguarded"
    short = {topic: (counts[topic], floor) for topic, floor in FLOORS.items() if counts[topic] < floor}
    assert not short, f"rows of evidence, found and wanted: {short}"
    unguarded = {row.topic for row in rows()} - set(FLOORS)
    assert not unguarded, f"topics without a floor in FLOORS: {sorted(unguarded)}"


def test_memory_and_typing_guards_are_no_evidence():
    sample = rows()[0]
    recalled = dataclasses.replace(sample, kind="memory", topic="invented")
    guard = dataclasses.replace(sample, kind="published", same_formula=True, topic="invented")
    practice = dataclasses.replace(sample, kind="common-practice", topic="invented")
    read = dataclasses.replace(sample, kind="published", same_formula=False, topic="invented")
    assert _evidence_by_topic([recalled, guard, practice])["invented"] == 0
    assert _evidence_by_topic([recalled, guard, practice, read])["invented"] == 1


@pytest.mark.parametrize("row", [row for row in rows() if not isinstance(row.value, str)], ids=lambda row: row.id)
def test_a_result_just_beyond_the_tolerance_is_refused(row):
    allowed = max((row.rel or 0.0) * abs(row.value), row.abs or 0.0)
    step = 1.01 * allowed + 1e-9 * max(abs(row.value), 1e-3)
    if row.side != "at most":
        assert disagreement(row, _in_si(row.value - step, row.unit))
    if row.side != "at least":
        assert disagreement(row, _in_si(row.value + step, row.unit))
    assert not disagreement(row, _in_si(row.value, row.unit))


def _in_si(number, unit):
    return float(unit_registry().Quantity(number, unit).to_base_units().magnitude)


def test_a_wrong_word_is_refused():
    row = dataclasses.replace(rows()[0], value="A3", rel=None, abs=None)
    assert disagreement(row, "A1")
    assert not disagreement(row, "A3")


def test_one_sided_rows_let_only_one_side_pass():
    row = dataclasses.replace(rows()[0], value=10.0, unit="", rel=None, abs=0.5, side="at least")
    assert not disagreement(row, 30.0)
    assert not disagreement(row, 9.6)
    assert disagreement(row, 9.4)
    assert disagreement(dataclasses.replace(row, side="at most"), 10.6)


def test_not_a_number_never_agrees():
    row = dataclasses.replace(rows()[0], value=10.0, unit="", rel=1.0, abs=None, side="both")
    assert disagreement(row, float("nan"))
    assert disagreement(row, float("inf"))


def test_quantities_are_read_in_their_unit():
    assert quantity("2 MPa") == pytest.approx(2e6)
    assert quantity("-30 degC") == pytest.approx(243.15)
    assert quantity("R-134a") == "R-134a"
    assert quantity(0.4) == 0.4


BROKEN = {
    "no source": 'source = ""',
    "kind": 'kind = "hearsay"',
    "no tolerance": "rel = 0.1",
    "no reason": 'why = "printed to three digits"',
    "not said how": 'seen = "read"',
}
COMPLETE = """[[value]]
id = "a"
quantity = "x"
value = 1.0
compute = "saturation.pressure"
inputs = {}
source = "a book, table 1"
kind = "published"
seen = "read"
rel = 0.1
why = "printed to three digits"
"""


@pytest.mark.parametrize("message", BROKEN)
def test_a_broken_row_is_refused(tmp_path, message):
    file = tmp_path / "topic.toml"
    file.write_text(COMPLETE, encoding="utf-8")
    assert len(load_rows(tmp_path)) == 1
    line = BROKEN[message]
    if message in ("no source", "kind"):
        kept = [x for x in COMPLETE.splitlines() if not x.startswith(line.split(" =")[0])] + [line]
    else:
        kept = [x for x in COMPLETE.splitlines() if x != line]
    file.write_text("\n".join(kept), encoding="utf-8")
    with pytest.raises(AssertionError, match=message):
        load_rows(tmp_path)


def test_a_double_id_is_refused(tmp_path):
    (tmp_path / "topic.toml").write_text(COMPLETE + COMPLETE, encoding="utf-8")
    with pytest.raises(AssertionError, match="twice"):
        load_rows(tmp_path)
