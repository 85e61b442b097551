"""What all widgets of the course share: a fixed text equivalent, and errors told where they happen."""

import functools
import hashlib
import html
import re

import ipywidgets as widgets

from thermo_kit.course.keys import MARKS, UNREADABLE, WRONG
from thermo_kit.errors import ThermoKitError
from thermo_kit.panels.bare import words
from thermo_kit.panels.view import the_view

OWN_WIDTH = {"description_width": "initial"}
_SIGNS = str.maketrans(".,", ",.")
_IN_A_NUMBER = re.compile(r"(?<=\d)[.,](?=\d)")


class DescribedBox(widgets.VBox):
    """A box of widgets that prints as the same plain text whatever a learner has entered.

    The regression run compares that text, and a reader without a kernel sees it.
    """

    def __init__(self, text_equivalent, children=(), **kwargs):
        self._text_equivalent = text_equivalent
        self.error_line = words()
        super().__init__((*children, self.error_line), **kwargs)
        self.add_class("thermo-kit-course")

    def __repr__(self):
        return getattr(self, "_text_equivalent", type(self).__name__)

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        if bundle is not None:
            bundle["text/plain"] = self._text_equivalent
        return bundle


def told_in_panel(handler):
    """Show an error of a widget's handler in the panel, since JupyterLab hides it."""

    @functools.wraps(handler)
    def guarded(self, *args, **named):
        # First, so that what a handler within this one tells stays.
        self.error_line.value = ""
        try:
            return handler(self, *args, **named)
        except ThermoKitError as error:
            self.error_line.value = _alert(f"{error}.")
        except Exception as error:
            self.error_line.value = _alert(
                f"Something went wrong in this panel ({type(error).__name__}: {error}). "
                "What was saved before is still saved. Choose Run → Run All Cells in the menu; "
                "if that does not help, tell your instructor."
            )

    return guarded


def check_mark(*told):
    """A short sign of a hidden answer: the regression run sees a change, a reader is told nothing."""
    return hashlib.sha256(repr(told).encode()).hexdigest()[:8]


def _alert(text):
    return (
        f'<p role="alert" style="margin:4px 0;padding:4px 8px;border-left:4px solid currentColor">⚠ {escape(text)}</p>'
    )


def escape(text):
    """Plain text as HTML."""
    return html.escape(str(text))


def paragraph(text, *, bold=False, status=False):
    """A paragraph of plain text as HTML."""
    weight = "600" if bold else "400"
    role = ' role="status"' if status else ""
    style = f"margin:2px 0;max-width:46em;line-height:1.45;overflow-wrap:anywhere;font-weight:{weight}"
    return f'<p{role} style="{style}">{escape(text)}</p>'


def told_line(sign, text):
    """A sign and a sentence beside a bar, read aloud by a screen reader."""
    return (
        '<p role="status" style="margin:2px 0 6px;max-width:46em;line-height:1.45;overflow-wrap:anywhere;'
        f'padding:2px 8px;border-left:3px solid currentColor">{sign} {escape(text)}</p>'
    )


def verdict_line(verdict, text):
    """A judged answer as HTML: a sign, a word and a sentence, so that colour is not needed."""
    # A learner reads "Not yet"; "wrong" is the word for the instructor's table.
    word = "Not yet." if verdict == WRONG else f"{verdict[:1].upper()}{verdict[1:]}."
    if verdict == UNREADABLE:
        # It tells of what was typed as it is kept.
        text = _IN_A_NUMBER.sub(lambda sign: pointed(sign[0]), text)
    return told_line(MARKS[verdict], text if text.startswith(word) else f"{word} {text}")


def labelled(kind, label, width, **settings):
    """Make a control of a kind of ipywidgets whose label is never cut; width: as in CSS, at most that of the page."""
    layout = widgets.Layout(width=width, max_width="100%")
    return kind(description=label, style=OWN_WIDTH, layout=layout, **settings)


def radio(options, label, value=None):
    """Radio buttons with a label; nothing is chosen at first."""
    chosen = value if value in options else None
    return labelled(widgets.RadioButtons, label, "max-content", options=list(options), value=chosen)


def number_box(label, unit="", value=""):
    """Make a labelled text box for a number with its unit."""
    label, wanted = (f"{label} ({unit})", "a number with its unit") if unit else (label, "a number")
    # Letter by letter the last ones would come after the button that hands them in.
    settings = {"placeholder": wanted, "continuous_update": False}
    return labelled(widgets.Text, label, "30em", value=pointed(value), **settings)


def given_in(entry):
    """What was entered; a number as with the decimal point, whatever sign the learner has chosen."""
    return pointed(entry.value or "") if isinstance(entry, widgets.Text) else entry.value or ""


def pointed(text):
    """A typed number as it is kept, with the decimal point, and a kept one as the learner types it."""
    return text.translate(_SIGNS) if the_view().comma else text


def button(description, handler, *, disabled=False):
    """A button that calls a handler."""
    made = widgets.Button(description=description, disabled=disabled, layout=widgets.Layout(width="max-content"))
    made.on_click(handler)
    return made
