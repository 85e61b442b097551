"""The shared view: one object, checked, told to everyone at once, and kept as plain values."""

import json

import pytest

from thermo_kit.errors import InputError, OutOfRangeError
from thermo_kit.panels.view import View, ViewSwitch, the_view, view_switch
from thermo_kit.units import UnitSystem
from thermo_kit.units.look import Look


def test_one_kernel_has_one_view():
    assert the_view() is the_view()


def test_look_is_what_charts_take(view):
    view.system, view.altitude, view.gauge = UnitSystem.US, 1600, False
    assert view.look == Look(UnitSystem.US, 1600.0, False)


def test_snapshot_is_plain_and_restores(view):
    view.system, view.altitude, view.gauge = UnitSystem.US, 1600.0, False
    saved = json.loads(json.dumps(view.snapshot()))
    other = View()
    other.restore(saved)
    assert other.look == view.look


ALTITUDES = [{"altitude": bad} for bad in ("high", 9e9, float("nan"), True)]


@pytest.mark.parametrize(
    "saved", [None, [], {"system": "old"}, {"gauge": "yes"}, {"system": "US", "colour": 3}, *ALTITUDES]
)
def test_an_unusable_snapshot_changes_nothing(view, saved):
    before = view.look
    with pytest.raises(InputError):
        view.restore(saved)
    assert view.look == before


def test_impossible_altitude_is_refused(view):
    with pytest.raises(OutOfRangeError, match="altitude 20000 m is outside"):
        view.altitude = 20_000


def test_switch_follows_the_view_and_the_view_the_switch(view):
    first, second = ViewSwitch(view), ViewSwitch(view)
    first.units.value = UnitSystem.US
    first.altitude.value = "1600 m"
    first.pressures.value = False
    assert view.look == Look(UnitSystem.US, 1600.0, False)
    assert second.units.value is UnitSystem.US and second.altitude.value == "5249"
    assert second.altitude.description == "Altitude in ft"
    assert repr(second) == "Units: US customary. Pressures: absolute. Altitude: 5,249 ft."


@pytest.mark.parametrize("typed", ["high", "", "5 bar", "40000"])
def test_a_bad_altitude_is_told_and_changes_nothing(view, typed):
    switch = ViewSwitch(view)
    switch.altitude.value = typed
    assert "still use 0 m" in switch.error_line.value and view.altitude == 0
    assert switch.altitude.value == typed
    switch.altitude.value = "0"
    assert switch.error_line.value == ""


def test_switching_units_back_and_forth_keeps_the_altitude_exactly(view):
    view.altitude = 1609.344
    switch = ViewSwitch(view)
    for _ in range(20):
        switch.units.value = UnitSystem.US
        switch.units.value = UnitSystem.SI
    assert view.altitude == 1609.344


def test_view_switch_can_preset_the_shared_view():
    try:
        switch = view_switch(system=UnitSystem.US, altitude=1600.0)
        assert the_view().look == Look(UnitSystem.US, 1600.0, True)
        assert switch._repr_mimebundle_()["text/plain"] == repr(switch)
    finally:
        the_view().reset()
    assert the_view().look == Look()


def test_what_was_chosen_holds_on_the_next_page(tmp_path, monkeypatch):
    monkeypatch.setenv("THERMO_KIT_RECORDS", str(tmp_path))
    the_view.cache_clear()
    first = view_switch(altitude=400)
    first.units.value = UnitSystem.US
    first.country.value = "US"
    the_view.cache_clear()  # as a new kernel does
    second = view_switch(altitude=1200)
    assert (the_view().system, the_view().country, the_view().altitude) == (UnitSystem.US, "US", 1200.0)
    second.altitude.value = "5000 ft"
    second.numbers.value = True
    the_view.cache_clear()
    third = view_switch(altitude=400)
    assert the_view().altitude == pytest.approx(1524.0)
    assert "numbers of 1,312 ft: set this altitude" in third.error_line.value
    third.altitude.value = "400 m"
    assert third.error_line.value == ""
    third.altitude.value = "5000 ft"
    assert the_view().look.words("12,345.6 kPa") == "12\u202f345,6 kPa"
    (tmp_path / "settings.json").write_text("{]")
    the_view.cache_clear()
    view_switch(altitude=400)
    assert the_view().look == Look(altitude=400.0)
    the_view.cache_clear()
