"""Every check value against the package, and what the collection as a whole must hold."""

import dataclasses
from collections import Counter

import pytest

from tests.reference.rows import EVIDENCE, compute, disagreement, in_si, load_rows, quantity, rows

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
    read = dataclasses.replace(rows()[0], kind="published", same_formula=False, topic="invented")
    others = ({"kind": "memory"}, {"same_formula": True}, {"kind": "common-practice"})
    none = [dataclasses.replace(read, **other) for other in others]
    assert _evidence_by_topic(none)["invented"] == 0
    assert _evidence_by_topic([*none, read])["invented"] == 1


@pytest.mark.parametrize("row", [row for row in rows() if not isinstance(row.value, str)], ids=lambda row: row.id)
def test_a_result_just_beyond_the_tolerance_is_refused(row):
    step = 1.01 * row.allowed + 1e-9 * max(abs(row.value), 1e-3)
    if row.side != "at most":
        assert disagreement(row, in_si(row.value - step, row.unit))
    if row.side != "at least":
        assert disagreement(row, in_si(row.value + step, row.unit))
    assert not disagreement(row, in_si(row.value, row.unit))


TEN = dataclasses.replace(rows()[0], value=10.0, unit="", rel=None, abs=0.5, side="both")


@pytest.mark.parametrize(
    ("changed", "result", "agrees"),
    [
        ({"value": "A3", "abs": None}, "A1", False),
        ({"value": "A3", "abs": None}, "A3", True),
        ({"side": "at least"}, 30.0, True),
        ({"side": "at least"}, 9.6, True),
        ({"side": "at least"}, 9.4, False),
        ({"side": "at most"}, -30.0, True),
        ({"side": "at most"}, 10.6, False),
        ({"rel": 1.0}, float("nan"), False),
        ({"rel": 1.0}, float("inf"), False),
    ],
)
def test_words_sides_and_what_is_no_number(changed, result, agrees):
    assert bool(disagreement(dataclasses.replace(TEN, **changed), result)) is not agrees


def test_quantities_are_read_in_their_unit():
    assert quantity("2 MPa") == pytest.approx(2e6)
    assert quantity("-30 degC") == pytest.approx(243.15)
    assert quantity("R-134a") == "R-134a"
    assert quantity(0.4) == 0.4


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


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("a book, table 1", "", "no source"),
        ("published", "hearsay", "kind"),
        ("rel = 0.1", "", "no tolerance"),
        ('why = "printed to three digits"', "", "no reason"),
        ('seen = "read"', "", "not said how"),
        (COMPLETE, COMPLETE + COMPLETE, "twice"),
    ],
)
def test_a_broken_row_is_refused(tmp_path, old, new, message):
    file = tmp_path / "topic.toml"
    file.write_text(COMPLETE, encoding="utf-8")
    assert len(load_rows(tmp_path)) == 1
    file.write_text(COMPLETE.replace(old, new), encoding="utf-8")
    with pytest.raises(AssertionError, match=message):
        load_rows(tmp_path)
