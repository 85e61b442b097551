"""Bad input to the expansion valve: each message names the field, the limit and the likely slip."""

from dataclasses import replace

import pytest

from thermo_kit.components.expansion_valve import VALVE_REFRIGERANTS, EvaporatorDuty, ValveFault, solve_valve
from thermo_kit.errors import NoSolutionError, OutOfRangeError
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


def test_all_bad_sizes_are_told_at_once():
    with pytest.raises(OutOfRangeError) as caught:
        replace(VALVE, port_diameter=9.0, spring_rate=-1.0, full_lift=0.0)
    assert len(caught.value.problems) == 3


def test_a_valve_too_large_for_its_compressor_is_no_number():
    big = replace(VALVE, port_diameter=0.0118, pipe_diameter=0.02, full_lift=0.005, diaphragm_diameter=0.04)
    with pytest.raises(NoSolutionError, match="passes more than the compressor draws"):
        solve_valve(big, replace(DUTY, suction_flow=0.0002), fault=ValveFault(stuck_at=1.0))
