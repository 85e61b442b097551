"""A vacuum drawn on a wet circuit, the rise test after it, recovery, and a charge by weight."""

from thermo_kit.charts import style
from thermo_kit.charts.strips import Axis, Column, Level, Line, Mark, Strip, Zone, strips_picture

_SIZE = (820, 560)
_DECADES = (1.0, 2e5)


def vacuum_picture(result, look, *, now, ends):
    """Draw how a pressure falls and what the water does, up to a moment [s]; ends [s]: of the time axis."""
    k = _upto(result.time, now)
    time, spec = result.time[:k], result.spec
    pressure = (
        Line("in the circuit", time, result.pressure[:k], style.INK, value=True),
        Line("of it water", time, tuple(max(p, 1.0) for p in result.water_pressure[:k]), style.LIQUID, (0, (4, 3))),
        Level(spec.ultimate_pressure, "lowest of the pump", style.SOFT_INK),
    )
    strips = [Strip(Axis("Absolute", "vacuum", _DECADES, logarithmic=True), pressure, 2.2)]
    if spec.water > 0.0:
        water = (Line("", time, result.water_left[:k], style.LIQUID, value=True),)
        warm = (
            Line("", time, result.water_temperature[:k], style.COLD_COOLANT, value=True),
            Level(273.15, "water freezes", style.WARNING),
        )
        strips.append(Strip(Axis("Water left", "mass", (0.0, spec.water * 1.05), count=3), water))
        strips.append(Strip(Axis("Its warmth", "temperature", (233.15, 318.15), count=4), warm))
    column = Column(Axis("Time of pumping", "duration", (0.0, ends)), tuple(strips), names=150.0)
    return strips_picture(column, look, sentence=vacuum_sentence(result, look, now), size=_SIZE)


def vacuum_sentence(result, look, now):
    """Say where the vacuum stands."""
    i = _upto(result.time, now) - 1
    told = f"After {look.text(now, 'duration')} the gauge shows {look.text(result.pressure[i], 'vacuum')}"
    if result.spec.water <= 0.0:
        return f"{told}. The circuit is dry."
    left = result.water_left[i]
    if left <= 0.002 * result.spec.water:
        return f"{told}. The water is gone."
    state = "ice" if result.ice_share[i] > 0.99 else "half frozen" if result.ice_share[i] > 1e-3 else "liquid"
    warm = look.text(result.water_temperature[i], "temperature")
    return f"{told}. {look.text(left, 'mass', 1)} of water are left, {state}, at {warm}."


def rise_picture(times, pressures, verdict, look):
    """Draw the readings of a rise test with the curve that fits best."""
    most = max(*pressures, *verdict.fitted)
    things = [Line("readings", tuple(times), tuple(pressures), style.INK, (0, (1, 3)), marker="o")]
    things.append(Line("fits best", verdict.time, verdict.fitted, style.CYCLE))
    if verdict.levels_at is not None and verdict.verdict == "moisture":
        things.append(Level(verdict.levels_at, "levels off", style.LIQUID))
        most = max(most, verdict.levels_at)
    axis = Axis("Absolute", "vacuum", (0.0, 1.15 * most), count=6)
    column = Column(Axis("Time after the pump was shut off", "duration", (0.0, max(times))),
                    (Strip(axis, tuple(things)),), names=120.0)  # fmt: skip
    return strips_picture(column, look, sentence=rise_sentence(verdict, times, pressures, look), size=(820, 400))


def rise_sentence(verdict, times, pressures, look):
    """Say what the rise tells."""
    first, last = (look.text(p, "vacuum") for p in (pressures[0], pressures[-1]))
    return f"From {first} to {last} in {look.text(times[-1] - times[0], 'duration')}: {verdict.verdict}."


def recovery_picture(result, look, *, now, ends):
    """Draw a recovery up to a moment [s]; ends [s]: of the time axis."""
    k = _upto(result.time, now)
    time, spec = result.time[:k], result.spec
    weight = (
        Line("drawn off", time, result.recovered[:k], style.GOOD, value=True),
        Line("left in it", time, result.left[:k], style.CYCLE, (0, (6, 3)), value=True),
        Level(spec.charge, "charge", style.SOFT_INK),
    )
    warm = (
        Line("", time, result.temperature[:k], style.COLD_COOLANT, value=True),
        Level(273.15, "water freezes", style.WARNING),
    )
    strips = (
        Strip(Axis("Refrigerant", "mass", (0.0, 1.1 * spec.charge), count=5), weight, 1.6),
        Strip(Axis("Gauge", "pressure", (0.0, 1.1 * max(result.pressure)), count=4),
              (Line("", time, result.pressure[:k], style.LOW_SIDE, value=True),), 1.3),
        Strip(Axis("Of what boils", "temperature", (223.15, 333.15), count=4), warm),
    )  # fmt: skip
    column = Column(Axis("Time", "duration", (0.0, ends)), strips, names=150.0)
    return strips_picture(column, look, sentence=recovery_sentence(result, look, now), size=_SIZE)


def recovery_sentence(result, look, now):
    """Say where the recovery stands."""
    i = _upto(result.time, now) - 1
    drawn, left = (look.text(m, "mass") for m in (result.recovered[i], result.left[i]))
    over = result.finished_after is not None and now >= result.finished_after
    return (
        f"After {look.text(now, 'duration')}: {drawn} drawn off, {left} left, "
        f"{look.text(result.pressure[i], 'pressure')}, {look.text(result.temperature[i], 'temperature')}."
        f"{' The machine has stopped.' if over else ''}"
    )


def recovery_log_picture(log, verdict, look):
    """Draw the log of a recovery machine."""
    strips = (
        Strip(Axis("Drawn off", "mass", (0.0, 1.1 * max(log.masses)), count=5),
              (Line("", log.times, log.masses, style.GOOD, value=True),), 1.4),
        Strip(Axis("Gauge", "pressure", (0.0, 1.1 * max(log.pressures)), count=4),
              (Line("", log.times, log.pressures, style.LOW_SIDE, value=True),)),
    )  # fmt: skip
    drawn, last = look.text(verdict.recovered, "mass"), look.text(verdict.last, "pressure")
    sentence = f"Drawn off: {drawn}. The gauge stood at {last} at the end: {verdict.verdict}."
    column = Column(Axis("Time", "duration", (0.0, log.times[-1])), strips, names=150.0)
    return strips_picture(column, look, sentence=sentence, size=(820, 440))


def charge_picture(result, look):
    """Draw what is in the circuit against what the scale says, with the label's band."""
    spec = result.spec
    label, tolerance = spec.label_charge, spec.label_tolerance
    half = 0.25 * label
    x = (0.0, label + 2.0 * half)
    shift = spec.left_before - spec.hose_hold_up
    line = Line("by the balance", x, tuple(max(v + shift, 0.0) for v in x), style.INK)
    here = Mark(min(spec.weighed, x[1]), result.charge, look.text(result.charge, "mass"), style.CYCLE, drop="xy")
    zone = Zone(max(label - tolerance, 0.0), label + tolerance, "the label allows", "good")
    y = Axis("In the circuit", "mass", (0.0, label + 2.0 * half + max(shift, 0.0)), count=6)
    column = Column(Axis("Taken from the cylinder by the scale", "mass", x), (Strip(y, (line, here), still=(zone,)),),
                    names=140.0)  # fmt: skip
    return strips_picture(column, look, sentence=charge_sentence(result, look), size=(820, 420))


def charge_sentence(result, look):
    """Say how the charge stands to the label."""
    spec = result.spec
    label, band, scale = (
        look.text(m, "mass") for m in (spec.label_charge, spec.label_tolerance, result.uncertainty)
    )  # fmt: skip
    return (
        f"In the circuit: {look.text(result.charge, 'mass')} ± {scale}. Label: {label} ± {band}. "
        f"Verdict: {result.verdict}."
    )


def _upto(time, now):
    """Return how many of the times are not later than a moment, two at least."""
    return max(sum(t <= now + 1e-9 for t in time), 2)
