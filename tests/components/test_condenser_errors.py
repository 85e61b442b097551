"""Bad input to the condenser: the message names the field, the limit, and the likely slip."""

import dataclasses

import pytest

from tests.components.condenser_cases import CORES, WARM, duty, inlet, solve
from thermo_kit.components.condenser import AirConditions, RefrigerantInlet, air_side, mass_flow_for, solve_condenser
from thermo_kit.errors import NoSolutionError, OutOfRangeError, UnknownNameError

VAN = CORES["R-1234yf"]

BAD_CORES = [
    ({"tubes": (15, 0, 6, 6)}, "tubes in pass 2 0 is not a whole number"),
    ({"tubes": ()}, "is not a list of 1 to 12 passes"),
    ({"tubes": (15, 9.5, 6, 6)}, "tubes in pass 2"),
    ({"tubes": (True, 9, 6, 6)}, "tubes in pass 1"),
    ({"tubes": 36}, "is not a list"),
    ({"tube_length": -0.6}, "tube length"),
    ({"tube_length": 600.0}, "was this typed in mm"),
    ({"ports": 0}, "ports in a tube"),
    ({"ports": 40}, "wider than the tube"),
    ({"port_diameter": 1.8e-3, "ports": 8}, "not less than the tube's height"),
    ({"receiver_after": 0}, "receiver after pass"),
    ({"receiver_after": 5}, "the core has 4 passes"),
    ({"blocked_fraction": 20.0}, r"20 % is 0\.2"),
    ({"blocked_fraction": -0.1}, "blocked fraction"),
    ({"blocked_profile": (0.0, 2.0)}, "blocked profile, band 2"),
    ({"air_profile": ()}, "air profile"),
    ({"air_profile": (0.0, 1.0)}, "air profile, band 1"),
    ({"subcooling_pass_at": "left"}, "use one of bottom, top"),
    ({"segments": 1}, "segments in a pass"),
    ({"fins": 20}, "is not a FinSpec"),
    ({"fan": None}, "is not a FanSpec"),
    ({"front_resistance": float("nan")}, "not a finite number"),
]


@pytest.mark.parametrize(("change", "words"), BAD_CORES)
def test_a_bad_core_is_refused(change, words):
    with pytest.raises(OutOfRangeError, match=words):
        dataclasses.replace(VAN, **change)


def test_all_problems_of_a_core_are_told_at_once():
    with pytest.raises(OutOfRangeError) as caught:
        dataclasses.replace(VAN, tubes=(0, 9), receiver_after=3, tube_length=-1.0, ports=-2)
    assert len(caught.value.problems) == 4


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"temperature": 35.0}, "typed in °C"),
        ({"temperature": 368.15}, r"95\.0 °F is 35\.0 °C"),
        ({"face_velocity": -2.0}, "face velocity"),
        ({"fan_speed_share": 100.0}, r"80 % is 0\.8"),
        ({"driving_speed": 72.0}, "72 km/h is 20 m/s"),
        ({"pressure": 1.013}, "typed in bar"),
    ],
)
def test_bad_air_is_refused(change, words):
    with pytest.raises(OutOfRangeError, match=words):
        AirConditions(**{"temperature": 308.15} | change)


def _enter(**change):
    hot = dataclasses.replace(inlet("R-1234yf", 328.15), **change)
    return solve_condenser(VAN, hot, WARM)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"pressure": 4.0e6}, "gas cooler"),
        ({"pressure": 3.3e6}, "near the critical point"),
        ({"pressure": 14.0}, "typed in bar"),
        ({"pressure": -1e5}, "condensing pressure"),
        ({"pressure": float("nan")}, "condensing pressure"),
        ({"temperature": 320.0}, "below the dew temperature"),
        ({"temperature": 600.0}, "condenser inlet temperature"),
        ({"temperature": float("nan")}, "condenser inlet temperature"),
    ],
)
def test_bad_hot_gas_is_refused(change, words):
    with pytest.raises(OutOfRangeError, match=words):
        _enter(**change)


def test_air_hotter_than_the_refrigerant_is_refused():
    with pytest.raises(OutOfRangeError, match="heat cannot flow to hotter air"):
        solve("R-1234yf", 310.15, air=AirConditions(temperature=313.15))


def test_carbon_dioxide_above_its_critical_pressure_is_sent_to_a_gas_cooler():
    hot = RefrigerantInlet(refrigerant="R-744", mass_flow=0.03, pressure=9e6, temperature=370.0)
    with pytest.raises(OutOfRangeError, match="gas cooler"):
        solve_condenser(VAN, hot, WARM)


@pytest.mark.parametrize("wrong", [None, "fifteen", "15e5", []])
@pytest.mark.parametrize(
    ("field", "words"), [("pressure", "condensing pressure"), ("temperature", "inlet temperature")]
)
def test_what_is_no_number_is_refused(field, wrong, words):
    with pytest.raises(OutOfRangeError, match=words + ".* is not a number"):
        _enter(**{field: wrong})
    if field == "pressure":
        with pytest.raises(OutOfRangeError, match=words + ".* is not a number"):
            mass_flow_for(VAN, duty("R-1234yf"), WARM, condensing_pressure=wrong)


@pytest.mark.parametrize("flow", [0.0, -0.04, 45.0, float("inf")])
def test_a_bad_flow_is_refused(flow):
    with pytest.raises(OutOfRangeError, match="refrigerant mass flow"):
        dataclasses.replace(inlet("R-1234yf", 328.15), mass_flow=flow)


def test_an_unknown_refrigerant_is_named():
    with pytest.raises(UnknownNameError, match="R-134a"):
        solve_condenser(VAN, dataclasses.replace(inlet("R-1234yf", 328.15), refrigerant="R-999"), WARM)


def test_far_too_much_flow_for_the_tubes_is_said():
    with pytest.raises(NoSolutionError, match="pressure drop in pass"):
        solve("R-1234yf", 328.15, flow=0.4)


def test_a_standing_fan_at_idle_is_said():
    with pytest.raises(NoSolutionError, match="no wind"):
        air_side(VAN, AirConditions(temperature=308.15, fan_speed_share=0.0))


def test_a_face_blocked_all_over_is_said():
    shut = dataclasses.replace(VAN, blocked_profile=(1.0,))
    with pytest.raises(NoSolutionError, match="all but shut"):
        air_side(shut, WARM)


def test_results_and_specifications_cannot_be_changed():
    result = solve("R-1234yf", 330.15)
    for thing, field in ((result, "charge"), (result.spec, "tubes"), (result.path[0], "pressure")):
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(thing, field, 1.0)
