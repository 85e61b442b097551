"""How much a leak loses, which method finds it, and what a gauge shows during a nitrogen test."""

from thermo_kit.charts import style
from thermo_kit.charts.strips import Axis, Column, Level, Line, Mark, Strip, strips_picture

_WIDEST = 1e-1


def methods_picture(result, methods, look):
    """Draw a leak beside what each method can find; as throughput on a logarithmic axis."""
    rows = tuple(
        Line(method.name, (method.least, _WIDEST), (row, row), style.GOOD if method in result.methods else style.SOFT_INK,
             "solid" if method in result.methods else (0, (3, 3)), 5.0)
        for row, method in enumerate(reversed(methods), 1)
    )  # fmt: skip
    size = min(max(result.throughput, 1e-8), _WIDEST)
    able = ", ".join(method.name for method in result.methods) or "none of them"
    return strips_picture(
        Column(Axis("leak", "throughput", ends=(1e-8, _WIDEST), logarithmic=True),
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
    low, high = min(vapour), max((*vapour, *liquid))
    return strips_picture(
        Column(Axis("bore", "fine_length", ends=(bores[0], bores[-1]), logarithmic=True),
               (Strip(Axis("loss", "leak_rate", ends=(0.8 * low, 1.3 * high), logarithmic=True), tuple(things)),),
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
