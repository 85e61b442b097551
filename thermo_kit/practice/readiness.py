"""The chance to pass an examination on a day, from first tries, by a model of what is known and what fades.

Each topic has a share that its questions are known without practice: Beta posteriors under one shared prior, whose mean
and strength are learned from all topics (empirical Bayes; Gelman et al., Bayesian Data Analysis, chapter 5, memory).
A practised question is remembered besides that, and fades by the power law of forgetting with the default numbers of
the library `fsrs` (version 6). The number of right answers is then a Poisson-binomial sum, by its Fourier transform
(Hong, Comput. Stat. Data Anal. 59 (2013) 41-51, memory). How well the chance holds is measured on simulated learners.
"""

from collections import Counter
from dataclasses import dataclass

import numpy as np
from scipy.special import betaln

from thermo_kit.practice.syllabus import load_syllabus

REST = 2.0
"""Days [d] after which an answer tells what is known, and not what was just read."""
NIGHT = 0.5
"""Days [d] after which a question has come back, and was not just repeated."""
FEWEST_TRIES, FEWEST_IN_TOPIC, LEAST_COVERED = 30, 2, 0.5
DECAY = 0.1542
"""Exponent of forgetting, default of `fsrs`."""
LAPSED, FIRST_STABILITY, GROWTH, LONGEST_STABILITY = 0.21, 2.3, 2.0, 365.0
"""Days [d] until nine in ten are remembered, after a wrong and a first right answer (both default of `fsrs`); by how
much each return that is right lengthens them, an assumption; and the most."""
BASE_STABILITY = 40.0
"""The same [d] for what is known without practice: an assumption."""
GUESS = 0.25
ITEM_WEIGHT = 3.0
"""How many answers the topic's share counts for beside a question's own first one: an assumption."""
DOUBT = 0.2
"""How far the odds of all topics may be off together, as deviation of their logarithm: set so that simulated learners
pass as often as they were told."""
DRAWS = 400
SPEEDS = np.array([0.25, 0.5, 1.0, 2.0, 4.0])
"""How much longer than usual a learner may remember; an even chance for each before any question has come back."""
_MEANS = np.linspace(0.03, 0.97, 48)
_STRENGTHS = np.array([2.0, 4.0, 8.0, 16.0, 32.0])
_RANGE = 10, 90


@dataclass(frozen=True)
class TopicOutlook:
    """What is expected of a topic on the day: the share of right answers with its 80 % range, from how many tries."""

    title: str
    questions: int
    tries: int
    share: float
    low: float
    high: float


@dataclass(frozen=True)
class Readiness:
    """The chance to pass on a day; low, high: where it lies in eight of ten cases; missing: why none is told."""

    on: object
    chance: float
    low: float
    high: float
    topics: tuple
    pass_share: float
    tries: int
    missing: str = ""

    @property
    def sentence(self):
        """The chance in words."""
        if self.missing:
            return f"Not enough answers yet: {self.missing}"
        weakest = min(self.topics, key=lambda one: one.share)
        return (
            f"If you practise no more until {self.on}, you pass in {_about(self.chance)} of 100 cases. "
            f"{self.tries} first tries leave that unsure: from {_about(self.low)} to {_about(self.high)}. "
            f"Weakest topic: {weakest.title}, {_about(weakest.share)} of 100 right."
        )


@dataclass
class _Memory:
    """What the answers to one question say.

    first, last: days of the first and last answer; streak: right ones in a row after the first, -1 after a wrong one;
    returns: (days since the answer before, streak until then, right) of each answer after a night
    """

    topic: str
    right: bool
    first: float
    streak: int
    last: float
    returns: list


def retained(days, stability):
    """Return the share that is still remembered; days, stability [d]."""
    factor = 0.9 ** (-1 / DECAY) - 1
    return (1 + factor * np.maximum(days, 0) / stability) ** -DECAY


def remembered(answers, topic_of=None):
    """Gather what the answers, oldest first, say of each question; times in days since 1970."""
    known = {}
    for answer in answers:
        at, topic = _days(answer.at), (topic_of or {}).get(answer.question) or answer.topic
        memory = known.get(answer.question)
        if memory is None:
            known[answer.question] = _Memory(topic, answer.right, at, int(answer.right) - 1, at, [])
            continue
        if at - memory.last >= NIGHT:
            memory.returns.append((at - memory.last, memory.streak, answer.right))
        if not answer.right:
            memory.streak = -1
        elif at - memory.last >= NIGHT:
            memory.streak += 1
        memory.last = max(memory.last, at)
    return known


def chance_to_pass(memories, counts, held, points_needed, today, day, draws=DRAWS):
    """Return chances [draws], shares of right answers [draws, topics] and first tries of each topic; today, day [d].

    counts: questions of each topic in the examination; held: in the bank
    """
    topics = list(counts)
    counted = [memory for memory in memories if today - memory.first >= REST]
    # Topics that are not asked tell of the learner too.
    place = {topic: at for at, topic in enumerate([*topics, *sorted({m.topic for m in counted} - set(topics))])}
    at = np.array([place[memory.topic] for memory in counted], dtype=int)
    right, tries, ages = (
        np.bincount(at, weights, len(place))
        for weights in ([m.right for m in counted], [1] * len(counted), [today - m.first for m in counted])
    )
    base = _posterior(right, tries - right, draws)[:, : len(topics)]
    ages = (ages / np.maximum(tries, 1))[: len(topics)]
    fade = retained(day - today + ages, BASE_STABILITY) / retained(ages, BASE_STABILITY)
    base = np.where(base > GUESS, GUESS + (base - GUESS) * fade, base)
    shares, speeds = np.empty_like(base), _speeds(memories, base.mean(), draws)
    for at, topic in enumerate(topics):
        own = [m for m in memories if m.topic == topic]
        first = np.array([m.right for m in own], dtype=float)
        since, streaks = day - np.array([m.last for m in own]), np.array([m.streak for m in own], dtype=float)
        kept = retained(since, _stability(streaks, SPEEDS[:, None]))[speeds]
        guess = (base[:, at, None] * ITEM_WEIGHT + first) / (ITEM_WEIGHT + 1)
        known = (kept + (1 - kept) * guess).sum(axis=1)
        shares[:, at] = (known + (held[topic] - len(own)) * base[:, at]) / held[topic]
    # Nothing is certain: also what was answered this very minute may slip.
    shares = np.minimum(shares, 0.999)
    odds = shares / (1 - shares) * np.exp(np.random.default_rng(2).normal(0, DOUBT, (draws, 1)))
    shares = odds / (1 + odds)
    chances = at_least(shares, np.array([counts[topic] for topic in topics]), points_needed)
    return chances, shares, dict(zip(topics, tries, strict=False))


def at_least(shares, counts, needed):
    """Return the chance [draws] of at least so many right answers; shares [draws, topics], counts [topics]."""
    total = int(counts.sum())
    turns = np.exp(2j * np.pi * np.arange(total + 1) / (total + 1))
    waves = np.ones((len(shares), total + 1), dtype=complex)
    for at, count in enumerate(counts):
        waves *= (1 + shares[:, at, None] * (turns - 1)) ** int(count)
    chances = np.fft.fft(waves, axis=1).real / (total + 1)
    return chances[:, int(np.ceil(needed - 1e-9)) :].sum(axis=1).clip(0, 1)


def readiness(answers, blueprint, bank, today, day):
    """Tell the chance to pass a blueprint on a day from all answers of the record; today is an aware time."""
    blueprint.check_against(bank)
    held = Counter(item.topic for item in bank.values())
    memories = remembered(answers, {name: item.topic for name, item in bank.items()}).values()
    now, counts = _days(today), blueprint.counts
    then = now + max((day - today.date()).days, 0)
    chances, shares, tries = chance_to_pass(memories, counts, held, blueprint.points_needed, now, then)
    titles = load_syllabus().topics
    low, high = np.percentile(shares, _RANGE, axis=0)
    topics = tuple(
        TopicOutlook(titles[topic].title, counts[topic], int(tries[topic]), *map(float, numbers))
        for topic, *numbers in zip(counts, shares.mean(axis=0), low, high, strict=True)
    )
    chance, *ends = map(float, (chances.mean(), *np.percentile(chances, _RANGE)))
    tried = sum(one.tries for one in topics)
    return Readiness(day, chance, *ends, topics, blueprint.pass_mark / 100, tried, missing_for(counts, tries))


def missing_for(counts, tries):
    """Say why no chance can be told yet, or return an empty text."""
    total, asked = sum(counts.values()), int(sum(tries.values()))
    if asked < FEWEST_TRIES:
        return f"{asked} first tries are two days old or older, and {FEWEST_TRIES} are needed."
    covered = sum(count for topic, count in counts.items() if tries[topic] >= FEWEST_IN_TOPIC)
    if covered < LEAST_COVERED * total:
        return f"they touch topics of {covered} of the {total} questions, and half of them is needed."
    return ""


def _posterior(right, wrong, draws):
    """Draw the topics' shares [draws, topics] under one prior, whose mean and strength are drawn as well."""
    chance = np.random.default_rng(0)
    mean, strength = (grid.ravel() for grid in np.meshgrid(_MEANS, _STRENGTHS))
    a, b = (mean * strength)[:, None], ((1 - mean) * strength)[:, None]
    fit = (betaln(a + right, b + wrong) - betaln(a, b)).sum(axis=1) + np.log(mean * (1 - mean))
    weights = np.exp(fit - fit.max())
    drawn = chance.choice(len(mean), size=draws, p=weights / weights.sum())
    return chance.beta(a[drawn] + right, b[drawn] + wrong)


def _stability(streaks, speed):
    return speed * np.where(streaks < 0, LAPSED, np.minimum(FIRST_STABILITY * GROWTH**streaks, LONGEST_STABILITY))


def _speeds(memories, guess, draws):
    """Draw how fast this learner forgets, as places in SPEEDS, from the questions that came back after a rest."""
    days, streaks, right = np.array([one for memory in memories for one in memory.returns]).reshape(-1, 3).T
    kept = retained(days, _stability(streaks, SPEEDS[:, None]))
    known = kept + (1 - kept) * guess
    fit = np.log(np.where(right == 1, known, 1 - known)).sum(axis=1)
    weights = np.exp(fit - fit.max())
    return np.random.default_rng(1).choice(len(SPEEDS), size=draws, p=weights / weights.sum())


def _days(moment):
    return moment.timestamp() / 86_400


def _about(share):
    # Nobody is told a certainty.
    number = 5 * round(20 * share)
    return "over 95" if number > 95 else "under 5" if number < 5 else f"about {number}"
