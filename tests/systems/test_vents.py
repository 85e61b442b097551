"""Two vents: balances, the direction of each fault, and the pattern that tells the sides apart."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.components.evaporator_cases import coil, day
from thermo_kit.components.evaporator import solve_evaporator
from thermo_kit.systems import VENT_FAULTS, two_vents
from thermo_kit.systems.vents import HEATER_AIR
from thermo_kit.units import celsius

AIRS = {"air_temperature": st.floats(25, 42).map(celsius), "relative_humidity": st.floats(0.15, 0.8)}


def case(fault, size, **air):
    return two_vents(coil(), day(**air), fault=fault, size=size)


@given(st.fixed_dictionaries(AIRS), st.sampled_from(VENT_FAULTS), st.floats(0, 1))
@settings(max_examples=60, deadline=None)
def test_both_halves_together_are_the_mixed_vent(air, fault, size):
    vents = case(fault, size, **air).faulty
    assert 0.5 * (vents.left.h + vents.right.h) == pytest.approx(vents.mixed.h, rel=1e-9)
    water = 0.5 * (vents.left.humidity_ratio + vents.right.humidity_ratio)
    assert water == pytest.approx(vents.mixed.humidity_ratio, rel=1e-9)
    assert vents.left.T <= vents.right.T + 1e-9


def left(case):
    """Return how much warmer a fault makes the left vent [K]."""
    return case.faulty.left.T - case.sound.left.T


def right(case):
    return case.faulty.right.T - case.sound.right.T


@given(st.fixed_dictionaries(AIRS), st.floats(0.35, 0.9))
@settings(max_examples=40, deadline=None)
def test_each_fault_moves_the_vents_its_own_way(air, size):
    starved, damper, blower, fins = (case(fault, size, **air) for fault in VENT_FAULTS[1:])
    assert right(starved) > left(starved) + 1.0 and starved.pattern == "drift apart"
    assert starved.side == "refrigerant side"
    assert left(damper) > 2.0 and left(damper) >= right(damper) > 2.0 and damper.side == "air side"
    assert damper.faulty.air_flow == damper.sound.air_flow
    assert damper.faulty.coil.condensate == damper.sound.coil.condensate
    assert left(blower) < 0 and right(blower) < 0 and blower.pattern == "both colder"
    assert left(fins) > 0 and right(fins) > 0 and fins.pattern in ("both warmer", "as sound")
    for weak in (blower, fins):
        assert weak.faulty.air_flow < 0.95 * weak.sound.air_flow and weak.side in ("air side", "no fault seen")


@given(st.fixed_dictionaries(AIRS), st.sampled_from(VENT_FAULTS[1:]), st.floats(0.05, 0.9))
@settings(max_examples=40, deadline=None)
def test_a_larger_fault_moves_them_further(air, fault, size):
    small, large = (case(fault, s, **air) for s in (size, size + 0.1))
    assert abs(right(large)) > abs(right(small))


def test_without_a_fault_nothing_moves_and_a_sound_coil_has_its_own_difference():
    none = case("none", 0.8)
    assert left(none) == right(none) == 0.0 and none.side == "no fault seen"
    assert none.sound.difference > 1.0
    plain = solve_evaporator(coil(), day())
    assert none.sound.mixed.T == pytest.approx(plain.vent.T) and none.sound.left.T == pytest.approx(plain.wet_side.T)


def test_half_of_the_air_through_the_heater_comes_out_half_way():
    leak = case("damper leaks", 1.0)
    assert leak.faulty.heated_share == pytest.approx(0.5)
    assert leak.faulty.mixed.T == pytest.approx(0.5 * (leak.sound.mixed.T + HEATER_AIR), abs=0.05)
    assert leak.faulty.mixed.humidity_ratio == pytest.approx(leak.sound.mixed.humidity_ratio)
