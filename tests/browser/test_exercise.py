"""An exercise as a learner meets it: what is entered is saved at once, comes back, and is judged in self-study."""

import json

import pytest
from playwright.sync_api import expect

EXERCISE = "02_ph_diagram"


@pytest.fixture
def sheet_file(lab):
    # Self-study keeps one folder for each notebook's folder.
    path = lab.home / "records" / "exercises" / f"{EXERCISE}.sheet.json"
    path.unlink(missing_ok=True)
    yield path
    path.unlink(missing_ok=True)


def test_an_answer_sheet_saves_restores_and_tells_the_mistake(notebook, sheet_file):
    page = notebook.open(f"exercises/{EXERCISE}.ipynb").page
    notebook.run_all()
    superheat = page.get_by_role("textbox", name="Answer a (K)", exact=True)
    superheat.fill("21.8 K")  # the gauge reading looked up without the pressure of the air
    superheat.press("Tab")
    expect(page.get_by_text("Saved: 21.8 K", exact=True)).to_be_visible()
    page.get_by_role("radio", name="the two clamps are swapped").check()
    expect(page.get_by_text("2 of 9 questions answered.")).to_be_visible()
    saved = json.loads(sheet_file.read_text(encoding="utf-8"))
    assert saved["answers"] == {"a": "21.8 K", "g": "the two clamps are swapped"}

    notebook.open(f"exercises/{EXERCISE}.ipynb").run_all()
    expect(superheat).to_have_value("21.8 K")
    expect(page.get_by_role("radio", name="the two clamps are swapped")).to_be_checked()
    page.get_by_role("button", name="Check my answers").click()
    expect(page.get_by_text("Not yet. You looked up the gauge reading.")).to_be_visible(timeout=60_000)
    page.get_by_role("button", name="Show the worked solution").click()
    expect(page.get_by_role("region", name="Worked solution")).to_contain_text("a. superheat:", timeout=60_000)
    notebook.screenshot("02_exercise")
    assert notebook.problems == []
