"""How much a leak loses, which method finds it, and what a gauge shows during a nitrogen test."""

from thermo_kit.charts import style
from thermo_kit.charts.strips import Axis, Column, Level, Line, Mark, Strip, strips_picture

_SMALLEST, _WIDEST = 1e-8, 1e-1
_POWERS = "⁻⁷", "⁻⁶", "⁻⁵", "⁻⁴", "⁻³", "⁻²", "⁻¹", "⁰"
_DECADES = tuple((_SMALLEST * 10.0**i, f"10{power}") for i, power in enumerate(_POWERS))
"""Throughputs [Pa m³/s] and their names in mbar L/s."""


def methods_picture(result, methods, look):
    """Draw a leak beside what each method can find; as throughput on a logarithmic axis."""
    found, not_found = (style.GOOD, "solid"), (style.SOFT_INK, (0, (3, 3)))
    rows = tuple(
        Line(m.name, (m.least, _WIDEST), (row, row), *(found if m in result.methods else not_found), 5.0)
        for row, m in enumerate(reversed(methods), 1)
    )
    size = min(max(result.throughput, _SMALLEST), _WIDEST)
    able = ", ".join(method.name for method in result.methods) or "none of them"
    return strips_picture(
        Column(Axis("leak", "throughput", ends=(_SMALLEST, _WIDEST), ticks=_DECADES, logarithmic=True),
               (Strip(Axis("finds leaks from here on", "ratio", ends=(0.0, len(rows) + 1.0), ticks=((0.0, ""),),
                           bare=True), (*rows, Mark(size, None, "this leak"))),), names=140.0), look,
        sentence=f"A loss of {look.text(result.leak, 'leak_rate')} beyond sound hoses, "
        f"{look.text(result.throughput, 'throughput', 7)}: {result.verdict}. It can be found by: {able}.",
    )  # fmt: skip


def hole_picture(bores, vapour, liquid, bore, flow, words, look):
    """Draw loss against bore; bores [m], losses [kg/s]."""
    things = [Line("vapour", bores, vapour, style.VAPOUR)]
    if liquid:
        things.append(Line("liquid", bores, liquid, style.LIQUID, (0, (6, 2))))
    things.append(Mark(bore, flow, "this leak", drop="xy"))
    ends = 0.8 * min(vapour), 1.3 * max((*vapour, *liquid))
    decades = ((look.stored(10.0**i, "leak_rate"), f"{10.0**i:,g}") for i in range(-3, 7))
    ticks = tuple((value, text) for value, text in decades if ends[0] < value < ends[1])
    return strips_picture(
        Column(Axis("bore", "fine_length", ends=(bores[0], bores[-1]), logarithmic=True),
               (Strip(Axis("loss", "leak_rate", ends=ends, ticks=ticks, logarithmic=True), tuple(things)),),
               names=70.0), look,
        sentence=f"A bore of {look.text(bore, 'fine_length')} lets out {look.text(flow, 'leak_rate', 0)} as {words}.",
    )  # fmt: skip


def test_picture(watch, time, verdict, look):
    """Draw temperature and gauge of a nitrogen test, with what a tight circuit would show; time [s]."""
    spec = watch.spec
    strips = (
        Strip(Axis("temperature", "temperature"),
              (Line("shop", watch.times, watch.temperatures, style.AIR), Mark(time, None, "now"))),
        Strip(Axis("pressure", "pressure"),
              (Level(spec.start_pressure, "at the start", style.SOFT_INK),
               Line("tight", watch.times, watch.tight, style.GOOD, (0, (6, 2))),
               Line("gauge", watch.times, watch.pressures, style.CYCLE), Mark(time, None, "")), tall=1.6),
    )  # fmt: skip
    lost = look.text(verdict.lost_pressure, "pressure_difference")
    return strips_picture(
        Column(Axis("time", "duration", ends=(0.0, watch.times[-1])), strips, names=100.0), look,
        sentence=f"After {look.text(time, 'duration', 0)} the gauge shows "
        f"{look.text(verdict.test.end_pressure, 'pressure')}; a tight circuit would show "
        f"{look.text(verdict.expected_pressure, 'pressure')}. Missing: {lost}, give or take "
        f"{look.text(verdict.uncertainty, 'pressure_difference')}: {verdict.verdict}.",
    )  # fmt: skip
