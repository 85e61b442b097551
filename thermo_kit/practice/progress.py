"""The learner's record on one page: what is due today, lessons and exercises, predictions against what came."""

from statistics import median

import ipywidgets as widgets

from thermo_kit.charts import Look, style
from thermo_kit.charts.strips import Axis, Column, Level, Mark, Strip, Zone, strips_picture
from thermo_kit.course.described import DescribedBox, button, escape, paragraph, told_in_panel
from thermo_kit.course.keys import number_in
from thermo_kit.course.record import EXERCISE, FIRST_WAIT, LONGEST_WAIT, Record
from thermo_kit.course.workbook import find_workbook
from thermo_kit.practice.bank import load
from thermo_kit.practice.printing import Page
from thermo_kit.practice.schedule import known, plan

RULE = (
    f"After an exit check with all answers right, come back in {FIRST_WAIT} days; every further success in a row "
    f"doubles the wait, up to {LONGEST_WAIT} days. After a wrong answer, come back the next day."
)
CLOSE, ENDS, MOST_DRAWN = 1.1, (0.25, 4.0), 60


class ProgressPanel(DescribedBox):
    """Shows what is due, the last results with their links, and how predictions went."""

    def __init__(self, record=None):
        self.record, self.table = record or Record(), widgets.HTML()
        self.refresh = button("Read my record again", self.on_refresh)
        super().__init__(f"My progress: what is due, results, predictions. {RULE}", (self.table, self.refresh))
        self.on_refresh(None)

    @told_in_panel
    def on_refresh(self, _button):
        """Read the record file and show it."""
        notes = [paragraph(note, status=True) for note in self.record.told()]
        today = plan(self.record, load(), known(self.record))
        link = _link(
            "lessons/practice.ipynb", f"Practise now: {len(today.names)} questions, {today.minutes:.0f} minutes"
        )
        notes.append(f"<p>{link}. {escape(today.told)}</p>")
        rows, none = self._rows(), paragraph("No exit check and no exercise is recorded yet.")
        table = Page("My progress", "progress.html", {"rows": rows}).body if rows else none
        self.table.value = "".join(notes) + table + paragraph(RULE) + told_predictions(self.record.predictions())

    def _rows(self):
        book, minutes = find_workbook(), self.record.minutes()
        reviews = {review.lesson: review for review in self.record.reviews()}
        exercises = {score.name: score for score in self.record.scores(EXERCISE)}
        rows = []
        for path in sorted(book.lessons.glob("[0-9][0-9]_*.ipynb")):
            lesson, done = path.stem[:2], exercises.get(path.stem)
            review = reviews.get(lesson)
            if review or done or lesson in minutes:
                exit_check = f"{review.last.right:g} of {review.last.out_of:g}, {review.last.on}" if review else "–"
                due = _link(f"lessons/{path.name}", _due(review)) if review and review.days_left <= 0 else _due(review)
                result = f"{done.right:g} of {done.out_of:g}, {done.on}" if done else "–"
                if (book.exercises / path.name).is_file():
                    result = _link(f"exercises/{path.name}", result if done else "do it")
                name = _link(f"lessons/{path.name}", path.stem.replace("_", " "))
                rows.append((name, exit_check, due, result, f"{minutes.get(lesson, 0):.0f}"))
        return rows


def told_predictions(predictions):
    """How predictions went: a sentence on numbers, one on choices, and a picture over the days, as HTML."""
    came = [p for p in predictions if p.came_at]
    choices = [p for p in came if p.came_value is None]
    numbers = [(p.at, ratio) for p in came if (ratio := _ratio(p))]
    told = ""
    if choices:
        hits = sum(p.text == p.came for p in choices)
        told += paragraph(f"Predicted choices: {hits} of {len(choices)} came as predicted.")
    if not numbers:
        return told
    picture = _picture(numbers[-MOST_DRAWN:])
    return told + paragraph(picture.sentence) + picture.framed()


def _ratio(prediction):
    if prediction.value is None or prediction.came_value is None:
        return None
    # As a number in the unit asked for: in kelvin or absolute bar every guess would look near.
    mine, models = (number_in(prediction.unit, value) for value in (prediction.value, prediction.came_value))
    return mine / models if models and mine / models > 0 else None


def _picture(numbers):
    """Draw predicted over actual by the day, on a scale on which double and half lie equally far."""
    off = [max(ratio, 1 / ratio) for _at, ratio in numbers]
    close = sum(size <= CLOSE for size in off)
    told = f"Predicted numbers: {close} of {len(off)} within a tenth of what came."
    if len(off) >= 6:
        early, late = (median(part) - 1 for part in (off[: len(off) // 2], off[len(off) // 2 :]))
        told += f" In the middle the first half was off by {100 * early:.0f} %, the second by {100 * late:.0f} %."
    first = numbers[0][0]
    days = [(at - first).total_seconds() / 86_400 for at, _ratio in numbers]
    last = max(days[-1], 1.0)
    marks = [
        Mark(day, min(max(ratio, ENDS[0]), ENDS[1]), "", style.CYCLE)
        for day, (_at, ratio) in zip(days, numbers, strict=True)
    ]
    ticks = ((0.0, f"{first:%Y-%m-%d}"), (last, f"{numbers[-1][0]:%Y-%m-%d}" if days[-1] >= 1 else "a day later"))
    y = Axis("Predicted ÷ actual", "ratio", ENDS, tuple((v, f"{v:g}") for v in (0.25, 0.5, 1, 2, 4)), 6, True, True)
    things = (Zone(1 / CLOSE, CLOSE, "", "good"), Level(1.0, "as it came"), *marks)
    column = Column(Axis("Day", "ratio", (0.0, last), ticks, bare=True), (Strip(y, things),), names=90.0)
    return strips_picture(column, Look(), sentence=told, size=(640, 300))


def _due(review):
    if review is None:
        return "–"
    if review.days_left <= 0:
        return "due now"
    return "due tomorrow" if review.days_left == 1 else f"due in {review.days_left} days"


def _link(place, words):
    """A link to a page of the workbook, which JupyterLab opens by its own command as a plain link does elsewhere."""
    command = f'data-commandlinker-command="docmanager:open" data-commandlinker-args=\'{{"path": "{place}"}}\''
    return f'<a href="../{place}" {command}>{escape(words)}</a>'
