"""The panels of lesson 01: settings in, picture and sentence out."""

import pytest

from tests.panels.told import described
from thermo_kit.panels import ParkedSystemPanel, PressurePanel, SaturationPanel
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.units import atmosphere_pressure, barg, celsius
from thermo_kit.units.look import Look


def test_gauge_and_absolute_differ_by_the_air_and_either_may_be_typed(view):
    panel = PressurePanel(view=view)
    panel.controls_by_field["absolute"].box.value = "5"
    assert panel.settings.gauge_reading == pytest.approx(5e5, rel=1e-12)
    assert panel.controls_by_field["gauge_reading"].box.value == "3.99"
    panel.controls_by_field["gauge_reading"].box.value = "29 inHg vac"
    assert panel.settings.absolute == pytest.approx(atmosphere_pressure(0) - 29 * 3386.389, abs=2)


def test_the_same_gauge_reading_is_a_lower_absolute_pressure_up_the_hill(view):
    panel = PressurePanel(view=view)
    view.altitude = 1600.0
    assert panel.settings.absolute == pytest.approx(2e5 + atmosphere_pressure(1600))
    assert panel.controls_by_field["gauge_reading"].box.value == "2.00"
    assert ("Absolute pressure", "2.84 bar abs") in panel.description.rows


def test_its_boxes_keep_their_names_whatever_the_view(view):
    panel = PressurePanel(view=view)
    view.gauge = False
    assert panel.controls_by_field["gauge_reading"].box.description == "Gauge reading in bar(g)"
    assert panel.controls_by_field["absolute"].box.description == "Absolute pressure in bar abs"


@pytest.mark.parametrize("name", REFRIGERANT_NAMES)
def test_temperature_and_pressure_follow_each_other(view, name):
    fluid = Refrigerant(name)
    panel = SaturationPanel(view=view, refrigerant=name, temperature=celsius(10))
    assert panel.settings.pressure == pytest.approx(fluid.dew_pressure(celsius(10)))
    panel.set(pressure=fluid.dew_pressure(celsius(-15)))
    assert panel.settings.temperature == pytest.approx(celsius(-15), abs=1e-6)


def test_a_temperature_above_critical_is_told_and_can_be_mended(view):
    panel = SaturationPanel(view=view, temperature=celsius(60))
    panel.controls_by_field["refrigerant"].box.value = "R-744"
    assert "critical point" in panel.error
    panel.controls_by_field["temperature"].box.value = "20"
    assert panel.error == "" and ("Absolute pressure", "57.29 bar abs") in panel.description.rows


@pytest.mark.parametrize("altitude", [0, 1600])
def test_a_gauge_at_nought_is_told_to_mean_a_system_as_good_as_empty(altitude):
    def notes(gauge_reading, **given):
        told = described(ParkedSystemPanel, Look(altitude=altitude), pressure=barg(gauge_reading, altitude), **given)
        return " ".join(map(str, told.notes))

    empty = "as good as empty. Air and moisture may be inside."
    assert empty in notes(0.0) and empty in notes(-0.5) and empty in notes(0.0, refrigerant="R-744")
    assert empty not in notes(0.3)
    # Cold liquid boils at about the pressure of the air: the system may be full.
    cold = Refrigerant("R-134a").dew_temperature(barg(0.0, altitude))
    assert empty not in notes(0.0, temperature=cold)


def test_changing_only_the_volume_changes_no_verdict_but_the_charge():
    small, large = (described(ParkedSystemPanel, volume=volume) for volume in (0.002, 0.004))
    assert dict(small.rows)["Gap between them"] == dict(large.rows)["Gap between them"]
    assert dict(small.rows)["Most charge that fits"] != dict(large.rows)["Most charge that fits"]
