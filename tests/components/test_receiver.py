"""The receiver: balances, known limits, trends that must never turn round, and single figures worked out anew."""

import math
from dataclasses import replace

import pytest
from fluids.friction import Colebrook
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from thermo_kit.components import receiver
from thermo_kit.components.receiver import REGIMES, ChargeSpec, MoistureSpec, ReceiverConditions
from thermo_kit.components.receiver.vessel import liquid_volume, surface_height
from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.fleet import part_of
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.stream import Stream, stream_at
from thermo_kit.units import celsius

VAN, BUS = (part_of(name, "receiver") for name in ("parcel_van", "shuttle_bus"))
vessels = st.sampled_from((BUS, VAN))
refrigerants = st.sampled_from(("R-1234yf", "R-134a", "R-152a", "R-290"))
fillings = st.floats(0.02, 0.98)
bends = st.floats(0.0, 12.0)
flows = st.floats(0.002, 0.1)
tilts = st.floats(0.0, 0.5)
WARM = celsius(45)
SATURATED = Refrigerant("R-1234yf").saturation(WARM)


def inside(vessel=VAN, refrigerant="R-1234yf", flow=0.03, temperature=WARM):
    return receiver.pick_up(vessel=vessel, refrigerant=refrigerant, condensing_temperature=temperature, mass_flow=flow)


def solve(vessel=VAN, refrigerant="R-1234yf", mass_flow=0.03, **given):
    inlet = stream_at(refrigerant, mass_flow, T=WARM, x=0.0)
    return receiver.solve_receiver(vessel, inlet, ReceiverConditions(**{"inventory": 0.06} | given))


def filled(here, share):
    empty, full = here.masses()
    return empty + share * (full - empty)


@given(vessels, fillings, st.floats(0.0, 3.0))
def test_the_surface_is_where_its_volume_says(vessel, share, slope):
    volume = share * vessel.free_volume
    height = surface_height(vessel, volume, slope)
    assert liquid_volume(vessel, height, slope) == pytest.approx(volume, rel=1e-9)


@settings(max_examples=30)
@given(vessels, st.floats(0.0, 0.2), st.floats(0.0, 2.0))
def test_the_closed_form_agrees_with_slices(vessel, height, slope):
    """The section is cut into strips across the slope; beads displace evenly where the bag hangs."""
    slices, volume = 4000, 0.0
    low, high = vessel.desiccant_bottom, vessel.desiccant_bottom + vessel.desiccant_height
    for k in range(slices):
        x = vessel.radius * (2 * (k + 0.5) / slices - 1)
        depth = min(max(height + slope * x, 0.0), vessel.height)
        clear = depth - vessel.bead_share * (min(max(depth, low), high) - low)
        volume += 2 * math.sqrt(vessel.radius**2 - x**2) * clear * 2 * vessel.radius / slices
    assert liquid_volume(vessel, height, slope) == pytest.approx(volume, abs=2e-4 * vessel.free_volume)


@given(vessels, refrigerants, fillings, flows, st.floats(1.0, 2.0))
def test_less_liquid_and_more_flow_never_uncover_later(vessel, refrigerant, share, flow, factor):
    here, faster = inside(vessel, refrigerant, flow), inside(vessel, refrigerant, flow * factor)
    for safe in (False, True):
        cases = ((here, share), (here, 0.9 * share), (faster, share))
        bends = [one.hardest_bend(filled(one, full), safe=safe) for one, full in cases]
        usual, less, quick = (math.inf if bend is None else bend for bend in bends)
        assert less <= usual + 1e-6 and quick <= usual + 1e-6


@given(vessels, refrigerants, flows, tilts, bends)
def test_the_safe_side_never_needs_less_than_the_onset(vessel, refrigerant, flow, tilt, bend):
    here = inside(vessel, refrigerant, flow)
    onset, safe = (here.least_inventory(tilt=tilt, lateral_acceleration=bend, safe=safe) for safe in (False, True))
    assert onset <= safe


@given(vessels, fillings, tilts, bends)
def test_a_bend_towards_the_bad_side_never_deepens_an_offset_mouth(vessel, share, tilt, bend):
    here = inside(vessel)
    assume(share < 0.45)  # above, the lid takes part of the wedge
    level = solve(vessel, inventory=filled(here, share))
    moved = solve(vessel, inventory=filled(here, share), tilt=tilt, lateral_acceleration=bend)
    assume(level.axis_height < vessel.desiccant_bottom - vessel.radius)
    assert moved.submergence <= level.submergence + 1e-9


@given(vessels, refrigerants, fillings, bends, tilts, flows)
def test_verdict_and_least_inventory_agree(vessel, refrigerant, share, bend, tilt, flow):
    here = inside(vessel, refrigerant, flow)
    mass = filled(here, share)
    result = solve(vessel, refrigerant, flow, inventory=mass, tilt=tilt, lateral_acceleration=bend)
    assert result.regime in REGIMES and result.volume_closure < 1e-9
    least = here.least_inventory(tilt=tilt, lateral_acceleration=bend)
    if abs(mass - least) > 1e-6 and least < 0.999 * here.masses()[1]:
        assert (result.submergence >= result.onset_submergence) == (mass > least)


def test_the_regimes_follow_one_another_as_the_receiver_empties():
    here = inside(VAN)
    found = [solve(VAN, inventory=filled(here, 0.98 - 0.01 * k)).regime for k in range(98)]
    assert list(dict.fromkeys(found)) == list(REGIMES)


@pytest.mark.parametrize("diameter", [3e-5, 1e-4, 3e-4, 5e-4])
def test_the_bubble_agrees_with_the_library_and_with_another_law_of_drag(diameter):
    from fluids.drag import v_terminal

    rho, vapour, mu = 1050.0, 60.0, 1.5e-4
    kwargs = {"liquid_density": rho, "vapour_density": vapour, "viscosity": mu}
    # The library falls back on Stokes for what rises; a grain as much heavier as the bubble is lighter falls as fast.
    rises = v_terminal(D=diameter, rhop=2 * rho - vapour, rho=rho, mu=mu)
    assert receiver.smallest_rising_bubble(velocity=rises, **kwargs) == pytest.approx(diameter, rel=0.01)
    # Schiller & Naumann 1933, solved by hand: drag = 24/Re (1 + 0.15 Re^0.687).
    speed = rises
    for _ in range(200):
        reynolds = rho * speed * diameter / mu
        drag = 24 / reynolds * (1 + 0.15 * reynolds**0.687)
        speed = 0.5 * (speed + math.sqrt(4 / 3 * 9.80665 * diameter * (rho - vapour) / (rho * drag)))
    assert receiver.smallest_rising_bubble(velocity=speed, **kwargs) == pytest.approx(diameter, rel=0.08)


@given(flows, st.floats(1.0, 1.5), st.floats(0.0, 0.9))
def test_flow_and_dirt_only_add_to_the_losses(flow, factor, blocked):
    clean = solve(VAN, inventory=0.08, mass_flow=flow).lift
    faster = solve(VAN, inventory=0.08, mass_flow=flow * factor).lift
    dirty = solve(replace(VAN, filter_blocked_share=blocked), inventory=0.08, mass_flow=flow).lift
    assert faster.total_pressure_drop >= clean.total_pressure_drop
    assert dirty.filter_pressure_drop >= clean.filter_pressure_drop and dirty.flash_quality >= clean.flash_quality


def bus_charge(**given):
    usual = {"refrigerant": "R-134a", "condensing_temperature": celsius(50), "mass_flow": 0.06}
    usual |= {"charge": 1.7, "held_elsewhere": 1.25, "leak_per_year": 0.04, "lateral_acceleration": 4.0}
    return ChargeSpec(receiver=BUS, **{**usual, **given})


def test_the_years_are_grams_by_grams_a_year_and_a_tight_system_never_bubbles():
    band = receiver.charge_band(bus_charge())
    assert band.years_to_bubble == pytest.approx((1.7 - band.onset_charge) / 0.04)
    assert band.band == pytest.approx(band.full_charge - band.safe_charge)
    assert band.bend_years_to_bubble < band.years_to_bubble and band.bend_years_safe < band.years_safe
    tight = receiver.charge_band(bus_charge(leak_per_year=0.0))
    assert tight.years_to_bubble is None and tight.bend_years_safe is None


def test_at_the_year_of_the_first_bubble_the_depth_is_the_onset():
    spec = bus_charge()
    band = receiver.charge_band(spec)
    here = inside(BUS, "R-134a", 0.06, celsius(50))
    level, _ = receiver.depth_over_years(spec, (band.years_to_bubble, 0.0))
    _, bend = receiver.depth_over_years(spec, (band.bend_years_to_bubble, 0.0))
    assert level[0] == pytest.approx(here.needed(0.0)[0], rel=1e-6)
    assert bend[0] == pytest.approx(here.needed(4.0)[0], rel=1e-6)
    assert level[0] < level[1] and bend[0] < bend[1]


def test_the_place_on_the_charge_line():
    for charge, place in ((1.33, "bubbles"), (1.45, "doubtful"), (1.8, "plateau"), (2.3, "overfilled")):
        assert receiver.charge_band(bus_charge(charge=charge)).place == place


@given(st.floats(0.001, 1.0), st.floats(0.0, 0.2), st.floats(0.0, 0.1), st.floats(0.0, 100.0), st.floats(0.0, 40.0))
def test_no_water_is_lost(beads, start, ingress, hours, years):
    result = receiver.moisture_balance(
        MoistureSpec(desiccant_mass=beads, water_at_start=start, ingress_per_year=ingress, open_hours=hours)
    )
    held, free = receiver.water_after(result, years)
    assert held + free == pytest.approx(start + result.from_air + ingress * years, rel=1e-12, abs=1e-15)
    assert held <= result.capacity + 1e-15 and result.from_air <= result.capacity


def test_the_beads_are_full_when_the_balance_says():
    result = receiver.moisture_balance(MoistureSpec(desiccant_mass=0.04, water_at_start=0.001, ingress_per_year=0.0005))
    held, free = receiver.water_after(result, result.years_left)
    assert held == pytest.approx(result.capacity) and free == pytest.approx(0.0, abs=1e-12)
    assert receiver.moisture_balance(MoistureSpec(desiccant_mass=0.04, ingress_per_year=0.0)).years_left is None
    assert receiver.moisture_balance(MoistureSpec(desiccant_mass=0.04, water_at_start=0.05)).years_left == 0.0


def test_above_the_critical_point_there_is_no_level():
    gas = Stream(refrigerant="R-744", pressure=90e5, enthalpy=3e5, mass_flow=0.03)
    with pytest.raises(OutOfRangeError, match=r"pressure in the receiver 90\.00 bar abs is above 73.*R-744 parts"):
        receiver.solve_receiver(VAN, gas, ReceiverConditions(inventory=0.06))


def test_a_filter_that_eats_the_pressure_is_no_number():
    vessel = replace(VAN, filter_area=1e-5, filter_open_share=0.1, filter_blocked_share=0.9)
    with pytest.raises(NoSolutionError, match="pressure on the way up .*cleaner filter"):
        solve(vessel, mass_flow=0.4, inventory=0.06)


@given(st.floats(0.01, 0.08), vessels)
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


def test_rise_counts_from_the_liquid_and_a_pass_below_its_surface_has_a_little_in_reserve():
    low, high = solve(inventory=0.04), solve(inventory=0.12)
    assert low.lift.rise - high.lift.rise == pytest.approx(high.level - low.level)
    assert high.lift.rise == pytest.approx(VAN.height - high.level)
    below = solve(replace(VAN, outlet_height=0.0), inventory=0.08).lift
    assert below.rise < 0 and below.total_pressure_drop < 0 and below.flash_quality == below.recondensing_share == 0.0


def test_flash_and_share_of_the_pass_follow_from_the_fall_of_the_boiling_point():
    lift = solve(pass_subcooling=6.0).lift
    latent = SATURATED.vapour_enthalpy - SATURATED.liquid_enthalpy
    swelling = 1.0 / SATURATED.vapour_density - 1.0 / SATURATED.liquid_density
    colder = lift.total_pressure_drop * WARM * swelling / latent  # Clausius and Clapeyron
    assert lift.recondensing_share == pytest.approx(colder / 6.0, rel=0.05)
    boils = SATURATED.liquid_specific_heat * colder / latent  # nothing of the model is used
    assert lift.flash_quality == pytest.approx(boils, rel=0.03)
    vapour = lift.flash_quality / SATURATED.vapour_density
    liquid = (1.0 - lift.flash_quality) / SATURATED.liquid_density
    assert lift.flash_volume_share == pytest.approx(vapour / (vapour + liquid), rel=0.01)


@given(st.floats(0.0, 12.0), st.floats(0.005, 0.1))
def test_both_depths_feel_the_pull_of_the_bend_less_the_vapours_buoyancy(bend, flow):
    here = inside(BUS, flow=flow)
    pull = math.hypot(9.80665, bend) * (1.0 - SATURATED.vapour_density / SATURATED.liquid_density)
    volume_flow = flow / SATURATED.liquid_density
    velocity = volume_flow / (0.25 * math.pi * BUS.standpipe_diameter**2)
    onset, safe = here.needed(bend)
    assert onset == pytest.approx(0.69 * (volume_flow**2 / pull) ** 0.2)
    froude = velocity / math.sqrt(pull * BUS.standpipe_diameter)
    assert safe == pytest.approx(BUS.standpipe_diameter * (1.0 + 2.3 * froude))


def test_the_curves_of_the_depths_run_through_the_point():
    here = inside()
    curves = receiver.depth_curves(here, depth=0.012, most=0.06, lateral_acceleration=3.0, steps=8)
    assert curves.flows[4] == pytest.approx(0.03)
    assert (curves.onset[4], curves.safe[4]) == pytest.approx((curves.onset_here, curves.safe_here))
    slower = inside(flow=0.015)
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
    here = inside()
    least, safe, full = here.least_inventory(), here.least_inventory(safe=True), here.masses()[1]
    assert least < safe < full
    at_onset, at_safe = (solve(inventory=m) for m in (least, safe))
    assert at_onset.submergence == pytest.approx(at_onset.onset_submergence, rel=1e-6)
    assert at_safe.submergence == pytest.approx(at_safe.safe_submergence, rel=1e-6)
    assert solve(inventory=full).level == pytest.approx(VAN.height)
    assert full == pytest.approx(VAN.free_volume * SATURATED.liquid_density)
    bus = solve(BUS, inventory=0.2, mass_flow=0.02)
    assert 0.0 < bus.safe_acceleration < bus.uncovering_acceleration
    for bend, needed in ((bus.safe_acceleration, "safe"), (bus.uncovering_acceleration, "onset")):
        edge = solve(BUS, inventory=0.2, mass_flow=0.02, lateral_acceleration=bend)
        assert edge.submergence == pytest.approx(getattr(edge, f"{needed}_submergence"), rel=1e-6)


@pytest.mark.parametrize("tilt", [30.0, 45.0])
def test_the_angle_told_is_the_one_reckoned_with_however_steep(tilt):
    result = solve(inventory=0.09, tilt=math.radians(tilt), lateral_acceleration=15.0)
    assert math.tan(result.surface_angle) == pytest.approx(result.conditions.slope)
    assert result.surface_angle == pytest.approx(math.radians(83.0))


def test_open_beads_begin_as_fast_as_given_and_end_full():
    dry = MoistureSpec(desiccant_mass=0.04, uptake_per_hour=0.003, open_hours=0.01)
    assert receiver.moisture_balance(dry).from_air == pytest.approx(0.003 * 0.01, rel=0.01)
    long = receiver.moisture_balance(replace(dry, open_hours=100.0))
    assert long.from_air == pytest.approx(0.04 * 0.15)
    assert long.loading_share == pytest.approx(1.0) and long.years_left == pytest.approx(0.0, abs=1e-6)
