"""The cycle, the comparison of refrigerants and the leaked charge: settings in, picture and sentence out."""

import pytest

from tests.panels.told import row
from thermo_kit.panels import ComparePanel, CyclePanel, LeakPanel
from thermo_kit.panels.cycle import spec_of
from thermo_kit.substances import REFRIGERANT_NAMES
from thermo_kit.systems import solve_cycle
from thermo_kit.units import Look, UnitSystem, celsius


def told(panel_class, **settings):
    return panel_class.describe(panel_class.Settings(**settings), Look())


def test_cycle_panel_tells_the_numbers_of_the_solved_cycle():
    settings = {"superheat": 10.0, "subcooling": 4.0}
    solved, shown = solve_cycle(spec_of(CyclePanel.Settings(**settings))), told(CyclePanel, **settings)
    assert row(shown, "COP") == f"{solved.coefficient_of_performance:.2f}"
    assert row(shown, "Superheat") == "10.0 K" and row(shown, "Subcooling") == "4.0 K"
    assert f"{solved.refrigerating_effect / 1e3:.1f} kJ/kg in the evaporator" in shown.sentence


@pytest.mark.parametrize("name", REFRIGERANT_NAMES)
def test_choosing_a_refrigerant_chooses_a_high_side_that_works(view, name):
    panel = CyclePanel(view=view)
    panel.controls_by_field["refrigerant"].box.value = name
    assert panel.error == ""
    assert panel.settings.high_side == ("gas cooler" if name == "R-744" else "condenser")
    assert name in panel.description.pictures[0].sentence


def test_a_condenser_above_the_critical_point_is_refused_and_the_old_picture_stays(view):
    panel = CyclePanel(view=view, refrigerant="R-744")
    before = panel.description
    panel.set(high_side="condenser")
    assert "critical" in panel.error and panel.description is before
    panel.reset()
    assert panel.error == ""


def test_loss_free_cycle_is_drawn_when_asked_for(view):
    panel = CyclePanel(view=view, with_loss_free=True)
    assert "loss-free" in panel.description.pictures[0].moving
    panel.set(with_loss_free=False)
    assert "loss-free" not in panel.description.pictures[0].moving


def test_compare_panel_has_a_row_and_a_bar_for_each_refrigerant():
    shown = told(ComparePanel)
    assert [name for name, *_ in shown.rows] == list(REFRIGERANT_NAMES)
    assert all(len(row) == len(shown.heads) for row in shown.rows)
    assert shown.rows[0][1:] == ("1.91 bar(g)", "10.59 bar(g)", "66.0 °C", "29.1 L/min", "3.49")
    for name in REFRIGERANT_NAMES:
        assert name in shown.pictures[0].still
    assert "R-744" in " ".join(shown.notes)


def test_a_cool_day_lets_carbon_dioxide_condense():
    shown = told(ComparePanel, condensing_temperature=celsius(26))
    assert "Above the critical pressure" not in shown.pictures[0].sentence
    assert not any("too hot to condense" in note for note in shown.notes)


@pytest.mark.parametrize(
    ("condensing", "said", "unsaid"),
    [
        (45, "100.25 bar(g), chosen for the best COP", "this panel goes to"),
        (62, "150.00 bar abs, the highest this panel goes to; the best COP lies at a higher", "chosen"),
        (33, "77.46 bar abs, the lowest this panel goes to; the best COP lies at a lower", "chosen"),
    ],
)
def test_a_gas_cooler_pressure_at_the_panel_s_limit_is_not_called_the_best(condensing, said, unsaid):
    notes = " ".join(told(ComparePanel, condensing_temperature=celsius(condensing)).notes)
    assert said in notes and unsaid not in notes


def test_only_the_numbers_of_the_chosen_high_side_are_shown_and_told(view):
    panel = CyclePanel(view=view, refrigerant="R-744")
    panel.set(condensing_temperature=celsius(20))

    def shown(name):
        return "tk-folded" not in panel.controls_by_field[name].widget._dom_classes

    assert shown("gas_cooler_pressure") and not shown("subcooling") and not shown("condensing_temperature")
    assert "Gas cooler pressure" in repr(panel) and "Subcooling" not in repr(panel).splitlines()[1]
    panel.controls_by_field["gas_cooler_pressure"].box.value = "high"
    assert "not a number" in panel.error
    panel.controls_by_field["high_side"].box.value = "condenser"
    assert shown("subcooling") and not shown("gas_cooler_pressure")
    assert panel.error == "" and "Gas cooler pressure" not in repr(panel)
    panel.controls_by_field["high_side"].box.value = "gas cooler"
    assert panel.controls_by_field["gas_cooler_pressure"].box.value == "95.0" and panel.error == ""


def test_errors_and_notes_of_a_cycle_are_told_in_the_learner_s_units(view):
    view.system = UnitSystem.US
    panel = CyclePanel(view=view, refrigerant="R-152a", isentropic_efficiency=0.45, condensing_temperature=celsius(60))
    assert any("248.0 °F, where oil" in note for note in panel.description.notes)
    panel.set(condensing_temperature=celsius(-10))
    assert "14.0 °F must be above the evaporating temperature 32.0 °F" in panel.error and "°C" not in panel.error


def test_leak_panel_tells_every_limit_by_mass_and_by_volume():
    shown = told(LeakPanel, refrigerant="R-744", charge=0.2, volume=3.0)
    for label, text in (
        ("Concentration", "66.7 g/m³ (37,061 ppm)"),
        ("8-hour limit", "9.0 g/m³ (5,000 ppm)"),
        ("Short-term limit", "54.0 g/m³ (30,000 ppm)"),
        ("Immediately dangerous level", "72.0 g/m³ (40,000 ppm)"),
    ):
        assert row(shown, label) == text
    assert "above the 8-hour limit and the short-term limit" in shown.sentence
    assert row(told(LeakPanel, refrigerant="R-134a"), "Short-term limit") == "none set"
