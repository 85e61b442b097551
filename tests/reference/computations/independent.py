"""Results of the lessons' tables computed a second time, by own code from the cited source: nothing of the package.

Equations of state by CoolProp's plain functions; the rest is written out. `RESULTS` holds, for each table, a function
(row, column) → number in the unit the table prints, or None where the table says so in words.
"""

import random
import re

from CoolProp.CoolProp import PropsSI
from scipy.optimize import brentq

FLUIDS = {"R-134a": "R134a", "R-1234yf": "R1234yf", "R-744": "CO2", "R-152a": "R152A", "R-290": "n-Propane"}
ZERO = 273.15


def compressed(fluid, low, high, enthalpy, efficiency):
    """Return enthalpy [J/kg] and temperature [K] behind a compressor; low, high [Pa]."""
    entropy = PropsSI("S", "P", low, "H", enthalpy, fluid)
    outlet = enthalpy + (PropsSI("H", "P", high, "S", entropy, fluid) - enthalpy) / efficiency
    return outlet, PropsSI("T", "P", high, "H", outlet, fluid)


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


RESULTS = {
    ("03_refrigerants_compared", "One litre of liquid at 40 °C"): litre_of_liquid,
    ("06_internal_heat_exchanger", "Largest effectiveness that keeps the hot gas at or below 110 °C (230 °F)"):
        largest_effectiveness,
    ("09_electric_compressor", "Van P21 with wrong oil (invented readings by a named person); "
     "all other parts have 2 MΩ; 400 V"): insulation,
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
            every += [
                (*key, cells[0], head, cell, compute) for head, cell in zip(heads[1:], cells[1:], strict=True)
                if printed(cell)
            ]  # fmt: skip
    return [(*one[:5], one[5](one[2], one[3])) for one in random.Random(seed).sample(every, count)]
