"""The evaporator's panels: numbers from the model, faults that move them the right way, errors in plain words."""

import pytest

from tests.components.evaporator_cases import coil, day
from tests.panels.told import number, row
from thermo_kit.components.evaporator import solve_evaporator
from thermo_kit.errors import OutOfRangeError
from thermo_kit.fleet import part_of
from thermo_kit.panels import EvaporatorPanel, MoistAirPanel, PullDownPanel, TwoVentsPanel
from thermo_kit.panels.evaporator import HIDDEN
from thermo_kit.panels.view import View
from thermo_kit.systems import VENT_FAULTS, CabinSpec, pull_down
from thermo_kit.units import atmosphere_pressure, celsius
from thermo_kit.units.look import Look


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"air_temperature": celsius(38), "relative_humidity": 0.3, "air_flow": 0.08},
        {"evaporating_temperature": celsius(-2), "superheat": 11.0, "relative_humidity": 0.7},
        {"blocked_share": 0.4},
    ],
)
def test_the_coil_panel_tells_what_the_model_says(changes):
    panel, look = EvaporatorPanel(view=View(), **changes), Look()
    own = {name: value for name, value in changes.items() if name != "blocked_share"}
    result = solve_evaporator(coil(blocked_share=changes.get("blocked_share", 0.0)), day(**own))
    assert row(panel, "Vent air") == look.text(result.vent.T, "temperature")
    assert row(panel, "Cooling") == look.text(result.cooling_capacity, "power")
    assert row(panel, "of it sensible") == look.text(result.sensible, "power")
    assert row(panel, "Condensate") == f"{result.condensate * 3600:.2f} kg/h ({result.condensate * 3.6e6:,.0f} mL/h)"
    assert row(panel, "Superheated part of the face") == f"{result.superheated_share * 100:.0f} %"
    assert row(panel, "Air through the coil") == look.text(result.air_flow, "air_flow")
    assert row(panel, "Coldest fin surface") == look.text(result.coldest_surface, "temperature")


def test_another_coil_brings_its_refrigerant_and_the_air_of_its_blower():
    panel, look = EvaporatorPanel(view=View()), Look()
    panel.set(vehicle="shuttle_bus")
    usual = part_of("shuttle_bus", "evaporator_conditions")
    result = solve_evaporator(part_of("shuttle_bus", "evaporator"), usual)
    assert panel.settings.air_flow == usual.air_flow and "shuttle bus, R-134a" in panel.description.notes[-1]
    assert row(panel, "Cooling") == look.text(result.cooling_capacity, "power")
    low, high = panel.controls_by_field["air_flow"].control.bounds(panel.settings)
    assert low < usual.air_flow < high and high > 0.5


def test_altitude_thins_the_air():
    sea, high = EvaporatorPanel(view=View()), EvaporatorPanel(view=View(altitude=1600.0))
    thin = day(air_pressure=atmosphere_pressure(1600.0))
    assert row(high, "Cooling") == Look().text(solve_evaporator(coil(), thin).cooling_capacity, "power")
    assert number(high, "Cooling") < number(sea, "Cooling")


def test_the_chart_panel_adds_up():
    panel = MoistAirPanel(view=View(), superheat=10.0)
    water = [number(panel, place, 2) for place in ("1 in front of the coil", "4 vent, both mixed")]
    lost = float(panel.description.sentence.split("the air loses ")[1].split()[0])
    assert lost == pytest.approx(water[0] - water[1], abs=0.11)
    dew = [number(panel, place, 3) for place in ("1 in front of the coil", "2 behind the boiling part")]
    assert dew[0] > dew[1]
    panel.set(superheat=0.0)
    assert len(panel.description.rows) == 3


@pytest.mark.parametrize(
    ("fault", "left", "right", "flow", "verdict"),
    [
        ("starved coil", 0, 1, 0, "refrigerant side"),
        ("damper leaks", 1, 1, 0, "air side"),
        ("slow blower", -1, -1, -1, "air side"),
        ("blocked fins", 1, 1, -1, "air side"),
        ("none", 0, 0, 0, "no fault seen"),
    ],
)
@pytest.mark.parametrize("air", [(30, 0.5), (40, 0.2), (26, 0.8)])
def test_each_fault_moves_each_reading_its_own_way(fault, left, right, flow, verdict, air):
    panel = TwoVentsPanel(view=View(), fault=fault, size=0.5, air_temperature=celsius(air[0]), relative_humidity=air[1])
    for label, way in (("Left vent", left), ("Right vent", right), ("Air flow", flow)):
        now, sound = number(panel, label, 0), number(panel, label, 1)
        assert (now > sound) - (now < sound) == way, label
    assert panel.description.sentence.endswith(f"{verdict}.")


def test_the_fault_is_told_with_its_numbers():
    panel = TwoVentsPanel(view=View(), fault="starved coil", size=0.5)
    assert f"superheat {row(panel, 'Superheat', 0)} instead of 5.0 K" in panel.description.sentence
    panel.set(fault="slow blower", size=0.5)
    assert f"air flow {row(panel, 'Air flow', 0)} instead of 396 m³/h" in panel.description.sentence


@pytest.mark.parametrize("fault", VENT_FAULTS)
def test_every_fault_may_be_as_large_as_can_be_in_the_weakest_and_the_strongest_air(fault):
    control = next(control for control in TwoVentsPanel.controls if control.field == "air_flow")
    for flow in control.bounds(TwoVentsPanel.Settings()):
        assert TwoVentsPanel(view=View(), fault=fault, size=1.0, air_flow=flow).error == ""


def test_the_size_is_asked_only_where_there_is_a_fault_to_size():
    panel = TwoVentsPanel(view=View())
    for fault, asked in (("none", False), ("damper leaks", True), ("case A", False)):
        panel.set(fault=fault)
        assert ("Size of the fault" in repr(panel)) == asked, fault


@pytest.mark.parametrize("name", HIDDEN)
def test_a_hidden_case_gives_readings_only(name):
    panel = TwoVentsPanel(view=View(), fault=name)
    said = repr(panel)
    assert row(panel, "Superheat") == row(panel, "Cooling of the coil") == "not measured"
    fault, size = HIDDEN[name]
    assert fault not in said.lower() and "side:" not in said and panel.description.sentence.endswith("it?")
    open_panel = TwoVentsPanel(view=View(), fault=fault, size=size)
    for label in ("Left vent", "Right vent", "Air flow"):
        assert row(panel, label) == row(open_panel, label)


def test_hidden_cases_are_four_different_faults():
    assert len({fault for fault, _ in HIDDEN.values()}) == len(HIDDEN)
    with pytest.raises(OutOfRangeError, match="case A"):
        TwoVentsPanel.Settings(fault="case Z")


@pytest.mark.parametrize("changes", [{}, {"sun": 200.0, "recirculated_share": 0.5, "people": 3}])
def test_the_cabin_panel_tells_what_the_model_says(changes):
    panel = PullDownPanel(view=View(), **changes)
    cabin = CabinSpec(
        sun=changes.get("sun", 700.0),
        people=changes.get("people", 1),
        fresh_air_share=1.0 - changes.get("recirculated_share", 0.8),
    )
    outside = day(air_temperature=celsius(32), relative_humidity=0.4)
    exact = pull_down(
        cabin, outside, coil(), start=celsius(55), wish=celsius(25), duration=3600.0, points=121, exact=True
    )
    assert number(panel, "Cabin after 20 minutes") == pytest.approx(exact.air[40] - 273.15, abs=0.11)
    assert number(panel, "Vent after 60 minutes") == pytest.approx(exact.vent[-1] - 273.15, abs=0.11)
    if exact.comfort_time is None:
        assert row(panel, "Cool enough") == "not within 60 min"
    else:
        minutes = float(row(panel, "Cool enough").split()[1])
        assert minutes == pytest.approx(exact.comfort_time / 60.0, abs=0.2)


@pytest.mark.parametrize(("boils", "freezes"), [(-5, True), (-1, False), (3, False)])
def test_ice_on_the_coil_is_told_where_the_minutes_look_good(boils, freezes):
    told = PullDownPanel(view=View(), evaporating_temperature=celsius(boils), recirculated_share=1.0).description
    assert any("the minutes shown are too good" in note for note in told.notes) == freezes
    shown = EvaporatorPanel(view=View(), evaporating_temperature=celsius(boils), air_temperature=celsius(22))
    assert any("below 0 °C (32 °F)" in note for note in shown.description.notes) == freezes
