"""The learner's record as a table."""

import ipywidgets as widgets

from thermo_kit.course.described import DescribedBox, button, escape, paragraph, told_in_panel
from thermo_kit.course.record import EXERCISE, FIRST_WAIT, LONGEST_WAIT, Record

RULE = (
    f"After an exit check with all answers right, come back in {FIRST_WAIT} days; every further success in a row "
    f"doubles the wait, up to {LONGEST_WAIT} days. After a wrong answer, come back the next day."
)
CELL = ' style="text-align:left;padding:2px 12px 2px 0"'


class ProgressPanel(DescribedBox):
    """Shows exit checks and practice, and which lesson is due for review."""

    def __init__(self, record):
        self.record = record
        self.table = widgets.HTML()
        self.refresh = button("Read my record again", self.on_refresh)
        super().__init__(f"My progress: exit checks, practice, due for review. {RULE}", (self.table, self.refresh))
        self.on_refresh(None)

    @told_in_panel
    def on_refresh(self, _button):
        """Read the record file and show it."""
        rows = [
            (f"Lesson {r.lesson}", f"{r.last.right:g} of {r.last.out_of:g}", r.last.on.isoformat(), _due(r))
            for r in self.record.reviews()
        ]
        rows += [
            (f"Exercise {name}", f"{score.right:g} of {score.out_of:g}", score.on.isoformat(), "")
            for name, score in sorted({score.name: score for score in self.record.scores(EXERCISE)}.items())
        ]
        notes = "".join(paragraph(note, status=True) for note in self.record.told())
        self.table.value = notes + (_table(rows) if rows else paragraph("Nothing is recorded yet.")) + paragraph(RULE)


def _due(review):
    if review.days_left <= 0:
        return "due now"
    return "due tomorrow" if review.days_left == 1 else f"due in {review.days_left} days"


def _table(rows):
    heads = ("What", "Last result", "On", "Review")
    head = "".join(f'<th scope="col"{CELL}>{name}</th>' for name in heads)
    body = "".join("<tr>" + "".join(f"<td{CELL}>{escape(text)}</td>" for text in row) + "</tr>" for row in rows)
    caption = '<caption style="text-align:left">My progress</caption>'
    return f"<table>{caption}<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def progress_overview(record=None):
    """Show the learner's own record: exit checks, practice and what is due for review."""
    return ProgressPanel(record or Record())
