"""What gauge, thermometer and scale say of a cylinder: air, another refrigerant, fill, rest."""

from thermo_kit.charts import style
from thermo_kit.charts.strips import Axis, Column, Level, Line, Mark, Strip, Zone, strips_picture
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
    return strips_picture(
        Column(Axis("temperature of the cylinder", "temperature", ends=(temperatures[0], temperatures[-1])), strips,
               names=110.0), look,
        sentence=f"{reading.refrigerant} at {look.text(T, 'temperature')}: the gauge shows "
        f"{look.text(reading.pressure, 'pressure')}, {look.text(result.excess_pressure, 'pressure_difference')} "
        f"above saturation, give or take {look.text(doubt, 'pressure_difference')}; 1.5 % of air would add "
        f"{look.text(result.allowed_excess, 'pressure_difference')}: {result.verdict}.",
    )  # fmt: skip


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
    return strips_picture(
        Column(Axis(f"{names[1]} in {names[0]}, by mass", "percent", ends=(0.0, 1.0)),
               (Strip(Axis("pressure", "pressure"), things),), names=130.0), look,
        sentence=f"{names[0]} with {100 * share:.1f} % {names[1]}: "
        f"{look.text(reading.bubble_pressure, 'pressure')}, pure {look.text(reading.pure_pressure, 'pressure')}. "
        f"Gauge and thermometer cannot show {seen}.",
    )  # fmt: skip


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
              (Line("", result.temperatures, tuple(min(p, _TALLEST) for p in result.pressures), style.HIGH_SIDE),
               Mark(temperature, min(pressure, _TALLEST), "now"))),
    )  # fmt: skip
    when = f"It is full of liquid at {look.text(full or ends[1], 'temperature')}."
    if not full:
        when = f"It does not fill up below {look.text(ends[1], 'temperature')}."
    return strips_picture(
        Column(Axis("temperature of the cylinder", "temperature", ends=ends), strips, names=60.0), look,
        sentence=f"{look.text(result.spec.mass, 'mass')} of {result.spec.refrigerant} at "
        f"{look.text(temperature, 'temperature')}: {100 * share:.0f} % liquid by volume, "
        f"{look.text(pressure, 'pressure')}. {when} Verdict: {result.verdict}.",
    )  # fmt: skip


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
    return strips_picture(
        Column(Axis("time at rest", "hours", ends=(0.0, result.times[-1])), strips, names=172.0), look,
        sentence=f"After {look.text(time, 'hours')} it is {look.text(temperature, 'temperature')} inside and "
        f"{look.text(around, 'temperature')} around. The gauge shows {look.text(pressure, 'pressure')}; by the air's "
        f"thermometer one expects {look.text(expected, 'pressure')}. "
        f"From {look.text(result.trusted_after, 'hours')} on the difference is smaller than the air that is allowed.",
    )  # fmt: skip
