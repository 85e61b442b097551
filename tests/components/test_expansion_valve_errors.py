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

VALVES = [
    ({"port_diameter": 0.009}, r"port diameter 9\.0 mm is not less than the pipe's bore of 8\.0 mm: .*swapped"),
    ({"port_diameter": 0.0115, "pipe_diameter": 0.012, "diaphragm_diameter": 0.011}, r"not less than the diaphragm's"),
    ({"port_diameter": 2.3}, r"port diameter .* is above .*typed in mm"),
    ({"spring_preload": -5.0}, r"spring preload .* is below .*can only push the valve shut"),
    ({"spring_rate": -26e3}, r"spring rate .* is below .*can only push the valve shut"),
    ({"spring_rate": 26.0}, r"spring rate .* is below .*30 N/mm is 30,000 N/m"),
    ({"full_lift": 0.0}, r"full lift .* is below"),
    ({"diaphragm_diameter": 20.0}, r"diaphragm diameter .* is above .*typed in mm"),
    ({"pin_angle": 30.0}, r"half angle of the pin .* is above"),
    ({"charge": "steam"}, r"bulb charge 'steam' is not known: use one of same refrigerant, cross charge, gas charge"),
    ({"equalisation": "both"}, r"equalisation 'both' is not known: use one of internal, external"),
    ({"charge_limit_temperature": 15.0}, r"bulb is dry .* is below .*typed in °C"),
    ({"spring_preload": "stiff"}, r"spring preload 'stiff' is not a number"),
]


@pytest.mark.parametrize(("wrong", "message"), VALVES, ids=lambda case: str(case)[:40])
def test_a_valve_that_cannot_be(wrong, message):
    with pytest.raises(OutOfRangeError, match=message):
        replace(VALVE, **wrong)


DUTIES = [
    ({"condensing_temperature": celsius(105)}, r"condensing temperature .* is above .*critical point .*no liquid line"),
    ({"condensing_temperature": 50.0}, r"condensing temperature .* is below .*typed in °C"),
    ({"subcooling": -2.0}, r"subcooling .* is below"),
    ({"subcooling": 0.0, "inlet_quality": 0.9}, r"vapour share at the inlet 0\.9 is above 0\.5: 10 % is 0\.1"),
    ({"inlet_quality": 0.1}, r"vapour share at the inlet 0\.1 does not go with subcooling: .*set one of the two to 0"),
    ({"air_temperature": 25.0}, r"air over the evaporator .* is below .*typed in °C"),
    ({"conductance": 0.0}, r"conductance of the evaporator 0\.0 W/K is below"),
    ({"suction_flow": 2.5}, r"suction flow of the compressor .* is above"),
    ({"pressure_drop": -1.0}, r"pressure drop of the evaporator .* is below"),
    ({"cut_out_pressure": 1.2}, r"low-side cut-out .* is below .*typed in bar"),
    ({"cut_out_pressure": 4e5, "air_temperature": celsius(5)}, r"is not warmer than R-134a boils at"),
]  # fmt: skip


@pytest.mark.parametrize(("wrong", "message"), DUTIES, ids=lambda case: str(case)[:40])
def test_a_duty_that_cannot_be(wrong, message):
    with pytest.raises(OutOfRangeError, match=message):
        replace(DUTY, **wrong)


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
