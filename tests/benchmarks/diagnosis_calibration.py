"""How honest the diagnosis is: held-out vehicles with scatter, noise and a fault; what was called how sure, and right.

Run it as a command: python -m tests.benchmarks.diagnosis_calibration [cases] [report.svg]
"""

import random
import sys
from dataclasses import dataclass

from matplotlib.figure import Figure

from tests.benchmarks.reliability import reliability
from thermo_kit.errors import ThermoKitError
from thermo_kit.fleet import fault, vehicle, vehicle_names
from thermo_kit.service.diagnosis import INSTRUMENTS, diagnose, readings_of, signatures
from thermo_kit.service.diagnosis import _prior as prior_of
from thermo_kit.systems import Conditions, solve_vehicle
from thermo_kit.systems.vehicle import FAULTS, SCATTER, scattered
from thermo_kit.units import celsius

DAY = Conditions(ambient_temperature=celsius(32))
GAUGES = ("suction_pressure", "discharge_pressure")
FEW = (*GAUGES, "suction_temperature", "liquid_temperature", "discharge_temperature", "vent_temperature")
SETS = (("all", tuple(INSTRUMENTS)), ("few", FEW), ("gauges", GAUGES))
BINS = (0.0, 0.25, 0.45, 0.6, 0.75, 0.85, 0.95, 1.01)


@dataclass(frozen=True)
class Judged:
    """A verdict on one case: with which readings, what was said first and how surely, whether right, right group."""

    readings: str
    said: float
    right: bool
    group: bool
    verdict: str


def held_out(name, day, count, rng, even):
    """Yield (fault, solved vehicle) drawn as the diagnosis supposes: by its priors, all sizes alike, sound scatter."""
    spec = vehicle(name)
    table = signatures(spec, day)
    kinds = [one for one in dict.fromkeys(table.faults) if one != "sound"]
    prior = prior_of(table, even)
    shares = [sum(p for p, one in zip(prior, table.faults, strict=True) if one == kind) for kind in kinds]
    found = 0
    while found < count:
        kind = rng.choices(kinds, shares)[0]
        sizes = [size for size, one in zip(table.severities, table.faults, strict=True) if one == kind]
        one = fault(kind, rng.uniform(min(sizes), max(sizes)))
        moved = scattered(spec, day, [rng.gauss(0.0, 1.0) for _ in SCATTER])
        try:
            result = solve_vehicle(*moved, one)
        except ThermoKitError:
            continue
        found += 1
        yield one, result


def judge(names, count, seed, even=False, day=DAY):
    """Return the verdicts on so many cases, spread over vehicles."""
    rng, found = random.Random(seed), []
    for number, name in enumerate(names):
        share = count // len(names) + (number < count % len(names))
        for one, result in held_out(name, day, share, rng, even):
            shown = readings_of(result, INSTRUMENTS, noise=rng)
            for title, wanted in SETS:
                told = diagnose(vehicle(name), day, tuple(r for r in shown if r.name in wanted), even=even)
                first = told.candidates[0]
                group = first.name != "sound" and FAULTS[first.name].group == FAULTS[one.name].group
                found.append(Judged(title, first.probability, first.name == one.name, group, told.verdict))
    return found


def minutes_to_the_verdict(name, day, count, seed, sure=0.8):
    """Return (best next, fixed order): mean minutes of work until one candidate is called so sure, or all is measured.

    The fixed order is that of the table: gauges, clamps, air, electricity, scan.
    """
    rng, order, sums = random.Random(seed), list(INSTRUMENTS), [0.0, 0.0]
    for _, result in held_out(name, day, count, rng, True):
        known = {one.name: one for one in readings_of(result, INSTRUMENTS, noise=rng)}
        for way in (0, 1):
            taken, following = [], ["vent_temperature"]
            while following:
                taken.append(min(following, key=order.index) if way else following[0])
                sums[way] += INSTRUMENTS[taken[-1]].minutes
                told = diagnose(vehicle(name), day, tuple(known[one] for one in taken), even=True)
                following = [one.name for one in told.following] if told.candidates[0].probability < sure else []
    return sums[0] / count, sums[1] / count


def table(judged):
    """Return rows (from, to, said on average, right, number) of verdicts by how sure they were called."""
    return reliability([(one.said, one.right) for one in judged], BINS)


def picture(rows, path):
    """Write a reliability plot: said against right, the diagonal is honest."""
    axes = Figure(figsize=(5, 5)).subplots()
    axes.set(xlabel="called so sure", ylabel="right", xlim=(0, 1), ylim=(0, 1))
    axes.axline((0, 0), slope=1, color="gray")
    for _, _, said, right, number in rows:
        axes.plot(said, right, "o", markersize=2 + number**0.5 / 2)
        axes.annotate(number, (said, right), (6, -12), textcoords="offset points")
    axes.figure.savefig(path)


def main(count, path=None):
    """Print tables for cases drawn by the surveys' priors and for cases drawn evenly."""
    for even in (False, True):
        judged = judge(vehicle_names(), count, 11 + even, even)
        for title, _wanted in SETS:
            own = [one for one in judged if one.readings == title]
            right, group = (sum(getattr(one, what) for one in own) / len(own) for what in ("right", "group"))
            nothing = sum(one.verdict == "nothing" for one in own) / len(own)
            print(f"{'even' if even else 'survey'} faults, {title} readings: {len(own)} cases, "
                  f"right first {right:.1%}, right group {group:.1%}, called nothing {nothing:.1%}")  # fmt: skip
            for low, high, said, good, number in table(own):
                print(f"    said {low:.0%} to {high:.0%}: {said:.1%} said, {good:.1%} right of {number}", flush=True)
        if even:
            for name in ("city_van", "older_van", "street_sweeper"):
                best, fixed = minutes_to_the_verdict(name, DAY, 40, 21)
                print(f"{name}: minutes to a verdict of 80 %: best next {best:.1f}, fixed order {fixed:.1f}")
        if path and not even:
            picture(table([one for one in judged if one.readings == "all"]), path)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000, *sys.argv[2:3])
