"""The ticket's panel: predictions start measurements, nothing is told before the verdict; the sheet of one's own."""

import pytest

from thermo_kit import panels
from thermo_kit.panels.view import View
from thermo_kit.service.mystery import draw_ticket
from thermo_kit.systems.vehicle import FAULTS


def choose(panel, name, value):
    """Choose as in a browser, by the box."""
    panel.controls_by_field[name].box.value = value


def told(panel):
    return "\n".join([repr(panel), panel.sentence.value, panel.notes.value, panel.table.value])


def test_a_prediction_starts_a_measurement_and_the_fault_is_told_last():
    ticket = draw_ticket(98)
    title, event = FAULTS[ticket.fault].title, FAULTS[ticket.fault].event
    panel = panels.MysteryVehiclePanel(view=View(), ticket=98)
    choose(panel, "measure", "discharge_pressure")
    assert "0 measurements" in panel.description.sentence
    choose(panel, "guess", "about the same")
    choose(panel, "measure", "driver")
    assert "2 measurements, 5 minutes" in panel.description.sentence
    assert ticket.heard["driver"] in told(panel)
    choose(panel, "commit", 0.9)
    assert "your verdict is missing" in panel.error and event not in told(panel)
    choose(panel, "verdict", ticket.fault)
    assert event not in told(panel) and f"this: {title}" not in told(panel)
    choose(panel, "commit", 0.9)
    assert panel.error == "" and f"Right: it was this: {title}" in panel.description.sentence
    assert "score 0.99" in panel.description.sentence and event in told(panel)
    choose(panel, "commit", 0.2)
    choose(panel, "verdict", "none")
    choose(panel, "measure", "sight")
    assert "score 0.99" in panel.description.sentence and "2 measurements" in panel.description.sentence
    choose(panel, "ticket", "99")
    assert "Ticket 99" in panel.description.sentence and "0 measurements" in panel.description.sentence


@pytest.mark.parametrize("bad", ("low side: 9 bar\nhigh side: 2 bar", "vent: oops"))
def test_a_sheet_that_cannot_be_keeps_what_was_typed(bad):
    panel = panels.OwnReadingsPanel(view=View())
    before = panel.description
    choose(panel, "sheet", bad)
    assert panel.error and panel.description is before and panel.controls_by_field["sheet"].box.value == bad
    choose(panel, "sheet", "vent: 15 °C\nlow side: oops")
    assert panel.error == "" and "Line 2 is not used" in " ".join(panel.description.notes)


@pytest.mark.parametrize(("vehicle", "offered"), [("city_van", 3), ("older_van", 1)])
def test_branches_and_coolant_are_asked_for_where_there_is_a_chiller(vehicle, offered):
    panel = panels.VehiclePanel(view=View(), vehicle=vehicle)
    assert len(panel.controls_by_field["open_branches"].box.options) == offered
    assert ("coolant_temperature" in panel._hidden()) == (offered == 1)
