"""The condenser's panels: settings in, picture and sentence out; bad lists of tubes are told in plain words."""

import dataclasses

import pytest

from tests.panels.told import described, number, row
from thermo_kit.components.condenser import compare_cores, condensing_pressure_for, solve_condenser
from thermo_kit.components.louvered_fins import fins_per_inch
from thermo_kit.errors import InputError
from thermo_kit.panels import CompareCoresPanel, CondenserPanel, CondenserPathPanel, FinDensityPanel, condenser
from thermo_kit.panels.view import View
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.stream import stream_at
from thermo_kit.units import barg
from thermo_kit.units.look import Look

PANELS = (CondenserPanel, CondenserPathPanel, CompareCoresPanel, FinDensityPanel)


@pytest.mark.parametrize("panel_class", PANELS)
def test_another_vehicle_takes_its_usual_core_along_and_gives_it_back(panel_class):
    panel = panel_class(view=View())
    before = panel.settings
    panel.controls_by_field["vehicle"].box.value = "shuttle_bus"
    assert panel.error == "" and panel.settings != dataclasses.replace(before, vehicle="shuttle_bus")
    assert "R-134a" in repr(panel)
    panel.controls_by_field["vehicle"].box.value = "parcel_van"
    assert panel.settings == before


@pytest.mark.parametrize("text", ["17, 10, 6", "17 10 6", "17;10;6", " 17/10-6 ", "17+10+6"])
def test_a_list_of_tubes_may_be_typed_in_many_ways(text):
    assert condenser.read_tubes(text) == (17, 10, 6)
    assert condenser.read_tubes(condenser.write_tubes((17, 10, 6))) == (17, 10, 6)


@pytest.mark.parametrize("text", ["", "  ", "17, x", "17.5, 3", "seventeen", "١٧"])
def test_what_is_no_list_of_tubes_is_refused(text):
    with pytest.raises(InputError, match="is not a list of whole numbers: write one number for each pass"):
        condenser.read_tubes(text)


@pytest.mark.parametrize(
    ("first", "second", "kind", "told"),
    [
        (340.0, 317.6, "temperature", "−22.4 K"),
        (340.0, 342.1, "temperature", "+2.1 K"),
        (16e5, 15.2e5, "pressure", "−0.80 bar"),
        (1800.0, 1700.0, "electric_power", "−0.10 kW"),
        (340.0, 340.0, "temperature", "0.0 K"),
    ],
)
def test_a_shift_has_one_sign_and_the_right_one(first, second, kind, told):
    assert condenser.shift_text(first, second, kind, Look()) == told


def test_only_places_of_the_receiver_that_the_core_has_are_offered():
    panel = CondenserPanel(view=View())
    panel.controls_by_field["tubes"].box.value = "20, 16"
    offered = [value for _, value in panel.controls_by_field["receiver"].box.options]
    assert panel.error == "" and offered == [-1, -2, 1, 2, 0]
    for place in offered:
        panel.set(receiver=place)
        assert panel.error == "", place


def test_the_walk_tells_the_numbers_of_the_solution_at_the_altitude_of_the_yard():
    settings = CondenserPanel.Settings(fin_density=fins_per_inch(16), blocked=0.1)
    look = Look(altitude=1600.0)
    air = settings.air(look)
    solved = condensing_pressure_for(settings.rebuilt, settings.duty, air)
    told = settings.describe(look)
    assert row(told, "Head pressure") == look.text(solved.condensing_pressure, "pressure")
    assert row(told, "Compressor power") == look.text(solved.compressor_power, "electric_power")
    assert 8.3e4 < air.pressure < 8.4e4  # ISO 2533: 83,524 Pa at 1,600 m


def test_a_fifth_fewer_fins_on_a_hot_idle_day():
    """The question of the lesson: head pressure, compressor power, cooling at equal pressure."""
    settings = CompareCoresPanel.Settings()
    compared = compare_cores(*settings.cores, settings.duty, settings.air(Look()))
    told = settings.describe(Look())
    assert row(told, "Shift in head pressure") == f"+{compared.condensing_pressure_shift / 1e5:.2f} bar"
    assert 0.3e5 < compared.condensing_pressure_shift < 1.5e5
    assert f"compressor power is {100 * (compared.compressor_power_ratio - 1):.1f} % more" in told.sentence
    assert f"cooling is {100 * (1 - compared.capacity_ratio_at_equal_pressure):.1f} % less" in told.sentence
    assert any("vent temperature" in str(note) for note in told.notes)


@pytest.mark.parametrize(("pressure", "words"), [(barg(12.5), "vapour"), (barg(17), "liquid")])
def test_a_held_pressure_tells_what_reaches_the_receiver(pressure, words):
    told = described(CondenserPathPanel, pressure=pressure)
    assert words in row(told, "Reaches the receiver")


def test_the_path_is_the_one_of_the_solved_core():
    settings = CondenserPathPanel.Settings(tubes=(17, 10, 6))
    told = settings.describe(Look())
    hot = Refrigerant("R-1234yf").dew_temperature(settings.pressure) + settings.superheat
    inlet = stream_at("R-1234yf", settings.mass_flow, p=settings.pressure, T=hot)
    core = dataclasses.replace(settings.core, tubes=(17, 10, 6), receiver_after=2)
    solved = solve_condenser(core, inlet, settings.air(Look()))
    assert row(told, "Heat given to the air") == Look().text(solved.heat_rejection, "power")
    assert len([label for label, _ in told.rows if label.startswith("Pass ")]) == len(solved.passes) == 3


def test_the_fins_move_the_mark_and_keep_the_curve(monkeypatch):
    settings = FinDensityPanel.Settings()
    first = settings.describe(Look())
    monkeypatch.setattr(condenser.parts, "fin_curve", None)  # any new curve would fail
    second = dataclasses.replace(settings, fin_density=fins_per_inch(16)).describe(Look())
    assert first.pictures[1].still == second.pictures[1].still
    assert first.pictures[0].moving != second.pictures[0].moving
    bars = [float(row(told, "Head pressure").split()[0]) for told in (first, second)]
    assert bars[1] > bars[0] + 0.3
    assert row(first, "Least power of both near") == row(second, "Least power of both near") == "34 fins/in"


def test_mud_costs_subcooling_where_the_last_pass_lies_and_pressure_elsewhere():
    mud = {"blocked": 0.8, "blocked_where": "in the lowest sixth"}
    told = [described(CondenserPanel, **changes) for changes in ({}, mud, {**mud, "last_pass_at": "top"})]
    clean, low, high = (number(one, "Subcooling") for one in told)
    assert low < clean - 5 and high > clean
    clean, low, high = (number(one, "Head pressure") for one in told)
    assert clean < low < high
