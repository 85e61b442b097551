"""Results of the lessons' tables computed a second time, by own code from the cited source: nothing of the package.

Equations of state by CoolProp's plain functions; the rest is written out. `RESULTS` holds, for each table, a function
(row, column) → number in the unit the table prints, or None where the table says so in words.
"""

import math
import random
import re

from CoolProp.CoolProp import PropsSI
from scipy.optimize import brentq, minimize_scalar

FLUIDS = {"R-134a": "R134a", "R-1234yf": "R1234yf", "R-744": "CO2", "R-152a": "R152A", "R-290": "n-Propane"}
ZERO = 273.15


def compressed(fluid, low, high, enthalpy, efficiency):
    """Return enthalpy [J/kg] and temperature [K] behind a compressor; low, high [Pa]."""
    entropy = PropsSI("S", "P", low, "H", enthalpy, fluid)
    outlet = enthalpy + (PropsSI("H", "P", high, "S", entropy, fluid) - enthalpy) / efficiency
    return outlet, PropsSI("T", "P", high, "H", outlet, fluid)


def one_stage(fluid, boiling, high, cooled_to, superheat, efficiency):
    """Vapour-compression cycle of any textbook (Moran & Shapiro, chapter 10), without pressure drops."""
    low = PropsSI("P", "T", boiling, "Q", 1, fluid)
    suction = PropsSI("H", "P", low, "T", boiling + superheat, fluid)
    hot, temperature = compressed(fluid, low, high, suction, efficiency)
    effect = suction - PropsSI("H", "P", high, "T", cooled_to, fluid)
    density = PropsSI("D", "P", low, "T", boiling + superheat, fluid)
    return {
        "low side": low / 1e5, "high side": high / 1e5, "hot gas": temperature - ZERO,
        "cooling per kilogram": effect / 1e3, "cooling per litre drawn in": effect * density / 1e6,
        "COP": effect / (hot - suction),
    }  # fmt: skip


def same_job(row, column):
    """Five refrigerants between 0 and 45 °C; carbon dioxide at the pressure of its best COP, cooled to 40 °C."""
    fluid, job = FLUIDS[row], {"boiling": ZERO, "cooled_to": ZERO + 40.0, "superheat": 5.0, "efficiency": 0.7}
    if row == "R-744":
        best = minimize_scalar(
            lambda p: -one_stage(fluid, high=p, **job)["COP"], bounds=(80e5, 140e5), method="bounded",
            options={"xatol": 10.0},
        )  # fmt: skip
        return one_stage(fluid, high=best.x, **job)[column]
    return one_stage(fluid, high=PropsSI("P", "T", ZERO + 45.0, "Q", 0, fluid), **job)[column]


def litre_of_liquid(row, column):
    """Saturated liquid at 40 °C."""
    density, water = (PropsSI("D", "T", ZERO + 40.0, "Q", 0, FLUIDS[name]) for name in (row, "R-134a"))
    return {
        "density of the liquid": density,
        "mass of one litre": density,
        "compared with R-134a": 100 * density / water,
    }[column]


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
    return {"compressor alone": alone, "whole system": both, "for each volt": both / 400.0, "could leak": 400e3 / both}[
        column
    ]


MOUNTS = {"rubber": 160e3, "rubber too soft, 20 N/mm": 80e3, "rubber and a touching bracket": 160e3 + 5e6}


def mount(row, column):
    """One mass on springs (Rao, Mechanical Vibrations, chapter 9); the loss factor is that of the rubbers alone."""
    speed, kind = row
    stiffness, mass = MOUNTS[kind], 6.5
    turn = float(speed.split()[0].replace(",", "")) * math.tau / 60.0
    natural, force = math.sqrt(stiffness / mass), 30e-6 * turn**2
    rubber = min(stiffness, 160e3)
    damping = 2.0 * 0.1 * math.sqrt(rubber * mass) * turn
    share = math.hypot(stiffness, damping) / math.hypot(stiffness - mass * turn**2, damping)
    return {
        "swings at": natural * 60.0 / math.tau, "share let through": 100.0 * share, "force of the machine": force,
        "force on the body": share * force,
    }[column]  # fmt: skip


RESULTS = {
    ("03_refrigerants_compared", "The same job with five refrigerants, pressures absolute"): same_job,
    ("03_refrigerants_compared", "One litre of liquid at 40 °C"): litre_of_liquid,
    ("06_internal_heat_exchanger", "Largest effectiveness that keeps the hot gas at or below 110 °C (230 °F)"):
        largest_effectiveness,
    ("09_electric_compressor", "Van P21 with wrong oil (invented readings by a named person); "
     "all other parts have 2 MΩ; 400 V"): insulation,
    ("09_electric_compressor", "6.5 kg on four rubbers of 40 N/mm; unbalance 30 g mm (invented)"): mount,
}  # fmt: skip
SCALES = {"kΩ": 1e3, "MΩ": 1e6}


def printed(cell):
    """Return a cell's number without its unit's prefix, and half its last digit; None where it has none."""
    found = re.match(r"([−-]?[\d,]+(?:\.(\d+))?) ?(\S*)", cell)
    if not found:
        return None
    scale = SCALES.get(found[3], 1.0)
    return float(found[1].replace(",", "").replace("−", "-")) * scale, 0.5 * 10.0 ** -len(found[2] or "") * scale


def drawn(tables, count=20, seed=20):
    """Return (lesson, caption, row, column, printed cell, own number) of results drawn at random.

    tables: {(lesson, caption): (heads, rows)} as the lessons print them.
    """
    every = []
    for key, compute in RESULTS.items():
        heads, rows = tables[key]
        for cells in rows:
            first = 2 if compute is mount else 1
            row = tuple(cells[:2]) if compute is mount else cells[0]
            every += [
                (*key, row, head, cell, compute) for head, cell in zip(heads[first:], cells[first:], strict=True)
                if printed(cell)
            ]  # fmt: skip
    return [(*one[:5], one[5](one[2], one[3])) for one in random.Random(seed).sample(every, count)]
