"""The receiver: balances, known limits, and trends that must never turn round."""

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from thermo_kit.components.receiver import (
    REGIMES,
    ChargeSpec,
    MoistureSpec,
    ReceiverConditions,
    charge_band,
    depth_over_years,
    dip_height,
    moisture_balance,
    pick_up,
    smallest_rising_bubble,
    solve_receiver,
    water_after,
)
from thermo_kit.components.receiver.vessel import liquid_volume, surface_height
from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.fleet import part_of
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.stream import Stream, stream_at
from thermo_kit.units import celsius

VESSELS = {name: part_of(vehicle, "receiver") for name, vehicle in (("van", "parcel_van"), ("bus", "shuttle_bus"))}
vessels = st.sampled_from(sorted(VESSELS)).map(VESSELS.get)
refrigerants = st.sampled_from(("R-1234yf", "R-134a", "R-152a", "R-290"))
fillings = st.floats(0.02, 0.98)
bends = st.floats(0.0, 12.0)
flows = st.floats(0.002, 0.1)
tilts = st.floats(0.0, 0.5)
WARM = celsius(45)


def inside(vessel, refrigerant="R-1234yf", flow=0.03, temperature=WARM):
    return pick_up(vessel=vessel, refrigerant=refrigerant, condensing_temperature=temperature, mass_flow=flow)


def solve(vessel, refrigerant="R-1234yf", mass_flow=0.03, **given):
    return solve_receiver(vessel, stream_at(refrigerant, mass_flow, T=WARM, x=0.0), ReceiverConditions(**given))


def filled(here, share):
    empty, full = here.masses()
    return empty + share * (full - empty)


@given(vessels, fillings, st.floats(0.0, 3.0))
def test_the_surface_is_where_its_volume_says(vessel, share, slope):
    volume = share * vessel.free_volume
    height = surface_height(vessel, volume, slope)
    assert liquid_volume(vessel, height, slope) == pytest.approx(volume, rel=1e-9)


@given(vessels, st.floats(-0.05, 0.3), st.floats(0.0, 3.0), st.floats(0.0, 0.05))
def test_a_higher_surface_holds_more(vessel, height, slope, more):
    assert liquid_volume(vessel, height + more, slope) >= liquid_volume(vessel, height, slope) - 1e-15


@settings(max_examples=30, deadline=None)
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


@settings(deadline=None)
@given(vessels, refrigerants, fillings, bends, flows)
def test_less_liquid_never_uncovers_later(vessel, refrigerant, share, bend, flow):
    here = inside(vessel, refrigerant, flow)
    for safe in (False, True):
        first = here.hardest_bend(filled(here, share * 0.9), safe=safe)
        then = here.hardest_bend(filled(here, share), safe=safe)
        assert (math.inf if first is None else first) <= (math.inf if then is None else then) + 1e-6


@settings(deadline=None)
@given(vessels, refrigerants, fillings, flows, st.floats(1.0, 2.0))
def test_more_flow_never_uncovers_later(vessel, refrigerant, share, flow, factor):
    slow, fast = inside(vessel, refrigerant, flow), inside(vessel, refrigerant, flow * factor)
    for safe in (False, True):
        gentle = slow.hardest_bend(filled(slow, share), safe=safe)
        strong = fast.hardest_bend(filled(fast, share), safe=safe)
        assert (math.inf if strong is None else strong) <= (math.inf if gentle is None else gentle) + 1e-6


@given(vessels, refrigerants, flows, tilts, bends)
def test_the_safe_side_never_needs_less_than_the_onset(vessel, refrigerant, flow, tilt, bend):
    here = inside(vessel, refrigerant, flow)
    onset, safe = (here.least_inventory(tilt=tilt, lateral_acceleration=bend, safe=safe) for safe in (False, True))
    assert onset <= safe


@settings(deadline=None)
@given(vessels, fillings, tilts, bends)
def test_a_bend_towards_the_bad_side_never_deepens_an_offset_mouth(vessel, share, tilt, bend):
    here = inside(vessel)
    assume(share < 0.45)  # above, the lid takes part of the wedge
    level = solve(vessel, inventory=filled(here, share))
    moved = solve(vessel, inventory=filled(here, share), tilt=tilt, lateral_acceleration=bend)
    assume(level.axis_height < vessel.desiccant_bottom - vessel.radius)
    assert moved.submergence <= level.submergence + 1e-9


@settings(deadline=None)
@given(vessels, refrigerants, fillings, bends, tilts, flows)
def test_verdict_and_least_inventory_agree(vessel, refrigerant, share, bend, tilt, flow):
    here = inside(vessel, refrigerant, flow)
    mass = filled(here, share)
    result = solve(
        vessel, refrigerant=refrigerant, mass_flow=flow, inventory=mass, tilt=tilt, lateral_acceleration=bend
    )
    assert result.regime in REGIMES and result.volume_closure < 1e-9
    least = here.least_inventory(tilt=tilt, lateral_acceleration=bend)
    if abs(mass - least) > 1e-6 and least < 0.999 * here.masses()[1]:
        assert (result.submergence >= result.onset_submergence) == (mass > least)


def test_the_regimes_follow_one_another_as_the_receiver_empties():
    here = inside(VESSELS["van"])
    found = [solve(VESSELS["van"], inventory=filled(here, 0.98 - 0.01 * k)).regime for k in range(98)]
    assert list(dict.fromkeys(found)) == list(REGIMES)


def test_the_bend_that_uncovers_stands_between_covered_and_not():
    vessel = VESSELS["bus"]
    result = solve(vessel, inventory=0.15, mass_flow=0.06)
    at = result.uncovering_acceleration
    before = solve(vessel, inventory=0.15, mass_flow=0.06, lateral_acceleration=at * 0.999)
    after = solve(vessel, inventory=0.15, mass_flow=0.06, lateral_acceleration=at * 1.001)
    assert before.regime == "vapour possible" and after.regime == "vapour pulled down"


def test_a_mouth_in_the_middle_minds_a_gentle_bend_little():
    vessel = replace(VESSELS["van"], standpipe_offset=0.0)
    level = solve(vessel, inventory=0.05)
    bent = solve(vessel, inventory=0.05, lateral_acceleration=3.0)
    assert bent.axis_height == pytest.approx(level.axis_height, rel=1e-9)


def test_the_dip_does_not_depend_on_the_bore_and_grows_with_the_power_two_fifths():
    here, wide = inside(VESSELS["van"]), inside(replace(VESSELS["van"], standpipe_diameter=0.012))
    assert here.needed(0.0)[0] == wide.needed(0.0)[0] and here.needed(0.0)[1] > wide.needed(0.0)[1]
    kwargs = {"liquid_density": 1000.0, "vapour_density": 60.0}
    assert dip_height(volume_flow=2e-5, **kwargs) / dip_height(volume_flow=1e-5, **kwargs) == pytest.approx(2**0.4)


@given(st.floats(1e-3, 0.3), st.floats(1.01, 2.0))
def test_faster_sinking_liquid_takes_larger_bubbles_along(velocity, factor):
    kwargs = {"liquid_density": 1050.0, "vapour_density": 60.0, "viscosity": 1.5e-4}
    small = smallest_rising_bubble(velocity=velocity, **kwargs)
    assert smallest_rising_bubble(velocity=velocity * factor, **kwargs) > small


@pytest.mark.parametrize("diameter", [3e-5, 1e-4, 3e-4, 5e-4])
def test_the_bubble_agrees_with_the_library_and_with_another_law_of_drag(diameter):
    from fluids.drag import v_terminal

    rho, vapour, mu = 1050.0, 60.0, 1.5e-4
    kwargs = {"liquid_density": rho, "vapour_density": vapour, "viscosity": mu}
    # The library falls back on Stokes for what rises; a grain as much heavier as the bubble is lighter falls as fast.
    rises = v_terminal(D=diameter, rhop=2 * rho - vapour, rho=rho, mu=mu)
    assert smallest_rising_bubble(velocity=rises, **kwargs) == pytest.approx(diameter, rel=0.01)
    # Schiller & Naumann 1933, solved by hand: drag = 24/Re (1 + 0.15 Re^0.687).
    speed = rises
    for _ in range(200):
        reynolds = rho * speed * diameter / mu
        drag = 24 / reynolds * (1 + 0.15 * reynolds**0.687)
        speed = 0.5 * (speed + math.sqrt(4 / 3 * 9.80665 * diameter * (rho - vapour) / (rho * drag)))
    assert smallest_rising_bubble(velocity=speed, **kwargs) == pytest.approx(diameter, rel=0.08)


def test_flash_agrees_with_the_slope_of_the_boiling_line():
    """A small drop boils cp dT / h_fg, with dT from Clausius and Clapeyron: nothing of the model is used."""
    result = solve(VESSELS["van"], inventory=0.06)
    s = Refrigerant("R-1234yf").saturation(celsius(45))
    latent = s.vapour_enthalpy - s.liquid_enthalpy
    colder = result.lift.total_pressure_drop * s.T * (1 / s.vapour_density - 1 / s.liquid_density) / latent
    expected = s.liquid_specific_heat * colder / latent
    assert result.lift.flash_quality == pytest.approx(expected, rel=0.03)


@settings(deadline=None)
@given(flows, st.floats(1.0, 1.5), st.floats(0.0, 0.9))
def test_flow_and_dirt_only_add_to_the_losses(flow, factor, blocked):
    clean = solve(VESSELS["van"], inventory=0.08, mass_flow=flow).lift
    faster = solve(VESSELS["van"], inventory=0.08, mass_flow=flow * factor).lift
    dirty = solve(replace(VESSELS["van"], filter_blocked_share=blocked), inventory=0.08, mass_flow=flow).lift
    assert faster.total_pressure_drop >= clean.total_pressure_drop
    assert dirty.filter_pressure_drop >= clean.filter_pressure_drop and dirty.flash_quality >= clean.flash_quality


def test_a_pass_below_the_surface_gets_liquid_with_a_little_in_reserve():
    lift = solve(replace(VESSELS["van"], outlet_height=0.0), inventory=0.08).lift
    assert (
        lift.rise < 0 and lift.total_pressure_drop < 0 and lift.flash_quality == 0.0 and lift.recondensing_share == 0.0
    )


def bus_charge(**given):
    usual = {"refrigerant": "R-134a", "condensing_temperature": celsius(50), "mass_flow": 0.06}
    usual |= {"charge": 1.7, "held_elsewhere": 1.25, "leak_per_year": 0.04, "lateral_acceleration": 4.0}
    return ChargeSpec(receiver=VESSELS["bus"], **{**usual, **given})


def test_the_years_are_grams_by_grams_a_year():
    band = charge_band(bus_charge())
    assert band.years_to_bubble == pytest.approx((1.7 - band.onset_charge) / 0.04)
    assert band.band == pytest.approx(band.full_charge - band.safe_charge)
    assert band.bend_years_to_bubble < band.years_to_bubble and band.bend_years_safe < band.years_safe


def test_at_the_year_of_the_first_bubble_the_depth_is_the_onset():
    spec = bus_charge()
    band = charge_band(spec)
    here = inside(VESSELS["bus"], "R-134a", 0.06, celsius(50))
    level, _ = depth_over_years(spec, (band.years_to_bubble, 0.0))
    _, bend = depth_over_years(spec, (band.bend_years_to_bubble, 0.0))
    assert level[0] == pytest.approx(here.needed(0.0)[0], rel=1e-6)
    assert bend[0] == pytest.approx(here.needed(4.0)[0], rel=1e-6)
    assert level[0] < level[1] and bend[0] < bend[1]


@settings(deadline=None)
@given(st.floats(1.35, 2.4), st.floats(0.001, 0.1), bends)
def test_a_larger_leak_or_a_smaller_charge_never_bubbles_later(charge, leak, bend):
    band = charge_band(bus_charge(charge=charge, leak_per_year=leak, lateral_acceleration=bend))
    leaky = charge_band(bus_charge(charge=charge, leak_per_year=leak * 1.5, lateral_acceleration=bend))
    less = charge_band(bus_charge(charge=charge - 0.05, leak_per_year=leak, lateral_acceleration=bend))
    for other in (leaky, less):
        assert other.years_to_bubble <= band.years_to_bubble and other.bend_years_safe <= band.bend_years_safe


@pytest.mark.parametrize(
    ("charge", "place"), [(1.33, "bubbles"), (1.45, "doubtful"), (1.8, "plateau"), (2.3, "overfilled")]
)
def test_the_place_on_the_charge_line(charge, place):
    assert charge_band(bus_charge(charge=charge)).place == place


def test_a_tight_system_never_bubbles():
    band = charge_band(bus_charge(leak_per_year=0.0))
    assert band.years_to_bubble is None and band.bend_years_safe is None


def test_a_shorter_standpipe_costs_years():
    short = replace(VESSELS["bus"], standpipe_length=VESSELS["bus"].standpipe_length - 0.02)
    usual = charge_band(bus_charge())
    cut = charge_band(replace(bus_charge(), receiver=short))
    assert cut.years_to_bubble < usual.years_to_bubble - 1.0


@given(st.floats(0.001, 1.0), st.floats(0.0, 0.2), st.floats(0.0, 0.1), st.floats(0.0, 100.0), st.floats(0.0, 40.0))
def test_no_water_is_lost(beads, start, ingress, hours, years):
    result = moisture_balance(
        MoistureSpec(desiccant_mass=beads, water_at_start=start, ingress_per_year=ingress, open_hours=hours)
    )
    held, free = water_after(result, years)
    assert held + free == pytest.approx(start + result.from_air + ingress * years, rel=1e-12, abs=1e-15)
    assert held <= result.capacity + 1e-15 and result.from_air <= result.capacity


def test_the_beads_are_full_when_the_balance_says():
    result = moisture_balance(MoistureSpec(desiccant_mass=0.04, water_at_start=0.001, ingress_per_year=0.0005))
    held, free = water_after(result, result.years_left)
    assert held == pytest.approx(result.capacity) and free == pytest.approx(0.0, abs=1e-12)
    assert moisture_balance(MoistureSpec(desiccant_mass=0.04, ingress_per_year=0.0)).years_left is None
    assert moisture_balance(MoistureSpec(desiccant_mass=0.04, water_at_start=0.05)).years_left == 0.0


def test_above_the_critical_point_there_is_no_level():
    gas = Stream(refrigerant="R-744", pressure=90e5, enthalpy=3e5, mass_flow=0.03)
    with pytest.raises(OutOfRangeError, match=r"pressure in the receiver 90\.00 bar abs is above 73.*R-744 parts"):
        solve_receiver(VESSELS["van"], gas, ReceiverConditions(inventory=0.06))


def test_a_filter_that_eats_the_pressure_is_no_number():
    vessel = replace(VESSELS["van"], filter_area=1e-5, filter_open_share=0.1, filter_blocked_share=0.9)
    with pytest.raises(NoSolutionError, match="pressure on the way up .*cleaner filter"):
        solve(vessel, mass_flow=0.4, inventory=0.06)
