"""Which questions are due today, by a published rule of spaced repetition, spread to the day of the examination.

The rule is FSRS, as the library `fsrs` keeps it with its published default weights: J. Ye, J. Su and Y. Cao, "A
stochastic shortest path algorithm for optimizing spaced repetition scheduling", KDD 2022,
https://doi.org/10.1145/3534678.3539081. A question returns on the day on which one would still know it with the chance
`RETENTION`; whoever knew it waits longer, whoever did not meets it again the next day, with other numbers.
"""

import hashlib
import importlib.metadata
import math
from collections import Counter
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from fsrs import Card, Rating, Scheduler, State

from thermo_kit.course.record import CLOCK_SLACK
from thermo_kit.errors import InputError

# The library's own default.
RETENTION = 0.9
# All is to be seen once so many days before the examination, and a day takes so long; common practice, no source.
DAYS_BEFORE, MINUTES = 5, 10
SECONDS = {"fact": 25, "lesson": 45, "exercise": 120}
DAYS_AHEAD = 7
SETTINGS, CARDS = "practice", "practice_cards"
# Cards counted with another library or another rule are counted anew.
RULE = f"fsrs {importlib.metadata.version('fsrs')}, {RETENTION}"
_SCHEDULER = Scheduler(desired_retention=RETENTION, learning_steps=(), relearning_steps=(), enable_fuzzing=False)


class _Card(Card):
    """The library copies a card at each review; here nobody else holds it, and there may be very many."""

    def __copy__(self):
        return self


@dataclass(frozen=True)
class Known:
    """What the answers so far tell of one question: how often asked, since which day, and when it is due (UTC)."""

    stability: float
    difficulty: float
    last: datetime
    due: datetime
    times: int
    first: str

    @property
    def card(self):
        """The same as the library's card."""
        return _Card(1, State.Review, None, self.stability, self.difficulty, self.due, self.last)


@dataclass(frozen=True)
class Plan:
    """What to ask today, in order; how many are due and how many unseen; and what is due in the days after."""

    names: tuple[str, ...]
    due: int
    unseen: int
    minutes: float
    needed_minutes: float
    examination: date | None
    ahead: tuple[int, ...]
    told: str


def settings(record):
    """The learner's minutes a day and day of examination (or None)."""
    kept = record.state(SETTINGS, {})
    day = kept.get("examination")
    return kept.get("minutes", MINUTES), date.fromisoformat(day) if day else None


def keep_settings(record, *, minutes, examination=None):
    """Keep minutes a day and the day of the examination, a date or a text such as 2027-03-01."""
    if not 1 <= minutes <= 240:
        raise InputError.about("the minutes a day", f"{minutes}", "lie outside 1 to 240", "ten are a good start")
    try:
        day = examination and date.fromisoformat(str(examination).strip())
    except ValueError:
        told = "is no day of the calendar"
        raise InputError.about("the day", repr(examination), told, "write it as year-month-day: 2027-03-01") from None
    if day and day < record.today:
        raise InputError.about("the day of the examination", f"{day}", "is over", "give a later day, or none")
    record.keep_state(SETTINGS, {"minutes": minutes, "examination": str(day) if day else None})


def known(record):
    """What is known of each question that was ever answered, by name; counted on from where it was left last time."""
    kept = record.state(CARDS, {})
    if kept.get("rule") != RULE:
        kept = {"rule": RULE, "through": 0, "cards": {}}
    cards = {name: _of_row(row) for name, row in kept["cards"].items()}
    new = record.answers(after=kept["through"])
    changed = {}
    for answer in new:
        before = changed.get(answer.question) or _opened(cards.get(answer.question), answer)
        changed[answer.question] = _after(before, answer)
    for name, (card, times, first) in changed.items():
        cards[name] = Known(card.stability, card.difficulty, card.last_review, card.due, times, first)
    if len(new) > DAYS_AHEAD:
        rows = {name: _row_of(one) for name, one in cards.items()}
        record.keep_state(CARDS, {"rule": RULE, "through": new[-1].number, "cards": rows})
    return cards


def _opened(one, answer):
    if one is None:
        return _Card(1), 0, answer.on.isoformat()
    return one.card, one.times, one.first


def _after(before, answer):
    card, times, first = before
    at = answer.at.astimezone(UTC)
    # A clock that was set back cannot make a memory older than it is.
    at = max(at, card.last_review or at)
    card, _ = _SCHEDULER.review_card(card, Rating.Good if answer.right else Rating.Again, at)
    return card, times + 1, first


def _row_of(one):
    return [one.stability, one.difficulty, one.last.isoformat(), one.due.isoformat(), one.times, one.first]


def _of_row(row):
    stability, difficulty, last, due, times, first = row
    return Known(stability, difficulty, datetime.fromisoformat(last), datetime.fromisoformat(due), times, first)


def seed_of(record, cards, name):
    """What a question is drawn from: another one for each learner, and each time it returns."""
    return f"{record.order_seed}.{name}.{cards[name].times if name in cards else 0}"


def plan(record, bank, *, cards=None, more=False):
    """What is asked today; `more`: another round after today's is done."""
    cards = known(record) if cards is None else cards
    minutes, examination = settings(record)
    now, today = record.now(), record.today
    examination = examination if examination and examination >= today else None
    seconds = {item.name: SECONDS[item.kind] for item in bank.items}
    seen = {name: one for name, one in cards.items() if name in seconds}
    due_on = {name: _due_on(one, now) for name, one in seen.items()}
    due = sorted((n for n, day in due_on.items() if day <= today), key=lambda n: _chance(seen[n], now))
    unseen = _in_turn([item for item in bank.items if item.name not in seen], seen, bank)
    spent = 0 if more else sum(seconds[n] for n, one in seen.items() if one.last.astimezone(now.tzinfo).date() == today)
    quota, needed = _quota(len(unseen), sum(one.first == str(today) for one in seen.values()), examination, today)
    must = unseen[: len(unseen) if quota is None else quota]
    budget = max(0, minutes * 60 - spent)
    # What is due goes first, but leaves half of the time to what must be seen once before the examination.
    names, budget = _fit(due, seconds, budget, budget / 2 if quota else 0)
    fresh, budget = _fit(must, seconds, budget)
    late, budget = _fit([n for n in due if n not in names], seconds, budget)
    names = [*names, *fresh, *late]
    average = sum(seconds.values()) / max(1, len(seconds))
    needed_minutes = (needed * average + sum(map(seconds.get, due))) / 60
    ahead = Counter((day - today).days for day in due_on.values())
    return Plan(
        tuple(names),
        len(due),
        len(unseen),
        sum(map(seconds.get, names)) / 60,
        needed_minutes,
        examination,
        tuple(ahead[day] for day in range(1, DAYS_AHEAD + 1)),
        _told(names, due, unseen, minutes, needed_minutes, examination, today),
    )


def _due_on(one, now):
    # Answered "later" than now: the clock was wrong then or is now, and nobody shall wait for it.
    return (now if one.last > now + CLOCK_SLACK else one.due.astimezone(now.tzinfo)).date()


def _chance(one, now):
    return _SCHEDULER.get_card_retrievability(one.card, now.astimezone(UTC))


def _in_turn(items, seen, bank):
    """The unseen questions: the topics in turn, in each those of begun lessons first, else drawn by lot."""
    begun = {bank.by_name[name].lesson for name in seen}
    by_topic = {}
    for item in sorted(items, key=lambda i: (i.lesson not in begun, hashlib.sha256(i.name.encode()).digest())):
        by_topic.setdefault(item.topic, []).append(item.name)
    ranked = [(rank, topic, name) for topic, names in by_topic.items() for rank, name in enumerate(names)]
    return [name for _rank, _topic, name in sorted(ranked)]


def _quota(unseen, new_today, examination, today):
    """How many new ones are left for today (None: as many as fit), and how many a day that is."""
    if examination is None:
        return None, 0
    days = max(1, (examination - timedelta(days=DAYS_BEFORE) - today).days)
    share = math.ceil((unseen + new_today) / days)
    return max(0, share - new_today), share


def _fit(names, seconds, budget, reserve=0):
    """The first names that fit into a time [s] of which a part is reserved, and what is left of it."""
    taken = []
    for name in names:
        if budget - reserve < seconds[name]:
            break
        taken.append(name)
        budget -= seconds[name]
    return taken, budget


def _told(names, due, unseen, minutes, needed, examination, today):
    told = f"{len(due)} due for review, {len(unseen)} not seen yet. "
    if not names:
        told += "Today's time is used. " if due or unseen else "Nothing is due today. "
    if examination:
        told += f"The examination is on {examination.isoformat()}, in {(examination - today).days} days. "
        if needed > minutes + 1 and unseen:
            told += f"To see everything once {DAYS_BEFORE} days before takes about {math.ceil(needed)} minutes a day. "
    return told.strip()
