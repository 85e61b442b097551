"""Coolants: shares both ways, freezing point, slush, limits."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermo_kit.errors import OutOfRangeError
from thermo_kit.substances import COOLANT_KINDS, Coolant

glycols = st.sampled_from(["ethylene glycol", "propylene glycol"])
mass_shares = st.floats(0.0, 0.60)


@given(kind=glycols, share=mass_shares)
def test_mass_and_volume_share_are_inverse(kind, share):
    mixture = Coolant(kind, mass_fraction=share)
    again = Coolant(kind, volume_fraction=mixture.volume_fraction)
    assert again.mass_fraction == pytest.approx(share, abs=1e-12)
    assert mixture.volume_fraction <= share + 1e-12


def test_without_glycol_it_is_water():
    for kind in ("ethylene glycol", "propylene glycol"):
        assert Coolant(kind, mass_fraction=0.0).freezing_point == pytest.approx(273.15, abs=1e-9)
    assert Coolant("water").freezing_point == 273.15
    assert Coolant("water").density(293.15) == pytest.approx(998.2, abs=0.2)
    assert Coolant("water").specific_heat(293.15) == pytest.approx(4184, abs=5)
    assert Coolant("water").density(273.15) == pytest.approx(999.8, abs=0.3)


@given(kind=glycols, share=st.floats(0.0, 0.595), step=st.floats(1e-4, 5e-3))
def test_more_glycol_freezes_later_and_without_a_jump(kind, share, step):
    before, after = (Coolant(kind, mass_fraction=x).freezing_point for x in (share, share + step))
    assert after < before
    # The steepest slope, near 60 %, is about 200 K for the whole share; 260 leaves room but no jump.
    assert before - after < 260 * step


@pytest.mark.parametrize("kind", ["ethylene glycol", "propylene glycol"])
def test_the_slope_of_the_freezing_point_has_no_kink_to_speak_of(kind):
    points = [Coolant(kind, mass_fraction=0.001 * i).freezing_point for i in range(601)]
    slopes = [b - a for a, b in itertools.pairwise(points)]
    largest = max(abs(b - a) for a, b in itertools.pairwise(slopes))
    assert largest < 0.02  # kelvin for a step of 0.1 %: unseen on any instrument


@given(kind=glycols, share=st.floats(0.05, 0.59), depth=st.floats(0.0, 1.0))
def test_slush_grows_as_it_gets_colder_and_keeps_its_glycol(kind, share, depth):
    mixture = Coolant(kind, mass_fraction=share)
    lowest = Coolant(kind, mass_fraction=0.60).freezing_point
    T = mixture.freezing_point - depth * (mixture.freezing_point - lowest)
    ice = mixture.ice_fraction(T)
    assert 0.0 <= ice < 1.0
    if ice > 0:
        liquid_share = share / (1.0 - ice)
        assert Coolant(kind, mass_fraction=min(liquid_share, 0.60)).freezing_point == pytest.approx(T, abs=0.2)
        assert mixture.ice_fraction(T + 0.01) < ice


def test_there_is_no_ice_above_the_freezing_point():
    mixture = Coolant("ethylene glycol", mass_fraction=0.3)
    assert mixture.ice_fraction(mixture.freezing_point) == 0.0
    assert mixture.ice_fraction(300.0) == 0.0
    assert Coolant("water").ice_fraction(273.14) == 1.0
    assert Coolant("water").ice_fraction(273.16) == 0.0


@pytest.mark.parametrize("method", ["density", "specific_heat", "viscosity", "conductivity"])
@pytest.mark.parametrize("T", [230.0, 380.0, float("nan"), 25.0])
def test_a_temperature_outside_the_liquid_is_refused(method, T):
    with pytest.raises(OutOfRangeError, match=r"ethylene glycol temperature .* is outside .*freezing point of this"):
        getattr(Coolant("ethylene glycol", mass_fraction=0.3), method)(T)


def test_the_coolants_have_names_one_can_print():
    assert repr(Coolant("water")) == "Coolant('water')"
    assert "0.3000" in repr(Coolant("ethylene glycol", mass_fraction=0.3))
    assert len(COOLANT_KINDS) == 3
    assert math.isfinite(Coolant("propylene glycol", mass_fraction=0.6).viscosity(300.0))
