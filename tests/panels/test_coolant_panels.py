"""The coolant panels: settings in, picture and sentence out; the lesson's questions can be answered there."""

import pytest

from tests.panels.told import number, row
from thermo_kit.panels import LayoutPanel, OperatingPointPanel, ScenarioPanel
from thermo_kit.panels.coolant import FAULTS, LAYOUTS
from thermo_kit.panels.view import View
from thermo_kit.units import UnitSystem, celsius


@pytest.mark.parametrize("layout", [value for _, value in LAYOUTS])
@pytest.mark.parametrize("fault", FAULTS)
def test_every_fault_in_every_layout_is_drawn_or_refused(layout, fault):
    panel = LayoutPanel(view=View(), layout=layout)
    panel.set(fault=fault)
    if panel.error:
        frozen = fault == "wrong mixture" and "below the freezing point" in panel.error  # water in a winter layout
        assert frozen or "this layout does not have" in panel.error
    else:
        assert "Fault: " in panel.description.sentence


@pytest.mark.parametrize("layout", [value for _, value in LAYOUTS])
def test_only_positions_and_faults_that_the_layout_has_are_offered(layout):
    panels, other = [kind(view=View()) for kind in (LayoutPanel, ScenarioPanel)], LayoutPanel(view=View())
    for panel in panels:
        panel.controls_by_field["layout"].box.value = layout
    for field in ("position", "fault"):
        for _, value in next(c for c in LayoutPanel.controls if c.field == field).pairs():
            other.reset()
            other.set(layout=layout)
            other.set(**{field: value})
            strange = "this layout" in other.error or "does not exist" in other.error
            for panel in panels:
                offered = [value for _, value in panel.controls_by_field[field].box.options]
                assert (value in offered) != strange, (field, value, other.error)


def test_half_a_hose_costs_hardly_any_flow():
    panel = OperatingPointPanel(view=View())
    whole = number(panel, "Flow")
    panel.set(squeezed=0.5)
    assert number(panel, "Flow") > 0.95 * whole
    panel.set(squeezed=0.96)
    assert number(panel, "Flow") < 0.35 * whole


def test_half_the_speed_is_half_the_flow_and_an_eighth_of_the_power():
    panel = OperatingPointPanel(view=View())
    flow, power = number(panel, "Flow"), number(panel, "Electric power")
    panel.set(speed_share=0.5)
    assert 0.42 < number(panel, "Flow") / flow < 0.5 and 0.11 < number(panel, "Electric power") / power < 0.14


def test_joined_loops_carry_on_with_one_pump_dead():
    panel = LayoutPanel(view=View(), ambient_temperature=celsius(35), fault="drive pump dead")
    assert row(panel, "inverter, limit 85 °C") == "no steady value"
    assert row(panel, "Heat lost by hoses, bottle and parts") == "no steady value"
    panel.set(position="joined")
    assert number(panel, "inverter, limit 85 °C") < 40 and number(panel, "Flow through drive pump") > 10


def test_how_bad_is_asked_only_of_faults_that_can_be_more_or_less_bad():
    panel = LayoutPanel(view=View(), layout="one_loop")
    for fault, asked in (("none", False), ("drive pump dead", False), ("drive pump air-locked", True)):
        panel.set(fault=fault)
        assert panel.error == "" and ("How bad" in repr(panel)) == asked, fault


def test_the_heats_of_a_layout_add_up():
    panel = LayoutPanel(view=View(), layout="two_loops", chiller=False, battery_heat=300.0)
    given, lost = number(panel, "Heat given by radiator"), number(panel, "Heat lost by hoses, bottle and parts")
    pumps = 0.72 * number(panel, "Power of battery pump") + 0.75 * number(panel, "Power of drive pump")
    assert given + lost == pytest.approx((1800.0 + 300.0 + pumps) / 1e3, abs=0.011)


def test_a_margin_below_zero_is_told_in_the_units_of_the_learner():
    panel = LayoutPanel(view=View(system=UnitSystem.US), fault="radiator blocked", ambient_temperature=celsius(40))
    panel.set(amount=0.85, drive_heat=4000.0)
    told = "\n".join(panel.description.notes)
    assert "inverter: 45.0 °F diff. above its limit" in told and "coolant above 212 °F somewhere" in told
