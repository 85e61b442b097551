"""The facts table: complete, sourced, honest about what was only recalled."""

from dataclasses import fields

import pytest

from thermo_kit.substances import REFRIGERANT_NAMES, Fact, Refrigerant, facts_of


def every_fact():
    for name in REFRIGERANT_NAMES:
        facts = facts_of(name)
        yield from ((name, field.name, getattr(facts, field.name)) for field in fields(facts) if field.type is Fact)
        yield from ((name, f"gwp {report}", fact) for report, fact in facts.gwp.items())


@pytest.mark.parametrize(
    "name, field, fact", list(every_fact()), ids=lambda value: value if isinstance(value, str) else ""
)
def test_a_fact_names_its_source_and_how_it_was_seen(name, field, fact):
    assert isinstance(fact, Fact)
    assert len(fact.source) > 8
    assert fact.seen.startswith("read: ") or (fact.value == "none" and fact.seen == "nothing found")
    if not isinstance(fact.value, str):
        assert fact.value > 0
        assert fact.unit


def test_every_refrigerant_has_every_report_and_a_caution():
    for name in REFRIGERANT_NAMES:
        facts = Refrigerant(name).facts
        assert facts.name == name
        assert list(facts.gwp) == ["AR4", "AR5", "AR6"]
        assert facts.caution.endswith(".")


def test_what_burns_has_a_limit_and_what_does_not_says_so():
    for name in REFRIGERANT_NAMES:
        facts = facts_of(name)
        burns = facts.safety_class.value != "A1"
        assert isinstance(facts.lower_flammability_limit.value, float) == burns
        assert (facts.lower_flammability_limit.value == "none") != burns
