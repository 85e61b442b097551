"""What a repair may cost: the range of all draws, what drives it, and how it narrows while the job goes on."""

import numpy as np

from thermo_kit.charts import style
from thermo_kit.charts.strips import Axis, Column, Level, Line, Mark, Strip, Zone, strips_picture

_SIZE = (820, 400)


def range_picture(estimate, look, *, offer=None):
    """Draw which share of such jobs costs at most so much; offer: an amount that someone has promised."""
    totals = np.sort(estimate.totals)
    shares = np.linspace(0.0, 1.0, 101)
    x = tuple(float(v) for v in np.quantile(totals, shares))
    things = [
        Line("", x, tuple(float(s) for s in shares), style.INK),
        Zone(None, None, "eight jobs of ten", "good", span=(estimate.low, estimate.high),
             at=((0.5 * (estimate.low + estimate.high), 0.06),)),
        Mark(estimate.likely, 0.5, f"half: {money(estimate.likely)}", style.CYCLE, drop="xy"),
    ]  # fmt: skip
    if offer is not None:
        share = float(np.mean(totals <= offer))
        things.append(Mark(min(max(offer, x[0]), x[-1]), share, f"promised: {money(offer)}", style.WARNING, drop="xy"))
    ticks = tuple((v, f"{v:.0%}") for v in (0.0, 0.25, 0.5, 0.75, 1.0))
    column = Column(Axis(f"In all, {estimate.currency}, tax included", "ratio", _ends(x), ticks=_ticks(x), bare=True),
                    (Strip(Axis("Jobs at or below", "ratio", (0.0, 1.0), ticks=ticks, bare=True), tuple(things)),),
                    names=40.0)  # fmt: skip
    return strips_picture(column, look, sentence=range_sentence(estimate), size=_SIZE)


def range_sentence(estimate):
    """Say the range."""
    low, likely, high = (money(v) for v in (estimate.low, estimate.likely, estimate.high))
    return f"Eight of ten such jobs cost {low} to {high} {estimate.currency}; half of them less than {likely}."


def narrowing_picture(steps, now, look, *, currency):
    """Draw the range after each settled line; steps: of `range_so_far`, in order; now: how many are settled."""
    x = tuple(float(i) for i in range(len(steps)))
    low, high = (tuple(getattr(one, name) for one in steps) for name in ("low", "high"))
    likely = tuple(one.likely for one in steps)
    shown = slice(0, max(now + 1, 2))
    upper, lower = Line("nine of ten", x[shown], high[shown], style.SOFT_INK), Line("one of ten", x[shown], low[shown],
                                                                                    style.SOFT_INK)  # fmt: skip
    things = (
        Zone(lower, upper, "", "doubt"),
        upper,
        lower,
        Line("half", x[shown], likely[shown], style.CYCLE),
        Mark(x[now], likely[now], money(likely[now]), style.CYCLE),
        Level(likely[-1], "the bill", style.GOOD)
        if now == len(steps) - 1
        else Level(likely[0], "first call", style.INK),
    )
    ticks = tuple((v, f"{v:.0f}") for v in x)
    y = Axis(f"In all, {currency}", "ratio", _ends((*low, *high)), ticks=_ticks((*low, *high)), bare=True)
    column = Column(Axis("Lines of the scope that are settled", "ratio", (0.0, x[-1]), ticks=ticks, bare=True),
                    (Strip(y, things),), names=110.0)  # fmt: skip
    step = steps[now]
    sentence = (
        f"{now} of {len(steps) - 1} lines settled: half below {money(step.likely)}, eight of ten between "
        f"{money(step.low)} and {money(step.high)} {currency}."
    )
    return strips_picture(column, look, sentence=sentence, size=_SIZE)


def money(amount):
    """Write an amount as one tells it, to the next ten.

    Examples
    --------
    >>> money(9058.7)
    '9,060'
    """
    return f"{round(amount, -1):,.0f}"


def _step(values):
    span = max(max(values) - min(values), 10.0)
    size = 10.0 ** np.floor(np.log10(span))
    return float(next(s * size for s in (0.2, 0.5, 1.0, 2.0) if span / (s * size) <= 8.0))


def _ends(values):
    step = _step(values)
    return float(np.floor(min(values) / step) * step), float(np.ceil(max(values) / step + 1e-9) * step)


def _ticks(values):
    (low, high), step = _ends(values), _step(values)
    return tuple((low + k * step, f"{low + k * step:,.0f}") for k in range(round((high - low) / step) + 1))
