"""The shell of every panel: what is entered arrives in SI, what is wrong is told, nothing is lost."""

import asyncio
import gc
from dataclasses import dataclass, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.browser.trial_panel import TrialPanel, TrialSettings
from thermo_kit.charts.picture import Picture
from thermo_kit.panels import bare, ready
from thermo_kit.panels.controls import NumberControl
from thermo_kit.panels.frame import Description, Panel, PictureStack
from thermo_kit.panels.view import View
from thermo_kit.units import UnitSystem, barg, celsius, psig


@pytest.fixture
def panel(view):
    return TrialPanel(view=view)


def test_widgets_share_a_layout_until_a_page_opens_and_then_another():
    first, second = bare.words(), bare.words()
    assert first.layout is second.layout and first.style is second.style
    ready.load()
    assert bare.words().layout is not first.layout and bare.words().style is not first.style


def entry(panel, name):
    return panel.controls_by_field[name]


def test_start_values_are_the_settings(panel):
    assert panel.settings == TrialSettings()
    assert entry(panel, "pressure").box.value == "2.00"
    assert entry(panel, "pressure").box.description == "Suction pressure in bar(g)"
    assert panel.error == ""


@pytest.mark.parametrize(
    ("typed", "pressure"),
    [("2.5", barg(2.5)), ("2,5", barg(2.5)), ("30 psi", psig(30)), ("3 bar abs", 3e5), ("0", barg(0))],
)
def test_what_is_typed_arrives_in_si(panel, typed, pressure):
    entry(panel, "pressure").box.value = typed
    assert panel.settings.pressure == pytest.approx(pressure, rel=1e-12)
    assert panel.error == ""


def test_the_slider_moves_the_box_and_the_setting(panel):
    entry(panel, "temperature").slider.value = 31.5
    assert panel.settings.temperature == pytest.approx(celsius(31.5))
    assert entry(panel, "temperature").box.value == "31.5"
    assert ("Temperature", "31.5 °C") in panel.description.rows


def test_the_box_moves_the_slider_to_the_nearest_step_and_keeps_its_own_value(panel):
    entry(panel, "pressure").box.value = "2.07"
    slider = entry(panel, "pressure").slider
    assert slider.value == pytest.approx(2.05)
    slider.value = 2.0500000000000003  # what the browser reports back after it has moved the knob
    assert panel.settings.pressure == pytest.approx(barg(2.07))


def test_a_late_echo_of_a_place_we_asked_for_is_no_entry(panel):
    pressure = entry(panel, "pressure")
    pressure.box.value = "1.03"
    pressure.box.value = "3.03"
    pressure.slider.value = 1.0500000000000003  # the browser's report of the first place, come too late
    assert panel.settings.pressure == pytest.approx(barg(3.03))
    assert pressure.slider.value == pytest.approx(3.05)
    pressure.slider.value = 1.05  # once more can only be the learner
    assert panel.settings.pressure == pytest.approx(barg(1.05))


def test_an_echo_of_the_old_units_cannot_arrive(view, panel):
    old = entry(panel, "pressure").slider
    view.system = UnitSystem.US
    old.value = 3.0
    assert panel.settings.pressure == barg(2.0)
    assert entry(panel, "pressure").slider is not old and old.comm is None


@settings(max_examples=3)
@given(st.floats(barg(-0.4), barg(3.9)), st.floats(celsius(-19), celsius(59)))
def test_a_hundred_changes_of_units_change_no_setting(pressure, temperature):
    view = View()
    panel = TrialPanel(view=view, pressure=pressure, temperature=temperature)
    before = panel.settings
    for _ in range(50):
        view.system, view.gauge = UnitSystem.US, False
        view.system, view.gauge = UnitSystem.SI, True
    assert panel.settings == before


@settings(max_examples=15)
@given(st.lists(st.floats(-400, 4000), max_size=20))
def test_a_gauge_reading_stays_what_it_was_when_the_altitude_changes(altitudes):
    view = View()
    panel = TrialPanel(view=view)
    for altitude in altitudes:
        view.altitude = altitude
        assert panel.settings.pressure == pytest.approx(barg(2.0, altitude), abs=1e-6)
        assert entry(panel, "pressure").box.value == "2.00"


def test_an_absolute_pressure_stays_what_it_was_when_the_altitude_changes(view, panel):
    view.gauge = False
    view.altitude = 1600.0
    assert panel.settings.pressure == barg(2.0)


def test_default_readings_are_meant_at_the_altitude_of_the_workshop_and_given_ones_are_not():
    high = View(altitude=1600.0)
    assert TrialPanel(view=high).settings.pressure == pytest.approx(barg(2.0, 1600))
    assert TrialPanel(view=high, pressure=3e5).settings.pressure == 3e5


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("abc", "is not a number"),
        ("", "is empty"),
        ("2 kg", "is not in a unit that fits bar(g)"),
        ("99", "above 4.00 bar"),
        ("-0.9", "below −0.50 bar"),
        ("-7", "below a perfect vacuum"),
        ("1.2.3", "1.2.3"),
        ("1e999", "too large"),
    ],
)
def test_bad_entries_are_told_and_the_last_good_picture_stays(panel, typed, told):
    before = panel.description
    entry(panel, "pressure").box.value = typed
    assert "Suction pressure" in panel.error
    assert told in panel.error
    assert panel.description is before
    assert "tk-in-error" in panel._dom_classes and 'role="alert"' in panel.error_line.value
    entry(panel, "temperature").slider.value = 30  # another control moves meanwhile
    assert "Suction pressure" in panel.error
    entry(panel, "pressure").box.value = "1.00"
    assert panel.error == "" and "tk-in-error" not in panel._dom_classes
    assert ("Temperature", "30.0 °C") in panel.description.rows


def test_a_label_can_be_read_aloud_in_both_unit_systems(view):
    from thermo_kit.panels import ExchangerPanel

    length = entry(ExchangerPanel(view=view), "length")
    assert length.box.description == "Length in mm"
    view.system = UnitSystem.US
    assert length.box.description == "Length in inches"
    length.box.value = "20 inches"
    assert length.box.value == "20"


def test_the_limit_as_it_is_shown_is_accepted(view, panel):
    view.system = UnitSystem.US
    entry(panel, "pressure").box.value = "58.0"  # 4 bar are 58.015 psi
    assert panel.error == ""
    entry(panel, "pressure").box.value = "-7.3"  # −0.5 bar are −7.252 psi
    assert panel.error == "" and panel.settings.pressure == barg(-0.5)


def test_a_box_shows_the_decimal_comma_and_reads_both(view, panel):
    view.comma = True
    box = entry(panel, "temperature").box
    assert "," in box.value and "." not in box.value
    for typed in ("30.5", "30,5", "30,500"):
        box.value = "20"
        box.value = typed
        assert panel.settings.temperature == celsius(30.5) and box.value == "30,5"
    box.value = "1.200"
    assert "can be read in two ways: write 1,200 or 1200" in panel.error


def test_a_crash_is_told_with_its_kind(panel):
    entry(panel, "kind").box.value = "broken"
    assert "ZeroDivisionError: on purpose" in panel.error and "Reset" in panel.error
    panel.reset()
    assert panel.error == "" and panel.settings == TrialSettings()


def test_text_control_reads_and_complains(panel):
    entry(panel, "counts").box.value = "5,5"
    assert panel.settings.counts == (5, 5) and ("Sum of counts", "10") in panel.description.rows
    entry(panel, "counts").box.value = "5;5"
    assert "write it like 3, 2, 1" in panel.error


def test_start_values_beyond_a_limit_are_told_at_once(view):
    panel = TrialPanel(view=view, pressure=50e5)
    assert "above 4.00 bar(g)" in panel.error and panel.description is None
    assert "Check this" in repr(panel)


def test_misspelt_settings_are_refused(view, panel):
    with pytest.raises(TypeError, match="presure"):
        TrialPanel(view=view, presure=1e5)
    with pytest.raises(TypeError, match="presure"):
        panel.set(presure=1e5)


def test_text_equivalent_is_the_cells_plain_text_and_always_the_same(view, panel):
    twin = TrialPanel(view=View())
    assert repr(panel) == repr(twin)
    bundle = panel._repr_mimebundle_()
    assert bundle["text/plain"] == repr(panel)
    assert set(bundle) == {"text/plain", "application/vnd.jupyter.widget-view+json"}
    assert repr(panel).splitlines() == [
        "Trial of the shell",
        "Set: Kind of frame a round one; Suction pressure 2.00 bar(g); Line temperature 20.0 °C; Counts 3, 2, 1",
        "  Pressure       2.00 bar(g)",
        "  Temperature    20.0 °C",
        "  Sum of counts  6",
        "  Thread         MainThread",
        "The point lies at 2.00 bar(g).",
        "Note: Only for trying the shell.",
    ]


def test_pictures_carry_their_sentence_and_the_still_layer_is_hidden(panel):
    stack = panel.pictures.children[0]
    assert 'role="img" aria-label="The point lies at 2.00 bar(g)."' in stack.moving.value
    assert 'aria-hidden="true"' in stack.still.value and "role" not in stack.still.value.split("<svg")[0]


def test_words_from_settings_cannot_become_markup(view):
    class Marked(TrialPanel):
        @staticmethod
        def describe(settings, look):
            return Description((), "<b>5 < 6</b>", (("<i>a</i>", "&"),), ("<script>x</script>",))

    panel = Marked(view=view)
    shown = panel.sentence.value + panel.table.value + panel.notes.value
    assert "&lt;b&gt;" in shown and "<b>" not in shown and "<script>" not in shown and "<i>" not in shown


class Counting(TrialPanel):
    """Counts how often it describes."""

    calls = 0

    @staticmethod
    def describe(settings, look):
        Counting.calls += 1
        return Description((), f"{settings.temperature:.2f}")


def test_the_picture_goes_out_before_boxes_and_sliders(view):
    panel = Counting(view=view)
    box, seen = entry(panel, "temperature").box, []
    panel.sentence.observe(lambda change: seen.append(("sentence", box.value)), "value")
    box.observe(lambda change: seen.append(("box", box.value)), "value")
    before = box.value
    entry(panel, "temperature").slider.value = 25
    assert seen == [("sentence", before), ("box", "25.0")]
    assert panel.description.sentence == f"{celsius(25):.2f}"


def test_what_the_first_panel_of_a_kind_has_loaded_is_spared_by_the_collector_once(view):
    class Another(TrialPanel):
        pass

    loaded = [[] for _ in range(1000)]
    before = gc.get_freeze_count()
    Another(view=view)
    spared = gc.get_freeze_count()
    assert spared >= before + len(loaded)
    Another(view=view)
    assert gc.get_freeze_count() <= spared


def test_a_still_layer_is_sent_again_only_when_it_has_changed():
    stack, sent = PictureStack(), []
    stack.still.observe(lambda change: sent.append(change.new), "value")
    for still in ("<svg>one</svg>", "<svg>one</svg>", "<svg>two</svg>", "<svg>one</svg>"):
        stack.show(Picture(still, "<svg/>", "a sentence", 10, 10))
    assert ["one" in value for value in sent] == [True, False, True]


def test_a_late_loop_changes_nothing(view):
    async def ask():
        panel = Counting(view=view)
        Counting.calls = 0
        entry(panel, "temperature").slider.value = 25
        return Counting.calls, panel.description.sentence

    assert asyncio.run(ask()) == (1, f"{celsius(25):.2f}")


@dataclass(frozen=True, kw_only=True)
class PairSettings:
    small: float = 1.0
    large: float = 2.0


class PairPanel(Panel):
    """Large is always twice small; its limit depends on small."""

    title = "Pair"
    Settings = PairSettings
    controls = (
        NumberControl("small", "Small", "length", low=0.0, high=5.0, step=0.1),
        NumberControl("large", "Large", "length", low=0.0, high=lambda s: 10 * max(s.small, 0.1), step=0.1),
    )

    @staticmethod
    def follow(settings, changed):
        return {"small": settings.large / 2} if changed == "large" else {"large": settings.small * 2}

    @staticmethod
    def describe(settings, look):
        return Description((), f"{settings.small} {settings.large}")


def test_one_control_follows_another(view):
    panel = PairPanel(view=view)
    entry(panel, "small").box.value = "3 m"
    assert panel.settings == PairSettings(small=3.0, large=6.0)
    assert entry(panel, "large").box.value == "6000.0"
    entry(panel, "large").box.value = "4 m"
    assert panel.settings == PairSettings(small=2.0, large=4.0)
    assert PairPanel(view=view, large=8.0).settings.small == 4.0


def test_limits_that_move_move_the_slider(view):
    panel = PairPanel(view=view, small=1.0)
    assert entry(panel, "large").slider.max == pytest.approx(10_000)
    panel.set(small=2.0)
    assert entry(panel, "large").slider.max == pytest.approx(20_000)


def test_settings_that_check_themselves_are_told(view):
    from thermo_kit.errors import InputError

    @dataclass(frozen=True, kw_only=True)
    class Picky(PairSettings):
        def __post_init__(self):
            if self.small > self.large:
                raise InputError("small is larger than large: swap them")

    class PickyPanel(PairPanel):
        Settings = Picky
        follow = None

    panel = PickyPanel(view=view)
    entry(panel, "small").box.value = "3 m"
    assert "swap them" in panel.error
    entry(panel, "large").box.value = "4 m"
    assert panel.error == "" and replace(panel.settings, small=3.0) == panel.settings


def test_a_wide_table_has_heads_on_screen_and_in_the_text(view):
    class Wide(TrialPanel):
        @staticmethod
        def describe(settings, look):
            return Description((), "Two columns.", (("first", "1", "22"), ("second", "333", "4")), (), ("", "a", "b"))

    panel = Wide(view=view)
    assert '<th scope="col">a</th>' in panel.table.value and "<td>22</td>" in panel.table.value
    assert "tk-wide" in panel._dom_classes
    assert repr(panel).splitlines()[2:5] == ["          a    b", "  first   1    22", "  second  333  4"]
