"""Where a function crosses zero: Brent's method as carried by scipy, and a typed error where it has nothing to find.

Brent, Algorithms for Minimization without Derivatives, Prentice-Hall 1973, chapter 4.
"""

import math

from thermo_kit.errors import NoSolutionError

ADVICE = "move the inputs away from the edge of their range"


def root(function, low, high, *, what, settled=0.0, xtol=1e-12, advice=ADVICE):
    """Return the zero of a continuous function between two ends; what: name of the unknown, for the message.

    A value within ±settled counts as zero. `NoSolutionError` where the ends do not lie on both sides of zero or are
    no numbers, and where, with `settled`, the function jumps over zero.

    Examples
    --------
    >>> round(root(lambda x: x * x - 2.0, 0.0, 2.0, what="side"), 9)
    1.414213562
    """
    return _between(function, {low: function(low), high: function(high)}, what, settled, xtol, advice)


def root_near(function, guess, step, low, high, *, what, settled=0.0, xtol=1e-12, beyond=(ADVICE, ADVICE)):
    """Return the zero of a falling function, looked for from a guess outwards, never beyond the two ends.

    step: a function of the value at the guess, about how far off that is; beyond: advice where the zero would lie below
    the lower end, or above the upper. With a good guess this asks half as often as `root` does.

    Examples
    --------
    >>> round(root_near(lambda x: 2.0 - x * x, 1.4, lambda off: 0.01, 0.0, 9.0, what="side"), 9)
    1.414213562
    """
    here = min(max(guess, low), high)
    value = function(here)
    known, upward = {here: value}, value > 0.0
    end, stride = (high if upward else low), step(value)
    while abs(value) > settled and (value > 0.0) == upward and here != end:
        before, at_before = here, value
        here = min(here + stride, high) if upward else max(here - stride, low)
        value = function(here)
        known = {before: at_before, here: value}
        stride *= 3.0
    return _between(function, known, what, settled, xtol, beyond[1] if upward else beyond[0])


def _between(function, known, what, settled, xtol, advice):
    from scipy.optimize import brentq

    known = {here: 0.0 if abs(value) <= settled else value for here, value in known.items()}
    for here, value in known.items():
        if value == 0.0:
            return here
    low, high = min(known), max(known)
    if math.isnan(sum(known.values())) or (known[low] > 0.0) == (known[high] > 0.0):
        raise NoSolutionError.about(what, "has no answer", "", advice)

    def asked(here):
        if here not in known:
            value = function(here)
            known[here] = 0.0 if abs(value) <= settled else value
        return known[here]

    found = brentq(asked, low, high, xtol=xtol, rtol=1e-13)
    if settled and asked(found) != 0.0:
        raise NoSolutionError.about(what, "has no answer", "since the balance jumps there", advice)
    return found
