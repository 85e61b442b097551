"""Drawing a vacuum on a wet circuit, and what the rise afterwards says: tight, leak, moisture, or both."""

import math
from dataclasses import dataclass

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import curve_fit
from scipy.special import softmax

from thermo_kit.errors import NoSolutionError, ReadingsError
from thermo_kit.laws.closure import closed
from thermo_kit.laws.constants import GAS_CONSTANT
from thermo_kit.service.leak import thermal_speed
from thermo_kit.substances import water_saturation_pressure
from thermo_kit.substances.blend import gas_viscosity, molar_mass
from thermo_kit.units import STANDARD_ATMOSPHERE, Amount, Checks, Spec, flag, quantity, within_ranges

WATER = {"molar_mass": 0.018015268, "boiling": 2.5009e6, "melting": 3.334e5, "liquid": 4217.0, "ice": 2100.0}
"""Water near 0 °C: molar mass [kg/mol], heats [J/kg], specific heats [J/(kg K)]: IAPWS R7-97 and R10-06."""
MELTING = 273.15
FROZE = (
    "The water froze: ice gives off far less vapour. Warm the circuit, or break the vacuum with dry nitrogen and begin "
    "again."
)
MATTERS = 2e-5
"""Leak that matters in a rise test [Pa m³/s]: some 30 g of R-134a a year at a few bar."""
CORE_LENGTHS = 60.0
"""A valve core takes as much as a tube of its bore sixty bores long; invented, of the order that makers show."""


class HoseSpec(Spec):
    """What lies between the circuit and the pump."""

    bore: float = quantity("length", 1e-3, 0.05, "bore of the hose", 4.8e-3)
    length: float = quantity("length", 0.05, 20.0, "length of the hose", 1.8)
    core_bore: float = quantity("length", 5e-4, 0.02, "bore of the valve core", 2.2e-3)
    core_in: bool = flag("valve core in place", True)


class EvacuationSpec(Spec):
    """A circuit with some water in it, a pump and its hose."""

    volume: float = quantity("volume", 1e-4, 0.2, "volume of the circuit", 2.5e-3)
    pump_speed: float = quantity("volume_flow", 1e-5, 0.05, "pump speed", 70.0 / 60000.0)
    ultimate_pressure: float = quantity("vacuum", 0.05, 500.0, "lowest pressure of the pump", 5.0)
    hose: HoseSpec = HoseSpec()
    water: float = quantity("mass", 0.0, 0.5, "water in the circuit", 0.005)
    water_area: float = quantity("area", 1e-5, 0.5, "wet surface", 2e-3)
    warmth: float = quantity("conductance", 0.0, 100.0, "heat passage from the metal to the water", 0.8)
    metal_temperature: float = quantity("temperature", 263.15, 343.15, "temperature of the circuit", 293.15)
    leak: float = quantity("throughput", 0.0, 1.0, "leak from outside", 0.0)
    oil_outgassing: float = quantity("throughput", 0.0, 0.1, "gas from the oil at the start", 2e-4)
    duration: float = quantity("duration", 10.0, 2e5, "time of pumping", 1800.0)


@dataclass(frozen=True, kw_only=True)
class EvacuationResult:
    """How the pressure falls, SI.

    spec: what was asked; time [s]; pressure, water_pressure: in the circuit, of which water vapour [Pa];
    water_left [kg]; water_temperature [K]; ice_share: of the water left; dry_after: when the last water is gone [s],
    None where it is not; froze: whether ice formed while more than a hundredth was left; speed_at_end: what the pump
    draws from the circuit at the end, behind its hose [m³/s]; water_closure: water boiled off plus left against water
    at the start, relative; energy_closure: heat taken up against water boiled and cooled, relative; notes
    """

    spec: EvacuationSpec
    time: tuple
    pressure: tuple
    water_pressure: tuple
    water_left: tuple
    water_temperature: tuple
    ice_share: tuple
    dry_after: float | None
    froze: bool
    speed_at_end: float
    water_closure: float
    energy_closure: float
    notes: tuple


def hose_conductance(bore, length, mean_pressure, *, gas="air", temperature=293.15):
    """Return the conductance of a round tube for a thin gas, viscous and molecular flow added.

    Parameters
    ----------
    bore, length : float, [m]. Of the tube.
    mean_pressure : float, [Pa]. Mean of both ends.
    gas : str. "air", "nitrogen" or a refrigerant.
    temperature : float, [K]. Of the gas.

    Returns: float, [m³/s]. Throughput by pressure difference.

    References: Poiseuille and Knudsen with Knudsen's factor between both, molecular flow with the resistance of the
        entrance: Jousten, Handbook of Vacuum Technology, chapter 4.

    Examples
    --------
    >>> round(hose_conductance(4.8e-3, 1.8, 100.0) * 1e3, 4)
    0.0458
    """
    within_ranges(
        ("bore of the hose", bore, 1e-6, 0.5, "length"), ("length of the hose", length, 1e-6, 100.0, "length"),
        ("mean pressure", mean_pressure, 0.0, 2e6, "pressure"),
        ("temperature of the gas", temperature, 223.15, 423.15, "temperature"),
    )  # fmt: skip
    viscous, molecular = _tube(bore, length, gas, temperature)
    return viscous * mean_pressure + molecular * _dip(bore, mean_pressure, gas, temperature)


def _dip(bore, pressure, gas="air", temperature=293.15):
    """Return Knudsen's factor on molecular flow where molecules begin to meet, 0.81 to 1."""
    speed = math.sqrt(0.5 * math.pi * GAS_CONSTANT * temperature / molar_mass(gas))
    path = gas_viscosity(gas, temperature) / pressure * speed
    return (1.0 + 1.2535 * bore / path) / (1.0 + 1.5475 * bore / path)


def _tube(bore, length, gas, temperature):
    viscous = math.pi * bore**4 / (128.0 * gas_viscosity(gas, temperature) * length)
    long_tube = math.pi * thermal_speed(gas, temperature) * bore**3 / (12.0 * length)
    return viscous, long_tube / (1.0 + 4.0 * bore / (3.0 * length))


def _path(hose):
    """Return viscous [m³/(s Pa)] and molecular [m³/s] conductance of hose and core one after the other."""
    parts = [_tube(hose.bore, hose.length, "air", 293.15)]
    if hose.core_in:
        parts.append(_tube(hose.core_bore, CORE_LENGTHS * hose.core_bore, "air", 293.15))
    return tuple(1.0 / sum(1.0 / part[i] for part in parts) for i in (0, 1))


def drawn_speed(spec, pressure):
    """Return what a pump draws from the circuit through its hose.

    Parameters
    ----------
    spec : EvacuationSpec. Pump [m³/s] and hose.
    pressure : float, [Pa]. In the circuit.

    Returns: float, [m³/s]. Effective pumping speed; 0 at the pump's lowest pressure.

    References: Pump and conductance in series, Jousten, Handbook of Vacuum Technology, chapter 4.

    Examples
    --------
    >>> spec = EvacuationSpec(pump_speed=50 / 60000, ultimate_pressure=0.05, hose=HoseSpec(core_in=False))
    >>> round(drawn_speed(spec, 100.0) * 1e3, 4)
    0.0257
    """
    within_ranges(("pressure in the circuit", pressure, 1e-3, 2e6, "pressure"))
    viscous, molecular = _path(spec.hose)
    return _drawn(spec, viscous, molecular, pressure) / pressure


def _drawn(spec, viscous, molecular, p):
    """Return the throughput [Pa m³/s] drawn from the circuit: pressure at the pump by a quadratic balance."""
    molecular *= (1.0 + spec.hose.bore * p * 190.0) / (1.0 + spec.hose.bore * p * 234.6)  # `_dip` for air at 20 °C
    b = molecular + spec.pump_speed
    source = 0.5 * viscous * p * p + molecular * p + spec.pump_speed * spec.ultimate_pressure
    at_pump = 2.0 * source / (b + math.sqrt(b * b + 2.0 * viscous * source))
    return spec.pump_speed * max(at_pump - spec.ultimate_pressure, 0.0)


def evacuate(spec, points=240):
    """Pump down a circuit; water boils, cools itself, perhaps freezes, and is drawn off.

    Parameters
    ----------
    spec : EvacuationSpec. Circuit, pump, hose, water, leak.
    points : int. Times told.

    Returns: EvacuationResult. Pressures [Pa], water [kg], temperature of the water [K] over time [s]. Raises
        NoSolutionError if the balance of water or heat does not close to 1e-3 of what passed.

    Notes: The water is one lump. Its boiling is held back by its surface with a hundredth of the molecular limit, as
        dirty and oily water is found to boil (common practice, no source for the figure). Gas from the oil dies away
        within twenty minutes (invented).

    References: Hertz–Knudsen flux; water and ice vapour pressure: IAPWS R7-97 and R14-08, through
        `water_saturation_pressure`.

    Examples
    --------
    >>> evacuate(EvacuationSpec(water=0.0, duration=600.0)).dry_after
    0.0
    """
    viscous, molecular = _path(spec.hose)
    boiling_speed = 0.01 * spec.water_area * math.sqrt(WATER["molar_mass"] / (2.0 * math.pi * GAS_CONSTANT))
    per_kg = GAS_CONSTANT * spec.metal_temperature / WATER["molar_mass"]

    def lump(mass, heat):
        """Return temperature [K] and ice share of water by its enthalpy above liquid at 0 °C [J]."""
        if mass <= 1e-9:
            return spec.metal_temperature, 0.0
        h = heat / mass
        if h >= 0.0:
            # The last milligram: rounding of its heat must not make it hotter than the metal that warms it.
            return min(MELTING + h / WATER["liquid"], max(spec.metal_temperature, MELTING)), 0.0
        if h > -WATER["melting"]:
            return MELTING, -h / WATER["melting"]
        return max(MELTING + (h + WATER["melting"]) / WATER["ice"], 203.15), 1.0

    def rates(time, y):
        air, vapour, mass, heat, _drawn_water, _taken = y
        p = max(air + vapour, 1e-3)
        T, _ice = lump(mass, heat)
        wet = min(mass / 2e-5, 1.0) if mass > 0.0 else 0.0  # the last film shrinks in area
        flux = wet * boiling_speed * (water_saturation_pressure(T) - max(vapour, 0.0)) / math.sqrt(T)
        drawn = _drawn(spec, viscous, molecular, p)
        share = max(vapour, 0.0) / p
        into = spec.leak * max(1.0 - p / STANDARD_ATMOSPHERE, 0.0) + spec.oil_outgassing * math.exp(-time / 1200.0)
        warmed = spec.warmth * wet * (spec.metal_temperature - T)
        return [
            (into - drawn * (1.0 - share)) / spec.volume,
            (flux * per_kg - drawn * share) / spec.volume,
            -flux,
            warmed - flux * WATER["boiling"],
            drawn * share / per_kg,
            warmed,
        ]

    start_heat = spec.water * WATER["liquid"] * (spec.metal_temperature - MELTING)
    y0 = [STANDARD_ATMOSPHERE, 0.0, spec.water, start_heat, 0.0, 0.0]
    times = np.concatenate([[0.0], np.geomspace(0.2, spec.duration, points - 1)])
    least = [1e-3, 1e-3, 1e-10, 1e-4, 1e-10, 1e-4]
    run = solve_ivp(rates, (0.0, spec.duration), y0, method="LSODA", t_eval=times, rtol=1e-6, atol=least)
    if not run.success:
        raise NoSolutionError.about("evacuation", "could not be followed", "", run.message)
    return _read(spec, run, lump, per_kg)


def _read(spec, run, lump, per_kg):
    m0, (air, vapour, mass, heat, drawn, warmed) = spec.water, run.y
    states = [lump(m, h) for m, h in zip(mass, heat, strict=True)]
    held = vapour * spec.volume / per_kg
    water_closure = abs(m0 - mass[-1] - held[-1] - drawn[-1]) / m0 if m0 else 0.0
    boiled = (m0 - mass[-1]) * WATER["boiling"]
    energy_closure = abs(heat[0] + warmed[-1] - boiled - heat[-1]) / boiled if m0 and boiled else 0.0
    closed(limit=1e-3, evacuation_water=water_closure, evacuation_heat=energy_closure)
    gone = np.nonzero(mass <= 0.002 * m0)[0] if m0 else [0]
    froze = any(ice > 1e-3 and m > 0.01 * m0 for (_, ice), m in zip(states, mass, strict=True))
    notes = []
    if froze:
        notes.append(FROZE)
    if spec.hose.core_in:
        notes.append("With the valve core in place most of the pump's speed is lost: take it out with a core tool.")
    pressure = air + vapour
    return EvacuationResult(
        spec=spec, time=tuple(run.t), pressure=tuple(pressure), water_pressure=tuple(vapour),
        water_left=tuple(np.maximum(mass, 0.0)), water_temperature=tuple(T for T, _ in states),
        ice_share=tuple(ice for _, ice in states), dry_after=float(run.t[gone[0]]) if len(gone) else None, froze=froze,
        speed_at_end=drawn_speed(spec, pressure[-1]), water_closure=water_closure, energy_closure=float(energy_closure),
        notes=tuple(notes),
    )  # fmt: skip


def air_left(vacuum, broken_to, times):
    """Return what share of the first air is left after a vacuum was broken with dry nitrogen and drawn again.

    Parameters
    ----------
    vacuum, broken_to : float, [Pa]. Absolute pressure drawn each time, and after letting nitrogen in.
    times : int. Vacuums drawn, the first one included.

    Returns: float, [-]. Share of the air of one filling at `broken_to`.

    References: Dilution: each vacuum leaves the pressure ratio of what is mixed evenly.

    Examples
    --------
    >>> round(air_left(1000.0, 1e5, 2), 6)
    0.0001
    """
    with Checks() as checks:
        checks.within("vacuum", vacuum, 0.0, 2e5, kind="vacuum")
        checks.within("pressure up to which it is broken", broken_to, 1.0, 2e6, kind="pressure")
        checks.whole("times", times, 0, 100)
    return (vacuum / broken_to) ** times


@dataclass(frozen=True, kw_only=True)
class RiseVerdict:
    """What a rise test says, SI.

    verdict: "tight", "leak", "moisture", "leak and moisture", "cannot tell"; leak: throughput [Pa m³/s] and
    leak_uncertainty; levels_at: pressure at which moisture levels off [Pa], None where none; chance: of each verdict,
    by how well it fits, adding up to 1; straight, level: root mean square misfit of a straight line and of a curve that
    levels off [Pa]; time, fitted: the best curve [s], [Pa]; notes
    """

    verdict: str
    leak: float
    leak_uncertainty: float
    levels_at: float | None
    chance: dict
    straight: float
    level: float
    time: tuple
    fitted: tuple
    notes: tuple


def judge_vacuum_rise(times, pressures, *, volume=2.5e-3, gauge_accuracy=3.0):
    """Tell leak from moisture by the shape of a rise test, with uncertainty.

    Parameters
    ----------
    times : sequence of float, [s]. After the pump was shut off, at least six, rising.
    pressures : sequence of float, [Pa]. Absolute, at these times.
    volume : float, [m³]. Of the circuit.
    gauge_accuracy : float, [Pa]. Scatter of one reading, one standard deviation.

    Returns: RiseVerdict. Verdict with the chance of each, leak [Pa m³/s], level [Pa]. Raises ReadingsError if there are
        too few readings, times do not rise, or a pressure is no vacuum.

    Notes: A leak from outside brings gas at a steady rate: a straight line, as long as the pressure is far below that
        outside. Moisture boils until its vapour pressure, at 20 °C, is reached: the curve levels off. Four curves
        (flat, straight, levelling, both) are fitted by least squares and weighed by the Bayesian information criterion.
        Of 1,000 synthetic logs of half an hour (a reading each 30 s, 3 Pa of scatter, a quarter each tight, leak,
        moisture, both) at most 1 % get a wrong name and at most 2 % "cannot tell": told by
        `tests/service/test_evacuation.py`.

    References: Pressure-rise method: Jousten, Handbook of Vacuum Technology, chapter 19; criterion: Schwarz, Ann. Stat.
        6 (1978).

    Examples
    --------
    >>> times = [60.0 * i for i in range(20)]
    >>> judge_vacuum_rise(times, [60.0 + 0.05 * t for t in times]).verdict
    'leak'
    """
    t, p = _checked(times, pressures, gauge_accuracy, volume)
    span, room = t[-1] - t[0], float(water_saturation_pressure(293.15))
    x, sigma = t - t[0], max(gauge_accuracy, 1e-3)

    def both(x, start, rate, rise, tau):
        return start + rate * x + rise * (1.0 - np.exp(-x / tau))

    first, last = float(p[0]), float(p[-1])
    up = max(last - first, sigma)
    fits = {
        "tight": _fit(lambda x, a: a + 0.0 * x, x, p, sigma, [first], ([0.0], [2e5])),
        "leak": _fit(lambda x, a, r: a + r * x, x, p, sigma, [first, up / span], ([0.0, 0.0], [2e5, 1e4])),
        "moisture": _fit(lambda x, a, b, tau: both(x, a, 0.0, b, tau), x, p, sigma, [first, up, span / 4.0],
                         ([0.0, 0.0, span / 60.0], [2e5, 1.3 * room, 0.7 * span])),
        "leak and moisture": _fit(both, x, p, sigma, [first, 0.3 * up / span, 0.7 * up, span / 5.0],
                                  ([0.0, 0.0, 0.0, span / 60.0], [2e5, 1e4, 1.3 * room, 0.5 * span])),
    }  # fmt: skip
    shares = softmax([-0.5 * score for _, _, score, _ in fits.values()])
    chance = dict(zip(fits, shares.tolist(), strict=True))
    name = max(chance, key=chance.get)
    values, errors, _, curve = fits[name]
    rate, spread = (values[1], errors[1]) if name in ("leak", "leak and moisture") else (0.0, sigma / span)
    leak, leak_spread = float(rate * volume), float(spread * volume)
    notes = []
    verdict = name if chance[name] >= 0.8 else "cannot tell"
    straight, its_error = float(fits["leak"][0][1] * volume), float(fits["leak"][1][1] * volume)
    if straight + 2.0 * its_error < MATTERS and chance["tight"] + chance["leak"] >= 0.8:
        if verdict == "leak":
            notes.append("The line rises, but less than a leak that matters would make it.")
        verdict = "tight"
    beside, beside_error = (float(fits["leak and moisture"][i][1] * volume) for i in (0, 1))
    if name == "moisture" and beside < 2.0 * beside_error and chance["moisture"] + chance["leak and moisture"] >= 0.8:
        verdict = "moisture"
        if 2.0 * beside_error > MATTERS:
            notes.append("A leak that matters could still hide beside the moisture: dry it, then test again.")
    if verdict == "cannot tell":
        notes.append("Wait longer, read more often, or use a finer gauge: the curves cannot be told apart yet.")
    if verdict == "tight" and leak_spread > MATTERS:
        notes.append("So short a test on this gauge would not see a leak that matters.")
    level = float(values[0] + values[-2]) if name in ("moisture", "leak and moisture") else None
    if verdict in ("moisture", "leak and moisture"):
        notes.append("Moisture: warm the circuit and go on, or break the vacuum with dry nitrogen and draw again.")
    return RiseVerdict(
        verdict=verdict, leak=leak, leak_uncertainty=leak_spread, levels_at=level, chance=chance,
        straight=_misfit(fits["leak"], p), level=_misfit(fits["moisture"], p), time=tuple(t), fitted=tuple(curve),
        notes=tuple(notes),
    )  # fmt: skip


def _fit(curve, x, p, sigma, guess, bounds):
    """Return best values, their spread, the criterion to compare by, and the curve."""
    guess = [min(max(g, low + 1e-9), high - 1e-9) for g, low, high in zip(guess, *bounds, strict=True)]
    try:
        known = {"sigma": np.full(len(p), sigma), "absolute_sigma": True, "max_nfev": 4000}
        values, covariance = curve_fit(curve, x, p, guess, bounds=bounds, **known)
    except RuntimeError:
        return guess, [math.inf] * len(guess), math.inf, p
    told = curve(x, *values)
    score = float(np.sum(((p - told) / sigma) ** 2)) + len(values) * math.log(len(p))
    return values, np.sqrt(np.diag(covariance)), score, told


def _misfit(fit, p):
    return float(np.sqrt(np.mean((p - fit[3]) ** 2)))


def _checked(times, pressures, accuracy, volume):
    problems = Checks()
    try:
        t, p = np.asarray(times, dtype=float), np.asarray(pressures, dtype=float)
    except (TypeError, ValueError):
        raise ReadingsError.about("readings of the rise test", "are not numbers") from None
    if t.ndim != 1 or t.shape != p.shape or len(t) < 6:
        advice = "give at least six of each"
        raise ReadingsError.about("rise test", f"has {t.size} times and {p.size} pressures", "", advice)
    problems.within("scatter of the gauge", accuracy, 0.0, 1e4, kind="vacuum")
    problems.within("volume of the circuit", volume, 0.0, 10.0, kind="volume", exclusive=True)
    if not (np.all(np.isfinite(t)) and np.all(np.diff(t) > 0.0)):
        problems.add("times of the rise test", "do not rise", "", "sort the log, and look for a line written twice")
    if not np.all(np.isfinite(p)):
        problems.add("pressures of the rise test", "are not all numbers")
    elif p.min() < 0.0 or p.max() > 6e4:
        worst = Amount(float(p.max() if p.max() > 6e4 else p.min()), "pressure")
        advice = "absolute, in Pa: was it a gauge reading, or in another unit?"
        problems.add("a pressure of the rise test", worst, "is no vacuum", advice)
    problems.raise_if_any(ReadingsError)
    return t, p
