"""Learners who forget, each in their own way, practise, are told a chance, and sit the examination.

python -m tests.benchmarks.simulated_learners            5,000 learners on two processes, a table at the end
python -m tests.benchmarks.simulated_learners 500 --seed 3

They are not built as the estimate assumes: ability in logits by learner, topic and question; speed, depth and curve of
forgetting differ between learners; what was never practised fades at a speed of its own.
"""

import argparse
import heapq
from datetime import UTC, datetime
from typing import NamedTuple

import numpy as np

from tests.benchmarks.reliability import reliability
from thermo_kit.practice.blueprint import supplied_blueprints
from thermo_kit.practice.readiness import chance_to_pass, missing_for, remembered

HELD = 30
"""Questions of each topic in the simulated bank."""
START = datetime(2026, 1, 5, 18, tzinfo=UTC).timestamp() / 86_400
BINS = (0.0, 0.05, 0.15, 0.25, 0.35, 0.45, 0.55, 0.65, 0.75, 0.85, 0.95, 1.01)


class Given(NamedTuple):
    """One simulated answer."""

    question: int
    topic: str
    right: bool
    at: datetime


class Learner:
    """One simulated learner with a bank of questions."""

    def __init__(self, topics, chance):
        self.chance, self.topics = chance, topics
        count = HELD * len(topics)
        ability = chance.normal(0.6, 1.0) + np.repeat(chance.normal(0, 0.6, len(topics)), HELD)
        ability = ability + chance.normal(0, 0.9, count)
        self.base = 1 / (1 + np.exp(-ability))
        self.stability = np.zeros(count)
        self.last = np.full(count, -np.inf)
        self.speed = chance.lognormal(0, 0.5)
        self.growth = chance.lognormal(np.log(2.5), 0.25)
        self.decay = chance.uniform(0.12, 0.25)
        self.base_stability = chance.lognormal(np.log(60), 0.7)

    def knows(self, day):
        """The chance of a right answer to each question on a day [d] after the start."""
        faded = self.base * self._kept(day, self.base_stability)
        base = 0.25 + 0.75 * faded
        seen = self.stability > 0
        memory = np.zeros(len(base))
        memory[seen] = self._kept(day - self.last[seen], self.stability[seen])
        return memory + (1 - memory) * base

    def _kept(self, days, stability):
        return (1 + (0.9 ** (-1 / self.decay) - 1) * np.maximum(days, 0) / stability) ** -self.decay

    def practise(self):
        """Practise for some weeks, what is due first; return the answers and the last day [d]."""
        chance, given, due = self.chance, [], []
        days, active, daily = chance.integers(7, 60), chance.uniform(0.3, 0.95), chance.integers(4, 30)
        fresh = list(chance.permutation(len(self.base)))
        waits = {}
        for day in range(days):
            if chance.random() > active:
                continue
            knows = self.knows(day)
            for _ in range(daily):
                if due and due[0][0] <= day:
                    number = heapq.heappop(due)[1]
                elif fresh:
                    number = fresh.pop()
                else:
                    break
                right = bool(chance.random() < knows[number])
                topic = self.topics[number // HELD]
                given.append(Given(number, topic, right, datetime.fromtimestamp((START + day) * 86_400, UTC)))
                least = (2.3 if right else 0.2) * self.speed
                self.stability[number] = max(self.stability[number] * self.growth, least) if right else least
                self.last[number] = day
                waits[number] = min(2 * waits.get(number, 1), 60) if right else 1
                heapq.heappush(due, (day + waits[number], number))
        return given, int(days)

    def sits(self, counts, day):
        """How many answers of an examination on a day [d] are right."""
        knows, right = self.knows(day), 0
        for at, count in enumerate(counts.values()):
            drawn = self.chance.choice(HELD, count, replace=False) + at * HELD
            right += int((self.chance.random(count) < knows[drawn]).sum())
        return right


def told_and_passed(seed):
    """One learner: the chance that was told, or None, and whether the examination was passed."""
    chance = np.random.default_rng([7, seed])
    blueprint = supplied_blueprints()["eu_mobile_equipment"]
    counts = blueprint.counts
    learner = Learner(list(counts), chance)
    given, today = learner.practise()
    day = today + int(chance.integers(0, 30))
    held = dict.fromkeys(counts, HELD)
    chances, _shares, tries = chance_to_pass(
        remembered(given).values(), counts, held, blueprint.points_needed, START + today, START + day
    )
    told = None if missing_for(counts, tries) else float(chances.mean())
    return told, learner.sits(counts, day) >= blueprint.points_needed


def main():
    from tqdm.contrib.concurrent import process_map

    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("learners", nargs="?", type=int, default=5_000)
    parser.add_argument("--seed", type=int, default=0)
    chosen = parser.parse_args()
    seeds = range(chosen.seed, chosen.seed + chosen.learners)
    everyone = process_map(told_and_passed, seeds, max_workers=2, chunksize=25, unit=" learners")
    # Without those who are told to practise first.
    found = [pair for pair in everyone if pair[0] is not None]
    print(f"{len(found)} of {chosen.learners} learners were told a chance")
    print("told          learners  mean told  passed  ± (95 %)")
    for low, high, told, passed, count in reliability(found, BINS):
        spread = 1.96 * (passed * (1 - passed) / count) ** 0.5
        print(f"{low:.0%} to {high:.0%}".ljust(14) + f"{count:8d}  {told:9.1%}  {passed:6.1%}  {spread:.1%}")


if __name__ == "__main__":
    main()
