"""What is in the cylinder and in the vehicle: air, another refrigerant, how full, and what may be used again."""

from dataclasses import dataclass

from scipy.optimize import brentq

from thermo_kit.errors import OutOfRangeError, Problem
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant, canonical_name
from thermo_kit.substances.blend import Blend, molar_mass
from thermo_kit.units import Amount, Said, Spec, count, one_of, quantity

GAS_CONSTANT = 8.31446261815324
AIR_ALLOWED = 0.015
"""Most air in the vapour, by volume: AHRI 700, air and other non-condensables, 1.5 % at 25 °C."""
FILL_SHARE = 0.80
FILL_TEMPERATURE = 298.15
RULE_TEMPERATURE, RULE_SHARE, FULL_TEMPERATURE = 323.15, 0.95, 333.15


class CylinderReading(Spec):
    """A cylinder that has stood long enough to have one temperature, and what gauge and thermometer say.

    Accuracies are one standard deviation times two, as instruments are usually sold.
    """

    refrigerant: str = one_of(REFRIGERANT_NAMES, "refrigerant", known=canonical_name)
    pressure: float = quantity("pressure", 5e4, 9e6, "cylinder pressure", advice="absolute: gauge plus the air around")
    temperature: float = quantity("temperature", 253.15, 328.15, "cylinder temperature")
    pressure_accuracy: float = quantity("pressure_difference", 0.0, 2e5, "accuracy of the gauge", 1e4)
    temperature_accuracy: float = quantity("temperature_difference", 0.0, 10.0, "accuracy of the thermometer", 1.0)
    hours_at_rest: float = quantity("ratio", 0.0, 1e4, "hours at rest", 12.0)
    vapour_volume: float | None = quantity("volume", 1e-5, 1.0, "room above the liquid", None)


@dataclass(frozen=True, kw_only=True)
class AirResult:
    """What pressure above saturation says about air, SI.

    reading: what was asked; saturation_pressure [Pa]; excess_pressure [Pa]; excess_uncertainty: of both instruments
    together [Pa]; allowed_excess: that of vapour with 1.5 % air [Pa]; air_fraction: of the vapour by volume, 0 where
    the excess is negative; air_mass [kg], None without the room above the liquid; verdict: "pure enough",
    "cannot tell", "too much air", "colder than it looks"; notes
    """

    reading: CylinderReading
    saturation_pressure: float
    excess_pressure: float
    excess_uncertainty: float
    allowed_excess: float
    air_fraction: float
    air_mass: float | None
    verdict: str
    notes: tuple


def air_in_cylinder(reading):
    """Judge by pressure and temperature whether a cylinder holds air.

    Parameters
    ----------
    reading : CylinderReading
        Pressure [Pa] absolute, temperature [K], accuracies.

    Returns
    -------
    AirResult
        Excess pressure [Pa], air by volume [-], mass of air [kg], verdict.

    Raises
    ------
    OutOfRangeError
        Above the critical temperature, where no pressure belongs to a temperature.

    Notes
    -----
    Ideal mixing in the vapour (Dalton). Air dissolved in the liquid is left out. The verdict is given only where the
    instruments can carry it.

    References
    ----------
    Dalton's law; limit: AHRI Standard 700, air and other non-condensables 1.5 % by volume at 25 °C; method: container
    pressure against temperature, SAE J1989 and J2211 as printed in 40 CFR 82 subpart B.

    Examples
    --------
    >>> air_in_cylinder(CylinderReading(refrigerant="R-134a", pressure=8.5e5, temperature=298.15)).verdict
    'too much air'
    """
    fluid = Refrigerant(reading.refrigerant)
    if reading.temperature > fluid.critical_temperature - 1.0:
        limit = Said("is not below its critical temperature {}", Amount(fluid.critical_temperature, "temperature"))
        advice = "let the cylinder cool: above it no saturation pressure exists"
        raise OutOfRangeError(
            Problem("cylinder temperature", Amount(reading.temperature, "temperature"), limit, advice)
        )
    saturation = fluid.dew_pressure(reading.temperature)
    slope = (fluid.dew_pressure(reading.temperature + 0.5) - fluid.dew_pressure(reading.temperature - 0.5)) / 1.0
    excess = reading.pressure - saturation
    uncertainty = (reading.pressure_accuracy**2 + (slope * reading.temperature_accuracy) ** 2) ** 0.5
    allowed = AIR_ALLOWED / (1.0 - AIR_ALLOWED) * saturation
    fraction = max(excess, 0.0) / reading.pressure
    mass = None
    if reading.vapour_volume is not None:
        mass = max(excess, 0.0) * reading.vapour_volume * molar_mass("air") / (GAS_CONSTANT * reading.temperature)
    notes = []
    if reading.hours_at_rest < 12.0:
        notes.append("A cylinder needs 12 hours away from sun and heaters to be as warm inside as its wall.")
    if excess < -uncertainty:
        verdict = "colder than it looks"
        notes.append("Less than saturation: no liquid left, another refrigerant, or the thermometer stands too warm.")
    elif excess - uncertainty > allowed:
        verdict = "too much air"
    elif excess + uncertainty <= allowed:
        verdict = "pure enough"
    else:
        verdict = "cannot tell"
        notes.append(
            Said("Gauge and thermometer are good for ±{} together; the question is {}: use better ones.",
                 Amount(uncertainty, "pressure_difference"), Amount(allowed, "pressure_difference"))
        )  # fmt: skip
    return AirResult(
        reading=reading, saturation_pressure=saturation, excess_pressure=excess, excess_uncertainty=uncertainty,
        allowed_excess=allowed, air_fraction=fraction, air_mass=mass, verdict=verdict, notes=tuple(notes),
    )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class BlendReading:
    """What gauge and thermometer show of two refrigerants together.

    bubble_pressure, dew_pressure [Pa]; pure_pressure: of the first alone [Pa]; shift: bubble less pure [Pa];
    glide: pressure between bubble and dew [Pa]; as_air: air fraction that the shift would be taken for [-];
    least_seen: smallest share of the second that gauge and thermometer together can show [-], None where none
    """

    bubble_pressure: float
    dew_pressure: float
    pure_pressure: float
    shift: float
    glide: float
    as_air: float
    least_seen: float | None


def blend_reading(first, second, second_fraction, *, temperature, pressure_accuracy=1e4, temperature_accuracy=1.0):
    """Tell what a gauge shows of a cylinder with two refrigerants, and what it cannot show.

    Parameters
    ----------
    first, second : str
        Refrigerants; data exist for R-134a with R-1234yf.
    second_fraction : float, [-]
        Mass share of the second, 0 to 1.
    temperature : float, [K]
        Of the cylinder, −30 to 75 °C.
    pressure_accuracy : float, [Pa]
        Of the gauge.
    temperature_accuracy : float, [K]
        Of the thermometer.

    Returns
    -------
    BlendReading
        Pressures [Pa] and shares [-].

    References
    ----------
    Bell, J. Phys. Chem. Ref. Data 51 (2022), through `Blend`.

    Examples
    --------
    >>> reading = blend_reading("R-134a", "R-1234yf", 0.02, temperature=298.15)
    >>> round(reading.shift / 1e3, 1)
    3.0
    """
    blend, fluid = Blend(first, second, second_fraction), Refrigerant(first)
    pure = fluid.bubble_pressure(temperature)
    bubble, dew = blend.bubble_pressure(temperature), blend.dew_pressure(temperature)
    slope = fluid.bubble_pressure(temperature + 0.5) - fluid.bubble_pressure(temperature - 0.5)
    seen = (pressure_accuracy**2 + (slope * temperature_accuracy) ** 2) ** 0.5

    def beyond(share):
        return abs(Blend(first, second, share).bubble_pressure(temperature) - pure) - seen

    least = brentq(beyond, 1e-6, 0.5, xtol=1e-3) if beyond(0.5) > 0.0 > beyond(1e-6) else None
    return BlendReading(
        bubble_pressure=bubble, dew_pressure=dew, pure_pressure=pure, shift=bubble - pure, glide=bubble - dew,
        as_air=max(bubble - pure, 0.0) / bubble, least_seen=least,
    )  # fmt: skip


class CylinderSpec(Spec):
    """A cylinder to be filled with liquefied refrigerant."""

    refrigerant: str = one_of(REFRIGERANT_NAMES, "refrigerant", known=canonical_name)
    volume: float = quantity(
        "volume", 5e-4, 1.0, "water capacity of the cylinder", advice="1 litre of water weighs 1 kg"
    )
    mass: float = quantity("mass", 1e-3, 1000.0, "refrigerant in the cylinder")
    test_pressure: float = quantity("pressure", 5e5, 3e7, "test pressure of the cylinder", 2.0e6)


@dataclass(frozen=True, kw_only=True)
class FillResult:
    """How full a cylinder is and what warming does to it, SI.

    spec: what was asked; liquid_share: of the volume at 25 °C, 0 to 1; allowed_by_volume: mass that fills 80 % at 25 °C
    [kg]; allowed_by_rule: mass by the filling ratio of the transport rules [kg]; full_temperature: at which the liquid
    fills it [K], None where it never does below the end of the data; temperatures [K], pressures [Pa], liquid_shares:
    while it warms; verdict: "may travel", "too full", "dangerous"; notes
    """

    spec: CylinderSpec
    liquid_share: float
    allowed_by_volume: float
    allowed_by_rule: float
    full_temperature: float | None
    temperatures: tuple
    pressures: tuple
    liquid_shares: tuple
    verdict: str
    notes: tuple


def fill_cylinder(spec, *, coldest=273.15, warmest=353.15, points=41):
    """Follow a filled cylinder while it warms: liquid grows, and where no vapour is left the pressure jumps.

    Parameters
    ----------
    spec : CylinderSpec
        Refrigerant, water capacity [m³], mass [kg].
    coldest, warmest : float, [K]
        Range followed.
    points : int
        Steps.

    Returns
    -------
    FillResult
        Shares, pressures [Pa], allowed masses [kg], temperature at which it is full [K].

    Raises
    ------
    OutOfRangeError
        For R-744, whose cylinders are filled by weight only: at 31 °C no liquid is left to measure.

    Notes
    -----
    The cylinder's own growth is left out; it would soften the jump by a few per cent.

    References
    ----------
    80 % by volume: 40 CFR 82 subpart B, appendix C, 7.2. Filling ratio: the lesser of 0.95 times the liquid's density
    at 50 °C and its density at 60 °C, ADR 4.3.3.2.2.

    Examples
    --------
    >>> result = fill_cylinder(CylinderSpec(refrigerant="R-134a", volume=0.012, mass=12.0))
    >>> result.verdict
    'too full'
    """
    fluid = Refrigerant(spec.refrigerant)
    if fluid.critical_temperature < FULL_TEMPERATURE + 5.0:
        advice = "fill its cylinders by weight alone, as the mark on the cylinder says"
        raise OutOfRangeError(Problem(f"{fluid.name}", "has no liquid above 31 °C", "", advice))

    def densities(T):
        point = fluid.saturation(T)
        return point.liquid_density, point.vapour_density

    density = spec.mass / spec.volume
    hottest = min(warmest, fluid.critical_temperature - 3.0)
    steps = [coldest + i * (hottest - coldest) / (points - 1) for i in range(points)]
    pressures, shares = [], []
    for T in steps:
        liquid, vapour = densities(T)
        share = (density - vapour) / (liquid - vapour)
        shares.append(min(max(share, 0.0), 1.0))
        full = share >= 1.0
        pressures.append(fluid.at(p=_shut_in(fluid, density, T), T=T).p if full else fluid.dew_pressure(T))
    room = [densities(T)[0] - density for T in (coldest, hottest)]
    full_at = brentq(lambda T: densities(T)[0] - density, coldest, hottest) if room[0] > 0.0 > room[1] else None
    by_volume = FILL_SHARE * densities(FILL_TEMPERATURE)[0] * spec.volume
    by_rule = min(RULE_SHARE * densities(RULE_TEMPERATURE)[0], densities(FULL_TEMPERATURE)[0]) * spec.volume
    liquid, vapour = densities(FILL_TEMPERATURE)
    now = min(max((density - vapour) / (liquid - vapour), 0.0), 1.0)
    verdict = "may travel" if spec.mass <= min(by_volume, by_rule) else "too full"
    notes = ["Weigh a cylinder: pressure says nothing about how full it is while liquid and vapour are both there."]
    if room[0] <= 0.0 or (full_at is not None and full_at < RULE_TEMPERATURE):
        verdict = "dangerous"
        notes.append("It is full of liquid below 50 °C: keep away, keep it cool, and let the supplier be called.")
    return FillResult(
        spec=spec, liquid_share=now, allowed_by_volume=by_volume, allowed_by_rule=by_rule, full_temperature=full_at,
        temperatures=tuple(steps), pressures=tuple(pressures), liquid_shares=tuple(shares), verdict=verdict,
        notes=tuple(notes),
    )  # fmt: skip


def _shut_in(fluid, density, T):
    """Return the pressure [Pa] of liquid without vapour at a density [kg/m³] and temperature [K]."""
    low = fluid.bubble_pressure(T)
    high = min(fluid.highest_pressure, 1e8)

    def excess(p):
        return fluid.at(p=p, T=T).rho - density

    if excess(high) < 0.0:
        return high
    return brentq(excess, low * 1.0005, high) if excess(low * 1.0005) < 0.0 else low


class ContaminantFinding(Spec):
    """What an identifier, a filter or the nose has found; shares by mass."""

    other_refrigerant: float = quantity("percent", 0.0, 1.0, "share of another refrigerant", 0.0)
    identifier_accuracy: float = quantity("percent", 0.0, 0.2, "accuracy of the identifier", 0.02)
    air: float = quantity("percent", 0.0, 1.0, "air by volume", 0.0)
    hydrocarbon: float = quantity("percent", 0.0, 1.0, "share of hydrocarbons", 0.0)
    sealant: int = count(0, 1, "sealant found", 0)
    debris: int = count(0, 1, "metal debris found", 0)


PURITY_NEEDED = 0.98


def judge_reuse(finding):
    """Decide what may be done with refrigerant that was taken out.

    Parameters
    ----------
    finding : ContaminantFinding
        Shares [-] and what was seen.

    Returns
    -------
    tuple of (str, str)
        What to do ("recycle and use again", "to the marked cylinder", "draw off the air, check again", "cannot tell"),
        and why.

    References
    ----------
    Recycled refrigerant only for vehicles and only if clean: 40 CFR 82.34 and 82.32; at least 98 % pure: the figure to
    which identifiers are built, common practice, no source for the limit itself; air 1.5 %: AHRI 700.

    Examples
    --------
    >>> judge_reuse(ContaminantFinding(hydrocarbon=0.04))[0]
    'to the marked cylinder'
    """
    if finding.sealant:
        return "to the marked cylinder", "Sealant hardens in the machine: keep it away from identifier and station."
    if finding.hydrocarbon > finding.identifier_accuracy:
        return "to the marked cylinder", "Hydrocarbons burn: not into a station that is not built for them."
    other, known = finding.other_refrigerant, finding.identifier_accuracy
    if other - known > 1.0 - PURITY_NEEDED:
        return "to the marked cylinder", "Two refrigerants cannot be parted in a workshop."
    if finding.air > AIR_ALLOWED:
        return "draw off the air, check again", "Air sits in the vapour: the station lets it out after a rest."
    if other + known > 1.0 - PURITY_NEEDED and other > 0.0:
        return "cannot tell", "The identifier is not good enough for this share: a second one, or a laboratory."
    words = "Debris stays in filter and oil: change the filter; the refrigerant itself is clean."
    return "recycle and use again", words if finding.debris else "Clean enough for the same or another vehicle."
