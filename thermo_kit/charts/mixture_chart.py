"""The freezing curve of a glycol with the mixture in the loop, the mixture wanted and the coldest night."""

from thermo_kit.charts import style
from thermo_kit.charts.labels import AROUND
from thermo_kit.charts.strips import Axis, Column, Level, Line, Mark, Strip, Zone, strips_picture
from thermo_kit.units.look import percent


def mixture_picture(curve, reading, state, plan, coldest, look):
    """Draw a mixture on the freezing curve; coldest [K]."""
    shares, points = curve.volume_fractions, curve.freezing_points
    right, low, high = shares[-1], points[-1] - 3.0, 280.15
    freezes = Line("", shares, points, style.LIQUID)
    beside = ((0, 0, "center"), (-140, 0, "center"), (100, -22, "center"))
    still = (
        freezes,
        Zone(None, freezes, "", "cold"),
        Mark(0.3 * right, low + 4.0, "slush: ice crystals in stronger glycol", style.INK, "",
             places=((0, 0, "center"), (0, 20, "center"), (0, 50, "center"))),
        Mark(0.72 * right, 271.0, "liquid", style.INK, "", places=beside),
        Mark(0.0, points[0], "line: freezing point, the first ice", style.LIQUID, "",
             places=((40, 22, "left"), (200, 4, "left"))),
    )  # fmt: skip
    band = (reading.warmest_freezing_point, reading.coldest_freezing_point)
    # The curve falls to the right: there is room above it to the right, and below it to the left.
    aside = ((12, 17, "left"), (-12, -19, "right"), *AROUND)
    things = [Line("", (reading.volume_fraction,) * 2, band, style.WARM_COOLANT, width=5.0)]
    if low < coldest < high:
        night, here = f"coldest night {look.text(coldest, 'temperature', 0)}", reading.volume_fraction
        colour = style.GOOD if state.condition == "liquid" else style.WARNING
        things += [
            Level(coldest, night, style.INK, (0, (6, 3)), inside=True),
            Mark(here, coldest, "", colour, "X"),
            # A stem under the cross, since words keep off lines only.
            Line("", (here, here), (coldest - 1.0, coldest + 1.0), colour, width=2.0),
        ]
    for told, marker, name in ((reading, "o", "in the loop"), (plan, "s", "after topping up")):
        words = f"{name}: {percent(told.volume_fraction)}, {look.text(told.freezing_point, 'temperature', 0)}"
        things.append(
            Mark(told.volume_fraction, told.freezing_point, words, style.INK, marker, hollow=True, places=aside)
        )
    x = Axis("glycol in the mixture, % by volume", "percent", (0.0, right), bare=True)
    strip = Strip(Axis("temperature", "temperature", (low, high), count=8), tuple(things), still=still)
    return strips_picture(Column(x, (strip,)), look, sentence=_sentence(reading, state, plan, coldest, look),
                          size=(760, 440))  # fmt: skip


def _sentence(reading, state, plan, coldest, look):
    freezes, warmest, strongest, then = (
        look.text(T, "temperature")
        for T in (
            reading.freezing_point, reading.warmest_freezing_point, reading.coldest_freezing_point,
            plan.freezing_point,
        )
    )  # fmt: skip
    return (
        f"{reading.kind.capitalize()}, {percent(reading.volume_fraction)} by volume: freezes at {freezes}, the "
        f"instrument allows {warmest} to {strongest}. At {look.text(coldest, 'temperature', 0)} it is "
        f"{state.condition}. After topping up: {percent(plan.volume_fraction)}, freezes at {then}."
    )
