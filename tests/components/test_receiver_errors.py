"""Bad input to the receiver: each message names the field, the limit and the likely slip."""

from dataclasses import replace

import pytest

from thermo_kit.components import ChargeSpec, MoistureSpec, ReceiverConditions, charge_band, solve_receiver
from thermo_kit.components.receiver import pick_up
from thermo_kit.errors import NoSolutionError, OutOfRangeError, UnknownNameError
from thermo_kit.fleet import part_of
from thermo_kit.substances.stream import Stream, stream_at
from thermo_kit.units import celsius

VAN, BUS = (part_of(name, "receiver") for name in ("parcel_van", "shuttle_bus"))

VESSELS = [
    ({"diameter": 36.0}, r"vessel diameter .* is above .*typed in mm"),
    ({"height": 0.0}, r"vessel height .* is below 40\.0 mm"),
    ({"standpipe_diameter": -0.008}, r"standpipe bore .* is below"),
    (
        {"standpipe_length": 0.25},
        r"standpipe length 250\.0 mm is not less than the vessel's 210\.0 mm: .*through the floor",
    ),
    ({"standpipe_length": 0.2096}, r"standpipe length 209\.6 mm leaves only .*the floor would shut the mouth"),
    ({"standpipe_length": 0.008}, r"ends in the upper half .*reaches to the bottom; was its clearance typed"),
    ({"standpipe_diameter": 0.02}, r"standpipe bore 20\.0 mm is more than half the vessel's 36\.0 mm"),
    ({"standpipe_offset": 0.017}, r"standpipe offset 17\.0 mm puts the mouth through the wall"),
    ({"desiccant_mass": 30.0}, r"desiccant mass .* is above 1,000 g: 40 g is 0\.04 kg"),
    ({"desiccant_mass": 0.06}, r"desiccant mass 60 g does not fit: a bag of this height holds 43 g"),
    ({"desiccant_bottom": 0.18}, r"bag from 180\.0 mm to 240\.0 mm is higher than the vessel's 210\.0 mm"),
    ({"filter_blocked_share": 1.0}, r"blocked share of the filter 1 is above 0\.95: .*30 % is 0\.3"),
    ({"filter_open_share": 40}, r"open share of the filter 40 is above 0\.9: 40 % is 0\.4"),
    ({"filter_area": 5.0}, r"filter area .* is above .*6 cm² is 6e-4"),
    ({"outlet_height": 9.0}, r"outlet height .* is above"),
    ({"diameter": float("nan")}, r"vessel diameter nan is not a finite number"),
    ({"height": "high"}, r"vessel height 'high' is not a number"),
]


@pytest.mark.parametrize(("wrong", "message"), VESSELS, ids=lambda case: str(case)[:40])
def test_a_vessel_that_cannot_be(wrong, message):
    with pytest.raises(OutOfRangeError, match=message):
        replace(VAN, **wrong)


def test_all_bad_measures_are_told_at_once():
    with pytest.raises(OutOfRangeError) as caught:
        replace(VAN, diameter=0.0, height=9.0, desiccant_mass=-1.0)
    assert len(caught.value.problems) == 3


CONDITIONS = [
    ({"mass_flow": 0.0}, r"refrigerant flow 0\.0 g/s is below 0\.5 g/s: a standing system drinks nothing"),
    ({"mass_flow": 30.0}, r"refrigerant flow .* is above .*30 g/s is 0\.03"),
    ({"inventory": 60.0}, r"refrigerant in the receiver .* is above .*90 g is 0\.09"),
    ({"inventory": 0.55}, r"550 g is more than the vessel holds, 189 g: .*charge of the whole system"),
    ({"inventory": 0.005}, r"5\.0 g is less than its vapour alone weighs, 12\.3 g: no liquid is left"),
    ({"tilt": 10.0}, r"tilt .* is above 45 °"),
    ({"tilt": -0.1}, r"tilt .* is below .*the side is the bad one already"),
    ({"lateral_acceleration": 60.0}, r"lateral acceleration .* is above 15\.0 m/s².*0\.6 g is 5\.9"),
    ({"pass_subcooling": 0.0}, r"subcooling of the pass .* is below"),
    (
        {"condensing_temperature": celsius(93.5)},
        r"condensing temperature .* is above .*above the critical point there is no",
    ),
]


def solve(vessel=VAN, mass_flow=0.03, condensing_temperature=318.15, **given):
    inlet = stream_at("R-1234yf", mass_flow, T=condensing_temperature, x=0.0)
    return solve_receiver(vessel, inlet, ReceiverConditions(**{"inventory": 0.06} | given))


@pytest.mark.parametrize(("wrong", "message"), CONDITIONS, ids=lambda case: str(case)[:40])
def test_conditions_that_cannot_be(wrong, message):
    with pytest.raises(OutOfRangeError, match=message):
        solve(**wrong)


def test_above_the_critical_point_there_is_no_level():
    gas = Stream(refrigerant="R-744", pressure=90e5, enthalpy=3e5, mass_flow=0.03)
    with pytest.raises(OutOfRangeError, match=r"pressure in the receiver 90\.00 bar abs is above 73.*R-744 parts"):
        solve_receiver(VAN, gas, ReceiverConditions(inventory=0.06))


@pytest.mark.parametrize(
    ("wrong", "message"), [(45.0, r"condensing temperature .* typed in °C"), ("warm", r"'warm' is not a number")]
)
def test_a_temperature_that_cannot_be(wrong, message):
    with pytest.raises(OutOfRangeError, match=message):
        pick_up(vessel=VAN, refrigerant="R-1234yf", condensing_temperature=wrong, mass_flow=0.03)


def test_an_unknown_refrigerant_is_named():
    with pytest.raises(UnknownNameError, match="R-12"):
        ChargeSpec(**{**CHARGE, "refrigerant": "R-12"})


def test_a_filter_that_eats_the_pressure_is_no_number():
    vessel = replace(VAN, filter_area=1e-5, filter_open_share=0.1, filter_blocked_share=0.9)
    with pytest.raises(NoSolutionError, match="pressure on the way up .*cleaner filter"):
        solve(vessel, mass_flow=0.4)


CHARGE = {
    "receiver": BUS, "refrigerant": "R-134a", "condensing_temperature": celsius(50),
    "mass_flow": 0.06, "charge": 1.7, "held_elsewhere": 1.25, "leak_per_year": 0.04,
}  # fmt: skip
CHARGES = [
    (
        {"charge": 0.8, "held_elsewhere": 0.3},
        r"receiver holds 916 g when full more than the whole charge of 800 g: .*radius",
    ),
    ({"charge": 1.2}, r"refrigerant in the other parts 1,250 g is not less than the charge, 1,200 g: .*swapped"),
    ({"charge": 1700.0}, r"charge of the system .* is above .*600 g is 0\.6 kg"),
    ({"leak_per_year": 40.0}, r"leakage in a year .* is above .*20 g is 0\.02 kg"),
    ({"leak_per_year": -0.01}, r"leakage in a year .* is below"),
    ({"mass_flow": 0}, r"refrigerant flow 0\.0 g/s is below"),
    ({"receiver": None}, r"receiver None is not a ReceiverSpec"),
]


@pytest.mark.parametrize(("wrong", "message"), CHARGES, ids=lambda case: str(case)[:40])
def test_a_charge_that_cannot_be(wrong, message):
    with pytest.raises(OutOfRangeError, match=message):
        charge_band(ChargeSpec(**{**CHARGE, **wrong}))


WATERS = [
    ({"desiccant_mass": 0.0}, r"desiccant mass .* is below"),
    ({"capacity_share": 15}, r"water capacity 15 is above 0\.25: 15 % is 0\.15"),
    ({"water_at_start": -0.001}, r"water at the start .* is below"),
    ({"open_hours": 1e9}, r"hours open .* is above 100"),
    ({"ingress_per_year": 1.0}, r"water coming in each year .* is above"),
    ({"uptake_per_hour": 3.0}, r"uptake of dry beads in an hour .* is above"),
]


@pytest.mark.parametrize(("wrong", "message"), WATERS, ids=lambda case: str(case)[:40])
def test_water_that_cannot_be(wrong, message):
    with pytest.raises(OutOfRangeError, match=message):
        MoistureSpec(**{"desiccant_mass": 0.04, **wrong})
