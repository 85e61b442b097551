"""The shell of every panel in real JupyterLab: names, keyboard, units, errors, theme, narrow window."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.fixtures import SIZE, fresh_page
from tests.browser.notebook_page import DARK, LIGHT

TITLE, PRESSURE, TEMPERATURE = "Trial of the shell", "Suction pressure in bar(g)", "Line temperature in °C"


@pytest.fixture(scope="module")
def opened(lab, browser):
    """The view's switch, the panel, and one whose pictures take long, open for all tests of this file."""
    imports = "from thermo_kit.panels import view_switch\nfrom tests.browser.trial_panel import SlowPanel, TrialPanel\n"
    path = lab.add_notebook("trial.ipynb", f"{imports}view_switch()", "TrialPanel()", "SlowPanel()")
    with fresh_page(lab, browser) as notebook:
        notebook.open(path).run_all()
        yield notebook


@pytest.fixture
def trial(opened):
    """The panel as it was at the start."""
    yield opened.panel(TITLE).show()
    opened.page.set_viewport_size(SIZE)
    opened.change_theme(LIGHT)
    opened.choose("Units", "SI (bar, °C, kg)")
    opened.choose("Pressures", "as a gauge reads")
    altitude = opened.page.get_by_role("textbox", name="Altitude in m", exact=True)
    altitude.fill("0")
    altitude.press("Enter")
    panel = opened.panel(TITLE).show()
    panel.reset()
    panel.expect_sentence("2.00 bar(g)")
    panel.expect_box(PRESSURE, "2.00")
    panel.expect_box(TEMPERATURE, "20.0")
    # Sentence and boxes may have said so before; the picture of the reset may still be on its way.
    shown = panel.picture_svg()
    while opened.page.wait_for_timeout(400) or shown != panel.picture_svg():
        shown = panel.picture_svg()


def test_every_control_has_an_accessible_name(trial):
    page = trial.notebook.page
    for root in (trial.root, page.locator(".tk-switch")):
        lines = [line.strip() for line in root.aria_snapshot().splitlines()]
        controls = [line for line in lines if re.match(r"- (textbox|combobox|button|spinbutton|checkbox|radio)", line)]
        assert len(controls) >= 3
        assert [line for line in controls if not re.match(r'- \w+ ".+"', line)] == []
    # A slider cannot carry a name in this widget library; so each one sits beside a named box of the same value.
    boxes = trial.root.locator(".tk-control:has([role=slider])").all()
    assert len(boxes) == 2 == trial.root.get_by_role("slider").count()
    assert [box.get_by_role("textbox").count() for box in boxes] == [1, 1]
    assert trial.picture.count() == 1 and trial.picture_says() == "The point lies at 2.00 bar(g)."


def test_keyboard_alone_reaches_and_moves_everything(trial):
    page = trial.notebook.page
    trial.choice("Kind of frame").focus()
    order = []
    for _ in range(6):
        page.keyboard.press("Tab")
        order.append(page.evaluate("document.activeElement.getAttribute('role') ?? document.activeElement.tagName"))
    assert order == ["INPUT", "slider", "INPUT", "slider", "INPUT", "BUTTON"]
    before = trial.picture_svg()
    trial.press(PRESSURE, "ArrowRight", "ArrowRight")
    trial.expect_sentence("2.10 bar(g)")
    trial.expect_box(PRESSURE, "2.10")
    trial.new_picture_svg(before)
    trial.press(PRESSURE, "End")
    trial.expect_sentence("4.00 bar(g)")
    trial.press(PRESSURE, "Home")
    trial.expect_sentence("−0.50 bar(g)")
    page.keyboard.press("Escape")
    trial.root.get_by_role("button", name="Reset").focus()
    page.keyboard.press("Enter")
    trial.expect_sentence("2.00 bar(g)")


def test_focus_is_visible_on_each_control(trial):
    for control in (trial.box(PRESSURE), trial.slider(PRESSURE), trial.choice("Kind of frame")):
        control.focus()
        trial.notebook.page.keyboard.press("Shift+Tab")
        trial.notebook.page.keyboard.press("Tab")
        assert control.evaluate("e => getComputedStyle(e).outlineStyle") == "solid"
        assert control.evaluate("e => parseFloat(getComputedStyle(e).outlineWidth)") >= 2


def test_what_is_typed_between_two_steps_of_the_slider_stays(trial):
    trial.type_in(PRESSURE, "30 psi")
    trial.expect_sentence("2.07 bar(g)")
    trial.type_in(TEMPERATURE, "25.2")
    expect(trial.root.locator(".tk-table")).to_contain_text("25.2 °C")
    trial.expect_row("Pressure", "2.07 bar(g)")
    trial.expect_box(PRESSURE, "2.07")


def test_keys_that_come_faster_than_pictures_are_not_queued(opened):
    panel = opened.panel("Slow trial").show()
    panel.slider(PRESSURE).focus()
    for _ in range(20):
        opened.page.keyboard.press("ArrowRight")
    panel.expect_sentence("3.00 bar(g)")
    panel.expect_row("Pressure", "3.00 bar(g)")
    panel.expect_box(PRESSURE, "3.00")
    assert int(panel.rows()["Pictures"]) <= 10


def test_switching_units_there_and_back_changes_nothing(trial):
    page = trial.notebook
    trial.type_in(PRESSURE, "2.07")
    trial.expect_sentence("2.07 bar(g)")
    page.choose("Units", "US customary (psi, °F, lb)")
    trial.expect_sentence("30.0 psig")
    trial.expect_row("Temperature", "68.0 °F")
    expect(trial.slider("Suction pressure in psig")).to_have_attribute("aria-valuenow", "30.0")
    page.choose("Pressures", "absolute")
    trial.expect_sentence("44.7 psia")
    page.choose("Pressures", "as a gauge reads")
    page.choose("Units", "SI (bar, °C, kg)")
    trial.expect_sentence("2.07 bar(g)")
    trial.notebook.page.wait_for_timeout(400)  # time for a late echo of the slider, if there were one
    rows = {"Pressure": "2.07 bar(g)", "Temperature": "20.0 °C", "Sum of counts": "6", "Thread": "MainThread"}
    assert trial.rows() == rows  # two threads would lose each other's changes


def test_altitude_switch_reaches_the_panel_and_tells_bad_input(trial):
    page = trial.notebook.page
    altitude = page.get_by_role("textbox", name="Altitude in m", exact=True)
    page.get_by_role("combobox", name="Pressures").select_option("absolute")
    altitude.fill("1600")
    altitude.press("Enter")
    trial.expect_sentence("3.01 bar abs")
    altitude.fill("up the hill")
    altitude.press("Enter")
    expect(page.locator(".tk-switch").get_by_role("alert")).to_contain_text("still use 1600 m")
    altitude.fill("0")
    altitude.press("Enter")
    expect(page.locator(".tk-switch").get_by_role("alert")).to_have_count(0)
    page.get_by_role("combobox", name="Pressures").select_option("as a gauge reads")
    trial.expect_sentence("2.00 bar(g)")


def test_an_error_is_told_and_the_old_picture_is_greyed(trial):
    before = trial.picture_svg()
    trial.type_in(PRESSURE, "plenty")
    expect(trial.alert).to_contain_text("Suction pressure 'plenty' is not a number")
    expect(trial.root).to_have_class(re.compile("tk-in-error"))
    assert float(trial.root.locator(".tk-picture").evaluate("e => getComputedStyle(e).opacity")) < 1
    assert trial.picture_svg() == before and trial.box(PRESSURE).input_value() == "plenty"
    trial.type_in(PRESSURE, "1")
    trial.expect_sentence("1.00 bar(g)")
    expect(trial.alert).to_have_count(0)
    trial.choice("Kind of frame").select_option("broken")
    expect(trial.alert).to_contain_text("ZeroDivisionError")
    trial.reset()
    expect(trial.alert).to_have_count(0)


def test_it_reads_in_the_dark_and_fits_a_narrow_window(trial):
    page = trial.notebook
    trial.screenshot("shell_light")
    page.change_theme(DARK)
    trial.show().screenshot("shell_dark")
    colours = "e => [getComputedStyle(e).color, getComputedStyle(e.closest('.tk-panel')).backgroundColor]"
    for part in (".tk-sentence", ".tk-notes", ".tk-help", ".tk-table th", ".tk-box label"):
        text, ground = trial.root.locator(part).first.evaluate(colours)
        assert contrast(text, ground) >= 4.5, (part, text, ground)
    page.page.set_viewport_size({"width": 700, "height": 900})
    page.page.wait_for_timeout(300)
    trial.screenshot("shell_narrow")
    right_edges = trial.root.evaluate(
        "p => [...p.querySelectorAll('input, select, .tk-picture, table')].map(e => e.getBoundingClientRect().right)"
    )
    assert max(right_edges) <= trial.root.bounding_box()["x"] + trial.root.bounding_box()["width"]


def test_no_script_error_was_seen(trial):
    trial.press(TEMPERATURE, "ArrowRight", "ArrowLeft")
    trial.expect_sentence("2.00 bar(g)")
    assert trial.notebook.problems == []


def contrast(text, ground):
    """Contrast of WCAG 2.2, success criterion 1.4.3; a see-through text colour is laid on its ground first."""
    t, g = (_numbers(colour) for colour in (text, ground))
    alpha = t[3] if len(t) > 3 else 1.0
    mixed = [alpha * a + (1 - alpha) * b for a, b in zip(t[:3], g[:3], strict=True)]
    light, dark = sorted((_luminance(mixed), _luminance(g[:3])), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _numbers(colour):
    return [float(number) for number in re.findall(r"[\d.]+", colour)]


def _luminance(rgb):
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in (value / 255 for value in rgb)]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_contrast_is_judged_as_the_standard_says():
    assert contrast("rgb(0, 0, 0)", "rgb(255, 255, 255)") == pytest.approx(21)
    assert contrast("rgba(0, 0, 0, 0.3)", "rgb(255, 255, 255)") < 4.5
