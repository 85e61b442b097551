"""The receiver's panels: settings in, picture and sentence out; the lesson's questions can be answered there."""

import pytest

from tests.panels.told import row
from thermo_kit.panels import ReceiverChargePanel, ReceiverDepthPanel, ReceiverPanel, ReceiverWaterPanel
from thermo_kit.panels.view import View
from thermo_kit.units import celsius

BUS = {"vessel": "shuttle_bus", "refrigerant": "R-134a", "condensing_temperature": celsius(50), "mass_flow": 0.06}


def test_how_far_the_level_may_fall_in_a_hard_bend():
    panel = ReceiverPanel(view=View(), **BUS, inventory=0.3, lateral_acceleration=4.0)
    grams = 300
    while row(panel, "Verdict") != "vapour pulled down":
        grams -= 1
        panel.set(inventory=grams / 1000)
    assert grams == 167  # the lesson's table: 168 g must stay
    panel.set(lateral_acceleration=0.0)
    assert row(panel, "Verdict") == "vapour possible"


def test_after_how_many_years_the_first_bubble_goes_up():
    panel = ReceiverChargePanel(
        view=View(), **BUS, charge=1.7, held_elsewhere=1.25, leak_per_year=0.04, lateral_acceleration=4.0
    )
    assert row(panel, "First bubble at the latest, level / in the bend") == "8.0 years / 7.1 years"
    assert "plateau" in row(panel, "Charge when filled")
    panel.set(leak_per_year=0.0)
    assert row(panel, "First bubble at the latest, level / in the bend") == "never / never"


def test_what_is_left_after_the_years_is_told_beside_what_was_filled_in():
    panel = ReceiverChargePanel(
        view=View(), **BUS, charge=1.7, held_elsewhere=1.25, leak_per_year=0.04, lateral_acceleration=4.0, years=7.5
    )
    told = [row(panel, f"{what} when filled") for what in ("Charge", "In the receiver")]
    assert told == ["1,700 g: plateau", "450 g"]
    told = [row(panel, f"{what} after the years gone by") for what in ("Charge", "In the receiver")]
    assert told == ["1,400 g: doubtful, in the hardest bend bubbles", "150 g"]  # the lesson's table: 150 g
    said = panel.description.sentence
    assert "1,400 g are left: doubtful, in the hardest bend bubbles." in said and "now" not in said


def test_a_reserve_that_never_was_is_told_so():
    panel = ReceiverChargePanel(view=View(), **BUS, charge=1.4, held_elsewhere=1.25, lateral_acceleration=4.0)
    said = panel.description.sentence
    assert "alike, the reserve on the safe side is used up from the start." in said
    assert "at once and at once" not in said
    panel.set(charge=1.57)
    said = panel.description.sentence
    assert "years standing level; in the hardest bend it is used up from the start." in said


@pytest.mark.parametrize("too_short", [0.0, 0.01, 0.06])
@pytest.mark.parametrize("charge", [0.45, 0.56, 0.75])
def test_a_mouth_that_is_never_covered_is_told_and_drawn(too_short, charge):
    panel = ReceiverChargePanel(view=View(), too_short=too_short, charge=charge)
    assert panel.error == ""
    said = "Standing level, the first bubble goes up the pipe at once" in panel.description.sentence
    assert said == (charge == 0.45)
    picture = panel.description.pictures[1]
    assert "mouth in vapour" in picture.moving and "nan" not in picture.moving


def test_another_vessel_brings_its_usual_charge_but_a_given_one_stays():
    panel = ReceiverChargePanel(view=View())
    panel.set(vessel="shuttle_bus")
    assert panel.error == "" and panel.settings.charge == 1.7
    panel.set(vessel="parcel_van")
    assert panel.error == "" and panel.settings.charge == 0.56
    given = ReceiverChargePanel(view=View(), vessel="shuttle_bus", charge=1.5, held_elsewhere=1.2)
    assert given.settings.charge == 1.5


def test_the_mass_in_the_receiver_stays_within_the_vessel():
    panel = ReceiverPanel(view=View(), **BUS, inventory=0.6)
    panel.set(vessel="parcel_van")
    assert panel.error == "" and panel.settings.inventory < 0.25


def test_a_short_standpipe_costs_depth():
    panel = ReceiverPanel(view=View(), inventory=0.06)
    before = row(panel, "Depth of the mouth")
    panel.set(too_short=0.02)
    assert (before, row(panel, "Depth of the mouth")) == ("41.5 mm", "21.5 mm")


def test_more_flow_needs_more_depth_and_an_open_bag_fills():
    depth = ReceiverDepthPanel(view=View())
    first = row(depth, "Safe side")
    depth.set(mass_flow=0.06)
    assert float(row(depth, "Safe side").split()[0]) > float(first.split()[0])
    water = ReceiverWaterPanel(view=View(), open_hours=24.0)
    assert row(water, "Filled to") == "100 %"
