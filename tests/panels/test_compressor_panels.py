"""Panels of compressor, mounts and insulation: settings in, picture and sentence out; a lesson's questions answered."""

import pytest

from tests.panels.told import row
from thermo_kit.components.compressor import rpm
from thermo_kit.panels import CompressorMapPanel, CompressorPanel, InsulationPanel, MountPanel
from thermo_kit.panels.view import View
from thermo_kit.units import barg


def test_what_current_a_duty_draws():
    panel = CompressorPanel(view=View())
    assert (row(panel, "Direct current from the battery"), row(panel, "Current in each motor line")) == (
        "3.9 A",
        "7.1 A",
    )
    panel.set(speed=rpm(8000))
    assert (row(panel, "Direct current from the battery"), row(panel, "Current in each motor line")) == (
        "7.6 A",
        "7.2 A",
    )


def test_slow_and_hard_is_hotter_than_fast_and_hard():
    panel = CompressorPanel(view=View(), discharge_pressure=barg(19), speed=rpm(1600))
    slow = row(panel, "Hot gas")
    panel.set(speed=rpm(6000))
    assert float(slow.split()[0]) > float(row(panel, "Hot gas").split()[0]) + 10


def test_another_machine_brings_its_battery_and_a_speed_it_may_run_at():
    panel = CompressorPanel(view=View(), speed=rpm(8000))
    panel.set(machine="shuttle_bus")
    assert panel.error == "" and panel.settings.voltage == 650.0
    assert panel.settings.speed == pytest.approx(rpm(6500))
    chart = CompressorMapPanel(view=View(), speed=rpm(8000))
    chart.set(machine="shuttle_bus")
    assert chart.error == "" and chart.settings.speed == pytest.approx(rpm(6500))


def test_errors_are_told_in_plain_words_and_the_last_answer_stays():
    panel = CompressorPanel(view=View())
    before = panel.description
    panel.set(voltage=200.0, speed=rpm(8000))
    assert "voltage between the motor lines" in panel.error and panel.description == before
    panel.set(voltage=400.0, suction_pressure=barg(5.0), discharge_pressure=barg(3.5))
    assert "are the two gauges swapped" in panel.error
    panel.set(suction_pressure=barg(2.4), discharge_pressure=barg(13))
    assert panel.error == ""


def test_the_map_says_where_the_pocket_fits():
    panel = CompressorMapPanel(view=View(), pressure_ratio=1.6)
    assert row(panel, "Verdict") == "over-compression"
    panel.set(pressure_ratio=5.0)
    assert row(panel, "Verdict") == "under-compression"


def test_what_the_mounts_do_at_900_against_8000():
    panel = MountPanel(view=View())
    assert (row(panel, "Gets through at 900 r/min"), row(panel, "Gets through at 8,000 r/min")) == ("155 %", "5.3 %")
    panel.set(metal_path=5e6)
    assert row(panel, "Gets through at 8,000 r/min") == "461 %"


def test_wrong_oil_takes_the_van_out_of_service():
    panel = InsulationPanel(view=View())
    assert row(panel, "Verdict") == "reaches the least value"
    panel.controls_by_field["compressor"].box.value = "150"
    assert panel.settings.compressor == pytest.approx(150e3)
    assert row(panel, "Verdict") == "too little: out of service" and row(panel, "Weakest") == "compressor"
    panel.set(circuit="direct only")
    assert row(panel, "Verdict") == "reaches the least value"
