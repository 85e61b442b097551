"""The coolant panels: settings in, picture and sentence out; the lesson's questions can be answered there."""

import pytest

from tests.panels.told import number, row
from thermo_kit.panels import LayoutPanel, MixturePanel, OperatingPointPanel, ScenarioPanel
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


def test_another_layout_puts_valve_and_fault_back():
    panel = LayoutPanel(view=View(), position="joined", fault="valve stuck", amount=0.5)
    assert panel.error == ""
    panel.set(layout="one_loop")
    assert panel.error == "" and (panel.settings.position, panel.settings.fault) == ("", "none")
    panel.set(layout="warm_cabin")
    assert panel.settings.ambient_temperature == celsius(-5)


def test_a_fault_brings_its_usual_degree():
    panel = LayoutPanel(view=View(), layout="two_loops")
    panel.set(fault="hose kinked")
    assert panel.settings.amount == 0.9 and "hose kinked (drive return), 90 %" in panel.description.sentence
    panel.set(amount=0.99)
    assert "0 to 98 %" in panel.error


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


def test_the_coolant_is_kept_above_its_freezing_point():
    panel = OperatingPointPanel(view=View(), temperature=celsius(-25))
    panel.set(mass_fraction=0.3)
    assert panel.error == "" and panel.settings.temperature > celsius(-14)
    panel.set(coolant="water")
    assert panel.error == "" and panel.settings.temperature >= celsius(1)


def test_joined_loops_carry_on_with_one_pump_dead():
    panel = LayoutPanel(view=View(), ambient_temperature=celsius(35), fault="drive pump dead")
    assert row(panel, "inverter, limit 85 °C") == "no steady value"
    assert row(panel, "Heat lost by hoses, bottle and parts") == "no steady value"
    panel.set(position="joined")
    assert number(panel, "inverter, limit 85 °C") < 40 and number(panel, "Flow through drive pump") > 10


def test_which_part_is_first_and_when():
    panel = ScenarioPanel(view=View())
    assert row(panel, "inverter passes 85 °C") == "16.0 min, 6.0 min after the fault"
    panel.set(fault="battery pump dead")
    assert row(panel, "Limits passed") == "none"
    panel.set(scene="fast charge")
    assert row(panel, "battery passes 45 °C") == "20.3 min, 10.3 min after the fault"


def test_pumps_that_run_on_keep_the_jacket_from_boiling():
    panel = ScenarioPanel(view=View(), scene="hot soak", fault="none", ambient_temperature=celsius(40))
    assert row(panel, "coolant passes 100 °C somewhere, may boil") == "1.3 min"
    panel.set(after_run=300.0)
    assert row(panel, "Limits passed") == "none"


def test_the_wrong_scale_flatters_and_draining_is_planned():
    panel = MixturePanel(view=View(), kind="propylene glycol", instrument="other scale", scale_reading=celsius(-29))
    assert row(panel, "Freezing point") == "−21.5 °C"
    panel.set(instrument="own scale")
    assert row(panel, "Freezing point") == "−29.0 °C"
    panel.set(kind="ethylene glycol", scale_reading=celsius(-18))
    assert row(panel, "Drain first") == "2.04 L" == row(panel, "Add concentrate")
    assert row(panel, "On the coldest night") == "slush"
    panel.set(coldest=celsius(-17))
    assert row(panel, "On the coldest night") == "liquid"


def test_a_hydrometer_reading_beyond_the_glycol_is_refused():
    panel = MixturePanel(view=View(), kind="propylene glycol", instrument="hydrometer", specific_gravity=1.08)
    assert "propylene glycol can show" in panel.error
    panel.set(specific_gravity=1.03)
    assert panel.error == ""


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
