"""Every lesson opens, runs and shows its panels; lesson 02 is worked through as a learner would."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.fixtures import SIZE, fresh_page
from tests.browser.lab import PROJECT
from tests.browser.notebook_page import DARK, PanelOnPage

LESSONS = sorted(path.name for path in (PROJECT / "lessons").glob("*.ipynb"))
WORKED_THROUGH = "02_ph_diagram.ipynb"
OURS = (".tk-panel", ".tk-switch", ".thermo-kit-course", "table")


@pytest.fixture(scope="module")
def notebook(lab, browser):
    """One page for all lessons: to load JupyterLab takes longer than to run a lesson."""
    with fresh_page(lab, browser) as page:
        yield page.open_lab("lessons")


def test_there_are_lessons():
    assert {"01_pressure_and_temperature.ipynb", WORKED_THROUGH} <= set(LESSONS)


def runs_from_top_to_bottom(notebook, name):
    page = notebook.open_next(f"lessons/{name}").page
    notebook.run_all()
    errors = page.locator(".jp-OutputArea-output[data-mime-type='application/vnd.jupyter.error']")
    assert errors.all_inner_texts() == []
    panels = page.locator(".tk-panel")
    for number in range(panels.count()):
        panel = PanelOnPage(notebook, panels.nth(number)).show()
        expect(panel.root.get_by_role("heading").first).not_to_be_empty()
        expect(panel.alert).to_have_count(0)
        for picture in panel.picture.all():
            assert len(picture.get_attribute("aria-label")) > 20
            assert picture.bounding_box()["height"] > 100
    assert page.locator(".tk-panel, .thermo-kit-course").count() >= 1
    assert violations(page) == []
    assert notebook.problems == []


def violations(page):
    """Return what axe-core finds in what is ours; JupyterLab's own roles are not."""
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page, context={"include": [[one] for one in OURS if page.locator(one).count()]})
    return [(one["id"], one["nodes"][0]["html"][:200]) for one in found.response["violations"]]


@pytest.mark.parametrize("name", [name for name in LESSONS if name != WORKED_THROUGH])
def test_a_lesson_runs_from_top_to_bottom(notebook, name):
    runs_from_top_to_bottom(notebook, name)


def test_lesson_02_runs_and_takes_an_apprentices_readings(notebook):
    runs_from_top_to_bottom(notebook, WORKED_THROUGH)
    # The readings tell the heat that is to be predicted.
    expect(notebook.page.get_by_role("heading", name="Your readings on the pressure–enthalpy diagram")).to_have_count(0)
    notebook.page.get_by_role("textbox", name="My prediction").first.fill("100")
    notebook.page.get_by_role("button", name="Commit my prediction").first.click()
    panel = notebook.panel("Your readings on the pressure–enthalpy diagram").show()
    sentence, picture = panel.root.get_by_role("status").text_content(), panel.picture_svg()

    panel.type_in("Low-side gauge in bar(g)", "31 psi")
    expect(panel.box("Low-side gauge in bar(g)")).to_have_value("2.14")
    expect(panel.root.get_by_role("status")).not_to_have_text(sentence)
    typed, numbers = panel.new_picture_svg(picture), panel.rows()

    panel.unfold()
    name = "Clamp: liquid line (gas cooler outlet) in °C"
    before = float(panel.box(name).input_value())
    panel.press(name, "ArrowLeft", "ArrowLeft")
    expect(panel.box(name)).not_to_have_value(f"{before:.1f}")
    expect(panel.root.locator(".tk-table")).not_to_have_text(re.compile(re.escape(_subcooling(numbers))))
    panel.new_picture_svg(typed)
    panel.screenshot("02_readings_light")

    notebook.page.set_viewport_size({"width": 1300, "height": 760})
    panel.box("Clamps are good to ± in K").scroll_into_view_if_needed()
    expect(panel.picture.first).to_be_in_viewport(ratio=0.8)  # it stays in sight beside the lowest controls
    notebook.page.set_viewport_size(SIZE)

    panel.type_in("Low-side gauge in bar(g)", "two bar")
    expect(panel.alert).to_contain_text("is not a number")
    panel.reset()
    expect(panel.alert).to_have_count(0)
    expect(panel.root.get_by_role("status")).to_have_text(sentence)

    notebook.change_theme(DARK)
    notebook.choose("Units", "US customary (psi, °F, lb)")
    panel.expect_sentence("°F")
    panel.show().screenshot("02_readings_dark_us")
    assert notebook.problems == []


def _subcooling(rows):
    return next(value for label, value in rows.items() if "ubcooling" in label)
