"""Which questions are due today, by a published rule of spaced repetition, spread to the day of the examination.

The rule is FSRS in its version 6, as the kept library `fsrs` holds it with the published default weights; its formulas
stand at https://github.com/open-spaced-repetition/awesome-fsrs/wiki/The-Algorithm, its beginnings in J. Ye, J. Su and
Y. Cao, "A stochastic shortest path algorithm for optimizing spaced repetition scheduling", KDD 2022 (memory). A
question returns on the day on which one would still know it with the chance `RETENTION`: whoever knew it waits longer,
whoever did not meets it again soon, with other numbers.
"""

import hashlib
import math
from dataclasses import dataclass
from datetime import UTC, date, datetime
from importlib.metadata import version
from itertools import zip_longest
from typing import NamedTuple

from fsrs import Card, Rating, Scheduler, State

from thermo_kit.course.record import CLOCK_SLACK
from thermo_kit.errors import InputError
from thermo_kit.panels.view import the_view
from thermo_kit.practice.replay import begin_together, histories_of

# The library's own default.
RETENTION = 0.9
# All is to be seen once so many days before the examination; a day takes so long, and a question of a kind so many
# seconds; common practice, no source.
DAYS_BEFORE, MINUTES = 5, 10
SECONDS = {"fact": 25, "lesson": 45, "exercise": 120}
# The law of the other side of the sea is nothing new to learn.
FOREIGN = {"EU": "law_us", "US": "law_eu"}
SETTINGS, CARDS = "practice", "practice_cards"
# Fewer new answers than this are counted again next time rather than written down.
MOST_UNWRITTEN = 10
# What was counted with another library or by another rule is counted anew.
RULE = f"fsrs {version('fsrs')}, {RETENTION}"
_SCHEDULER = Scheduler(desired_retention=RETENTION, learning_steps=(), relearning_steps=(), enable_fuzzing=False)


class Known(NamedTuple):
    """What the answers tell of one question: the library's card, times in s since 1970, and how often it was asked."""

    stability: float
    difficulty: float
    last: float
    due: float
    times: int
    first_day: str

    @property
    def card(self):
        """The library's card."""
        return _card(self.stability, self.difficulty, self.last, self.due)


@dataclass(frozen=True)
class Plan:
    """What to ask today, in order; how many are due and how many unseen; one sentence."""

    names: tuple[str, ...]
    due: int
    unseen: int
    minutes: float
    examination: date | None
    told: str


def settings(record):
    """The learner's minutes a day and day of examination (or None)."""
    kept = record.state(SETTINGS, {})
    day = kept.get("examination")
    return kept.get("minutes", MINUTES), day and date.fromisoformat(day)


def keep_settings(record, *, minutes, examination=""):
    """Keep minutes a day and the day of the examination as a text such as 2027-03-01, or empty."""
    if not 1 <= minutes <= 240:
        raise InputError.about("the minutes a day", f"{minutes}", "lie outside 1 to 240", "ten are a good start")
    day = str(day_from(examination, record.today)) if examination else None
    record.keep_state(SETTINGS, {"minutes": minutes, "examination": day})


def day_from(text, today):
    """The day of the examination from a text such as 2027-03-01."""
    try:
        day = date.fromisoformat(str(text).strip())
    except ValueError:
        told, advice = "is no day of the calendar", "write it as year-month-day: 2027-03-01"
        raise InputError.about("the day of the examination", repr(text), told, advice) from None
    if day < today:
        raise InputError.about("the day of the examination", f"{day}", "is over", "give a later day")
    return day


def known(record):
    """What is known of each question that was ever answered, by name; counted on from where it was left last time."""
    kept = record.state(CARDS, {})
    if kept.get("rule") != RULE:
        kept = {"rule": RULE, "through": 0, "cards": {}}
    cards = {name: Known(*row) for name, row in kept["cards"].items()}
    numbers, names, right, at = record.answer_columns(after=kept["through"])
    histories = histories_of(names, right, at)
    begun = {} if cards else begin_together(histories, _SCHEDULER.parameters)
    for name, (rights, seconds, places) in histories.items():
        before, (counted, *state) = cards.get(name), begun.get(name, (0,))
        card = before.card if before else _card(*state) if state else Card(1)
        for was_right, second in zip(rights[counted:], seconds[counted:], strict=True):
            # A clock that was set back does not make a memory younger than it is.
            moment = max(datetime.fromtimestamp(second, UTC), card.last_review or datetime.min.replace(tzinfo=UTC))
            card, _log = _SCHEDULER.review_card(card, Rating.Good if was_right else Rating.Again, moment)
        times, day = (before.times, before.first_day) if before else (0, str(at[places[0]].date()))
        last, due = card.last_review.timestamp(), card.due.timestamp()
        cards[name] = Known(card.stability, card.difficulty, last, due, times + len(rights), day)
    if len(numbers) > MOST_UNWRITTEN:
        record.keep_state(CARDS, {"rule": RULE, "through": numbers[-1], "cards": cards})
    return cards


def _card(stability, difficulty, last, due=0.0):
    last, due = (datetime.fromtimestamp(seconds, UTC) for seconds in (last, due))
    return Card(1, State.Review, None, stability, difficulty, due, last)


def seed_of(record, cards, name):
    """What a question is drawn from: another one for each learner, and each time it returns."""
    return f"{record.order_seed}.{name}.{cards[name].times if name in cards else 0}"


def plan(record, bank, cards, *, more=False):
    """What is asked today; `more`: another round after today's is done."""
    minutes, examination = settings(record)
    now, today = record.now(), record.today
    days_left = (examination - today).days if examination else -1
    seconds = {name: SECONDS[item.kind] for name, item in bank.items()}
    seen = {name: one for name, one in cards.items() if name in seconds}
    # Answered "later" than now: the clock was wrong then or is now, and nobody shall wait for it.
    due = [n for n, one in seen.items() if _day(one.due, now) <= today or one.last > (now + CLOCK_SLACK).timestamp()]
    due.sort(key=lambda name: _SCHEDULER.get_card_retrievability(seen[name].card, now.astimezone(UTC)))
    foreign = FOREIGN.get(the_view().country)
    unseen = [item for item in bank.values() if item.name not in seen and item.topic != foreign]
    unseen = _in_turn(unseen, {bank[name].lesson for name in seen})
    fresh, needed = unseen, 0
    if days_left >= 0:
        new_today = sum(one.first_day == str(today) for one in seen.values())
        needed = math.ceil((len(unseen) + new_today) / max(1, days_left - DAYS_BEFORE))
        fresh = unseen[: max(0, needed - new_today)]
    spent = 0 if more else sum(seconds[name] for name, one in seen.items() if _day(one.last, now) == today)
    budget, names = minutes * 60 - spent, []
    # In turn while an examination waits, else what is due goes first.
    queue = [name for pair in zip_longest(due, fresh) for name in pair if name] if days_left >= 0 else [*due, *fresh]
    for name in queue:
        budget -= seconds[name]
        if budget < 0:
            break
        names.append(name)
    told = f"{len(due)} due for review, {len(unseen)} not seen yet."
    if days_left >= 0:
        told += f" The examination is on {examination}, in {days_left} days."
        a_day = math.ceil((needed * sum(seconds.values()) / max(1, len(seconds)) + sum(map(seconds.get, due))) / 60)
        if unseen and a_day > minutes + 1:
            told += f" To see everything once, {DAYS_BEFORE} days before, takes about {a_day} minutes a day."
    return Plan(tuple(names), len(due), len(unseen), sum(map(seconds.get, names)) / 60, examination, told)


def _day(seconds, now):
    return datetime.fromtimestamp(seconds, now.tzinfo).date()


def _in_turn(items, begun):
    """The unseen questions: the topics in turn, in each those of begun lessons first, else as drawn by lot."""
    ranks, ranked = {}, []
    for item in sorted(items, key=lambda i: (i.lesson not in begun, hashlib.sha256(i.name.encode()).digest())):
        ranks[item.topic] = ranks.get(item.topic, 0) + 1
        ranked.append((ranks[item.topic], item.topic, item.name))
    return [name for _rank, _topic, name in sorted(ranked)]
