"""A leaked charge against published limits."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermo_kit.errors import OutOfRangeError
from thermo_kit.substances import REFRIGERANT_NAMES
from thermo_kit.systems import LeakSpec, spread_leak


@given(st.sampled_from(REFRIGERANT_NAMES), st.floats(0.01, 10), st.floats(1, 1000))
def test_the_largest_charge_spreads_to_the_limit_for_people(name, charge, volume):
    largest = spread_leak(LeakSpec(refrigerant=name, charge=charge, volume=volume)).largest_charge
    if largest > 20:
        return
    at_limit = spread_leak(LeakSpec(refrigerant=name, charge=largest, volume=volume))
    assert at_limit.concentration == pytest.approx(at_limit.limit_for_people)
    if at_limit.lower_flammability_limit:
        assert at_limit.concentration < 0.25 * at_limit.lower_flammability_limit


# EN 378-1, Annex E: practical limit 0.1 and 0.25 kg/m³, acute limit (ATEL/ODL) 0.072 and 0.21 kg/m³.
@pytest.mark.parametrize(("name", "harmful"), [("R-744", 0.08), ("R-134a", 0.22)])
def test_between_acute_and_practical_limit_people_are_in_danger(name, harmful):
    result = spread_leak(LeakSpec(refrigerant=name, charge=harmful * 3, volume=3))
    assert any("in danger" in note for note in result.notes)
    assert not any("in danger" in n for n in spread_leak(LeakSpec(refrigerant=name, charge=0.1, volume=3)).notes)


def test_propane_in_a_cab_is_beyond_its_flammability_limit_and_says_so():
    # ISO 817: lower flammability limit of R-290 0.038 kg/m³; 150 g in 3 m³ are 0.05 kg/m³.
    result = spread_leak(LeakSpec(refrigerant="R-290", charge=0.15, volume=3))
    assert result.concentration > result.lower_flammability_limit
    assert any("spark" in note for note in result.notes)


def test_what_burns_passes_the_limit_for_people_long_before_it_harms_to_breathe():
    # EN 378-1, Annex E: R-290 practical limit 0.008, acute limit (ATEL/ODL) 0.09 kg/m³; 150 g in 15 m³ are 0.010.
    near = spread_leak(LeakSpec(refrigerant="R-290", charge=0.15, volume=15)).notes
    assert any("a fifth of the flammability limit" in note for note in near)
    assert not any("breathing" in note for note in near)
    assert any("breathing" in note for note in spread_leak(LeakSpec(refrigerant="R-290", charge=0.3, volume=3)).notes)


def test_a_refrigerant_that_does_not_burn_has_no_flammability_limit():
    assert spread_leak(LeakSpec(refrigerant="R-744", charge=0.5, volume=3)).lower_flammability_limit is None


def test_all_bad_arguments_are_named_at_once():
    with pytest.raises(OutOfRangeError) as caught:
        spread_leak(LeakSpec(refrigerant="R-290", charge=-1, volume=0))
    assert "leaked charge" in str(caught.value) and "air volume" in str(caught.value)
