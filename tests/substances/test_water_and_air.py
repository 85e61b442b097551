"""Water under vacuum and moist air, held against independent libraries."""

import math

import iapws
import psychrolib
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from thermo_kit.errors import OutOfRangeError
from thermo_kit.substances import moist_air, water_boiling_temperature, water_saturation_pressure
from thermo_kit.units import atmosphere_pressure

psychrolib.SetUnitSystem(psychrolib.SI)


@given(T=st.floats(273.2, 470.0))
def test_boiling_pressure_agrees_with_the_industrial_formulation(T):
    assert water_saturation_pressure(T) == pytest.approx(iapws.iapws97._PSat_T(T) * 1e6, rel=3e-4)


@given(T=st.floats(195.0, 273.15))
def test_sublimation_pressure_agrees_with_the_published_equation(T):
    assert water_saturation_pressure(T) == pytest.approx(iapws._iapws._Sublimation_Pressure(T) * 1e6, rel=1e-6)


@given(T=st.floats(194.0, 470.0))
def test_water_goes_both_ways(T):
    assert water_boiling_temperature(water_saturation_pressure(T)) == pytest.approx(T, abs=1e-3)


def test_ice_and_water_meet_at_the_triple_point():
    below, above = water_saturation_pressure(273.15999), water_saturation_pressure(273.16001)
    assert below == pytest.approx(above, rel=5e-6)
    assert below == pytest.approx(611.657, rel=1e-5)


@given(celsius=st.floats(-20, 50), humidity=st.floats(0.05, 0.99), altitude=st.floats(-400, 3000))
def test_moist_air_agrees_with_an_independent_library(celsius, humidity, altitude):
    p = atmosphere_pressure(altitude)
    air = moist_air(T=celsius + 273.15, p=p, relative_humidity=humidity)
    ratio = psychrolib.GetHumRatioFromRelHum(celsius, humidity, p)
    # The other library treats an ideal gas: up to 1 % less water at saturation.
    assert air.humidity_ratio == pytest.approx(ratio, rel=0.012)
    assert air.dew_point - 273.15 == pytest.approx(
        psychrolib.GetTDewPointFromHumRatio(celsius, air.humidity_ratio, p), abs=0.2
    )
    assert air.wet_bulb - 273.15 == pytest.approx(
        psychrolib.GetTWetBulbFromHumRatio(celsius, air.humidity_ratio, p), abs=0.15
    )
    enthalpy = psychrolib.GetMoistAirEnthalpy(celsius, air.humidity_ratio)
    assert air.h == pytest.approx(enthalpy, abs=600, rel=0.01)
    volume = psychrolib.GetMoistAirVolume(celsius, air.humidity_ratio, p)
    assert air.density == pytest.approx((1 + air.humidity_ratio) / volume, rel=0.003)


@given(T=st.floats(255.0, 325.0), humidity=st.floats(0.05, 0.999))
def test_moist_air_is_found_again_from_other_measures(T, humidity):
    air = moist_air(T=T, relative_humidity=humidity)
    for name in ("humidity_ratio", "wet_bulb", "dew_point"):
        value = getattr(air, name)
        assume(name != "wet_bulb" or T > 275)
        again = moist_air(T=T, **{name: min(value, T) if name != "humidity_ratio" else value})
        assert again.relative_humidity == pytest.approx(humidity, abs=2e-3)
    assert air.dew_point <= air.wet_bulb + 1e-3 <= T + 2e-3


@given(T=st.floats(223.15, 373.15), p=st.floats(4e4, 2e5), humidity=st.floats(0.0, 1.0))
def test_moist_air_is_finite_or_refused(T, p, humidity):
    try:
        air = moist_air(T=T, p=p, relative_humidity=humidity)
    except OutOfRangeError:
        return
    assert all(math.isfinite(getattr(air, field)) for field in air.__slots__)
