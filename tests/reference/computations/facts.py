"""The facts table, as the package serves it."""

from thermo_kit.substances import facts_of


def fact(refrigerant, name):
    return getattr(facts_of(refrigerant), name).value


def gwp(refrigerant, report):
    return facts_of(refrigerant).gwp[report].value


MOLAR_MASS = {"R-1234yf": 0.1140416, "R-152a": 0.066051, "R-290": 0.04409562}
MOLAR_VOLUME = 0.024465


def flammability_by_volume(refrigerant):
    return facts_of(refrigerant).lower_flammability_limit.value / MOLAR_MASS[refrigerant] * MOLAR_VOLUME
