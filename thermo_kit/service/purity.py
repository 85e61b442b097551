"""What is in the cylinder and in the vehicle: air, another refrigerant, how full, and what may be used again."""

import math
from dataclasses import dataclass

from scipy.optimize import brentq

from thermo_kit.errors import OutOfRangeError
from thermo_kit.laws.constants import GAS_CONSTANT
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant, canonical_name
from thermo_kit.substances.blend import Blend, molar_mass
from thermo_kit.units import Amount, Checks, Said, Spec, count, one_of, quantity

AIR_ALLOWED = 0.015
"""Most air in the vapour, by volume: AHRI 700, air and other non-condensables, 1.5 % at 25 °C."""
PURITY_NEEDED = 0.98
"""Least share by mass at which a gas counts as identified: SAE J2099."""
FILL_SHARE, FILL_TEMPERATURE = 0.80, 294.26
"""Liquid by volume and where it is measured, 70 °F: 40 CFR 82 subpart B, appendix C, 7.2."""
RULE_TEMPERATURE, RULE_SHARE, FULL_TEMPERATURE = 323.15, 0.95, 333.15
REST = 12 * 3600.0
SURFACE_RESISTANCE = 0.13
"""Air film and radiation at a wall indoors [m² K/W]: ISO 6946, heat flow across an upright wall."""
STEEL_HEAT = 460.0
SLENDERNESS = 1.5
BELOW_CRITICAL = 1.0


class CylinderReading(Spec):
    """A cylinder that has stood long enough to have one temperature, and what gauge and thermometer say.

    Accuracies are two standard deviations, as instruments are usually sold.
    """

    refrigerant: str = one_of(REFRIGERANT_NAMES, "refrigerant", known=canonical_name)
    pressure: float = quantity("pressure", 5e4, 9e6, "cylinder pressure", advice="absolute: gauge plus the air around")
    temperature: float = quantity("temperature", 253.15, 328.15, "cylinder temperature")
    pressure_accuracy: float = quantity("pressure_difference", 0.0, 2e5, "accuracy of the gauge", 1e4)
    temperature_accuracy: float = quantity("temperature_difference", 0.0, 10.0, "accuracy of the thermometer", 1.0)
    time_at_rest: float = quantity("hours", 0.0, 3.6e7, "time at rest", REST)
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
    reading : CylinderReading. Pressure [Pa] absolute, temperature [K], accuracies.

    Returns: AirResult. Excess pressure [Pa], air by volume [-], mass of air [kg], verdict.

    Raises: OutOfRangeError. Above the critical temperature, where no pressure belongs to a temperature.

    Notes: Ideal mixing in the vapour (Dalton). Air dissolved in the liquid is left out. The verdict is given only where
        the instruments can carry it.

    References: Dalton's law; limit: AHRI Standard 700, air and other non-condensables 1.5 % by volume at 25 °C; method:
        container pressure against temperature, SAE J1989 and J2211 as printed in 40 CFR 82 subpart B.

    Examples
    --------
    >>> air_in_cylinder(CylinderReading(refrigerant="R-134a", pressure=8.5e5, temperature=298.15)).verdict
    'too much air'
    """
    fluid = Refrigerant(reading.refrigerant)
    _refuse_hot(fluid, reading.temperature)
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
    if reading.time_at_rest < REST:
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
        both, asked = Amount(uncertainty, "pressure_difference"), Amount(allowed, "pressure_difference")
        notes.append(
            Said("Gauge and thermometer are good for ±{} together; allowed is {} of air: use better ones.", both, asked)
        )
    return AirResult(
        reading=reading, saturation_pressure=saturation, excess_pressure=excess, excess_uncertainty=uncertainty,
        allowed_excess=allowed, air_fraction=fraction, air_mass=mass, verdict=verdict, notes=tuple(notes),
    )  # fmt: skip


def air_limits(refrigerant, temperatures):
    """Return what a gauge may show above a liquid that holds no more air than allowed.

    Parameters
    ----------
    refrigerant : str. Name.
    temperatures : tuple of float, [K]. Of the cylinder, below the critical temperature.

    Returns: tuple of (float, float), [Pa] For each temperature: saturation pressure, and that pressure with 1.5 % air
        in the vapour.

    Raises: OutOfRangeError. Above the critical temperature.

    References: Dalton's law; AHRI Standard 700.

    Examples
    --------
    >>> [round(p / 1e3, 1) for p in air_limits("R-134a", (298.15,))[0]]
    [665.4, 675.5]
    """
    fluid = Refrigerant(refrigerant)
    for T in temperatures:
        _refuse_hot(fluid, T)
    pressures = [fluid.dew_pressure(T) for T in temperatures]
    return tuple((p, p / (1.0 - AIR_ALLOWED)) for p in pressures)


def _refuse_hot(fluid, T):
    if fluid.critical_temperature - T < BELOW_CRITICAL:
        limit = Said("is not below its critical temperature {}", Amount(fluid.critical_temperature, "temperature"))
        advice = "let the cylinder cool: above it no saturation pressure exists"
        raise OutOfRangeError.about("cylinder temperature", Amount(T, "temperature"), limit, advice)


class RunningAir(Spec):
    """A running system that was not evacuated well: its air gathers where the refrigerant condenses."""

    refrigerant: str = one_of(REFRIGERANT_NAMES, "refrigerant", known=canonical_name)
    air_mass: float = quantity("mass", 0.0, 0.05, "air in the system")
    condensing_temperature: float = quantity("temperature", 283.15, 363.15, "temperature of condensing", 323.15)
    gas_room: float = quantity("volume", 1e-4, 0.05, "room for gas in condenser and receiver", 1e-3)
    subcooling: float = quantity("temperature_difference", 0.0, 40.0, "real subcooling", 5.0)
    suction_pressure: float = quantity("pressure", 5e4, 4e6, "suction pressure", 3e5)
    suction_superheat: float = quantity("temperature_difference", 0.0, 60.0, "superheat at the compressor", 10.0)
    isentropic_efficiency: float = quantity("ratio", 0.3, 1.0, "isentropic efficiency", 0.65)


@dataclass(frozen=True, kw_only=True)
class RunningAirResult:
    """What a technician sees of air in a running system, SI.

    spec: what was asked; air_pressure: what the air adds [Pa];
    head_pressure [Pa]; shown_condensing: saturation at the head pressure, as the gauge's scale says [K];
    shown_subcooling: by gauge and clamp [K]; discharge_temperature: of the hot gas [K];
    more_work: of the compressor for each kilogram, as a share [-]; notes
    """

    spec: RunningAir
    air_pressure: float
    head_pressure: float
    shown_condensing: float
    shown_subcooling: float
    discharge_temperature: float
    more_work: float
    notes: tuple


def air_in_system(spec):
    """Tell what gauge and clamp show of air that has gathered in the condenser of a running system.

    Parameters
    ----------
    spec : RunningAir. Air [kg], room for gas on the high side [m³], temperatures [K], suction pressure [Pa].

    Returns: RunningAirResult. Head pressure [Pa], subcooling as it seems [K], hot gas [K], work [-]. Raises
        OutOfRangeError where the refrigerant does not condense, and where the head pressure has no saturation
        temperature any more.

    Notes: The refrigerant goes on condensing at its own temperature. What air does to the walls, and the greater heat
        of the compressor, are left out: a real head pressure lies higher. The compressor pumps no air.

    References: Dalton's law and the ideal-gas law for the air; balance of energy at the compressor with an isentropic
        efficiency: Çengel & Boles, Thermodynamics, chapters 7 and 13.

    Examples
    --------
    >>> seen = air_in_system(RunningAir(refrigerant="R-134a", air_mass=2e-3))
    >>> round(seen.air_pressure / 1e5, 2), round(seen.shown_subcooling, 1)
    (1.86, 10.3)
    """
    fluid, T = Refrigerant(spec.refrigerant), spec.condensing_temperature
    _refuse_hot(fluid, T)
    clean = fluid.dew_pressure(T)
    air = spec.air_mass * GAS_CONSTANT * T / (molar_mass("air") * spec.gas_room)
    head = clean + air
    for what, p, least in (
        ("head pressure", head, spec.suction_pressure),
        ("suction pressure", spec.suction_pressure, 0),
    ):
        if not least < p < 0.98 * fluid.critical_pressure:
            ends = Said(
                "is not between {} and {}", *(Amount(end, "pressure") for end in (least, fluid.critical_pressure))
            )
            raise OutOfRangeError.about(what, Amount(p, "pressure"), ends, "less air, or check both pressures")
    shown = fluid.bubble_temperature(head)
    suction = fluid.at(p=spec.suction_pressure, T=fluid.dew_temperature(spec.suction_pressure) + spec.suction_superheat)
    work = [(fluid.at(p=p, s=suction.s).h - suction.h) / spec.isentropic_efficiency for p in (clean, head)]
    notes = (
        "Too much refrigerant and a dirty condenser look alike: stop it, let it rest, and judge as at a cylinder.",
    )
    return RunningAirResult(
        spec=spec, air_pressure=air, head_pressure=head, shown_condensing=shown,
        shown_subcooling=shown - T + spec.subcooling, discharge_temperature=fluid.at(p=head, h=suction.h + work[1]).T,
        more_work=work[1] / work[0] - 1.0, notes=notes,
    )  # fmt: skip


class RestSpec(Spec):
    """A cylinder that came from a warmer or colder place and now stands on the shop floor, out of sun and draught."""

    refrigerant: str = one_of(REFRIGERANT_NAMES, "refrigerant", known=canonical_name)
    volume: float = quantity("volume", 5e-4, 0.2, "water capacity of the cylinder", 0.012)
    mass: float = quantity("mass", 0.05, 200.0, "refrigerant in the cylinder", 10.0)
    steel_mass: float = quantity("mass", 0.1, 200.0, "steel of the cylinder", 6.0)
    start_temperature: float = quantity("temperature", 243.15, 343.15, "temperature inside at the start")
    surroundings: float = quantity("temperature", 253.15, 328.15, "air around the cylinder")


@dataclass(frozen=True, kw_only=True)
class RestResult:
    """How a cylinder comes to the temperature of the shop, SI.

    spec: what was asked; time_constant [s]; times [s]; temperatures: inside [K]; pressures: what the gauge shows of
    the pure refrigerant [Pa]; expected_pressure: saturation at the temperature of the air around [Pa];
    trusted_after: when the gauge is off by less than the 1.5 % of air that are allowed [s]
    """

    spec: RestSpec
    time_constant: float
    times: tuple
    temperatures: tuple
    pressures: tuple
    expected_pressure: float
    trusted_after: float


def rest_cylinder(spec, *, duration=24 * 3600.0, points=97):
    """Follow a cylinder while it takes the temperature of the shop, and tell from when the gauge can be judged.

    Parameters
    ----------
    spec : RestSpec. Cylinder, what is in it, temperatures inside and around [K].
    duration : float, [s]. How long it is followed.
    points : int. Moments told.

    Returns: RestResult. Temperatures [K], pressures [Pa], time from which the reading holds [s]. Raises OutOfRangeError
        if either temperature is above the critical temperature.

    Notes: One temperature inside; the cylinder is an upright one, half as high again as wide, and stands free. A
        thermometer on the wall shows something between inside and air; here the shop's thermometer is taken for it, the
        worst case.

    References: Lumped cooling: Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, chapter 5. Film of air and
        radiation: ISO 6946. Heat of steel: memory.

    Examples
    --------
    >>> van_in_sun = RestSpec(refrigerant="R-134a", start_temperature=318.15, surroundings=293.15)
    >>> round(rest_cylinder(van_in_sun).trusted_after / 3600)
    8
    """
    fluid = Refrigerant(spec.refrigerant)
    for T in (spec.start_temperature, spec.surroundings):
        _refuse_hot(fluid, T)
    middle = 0.5 * (spec.start_temperature + spec.surroundings)
    warmth = 0.5 * (fluid.saturation(middle + 1.0).liquid_enthalpy - fluid.saturation(middle - 1.0).liquid_enthalpy)
    diameter = (4.0 * spec.volume / (math.pi * SLENDERNESS)) ** (1.0 / 3.0)
    area = math.pi * diameter**2 * (SLENDERNESS + 0.5)
    constant = (spec.mass * warmth + spec.steel_mass * STEEL_HEAT) * SURFACE_RESISTANCE / area
    difference = spec.start_temperature - spec.surroundings
    times = tuple(duration * i / (points - 1) for i in range(points))
    inside = tuple(spec.surroundings + difference * math.exp(-t / constant) for t in times)
    expected = fluid.dew_pressure(spec.surroundings)
    slope = fluid.dew_pressure(spec.surroundings + 0.5) - fluid.dew_pressure(spec.surroundings - 0.5)
    near = AIR_ALLOWED / (1.0 - AIR_ALLOWED) * expected / slope
    trusted = constant * math.log(abs(difference) / near) if abs(difference) > near else 0.0
    return RestResult(
        spec=spec, time_constant=constant, times=times, temperatures=inside,
        pressures=tuple(fluid.dew_pressure(T) for T in inside), expected_pressure=expected, trusted_after=trusted,
    )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class BlendReading:
    """What gauge and thermometer show of two refrigerants together.

    bubble_pressure, dew_pressure [Pa]; pure_pressure: of the first alone [Pa]; shift: bubble less pure [Pa];
    glide: pressure between bubble and dew [Pa]; as_air: air fraction that the shift would be taken for [-];
    uncertainty: of gauge and thermometer together [Pa];
    least_seen: smallest share of the second that gauge and thermometer together can show [-], None where none
    """

    bubble_pressure: float
    dew_pressure: float
    pure_pressure: float
    shift: float
    glide: float
    as_air: float
    uncertainty: float
    least_seen: float | None


def blend_reading(first, second, second_fraction, *, temperature, pressure_accuracy=1e4, temperature_accuracy=1.0):
    """Tell what a gauge shows of a cylinder with two refrigerants, and what it cannot show.

    Parameters
    ----------
    first, second : str. Refrigerants; data exist for R-134a with R-1234yf.
    second_fraction : float, [-]. Mass share of the second, 0 to 1.
    temperature : float, [K]. Of the cylinder, −30 to 75 °C.
    pressure_accuracy : float, [Pa]. Of the gauge.
    temperature_accuracy : float, [K]. Of the thermometer.

    Returns: BlendReading. Pressures [Pa] and shares [-].

    References: Bell, J. Phys. Chem. Ref. Data 51 (2022), through `Blend`.

    Examples
    --------
    >>> reading = blend_reading("R-134a", "R-1234yf", 0.02, temperature=298.15)
    >>> round(reading.shift / 1e3, 1)
    3.0
    """
    with Checks() as checks:
        checks.within("share of the second refrigerant", second_fraction, 0.0, 1.0, kind="ratio", advice="5 % is 0.05")
        checks.within("temperature of the bottle", temperature, 233.15, 353.15, kind="temperature")
        checks.within("pressure accuracy", pressure_accuracy, 0.0, 5e5, kind="pressure_difference")
        checks.within("temperature accuracy", temperature_accuracy, 0.0, 20.0, kind="temperature_difference")
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
        as_air=max(bubble - pure, 0.0) / bubble, uncertainty=seen, least_seen=least,
    )  # fmt: skip


def blend_curve(first, second, temperature, points=41):
    """Return the pressures of all mixtures of two refrigerants at one temperature.

    Parameters
    ----------
    first, second : str. Refrigerants; data exist for R-134a with R-1234yf.
    temperature : float, [K]. Of the cylinder, −30 to 75 °C.
    points : int. Shares told, from none to all of the second.

    Returns: tuple of (float, float, float). Share of the second by mass [-], bubble and dew pressure [Pa].

    References: As `Blend`.

    Examples
    --------
    >>> [round(p / 1e3) for _, p, _ in blend_curve("R-134a", "R-1234yf", 298.15, points=3)]
    [665, 709, 683]
    """
    shares = [i / (points - 1) for i in range(points)]
    blends = [Blend(first, second, share) for share in shares]
    return tuple((b.second_fraction, b.bubble_pressure(temperature), b.dew_pressure(temperature)) for b in blends)


class CylinderSpec(Spec):
    """A cylinder to be filled with liquefied refrigerant."""

    refrigerant: str = one_of(REFRIGERANT_NAMES, "refrigerant", known=canonical_name)
    volume: float = quantity(
        "volume", 5e-4, 1.0, "water capacity of the cylinder", advice="1 litre of water weighs 1 kg"
    )
    mass: float = quantity("mass", 1e-3, 1000.0, "refrigerant in the cylinder", advice="gross weight less tare")


@dataclass(frozen=True, kw_only=True)
class FillResult:
    """How full a cylinder is and what warming does to it, SI.

    spec: what was asked; liquid_share: of the volume at 21 °C, 0 to 1; allowed_by_volume: mass that fills 80 % at 21 °C
    [kg]; allowed_by_rule: mass by the filling ratio of the transport rules [kg]; full_temperature: at which the liquid
    fills it [K], None where it never does below the end of the data; temperatures [K], pressures [Pa], liquid_shares:
    while it warms, up to where a wall would long have given way; verdict: "may travel", "too full", "dangerous"; notes
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


WALLS_GIVE_WAY = 1.5e7


def fill_cylinder(spec, *, coldest=273.15, warmest=353.15, points=41):
    """Follow a filled cylinder while it warms: liquid grows, and where no vapour is left the pressure jumps.

    Parameters
    ----------
    spec : CylinderSpec. Refrigerant, water capacity [m³], mass [kg].
    coldest, warmest : float, [K]. Range followed.
    points : int. Steps.

    Returns: FillResult. Shares, pressures [Pa], allowed masses [kg], temperature at which it is full [K]. Raises
        OutOfRangeError for R-744, whose cylinders are filled by weight only; for more refrigerant than goes in, or too
        little for any liquid.

    Notes: The cylinder's own growth is left out; it would soften the jump by a few per cent.

    References: 80 % by volume: 40 CFR 82 subpart B, appendix C, 7.2. Filling ratio: the lesser of 0.95 times the
        liquid's density at 50 °C and its density at 60 °C, ADR 4.3.3.2.2.

    Examples
    --------
    >>> result = fill_cylinder(CylinderSpec(refrigerant="R-134a", volume=0.012, mass=12.0))
    >>> result.verdict
    'too full'
    """
    fluid = Refrigerant(spec.refrigerant)
    if fluid.critical_temperature < FULL_TEMPERATURE + 5.0:
        advice = "fill its cylinders by weight alone, as the mark on the cylinder says"
        hot = Said("has no liquid above {}", Amount(fluid.critical_temperature, "temperature"))
        raise OutOfRangeError.about(fluid.name, hot, "", advice)

    def densities(T):
        point = fluid.saturation(T)
        return point.liquid_density, point.vapour_density

    def share_at(T):
        liquid, vapour = densities(T)
        return (density - vapour) / (liquid - vapour)

    density = spec.mass / spec.volume
    most, least = densities(coldest)[0] * spec.volume, densities(FILL_TEMPERATURE)[1] * spec.volume
    if not least < spec.mass < most:
        limit = Said("is not between {} of vapour and {} of liquid", Amount(least, "mass"), Amount(most, "mass"))
        advice = "was the tare taken off, and is the water capacity right?"
        raise OutOfRangeError.about("refrigerant in the cylinder", Amount(spec.mass, "mass"), limit, advice)
    hottest = min(warmest, fluid.critical_temperature - 3.0)
    temperatures, pressures, shares = [], [], []
    for T in (coldest + i * (hottest - coldest) / (points - 1) for i in range(points)):
        share = share_at(T)
        temperatures.append(T)
        shares.append(min(max(share, 0.0), 1.0))
        pressures.append(_shut_in(fluid, density, T) if share >= 1.0 else fluid.dew_pressure(T))
        if pressures[-1] > WALLS_GIVE_WAY:
            break
    room = densities(hottest)[0] - density
    full_at = None if room > 0.0 else brentq(lambda T: densities(T)[0] - density, coldest, hottest)
    by_volume = FILL_SHARE * densities(FILL_TEMPERATURE)[0] * spec.volume
    by_rule = min(RULE_SHARE * densities(RULE_TEMPERATURE)[0], densities(FULL_TEMPERATURE)[0]) * spec.volume
    verdict = "may travel" if spec.mass <= min(by_volume, by_rule) else "too full"
    notes = ["Weigh a cylinder: pressure says nothing about how full it is while liquid and vapour are both there."]
    if full_at is not None and full_at < RULE_TEMPERATURE:
        verdict = "dangerous"
        hot = Amount(RULE_TEMPERATURE, "temperature", 0)
        notes.append(Said("It is full of liquid below {}: keep away, out of the sun, call the supplier.", hot))
    return FillResult(
        spec=spec, liquid_share=min(max(share_at(FILL_TEMPERATURE), 0.0), 1.0), allowed_by_volume=by_volume,
        allowed_by_rule=by_rule, full_temperature=full_at, temperatures=tuple(temperatures),
        pressures=tuple(pressures), liquid_shares=tuple(shares), verdict=verdict, notes=tuple(notes),
    )  # fmt: skip


def _shut_in(fluid, density, T):
    """Return the pressure [Pa] of liquid without vapour at a density [kg/m³] and temperature [K]."""
    low, high = fluid.bubble_pressure(T) * 1.0005, fluid.highest_pressure

    def excess(p):
        return fluid.at(p=p, T=T).rho - density

    if excess(low) >= 0.0:
        return low
    return high if excess(high) < 0.0 else brentq(excess, low, high)


class ContaminantFinding(Spec):
    """What an identifier, a filter or the nose has found; shares by mass, air by volume."""

    other_refrigerant: float = quantity("percent", 0.0, 1.0, "share of another refrigerant", 0.0)
    identifier_accuracy: float = quantity("percent", 0.0, 0.2, "accuracy of the identifier", 0.02)
    air: float = quantity("percent", 0.0, 1.0, "air by volume", 0.0)
    hydrocarbon: float = quantity("percent", 0.0, 1.0, "share of hydrocarbons", 0.0)
    sealant: int = count(0, 1, "sealant found", 0)
    debris: int = count(0, 1, "metal debris found", 0)


def judge_reuse(finding):
    """Decide what may be done with refrigerant that was taken out.

    Parameters
    ----------
    finding : ContaminantFinding. Shares [-] and what was seen.

    Returns: tuple of (str, str). What to do ("recycle and use again", "to the marked cylinder", "draw off the air,
        check again", "cannot tell"), and why.

    Notes: Recycled gas goes back into a vehicle only by the law of the place; see `law`.

    References: Identified as at least 98 % pure before it is recycled: SAE J2099. Air 1.5 %: AHRI 700. Recycling before
        reuse: 40 CFR 82.32(e), Regulation (EU) 2024/573 article 8(6).

    Examples
    --------
    >>> judge_reuse(ContaminantFinding(hydrocarbon=0.04))[0]
    'to the marked cylinder'
    """
    other, known, most = finding.other_refrigerant, finding.identifier_accuracy, 1.0 - PURITY_NEEDED
    if finding.sealant:
        return "to the marked cylinder", "Sealant hardens in the machine: keep it away from identifier and station."
    if finding.hydrocarbon > known:
        return "to the marked cylinder", "Hydrocarbons burn: not into a station that is not built for them."
    if other > most + known:
        return "to the marked cylinder", "Two refrigerants cannot be parted in a workshop."
    if other > most:
        return "cannot tell", "The identifier is not good enough for this share: a second one, or a laboratory."
    if finding.air > AIR_ALLOWED:
        return "draw off the air, check again", "Air sits in the vapour: the station lets it out after a rest."
    words = "Debris stays in filter and oil: change the filter; the refrigerant itself is clean."
    return "recycle and use again", words if finding.debris else "Clean enough for the same or another vehicle."
