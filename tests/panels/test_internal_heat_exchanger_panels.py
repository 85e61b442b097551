"""The panels of lesson 06: settings in, picture and sentence out."""

import pytest

from tests.panels.told import described, row
from thermo_kit.panels import ExchangeCyclePanel, ExchangerLengthPanel, ExchangerPanel
from thermo_kit.panels.exchange import spec_of, tubes_of
from thermo_kit.panels.view import View
from thermo_kit.systems import effect_of_effectiveness, with_internal_heat_exchanger
from thermo_kit.units import bar, celsius
from thermo_kit.units.look import signed_percent


def test_cycle_panel_tells_the_solved_effect():
    effect = effect_of_effectiveness(spec_of(ExchangeCyclePanel.Settings()), 0.7)
    shown = described(ExchangeCyclePanel, effectiveness=0.7)
    assert row(shown, "Cooling, same compressor") == signed_percent(effect.volumetric_capacity_change)
    assert row(shown, "COP changes by") == signed_percent(effect.cop_change)
    assert row(shown, "Hot gas").endswith(f"→ {effect.with_exchanger.discharge_temperature - 273.15:.1f} °C")


def test_cycle_panel_answers_when_the_hot_gas_passes_its_limit():
    hot = {"refrigerant": "R-152a", "discharge_limit": celsius(110)}
    allowed = float(row(described(ExchangeCyclePanel, **hot), "Largest allowed"))
    for shift, word in ((-0.02, "below"), (0.02, "above")):
        assert (
            f"{word} the limit 110 °C" in described(ExchangeCyclePanel, **hot, effectiveness=allowed + shift).sentence
        )


def test_exchanger_panel_tells_the_joined_cycle():
    settings = ExchangerPanel.Settings(length=0.8)
    effect = with_internal_heat_exchanger(spec_of(settings), tubes_of(settings), settings.mass_flow)
    shown = described(ExchangerPanel, length=0.8)
    assert row(shown, "Effectiveness") == f"{effect.effectiveness:.2f}"
    assert row(shown, "Heat passed") == f"{effect.exchanger.heat_flow / 1e3:.2f} kW"
    assert row(shown, "COP changes by") == signed_percent(effect.cop_change)
    assert shown.sentence.startswith("800 mm of double tube")


def test_the_gap_is_what_lies_between_the_tubes():
    tubes = tubes_of(ExchangerPanel.Settings(gap=0.002))
    assert (tubes.outer_diameter - tubes.tube_outside) / 2 == pytest.approx(0.002)


@pytest.mark.parametrize(("name", "bore"), [("R-152a", 0.014), ("R-1234yf", 0.008), ("R-290", 0.010)])
def test_length_panel_says_where_no_length_pays(name, bore):
    poor = described(ExchangerLengthPanel, refrigerant=name, inner_diameter=bore, length=0.5)
    assert row(poor, "Cooling, same compressor").startswith("−") and poor.sentence.endswith("No length pays.")
    assert any("costs more than" in note for note in poor.notes)


def test_length_panel_agrees_with_the_exchanger_panel():
    shown, other = described(ExchangerLengthPanel), described(ExchangerPanel)
    for label in ("Effectiveness", "Vapour loses", "Cooling, same compressor"):
        assert row(shown, label) == row(other, label)
    assert row(shown, "COP") == row(other, "COP changes by")


def test_condensing_above_critical_is_refused_for_all_but_r744(view):
    panel = ExchangeCyclePanel(view=view, refrigerant="R-744", condensing_temperature=celsius(45))
    assert panel.error == ""
    # No other refrigerant of the workbook has its critical point within the slider's range.
    with pytest.raises(ValueError, match="cannot condense there"):
        described(ExchangeCyclePanel, refrigerant="R-1234yf", condensing_temperature=celsius(96))


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
