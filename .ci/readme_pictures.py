"""Make README's pictures anew from the panels as they are: python .ci/readme_pictures.py (needs Chromium)."""

import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from playwright.sync_api import sync_playwright  # noqa: E402

from tests.browser.fixtures import SWITCHES, find_chromium  # noqa: E402
from tests.browser.lab import Lab  # noqa: E402
from tests.browser.notebook_page import NotebookPage  # noqa: E402

PICTURES = {
    "readings_panel": ("ReadingsPanel", "Your readings on the pressure–enthalpy diagram"),
    "pressure_panel": ("PressurePanel", "Gauge and absolute pressure"),
    "compare_panel": ("ComparePanel", "Same job, different numbers"),
}


def main():
    lab = Lab()
    try:
        with sync_playwright() as started:
            chromium = started.chromium.launch(executable_path=find_chromium(), headless=True, args=list(SWITCHES))
            for name, (panel, title) in PICTURES.items():
                notebook = NotebookPage(chromium.new_page(viewport={"width": 1300, "height": 900}), lab)
                notebook.open(
                    lab.add_notebook(f"{name}.ipynb", f"from thermo_kit.panels import {panel}\n{panel}()")
                ).run_all()
                shot = notebook.panel(title).show().screenshot(name)
                (ROOT / "lessons" / "pictures" / f"{name}.png").write_bytes(shot.read_bytes())
                print(f"written lessons/pictures/{name}.png")
    finally:
        lab.stop()


if __name__ == "__main__":
    main()
