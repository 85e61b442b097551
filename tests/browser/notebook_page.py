"""What a learner does with a notebook in JupyterLab, as short calls; controls are found by their accessible names."""

import time
from pathlib import Path

from playwright.sync_api import expect

SCREENSHOTS = Path(__file__).parent / "screenshots"
DARK, LIGHT = "JupyterLab Dark", "JupyterLab Light"


class NotebookPage:
    """One open notebook."""

    def __init__(self, page, lab):
        self.page, self.lab = page, lab
        self.problems = []
        page.on("pageerror", lambda error: self.problems.append(str(error)))
        page.on("console", lambda message: message.type == "error" and self.problems.append(message.text))

    def open(self, path):
        """Open a notebook and wait until its kernel is ready; the toolbar says idle too early."""
        self.open_lab(path)
        self._wait_until_ready()
        return self

    def open_lab(self, path):
        """Open JupyterLab at a file or folder, its file list closed."""
        self.page.goto(self.lab.url(path))
        self.page.wait_for_function("() => window.jupyterapp?.restored.then(() => true)", timeout=60_000)
        self.page.evaluate("window.jupyterapp.commands.execute('application:toggle-left-area')")
        return self

    def open_next(self, path):
        """Open a notebook where another one may stand, and end that one with its kernel."""
        self.problems.clear()
        self.page.evaluate(
            """async path => {
                const {shell, commands} = window.jupyterapp, last = shell.currentWidget;
                const next = await commands.execute('docmanager:open', {path});
                if (last?.sessionContext) {
                    await last.sessionContext.shutdown();
                    last.dispose();
                }
                shell.activateById(next.id);
            }""",
            path,
        )
        self._wait_until_ready()
        return self

    def _wait_until_ready(self):
        self.page.locator(".jp-Notebook").wait_for(timeout=60_000)
        self._wait_for_idle()

    def _wait_for_idle(self, seconds=120):
        idle = "() => window.jupyterapp?.shell.currentWidget?.sessionContext?.session?.kernel?.status === 'idle'"
        self.page.wait_for_function(idle, timeout=seconds * 1000)

    def run_all(self, seconds=120):
        """Run every cell through the menu and wait until all have a number and the kernel rests."""
        self.start_run_all()
        self.wait_until_run(seconds)

    def start_run_all(self):
        """Forget what is stored, choose Run All Cells and do not wait."""
        self.page.evaluate("window.jupyterapp.commands.execute('notebook:clear-all-cell-outputs')")
        self.page.get_by_role("menuitem", name="Run", exact=True).click()
        self.page.get_by_role("menuitem", name="Run All Cells", exact=True).click()

    def wait_until_run(self, seconds=120):
        """Wait until every code cell has run, or one has failed and stopped the rest."""
        self.page.wait_for_function(
            """() => {
                const cells = window.jupyterapp.shell.currentWidget.content.widgets.map(cell => cell.model);
                const code = cells.filter(cell => cell.type === 'code' && cell.sharedModel.getSource().trim());
                const failed = document.querySelector("[data-mime-type='application/vnd.jupyter.error']");
                return failed || (code.length > 0 && code.every(cell => cell.executionCount));
            }""",
            timeout=seconds * 1000,
        )
        self._wait_for_idle(seconds)

    def run_cell(self, number, seconds=120):
        """Run one cell, counted from 0, and wait until the kernel rests; other cells stay as they are."""
        self.page.evaluate(
            """async number => {
                window.jupyterapp.shell.currentWidget.content.activeCellIndex = number;
                await window.jupyterapp.commands.execute('notebook:run-cell');
            }""",
            number,
        )
        self._wait_for_idle(seconds)

    def cell(self, number):
        """Return the cell with this place in the notebook, counted from 0."""
        return self.page.locator(".jp-Notebook .jp-Cell").nth(number)

    def panel(self, title):
        """Return a panel by its title."""
        heading = self.page.get_by_role("heading", name=title, exact=True)
        return PanelOnPage(self, self.page.locator(".tk-panel").filter(has=heading))

    def choose(self, name, option):
        """Choose in a labelled drop-down list anywhere on the page."""
        self.page.get_by_role("combobox", name=name, exact=True).first.select_option(option)

    def change_theme(self, theme):
        """Switch between the light and the dark theme."""
        call = "theme => window.jupyterapp.commands.execute('apputils:change-theme', {theme})"
        self.page.evaluate(call, theme)
        wanted = "false" if theme == DARK else "true"
        self.page.locator(f"body[data-jp-theme-light='{wanted}']").wait_for(state="attached", timeout=20_000)

    def screenshot(self, name, what=None):
        """Save a picture for someone to look at."""
        SCREENSHOTS.mkdir(exist_ok=True)
        path = SCREENSHOTS / f"{name}.png"
        (what or self.page).screenshot(path=path)
        return path


class PanelOnPage:
    """One panel as a learner meets it."""

    def __init__(self, notebook, root):
        self.notebook, self.root = notebook, root

    def show(self):
        """Scroll to it and wait until it is there."""
        self.root.wait_for(timeout=60_000)
        self.root.scroll_into_view_if_needed()
        return self

    def unfold(self):
        """Open what stands under the fold."""
        self.root.locator("button.tk-more").click()
        self.root.locator("button.tk-more + .tk-folded").wait_for(state="detached")

    def box(self, name):
        """Return a text or number box by its label."""
        return self.root.get_by_role("textbox", name=name, exact=True)

    def choice(self, name):
        """Return a drop-down list by its label."""
        return self.root.get_by_role("combobox", name=name, exact=True)

    def slider(self, name):
        """Return the slider that belongs to a number box."""
        box = self.notebook.page.get_by_role("textbox", name=name, exact=True)
        control = self.root.locator(".tk-control").filter(has=box)
        return control.get_by_role("slider")

    def type_in(self, name, text):
        """Type into a box and press Enter."""
        self.box(name).fill(text)
        self.box(name).press("Enter")

    def press(self, name, *keys):
        """Put the focus on a slider and press keys."""
        slider = self.slider(name)
        slider.focus()
        for key in keys:
            slider.press(key)

    def reset(self):
        """Press the reset button."""
        self.root.get_by_role("button", name="Reset", exact=True).click()

    @property
    def picture(self):
        """The picture's moving layer, which carries the alternative text."""
        return self.root.get_by_role("img")

    def picture_says(self, number=0):
        """Return the alternative text of a picture."""
        return self.picture.nth(number).get_attribute("aria-label")

    def picture_svg(self, number=0):
        """Return the SVG text of a picture's moving layer."""
        return self.picture.nth(number).locator("svg").first.evaluate("svg => svg.outerHTML")

    def new_picture_svg(self, old, number=0, seconds=20):
        """Wait until a picture's moving layer differs from an old text, and return it."""
        end = time.monotonic() + seconds
        while (svg := self.picture_svg(number)) == old:
            assert time.monotonic() < end, "the picture did not change"
            self.notebook.page.wait_for_timeout(50)
        return svg

    def rows(self):
        """Return the small table as a dict."""
        lines = self.root.locator(".tk-table tr").all()
        return {line.locator("th").text_content(): line.locator("td").text_content() for line in lines}

    @property
    def alert(self):
        """The error line."""
        return self.root.get_by_role("alert")

    def expect_sentence(self, text):
        """Wait until the sentence holds a text."""
        expect(self.root.get_by_role("status")).to_contain_text(text, timeout=10_000)

    def expect_row(self, label, text):
        """Wait until the small table holds a text beside a label; it is sent after sentence and picture."""
        line = self.root.locator(".tk-table tr").filter(has=self.notebook.page.get_by_role("rowheader", name=label))
        expect(line.locator("td")).to_have_text(text, timeout=10_000)

    def expect_box(self, name, value):
        """Wait until a box shows a value; boxes come last."""
        expect(self.box(name)).to_have_value(value, timeout=10_000)

    def screenshot(self, name):
        """Save a picture of the whole panel, in a window made as tall as it needs."""
        page, size = self.notebook.page, self.notebook.page.viewport_size
        page.set_viewport_size({"width": size["width"], "height": int(self.root.bounding_box()["height"]) + 260})
        self.show()
        path = self.notebook.screenshot(name, self.root)
        page.set_viewport_size(size)
        return path
