"""A cylinder and its leak, vacuum, recovery and charge: what gauge, thermometer and scale say over time."""

from thermo_kit.charts import style
from thermo_kit.charts.strips import Axis, Column, Level, Line, Mark, Strip, Zone, strips_picture
from thermo_kit.charts.told import sentence_of
from thermo_kit.units import celsius

_GAS, _LIMIT = style.LOW_SIDE, style.WARNING
_TALLEST = 6e6
_ENDS = 5e4, 1e5, 2e5, 5e5, 1e6, 4e6


def air_picture(result, temperatures, limits, look):
    """Draw the reading over saturation and over what 1.5 % of air adds; temperatures [K], limits [Pa]."""
    reading, saturation = result.reading, tuple(low for low, _ in limits)
    allowed = Line("1.5 % air", temperatures, tuple(high - low for low, high in limits), _LIMIT, (0, (6, 2)))
    doubt, T = result.excess_uncertainty, reading.temperature
    spread = Line("", (T, T), (result.excess_pressure - doubt, result.excess_pressure + doubt), style.CYCLE)
    top = next(end for end in _ENDS if end > 1.1 * (abs(result.excess_pressure) + doubt) or end == _ENDS[-1])
    strips = (
        Strip(Axis("pressure", "pressure", ends=(0.9e5, 1.5 * saturation[-1])), (Mark(T, reading.pressure, "gauge"),),
              still=(Line("saturation", temperatures, saturation, _GAS),)),
        Strip(Axis("above saturation", "pressure_difference", ends=(-top, top)),
              (Level(0.0, "saturation", _GAS, "solid"), allowed, spread,
               Mark(T, result.excess_pressure, "reading with its doubt"))),
    )  # fmt: skip
    x = Axis("temperature of the cylinder", "temperature", (temperatures[0], temperatures[-1]))
    sentence = sentence_of("air in a cylinder", look, result)
    return strips_picture(Column(x, strips, names=110.0), look, sentence=sentence)


def blend_picture(names, share, reading, curve, look):
    """Draw what all mixtures of two refrigerants show at one temperature; share [-]."""
    shares, bubble, dew = zip(*curve, strict=True)
    top = Level(reading.pure_pressure + reading.uncertainty, "", style.SOFT_INK)
    low = Level(reading.pure_pressure - reading.uncertainty, "", style.SOFT_INK)
    hidden = Zone(low.y, top.y, "the gauge sees no difference", "doubt", at=((0.75, low.y + 0.3 * (top.y - low.y)),))
    things = (hidden, low, top, Line("liquid boils", shares, bubble, _GAS, beside=(0.9, 0.1)),
              Line("vapour condenses", shares, dew, style.VAPOUR, (0, (4, 2))),
              Mark(share, reading.bubble_pressure, "this cylinder", drop="x"))  # fmt: skip
    seen = "no share of it" if reading.least_seen is None else f"less than {100 * reading.least_seen:.0f} % of it"
    x = Axis(f"{names[1]} in {names[0]}, by mass", "percent", (0.0, 1.0))
    strip = Strip(Axis("pressure", "pressure"), things)
    sentence = sentence_of("blend in a cylinder", look, reading, names=names, share=share, seen=seen)
    return strips_picture(Column(x, (strip,), names=130.0), look, sentence=sentence)


def fill_picture(result, temperature, pressure, share, look):
    """Draw how liquid grows and where the pressure jumps; temperature [K], pressure [Pa], share [-]."""
    ends = result.temperatures[0], celsius(80)
    full = result.full_temperature
    jump = () if full is None else (Mark(full, None, "no vapour left", _LIMIT),)
    strips = (
        Strip(Axis("liquid, by volume", "percent", ends=(0.0, 1.05)),
              (Level(1.0, "full", _LIMIT), Line("liquid", result.temperatures, result.liquid_shares, _GAS),
               Mark(temperature, share, "now"), *jump)),
        Strip(Axis("pressure", "pressure", ends=(1e5, _TALLEST)),
              (Line("", result.temperatures, result.pressures, style.HIGH_SIDE),
               Mark(temperature, min(pressure, _TALLEST), "now"))),
    )  # fmt: skip
    when = f"It is full of liquid at {look.text(full or ends[1], 'temperature')}."
    if not full:
        when = f"It does not fill up below {look.text(ends[1], 'temperature')}."
    here = {"temperature": temperature, "share": share, "pressure": pressure, "when": when}
    column = Column(Axis("temperature of the cylinder", "temperature", ends), strips, names=60.0)
    return strips_picture(column, look, sentence=sentence_of("full cylinder", look, result, **here))


def rest_picture(result, time, temperature, pressure, look):
    """Draw how a cylinder takes the temperature of the shop; time [s], temperature [K], pressure [Pa]."""
    around, expected = result.spec.surroundings, result.expected_pressure
    trusted = (Mark(result.trusted_after, None, "from here on", style.GOOD),)
    seen = trusted if result.trusted_after <= result.times[-1] else ()
    strips = (
        Strip(Axis("temperature", "temperature"),
              (Level(around, "air", style.AIR), Line("inside", result.times, result.temperatures, style.HIGH_SIDE),
               Mark(time, temperature, "now"))),
        Strip(Axis("pressure", "pressure"),
              (Level(expected, "by the air's thermometer", style.AIR), *seen,
               Line("gauge", result.times, result.pressures, style.HIGH_SIDE), Mark(time, pressure, "now"))),
    )  # fmt: skip
    sentence = sentence_of("cylinder at rest", look, result, time=time, temperature=temperature, pressure=pressure)
    column = Column(Axis("time at rest", "hours", (0.0, result.times[-1])), strips, names=172.0)
    return strips_picture(column, look, sentence=sentence)


_SMALLEST, _WIDEST = 1e-8, 1e-1
_POWERS = "⁻⁷", "⁻⁶", "⁻⁵", "⁻⁴", "⁻³", "⁻²", "⁻¹", "⁰"
_THROUGHPUTS = tuple((_SMALLEST * 10.0**i, f"10{power}") for i, power in enumerate(_POWERS))
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
    x = Axis("leak", "throughput", (_SMALLEST, _WIDEST), _THROUGHPUTS, logarithmic=True)
    y = Axis("finds leaks from here on", ends=(0.0, len(rows) + 1.0), ticks=((0.0, ""),))
    column = Column(x, (Strip(y, (*rows, Mark(size, None, "this leak"))),), names=140.0)
    return strips_picture(column, look, sentence=sentence_of("leak and methods", look, result, able=able))


def hole_picture(bores, vapour, liquid, bore, flow, words, look):
    """Draw loss against bore; bores [m], losses [kg/s]."""
    things = [Line("vapour", bores, vapour, style.VAPOUR)]
    if liquid:
        things.append(Line("liquid", bores, liquid, style.LIQUID, (0, (6, 2))))
    things.append(Mark(bore, flow, "this leak", drop="xy"))
    ends = 0.8 * min(vapour), 1.3 * max((*vapour, *liquid))
    decades = ((look.stored(10.0**i, "leak_rate"), f"{10.0**i:,g}") for i in range(-3, 6))
    ticks = tuple((value, text) for value, text in decades if ends[0] < value < ends[1])
    x = Axis("bore", "fine_length", (bores[0], bores[-1]), logarithmic=True)
    strip = Strip(Axis("loss", "leak_rate", ends, ticks, logarithmic=True), tuple(things))
    told = f"A bore of {look.text(bore, 'fine_length')} lets out {look.text(flow, 'leak_rate', 0)} as {words}."
    return strips_picture(Column(x, (strip,), names=70.0), look, sentence=told)


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
    column = Column(Axis("time", "duration", (0.0, watch.times[-1])), strips, names=100.0)
    return strips_picture(column, look, sentence=sentence_of("nitrogen test", look, verdict, time=time))


_SIZE = (820, 560)
_DECADES = (1.0, 1.3e5)


def vacuum_picture(result, look, *, now, ends):
    """Draw how a pressure falls and what the water does, up to a moment [s]; ends [s]: of the time axis."""
    k = _upto(result.time, now)
    time, spec = result.time[:k], result.spec
    pressure = (
        Line("circuit", time, result.pressure[:k], style.INK, value=True),
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
    column = Column(Axis("Time of pumping", "duration", (0.0, ends)), tuple(strips), names=158.0)
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
    first, last = (look.text(p, "vacuum") for p in (pressures[0], pressures[-1]))
    told = f"From {first} to {last} in {look.text(times[-1] - times[0], 'duration')}: {verdict.verdict}."
    axis = Axis("Absolute", "vacuum", (0.0, 1.15 * most), count=6)
    column = Column(Axis("Time after the pump was shut off", "duration", (0.0, max(times))),
                    (Strip(axis, tuple(things)),), names=120.0)  # fmt: skip
    return strips_picture(column, look, sentence=told, size=(820, 400))


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
    over = result.finished_after is not None and now >= result.finished_after
    here = {name: getattr(result, name)[k - 1] for name in ("recovered", "left", "pressure", "temperature")}
    sentence = sentence_of("recovery", look, **here, now=now, end=" The machine has stopped." if over else "")
    return strips_picture(column, look, sentence=sentence, size=_SIZE)


def recovery_log_picture(log, verdict, look):
    """Draw the log of a recovery machine."""
    strips = (
        Strip(Axis("Drawn off", "mass", (0.0, 1.1 * max(log.masses)), count=5),
              (Line("", log.times, log.masses, style.GOOD, value=True),), 1.4),
        Strip(Axis("Gauge", "pressure", (0.0, 1.1 * max(log.pressures)), count=4),
              (Line("", log.times, log.pressures, style.LOW_SIDE, value=True),)),
    )  # fmt: skip
    told = "Drawn off: {recovered:mass}. The gauge stood at {last:pressure} at the end: {verdict}."
    sentence = look.say(told, verdict)
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
    return strips_picture(column, look, sentence=sentence_of("charge by weight", look, result), size=(820, 420))


def _upto(time, now):
    """Return how many of the times are not later than a moment, two at least."""
    return max(sum(t <= now + 1e-9 for t in time), 2)
