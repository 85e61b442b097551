"""What is true of every panel: it starts, tells itself, keeps to the learner's units and its limits, never crashes.

How many random settings are tried for each panel is set by the environment: THERMO_KIT_DRAWS=50 looks longer.
"""

import dataclasses
import functools
import os
import random
import re
import tomllib
from pathlib import Path
from xml.etree import ElementTree

import pytest

from tests.panels.told import said_by, strange_units
from thermo_kit import panels
from thermo_kit.panels.controls import ChoiceControl, NumberControl, TextControl
from thermo_kit.panels.frame import Panel
from thermo_kit.panels.view import View
from thermo_kit.units import UnitSystem, tell

PANELS = [one for name in panels.__all__ if isinstance(one := getattr(panels, name), type) and issubclass(one, Panel)]
DRAWS = int(os.environ.get("THERMO_KIT_DRAWS", "2"))
VIEWS = {
    "SI, absolute, 1600 m": {"altitude": 1600.0, "gauge": False},
    "US, 1600 m": {"system": UnitSystem.US, "altitude": 1600.0},
}
NO_PICTURE = {"BlankSheetPanel"}
REFUSES = {
    "CompareCoresPanel": {"second_blocked", "fan_speed"},
    "CondenserPanel": {"blocked", "fan_speed"},
    "CondenserPathPanel": {"pressure"},
    "CyclePanel": {"condensing_temperature", "high_side"},
    "ExchangerLengthPanel": {"inner_diameter"},
    "ExchangerPanel": {"inner_diameter"},
    "FinDensityPanel": {"blocked", "fan_speed"},
    "LayoutPanel": {"amount"},
    "LogPanel": {"refrigerant"},
    "MixturePanel": {"specific_gravity"},
    "MysteryVehiclePanel": {"commit"},
    "ReadingsPanel": {control.field for control in panels.ReadingsPanel.controls},
    "ReceiverChargePanel": {"held_elsewhere"},
    "StatePanel": {"enthalpy", "temperature", "second"},
}
"""Controls at whose end the panel says in plain words that there is no answer."""
BESIDE = {
    "ChargePanel": {"hose": "full of liquid"},
    "CondenserPanel": {"blocked": 0.4},
    "CyclePanel": {"refrigerant": "R-744"},
    "EstimatePanel": {"failure": "compressor burnt, no debris found"},
    "ExchangeCyclePanel": {"refrigerant": "R-744"},
    "ExchangerLengthPanel": {"refrigerant": "R-744"},
    "ExchangerPanel": {"refrigerant": "R-744"},
    "FeedingPanel": {"cause": "too little refrigerant"},
    "FreezePanel": {"valve_closes": True, "mass_fraction": 0.3},
    "GuardPanel": {"flow_watch": False, "mass_fraction": 0.1},
    "LayoutPanel": {"fault": "hose kinked"},
    "MixturePanel": {"instrument": "hydrometer"},
    "MysteryVehiclePanel": {"measure": "discharge_pressure"},
    "SafeTimePanel": {"against": "compressor_speed"},
    "ScenarioPanel": {"layout": "join_or_part", "scene": "hot soak", "after_run": 300.0},
    "TwoVentsPanel": {"fault": "damper leaks"},
    "ValveFaultPanel": {"fault": "pin stuck"},
    "ValveForcePanel": {"equalisation": "internal"},
    "VehiclePanel": {"vehicle": "city_van", "fault": "undercharge", "open_branches": "both"},
}
"""Settings beside which those controls matter that do not matter at the start."""
QUIET = {"MysteryVehiclePanel": {"measure", "verdict"}, "OwnReadingsPanel": {"charge"}}
"""Controls that do nothing by themselves, or only where it is the charge that is wrong."""
PRESSED = Path(__file__).parents[1] / "benchmarks" / "panels.toml"
SLIDERS = {
    panel: label
    for together in tomllib.loads(PRESSED.read_text(encoding="utf-8")).values()
    for panel, (label, _) in together.items()
}
"""The slider of each panel whose press is measured, by its label."""
CRASHED = "could not be computed"

NOT_A_NUMBER = re.compile(r"(?i).{0,20}\b(?:nan|inf)\b.{0,20}|.{0,20}\.\.(?!\.).{0,20}")


def test_a_number_in_the_other_system_is_seen_but_not_beside_its_own():
    assert strange_units("It shows 5.0 °C.", UnitSystem.US) and strange_units("41.0 °F", UnitSystem.SI)
    assert not strange_units("It shows 5.0 °C (41.0 °F) and 41.0 °F.", UnitSystem.US)


def complaints(kind, told, error, system):
    """Return what is wrong with what a panel shows."""
    if error:
        return [error] if CRASHED in error else []
    said = said_by(told)
    found = strange_units(said, system)
    found += NOT_A_NUMBER.findall("\n".join([said, *told.notes]))
    for picture in told.pictures:
        ElementTree.fromstring(picture.whole())
        if len(picture.sentence) < 20 or "nan" in re.sub(r">[^<>]+</text>", "", picture.still + picture.moving):
            found.append(f"a picture without alternative text, or drawn with no numbers: {picture.sentence}")
    return found


def of_every_panel(test):
    """Run a test for each panel."""
    return pytest.mark.parametrize("kind", PANELS, ids=lambda kind: kind.__name__)(test)


@pytest.mark.parametrize("view", VIEWS)
@of_every_panel
def test_it_shows_itself_in_every_view(kind, view):
    view = View(**VIEWS[view])
    panel = kind(view=view)
    told, said = panel.description, repr(panel)
    assert panel.error == "" and said.startswith(f"{panel.title}\n") and told.sentence in said and kind.__doc__
    assert told.rows and all(text.strip() in said for row in told.rows for text in row)
    assert told.pictures or kind.__name__ in NO_PICTURE
    assert complaints(kind, told, "", view.system) == []
    again = kind.describe(dataclasses.replace(panel.settings), view.look)
    assert dataclasses.replace(again, notes=tuple(tell(note, view.look) for note in again.notes)) == told


def offered(panel, sort, chance):
    """Choose for about half of one sort of controls what they offer: an end of the slider, or what lies between."""
    values = {}
    for control in panel.controls:
        if isinstance(control, sort) and chance.random() < 0.6:
            if sort is ChoiceControl:
                values[control.field] = chance.choice(control.pairs(panel.settings))[1]
            else:
                low, high = control.bounds(panel.settings)
                values[control.field] = chance.choice((low, high, *(chance.uniform(low, high) for _ in range(4))))
    return values


@functools.cache
def drawn(kind):
    """Return (settings, description, error, unit system) of random settings that the controls offer."""
    chance, seen = random.Random(kind.__name__), []
    for _ in range(DRAWS):
        view = View(system=chance.choice(list(UnitSystem)), altitude=chance.choice((0.0, 1600.0)))
        panel = kind(view=view)
        for sort in (ChoiceControl, NumberControl):
            panel.set(**offered(panel, sort, chance))
            seen.append((panel.settings, panel.description, panel.error, view.system))
    return seen


@of_every_panel
def test_what_the_controls_offer_is_answered_or_refused_in_plain_words(kind):
    for settings, told, error, system in drawn(kind):
        assert complaints(kind, told, error, system) == [], settings


@of_every_panel
def test_errors_and_notes_are_in_the_learners_units(kind):
    for settings, told, error, system in drawn(kind):
        assert strange_units(error or "\n".join(told.notes), system) == [], settings


@pytest.mark.parametrize("name", SLIDERS)
def test_a_step_of_the_slider_moves_the_picture_and_keeps_what_stands_still(name):
    panel = getattr(panels, name)(view=View())
    labelled = (one for one in panel.controls if SLIDERS[name].startswith(one.label))
    control = max(labelled, key=lambda one: len(one.label))
    low, high = control.bounds(panel.settings)
    for _ in range(3):  # one step may cross into another window
        before, now = panel.description.pictures, getattr(panel.settings, control.field)
        panel.set(**{control.field: now + control.step if now + control.step <= high else low})
        pairs = list(zip(before, panel.description.pictures, strict=True))
        if all(one.still == two.still for one, two in pairs) and any(one.moving != two.moving for one, two in pairs):
            return
    raise AssertionError("what stands still is drawn anew at each step")


def places(control, settings):
    """Return both ends of a slider, or what a list offers, the first three of it."""
    return (
        control.bounds(settings) if isinstance(control, NumberControl) else [v for _, v in control.pairs(settings)[:3]]
    )


@of_every_panel
def test_every_control_can_be_moved_as_far_as_it_goes_and_is_listened_to(kind):
    deaf = [one for one in kind.controls if not isinstance(one, TextControl)]
    for start in ({}, BESIDE.get(kind.__name__)):
        if start is None or not deaf:
            break
        panel = kind(view=View(), **start)
        for control in list(deaf):
            seen = []
            for place in places(control, panel.settings):
                panel.set(**{control.field: place})
                assert complaints(kind, panel.description, panel.error, UnitSystem.SI) == [], (control.field, place)
                assert panel.error == "" or control.field in REFUSES[kind.__name__], panel.error
                seen.append((panel.description, panel.error))
            panel.reset()
            if any(one != seen[0] for one in seen):
                deaf.remove(control)
    assert {one.field for one in deaf} <= QUIET.get(kind.__name__, set())


def names(panel, control):
    """Whether an error names a control, or another whose limits move with it."""
    moving = [one for one in panel.controls if isinstance(one, NumberControl) and one.limits_move]
    return any(one.label in panel.error for one in (control, *moving))


@pytest.mark.parametrize("system", UnitSystem)
@of_every_panel
def test_beyond_a_limit_the_control_is_named_and_the_picture_stays(kind, system):
    panel = kind(view=View(system=system))
    start = panel.settings
    for control in kind.controls:
        if isinstance(control, NumberControl):
            low, high = control.bounds(start)
            beyond = 0.1 * (high - low)
            before = panel.description
            for value, word in ((low - beyond, "below"), (high + beyond, "above")):
                panel.set(**{control.field: value})
                assert names(panel, control) and word in panel.error, (control.field, panel.error)
                assert panel.description is before and strange_units(panel.error, system) == []
            panel.reset()
        elif isinstance(control, TextControl):
            panel.controls_by_field[control.field].box.value = "?"
            assert CRASHED not in panel.error
            panel.reset()
        assert panel.error == "" and panel.settings == start, control.field
