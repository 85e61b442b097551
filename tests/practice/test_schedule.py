"""What is due: as the library says, spread to the examination, and sound when the clock is not."""

import random
from argparse import Namespace
from datetime import UTC, timedelta

import fsrs
import pytest

from tests.practice.conftest import small_item
from tests.practice.many_answers import keep_many
from thermo_kit.course.record import Record
from thermo_kit.errors import InputError
from thermo_kit.practice.schedule import CARDS, DAYS_BEFORE, RETENTION, keep_settings, known, plan, seed_of, settings


def assert_what_the_library_says(found, answers):
    """Hold what is known against the library, which counts the answers (name, right, at) one by one."""
    library = fsrs.Scheduler(desired_retention=RETENTION, learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    cards = {}
    for name, right, at in answers:
        card = cards.get(name, fsrs.Card(1))
        at = max(at.astimezone(UTC), card.last_review or at.astimezone(UTC))
        cards[name], _log = library.review_card(card, fsrs.Rating.Good if right else fsrs.Rating.Again, at)
    for name, card in cards.items():
        one = found[name]
        assert (one.stability, one.difficulty) == pytest.approx((card.stability, card.difficulty), rel=1e-9)
        assert (one.last, one.due) == pytest.approx((card.last_review.timestamp(), card.due.timestamp()), abs=1e-3)
        assert one.times == sum(asked == name for asked, _right, _at in answers)


def test_what_is_known_is_what_the_library_says(record, clock):
    luck = random.Random(3)
    for _ in range(60):
        clock.goes(hours=luck.choice([0.1, 20, 30, 200]))
        record.keep_answer(luck.choice("abc"), right=luck.random() < 0.7, mode="practice")
        found = known(record)
    assert_what_the_library_says(found, [(one.question, one.right, one.at) for one in record.answers()])
    assert record.state(CARDS)["through"] > 0
    record.keep_state(CARDS, {"rule": "another library"})
    assert known(record) == found, "counted anew from the answers alone"


def test_a_long_record_counted_at_once_is_what_the_library_counts_one_by_one(record, clock):
    luck, answers = random.Random(4), []
    for _ in range(4_000):
        clock.goes(hours=luck.choice([0.01, 0.1, 24, -30]))
        # A few are asked much more often than others, one only once.
        answers.append((f"q{min(int(luck.expovariate(0.1)), 40)}", luck.random() < 0.7, clock()))
    keep_many(record, [*answers, ("once", True, clock())])
    found = known(record)
    assert set(found) == {"once", *(name for name, _right, _at in answers)}
    assert_what_the_library_says(found, answers)


def test_right_waits_longer_than_wrong_and_each_return_is_drawn_anew(record, clock, make_bank):
    bank = make_bank(2)
    right, wrong = bank
    seeds = {seed_of(record, known(record), right)}
    record.keep_answer(right, right=True, mode="practice")
    record.keep_answer(wrong, right=False, mode="practice")
    assert plan(record, bank, known(record)).names == ()
    clock.goes(days=1)
    assert plan(record, bank, known(record)).names == (wrong,)
    clock.goes(days=9)
    assert set(plan(record, bank, known(record)).names) == {right, wrong}
    seeds.add(seed_of(record, known(record), right))
    assert len(seeds) == 2


def test_the_day_ends_and_another_round_may_follow(record, make_bank):
    bank = make_bank(60)
    first = plan(record, bank, known(record))
    assert len(first.names) == 24 and first.minutes == 10, "25 s each"
    assert {name.split("_")[0] for name in first.names[:3]} == {"leaks", "safety", "parts"}, "the topics in turn"
    for name in first.names:
        record.keep_answer(name, right=True, mode="practice")
    assert plan(record, bank, known(record)).names == ()
    assert len(plan(record, bank, known(record), more=True).names) == 24


def test_all_is_seen_before_the_examination_and_the_days_are_alike(record, clock, make_bank):
    bank, luck = make_bank(240), random.Random(1)
    day = clock().date() + timedelta(days=28)
    keep_settings(record, minutes=20, examination=str(day))
    new_ones, seen_on = [], {}
    while clock().date() < day:
        today = plan(record, bank, known(record))
        new = [name for name in today.names if name not in seen_on]
        new_ones.append(len(new))
        for name in today.names:
            seen_on.setdefault(name, clock().date())
        keep_many(record, [(name, luck.random() < 0.85, clock()) for name in today.names])
        clock.goes(days=1)
    assert len(seen_on) == 240
    assert max(seen_on.values()) <= day - timedelta(days=DAYS_BEFORE)
    working = new_ones[: 28 - DAYS_BEFORE]
    assert max(working) - min(working) <= 3, working


def test_the_law_of_another_country_is_not_asked(record, monkeypatch):
    names = [f"{topic}_{n}" for topic in ("law_eu", "law_us", "leaks") for n in range(3)]
    bank = {name: small_item(name, name[:-2]) for name in names}
    for country, expected in (("EU", {"law_eu", "leaks"}), ("US", {"law_us", "leaks"})):
        monkeypatch.setattr("thermo_kit.practice.schedule.the_view", lambda country=country: Namespace(country=country))
        assert {bank[name].topic for name in plan(record, bank, known(record)).names} == expected


def test_too_little_time_is_told(record, clock, make_bank):
    keep_settings(record, minutes=5, examination=str(clock().date() + timedelta(days=10)))
    told = plan(record, make_bank(240), known(record)).told
    assert "in 10 days" in told and "takes about 20 minutes a day" in told
    clock.goes(days=11)
    assert plan(record, make_bank(240), known(record)).told == "0 due for review, 240 not seen yet."


def test_a_clock_set_back_makes_nobody_wait(record, clock, make_bank):
    bank = make_bank(1)
    (name,) = bank
    for _ in range(4):
        record.keep_answer(name, right=True, mode="practice")
        clock.goes(days=30)
    clock.goes(days=-400)
    assert plan(record, bank, known(record)).names == (name,)
    before = known(record)[name]
    record.keep_answer(name, right=True, mode="practice")
    after = known(record)[name]
    assert after.last >= before.last and after.due >= after.last and after.stability >= before.stability


def test_two_programs_count_the_same(own_records, clock, make_bank):
    one, other = Record(now=clock), Record(now=clock)
    for number in range(30):
        (one, other)[number % 2].keep_answer(f"leaks_{number % 5:03d}", right=number % 3 > 0, mode="practice")
        assert known(one) == known(other)
        clock.goes(days=1)


@pytest.mark.parametrize(
    ("values", "told"),
    [
        ({"minutes": 0}, "the minutes a day 0 lie outside 1 to 240"),
        ({"minutes": 10, "examination": "31.12.2024"}, "the day of the examination '31.12.2024' is no day"),
        ({"minutes": 10, "examination": "2024-04-30"}, "the day of the examination 2024-04-30 is over"),
    ],
)
def test_settings_that_cannot_be_are_refused(record, values, told):
    with pytest.raises(InputError, match=told):
        keep_settings(record, **values)
    assert settings(record) == (10, None)
