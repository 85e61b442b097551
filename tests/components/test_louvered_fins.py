"""Louvered fins: smooth where physics is smooth, monotone where the trade knows the direction."""

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermo_kit.components import louvered_fins as lf
from thermo_kit.components.dry_air import dry_air
from thermo_kit.components.louvered_fins import FinSpec, fin_geometry, fin_surface, fins_per_inch

AIR = dry_air(T=308.15)
DENSITIES = st.floats(10.0, 28.0)
VELOCITIES = st.floats(0.5, 8.0)


def _with(count):
    return FinSpec(fin_density=fins_per_inch(count))


def _air(count, velocity):
    return fin_surface(_with(count), face_velocity=velocity, air=AIR)


@pytest.mark.parametrize("switch", [40.0, 130.0, 230.0])
@pytest.mark.parametrize("count", [10, 16, 20, 28])
def test_friction_does_not_jump_at_a_switch(switch, count):
    fins = _with(count)
    below, above = lf.friction_factor(fins, switch * (1 - 1e-9)), lf.friction_factor(fins, switch * (1 + 1e-9))
    assert above == pytest.approx(below, rel=1e-6)


def test_the_two_forms_of_2000_do_jump_so_the_amendment_matters():
    slow, fast = lf._friction_parts(FinSpec())
    assert abs(slow(150.0) / fast(150.0) - 1.0) > 0.05


@given(DENSITIES, VELOCITIES, st.floats(1.02, 1.4), st.floats(1.01, 3.0))
def test_more_fins_and_faster_air_take_more_heat_and_cost_more_pressure(count, velocity, more, faster):
    usual, denser, fast = _air(count, velocity), _air(min(count * more, 30.0), velocity), _air(count, velocity * faster)
    for result in (denser, fast):
        assert result.conductance > usual.conductance
        assert result.pressure_drop > usual.pressure_drop
    assert lf.friction_factor(_with(count), fast.reynolds) <= lf.friction_factor(_with(count), usual.reynolds)


@given(DENSITIES, VELOCITIES)
def test_pressure_drop_is_that_of_a_channel_of_the_hydraulic_diameter(count, velocity):
    fins, result = _with(count), _air(count, velocity)
    geometry = fin_geometry(fins)
    speed = velocity / geometry.contraction
    # Darcy-Weisbach, four Fanning factors, over the depth of the core.
    factor = 4.0 * lf.friction_factor(fins, AIR.density * speed * fins.louver_pitch / AIR.viscosity)
    drop = factor * fins.fin_depth / geometry.hydraulic_diameter * AIR.density * speed**2 / 2.0
    assert result.pressure_drop == pytest.approx(drop, rel=1e-9)


@given(st.floats(0.02e-3, 0.1e-3), st.floats(1.02, 1.4), st.floats(0.5, 8.0))
def test_down_to_the_thinnest_fins_more_of_them_hold_more_air_back(thickness, more, velocity):
    fewest = 1.000001 * max(lf.THINNEST_SHARE / thickness, fins_per_inch(4))
    fewer, denser = (
        fin_surface(FinSpec(fin_density=count, fin_thickness=thickness), face_velocity=velocity, air=AIR)
        for count in (fewest, fewest * more)
    )
    assert denser.pressure_drop > fewer.pressure_drop > 0.0


def test_leaving_the_tested_cores_is_said():
    assert not fin_surface(FinSpec(), face_velocity=2.5, air=AIR).notes
    tiny = dataclasses.replace(FinSpec(), louver_pitch=0.5e-3)
    assert "louver pitch" in fin_surface(tiny, face_velocity=2.5, air=AIR).notes[0]
    assert "outside 100 to 3000" in fin_surface(FinSpec(), face_velocity=0.3, air=AIR).notes[-1]


def test_thin_mountain_air_carries_less_mass():
    high = fin_surface(FinSpec(), face_velocity=2.5, air=dry_air(T=308.15, p=83e3))
    low = fin_surface(FinSpec(), face_velocity=2.5, air=AIR)
    assert high.reynolds < low.reynolds
    assert high.conductance < low.conductance
