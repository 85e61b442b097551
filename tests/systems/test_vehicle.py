"""The whole vehicle: balances, trends that must hold, random cases, and the plateau of published charge studies."""

import random
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from thermo_kit.errors import NoSolutionError, OutOfRangeError, ThermoKitError, UnknownNameError
from thermo_kit.fleet import fault, fault_names, vehicle, vehicle_names
from thermo_kit.systems import Conditions, solve_vehicle
from thermo_kit.systems.vehicle import FAULTS, ControlledValveSpec, ShutOffFault, fault_fits
from thermo_kit.systems.vehicle.circuit import Circuit
from thermo_kit.units import celsius

DAY = Conditions()
NAMES = vehicle_names()


def draw(rng, spread=1.0):
    """A vehicle with some charge on some day."""
    spec = vehicle(rng.choice(NAMES))
    day = Conditions(
        ambient_temperature=celsius(rng.uniform(22, 22 + 20 * spread)), relative_humidity=rng.uniform(0.1, 0.9),
        cabin_temperature=celsius(rng.uniform(22, 22 + 16 * spread)), fan_speed_share=rng.uniform(0.6, 1.0),
        blower_share=rng.uniform(0.4, 1.0), driving_speed=rng.choice((0.0, 0.0, 12.0)),
        recirculated_share=rng.uniform(0.0, 1.0), altitude=rng.choice((0.0, 1600.0)),
        compressor_speed=spec.usual_speed * rng.uniform(0.75, 1.4),
    )  # fmt: skip
    return replace(spec, charge=spec.charge * rng.uniform(0.85, 1.15)), day


@pytest.fixture(scope="module")
def sound():
    return {name: solve_vehicle(vehicle(name), DAY) for name in NAMES}


def test_the_depot_has_every_feeding_and_every_drive():
    kinds = {(vehicle(name).feed, vehicle(name).drive) for name in NAMES}
    assert len(NAMES) >= 6
    assert {feed for feed, _ in kinds} == {"thermostatic valve", "orifice", "electronic valve"}
    assert {drive for _, drive in kinds} == {"electric", "clutch", "displacement"}


@pytest.mark.parametrize("name", NAMES)
def test_every_vehicle_closes_and_cools(sound, name):
    one = sound[name]
    assert max(one.mass_closure, one.energy_closure, one.charge_closure) < 1e-6
    assert sum(one.charge.values()) == pytest.approx(one.spec.charge, rel=1e-6)
    assert 0.0 < one.fill < 1.0, "the label charge lies on the plateau"
    assert celsius(0) < one.vent_temperature < celsius(16)
    assert 1.0 < one.coefficient_of_performance < 6.0


@pytest.mark.parametrize("name", NAMES)
def test_energy_closes_over_the_outer_border(sound, name):
    """First law from streams alone, not from the solver's own sum: what goes in comes out."""
    one, core, coil = sound[name], sound[name].parts["condenser"], sound[name].parts["evaporator"]
    flow = one.mass_flow
    rejected = flow * (core.inlet.enthalpy - core.outlet.enthalpy)
    taken = flow * (coil.outlet.enthalpy - coil.feed.enthalpy)
    loss = one.compressor_power + taken - rejected
    machine = one.parts["machine"]
    share = one.running_share if one.spec.drive == "clutch" else 1.0
    assert loss == pytest.approx(share * machine.heat_loss, abs=1e-5 * rejected)


@pytest.mark.parametrize("name", NAMES)
def test_second_law(sound, name):
    """A reversible machine between the two airs would need less power."""
    one = sound[name]
    cold = one.evaporating_temperature
    least = one.cooling_capacity * (one.condensing_temperature / cold - 1.0)
    assert one.compressor_power > least


def test_a_thermostatic_valve_holds_what_its_forces_say(sound):
    from thermo_kit.components.expansion_valve import force_balance

    for name in ("parcel_van", "older_van", "shuttle_bus", "crew_van"):
        one = sound[name]
        forces = force_balance(
            one.spec.expansion_valve, refrigerant=one.spec.refrigerant, outlet_pressure=one.evaporating_pressure,
            bulb_temperature=one.evaporating_temperature + one.superheat,
        )  # fmt: skip
        assert forces.opening_share == pytest.approx(one.opening, rel=1e-4)


def test_an_accumulator_keeps_the_evaporator_wet_and_a_controller_holds_its_superheat(sound):
    for name in ("street_sweeper", "field_truck"):
        assert sound[name].outlet_quality == pytest.approx(1.0 - sound[name].spec.accumulator.bleed_share, abs=0.002)
    assert sound["city_van"].superheat == pytest.approx(6.0, abs=1e-3)


def charges(name, shares, faults=()):
    spec = vehicle(name)
    return [solve_vehicle(replace(spec, charge=spec.charge * share), DAY, faults) for share in shares]


@pytest.mark.parametrize("name", NAMES)
def test_more_charge_never_lowers_head_pressure(name):
    heads = [one.discharge_pressure for one in charges(name, (0.6, 0.75, 0.9, 1.0, 1.1, 1.2))]
    assert all(second > first * (1 - 1e-6) for first, second in pairwise(heads)), heads


@given(seed=st.integers(0, 10**6))
@settings(max_examples=5, deadline=None, derandomize=True)
def test_monotone_trends_on_random_vehicles(seed):
    spec, day = draw(random.Random(seed), 0.7)
    base = solve_vehicle(spec, day)
    more = solve_vehicle(replace(spec, charge=spec.charge * 1.1), day)
    assert more.discharge_pressure > base.discharge_pressure * (1 - 1e-6)
    dirty = solve_vehicle(spec, day, fault("dirty_condenser", 0.4))
    assert dirty.cooling_capacity < base.cooling_capacity * (1 + 1e-6)
    hotter = solve_vehicle(spec, replace(day, ambient_temperature=day.ambient_temperature + 2.0))
    assert hotter.discharge_pressure > base.discharge_pressure * (1 - 1e-6)


@pytest.mark.parametrize("faulty", (False, True))
def test_random_cases_close_or_name_their_limit(faulty, record_property):
    """A case may be refused, in words, and is never lost to another kind of error.

    A thousand of each are the command `tests.benchmarks.vehicle_cases`.
    """
    rng, solved, refused = random.Random(5 + faulty), 0, []
    for _ in range(40):
        spec, day = draw(rng)
        faults = ()
        if faulty:
            name = rng.choice([one for one in fault_names() if fault_fits(one, spec)])
            faults = (fault(name, rng.uniform(0.05, 1.0)),)
        try:
            one = solve_vehicle(spec, day, faults)
        except ThermoKitError as error:
            refused.append(str(error))
            continue
        solved += 1
        assert max(one.mass_closure, one.energy_closure, one.charge_closure) < 1e-6
        assert one.suction_pressure < one.discharge_pressure
    record_property("solved", solved)
    record_property("refused", "; ".join(refused))
    assert solved >= (33 if faulty else 40), refused


def test_a_warm_start_finds_the_same_answer():
    spec = vehicle("parcel_van")
    near = solve_vehicle(spec, DAY)
    day = replace(DAY, ambient_temperature=celsius(36))
    warm, cold = solve_vehicle(spec, day, near=near), solve_vehicle(spec, day)
    assert warm.discharge_pressure == pytest.approx(cold.discharge_pressure, rel=1e-5)
    assert warm.condensers < cold.condensers


def test_a_near_answer_with_a_small_effect_leads_to_the_answer_of_a_far_hotter_head():
    spec, weak = vehicle("street_sweeper"), fault("weak_blower", 0.65)
    dry = replace(DAY, ambient_temperature=celsius(50), cabin_temperature=celsius(15), relative_humidity=0.05,
                  recirculated_share=0.5, fan_speed_share=0.5, blower_share=0.3, altitude=3000.0)  # fmt: skip
    damp = replace(dry, relative_humidity=1.0, recirculated_share=0.0, fan_speed_share=1.0)
    warm, cold = solve_vehicle(spec, damp, weak, near=solve_vehicle(spec, dry, weak)), solve_vehicle(spec, damp, weak)
    assert warm.discharge_pressure == pytest.approx(cold.discharge_pressure, rel=1e-5)


@pytest.mark.parametrize("name, outside", [("city_van", 14), ("field_truck", 25), ("street_sweeper", 12)])
def test_little_air_is_solved_as_from_a_near_answer(name, outside):
    day = replace(DAY, ambient_temperature=celsius(outside), blower_share=0.15)
    near = solve_vehicle(vehicle(name), replace(day, blower_share=0.2))
    warm, cold = solve_vehicle(vehicle(name), day, near=near), solve_vehicle(vehicle(name), day)
    assert cold.suction_pressure == pytest.approx(warm.suction_pressure, rel=1e-4)
    assert cold.cooling_capacity < near.cooling_capacity


def test_a_refusal_inside_a_part_is_told_as_one_of_the_vehicle(monkeypatch):
    def refuses(self, unknowns):
        raise OutOfRangeError("vapour share after the valve 1.13 is above 0.85")

    monkeypatch.setattr(Circuit, "round", refuses)
    with pytest.raises(NoSolutionError, match="vehicle finds no steady state"):
        solve_vehicle(vehicle("city_van"), DAY)


def test_the_table_of_faults_is_complete_and_each_shows():
    assert len(FAULTS) >= 20
    shown = set()
    for name in NAMES:
        spec, base = vehicle(name), solve_vehicle(vehicle(name), DAY)
        for one in fault_names():
            if one in shown or not fault_fits(one, spec):
                continue
            try:
                other = solve_vehicle(spec, DAY, fault(one, 0.6), near=base)
            except NoSolutionError:
                shown.add(one)
                continue
            both = {**base.readings, **base.scan}, {**other.readings, **other.scan}
            changed = any(abs(both[1][key] / value - 1.0) > 1e-3 for key, value in both[0].items() if value)
            if changed:
                shown.add(one)
    # With the low side held by a reserve of stroke or a free stop, a fault may hide on a given day.
    # So does a shut-off valve that sticks where it is asked to be.
    silent = {"stroke_always_full", "chiller_shut_off_stuck_shut", "cabin_shut_off_stuck_open", "cabin_shut_off_leaks"}
    assert set(fault_names()) - shown <= silent, set(fault_names()) - shown


def test_pairs_of_faults_add_up():
    spec = vehicle("older_van")
    one = solve_vehicle(spec, DAY, (fault("weak_fan", 0.5), fault("weak_blower", 0.5)))
    fan = solve_vehicle(spec, DAY, fault("weak_fan", 0.5))
    assert one.parts["evaporator"].air_flow < fan.parts["evaporator"].air_flow
    assert one.conditions.fan_speed_share == fan.conditions.fan_speed_share < 1.0


def test_the_plateau_of_a_receiver_and_the_asymmetry_of_an_orifice():
    """Jabardo 2002 (3 % over a wide middle range with receiver and valve); RP-1173: it falls below 80 % with a valve.

    The published units are not these vehicles: only direction and size are held.
    """
    valve = charges("parcel_van", (0.6, 0.9, 1.0, 1.1))
    middle = valve[2].cooling_capacity
    assert abs(valve[1].cooling_capacity / middle - 1.0) < 0.03 and abs(valve[3].cooling_capacity / middle - 1.0) < 0.03
    assert abs(valve[1].discharge_pressure / valve[3].discharge_pressure - 1.0) < 0.02
    assert valve[0].cooling_capacity < 0.97 * middle and valve[0].fill < 0.0


def test_what_cannot_run_is_told():
    spec = vehicle("parcel_van")
    with pytest.raises(OutOfRangeError, match="next to nothing"):
        solve_vehicle(replace(spec, charge=0.0), DAY)
    with pytest.raises(UnknownNameError, match="does not fit"):
        solve_vehicle(spec, DAY, fault("orifice_blocked", 0.5))
    with pytest.raises(OutOfRangeError, match="exactly one"):
        replace(spec, electronic_valve=ControlledValveSpec(full_area=2e-6))
    with pytest.raises(NoSolutionError, match="switch|more than receiver"):
        solve_vehicle(replace(spec, charge=2.0 * spec.charge), DAY)
    with pytest.raises(OutOfRangeError, match="compressor speed"):
        solve_vehicle(spec, replace(DAY, compressor_speed=40.0))


BRANCHES = {"cabin": (True, False), "both": (True, True), "chiller": (False, True)}


@pytest.fixture(scope="module")
def branched():
    """The van with a chiller, and one with thermostatic valve and internal heat exchanger that is given its chiller."""
    chiller, found = vehicle("city_van").chiller, {}
    for name in ("city_van", "parcel_van"):
        spec = replace(vehicle(name), chiller=chiller)
        for branches, (cabin, other) in BRANCHES.items():
            day = replace(DAY, cabin_open=cabin, chiller_open=other)
            found[name, branches] = spec, day, solve_vehicle(spec, day)
    return found


@pytest.mark.parametrize("name", ("city_van", "parcel_van"))
def test_two_branches_close_and_share_one_pressure(branched, name):
    (_, _, cabin), (_, _, both), (_, _, chiller) = (branched[name, one] for one in BRANCHES)
    for one in (cabin, both, chiller):
        assert max(one.mass_closure, one.energy_closure, one.charge_closure) < 1e-6
    plates, coil = both.parts["chiller"], both.parts["evaporator"]
    assert plates.evaporating_pressure == pytest.approx(coil.outlet.pressure)
    assert plates.mass_flow + coil.feed.mass_flow == pytest.approx(both.mass_flow)
    warmed = coil.feed.mass_flow * (coil.outlet.enthalpy - coil.feed.enthalpy)
    warmed += plates.mass_flow * (plates.outlet.enthalpy - coil.feed.enthalpy)
    assert warmed == pytest.approx(both.cooling_capacity + both.chiller_capacity, rel=1e-6)
    assert plates.superheat == pytest.approx(both.spec.chiller.valve.superheat_target, abs=0.05)
    # The compressor is shared: more heat in all, at a higher pressure, and less of it for the cabin.
    assert cabin.chiller_capacity == 0.0 and chiller.cooling_capacity < 0.01 * chiller.chiller_capacity
    assert both.suction_pressure > max(cabin.suction_pressure, chiller.suction_pressure)
    assert both.vent_temperature > cabin.vent_temperature and both.chiller_capacity < chiller.chiller_capacity


def test_a_leaking_shut_off_takes_from_the_other_branch(branched):
    for name, branches, fault_name in (
        ("city_van", "cabin", "chiller_shut_off_leaks"), ("parcel_van", "chiller", "cabin_shut_off_leaks"),
    ):  # fmt: skip
        spec, day, sound = branched[name, branches]
        some, more = (solve_vehicle(spec, day, fault(fault_name, size), near=sound) for size in (0.3, 0.9))
        wanted = "cooling_capacity" if branches == "cabin" else "chiller_capacity"
        assert getattr(sound, wanted) > getattr(some, wanted) > getattr(more, wanted)
        assert sound.suction_pressure < some.suction_pressure < more.suction_pressure


def test_a_stuck_shut_off_is_as_the_other_branches_and_none_open_is_refused(branched):
    spec, day, _ = branched["city_van", "cabin"]
    stuck = solve_vehicle(spec, day, fault("chiller_shut_off_stuck_open", 1.0))
    assert stuck.chiller_capacity == pytest.approx(branched["city_van", "both"][2].chiller_capacity, rel=1e-6)
    with pytest.raises(NoSolutionError, match="both branches"):
        solve_vehicle(spec, day, fault("cabin_shut_off_stuck_shut", 1.0))
    with pytest.raises(NoSolutionError, match="coolant before the chiller"):
        solve_vehicle(spec, replace(day, chiller_open=True, coolant_temperature=celsius(-15)))
    with pytest.raises(OutOfRangeError, match="evaporator alone"):
        solve_vehicle(vehicle("older_van"), replace(day, chiller_open=True))
    with pytest.raises(OutOfRangeError, match="beside an orifice"):
        replace(vehicle("street_sweeper"), chiller=spec.chiller)
    with pytest.raises(OutOfRangeError, match="sticks"):
        ShutOffFault(stuck="ajar")


def test_air_raises_the_gauge_and_feigns_subcooling():
    spec = vehicle("older_van")
    base, aired = solve_vehicle(spec, DAY), solve_vehicle(spec, DAY, fault("air_in_circuit", 0.3))
    assert aired.discharge_pressure > base.discharge_pressure + 5e4
    assert aired.subcooling > base.subcooling
