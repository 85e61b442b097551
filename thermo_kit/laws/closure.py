"""The one place that decides whether a balance closes: a solution that does not is an error, never a number."""

from thermo_kit.errors import NoSolutionError, Problem
from thermo_kit.laws.roots import ADVICE

CLOSURE_LIMIT = 1e-6


def closed(*, limit=CLOSURE_LIMIT, **closures):
    """Return the worst relative closure [-], or raise `NoSolutionError` naming each balance that is open.

    The names are told in the message (`coil_energy=…` is the "coil energy" balance); not-a-number counts as open.

    Examples
    --------
    >>> closed(mass=1e-12, energy=3e-9)
    3e-09
    >>> closed(mass=1e-12, condenser_energy=float("nan"))
    Traceback (most recent call last):
    thermo_kit.errors.NoSolutionError: condenser energy balance is open by nan while it must close within 1e-06: \
move the inputs away from the edge of their range
    """
    told = f"while it must close within {limit:g}"
    still_open = [
        Problem(f"{name.replace('_', ' ')} balance", f"is open by {value:.1e}", told, ADVICE)
        for name, value in closures.items()
        if not abs(value) <= limit
    ]
    if still_open:
        raise NoSolutionError(*still_open)
    return max(map(abs, closures.values()), default=0.0)


def linear_solution(matrix, right, *, what):
    """Return the solution of a linear balance, or raise `NoSolutionError` where the balance does not fix it."""
    import numpy as np

    try:
        return np.linalg.solve(matrix, right)
    except np.linalg.LinAlgError:
        advice = "a part that gives its heat to nothing has no steady temperature: give each a flow or a loss to air"
        raise NoSolutionError.about(what, "is not fixed by the balances", "", advice) from None
