"""The chance to pass: its sum is exact, it moves as it should, and it holds on simulated learners."""

from datetime import timedelta
from itertools import product

import numpy as np
import pytest

from tests.benchmarks.simulated_learners import told_and_passed
from tests.practice.many_answers import keep_many
from thermo_kit.charts.practice import outlook_picture
from thermo_kit.practice.blueprint import read_blueprint
from thermo_kit.practice.readiness import at_least, missing_for, readiness, retained
from thermo_kit.practice.readiness_panel import ReadinessPanel

TEXT = 'title = "Small"\nquestions = 20\nminutes = 30\npass_mark = 75\n[shares]\nleaks = 60\nsafety = 40'
PLAN = read_blueprint(TEXT)


def test_the_chance_is_that_of_all_ways_counted_one_by_one():
    shares, counts = np.array([[0.3, 0.8], [0.95, 0.5]]), np.array([2, 3])
    for row, chance in zip(shares, at_least(shares, counts, 3.5), strict=True):
        single = [row[0]] * 2 + [row[1]] * 3
        ways = (way for way in product((0, 1), repeat=5) if sum(way) >= 4)
        counted = sum(np.prod([p if hit else 1 - p for p, hit in zip(single, way, strict=True)]) for way in ways)
        assert chance == pytest.approx(counted, abs=1e-12)
    assert at_least(shares, counts, 0) == pytest.approx([1, 1])


def test_forgetting_is_that_of_the_library():
    from fsrs import Card, Scheduler, State

    now = Card().due
    card = Card(1, State.Review, None, 5.0, 5.0, now, now)
    for days in (0, 1, 5, 60):
        expected = Scheduler().get_card_retrievability(card, now + timedelta(days=days))
        assert retained(days, 5.0) == pytest.approx(expected, abs=1e-12)


@pytest.fixture
def practised(record, clock, make_bank):
    """Return a function that lets a learner answer sixty questions, a share of them right, and then rest."""

    def practise(share, rest):
        bank = make_bank(90)
        asked = enumerate(list(bank)[:60])
        keep_many(record, [(name, n % 10 < 10 * share, record.now() + n * timedelta(hours=6)) for n, name in asked])
        clock.goes(days=15 + rest)
        return bank

    return practise


def told(record, bank, days):
    return readiness(record.answers(), PLAN, bank, record.now(), record.today + timedelta(days=days))


@pytest.mark.parametrize("share, low, high", [(0.4, 0.0, 0.35), (1.0, 0.85, 1.0)])
def test_who_knows_much_is_told_a_good_chance(record, practised, share, low, high):
    found = told(record, practised(share, rest=3), days=7)
    assert low <= found.chance <= high and found.low <= found.high
    assert found.missing == "" and found.tries == 40, "parts are not asked in this examination"
    assert "If you practise no more" in found.sentence and "Weakest topic" in found.sentence
    assert found.sentence in outlook_picture(found).whole()


def test_nobody_is_told_a_certainty(record, practised):
    sentence = told(record, practised(1.0, rest=3), days=1).sentence
    assert "you pass in over 95 of 100 cases" in sentence and "100 of 100" not in sentence


def test_the_chance_fades_with_the_days(record, practised):
    bank = practised(0.9, rest=3)
    chances = [told(record, bank, days).chance for days in (0, 15, 60, 200)]
    assert chances == sorted(chances, reverse=True) and chances[0] > chances[-1] + 0.1


def test_without_enough_answers_none_is_told(record, practised, make_bank):
    assert told(record, make_bank(90), 7).sentence.startswith("Not enough answers yet: 0 first tries")
    bank = practised(0.9, rest=0)
    fresh = told(record, bank, 7)
    assert fresh.tries < 40, "what is not yet two days old does not count"
    assert missing_for({"leaks": 12, "safety": 8}, {"leaks": 1, "safety": 40}).startswith(
        "they touch topics of 8 of the 20"
    )


def test_answers_of_lessons_count_by_the_name_of_the_question(record, clock, make_bank):
    bank = make_bank(90)
    keep_many(record, [(name, True, record.now()) for name in bank])
    clock.goes(days=3)
    assert told(record, bank, 7).tries == 60


def test_the_panel_tells_it_or_says_what_is_wrong(record, practised, tmp_path):
    plan = tmp_path / "plan.toml"
    plan.write_text(TEXT, encoding="utf-8")
    panel = ReadinessPanel(record, practised(0.9, rest=3))
    panel.day.value = "soon"
    panel.on_tell(None)
    assert "is no day of the calendar" in panel.error_line.value
    panel.day.value = "2020-01-01"
    panel.on_tell(None)
    assert "is over" in panel.error_line.value
    panel.day.value = str(record.today)
    panel.on_tell(None)
    assert "needs 6 questions but the bank holds 0" in panel.error_line.value, "our small bank holds no law"
    panel.choice.file.value = str(plan)
    panel.on_tell(None)
    assert panel.error_line.value == "" and "If you practise no more" in panel.result.value
    assert "<svg" in panel.result.value


def test_simulated_learners_pass_as_often_as_they_were_told():
    # The whole measurement is a command: python -m tests.benchmarks.simulated_learners
    found = np.array([pair for pair in map(told_and_passed, range(150)) if pair[0] is not None], dtype=float)
    assert len(found) > 100
    unsure = found[(found[:, 0] > 0.2) & (found[:, 0] < 0.95)]
    spread = (unsure[:, 0] * (1 - unsure[:, 0])).sum() ** 0.5
    assert abs(unsure[:, 0].sum() - unsure[:, 1].sum()) < 2.5 * spread
    assert ((found[:, 0] - found[:, 1]) ** 2).mean() < 0.18, "better than a coin, 0.25"
