"""The facts table, as the package serves it."""

from thermo_kit.substances import facts_of


def fact(refrigerant, name):
    return getattr(facts_of(refrigerant), name).value


def gwp(refrigerant, report):
    return facts_of(refrigerant).gwp[report].value
