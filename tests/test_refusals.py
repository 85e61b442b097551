"""Numbers of a wrong kind are refused in words, and vapour does not leave a chiller warmer than the coolant comes."""

from dataclasses import replace

import pytest

from thermo_kit.components import (
    ChillerSpec,
    FanSpec,
    fan_operating_point,
    fins_per_inch,
    solve_chiller,
    transmissibility,
)
from thermo_kit.errors import NoSolutionError, OutOfRangeError, UnknownNameError
from thermo_kit.substances import Coolant, facts_of
from thermo_kit.substances.stream import stream_at
from thermo_kit.systems import NetworkFault, apply_faults, load_layout, solve_coolant_network


@pytest.mark.parametrize(
    "call",
    [
        lambda: fins_per_inch("16"),
        lambda: transmissibility(speed_ratio="5", damping_ratio=0.05),
        lambda: transmissibility(speed_ratio=5.0, damping_ratio=float("nan")),
        lambda: fan_operating_point(FanSpec(free_flow=0.8, stall_pressure=240.0), lambda flow: flow, density=None),
        lambda: Coolant("water", mass_fraction="12"),
    ],
)
def test_a_number_of_a_wrong_kind_is_refused(call):
    with pytest.raises(OutOfRangeError):
        call()


def test_facts_of_an_unknown_refrigerant_name_the_known_ones():
    with pytest.raises(UnknownNameError, match="R-134a"):
        facts_of("12")


def test_far_superheated_vapour_stays_below_the_coolant_that_warms_it():
    cold = stream_at("R-744", 7e-4, p=849464.0, h=299017.0)
    result = solve_chiller(ChillerSpec(evaporating_temperature=280.0, coolant_inlet_temperature=289.28), cold)
    assert 40.0 < result.superheat and result.outlet.state.T <= 289.28 + 1e-6


def test_a_part_whose_heat_goes_nowhere_has_no_steady_temperature():
    network = load_layout("warm_cabin")
    sealed = replace(
        network,
        nodes=tuple(replace(node, air_loss=0.0) for node in network.nodes),
        bodies=tuple(replace(body, air_loss=0.0) for body in network.bodies),
    )
    with pytest.raises(NoSolutionError, match="steady temperature"):
        solve_coolant_network(apply_faults(sealed, [NetworkFault(kind="pump dead", part="pump")]))
