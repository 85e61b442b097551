"""What a repair may cost: the range of all draws, what drives it, and how it narrows while the job goes on."""

import numpy as np

from thermo_kit.charts import style
from thermo_kit.charts.strips import Axis, Column, Level, Line, Mark, Strip, Zone, strips_picture
from thermo_kit.units.look import percent

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
    ticks = tuple((v, percent(v)) for v in (0.0, 0.25, 0.5, 0.75, 1.0))
    column = Column(_axis(f"In all, {estimate.currency}, tax included", x),
                    (Strip(Axis("Jobs at or below", "ratio", (0.0, 1.0), ticks=ticks, bare=True), tuple(things)),),
                    names=40.0)  # fmt: skip
    low, likely, high = (money(v) for v in (estimate.low, estimate.likely, estimate.high))
    told = f"Eight of ten such jobs cost {low} to {high} {estimate.currency}; half of them less than {likely}."
    return strips_picture(column, look, sentence=told, size=_SIZE)


def narrowing_picture(steps, ends, gone, look, *, currency, last):
    """Draw the range over working time.

    steps: of `range_so_far`, in order; ends [h]: when each line is settled, 0 first; gone, last [h]: now, end of axis
    """
    now = max(i for i, end in enumerate(ends) if end <= gone + 1e-9)
    x = (*np.repeat(ends[: now + 1], 2)[1:].tolist(), max(gone, ends[now] + 1e-6))
    low, likely, high = (
        tuple(np.repeat([getattr(one, name) for one in steps[: now + 1]], 2).tolist())
        for name in ("low", "likely", "high")
    )
    step = steps[now]
    upper, lower = Line("nine of ten", x, high, style.SOFT_INK), Line("one of ten", x, low, style.SOFT_INK)
    things = (
        Zone(lower, upper, "", "doubt"),
        upper,
        lower,
        Line("half", x, likely, style.CYCLE),
        Mark(max(gone, 1e-6), step.likely, money(step.likely), style.CYCLE),
        Level(steps[0].likely, "first call", style.INK),
    )
    every = [v for one in steps for v in (one.low, one.high)]
    ticks = tuple((float(v), f"{v}") for v in range(0, round(last) + 1, max(round(last) // 8, 1)))
    y = _axis(f"In all, {currency}", every)
    column = Column(Axis("Working hours gone by", "ratio", (0.0, last), ticks=ticks, bare=True), (Strip(y, things),),
                    names=110.0)  # fmt: skip
    sentence = (
        f"After {gone:.1f} hours {now} of {len(steps) - 1} lines are settled: half below {money(step.likely)}, "
        f"eight of ten between {money(step.low)} and {money(step.high)} {currency}."
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


def _axis(title, values):
    """Return an axis of amounts with round ticks about them."""
    span = max(max(values) - min(values), 10.0)
    size = 10.0 ** np.floor(np.log10(span))
    step = float(next(s * size for s in (0.2, 0.5, 1.0, 2.0) if span / (s * size) <= 8.0))
    low, high = (float(end) for end in (np.floor(min(values) / step), np.ceil(max(values) / step + 1e-9)))
    ticks = tuple((low * step + k * step, f"{low * step + k * step:,.0f}") for k in range(round(high - low) + 1))
    return Axis(title, "ratio", (low * step, high * step), ticks=ticks, bare=True)
