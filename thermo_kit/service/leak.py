"""How much a hole loses, which method finds it, what a pressure test can say, and when the customer notices."""

import functools
import math
import tomllib
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from thermo_kit.errors import InputError, UnknownNameError
from thermo_kit.laws.constants import GAS_CONSTANT
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant, canonical_name
from thermo_kit.substances.blend import gas_density, gas_pressure, gas_viscosity, molar_mass
from thermo_kit.units import STANDARD_ATMOSPHERE, Amount, Checks, Said, Spec, one_of, quantity, within_ranges

YEAR = 365.25 * 86400.0
ROOM_TEMPERATURE = 293.15
TEST_GAS = "nitrogen"
PLATEAUS = Path(__file__).with_name("charge_plateaus.toml")


def throughput(mass_flow, gas, temperature=ROOM_TEMPERATURE):
    """Return the gas throughput of a leak, the unit of vacuum and leak technology.

    Parameters
    ----------
    mass_flow : float, [kg/s]. Of the leak.
    gas : str. A refrigerant or a gas of the workshop.
    temperature : float, [K]. At which the volume is told; sources differ by 9 % because some take 0 °C and some 25 °C.

    Returns: float, [Pa m³/s]. Pressure times volume by time; 1 Pa m³/s is 10 mbar L/s.

    References: Ideal-gas law.

    Examples
    --------
    >>> f"{throughput(1e-3 / YEAR, 'R-1234yf'):.3e}"
    '6.773e-07'
    """
    _checked_temperature(temperature)
    within_ranges(("mass flow of the leak", mass_flow, 0.0, 10.0, "mass_flow"))
    return mass_flow * GAS_CONSTANT * temperature / molar_mass(gas)


def mass_flow_of(rate, gas, temperature=ROOM_TEMPERATURE):
    """Return the mass flow of a leak of a given throughput; the inverse of `throughput`.

    Parameters
    ----------
    rate : float, [Pa m³/s]. Throughput.
    gas : str. A refrigerant or a gas of the workshop.
    temperature : float, [K]. At which the volume is told.

    Returns: float, [kg/s]. Mass flow.

    References: Ideal-gas law.

    Examples
    --------
    >>> round(mass_flow_of(6.773e-7, "R-1234yf") * YEAR * 1e3, 3)
    1.0
    """
    _checked_temperature(temperature)
    within_ranges(("throughput of the leak", rate, 0.0, 1e6, "throughput"))
    return rate * molar_mass(gas) / (GAS_CONSTANT * temperature)


class PassageSpec(Spec):
    """A small way out: a fine tube, as a scratch across a seal or a pore in a weld is taken to be."""

    diameter: float = quantity("fine_length", 1e-7, 1e-3, "bore of the leak", advice="10 µm is 10e-6 m")
    length: float = quantity("length", 1e-5, 0.1, "length of the leak", 5e-3)


def passage_flow(spec, gas, *, inside, outside=STANDARD_ATMOSPHERE, temperature=ROOM_TEMPERATURE, liquid=False):
    """Return what a fine passage lets out.

    Parameters
    ----------
    spec : PassageSpec. Bore [m] and length [m].
    gas : str. A refrigerant or a gas of the workshop.
    inside, outside : float, [Pa]. Absolute pressures, the first above the second.
    temperature : float, [K]. Of gas and wall.
    liquid : bool. The refrigerant stands in front of the leak as liquid.

    Returns: float, [kg/s]. Mass flow. Raises InputError if the pressures are the wrong way round, or liquid is asked of
        a gas.

    Notes: Gas: viscous and molecular flow added, held below the choked flow of an open hole of that bore. Liquid:
        laminar, held below the free jet of Bernoulli, without boiling inside; real leaks of liquid lose somewhat less.

    References: Poiseuille's law for an ideal gas and Knudsen's formula for a long tube, Jousten, Handbook of Vacuum
        Technology, chapter 4; choked flow: isentropic nozzle, Fox & McDonald, Introduction to Fluid Mechanics, chapter
        13.

    Examples
    --------
    >>> tube = PassageSpec(diameter=10e-6, length=5e-3)
    >>> round(passage_flow(tube, "R-134a", inside=5.717e5) * YEAR * 1e3, -1)
    890.0
    """
    _checked_temperature(temperature)
    within_ranges(
        ("pressure inside", inside, 0.0, 3e7, "pressure"), ("pressure outside", outside, 0.0, 3e7, "pressure")
    )
    if not inside > outside > 0.0:
        where = Said("{} is not above the outside {}", Amount(inside, "pressure"), Amount(outside, "pressure"))
        raise InputError.about("pressure inside", where, "", "a leak runs from high to low pressure")
    if liquid:
        fluid = Refrigerant(gas)
        point, film = fluid.at(p=inside, T=temperature), fluid.transport(p=inside, T=temperature)
        if point.phase != "liquid":
            raise InputError.about(f"{fluid.name} in front of the leak", "is not liquid at these conditions")
        laminar = spec.diameter**2 * (inside - outside) / (32.0 * film.viscosity * spec.length)
        speed = min(laminar, math.sqrt(2.0 * (inside - outside) / point.rho))
        return 0.25 * math.pi * spec.diameter**2 * speed * point.rho
    M, eta = molar_mass(gas), gas_viscosity(gas, temperature)
    mean = 0.5 * (inside + outside)
    viscous = math.pi * spec.diameter**4 / (128.0 * eta * spec.length) * mean
    molecular = math.pi * thermal_speed(gas, temperature) * spec.diameter**3 / (12.0 * spec.length)
    flow = (viscous + molecular) * (inside - outside) * M / (GAS_CONSTANT * temperature)
    return min(flow, hole_flow(0.25 * math.pi * spec.diameter**2, gas, inside=inside, temperature=temperature))


def passage_curve(gas, *, bores, length, inside, temperature=ROOM_TEMPERATURE, liquid=False):
    """Return what passages of several bores let out.

    Parameters
    ----------
    gas : str. A refrigerant or a gas of the workshop.
    bores : tuple of float, [m]. Bores.
    length : float, [m]. Length of each.
    inside : float, [Pa]. Absolute pressure.
    temperature : float, [K]. Of gas and wall.
    liquid : bool. The refrigerant stands in front of the leak as liquid.

    Returns: tuple of float, [kg/s]. Mass flow of each bore.

    References: As `passage_flow`.

    Examples
    --------
    >>> tight, wide = passage_curve("R-134a", bores=(5e-6, 10e-6), length=5e-3, inside=5.7e5)
    >>> 14.0 < wide / tight < 16.0
    True
    """
    how = {"inside": inside, "temperature": temperature, "liquid": liquid}
    return tuple(passage_flow(PassageSpec(diameter=bore, length=length), gas, **how) for bore in bores)


def thermal_speed(gas, temperature):
    """Return the mean speed of the molecules of a gas.

    Parameters
    ----------
    gas : str. A refrigerant or a gas of the workshop.
    temperature : float, [K]. Of the gas.

    Returns: float, [m/s]. Mean speed.

    References: Kinetic theory of gases.

    Examples
    --------
    >>> round(thermal_speed("air", 293.15))
    463
    """
    return math.sqrt(8.0 * GAS_CONSTANT * temperature / (math.pi * molar_mass(gas)))


def _checked_temperature(temperature):
    within_ranges(("temperature at the leak", temperature, 223.15, 600.0, "temperature"))


def hole_flow(area, gas, *, inside, temperature=ROOM_TEMPERATURE):
    """Return the choked flow of gas out of an open hole.

    Parameters
    ----------
    area : float, [m²]. Of the hole.
    gas : str. A refrigerant or a gas of the workshop.
    inside : float, [Pa]. Absolute pressure, more than about twice the pressure outside.
    temperature : float, [K]. Inside.

    Returns: float, [kg/s]. Mass flow, with a discharge coefficient of 1: an upper bound.

    Notes: Ratio of specific heats 1.4 for gases of two atoms, 1.1 for refrigerants.

    References: Isentropic nozzle flow of an ideal gas: Fox & McDonald, Introduction to Fluid Mechanics, chapter 13.

    Examples
    --------
    >>> round(hole_flow(7.854e-9, "nitrogen", inside=1e6) * 3.6e6, 1)
    65.6
    """
    _checked_temperature(temperature)
    within_ranges(("area of the hole", area, 0.0, 1.0, "area"), ("pressure inside", inside, 0.0, 3e7, "pressure"))
    k = 1.4 if gas in ("nitrogen", "air", "hydrogen") else 1.1
    factor = math.sqrt(k * (2.0 / (k + 1.0)) ** ((k + 1.0) / (k - 1.0)))
    specific = GAS_CONSTANT / molar_mass(gas)
    return area * inside * factor / math.sqrt(specific * temperature)


@dataclass(frozen=True)
class Method:
    """A way to find a leak.

    least: smallest it can find [Pa m³/s]; minutes: it takes [min]; locates: whether it shows the place;
    source: where the sensitivity is published; fails: where it fails
    """

    name: str
    least: float
    minutes: float
    locates: bool
    source: str
    fails: str


def methods():
    """Return the ways to find a leak, the most sensitive first.

    Returns: tuple of Method. Least leak [Pa m³/s], minutes, source, and where each fails.

    Notes: Minutes are common practice, no source.

    References: Detector classes: SAE J2791 (2019), 3.2: scales of 4, 7 and 14 g a year. Hydrogen in nitrogen and foam
        in production: Block, ECNDT 2006, Tu.2.6.1. Pressure decay: published one-page conversion tables of leak testing
        (0.01 atm cm³/s).

    Examples
    --------
    >>> [m.name for m in methods()][0]
    'trace gas'
    """
    gram = throughput(1e-3 / YEAR, "R-134a")
    return (
        Method("trace gas", 5e-8, 30.0, True, "Block, ECNDT 2006, Tu.2.6.1: 5 % hydrogen, 5e-7 mbar L/s",
               "needs an empty circuit, and minutes for the gas to come through"),
        Method("electronic detector", 4.0 * gram, 15.0, True, "SAE J2791 (2019), 3.2: 4 g a year at the finest scale",
               "wind, a full engine bay of old gas, oil and cleaner on the tip"),
        Method("dye and lamp", 7.0 * gram, 20.0, True, "common practice, no source",
               "needs weeks of running; old dye tells of old leaks; only where oil comes along"),
        Method("foam", 1e-4, 10.0, True, "Block, ECNDT 2006, Tu.2.6.1: 1e-3 mbar L/s in production",
               "only where one can see; wind and dirt; small leaks make a bubble in minutes"),
        Method("ultrasound", 1e-3, 10.0, True, "common practice, no source", "only fast jets; a noisy workshop"),
        Method("pressure test", 1e-3, 60.0, False, "published conversion tables of leak testing: 0.01 atm cm³/s",
               "warming and cooling look like a leak or hide one"),
    )  # fmt: skip


class PressureTest(Spec):
    """Nitrogen shut in: two readings of gauge and thermometer, and how long lay between them."""

    volume: float = quantity("volume", 1e-4, 0.2, "volume of the circuit", 2.5e-3)
    start_pressure: float = quantity("pressure", 1.5e5, 2e7, "pressure at the start")
    end_pressure: float = quantity("pressure", 1e5, 2e7, "pressure at the end")
    start_temperature: float = quantity("temperature", 253.15, 333.15, "temperature at the start")
    end_temperature: float = quantity("temperature", 253.15, 333.15, "temperature at the end")
    duration: float = quantity("duration", 60.0, 1e6, "time between the readings")
    pressure_accuracy: float = quantity("pressure_difference", 10.0, 5e5, "accuracy of the gauge", 1e4)
    temperature_accuracy: float = quantity("temperature_difference", 0.05, 10.0, "accuracy of the thermometer", 0.5)
    gas: str = one_of(("nitrogen",), "test gas", TEST_GAS)

    def fit(self, checks):
        if self.end_pressure > 1.5 * self.start_pressure:
            advice = "was the cylinder left open, or were the two swapped?"
            checks.add("pressure at the end", Amount(self.end_pressure, "pressure"), "is far above the start", advice)


@dataclass(frozen=True, kw_only=True)
class PressureVerdict:
    """What a pressure test says, SI.

    test: what was asked; expected_pressure: what the gauge would show without a leak [Pa]; lost_pressure: expected less
    read [Pa]; uncertainty: of that, from gauge and thermometer [Pa]; leak: throughput at test pressure [Pa m³/s], never
    negative; least_leak: smallest this test can tell [Pa m³/s]; verdict: "leaks", "no leak found", "cannot tell";
    naive_loss: start less end, without the temperature [Pa]; notes
    """

    test: PressureTest
    expected_pressure: float
    lost_pressure: float
    uncertainty: float
    leak: float
    least_leak: float
    verdict: str
    naive_loss: float
    notes: tuple


def judge_pressure_test(test, *, wanted=None):
    """Judge a nitrogen test, with the temperature taken out and the instruments' uncertainty left in.

    Parameters
    ----------
    test : PressureTest. Pressures [Pa] absolute, temperatures [K], time [s], volume [m³], accuracies.
    wanted : float, optional. The leak that must be found [Pa m³/s]; by default what 5 g of R-134a a year are.

    Returns: PressureVerdict. Lost pressure [Pa], leak [Pa m³/s], least detectable leak [Pa m³/s], verdict.

    Notes: Real nitrogen: at 30 bar an ideal gas would be wrong by a few tenths of a per cent, as much as a good gauge.

    References: Nitrogen: Span et al., J. Phys. Chem. Ref. Data 29 (2000), through `gas_density`; uncertainty by error
        propagation.

    Examples
    --------
    >>> warm_shop = PressureTest(start_pressure=1.6e6, end_pressure=1.6e6, start_temperature=288.15,
    ...                          end_temperature=295.15, duration=3600.0)
    >>> judge_pressure_test(warm_shop).verdict
    'leaks'
    """
    density = gas_density(test.gas, p=test.start_pressure, T=test.start_temperature)
    expected = gas_pressure(test.gas, density=density, T=test.end_temperature)
    lost = expected - test.end_pressure
    slope = expected / test.end_temperature
    # Both readings of either instrument count, hence the factor of two under the root.
    uncertainty = math.sqrt(2.0 * test.pressure_accuracy**2 + 2.0 * (slope * test.temperature_accuracy) ** 2)
    per_pascal = test.volume / test.duration
    leak, least = max(lost, 0.0) * per_pascal, uncertainty * per_pascal
    if wanted is None:
        wanted = throughput(5e-3 / YEAR, "R-134a")
    notes = []
    if lost > uncertainty:
        verdict = "leaks"
    elif lost < -uncertainty:
        verdict = "cannot tell"
        notes.append("More pressure than gas: one of the readings is wrong, or gas came in. Measure again.")
    elif least > wanted:
        verdict = "cannot tell"
        need = Amount(math.ceil(uncertainty * test.volume / wanted / 3600.0) * 3600.0, "hours", 0)
        notes.append(Said("Nothing seen, but so small a leak would take {} to show on these instruments.", need))
    else:
        verdict = "no leak found"
    naive = test.start_pressure - test.end_pressure
    if verdict == "leaks" and naive <= test.pressure_accuracy:
        notes.append("The gauge stood still only because the shop warmed up: without the leak it would have risen.")
    if verdict != "leaks" and naive > uncertainty:
        notes.append("The gauge fell because it got colder, not because of a leak.")
    return PressureVerdict(
        test=test, expected_pressure=expected, lost_pressure=lost, uncertainty=uncertainty, leak=leak, least_leak=least,
        verdict=verdict, naive_loss=naive, notes=tuple(notes),
    )  # fmt: skip


@functools.cache
def plateaus():
    """Return the kept charge plateaus of the depot's vehicles.

    Returns: dict. {name: (title, charges, cooling)}: charges as shares of the label [-], cooling as shares of that at
        the label [-].

    Notes: Invented vehicles, solved by `systems.vehicle.charge_curve` on a day of 38 °C; the file says when.

    Examples
    --------
    >>> plateaus()["shuttle_bus"][0]
    'shuttle bus'
    """
    table = tomllib.loads(PLATEAUS.read_text(encoding="utf-8"))
    return {name: (one["title"], table["charges"], one["cooling"]) for name, one in table["vehicle"].items()}


def plateau_share(vehicle, *, fade=0.05):
    """Return the share of the label's charge at which a vehicle's cooling has faded.

    Parameters
    ----------
    vehicle : str. Name of a vehicle of the depot.
    fade : float, [-]. Share of the cooling that is gone then; 5 % is where the plateau ends, our own choice.

    Returns: float, [-]. Share of the label's charge. Raises UnknownNameError if the vehicle is not kept,
        OutOfRangeError if fade is below 0.01 or more than what is kept, which reaches down to a fifth of the charge.

    References: Balance of charge in `systems.vehicle.solve_vehicle`; at little charge it loses less cooling than
        benches do.

    Examples
    --------
    >>> 0.6 < plateau_share("shuttle_bus") < 0.8
    True
    """
    checks = Checks()
    checks.one_of("vehicle", vehicle, plateaus())
    checks.raise_if_any(UnknownNameError)
    _, charges, cooling = plateaus()[vehicle]
    checks.within("cooling that is gone", fade, 0.01, 0.99 * (1.0 - cooling[0]), kind="ratio", advice="5 % is 0.05")
    checks.raise_if_any()
    last = max(i for i, share in enumerate(cooling) if share < 1.0 - fade)
    return float(np.interp(1.0 - fade, cooling[last : last + 2], charges[last : last + 2]))


class LossSpec(Spec):
    """A vehicle that loses refrigerant, and the charge at which its driver notices."""

    refrigerant: str = one_of(REFRIGERANT_NAMES, "refrigerant", known=canonical_name)
    charge: float = quantity("mass", 0.05, 20.0, "charge on the label")
    lost: float = quantity("mass", 0.0, 20.0, "refrigerant missing when it was recovered")
    since: float = quantity("long_time", 0.01 * YEAR, 30.0 * YEAR, "time since it was filled")
    weighing_accuracy: float = quantity("mass", 0.0, 0.2, "accuracy of the two weighings together", 0.03)
    noticed_share: float = quantity("percent", 0.1, 1.0, "share of the charge at which the cooling fades", 0.7)
    permeation: float = quantity("leak_rate", 0.0, 0.1 / YEAR, "loss of sound hoses and seals", 0.010 / YEAR)

    def fit(self, checks):
        if self.lost > self.charge:
            advice = "was it weighed with the hoses, or the wrong label read?"
            checks.add("refrigerant missing", Amount(self.lost, "mass"), "is more than the charge", advice)


@dataclass(frozen=True, kw_only=True)
class LossResult:
    """What a loss says, SI.

    rate: mean loss [kg/s]; rate_uncertainty [kg/s]; leak: rate beyond permeation [kg/s], 0 where none; throughput: of
    that [Pa m³/s]; noticed_after: from a full charge until the cooling fades [s]; verdict: "sound", "leaks",
    "cannot tell"; methods: those that can find it; notes
    """

    rate: float
    rate_uncertainty: float
    leak: float
    throughput: float
    noticed_after: float
    verdict: str
    methods: tuple
    notes: tuple


def rate_of_loss(spec):
    """Turn a loss between two weighings into a leak rate, and say what can find it.

    Parameters
    ----------
    spec : LossSpec. Charge [kg], loss [kg], time [s], accuracy [kg], permeation [kg/s].

    Returns: LossResult. Rates [kg/s], throughput [Pa m³/s], time until noticed [s], methods.

    Notes
    -----
    Balance of mass. Share at which the cooling fades: `plateau_share` of a vehicle of the depot; 0.7 where none is
    given is common practice, no source. Permeation of sound hoses: 8 to 11 g a year count as tight in 40 CFR
    86.1867-12.

    References: Fleet values to compare with: Schwarz & Harnisch (2003), 52 g a year over 300 cars.

    Examples
    --------
    >>> loss = rate_of_loss(LossSpec(refrigerant="R-134a", charge=0.6, lost=0.2, since=YEAR))
    >>> loss.verdict, round(loss.noticed_after / YEAR, 1)
    ('leaks', 0.9)
    """
    rate = spec.lost / spec.since
    uncertainty = spec.weighing_accuracy / spec.since
    leak = max(rate - spec.permeation, 0.0)
    if rate - uncertainty > spec.permeation:
        verdict = "leaks"
    elif rate + uncertainty <= 2.0 * spec.permeation:
        verdict = "sound"
    else:
        verdict = "cannot tell"
    size = throughput(leak, spec.refrigerant)
    able = tuple(method for method in methods() if method.least <= size)
    noticed = spec.charge * (1.0 - spec.noticed_share) / max(rate, 1e-15)
    notes = ["A mean over the time: a leak that opened last month looks small here."]
    if verdict == "leaks" and not able:
        notes.append("Too small for every method of the list: dye and patience, or a vacuum laboratory.")
    return LossResult(
        rate=rate, rate_uncertainty=uncertainty, leak=leak, throughput=size, noticed_after=min(noticed, 100.0 * YEAR),
        verdict=verdict, methods=able, notes=tuple(notes),
    )  # fmt: skip


def bubbles(rate, diameter=2e-3):
    """Return how long a leak takes for one bubble of foam or in water.

    Parameters
    ----------
    rate : float, [Pa m³/s]. Throughput.
    diameter : float, [m]. Of the bubble.

    Returns: float, [s]. Seconds a bubble. Raises OutOfRangeError if nothing leaks.

    References: Geometry: volume of a sphere at atmospheric pressure.

    Examples
    --------
    >>> round(10 * bubbles(3.32e-4), 1)
    12.8
    """
    with Checks() as checks:
        checks.within(
            "leak rate", rate, 0.0, 1e6, kind="ratio", exclusive=True, advice="without a leak no bubble comes"
        )
        checks.within("diameter of the bubble", diameter, 0.0, 0.1, kind="length", exclusive=True)
    return math.pi / 6.0 * diameter**3 * STANDARD_ATMOSPHERE / rate
