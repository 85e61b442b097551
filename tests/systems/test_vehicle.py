"""The whole vehicle: balances, trends that must hold, random cases, and the plateau of published charge studies."""

import random
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from thermo_kit.components.condenser import solve_condenser
from thermo_kit.components.expansion_valve import force_balance
from thermo_kit.errors import NoSolutionError, OutOfRangeError, ThermoKitError, UnknownNameError
from thermo_kit.fleet import fault, vehicle, vehicle_names
from thermo_kit.systems import Conditions, solve_vehicle
from thermo_kit.systems.vehicle import FAULTS, circuit, fault_fits
from thermo_kit.units import celsius

DAY = Conditions()
NAMES = vehicle_names()
CHILLER, ORIFICE = vehicle("city_van").chiller, vehicle("street_sweeper").orifice


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
    # First law from streams alone, not from the solver's own sum: what goes in comes out.
    core, coil, machine = (one.parts[name] for name in ("condenser", "evaporator", "machine"))
    rejected = one.mass_flow * (core.inlet.enthalpy - core.outlet.enthalpy)
    taken = one.mass_flow * (coil.outlet.enthalpy - coil.feed.enthalpy)
    share = one.running_share if one.spec.drive == "clutch" else 1.0
    loss = one.compressor_power + taken - rejected
    assert loss == pytest.approx(share * machine.heat_loss, abs=1e-5 * rejected)
    # Second law: a reversible machine between the two airs would need less power.
    least = one.cooling_capacity * (one.condensing_temperature / one.evaporating_temperature - 1.0)
    assert one.compressor_power > least


def test_what_feeds_the_evaporator_holds_what_it_is_made_for(sound):
    for one in sound.values():
        pressure, valve = one.parts["evaporator"].outlet.pressure, one.spec.expansion_valve
        if valve:
            bulb = one.evaporating_temperature + one.superheat
            forces = force_balance(
                valve, refrigerant=one.spec.refrigerant, outlet_pressure=pressure, bulb_temperature=bulb
            )
            assert forces.opening_share == pytest.approx(one.opening, rel=1e-4)
        elif one.spec.accumulator:
            assert one.outlet_quality == pytest.approx(1.0 - one.spec.accumulator.bleed_share, abs=0.002)
        else:
            assert one.superheat == pytest.approx(6.0, abs=1e-3)


def charges(name, shares):
    spec = vehicle(name)
    return [solve_vehicle(replace(spec, charge=spec.charge * share), DAY) for share in shares]


@pytest.mark.parametrize("name", NAMES)
def test_more_charge_never_lowers_head_pressure(name):
    heads = [one.discharge_pressure for one in charges(name, (0.6, 0.75, 0.9, 1.0, 1.1, 1.2))]
    assert all(second > first * (1 - 1e-6) for first, second in pairwise(heads)), heads


@given(seed=st.integers(0, 10**6))
@settings(max_examples=5, deadline=None, derandomize=True)
def test_monotone_trends_on_random_vehicles(seed):
    spec, day = draw(random.Random(seed), 0.7)
    base = solve_vehicle(spec, day)
    hotter = solve_vehicle(spec, replace(day, ambient_temperature=day.ambient_temperature + 2.0))
    for more in (hotter, solve_vehicle(replace(spec, charge=spec.charge * 1.1), day)):
        assert more.discharge_pressure > base.discharge_pressure * (1 - 1e-6)
    dirty = solve_vehicle(spec, day, fault("dirty_condenser", 0.4))
    assert dirty.cooling_capacity < base.cooling_capacity * (1 + 1e-6)


def cases(count, faulty):
    """Yield (vehicle, day, faults)."""
    rng = random.Random(5 + faulty)
    for _ in range(count):
        spec, day = draw(rng)
        name = rng.choice([one for one in FAULTS if fault_fits(one, spec)]) if faulty else ""
        yield spec, day, (fault(name, rng.uniform(0.05, 1.0)),) if faulty else ()


@pytest.mark.parametrize("faulty", (False, True))
def test_random_cases_close_or_name_their_limit(faulty, record_property):
    """A case may be refused, in words, and is never lost to another kind of error.

    A thousand of each are the command `tests.benchmarks.vehicle_cases`.
    """
    refused = []
    for spec, day, faults in cases(40, faulty):
        try:
            one = solve_vehicle(spec, day, faults)
        except ThermoKitError as error:
            refused.append(str(error))
            continue
        assert (
            max(one.mass_closure, one.energy_closure, one.charge_closure) < 1e-6
            and one.suction_pressure < one.discharge_pressure
        )
    record_property("refused", "; ".join(refused))
    assert len(refused) <= (7 if faulty else 0), refused


DRY = replace(DAY, ambient_temperature=celsius(50), cabin_temperature=celsius(15), relative_humidity=0.05,
              recirculated_share=0.5, fan_speed_share=0.5, blower_share=0.3, altitude=3000.0)  # fmt: skip
DAMP = replace(DRY, relative_humidity=1.0, recirculated_share=0.0, fan_speed_share=1.0)


def little_air(outside):
    """Two days with next to no air over the evaporator, on the second one less of it."""
    return tuple(replace(DAY, ambient_temperature=celsius(outside), blower_share=share) for share in (0.2, 0.15))


@pytest.mark.parametrize(
    ("name", "near", "day"),
    [
        ("parcel_van", DAY, replace(DAY, ambient_temperature=celsius(36))),
        ("street_sweeper", DRY, DAMP),  # the effect of the near answer is small, and the head far hotter
        ("city_van", *little_air(14)),
        ("field_truck", *little_air(25)),
        ("street_sweeper", *little_air(12)),
    ],
)
def test_a_warm_start_finds_the_same_answer(name, near, day, monkeypatch):
    spec, asked, faults = vehicle(name), [], fault("weak_blower", 0.65) if near is DRY else ()
    before = solve_vehicle(spec, near, faults)
    monkeypatch.setattr(circuit, "solve_condenser", lambda *given: asked.append(1) or solve_condenser(*given))
    warm = solve_vehicle(spec, day, faults, near=before)
    of_warm = len(asked)
    cold = solve_vehicle(spec, day, faults)
    assert warm.discharge_pressure == pytest.approx(cold.discharge_pressure, rel=1e-5)
    assert cold.suction_pressure == pytest.approx(warm.suction_pressure, rel=1e-4)
    assert of_warm < len(asked) - of_warm or near is not DAY


def test_a_refusal_inside_a_part_is_told_as_one_of_the_vehicle(monkeypatch):
    def refuses(self, unknowns):
        raise OutOfRangeError("vapour share after the valve 1.13 is above 0.85")

    monkeypatch.setattr(circuit.Circuit, "round", refuses)
    with pytest.raises(NoSolutionError, match="vehicle finds no steady state"):
        solve_vehicle(vehicle("city_van"), DAY)


def shows(name, sound):
    """Whether a fault moves any reading, or stops the compressor."""
    try:
        ill = solve_vehicle(sound.spec, DAY, fault(name, 0.6), near=sound)
    except NoSolutionError:
        return True
    was, now = sound.readings | sound.scan, ill.readings | ill.scan
    return any(abs(now[key] / value - 1.0) > 1e-3 for key, value in was.items() if value)


def test_the_table_of_faults_is_complete_and_each_shows(sound):
    assert len(FAULTS) >= 20
    # With the low side held by a reserve of stroke or a free stop, a fault may hide on a given day.
    # So does a shut-off valve that sticks where it is asked to be.
    silent = {"stroke_always_full", "chiller_shut_off_stuck_shut", "cabin_shut_off_stuck_open", "cabin_shut_off_leaks"}
    fitting = {name: [one for one in sound.values() if fault_fits(name, one.spec)] for name in FAULTS}
    assert [name for name in FAULTS if name not in silent and not any(shows(name, one) for one in fitting[name])] == []


def test_pairs_of_faults_add_up():
    spec, fan = vehicle("older_van"), fault("weak_fan", 0.5)
    one, alone = solve_vehicle(spec, DAY, (fan, fault("weak_blower", 0.5))), solve_vehicle(spec, DAY, fan)
    assert one.parts["evaporator"].air_flow < alone.parts["evaporator"].air_flow
    assert one.conditions.fan_speed_share == alone.conditions.fan_speed_share < 1.0


def test_the_plateau_of_a_receiver_and_the_asymmetry_of_an_orifice():
    """Jabardo 2002 (3 % over a wide middle range with receiver and valve); RP-1173: it falls below 80 % with a valve.

    The published units are not these vehicles: only direction and size are held.
    """
    little, less, label, more = charges("parcel_van", (0.6, 0.9, 1.0, 1.1))
    assert all(abs(one.cooling_capacity / label.cooling_capacity - 1.0) < 0.03 for one in (less, more))
    assert abs(less.discharge_pressure / more.discharge_pressure - 1.0) < 0.02
    assert little.cooling_capacity < 0.97 * label.cooling_capacity and little.fill < 0.0


ICE = {"chiller_open": True, "coolant_temperature": celsius(-15)}


@pytest.mark.parametrize(
    ("error", "words", "spec", "day", "faults"),
    [
        (OutOfRangeError, "next to nothing", {"charge": 0.0}, {}, ()),
        (UnknownNameError, "does not fit", {}, {}, fault("orifice_blocked", 0.5)),
        (OutOfRangeError, "exactly one", {"electronic_valve": CHILLER.valve}, {}, ()),
        (
            OutOfRangeError,
            "beside an orifice",
            {"expansion_valve": None, "orifice": ORIFICE, "chiller": CHILLER},
            {},
            (),
        ),
        (NoSolutionError, "switch|more than receiver", {"charge": 1.12}, {}, ()),
        (NoSolutionError, "both branches", {"chiller": CHILLER}, {}, fault("cabin_shut_off_stuck_shut", 1.0)),
        (NoSolutionError, "before the chiller", {"chiller": CHILLER}, ICE, ()),
        (OutOfRangeError, "evaporator alone", {}, {"chiller_open": True}, ()),
        (OutOfRangeError, "compressor speed", {}, {"compressor_speed": 40.0}, ()),
    ],
)
def test_what_cannot_run_is_told(error, words, spec, day, faults):
    with pytest.raises(error, match=words):
        solve_vehicle(replace(vehicle("parcel_van"), **spec), replace(DAY, **day), faults)


BRANCHES = {
    name: replace(DAY, cabin_open=cabin, chiller_open=chiller)
    for name, cabin, chiller in (("cabin", True, False), ("both", True, True), ("chiller", False, True))
}


@pytest.fixture(scope="module")
def branched():
    """The van with a chiller, and one with thermostatic valve and internal heat exchanger that is given its chiller."""
    vans = {name: replace(vehicle(name), chiller=CHILLER) for name in ("city_van", "parcel_van")}
    return {(name, one): solve_vehicle(spec, day) for name, spec in vans.items() for one, day in BRANCHES.items()}


@pytest.mark.parametrize("name", ("city_van", "parcel_van"))
def test_two_branches_close_and_share_one_pressure(branched, name):
    cabin, both, chiller = (branched[name, one] for one in BRANCHES)
    assert max(max(one.mass_closure, one.energy_closure, one.charge_closure) for one in (cabin, both, chiller)) < 1e-6
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


@pytest.mark.parametrize(
    ("name", "branches", "other"), [("city_van", "cabin", "chiller"), ("parcel_van", "chiller", "cabin")]
)
def test_a_leaking_shut_off_takes_from_the_other_branch(branched, name, branches, other):
    sound, wanted = branched[name, branches], {"cabin": "cooling_capacity", "chiller": "chiller_capacity"}[branches]
    leaks = [fault(f"{other}_shut_off_leaks", size) for size in (0.3, 0.9)]
    some, more = (solve_vehicle(sound.spec, BRANCHES[branches], leak, near=sound) for leak in leaks)
    assert getattr(sound, wanted) > getattr(some, wanted) > getattr(more, wanted)
    assert sound.suction_pressure < some.suction_pressure < more.suction_pressure


def test_a_stuck_shut_off_is_as_the_other_branches(branched):
    stuck = solve_vehicle(vehicle("city_van"), DAY, fault("chiller_shut_off_stuck_open", 1.0))
    assert stuck.chiller_capacity == pytest.approx(branched["city_van", "both"].chiller_capacity, rel=1e-6)


def test_air_raises_the_gauge_and_feigns_subcooling():
    spec = vehicle("older_van")
    base, aired = solve_vehicle(spec, DAY), solve_vehicle(spec, DAY, fault("air_in_circuit", 0.3))
    assert aired.discharge_pressure > base.discharge_pressure + 5e4
    assert aired.subcooling > base.subcooling
