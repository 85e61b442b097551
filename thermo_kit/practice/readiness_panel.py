"""The chance to pass, as a panel: which examination, which day."""

from datetime import timedelta

import ipywidgets as widgets

from thermo_kit.charts.practice import outlook_picture
from thermo_kit.course.described import OWN_WIDTH, DescribedBox, button, paragraph, told_in_panel
from thermo_kit.course.record import Record
from thermo_kit.panels.bare import words
from thermo_kit.practice.bank import load
from thermo_kit.practice.examination_panel import BlueprintChoice
from thermo_kit.practice.schedule import day_from, settings

RULE = (
    "It counts your first try at each question, once it is two days old, and how well questions came back to you. "
    "Every learner forgets; the longer until the day, the more. On simulated learners the chance holds."
)


class ReadinessPanel(DescribedBox):
    """Tells the chance to pass a chosen examination on a chosen day."""

    def __init__(self, record=None, bank=None):
        self._record, self._bank = record or Record(), bank
        self.choice = BlueprintChoice()
        self.day = widgets.Text(description="Day of the examination", style=OWN_WIDTH)
        self.tell = button("Tell my chance", self.on_tell)
        self.result = words()
        super().__init__(f"Am I ready? {RULE}", (self.choice, self.day, self.tell, self.result))
        self.children = (*self.children, words(paragraph(RULE)))
        self._open()

    @told_in_panel
    def _open(self):
        self.day.value = str(settings(self._record)[1] or self._record.today + timedelta(days=28))

    @told_in_panel
    def on_tell(self, _button):
        """Work it out from the record."""
        from thermo_kit.practice.readiness import readiness

        day = day_from(self.day.value, self._record.today)
        self._bank = load() if self._bank is None else self._bank
        found = readiness(self._record.answers(), self.choice.chosen, self._bank, self._record.now(), day)
        picture = outlook_picture(found)
        shown = "" if found.missing else picture.framed()
        self.result.value = paragraph(found.sentence, bold=True, status=True) + shown
