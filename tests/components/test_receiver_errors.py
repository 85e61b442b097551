"""Bad input to the receiver: each message names the field, the limit and the likely slip."""

from dataclasses import replace

import pytest

from thermo_kit.components import ReceiverConditions, solve_receiver
from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.fleet import part_of
from thermo_kit.substances.stream import Stream, stream_at

VAN, BUS = (part_of(name, "receiver") for name in ("parcel_van", "shuttle_bus"))


def test_all_bad_measures_are_told_at_once():
    with pytest.raises(OutOfRangeError) as caught:
        replace(VAN, diameter=0.0, height=9.0, desiccant_mass=-1.0)
    assert len(caught.value.problems) == 3


def solve(vessel=VAN, mass_flow=0.03, condensing_temperature=318.15, **given):
    inlet = stream_at("R-1234yf", mass_flow, T=condensing_temperature, x=0.0)
    return solve_receiver(vessel, inlet, ReceiverConditions(**{"inventory": 0.06} | given))


def test_above_the_critical_point_there_is_no_level():
    gas = Stream(refrigerant="R-744", pressure=90e5, enthalpy=3e5, mass_flow=0.03)
    with pytest.raises(OutOfRangeError, match=r"pressure in the receiver 90\.00 bar abs is above 73.*R-744 parts"):
        solve_receiver(VAN, gas, ReceiverConditions(inventory=0.06))


def test_a_filter_that_eats_the_pressure_is_no_number():
    vessel = replace(VAN, filter_area=1e-5, filter_open_share=0.1, filter_blocked_share=0.9)
    with pytest.raises(NoSolutionError, match="pressure on the way up .*cleaner filter"):
        solve(vessel, mass_flow=0.4)
