"""Times a task beside a baseline that runs right before each of its rounds, so that a slow or busy machine slows both.

The usual baseline is one property state through the package's own `Refrigerant.at`. What is asserted is a number of
such states; milliseconds are printed beside their target, as measured and at the pace of the targets.
"""

import itertools
import statistics
import time

from thermo_kit.substances import Refrigerant

STATES_PER_MILLISECOND = 170
"""At the pace the targets are meant for, that of a machine that loads CoolProp in 1.9 s.

Reckoned on a slower machine from its own two times, and assumed to hold in proportion.
"""
ROOM = 2.0
"""What is enforced above a target, for medians that scatter on a shared machine."""
_BATCH = 20
_fresh = itertools.count()


def some_states():
    """Ask for a batch of states never asked before."""
    fluid = Refrigerant("R-134a")
    for _ in range(_BATCH):
        fluid.at(p=3e5 + 1e-3 * next(_fresh), T=290.0)


def measured(task, cases, *, target):
    """Time a task over cases, each right after a batch of states, hold it against them, and tell what was seen."""
    task(cases[0])
    pairs = []
    for case in cases:
        batch = seconds(some_states)
        pairs.append((seconds(lambda case=case: task(case)), batch))
    states = statistics.median(own / batch * _BATCH for own, batch in pairs)
    assert states < most_states(target)
    return f"{1e3 * statistics.median(own for own, _ in pairs):.3g} ms, {told(states, target)}"


def seconds_of_a_state():
    """Return what one state takes just now, median of a hundred batches."""
    return statistics.median(seconds(some_states) for _ in range(100)) / _BATCH


def told(states, target):
    """Say what a number of states is at the pace of the targets."""
    at_pace = states / STATES_PER_MILLISECOND
    shown = f"{at_pace:,.0f}" if at_pace >= 100 else f"{at_pace:.3g}"
    return f"{states:,.0f} states, {shown} ms at the targets' pace (target {target:,g})"


def most_states(target):
    """Return how many states a target in milliseconds is worth, with the room that is left."""
    return ROOM * STATES_PER_MILLISECOND * target


def timed(task):
    """Return the processor time of a task, and what it returned."""
    start = time.process_time()
    found = task()
    return time.process_time() - start, found


def seconds(task, repeats=1):
    """Return the processor time of a task, mean of so many repeats."""
    return timed(lambda: [task() for _ in range(repeats)])[0] / repeats


def ratio(first, second, *, rounds, repeats=(1, 1)):
    """Return the time of one task in times of another, median over rounds in which one comes right after the other."""
    return statistics.median(seconds(first, repeats[0]) / seconds(second, repeats[1]) for _ in range(rounds))
