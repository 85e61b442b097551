"""Measures in the browser how long a slider's key press takes until the changed picture is painted."""

from tests.browser.notebook_page import NotebookPage

FLOOR_TITLE = "Floor"
FLOOR_CODE = """
import ipywidgets as widgets
box = widgets.Text(description="Floor", continuous_update=False)
slider, shown = widgets.FloatSlider(min=0, max=100, step=1, value=50, readout=False), widgets.HTML("50")
slider.observe(lambda change: setattr(shown, "value", f"<div>{change.new}</div>"), "value")
control, layer = widgets.VBox([box, slider]), widgets.Box([shown])
control.add_class("tk-control"), layer.add_class("tk-picture")
floor = widgets.VBox([widgets.HTML('<div role="heading" aria-level="4">Floor</div>'), control, layer])
floor.add_class("tk-panel")
floor
"""
"""The least that any widget needs: the same key, the same way to the kernel and back, and one short text."""

_INSTALL = """
picture => {
    const timer = window.pressTimer = {times: [], pressed: null, waiting: null};
    const nothing = new Error('no new picture within five seconds');
    timer.paintedAndRested = (count, rest) => new Promise((done, fail) => {
        const late = setTimeout(() => fail(nothing), 5000);
        timer.waiting = () => {
            if (timer.times.length < count) return;
            clearTimeout(late);
            setTimeout(done, rest);
        };
        timer.waiting();
    });
    document.addEventListener('keydown', event => { timer.pressed = event.timeStamp; }, true);
    const painted = () => {
        const started = timer.pressed;
        if (started === null) return;
        timer.pressed = null;
        requestAnimationFrame(() => {
            const channel = new MessageChannel();
            channel.port1.onmessage = () => {
                timer.times.push(performance.now() - started);
                if (timer.waiting) timer.waiting();
            };
            channel.port2.postMessage(0);
        });
    };
    new MutationObserver(painted).observe(picture, {childList: true, subtree: true, characterData: true});
}
"""


class PressTimer:
    """Times the presses on one slider of one panel; times: milliseconds."""

    def __init__(self, notebook: NotebookPage, title, label):
        self.page = notebook.page
        self.panel = notebook.panel(title).show()
        self.label = label
        self.times = []

    def press(self, count):
        """Press a key so often, each time after the picture of the last press is painted."""
        self.page.evaluate("() => { window.pressTimer = null; }")
        self.panel.root.locator(".tk-picture").first.evaluate(_INSTALL)
        if not self.panel.slider(self.label).is_visible():
            self.panel.unfold()
        self.panel.slider(self.label).focus()
        for number in range(count):
            # There and back, so that the slider never comes to its end.
            key = "ArrowRight" if number % 10 < 5 else "ArrowLeft"
            # A hand lets go only after the picture has come, and rests for odd times: a fixed rhythm locks to the
            # frames of the screen.
            self.page.keyboard.down(key)
            self.page.evaluate(f"window.pressTimer.paintedAndRested({number + 1}, {12 + 37 * number % 36})")
            self.page.keyboard.up(key)
        self.times += self.page.evaluate("window.pressTimer.times")
