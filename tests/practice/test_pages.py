"""The page of practice and the overview, without a browser: their handlers are called."""

import re

import pytest

from thermo_kit.course.record import EXERCISE, EXIT_CHECK, Record
from thermo_kit.practice.examination_panel import ExaminationPanel
from thermo_kit.practice.panel import PracticePanel
from thermo_kit.practice.progress import ProgressPanel, told_predictions
from thermo_kit.practice.readiness_panel import ReadinessPanel
from thermo_kit.practice.schedule import settings


def answer(panel, text):
    panel.entry.value = text
    panel.on_go(None)


def test_each_question_is_asked_checked_and_kept_and_a_wrong_one_comes_again(record, make_bank):
    panel = PracticePanel(record, make_bank(3))
    assert "Today: 3 questions, about 1 minutes" in panel.head.value and panel.go.description == "Begin"
    panel.on_go(None)
    panel.on_go(None)
    assert "Not answered" in panel.feedback.value and record.answers() == ()
    answer(panel, "no")
    first = panel.asked
    assert "It is not so." in panel.feedback.value and "The answer: yes. So it is." in panel.feedback.value
    for _ in range(2):
        panel.on_go(None)
        answer(panel, "yes")
        assert "✓ Right. So it is." in panel.feedback.value and "Source: a book." in panel.feedback.value
    panel.on_go(None)
    assert panel.asked.name == first.name and panel.asked.text != first.text, "drawn anew"
    answer(panel, "yes")
    panel.on_go(None)
    assert "Done: 3 of 4 right." in panel.head.value and panel.go.description == "Another round"
    panel.on_go(None)
    assert panel.error_line.value == "", "another round begins, or says that nothing is left"
    kept = [(a.right, a.mode, a.topic, a.mistake) for a in record.answers()]
    assert kept[0] == (False, "practice", first.topic, "no") and [k[0] for k in kept] == [False, True, True, True]


def test_two_notebooks_at_once_ask_nothing_twice(record, own_records, clock, make_bank):
    bank = make_bank(3)
    one, other = PracticePanel(record, bank), PracticePanel(Record(now=clock), bank)
    for panel in (one, other):
        panel.on_go(None)
        answer(panel, "yes")
    for _ in range(2):
        one.on_go(None)
        if one.asked:
            answer(one, "yes")
    other.on_go(None)
    assert "Done" in other.head.value
    assert {answer.question for answer in record.answers()} == set(bank)


def test_without_a_record_that_can_be_used_each_panel_says_so(own_records, make_bank):
    (own_records / "record.sqlite").mkdir(parents=True)
    for panel in (PracticePanel(bank=make_bank(3)), ReadinessPanel(), ExaminationPanel(make_bank(3)), ProgressPanel()):
        assert "cannot be used" in panel.error_line.value and panel.error_line in panel.children


def test_the_two_choices_are_kept_or_refused_in_the_panel(record, make_bank):
    panel = PracticePanel(record, make_bank(3))
    panel.day.value = "tomorrow"
    panel.on_keep(None)
    assert "is no day of the calendar" in panel.error_line.value
    panel.minutes.value = "²"
    panel.on_keep(None)
    assert "are no whole number" in panel.error_line.value
    panel.minutes.value, panel.day.value = "5", "2024-06-01"
    panel.on_keep(None)
    assert panel.error_line.value == "" and "in 31 days" in panel.head.value
    assert (settings(record)[0], str(settings(record)[1])) == (5, "2024-06-01")


def test_the_overview_links_what_is_due_and_says_how_predictions_went(record, clock):
    panel = ProgressPanel(record)
    assert "No exit check and no exercise is recorded yet" in panel.table.value
    assert re.search(r'<a href="../lessons/practice.ipynb"[^>]*>Practise now: ', panel.table.value)
    record.keep_score(EXIT_CHECK, "01", 3, 3)
    record.keep_score(EXERCISE, "02_ph_diagram", 3, 5)
    clock.goes(days=1)
    panel.on_refresh(None)
    assert "due tomorrow" in panel.table.value
    clock.goes(days=1)
    panel.on_refresh(None)
    assert re.search(r'<a href="../lessons/01_pressure_and_temperature.ipynb"[^>]*>due now</a>', panel.table.value)
    assert re.search(r'<a href="../exercises/02_ph_diagram.ipynb"[^>]*>3 of 5, 2024-05-01</a>', panel.table.value)
    record.path.write_text("oops")
    panel.on_refresh(None)
    assert "was damaged. It is kept as record.sqlite.damaged-1" in panel.table.value


@pytest.mark.parametrize("unit, zero", [("bar", 0.0), ("°C", 273.15)])
def test_predictions_are_compared_as_numbers_of_the_unit_asked_for(record, clock, unit, zero):
    scale = 1e5 if unit == "bar" else 1.0
    for guess in (40.0, 5.0, 20.0, 10.5, 10.4, 9.6):
        record.keep_prediction("02.a", f"{guess} {unit}", zero + scale * guess, unit)
        record.keep_outcome("02.a", f"10 {unit}", zero + scale * 10.0)
        clock.goes(days=1)
    record.keep_prediction("02.b", "up")
    record.keep_outcome("02.b", "down")
    told = told_predictions(record.predictions())
    assert "Predicted numbers: 3 of 6 within a tenth of what came." in told
    assert "the first half was off by 100 %, the second by 4 %" in told
    assert "Predicted choices: 0 of 1 came as predicted." in told
    assert "2024-05-01" in told and "2024-05-06" in told and told_predictions(()) == ""
