"""Panels of lesson 02: settings in, picture and sentence out; readings that cannot be are named."""

import re

import pytest

from tests.panels.told import described, row
from thermo_kit.panels import LogPanel, ReadingsPanel
from thermo_kit.panels.cycle_words import with_range
from thermo_kit.panels.rows import told_in
from thermo_kit.panels.settings import filled
from thermo_kit.systems import Readings, cycle_from_readings
from thermo_kit.units import UnitSystem, barg, celsius
from thermo_kit.units.look import Look

HEADER = "time_s,suction_pressure_psig,discharge_pressure_psig,suction_temperature_C,discharge_temperature_C,"
HEADER += "liquid_temperature_C\n"


def test_readings_panel_tells_each_number_with_its_range():
    cycle = cycle_from_readings(filled(Readings, ReadingsPanel.Settings()))
    told = described(ReadingsPanel)
    expected = f"{cycle.superheat:.1f} ±{cycle.uncertainty['superheat']:.1f} K"
    assert row(told, "Superheat") == expected and expected in told.sentence
    assert "may be off" in told.pictures[0].sentence


def test_better_instruments_shrink_the_range_and_the_boxes():
    coarse = described(ReadingsPanel)
    fine = described(ReadingsPanel, pressure_accuracy=2e3, discharge_pressure_accuracy=5e3, temperature_accuracy=0.3)
    width = [float(re.search(r"±([\d.]+)", row(told, "Superheat")).group(1)) for told in (coarse, fine)]
    assert width[1] < 0.5 * width[0]
    assert coarse.pictures[0].moving != fine.pictures[0].moving


def test_range_shares_the_unit_of_its_value():
    assert with_range(celsius(10), 1.5, "temperature", Look(UnitSystem.US)) == "50.0 ±2.7 °F"
    assert with_range(barg(2), 16e3, "gauge_pressure", Look(gauge=False)) == "3.01 ±0.16 bar abs"


def test_log_panel_shows_its_invented_log_and_moves_through_it(view):
    panel = LogPanel(view=view)
    first = panel.description
    panel.set(moment=120.0)
    assert row(panel.description, "Moment") == "120 s" and row(panel.description, "Line of the log") == "16"
    assert panel.description.pictures[0].moving != first.pictures[0].moving
    assert panel.description.pictures[1].still is first.pictures[1].still
    assert "At 120 s:" in panel.description.pictures[1].sentence
    assert "Invented" in told_in("texts.toml")["an invented log"]


def test_a_pasted_log_tells_which_lines_are_not_used(view):
    panel = LogPanel(view=view)
    lines = "0,29,181,9,72,43\n10,29,oops,9,72,43\n20,29,182,9,72,43\n30,29,18"
    panel.controls_by_field["text"].box.value = "# refrigerant: R-134a\n" + HEADER + lines
    assert panel.error == ""
    notes = " ".join(panel.description.notes)
    assert "Line 4 is not used" in notes and "'oops'" in notes and "Line 6 is not used" in notes
    assert panel.description.pictures[1].sentence.startswith("2 lines of readings from 0 s to 20 s.")


def test_a_log_without_a_refrigerant_asks_for_one_and_takes_it_from_the_list(view):
    panel = LogPanel(view=view)
    panel.controls_by_field["text"].box.value = HEADER + "0,29,181,9,72,43\n10,29,181,9,72,43\n"
    assert "refrigerant" in panel.error
    panel.controls_by_field["refrigerant"].box.value = "R-134a"
    assert panel.error == ""


@pytest.mark.parametrize("name", ["no_such_file.csv", "."])
def test_a_log_file_that_cannot_be_opened_is_told(view, name):
    panel = LogPanel(view=view)
    before = panel.description
    panel.controls_by_field["file"].box.value = name
    assert "log" in panel.error and panel.description is before
    assert ("tk-bad" in panel.controls_by_field["file"].box._dom_classes) == (name != ".")


def test_a_log_file_is_read_again_when_it_has_changed(view, tmp_path):
    import os

    file = tmp_path / "log.csv"
    text = "# refrigerant: R-134a\n" + HEADER + "0,29,181,9,72,43\n10,29,182,9,72,43\n"
    file.write_text(text, encoding="utf-8")
    panel = LogPanel(view=view, file=str(file))
    assert panel.description.pictures[1].sentence.startswith("2 lines")
    file.write_text(text + "20,29,183,9,72,43\n", encoding="utf-8")
    os.utime(file, (1, 1))
    panel.refresh()
    assert panel.description.pictures[1].sentence.startswith("3 lines")


def test_a_log_from_another_altitude_is_noted(view):
    panel = LogPanel(view=view, text="# refrigerant: R-134a\n# altitude: 900 m\n" + HEADER + "0,29,181,9,72,43\n")
    assert any("written at 900 m" in note for note in panel.description.notes)
    view.altitude = 900.0
    assert not any("written at" in note for note in panel.description.notes)
