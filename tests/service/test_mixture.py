"""Strength of a mixture: instruments, topping up, cold."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from thermo_kit.errors import OutOfRangeError
from thermo_kit.service import mixture as mixtures
from thermo_kit.substances import Coolant

KIND = st.sampled_from(mixtures.GLYCOLS)
SHARE = st.floats(0.02, 0.58)


@given(kind=KIND, share=SHARE)
def test_refractometer_reads_back_what_is_there(kind, share):
    mixture = Coolant(kind, mass_fraction=share)
    by_scale = mixtures.read_refractometer(kind, scale_freezing_point=mixture.freezing_point)
    by_index = mixtures.read_refractometer(kind, index=mixtures.refractive_index(kind, share))
    for reading in (by_scale, by_index):
        assert reading.mass_fraction == pytest.approx(share, abs=1e-6)
        assert reading.coldest_freezing_point <= reading.freezing_point <= reading.warmest_freezing_point
    assert by_scale.warmest_freezing_point - mixture.freezing_point <= 1.0 + 1e-6


def gravity(kind, share, temperature):
    water = Coolant("water").density(mixtures.SIXTY_FAHRENHEIT)
    return Coolant(kind, mass_fraction=share).density(temperature) / water


@given(kind=KIND, share=SHARE, temperature=st.floats(278.15, 343.15))
def test_hydrometer_reads_back_what_is_there(kind, share, temperature):
    shown = gravity(kind, share, temperature)
    reading = mixtures.read_hydrometer(kind, specific_gravity=shown, temperature=temperature)
    assert reading.mass_fraction == pytest.approx(share, abs=1e-6)


def test_the_hydrometer_is_weaker_on_propylene_glycol():
    width = {}
    for kind in mixtures.GLYCOLS:
        reading = mixtures.read_hydrometer(kind, specific_gravity=gravity(kind, 0.4, mixtures.SIXTY_FAHRENHEIT))
        width[kind] = reading.warmest_freezing_point - reading.coldest_freezing_point
    assert width["propylene glycol"] > 1.5 * width["ethylene glycol"]


def test_the_wrong_scale_misleads_to_the_dangerous_side():
    mixture = Coolant("propylene glycol", volume_fraction=0.35)
    index = mixtures.refractive_index("propylene glycol", mixture.mass_fraction)
    shown = mixtures.read_refractometer("ethylene glycol", index=index).freezing_point
    assert shown < mixture.freezing_point - 4.0
    other = {"scale_freezing_point": shown, "scale_kind": "ethylene glycol"}
    corrected = mixtures.read_refractometer("propylene glycol", **other)
    assert corrected.freezing_point == pytest.approx(mixture.freezing_point, abs=1e-4)
    assert any("scale for ethylene glycol" in note for note in corrected.notes)


@given(volume=st.floats(2e-3, 2e-2), now=st.floats(0.0, 1.0), wanted=st.floats(0.05, 0.57), missing=st.floats(0.0, 0.5))
def test_topping_up_balances(volume, now, wanted, missing):
    shares = {"volume_fraction": now, "target_volume_fraction": wanted}
    plan = mixtures.top_up("ethylene glycol", system_volume=volume, missing_volume=missing * volume, **shares)
    kept = (1.0 - missing) * volume - plan.drain
    assert min(plan.drain, plan.add_concentrate, plan.add_water, kept) >= -1e-12
    assert kept + plan.add_concentrate + plan.add_water == pytest.approx(volume)
    assert kept * now + plan.add_concentrate == pytest.approx(wanted * volume, abs=1e-12)
    assert plan.volume_fraction == pytest.approx(wanted, abs=1e-9)
    if plan.drain > 1e-12:
        assert plan.add_concentrate == 0.0 or plan.add_water == 0.0


@pytest.mark.parametrize(("kind", "most"), [("ethylene glycol", 0.573), ("propylene glycol", 0.591)])
def test_a_target_beyond_the_data_is_refused_by_its_own_name(kind, most):
    plan = {"system_volume": 8e-3, "volume_fraction": 0.3}
    assert mixtures.top_up(kind, target_volume_fraction=most, **plan).freezing_point < 226
    with pytest.raises(OutOfRangeError, match=r"glycol share by volume wanted 0\.6 is above 0\.5\d+: 30 % is 0\.30"):
        mixtures.top_up(kind, target_volume_fraction=0.6, **plan)


@given(kind=KIND, share=st.floats(0.1, 0.5), below=st.floats(0.5, 10.0))
def test_slush_holds_less_ice_with_more_glycol(kind, share, below):
    temperature = Coolant(kind, mass_fraction=share).freezing_point - below
    if temperature < Coolant(kind, mass_fraction=0.6).freezing_point:
        return
    state = mixtures.cold_state(kind, mass_fraction=share, temperature=temperature)
    stronger = mixtures.cold_state(kind, mass_fraction=share + 0.03, temperature=temperature)
    assert state.condition == "slush"
    assert 0.0 < state.ice_fraction < 1.0 and 0.0 < state.growth_ratio < 0.0905
    assert stronger.ice_fraction < state.ice_fraction


@pytest.mark.parametrize(("share", "celsius"), [(0.2, -15.0), (0.3, -25.0), (0.45, -35.0)])
def test_slush_grows_by_its_ice_and_the_liquid_left_at_its_own_strength(share, celsius):
    """Lever rule by hand: the liquid left has the strength that freezes at this temperature."""

    def still_liquid(strength):
        return Coolant("ethylene glycol", mass_fraction=strength).freezing_point - 273.15 - celsius

    strength = brentq(still_liquid, share, 0.6)
    ice = 1.0 - share / strength
    before = Coolant("ethylene glycol", mass_fraction=share)
    left = Coolant("ethylene glycol", mass_fraction=strength).density(273.15 + celsius + 1e-6)
    growth = (ice / 917.0 + (1.0 - ice) / left) * before.density(before.freezing_point) - 1.0
    state = mixtures.cold_state("ethylene glycol", mass_fraction=share, temperature=273.15 + celsius)
    assert state.ice_fraction == pytest.approx(ice, abs=1e-4)
    assert state.growth_ratio == pytest.approx(growth, abs=2e-4)


def test_water_grows_by_nine_per_cent_and_liquid_does_not():
    ice = mixtures.cold_state("water", mass_fraction=0.0, temperature=268.15)
    assert ice.condition == "solid" and ice.growth_ratio == pytest.approx(0.09, abs=0.002)
    warm = mixtures.cold_state("ethylene glycol", mass_fraction=0.5, temperature=258.15)
    assert warm.condition == "liquid" and warm.growth_ratio == 0.0
