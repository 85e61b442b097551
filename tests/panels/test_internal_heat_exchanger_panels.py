"""The panels of lesson 06: settings in, picture and sentence out."""

import pytest

from tests.panels.told import row
from thermo_kit.panels import ExchangeComparePanel, ExchangeCyclePanel, ExchangerLengthPanel, ExchangerPanel
from thermo_kit.panels.exchange import spec_of, tubes_of
from thermo_kit.panels.view import View
from thermo_kit.substances import REFRIGERANT_NAMES
from thermo_kit.systems import effect_of_effectiveness, with_internal_heat_exchanger
from thermo_kit.units import Look, UnitSystem, bar, celsius
from thermo_kit.units.look import signed_percent


def told(panel_class, **settings):
    return panel_class.describe(panel_class.Settings(**settings), Look())


@pytest.mark.parametrize("panel_class", (ExchangeCyclePanel, ExchangerPanel, ExchangerLengthPanel))
@pytest.mark.parametrize("name", REFRIGERANT_NAMES)
def test_every_refrigerant_can_be_chosen(view, panel_class, name):
    panel = panel_class(view=view)
    panel.controls_by_field["refrigerant"].box.value = name
    assert panel.error == "" and panel.settings.refrigerant == name


def test_cycle_panel_tells_the_solved_effect():
    effect = effect_of_effectiveness(spec_of(ExchangeCyclePanel.Settings()), 0.7)
    shown = told(ExchangeCyclePanel, effectiveness=0.7)
    assert row(shown, "Cooling, same compressor") == signed_percent(effect.volumetric_capacity_change)
    assert row(shown, "COP changes by") == signed_percent(effect.cop_change)
    assert row(shown, "Hot gas").endswith(f"→ {effect.with_exchanger.discharge_temperature - 273.15:.1f} °C")


def test_cycle_panel_answers_when_the_hot_gas_passes_its_limit():
    hot = {"refrigerant": "R-152a", "discharge_limit": celsius(110)}
    allowed = float(row(told(ExchangeCyclePanel, **hot), "Largest allowed"))
    for shift, word in ((-0.02, "below"), (0.02, "above")):
        assert f"{word} the limit 110 °C" in told(ExchangeCyclePanel, **hot, effectiveness=allowed + shift).sentence
    for changes, words in (
        ({"discharge_limit": celsius(70)}, "none: too hot already"),
        ({"refrigerant": "R-1234yf", "discharge_limit": celsius(170)}, "any"),
    ):
        assert row(told(ExchangeCyclePanel, **hot | changes), "Largest allowed") == words


def test_exchanger_panel_tells_the_joined_cycle():
    settings = ExchangerPanel.Settings(length=0.8)
    effect = with_internal_heat_exchanger(spec_of(settings), tubes_of(settings), settings.mass_flow)
    shown = told(ExchangerPanel, length=0.8)
    assert row(shown, "Effectiveness") == f"{effect.effectiveness:.2f}"
    assert row(shown, "Heat passed") == f"{effect.exchanger.heat_flow / 1e3:.2f} kW"
    assert row(shown, "COP changes by") == signed_percent(effect.cop_change)
    assert shown.sentence.startswith("800 mm of double tube")


def test_sentence_and_notes_of_the_exchanger_panel_do_not_contradict_each_other():
    shown = told(ExchangerPanel, inner_diameter=0.009, length=2.0)
    assert "cooling changes by +0.1 % and the COP by +0.2 %" in shown.sentence
    assert "The vapour loses 7 % of its pressure." in shown.notes
    assert not any("costs more than" in note for note in shown.notes)
    poor = told(ExchangerPanel, refrigerant="R-134a", inner_diameter=0.010)
    assert "cooling changes by −2.3 % and the COP by −1.8 %" in poor.sentence
    assert any("costs more than it brings here" in note for note in poor.notes)


def test_the_gap_is_what_lies_between_the_tubes():
    tubes = tubes_of(ExchangerPanel.Settings(gap=0.002))
    assert (tubes.outer_diameter - tubes.tube_outside) / 2 == pytest.approx(0.002)


def test_compare_panel_answers_for_whom_it_pays():
    shown = told(ExchangeComparePanel).sentence
    assert "most for R-1234yf" in shown and "least for R-152a" in shown and "Hotter than 120 °C: R-744." in shown
    assert "none allowed" in row(told(ExchangeComparePanel, discharge_limit=celsius(85)), "R-152a")


def test_compare_panel_leaves_out_a_refrigerant_that_hardly_cools_and_says_when_nothing_changes():
    hot = told(ExchangeComparePanel, condensing_temperature=celsius(75)).sentence
    assert "does most for R-1234yf" in hot and "no fair comparison: R-744." in hot
    assert "effectiveness of 0.00 nothing changes." in told(ExchangeComparePanel, effectiveness=0.0).sentence


@pytest.mark.parametrize("length", (0.5, 1.65, 2.0, 2.9))
def test_length_panel_finds_a_best_length_in_a_narrow_bore(length):
    shown = told(ExchangerLengthPanel, inner_diameter=0.009, length=length).sentence
    assert shown.endswith("More than 1,800 mm brings no more.")


@pytest.mark.parametrize(("name", "bore"), [("R-152a", 0.014), ("R-1234yf", 0.008), ("R-290", 0.010)])
def test_length_panel_says_where_no_length_pays(name, bore):
    poor = told(ExchangerLengthPanel, refrigerant=name, inner_diameter=bore, length=0.5)
    assert row(poor, "Cooling, same compressor").startswith("−") and poor.sentence.endswith("No length pays.")
    assert any("costs more than" in note for note in poor.notes)


def test_length_panel_agrees_with_the_exchanger_panel():
    shown, other = told(ExchangerLengthPanel), told(ExchangerPanel)
    for label in ("Effectiveness", "Vapour loses", "Cooling, same compressor"):
        assert row(shown, label) == row(other, label)
    assert row(shown, "COP") == row(other, "COP changes by")


def test_what_cannot_be_is_told_and_the_old_picture_stays(view):
    panel = ExchangerPanel(view=view)
    before = panel.description
    panel.set(inner_diameter=0.005, mass_flow=0.08)
    assert "more than a third" in panel.error and panel.description is before
    assert "kPa" in panel.error and "psi" not in panel.error
    view.system = UnitSystem.US
    assert "psi" in panel.error and "kPa" not in panel.error
    view.system = UnitSystem.SI
    panel.reset()
    assert panel.error == ""
    panel.set(condensing_temperature=celsius(28), evaporating_temperature=celsius(20), superheat=18.0)
    assert "run backwards" in panel.error
    panel.reset()
    panel.controls_by_field["length"].box.value = "9 m"
    assert "highest value here" in panel.error


def test_condensing_above_critical_is_refused_for_all_but_r744(view):
    panel = ExchangeCyclePanel(view=view, refrigerant="R-744", condensing_temperature=celsius(45))
    assert panel.error == ""
    # No other refrigerant of the workbook has its critical point within the slider's range.
    with pytest.raises(ValueError, match="cannot condense there"):
        told(ExchangeCyclePanel, refrigerant="R-1234yf", condensing_temperature=celsius(96))


def test_gas_cooler_pressure_is_used_for_r744():
    settings = ExchangeCyclePanel.Settings(refrigerant="R-744", gas_cooler_pressure=bar(95))
    assert spec_of(settings).gas_cooler_pressure == bar(95)


def test_picture_and_table_tell_the_same_temperatures_behind_the_exchanger():
    panel = ExchangerPanel(
        view=View(), refrigerant="R-744", vapour_path="annulus", length=1.5, inner_diameter=0.006,
        wall_thickness=0.0015, gap=0.0022, mass_flow=0.05, condensing_temperature=celsius(42), subcooling=0.0,
        gas_cooler_pressure=95e5,
    )  # fmt: skip
    numbers = dict(row[:2] for row in panel.description.rows)
    for label in ("Valve inlet", "Compressor inlet"):
        assert f"to {numbers[label].split('→ ')[1]}" in panel.description.pictures[0].sentence, label
