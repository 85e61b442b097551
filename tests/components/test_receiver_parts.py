"""Single figures of the receiver, each worked out anew: lift, flash, depths, bubbles, charge line, water."""

import math
from dataclasses import replace

import pytest
from fluids.friction import Colebrook
from hypothesis import given
from hypothesis import strategies as st

from thermo_kit.components.receiver import (
    MoistureSpec,
    ReceiverConditions,
    depth_curves,
    moisture_balance,
    pick_up,
    solve_receiver,
)
from thermo_kit.fleet import part_of
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.stream import stream_at
from thermo_kit.units import celsius

VAN, BUS = (part_of(name, "receiver") for name in ("parcel_van", "shuttle_bus"))
WARM = celsius(45)
SATURATED = Refrigerant("R-1234yf").saturation(WARM)


def solve(vessel=VAN, mass_flow=0.03, **given):
    inlet = stream_at("R-1234yf", mass_flow, T=WARM, x=0.0)
    return solve_receiver(vessel, inlet, ReceiverConditions(**{"inventory": 0.06} | given))


@given(st.floats(0.01, 0.08), st.sampled_from((VAN, BUS)))
def test_each_loss_on_the_way_up_by_itself(flow, vessel):
    lift = solve(vessel, mass_flow=flow).lift
    density, bore = SATURATED.liquid_density, vessel.standpipe_diameter
    velocity = flow / density / (0.25 * math.pi * bore**2)
    dynamic = 0.5 * density * velocity**2
    reynolds = density * velocity * bore / SATURATED.liquid_viscosity
    assert lift.velocity == pytest.approx(velocity)
    assert lift.rise_pressure_drop == pytest.approx(density * 9.80665 * lift.rise)
    if reynolds > 4000.0:
        friction = Colebrook(reynolds, 2e-6 / bore) * vessel.standpipe_length / bore * dynamic
        assert lift.friction_pressure_drop == pytest.approx(friction, rel=1e-6)
    # Speeding up, and half as much again for a sharp mouth (0.5 in most handbooks, 0.57 in the one taken).
    assert lift.entrance_pressure_drop == pytest.approx(1.5 * dynamic, rel=0.06)
    approach = 0.5 * density * (flow / density / vessel.filter_area) ** 2
    # A square-edged mesh, 35 % open, takes 11 times the pressure of its approach speed (Blevins).
    assert lift.filter_pressure_drop == pytest.approx(11.0 * approach, rel=0.01)
    parts = (lift.rise_pressure_drop, lift.friction_pressure_drop, lift.entrance_pressure_drop)
    assert lift.total_pressure_drop == pytest.approx(sum(parts) + lift.filter_pressure_drop)


def test_rise_counts_from_the_liquid():
    low, high = solve(inventory=0.04), solve(inventory=0.12)
    assert low.lift.rise - high.lift.rise == pytest.approx(high.level - low.level)
    assert high.lift.rise == pytest.approx(VAN.height - high.level)


def test_the_share_of_the_pass_is_the_fall_of_the_boiling_point_by_the_subcooling():
    lift = solve(pass_subcooling=6.0).lift
    latent = SATURATED.vapour_enthalpy - SATURATED.liquid_enthalpy
    swelling = 1.0 / SATURATED.vapour_density - 1.0 / SATURATED.liquid_density
    colder = lift.total_pressure_drop * WARM * swelling / latent  # Clausius and Clapeyron
    assert lift.recondensing_share == pytest.approx(colder / 6.0, rel=0.05)
    vapour = lift.flash_quality / SATURATED.vapour_density
    liquid = (1.0 - lift.flash_quality) / SATURATED.liquid_density
    assert lift.flash_volume_share == pytest.approx(vapour / (vapour + liquid), rel=0.01)


@given(st.floats(0.0, 12.0), st.floats(0.005, 0.1))
def test_both_depths_feel_the_pull_of_the_bend_less_the_vapours_buoyancy(bend, flow):
    here = pick_up(vessel=BUS, refrigerant="R-1234yf", condensing_temperature=WARM, mass_flow=flow)
    pull = math.hypot(9.80665, bend) * (1.0 - SATURATED.vapour_density / SATURATED.liquid_density)
    volume_flow = flow / SATURATED.liquid_density
    velocity = volume_flow / (0.25 * math.pi * BUS.standpipe_diameter**2)
    onset, safe = here.needed(bend)
    assert onset == pytest.approx(0.69 * (volume_flow**2 / pull) ** 0.2)
    froude = velocity / math.sqrt(pull * BUS.standpipe_diameter)
    assert safe == pytest.approx(BUS.standpipe_diameter * (1.0 + 2.3 * froude))


def test_the_curves_of_the_depths_run_through_the_point():
    here = pick_up(vessel=VAN, refrigerant="R-1234yf", condensing_temperature=WARM, mass_flow=0.03)
    curves = depth_curves(here, depth=0.012, most=0.06, lateral_acceleration=3.0, steps=8)
    assert curves.flows[4] == pytest.approx(0.03)
    assert (curves.onset[4], curves.safe[4]) == pytest.approx((curves.onset_here, curves.safe_here))
    slower = pick_up(vessel=VAN, refrigerant="R-1234yf", condensing_temperature=WARM, mass_flow=0.015)
    assert (curves.onset[2], curves.safe[2]) == pytest.approx(slower.needed(3.0))
    assert curves.onset[0] == 0.0 and curves.safe[0] == VAN.standpipe_diameter


def test_liquid_falls_fastest_beside_the_beads_where_it_reaches_them():
    beads = VAN.desiccant_mass / 1100.0 / VAN.desiccant_height
    low, high = solve(inventory=0.06), solve(inventory=0.14)
    assert low.axis_height < VAN.desiccant_bottom < high.axis_height
    for result, taken in ((low, 0.0), (high, beads)):
        room = math.pi * 0.018**2 - taken
        assert result.downward_velocity == pytest.approx(0.03 / SATURATED.liquid_density / room)
    assert low.smallest_rising_bubble < 0.7 * high.smallest_rising_bubble


def test_what_leaves_is_what_came_in_at_less_pressure_with_the_flash_in_it():
    result = solve()
    state = result.outlet.state
    assert result.outlet.mass_flow == 0.03 and state.x == pytest.approx(result.lift.flash_quality, rel=1e-6)
    assert result.outlet.pressure == pytest.approx(SATURATED.p - result.lift.total_pressure_drop)
    assert result.outlet.enthalpy == pytest.approx(result.inlet.enthalpy)


def test_inventories_that_belong_to_the_marks():
    here = pick_up(vessel=VAN, refrigerant="R-1234yf", condensing_temperature=WARM, mass_flow=0.03)
    least, safe, full = here.least_inventory(), here.least_inventory(safe=True), here.masses()[1]
    assert least < safe < full
    at_onset, at_safe = (solve(inventory=m) for m in (least, safe))
    assert at_onset.submergence == pytest.approx(at_onset.onset_submergence, rel=1e-6)
    assert at_safe.submergence == pytest.approx(at_safe.safe_submergence, rel=1e-6)
    assert solve(inventory=full).level == pytest.approx(VAN.height)
    assert full == pytest.approx(VAN.free_volume * SATURATED.liquid_density)
    bus = solve(BUS, inventory=0.2, mass_flow=0.02)
    assert 0.0 < bus.safe_acceleration < bus.uncovering_acceleration
    edge = solve(BUS, inventory=0.2, mass_flow=0.02, lateral_acceleration=bus.safe_acceleration)
    assert edge.submergence == pytest.approx(edge.safe_submergence, rel=1e-6)


@pytest.mark.parametrize("tilt", [30.0, 45.0])
def test_the_angle_told_is_the_one_reckoned_with_however_steep(tilt):
    result = solve(inventory=0.09, tilt=math.radians(tilt), lateral_acceleration=15.0)
    assert math.tan(result.surface_angle) == pytest.approx(result.conditions.slope)
    assert result.surface_angle == pytest.approx(math.radians(83.0))


def test_open_beads_begin_as_fast_as_given_and_end_full():
    dry = MoistureSpec(desiccant_mass=0.04, uptake_per_hour=0.003, open_hours=0.01)
    assert moisture_balance(dry).from_air == pytest.approx(0.003 * 0.01, rel=0.01)
    long = moisture_balance(replace(dry, open_hours=100.0))
    assert long.from_air == pytest.approx(0.04 * 0.15)
    assert long.loading_share == pytest.approx(1.0) and long.years_left == pytest.approx(0.0, abs=1e-6)
