"""The cycle, the comparison of refrigerants and the leaked charge: settings in, picture and sentence out."""

from tests.panels.told import described, row
from thermo_kit.panels import ComparePanel, CyclePanel
from thermo_kit.panels.cycle import spec_of
from thermo_kit.substances import REFRIGERANT_NAMES
from thermo_kit.systems import solve_cycle
from thermo_kit.units import UnitSystem, celsius


def test_cycle_panel_tells_the_numbers_of_the_solved_cycle():
    settings = {"superheat": 10.0, "subcooling": 4.0}
    solved, shown = solve_cycle(spec_of(CyclePanel.Settings(**settings))), described(CyclePanel, **settings)
    assert row(shown, "COP") == f"{solved.coefficient_of_performance:.2f}"
    assert row(shown, "Superheat") == "10.0 K" and row(shown, "Subcooling") == "4.0 K"
    assert f"{solved.refrigerating_effect / 1e3:.1f} kJ/kg in the evaporator" in shown.sentence


def test_loss_free_cycle_is_drawn_when_asked_for(view):
    panel = CyclePanel(view=view, with_loss_free=True)
    assert "loss-free" in panel.description.pictures[0].moving
    panel.set(with_loss_free=False)
    assert "loss-free" not in panel.description.pictures[0].moving


def test_compare_panel_has_a_row_and_a_bar_for_each_refrigerant():
    shown = described(ComparePanel)
    assert [name for name, *_ in shown.rows] == list(REFRIGERANT_NAMES)
    assert all(len(row) == len(shown.heads) for row in shown.rows)
    assert shown.rows[0][1:] == ("1.91 bar(g)", "10.59 bar(g)", "66.0 °C", "29.1 L/min", "3.49")
    for name in REFRIGERANT_NAMES:
        assert name in shown.pictures[0].still
    assert "R-744" in " ".join(shown.notes)


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


def test_notes_of_a_cycle_are_told_in_the_learner_s_units(view):
    view.system = UnitSystem.US
    panel = CyclePanel(view=view, refrigerant="R-152a", isentropic_efficiency=0.45, condensing_temperature=celsius(60))
    assert any("248.0 °F, where oil" in note for note in panel.description.notes)
