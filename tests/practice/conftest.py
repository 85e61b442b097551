"""Fixtures of the practice room: an own records folder, a clock that is set by hand, a small bank."""

import pytest

from tests.clock import Clock
from thermo_kit.course.drawn import Asked
from thermo_kit.course.keys import ChoiceKey, Mistake
from thermo_kit.course.record import Record
from thermo_kit.practice.bank import Item


@pytest.fixture(autouse=True)
def own_records(tmp_path, monkeypatch):
    monkeypatch.setenv("THERMO_KIT_RECORDS", str(tmp_path / "records"))
    return tmp_path / "records"


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def record(own_records, clock):
    return Record(now=clock)


def small_item(name, topic="leaks"):
    def make(seed):
        key = ChoiceKey(name, right="yes", why="so it is", mistakes=[Mistake("no", "no", "It is not so.")])
        return Asked(name, topic, f"{name}, {seed}?", key, ("yes", "no"), source="a book", case=(f"seed {seed}",))

    return Item(name, topic, "fact", "", make)


@pytest.fixture
def make_bank():
    def make(count):
        topics = [("leaks", "safety", "parts")[i % 3] for i in range(count)]
        items = (small_item(f"{topic}_{i:03d}", topic) for i, topic in enumerate(topics))
        return {item.name: item for item in items}

    return make


@pytest.fixture
def bank(make_bank):
    return make_bank(30)
