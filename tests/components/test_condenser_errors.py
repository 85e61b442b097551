"""Bad input to the condenser: the message names the field, the limit, and the likely slip."""

import dataclasses

import pytest

from tests.components.condenser_cases import CORES, WARM, solve
from thermo_kit.components.condenser import AirConditions, air_side, solve_condenser
from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.fleet import part_of, vehicles_with
from thermo_kit.substances.stream import stream_at

VAN = CORES["R-1234yf"]


def test_air_hotter_than_the_refrigerant_is_refused():
    with pytest.raises(OutOfRangeError, match="heat cannot flow to hotter air"):
        solve("R-1234yf", 310.15, air=AirConditions(temperature=313.15))


def test_carbon_dioxide_above_its_critical_pressure_is_sent_to_a_gas_cooler():
    with pytest.raises(OutOfRangeError, match="gas cooler"):
        solve_condenser(VAN, stream_at("R-744", 0.03, p=9e6, T=370.0), WARM)


def test_a_face_blocked_all_over_is_said():
    shut = dataclasses.replace(VAN, blocked_profile=(1.0,))
    with pytest.raises(NoSolutionError, match="all but shut"):
        air_side(shut, WARM)


def test_results_and_specifications_cannot_be_changed():
    result = solve("R-1234yf", 330.15)
    for thing, field in ((result, "heat_rejection"), (result.spec, "tubes"), (result.path[0], "pressure")):
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(thing, field, 1.0)


def test_a_loss_at_the_tubes_mouth_that_eats_the_pressure_is_said():
    narrow = dataclasses.replace(VAN, tubes=(30, 3), receiver_after=1)
    with pytest.raises(NoSolutionError, match="pressure drop in pass 2 eats up more than 40 %"):
        solve_condenser(narrow, stream_at("R-1234yf", 0.5, p=15e5, T=345.0), WARM)


def test_liquid_that_cools_down_to_the_very_temperature_of_the_air_still_closes():
    core = dataclasses.replace(VAN, segments=2)
    air = AirConditions(temperature=262.5, driving_speed=30.0)
    result = solve_condenser(core, stream_at("R-152a", 5e-4, p=6.2e5, T=306.0), air)
    assert result.outlet_temperature == pytest.approx(262.5, abs=1e-4)
    assert result.energy_closure < 1e-9


def test_every_vehicle_with_a_condenser_says_what_is_usually_asked_of_it():
    assert vehicles_with("condenser") == vehicles_with("condenser_job") != ()
    usual = part_of("parcel_van", "condenser_job")
    for change, words in (({"cooling": 9e3}, "usual cooling"), ({"least_flow": 0.05}, "usual refrigerant flow")):
        with pytest.raises(OutOfRangeError, match=f"{words} does not lie between least and most"):
            dataclasses.replace(usual, **change)
