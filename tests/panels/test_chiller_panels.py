"""The panels of the freezing chiller: settings in, picture and sentence out; the lesson's questions can be answered."""

import threading

from tests.panels.told import row
from thermo_kit.panels import GuardPanel, SafeTimePanel, chiller
from thermo_kit.panels.view import View
from thermo_kit.systems import failure_table
from thermo_kit.systems.chiller_freeze import FreezeSpec, longest_safe_reaction
from thermo_kit.systems.guard_table import GUARD_NAMES


class SmallMap(SafeTimePanel):
    """A fine map small enough for a test, computed without further processes."""

    fine_points, accuracy, workers = 3, 2.0, 1


def test_the_guard_panel_agrees_with_the_failure_table():
    fields = dict(zip(GUARD_NAMES, ("flow_watch", "cold_watch", "pressure_watch", "valve"), strict=True))
    panel = GuardPanel(view=View(), mass_fraction=0.1)
    for line in failure_table(FreezeSpec(mass_fraction=0.1, duration=300.0)):
        panel.set(**{field: guard not in line.failed for guard, field in fields.items()})
        shown = next(texts for texts in panel.description.rows if texts[0].startswith("→"))
        assert shown[1] == ("BURST" if line.outcome == "burst" else line.outcome), line.failed


def test_the_guard_panel_keeps_what_was_tried():
    panel = GuardPanel(view=View())
    panel.set(flow_watch=False)
    panel.set(cold_watch=False)
    assert [line[0] for line in panel.description.rows] == ["none", "flow watch", "→ flow watch + cold watch"]
    panel.set(cold_watch=True)
    assert len(panel.description.rows) == 3, "a case seen before is not listed twice"
    panel.set(mass_fraction=0.2)
    assert [line[0] for line in panel.description.rows] == ["→ flow watch"], "another mixture, another list"
    panel.reset()
    assert panel.settings == GuardPanel.Settings(tried=((),))


def test_the_safe_time_panel_tells_what_was_taken_off():
    panel = SmallMap(view=View(), mass_fraction=0.1)
    shown = float(row(panel, "Time to react here").split()[0])
    least = longest_safe_reaction(FreezeSpec(mass_fraction=0.1))
    assert least - 0.95 <= shown <= least + 0.1, "searched to a second, less 5 %"
    assert any("5 % and 0.5 s taken off" in note for note in panel.description.notes)


def test_the_fine_map_takes_the_place_of_the_coarse_one():
    panel = SmallMap(view=View())
    assert row(panel, "Map") == "6 × 6"
    panel.compute_fine()
    panel.wait()
    assert row(panel, "Map") == "3 × 3"
    assert panel.bar.value == 9 and "Done" in panel.progress_line.value
    assert panel.stop_button.disabled and not panel.fine_button.disabled
    panel.set(mass_fraction=0.3)
    assert row(panel, "Map") == "3 × 3", "moving the point keeps the map"
    panel.set(avoid="ice")
    assert row(panel, "Map") == "6 × 6", "another question drops it"


def held_up(monkeypatch):
    """Make the computing of a fine map wait inside its first point until it is let go."""
    begun, go_on = threading.Event(), threading.Event()
    real = chiller.maps.safe_time_map

    def slow(*args, **given):
        def cancelled():
            begun.set()
            go_on.wait(20)
            return given["cancelled"]()

        return real(*args, **{**given, "cancelled": cancelled})

    monkeypatch.setattr(chiller.maps, "safe_time_map", slow)
    return begun, go_on


def test_a_fine_map_can_be_stopped_and_leaves_the_old_one(monkeypatch):
    panel = SmallMap(view=View())
    begun, go_on = held_up(monkeypatch)
    panel.compute_fine()
    assert begun.wait(20)
    panel.set(mass_fraction=0.4)
    assert row(panel, "at 40 % glycol") == row(panel, "Time to react here"), "the panel works on meanwhile"
    assert panel.fine_button.disabled and not panel.stop_button.disabled
    panel.stop()
    go_on.set()
    panel.wait()
    assert "Stopped" in panel.progress_line.value
    assert row(panel, "Map") == "6 × 6" and panel.settings.fine is None


def test_a_fine_map_for_other_choices_is_not_shown(monkeypatch):
    panel = SmallMap(view=View())
    begun, go_on = held_up(monkeypatch)
    panel.compute_fine()
    assert begun.wait(20)
    monkeypatch.undo()
    panel.set(avoid="ice")
    go_on.set()
    panel.wait()
    assert "have changed meanwhile" in panel.progress_line.value
    assert row(panel, "Map") == "6 × 6"


def test_a_failure_in_the_background_is_told(monkeypatch):
    panel = SmallMap(view=View())

    def fail(**_given):
        raise RuntimeError("no worker came up")

    monkeypatch.setattr(chiller.maps, "safe_time_map", fail)
    panel.compute_fine()
    panel.wait()
    assert "no worker came up" in panel.progress_line.value
    assert not panel.fine_button.disabled


def test_the_picture_of_the_guards_answers_each_step_of_glycol():
    panel = GuardPanel(view=View(), mass_fraction=0.10)
    before = panel.description.pictures[0]
    panel.set(mass_fraction=0.11)
    after = panel.description.pictures[0]
    assert after.moving != before.moving and "freezes at −3.7 °C" in after.sentence
