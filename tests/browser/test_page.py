"""A page of the workbook as a learner meets it: started by one button, no key changes a cell, told when it sleeps."""

import re
import string

from playwright.sync_api import expect

from tests.browser.fixtures import SIZE

CELLS = """() => JSON.stringify(window.jupyterapp.shell.currentWidget.content.widgets.map(
    cell => [cell.model.type, cell.model.sharedModel.getSource()]))"""
STATE = """() => [...document.querySelector('.tk-page').classList].find(
    one => /^tk-(asleep|starting|running|gone)/.test(one))"""
KEYS = (*string.ascii_lowercase, *string.digits, "Delete", "Backspace", "Escape", "d", "d", "Enter")
KINDS = {
    "drop-down": ".tk-switch select",
    "box": ".tk-panel input[type=text]",
    "slider": ".tk-panel .noUi-handle",
    "button": ".tk-panel .tk-reset",
    "radio": "input[type=radio]",
    "title": ".tk-panel .tk-title",
    "words": ".jp-MarkdownOutput p",
}


def open_page(notebook, lab, path):
    notebook.page.goto(lab.url(path).replace("/lab/workspaces/", "/doc/workspaces/"))
    notebook.page.locator(".tk-bar").wait_for(timeout=60_000)
    return notebook.page


def start(page, name="Start this page"):
    page.get_by_role("button", name=name, exact=True).click()
    page.wait_for_function(f"() => ({STATE})() === 'tk-running'", timeout=120_000)


def test_a_page_starts_stays_at_its_top_keeps_its_cells_and_says_when_it_sleeps(notebook, lab):
    page = open_page(notebook, lab, "lessons/02_ph_diagram.ipynb")
    assert page.evaluate(STATE) == "tk-asleep"
    assert page.locator(".jp-CodeCell .cm-editor:visible").count() == 0
    # Monospace text meant for programs is hidden; what is live says that it comes with the start.
    assert page.locator(".jp-RenderedText:visible").count() == 0
    before = page.evaluate(CELLS)
    start(page)
    scrolled = (
        "() => (document.querySelector('.jp-WindowedPanel-outer') ?? document.querySelector('.jp-Notebook')).scrollTop"
    )
    assert page.evaluate(scrolled) == 0
    assert page.evaluate("() => document.activeElement.closest('.tk-switch') !== null")
    for kind, selector in KINDS.items():
        control = page.locator(selector).first
        control.scroll_into_view_if_needed()
        control.click(timeout=5_000)
        for key in KEYS:
            page.keyboard.press(key)
        control.dblclick(timeout=5_000)
        for key in KEYS[-6:]:
            page.keyboard.press(key)
        assert page.evaluate(CELLS) == before, kind
        assert page.locator(".jp-Dialog").count() == 0, kind
    page.evaluate("() => { window.jupyterapp.shell.currentWidget.sessionContext.session.kernel.restart(); }")
    page.wait_for_function(f"() => ({STATE})() === 'tk-gone'", timeout=30_000)
    expect(page.locator(".tk-say")).to_contain_text("Your answers are kept")
    assert page.locator(".tk-panel:visible").count() == 0
    start(page, "Start this page again")
    page.evaluate("() => window.jupyterapp.shell.currentWidget.sessionContext.shutdown()")
    page.wait_for_function(f"() => ({STATE})() === 'tk-gone'", timeout=30_000)
    start(page, "Start this page again")
    expect(page.locator(".tk-panel").first).to_be_visible()
    cells = "() => window.jupyterapp.shell.currentWidget.content.widgets.length"
    many = page.evaluate(cells)
    for command in ("delete-cell", "cut-cell"):  # also from the menu a cell cannot go
        page.evaluate("command => window.jupyterapp.commands.execute(`notebook:${command}`)", command)
    assert page.evaluate(cells) == many
    page.get_by_role("button", name="Show the code").click()
    assert page.locator(".jp-CodeCell .cm-editor:visible").count() > 0


def test_controls_say_their_names_values_and_errors(notebook, lab):
    page = open_page(notebook, lab, "lessons/01_pressure_and_temperature.ipynb")
    start(page)
    panel = page.locator(".tk-panel").first
    handle, box = panel.locator(".noUi-handle").first, panel.locator(".tk-box > input").first
    page.wait_for_timeout(400)
    label = panel.locator(".tk-box > label").first.text_content()
    assert handle.get_attribute("aria-label") == label
    assert handle.get_attribute("aria-valuetext").startswith(box.input_value())
    box.fill("many")
    box.press("Enter")
    expect(box).to_have_attribute("aria-invalid", "true", timeout=5_000)
    reason = page.locator(f"#{box.get_attribute('aria-describedby')}")
    expect(reason).to_contain_text("is not a number")
    expect(page.locator(".tk-pictures[tabindex]")).to_have_count(0)
    page.set_viewport_size({"width": 683, "height": 384})
    expect(page.locator(".tk-pictures").first).to_have_attribute("tabindex", "0")
    page.set_viewport_size(SIZE)
    page.get_by_role("button", name="Reset").first.click()
    expect(box).to_have_attribute("aria-invalid", "false", timeout=5_000)
    radios = page.locator(".widget-radio-box").first
    assert radios.get_attribute("role") == "radiogroup" and radios.get_attribute("aria-label")
    radios.locator("input").first.focus()
    page.keyboard.press("ArrowDown")
    assert page.evaluate("() => document.activeElement.checked && document.activeElement.name.startsWith('tk-radio')")


def test_prose_questions_and_the_next_page_follow_units_and_decimal_sign(notebook, lab):
    page = open_page(notebook, lab, "lessons/02_ph_diagram.ipynb")
    start(page)
    card = page.locator(".jp-MarkdownOutput").filter(has_text="Six numbers on a scrap")
    question = page.locator(".thermo-kit-course").filter(has_text="Van P07: suction")
    expect(card).to_contain_text("2.10 bar")
    expect(card).not_to_contain_text("psi")
    notebook.choose("Units", "US customary (psi, °F, lb)")
    notebook.choose("Numbers", "2,5 (comma)")
    expect(card).to_contain_text("12,60 bar (182,7 psi)", timeout=20_000)
    expect(card).to_contain_text("32 °C (90 °F) in the shade")
    expect(question).to_contain_text("2,10 bar (30,5 psi) on the gauge, clamp at the compressor inlet 9 °C (48 °F)")
    expect(question.get_by_text("Your answer (K, or write °F)")).to_be_visible()
    # The last letters come before the button, however quickly it is pressed.
    page.get_by_role("textbox", name="My prediction").first.focus()
    page.keyboard.type("123,45")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.get_by_text("Your prediction is kept: 123,45.")).to_be_visible(timeout=20_000)
    open_page(notebook, lab, "exercises/09_electric_compressor.ipynb")
    expect(page.locator(".jp-MarkdownOutput").filter(has_text="The air presses")).to_contain_text(
        "1,013 bar (14,69 psi)"
    )
    # A paragraph keeps its point.
    open_page(notebook, lab, "lessons/00_start_here.ipynb")
    expect(page.locator(".jp-MarkdownOutput", has_text="unit of your own")).to_contain_text("2,4 bar")
    assert page.locator("td", has_text="Annex I, point 1.1").count() > 0
    expect(page.locator("td", has_text=re.compile(r"point \d+,"))).to_have_count(0)
    open_page(notebook, lab, "lessons/02_ph_diagram.ipynb")
    start(page)
    notebook.choose("Numbers", "2.5 (point)")
    notebook.choose("Units", "SI (bar, °C, kg)")
    expect(card).not_to_contain_text("psi", timeout=20_000)
    expect(card).to_contain_text("12.60 bar")


def test_practice_goes_by_keys_alone(notebook, lab):
    page = open_page(notebook, lab, "lessons/practice.ipynb")
    start(page)
    before, go = page.evaluate(CELLS), page.locator(".tk-practice .tk-go")
    expect(go).to_be_focused()
    page.keyboard.press("Enter")
    for _ in range(4):
        expect(go).to_have_text("Check", timeout=60_000)
        inputs = page.locator(".tk-practice .tk-entry input")
        expect(inputs.first).to_be_focused()
        if inputs.first.get_attribute("type") == "radio":
            page.keyboard.press("2")
            expect(inputs.nth(1)).to_be_checked()
        else:
            page.keyboard.type("12.5")
        page.keyboard.press("Enter")
        expect(go).to_have_text("Go on")
        expect(page.locator(".tk-practice").get_by_text("Source: ")).to_be_visible()
        page.keyboard.press("Enter")
    assert page.evaluate(CELLS) == before


PLAN = 'title = "Three"\nquestions = 3\nminutes = 9\npass_mark = 50\n[shares]\nfirst_aid = 100\n'


def test_an_examination_goes_by_keys_is_taken_up_again_and_ends_with_its_report(notebook, lab):
    (lab.home / "plan.toml").write_text(PLAN)
    page = open_page(notebook, lab, "lessons/examination.ipynb")
    start(page)
    before, box = page.evaluate(CELLS), page.locator(".tk-practice")
    file = page.get_by_role("textbox", name="Or a plan of your own (file)").first
    file.fill(str(lab.home / "plan.toml"))
    file.press("Tab")
    begin = box.get_by_role("button", name="Begin the examination")
    expect(begin).to_be_focused()
    begin.press("Enter")
    options, place = box.locator(".tk-entry input[type=radio]"), box.get_by_role("combobox", name="Go to question")
    expect(options.first).to_be_focused(timeout=30_000)
    page.keyboard.press("2")
    expect(place.locator("option").first).to_have_text("1 of 3, answered")
    page.keyboard.press("Enter")
    expect(place).to_have_value("2 of 3")
    question = box.locator(".widget-html p:not([role])").filter(has_not_text="minutes left")
    expect(box.get_by_text("being drawn")).to_have_count(0)
    asked = question.all_inner_texts()
    assert asked
    page.reload()
    page.locator(".tk-bar").wait_for(timeout=60_000)
    start(page, page.locator(".tk-start").inner_text())
    expect(place).to_have_value("2 of 3", timeout=30_000)
    assert question.all_inner_texts() == asked
    # After a start the page is at its top.
    options.first.focus()
    for number in (2, 3):
        expect(options.first).not_to_be_checked()
        expect(options.first).to_be_focused()
        page.keyboard.press("1")
        expect(place.locator("option").nth(number - 1)).to_have_text(f"{number} of 3, answered")
        page.keyboard.press("Enter")
    for _ in range(3):
        page.keyboard.press("Tab")
    expect(box.get_by_role("button", name="Hand in")).to_be_focused()
    page.keyboard.press("Enter")
    expect(box.get_by_text("of 3 points")).to_be_visible(timeout=30_000)
    expect(box.get_by_role("link", name="Save the result as a page to print")).to_be_visible()
    assert page.evaluate(CELLS) == before
