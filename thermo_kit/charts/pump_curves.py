"""Pump curve and loop curve in one chart, the point where they meet, and who takes the pressure there."""

from thermo_kit.charts import style
from thermo_kit.charts.labels import AROUND
from thermo_kit.charts.strips import Axis, Column, Line, Mark, Strip, strips_picture

SIZE = (860, 430)
_PALE = "#dd9a8a"
# Straight below the crossing both curves have drawn apart; near the floor there is room above instead.
_BELOW = ((10, -92, "left"), (10, -78, "left"), (-10, -78, "right"), (10, 56, "left"), *AROUND)


def operating_picture(curves, look, *, point_shown=True):
    """Draw what the pump gives and what the loop takes."""
    ends = (0.0, round(1.12 * curves.pump.shut_off_head * 9.80665 * 1090.0, -3))
    x = Axis("flow", "volume_flow", (0.0, curves.flows[-1]), count=8)
    things = (*_lines(curves, ends[1]), *(_point(curves, look, ends[1]) if point_shown else ()))
    strip = Strip(Axis("pressure", "pressure_difference", ends), things)
    if not point_shown:
        sentence = "Pump curve and loop curve cross once: where?"
        return strips_picture(Column(x, (strip,), names=250.0), look, sentence=sentence, size=SIZE)
    columns = (Column(x, (strip,), 2.0, names=10.0), _shares(curves, look, ends[1]))
    return strips_picture(columns, look, sentence=operating_sentence(curves, look), size=SIZE)


def operating_sentence(curves, look):
    """Say where pump and loop agree."""
    if curves.point is None:
        return "The pump lifts nothing: no flow, no operating point."
    name, most = max(curves.shares, key=lambda share: share[1])
    total = sum(value for _, value in curves.shares)
    return (
        f"Pump and loop agree at {look.text(curves.point.volume_flow, 'volume_flow')} and "
        f"{look.text(curves.point.pressure_rise, 'pressure_difference')}. The largest share, "
        f"{100 * most / total:.0f} %, is lost in: {name}."
    )


def _lines(curves, top):
    """Return the curves as far as they are in sight."""

    def line(name, pressures, colour, dashes, width, at):
        seen = [pair for pair in zip(curves.flows, pressures, strict=True) if 0.0 <= pair[1] <= top] or [(0.0, 0.0)]
        x, y = zip(*seen, strict=True)
        return Line(name if max(y) > 0.0 else "", x, y, colour, dashes, width, beside=at)

    lines = [
        line("the pump gives", curves.pump_pressure, style.LIQUID, "solid", 2.4, (0.7, 0.4)),
        line("the loop takes", curves.loop_pressure, style.HIGH_SIDE, (0, (6, 2)), 2.4, (0.92, 0.8)),
    ]
    if curves.pump_pressure != curves.healthy_pressure:
        words = "pump, healthy, full speed"
        lines.append(line(words, curves.healthy_pressure, style.SOFT_INK, (0, (1.5, 2)), 1.4, (0.5, 0.3)))
    return lines


def _point(curves, look, top):
    if curves.point is None:
        words = "no flow: the pump lifts nothing"
        centre = ((0, 0, "center"), (0, 40, "center"))
        return (Mark(0.5 * curves.flows[-1], 0.06 * top, words, style.WARNING, "", places=centre),)
    flow, pressure = curves.point.volume_flow, curves.point.pressure_rise
    words = f"{look.text(flow, 'volume_flow')}\n{look.text(pressure, 'pressure_difference')}"
    return (Mark(flow, pressure, words, style.INK, drop="xy", hollow=True, dashes=(0, (4, 3)), places=_BELOW),)


def _shares(curves, look, top):
    """Return a bar for each part of the loop, as long as the pressure lost in it."""
    rows = [row for row in curves.shares if row[1] > 0.0]
    things = []
    for place, (name, value) in enumerate(reversed(rows)):
        text = look.text(value, "pressure_difference")
        things.append(Line("", (0.0, value), (place, place), _PALE, width=11.0))
        things.append(Mark(0.0, place, f"{name}, {text}", style.INK, "", places=((4, 17, "left"),)))
    end = 0.5 * top if max((value for _, value in rows), default=0.0) < 0.45 * top else 1.02 * top
    x = Axis("lost at this flow", "pressure_difference", (0.0, end), count=4)
    y = Axis("", ends=(-0.6, max(len(rows), 1) - 0.2), ticks=((-0.6, ""),), bare=True)
    return Column(x, (Strip(y, tuple(things)),), 1.0, heading="pressure lost, by part")
