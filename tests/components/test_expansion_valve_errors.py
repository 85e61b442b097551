"""Bad input to the expansion valve: each message names the field, the limit and the likely slip."""

from dataclasses import replace

import pytest

from thermo_kit.components.expansion_valve import (
    VALVE_REFRIGERANTS,
    EvaporatorDuty,
    ShutOffSpec,
    ValveFault,
    close_shut_off,
    fault_case,
    force_balance,
    inlet_density,
    opening_curves,
    solve_valve,
    static_superheat,
)
from thermo_kit.errors import NoSolutionError, OutOfRangeError, UnknownNameError
from thermo_kit.fleet import part_of
from thermo_kit.panels import ValveFaultPanel, ValveForcePanel, ValveOpeningPanel
from thermo_kit.units import celsius

VALVE = part_of("older_van", "expansion_valve")
DUTY = EvaporatorDuty(refrigerant="R-134a", condensing_temperature=celsius(50))


def test_carbon_dioxide_is_refused_in_plain_words_and_not_offered():
    with pytest.raises(OutOfRangeError, match=r"refrigerant R-744 is not one that this valve is made for: .*R-1234yf"):
        replace(DUTY, refrigerant="R-744", condensing_temperature=celsius(20))
    assert "R-744" not in VALVE_REFRIGERANTS
    for panel in (ValveFaultPanel, ValveForcePanel, ValveOpeningPanel):
        offered = next(one.options for one in panel.controls if one.field == "refrigerant")
        assert offered == VALVE_REFRIGERANTS


def test_an_unknown_refrigerant_is_named():
    with pytest.raises(UnknownNameError, match="R-12"):
        replace(DUTY, refrigerant="R-12")


def test_faults_and_shut_off():
    for wrong, message in (
        ({"stuck_at": 30}, r"sticks 30 is above 1: 50 % is 0\.5"),
        ({"bulb_loose_share": -0.1}, "ambient"),
    ):
        with pytest.raises(OutOfRangeError, match=message):
            ValveFault(**wrong)
    with pytest.raises(
        OutOfRangeError, match=r"leak of the shut-off valve 2\.0 mm is not less than its seat of 1\.0 mm"
    ):
        ShutOffSpec(seat_diameter=0.001, leak_diameter=0.002)
    with pytest.raises(OutOfRangeError, match=r"seat of the shut-off valve .*typed in mm"):
        ShutOffSpec(seat_diameter=5.0)
    with pytest.raises(OutOfRangeError, match=r"low-side pressure .* must be below .*behind a shut valve"):
        close_shut_off(ShutOffSpec(is_open=False), DUTY, low_pressure=20e5)
    with pytest.raises(OutOfRangeError, match=r"fault 'rust' is not known"):
        fault_case(VALVE, DUTY, fault="rust", size=0.5)
    with pytest.raises(OutOfRangeError, match="size of the fault"):
        fault_case(VALVE, DUTY, fault="none", size=50)


def test_readings_that_cannot_be():
    with pytest.raises(OutOfRangeError, match=r"bulb temperature .*typed in °C"):
        force_balance(VALVE, refrigerant="R-134a", outlet_pressure=3e5, bulb_temperature=5.0)
    with pytest.raises(OutOfRangeError, match=r"pressure at the evaporator outlet .*typed in bar"):
        force_balance(VALVE, refrigerant="R-134a", outlet_pressure=3.0, bulb_temperature=celsius(5))
    with pytest.raises(OutOfRangeError, match=r"evaporating temperature .*superheat|superheat"):
        opening_curves(VALVE, DUTY, evaporating_temperature=celsius(0), superheat=80.0)
    with pytest.raises(OutOfRangeError, match="is not between 0 and 1"):
        inlet_density(liquid_density=1000.0, vapour_density=50.0, quality=1.2)


def test_a_static_superheat_of_nothing_is_refused():
    for wrong, message in (
        ({"outlet_pressure": "three bar"}, "pressure at the evaporator outlet 'three bar' is not a number"),
        ({"outlet_pressure": 3e5, "opening_share": 50.0}, r"share of the lift .* 50 % is 0\.5"),
        ({"outlet_pressure": 3e5, "pressure_drop": -1.0}, "pressure drop of the evaporator"),
    ):
        with pytest.raises(OutOfRangeError, match=message):
            static_superheat(VALVE, refrigerant="R-134a", **wrong)


def test_all_bad_sizes_are_told_at_once():
    with pytest.raises(OutOfRangeError) as caught:
        replace(VALVE, port_diameter=9.0, spring_rate=-1.0, full_lift=0.0)
    assert len(caught.value.problems) == 3


def test_a_valve_too_large_for_its_compressor_is_no_number():
    big = replace(VALVE, port_diameter=0.0118, pipe_diameter=0.02, full_lift=0.005, diaphragm_diameter=0.04)
    with pytest.raises(NoSolutionError, match="passes more than the compressor draws"):
        solve_valve(big, replace(DUTY, suction_flow=0.0002), fault=ValveFault(stuck_at=1.0))
