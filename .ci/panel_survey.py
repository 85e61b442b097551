"""Photograph every panel of the lessons at four sizes, light and dark, and measure what a learner sees.

    python .ci/panel_survey.py FOLDER [02 05 …]      (needs Chromium; without numbers: every lesson)

Writes FOLDER/NN_panel_size_theme.png and prints one line a panel and size: the smallest text of its pictures in CSS
pixels, whether the first control and the picture are in sight together, controls shown at once, choices cut off.
"""

import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from playwright.sync_api import sync_playwright  # noqa: E402

from tests.browser.fixtures import SWITCHES, find_chromium  # noqa: E402
from tests.browser.lab import Lab  # noqa: E402
from tests.browser.notebook_page import DARK, LIGHT, NotebookPage  # noqa: E402

# A laptop; the same with a list of files beside the page (250 px); at 200 %; a desk.
SIZES = {"laptop": (1366, 768), "listed": (1116, 768), "zoomed": (683, 384), "desk": (1920, 1080)}
MEASURE = """panel => {
    const box = node => node.getBoundingClientRect();
    const texts = [...panel.querySelectorAll('.tk-layer svg text')].filter(text => text.textContent.trim());
    const size = text => parseFloat(getComputedStyle(text).fontSize)
        * box(text.ownerSVGElement).width / text.ownerSVGElement.viewBox.baseVal.width;
    const shown = [...panel.querySelectorAll('.tk-control')].filter(one => box(one).height > 0);
    const picture = panel.querySelector('.tk-picture');
    const cut = [...panel.querySelectorAll('.tk-control select')].filter(select => {
        if (!box(select).width) return false;
        const pen = document.createElement('canvas').getContext('2d');
        pen.font = getComputedStyle(select).font;
        return pen.measureText(select.selectedOptions[0]?.textContent ?? '').width > select.clientWidth - 22;
    }).map(select => select.selectedOptions[0].textContent);
    const wide = panel.scrollWidth > panel.clientWidth + 1;
    // Where it is higher than the page the picture scrolls in its own box.
    const low = picture && Math.min(box(picture).bottom, box(picture.parentElement).bottom);
    const beside = picture && shown.length
        ? Math.max(low, box(shown[0]).bottom) - Math.min(box(picture).top, box(shown[0]).top) : 0;
    return {text: texts.length ? Math.min(...texts.map(size)) : 0, controls: shown.length, beside, cut, wide,
            title: panel.querySelector('.tk-title')?.textContent ?? ''};
}"""


def photograph(notebook, lesson, folder):
    """Photograph the panels of one running lesson and print what was measured."""
    page = notebook.page
    for theme in (LIGHT, DARK):
        notebook.change_theme(theme)
        for size, (width, height) in SIZES.items():
            page.set_viewport_size({"width": width, "height": height})
            page.wait_for_timeout(400)
            for number, panel in enumerate(page.locator(".tk-panel").all()):
                panel.scroll_into_view_if_needed()
                panel.evaluate("panel => panel.scrollIntoView({block: 'start'})")
                page.screenshot(path=folder / f"{lesson[:2]}_{number}_{size}_{theme.split()[1].lower()}.png")
                if theme == LIGHT:
                    seen = panel.evaluate(MEASURE)
                    sight = "in sight" if seen["beside"] <= height - 40 else f"{seen['beside']:.0f} px of {height}"
                    cut = f", cut: {seen['cut']}" if seen["cut"] else ""
                    wide = ", wider than the page" if seen["wide"] else ""
                    print(
                        f"{lesson[:2]} {seen['title'][:40]:40} {size:7} text {seen['text']:4.1f} px, "
                        f"{seen['controls']} controls, {sight}{cut}{wide}",
                        flush=True,
                    )


def main(folder, *numbers):
    """Run the survey."""
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    every = (path.stem for path in sorted((ROOT / "lessons").glob("*.ipynb")))
    lessons = [name for name in every if not numbers or name[:2] in numbers]
    lab = Lab()
    try:
        with sync_playwright() as started:
            chromium = started.chromium.launch(executable_path=find_chromium(), headless=True, args=list(SWITCHES))
            for lesson in lessons:
                notebook = NotebookPage(chromium.new_page(viewport={"width": 1366, "height": 768}), lab)
                address = lab.url(f"lessons/{lesson}.ipynb").replace("/lab/workspaces/", "/doc/workspaces/")
                notebook.page.goto(address)
                notebook.page.get_by_role("button", name="Start this page").click(timeout=60_000)
                notebook.page.locator(".tk-page.tk-running").wait_for(timeout=180_000)
                photograph(notebook, lesson, folder)
                notebook.page.close()
                lab.stop_kernels()
    finally:
        lab.stop()


if __name__ == "__main__":
    main(*sys.argv[1:])
