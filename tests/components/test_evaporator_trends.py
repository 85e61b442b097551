"""The wet coil: what more air, colder boiling, more humid air, more superheat and a larger coil never do."""

from operator import attrgetter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.components.evaporator_cases import AIRS, coil, drawn, solved
from thermo_kit.units import celsius

ROUNDING = 1e-9
MANY = settings(max_examples=60)


def never_less(later, earlier):
    return later >= earlier * (1.0 - ROUNDING)


def more_superheat(values, share):
    warmest = values["air_temperature"] - values["evaporating_temperature"] - 0.6
    return {"superheat": min(values["superheat"] + 0.1 + 8.0 * share, warmest)}


def better_coil(name):
    return lambda _, share: {"own": coil(**{name: getattr(coil(), name) * (1.01 + 2.0 * share)})}


CHANGES = {
    "more air": lambda values, share: {"air_flow": values["air_flow"] * (1.01 + share)},
    "colder boiling": lambda values, share: {
        "evaporating_temperature": values["evaporating_temperature"] - 0.1 - 8.0 * share
    },
    "more humid air": lambda values, share: {"relative_humidity": values["relative_humidity"] + 0.005 + 0.095 * share},
    "more superheat": more_superheat,
    "more fins": better_coil("air_conductance"),
    "more boiling surface": better_coil("boiling_conductance"),
}
NEVER_FALLS = {
    "more air": ("cooling_capacity", "vent.T"),
    "colder boiling": ("condensate", "cooling_capacity"),
    "more humid air": ("condensate", "vent.T", "coldest_surface"),
    "more superheat": ("vent.T", "superheated_share", "wet_side.T"),
    "more fins": ("cooling_capacity",),
    "more boiling surface": ("cooling_capacity",),
}
FALLS = {"colder boiling": ("vent.T", "coldest_surface"), "more superheat": ("cooling_capacity", "mass_flow")}


@pytest.mark.parametrize("change", CHANGES)
@given(st.fixed_dictionaries(AIRS), st.floats(0.0, 1.0))
@MANY
def test_what_never_falls_with_a_change_and_what_does(change, values, share):
    values = drawn(values)
    before, after = solved(**values), solved(**values | CHANGES[change](values, share))
    for name in NEVER_FALLS[change]:
        assert never_less(attrgetter(name)(after), attrgetter(name)(before)), name
    for name in FALLS.get(change, ()):
        assert attrgetter(name)(after) < attrgetter(name)(before), name


@given(st.fixed_dictionaries(AIRS), st.floats(0, 0.7), st.floats(0.01, 0.2))
@MANY
def test_more_dirt_never_gives_more_heat(values, blocked, more):
    values = drawn(values)
    base, dirtier = (solved(coil(blocked_share=b), **values) for b in (blocked, blocked + more))
    assert never_less(base.cooling_capacity, dirtier.cooling_capacity)
    assert never_less(base.air_flow, dirtier.air_flow)


def test_carbon_dioxide_boils_too():
    cold = dict(refrigerant="R-744", valve_pressure=9e6, liquid_temperature=celsius(35))
    assert solved(**cold).energy_closure < 1e-6
