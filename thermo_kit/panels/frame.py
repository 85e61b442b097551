"""The shell of every panel: settings in, picture and sentence out, errors told in plain words."""

import functools
import gc
import itertools
import re
from dataclasses import dataclass, fields, replace

import ipywidgets as widgets

from thermo_kit.errors import ThermoKitError
from thermo_kit.panels import html
from thermo_kit.panels.bare import ToldBox, bare, words
from thermo_kit.panels.controls import NumberControl
from thermo_kit.panels.tables import aligned
from thermo_kit.panels.view import SHOWN, the_view
from thermo_kit.units import atmosphere_pressure, tell
from thermo_kit.units.look import Look

PLAIN_LOOK = Look()
FOLLOWING = "what follows"
SHOWN_AT_ONCE = 5
GROWTH = 1.45  # on a wide screen a picture may be so much larger than it was drawn
AROUND = 130  # pixels above and below a picture, which should be seen as a whole
_SHARED_ID = re.compile(r"\bk(?=[0-9a-f]{10}-)")
_COUNTED = itertools.count()


@dataclass(frozen=True)
class Description:
    """What a panel says about its settings.

    pictures: of the charts room; sentence: what is seen, with its numbers; rows: (label, text) of the small table,
    or (label, text, text ...) with heads; notes: validity and cautions; heads: column heads of a wide table
    """

    pictures: tuple = ()
    sentence: str = ""
    rows: tuple = ()
    notes: tuple = ()
    heads: tuple = ()


def shows(picture, rows, notes=(), heads=()):
    """Describe by one picture, whose own sentence says what is seen."""
    return Description((picture,), picture.sentence, rows, notes, heads)


class Panel(ToldBox):
    """Controls, picture, sentence and table around one pure function.

    A subclass names `title`, `Settings` (a frozen dataclass in SI), `controls` and `describe(settings, look)`.
    Where one control must follow another it also names `follow(settings, changed)`, which returns the new
    values by name; `changed` is the name of the control moved, None at the start.
    """

    title = ""
    Settings = None
    controls = ()
    describe = None
    follow = None
    more_button = None

    def __init__(self, *, view=None, **settings):
        self._view = view or the_view()
        self._look = self._view.look
        self._given = settings
        self._values = self._start_values()
        self._problems, self._error, self._description = {}, "", None
        self.controls_by_field = {c.field: c.entry(c, self._on_entry, self._on_problem) for c in self.controls}
        self._build()
        self._let_follow(*self._given or (None,))
        self.refresh()
        self._view.observe(self._on_view, SHOWN)
        _spare_what_is_loaded(type(self))

    def _start_values(self):
        start = self.Settings(**self._given)
        values = {f.name: getattr(start, f.name) for f in fields(start)}
        for name in self._readings(Look()):
            if name not in self._given:
                values[name] += self._air(self._look) - self._air(None)
        return values

    def _readings(self, look):
        """Name the controls that show what a gauge reads."""
        numbers = [control for control in self.controls if isinstance(control, NumberControl)]
        return [c.field for c in numbers if c.is_pressure and c.own_look(look).gauge]

    @staticmethod
    def _air(look):
        return atmosphere_pressure(look.altitude if look else 0.0)

    def _build(self):
        told = {"description": "Reset", "tooltip": "Back to the start values"}
        self.reset_button = bare(widgets.Button, css="tk-reset", **told)
        self.reset_button.on_click(lambda _button: self.reset())
        self.error_line, self.sentence, self.notes = (words() for _ in range(3))
        self.table = bare(widgets.HTML, css="tk-numbers")
        self.pictures = bare(widgets.VBox, css="tk-pictures")
        entries = [entry.widget for entry in self.controls_by_field.values()]
        shown, folded = entries[:SHOWN_AT_ONCE], entries[SHOWN_AT_ONCE:]
        controls = bare(widgets.VBox, [*shown, *self._fold(folded), self.reset_button], css="tk-controls")
        # Beside the controls: above them it would push a slider away from under the hand.
        right = bare(widgets.VBox, [self.error_line, self.pictures, self.sentence, self.notes], css="tk-right")
        body = bare(widgets.Box, [controls, right, self.table], css="tk-body")
        super().__init__([words(html.style_sheet() + html.heading(self.title)), body])
        self.add_class("tk-panel")

    def _fold(self, entries):
        """Put what is seldom moved under one button."""
        if not entries:
            return ()
        self.more_button = bare(widgets.Button, css="tk-more")
        self.more = bare(widgets.VBox, entries, css="tk-folded")
        self.more_button.on_click(lambda _button: self.unfold(self._is_folded))
        return self.more_button, self.more

    def unfold(self, shown=True):
        """Show or hide what stands under the fold."""
        (self.more.remove_class if shown else self.more.add_class)("tk-folded")
        self._name_fold()

    @property
    def _is_folded(self):
        return "tk-folded" in self.more._dom_classes

    def _name_fold(self):
        needed = sum("tk-folded" not in entry._dom_classes for entry in self.more.children)
        self.more_button.description = f"More settings ({needed})" if self._is_folded else "Fewer settings"

    @property
    def settings(self):
        """What the controls say at this moment."""
        return self.Settings(**self._values)

    @property
    def error(self):
        """What the error line says; empty when all is well."""
        return self._error

    @property
    def description(self):
        """The last description that could be made."""
        return self._description

    def set(self, **settings):
        """Set values as a learner would, and redraw at once."""
        unknown = set(settings) - set(self._values)
        if unknown:
            raise TypeError(f"{self.title} has no setting {', '.join(sorted(unknown))}")
        self._values.update(settings)
        self._let_follow(*settings)
        for name in (*settings, *self._hidden()):
            self._problems.pop(name, None)
        self.refresh()

    def reset(self):
        """Go back to the start values."""
        self._values = self._start_values()
        self._problems.clear()
        self._let_follow(*self._given or (None,))
        self.refresh()
        for entry in self.controls_by_field.values():
            # The browser drops what comes while it waits for its own change to return: so once more.
            entry.box.send_state({"value", "index"} & set(entry.box.keys))

    def _on_entry(self, name, value):
        self.set(**{name: value})

    def _let_follow(self, *changed):
        """Let other values follow those that changed; what stands in the way is told like any other error."""
        self._problems.pop(FOLLOWING, None)
        if self.follow is None:
            return
        try:
            beyond = self._beyond_limits()
            for name in changed:
                if name in beyond:
                    return
                self._values.update(type(self).follow(self.settings, name))
        except ThermoKitError as error:
            self._problems[FOLLOWING], self._stuck = tell(error, self._look), error

    def _on_problem(self, name, message):
        self._problems[name] = message
        self.refresh()

    def _on_view(self, _change):
        look = self._view.look
        if look == self._look:
            return
        self._problems.clear()
        shift, self._look = self._air(look) - self._air(self._look), look
        if shift:
            # A pressure shown as gauge is a reading: it stays what it was, the absolute pressure follows the air.
            readings = self._readings(look)
            self._values.update({name: self._values[name] + shift for name in readings})
            self._let_follow(*readings)
        self.refresh()

    def _show_controls(self):
        settings = self._bare_settings()
        for name, entry in self.controls_by_field.items():
            if name not in self._problems:
                entry.show(self._values[name], settings, self._look)
        if self.more_button:
            self._name_fold()

    def _hidden(self):
        """Name the controls that do not matter beside the present settings."""
        settings = self._bare_settings()
        return {c.field for c in self.controls if isinstance(c, NumberControl) and not c.is_needed(settings)}

    def _bare_settings(self):
        """Settings for limits that depend on them, even while their combination or one of them is refused."""
        try:
            settings = self.settings
        except ThermoKitError:
            settings = self.Settings(**self._given)
        fixed = [c for c in self.controls if isinstance(c, NumberControl) and not c.limits_move]
        inside = {c.field: min(max(getattr(settings, c.field), c.low), c.high) for c in fixed}
        changed = {name: value for name, value in inside.items() if value != getattr(settings, name)}
        return replace(settings, **changed) if changed else settings

    def refresh(self):
        """Describe the present settings and show the description, or say why that cannot be done."""
        self._describe_or_tell()
        # Only now, so that the picture does not wait behind boxes and sliders.
        self._show_controls()

    def _describe_or_tell(self):
        problems = self._problems or self._beyond_limits()
        for name, entry in self.controls_by_field.items():
            entry.complain(problems.get(name, ""))
        if problems:
            self._tell(". ".join(problems.values()))
            if FOLLOWING in problems:
                self._blame(self._stuck)
            return
        try:
            description = type(self).describe(self.settings, self._look)
        except ThermoKitError as error:
            self._tell(tell(error, self._look))
            self._blame(error)
        except Exception as error:
            self._tell(
                f"this panel could not be computed ({type(error).__name__}: {error}). "
                "Press Reset; if that does not help, tell your instructor what you had set"
            )
        else:
            self._draw(replace(description, notes=tuple(tell(note, self._look) for note in description.notes)))
            self._tell("")

    def _blame(self, error):
        """Say what is wrong below the control that it names, too."""
        named = {str(problem.argument).casefold() for problem in error.problems}
        for control in self.controls:
            if control.label.casefold() in named:
                self.controls_by_field[control.field].complain(tell(error, self._look))

    def _beyond_limits(self):
        """Return what is wrong with numbers beyond their limits, by control."""
        problems, settings = {}, self._bare_settings()
        for control in self.controls:
            if isinstance(control, NumberControl):
                try:
                    control.check(self._values[control.field], settings, self._look)
                except ThermoKitError as error:
                    problems[control.field] = tell(error, self._look)
        return problems

    def _tell(self, message):
        end = "" if message.endswith(("?", "!")) else "."
        self._error = f"{message.rstrip('.')}{end}" if message else ""
        (self.add_class if message else self.remove_class)("tk-in-error")
        greyed = " The greyed picture is the last one that could be made." if self._error and self._description else ""
        self.error_line.value = html.alert(self._error + greyed)

    def _draw(self, description):
        self._description = description
        stacks = self.pictures.children
        if len(stacks) != len(description.pictures):
            stacks = [PictureStack() for _ in description.pictures]
            self.pictures.children = stacks
        for stack, picture in zip(stacks, description.pictures, strict=True):
            stack.show(picture, self._look)
        written = self._look.words
        self.sentence.value = html.spoken(written(description.sentence))
        rows = [(label, *map(written, texts)) for label, *texts in description.rows]
        self.table.value = html.small_table(f"Numbers of: {self.title}", rows, description.heads)
        (self.add_class if description.heads else self.remove_class)("tk-wide")
        self.notes.value = html.note_list([written(note) for note in description.notes])

    def __repr__(self):
        hidden = self._hidden()
        set_to = "; ".join(
            f"{c.label} {c.text(self._values[c.field], self._look)}" for c in self.controls if c.field not in hidden
        )
        lines = [self.title, f"Set: {set_to}"]
        if self._error:
            lines.append(f"Check this: {self._error}")
        elif self._description:
            told = self._description
            lines += [f"  {line}" for line in aligned([row for row in (told.heads, *told.rows) if row])]
            lines += [picture.sentence for picture in told.pictures if picture.sentence != told.sentence]
            lines += [told.sentence, *(f"Note: {note}" for note in told.notes)]
        return "\n".join(line for line in lines if line)


@functools.cache
def _spare_what_is_loaded(_kind):
    """Tell the garbage collector to leave alone what the first panel of a kind has loaded.

    It stays until the end anyway; looking through all of it takes the collector longer than a press may last.
    """
    gc.freeze()


class PictureStack(widgets.Box):
    """One picture: the still layer below, the moving layer over it."""

    def __init__(self):
        self.still, self.moving = words(), words()
        super().__init__([self.still, self.moving])
        self.add_class("tk-picture")
        # The same drawing in two panels has the same ids: hatches vanish where the page hides the first of them.
        self._ids = f"k{next(_COUNTED)}p"
        self._still = None

    def show(self, picture, look=PLAIN_LOOK):
        """Show a picture; a layer that has not changed is not sent again."""
        shape = picture.width / picture.height
        width = f"min({GROWTH * picture.width:.0f}px, {shape:.3f} * (100vh - {AROUND}px))"
        if self.layout.max_width != width:
            self.layout.max_width = width
        if (picture.still, look.comma) != self._still:
            self._still = picture.still, look.comma
            self.still.value = look.drawing(_SHARED_ID.sub(self._ids, html.still_layer(picture)))
        self.moving.value = look.drawing(_SHARED_ID.sub(self._ids, html.moving_layer(picture)))
