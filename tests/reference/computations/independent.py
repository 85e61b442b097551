"""Results of the lessons' tables computed a second time, by own code from the cited source: nothing of the package.

Equations of state by CoolProp's plain functions; the rest is written out. `RESULTS` holds, for each table, a function
(row, column) → number in the unit the table prints, or None where the table says so in words.
"""

import math
import re
import tomllib
from pathlib import Path

from CoolProp.CoolProp import QT_INPUTS, AbstractState, PropsSI
from scipy.optimize import brentq, least_squares

FLUIDS = {"R-134a": "R134a", "R-1234yf": "R1234yf", "R-744": "CO2", "R-152a": "R152A", "R-290": "n-Propane"}
ZERO = 273.15
AIR = 101325.0
ROOT = Path(__file__).parents[3]
MICRON = 101325.0 / 760e3


def compressed(fluid, low, high, enthalpy, efficiency):
    """Return enthalpy [J/kg] and temperature [K] behind a compressor; low, high [Pa]."""
    entropy = PropsSI("S", "P", low, "H", enthalpy, fluid)
    outlet = enthalpy + (PropsSI("H", "P", high, "S", entropy, fluid) - enthalpy) / efficiency
    return outlet, PropsSI("T", "P", high, "H", outlet, fluid)


def litre_of_liquid(row, column):
    """Saturated liquid at 40 °C."""
    density, water = (PropsSI("D", "T", ZERO + 40.0, "Q", 0, FLUIDS[name]) for name in (row, "R-134a"))
    return 100 * density / water if column == "compared with R-134a" else density


def largest_effectiveness(row, column):
    """Effectiveness (Kays & London: heat by the most that either side could take) at which the hot gas has 110 °C."""
    fluid, boiling = FLUIDS[row.split(",")[0]], ZERO + 2.0
    if row.startswith("R-744"):
        if "60" in column:
            return None
        high, warm = 100e5, ZERO + 42.0
    else:
        condensing = ZERO + float(re.search(r"\d+", column)[0])
        high, warm = PropsSI("P", "T", condensing, "Q", 0, fluid), condensing - 5.0
    low = PropsSI("P", "T", boiling, "Q", 1, fluid)
    vapour = PropsSI("H", "P", low, "T", boiling + 5.0, fluid)
    given = PropsSI("H", "P", high, "T", warm, fluid) - PropsSI("H", "P", high, "T", boiling + 5.0, fluid)
    taken = PropsSI("H", "P", low, "T", warm, fluid) - vapour

    def too_hot(share):
        return compressed(fluid, low, high, vapour + share * min(given, taken), 0.65)[1] - (ZERO + 110.0)

    return None if too_hot(1.0) <= 0.0 else brentq(too_hot, 0.0, 1.0)


def insulation(row, column):
    """Two resistances beside each other (Ohm's law) on 400 V; ohm for each volt as UN Regulation No. 100, 5.1.3."""
    alone = {"before": 5e6, "after one day": 2e6, "after one week": 0.9e6, "after a month": 0.15e6}[row]
    both = 1.0 / (1.0 / alone + 1.0 / 2e6)
    told = {"compressor alone": alone, "whole system": both, "for each volt": both / 400.0, "could leak": 400e3 / both}
    return told[column]


def full_cylinder(row, column):
    """A rigid wall, 13 kg in 12 litres: saturated liquid of that density, then the equation of state beyond it."""
    density = 13.0 / 0.012
    if row.startswith("full"):
        return brentq(lambda T: PropsSI("D", "T", T, "Q", 0, "R134a") - density, 290.0, 370.0) - ZERO

    def gauge(warm):
        return (PropsSI("P", "T", ZERO + warm, "D", density, "R134a") - AIR) / 1e5

    if row.startswith("rise"):
        return (gauge(62.0) - gauge(56.0)) / 6.0 * 100.0
    return gauge(float(re.search(r"[\d.]+", row)[0]))


def added_pressure(row, column):
    """Bubble pressures of two mixtures at 21 °C (Bell 2022, as the library carries it) less that of pure R-134a."""
    pure, T = PropsSI("P", "T", ZERO + 21.0, "Q", 0, "R134a"), ZERO + 21.0
    if row.startswith("found"):
        return 81.5

    def bubble(second, share):
        state = AbstractState("HEOS", f"R134a&{second}")
        state.set_mass_fractions([1.0 - share, share])
        state.update(QT_INPUTS, 0.0, T)
        return state.p()

    if row.startswith("propane"):
        return (bubble("n-Propane", 0.05) - pure) / 1e3
    return (max(bubble("R1234yf", share / 40) for share in range(1, 40)) - pure) / 1e3


def gram_a_year(row, column):
    """Ideal-gas law at 20 °C; molar masses from the periodic table [g/mol]."""
    molar = {"R-134a": 102.03, "R-1234yf": 114.04, "R-744": 44.01, "nitrogen": 28.014, "helium": 4.0026}[row]
    return 1.0 / (365.25 * 86400.0) / molar * 8.314463 * (ZERO + 20.0) * 10.0


def warming_nitrogen(row, column):
    """Nitrogen of one density, from 16 bar and 14 °C up to 21 °C (Span et al. 2000)."""
    if row.startswith("shop"):
        return 21.0
    density = PropsSI("D", "P", 16e5, "T", ZERO + 14.0, "Nitrogen")
    return (PropsSI("P", "D", density, "T", ZERO + 21.0, "Nitrogen") - 16e5) / 1e3


def missing_pressure(row, column):
    """First and last tenth of the logger's file, its two useless lines left out, by the gas laws named in the rows."""
    good = []
    for line in (ROOT / "lessons/data/bus_03_nitrogen.csv").read_text().splitlines()[3:]:
        hour, pressure, warm = (cell.strip().replace(",", ".") for cell in line.split(";"))
        if pressure and hour != "18.0":
            good.append((float(pressure) * 6894.757, float(warm)))
    some = len(good) // 10
    (p1, t1), (p2, t2) = (
        (sum(p for p, _ in part) / some, sum(t for _, t in part) / some) for part in (good[:some], good[-some:])
    )
    density = PropsSI("D", "P", p1 + AIR, "T", t1 + ZERO, "Nitrogen")
    return {
        "none: done right": PropsSI("P", "D", density, "T", t2 + ZERO, "Nitrogen") - AIR - p2,
        "temperature forgotten": p1 - p2,
        "gauge taken for absolute": p1 * (t2 + ZERO) / (t1 + ZERO) - p2,
        "temperatures in °C": p1 * t2 / t1 - p2,
    }[row] / 1e3


def water_boils(pressure):
    """Boiling by the equation of state of water, ice by IAPWS R14-08, equation (6) [°C]."""
    if pressure > 611.657:
        return PropsSI("T", "P", pressure, "Q", 0, "Water") - ZERO
    a, b = (-21.2144006, 27.3203819, -6.10598130), (0.00333333333, 1.20666667, 1.70333333)

    def above(T):
        t = T / 273.16
        return sum(x * t**y for x, y in zip(a, b, strict=True)) / t - math.log(pressure / 611.657)

    return brentq(above, 190.0, 273.16) - ZERO


def boiling_water(row, column):
    return water_boils({"2,339": 2339.0, "1,228": 1228.0, "667": 666.6, "67": 66.66, "13": 13.33}[row.split()[0]])


GAUGE = {
    0: 640, 1: 1480, 2: 2110, 3: 2650, 4: 3010, 5: 3330, 6: 3540, 8: 3890, 10: 4080, 12: 4200, 15: 4290, 18: 4330,
    21: 4350, 25: 4340, 30: 4345,
}  # fmt: skip


def rising_gauge(row, column):
    """A micron is a thousandth of a millimetre of mercury."""
    return GAUGE[int(float(row.split()[0]))] * MICRON


def shape_of_rise(row, column):
    """Least squares; the criterion of Schwarz adds ln n for the leak's slope, which the fit leaves at zero."""
    times, read = list(GAUGE), [p * MICRON for p in GAUGE.values()]

    def fitted(curve, start):
        return least_squares(lambda x: [curve(t, *x) - p for t, p in zip(times, read, strict=True)], start)

    straight = fitted(lambda t, a, b: a + b * t, (100.0, 10.0))
    level = fitted(lambda t, a, b, c: a + b * (1.0 - math.exp(-t / c)), (100.0, 500.0, 5.0))
    missed = [math.sqrt(2.0 * fit.cost / len(times)) for fit in (straight, level)]
    chance = 100.0 / (1.0 + 1.0 / math.sqrt(len(times)))
    top = level.x[0] + level.x[1]
    return {
        "a straight line misses the readings by": missed[0],
        "a curve that levels off misses them by": missed[1],
        "levels off at": top,
        "water of this vapour pressure is at": water_boils(top),
        "chance of this verdict": chance,
        "chance of a leak beside the moisture": 100.0 - chance,
    }[row]


def loose_rule(row, column):
    """Pressure-rise method: volume × rise ÷ time; air by the US Standard Atmosphere 1976."""
    inch = 3386.389
    leak = 2.0 * inch / 300.0 * 2.5e-3
    return {
        "leak that passes": leak,
        "times the leak that our rise test asks about": leak / 2e-5,
        "deepest dial reading at sea level": AIR / inch,
        "deepest dial reading at 1,524 m (5,000 ft)": AIR * (1.0 - 0.0065 * 1524.0 / 288.15) ** 5.25588 / inch,
    }[row]


def added_up(row, column):
    """The depot's price list, its middle column, by hand: a burnt compressor of an electric bus with a chiller."""
    prices = tomllib.loads((ROOT / "thermo_kit/fleet/prices/depot.toml").read_text())
    parts = ("electric_compressor", "condenser", "receiver", "expansion_valve", "chiller", "seals")
    work = ("recover_and_charge", "leak_test", "disposal", "high_voltage_shut_down", "scan_and_adapt")
    lines = [prices["part"][one] for one in parts] + [prices["work"][one] for one in ("flush", "flush", *work)]
    cost, hours = (sum(line[what][1] for line in lines) for what in ("cost", "hours"))
    rate, tax = prices["hourly_rate"][1], prices["tax"]
    return {
        "parts and material, likely": cost,
        "hours, likely": hours,
        "rate of an hour, likely": rate,
        "tax": 100.0 * tax,
        "sum": (cost + rate * hours) * (1.0 + tax),
    }[row]


RESULTS = {
    ("03_refrigerants_compared", "One litre of liquid at 40 °C"): litre_of_liquid,
    ("06_internal_heat_exchanger", "Largest effectiveness that keeps the hot gas at or below 110 °C (230 °F)"):
        largest_effectiveness,
    ("09_electric_compressor", "Van P21 with wrong oil (invented readings by a named person); "
     "all other parts have 2 MΩ; 400 V"): insulation,
    ("12_refrigerant_purity", "13 kg of R-134a in 12 litres"): full_cylinder,
    ("12_refrigerant_purity", "What can add so much pressure?"): added_pressure,
    ("13_find_the_leak", "One gram a year is …"): gram_a_year,
    ("13_find_the_leak", "The same test on a tight circuit"): warming_nitrogen,
    ("13_find_the_leak", "The slip and the pressure that is missing by it"): missing_pressure,
    ("14_recover_evacuate_charge", "At this absolute pressure water boils, or ice turns to vapour, at"): boiling_water,
    ("14_recover_evacuate_charge", "The gauge of van P07 after the pump was shut off"): rising_gauge,
    ("14_recover_evacuate_charge", "What the rise of P07 says"): shape_of_rise,
    ("14_recover_evacuate_charge", "2 inHg (6,773 Pa) in 5 minutes"): loose_rule,
    ("16_repair_scope_and_estimate", "The colleague's sum, US dollars"): added_up,
}  # fmt: skip
SCALES = {"kΩ": 1e3, "MΩ": 1e6}


def printed(cell):
    """Return a cell's number without its unit's prefix, and half its last digit; None where it has none."""
    found = re.match(r"([−-]?[\d,]+(?:\.(\d+))?)(e[−-]?\d+)? ?(\S*)", cell)
    if not found:
        return None
    scale = SCALES.get(found[4], 1.0) * float(f"1{found[3] or ''}")
    return float(found[1].replace(",", "").replace("−", "-")) * scale, 0.5 * 10.0 ** -len(found[2] or "") * scale


def computed(tables):
    """Return (lesson, caption, row, column, printed cell, own number) of every number in tables.

    tables: {(lesson, caption): (heads, rows)} as the lessons print them.
    """
    return [
        (*key, row, column, cell, compute(row, column))
        for key, compute in RESULTS.items()
        for row, *cells in tables[key][1]
        for column, cell in zip(tables[key][0][1:], cells, strict=True)
        if printed(cell)
    ]
