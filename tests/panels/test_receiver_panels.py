"""The receiver's panels: settings in, picture and sentence out; the lesson's questions can be answered there."""

import pytest

from thermo_kit.panels import ReceiverChargePanel, ReceiverPanel
from thermo_kit.panels.view import View


@pytest.mark.parametrize("too_short", [0.0, 0.01, 0.06])
@pytest.mark.parametrize("charge", [0.45, 0.56, 0.75])
def test_a_mouth_that_is_never_covered_is_told_and_drawn(too_short, charge):
    panel = ReceiverChargePanel(view=View(), too_short=too_short, charge=charge)
    assert panel.error == ""
    said = "Standing level, the first bubble goes up the pipe at once" in panel.description.sentence
    assert said == (charge == 0.45)
    picture = panel.description.pictures[1]
    assert "mouth in vapour" in picture.moving and "nan" not in picture.moving


def test_the_mass_in_the_receiver_stays_within_the_vessel():
    panel = ReceiverPanel(view=View(), vessel="shuttle_bus", inventory=0.6)
    panel.set(vessel="parcel_van")
    assert panel.error == "" and panel.settings.inventory < 0.25
