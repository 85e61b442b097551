"""Widgets of the course without a browser: their handlers are called, since click() hides exceptions."""

import json
from collections import Counter
from datetime import date, datetime, timedelta

import ipywidgets as widgets
import pytest

from tests.clock import Clock
from tests.course.sample_class import work_in
from tests.course.sample_workbook import EXERCISE
from thermo_kit.course.cases import Case
from thermo_kit.course.keys import Mistake
from thermo_kit.course.predict import after, predict, reveal
from thermo_kit.course.questions import ChoiceQuestion, NumberQuestion, OrderQuestion, ReasonQuestion, drawn_order
from thermo_kit.course.quick import ExitCheck, exit_check, quick, quick_question
from thermo_kit.course.record import EXERCISE as EXERCISE_SCORE
from thermo_kit.course.record import EXIT_CHECK, Record
from thermo_kit.course.sheet_panel import answer_sheet
from thermo_kit.course.tickets import issue_ticket
from thermo_kit.errors import NotebookError
from thermo_kit.panels import table
from thermo_kit.panels.view import the_view

NUMBERS = {"volume": 40, "flow": 2.0, "pump": "small", "floor": 0}
STEPS = ("start the pump", "open the valve", "check the hose")
QUESTIONS = [
    NumberQuestion("a", "How long does it take?", unit="min", picture="the diagram above"),
    ChoiceQuestion("b", "What doubles the time?", options=["twice the flow", "half the flow"]),
    OrderQuestion("c", "Put the steps in order.", steps=STEPS),
    ReasonQuestion("d", "Why?"),
]


def ticket_of(learner):
    return issue_ticket(b"k" * 32, learner, Case(EXERCISE, tuple(NUMBERS.items())))


def all_widgets(box):
    found = [box]
    for child in getattr(box, "children", ()):
        found += all_widgets(child)
    return found


@pytest.fixture
def opened(workbook, monkeypatch):
    """Open the sheet of the tiny exercise."""

    def open_sheet(**kwargs):
        monkeypatch.chdir(workbook.exercises)
        return answer_sheet(EXERCISE, numbers=NUMBERS, questions=QUESTIONS, **kwargs)

    return open_sheet


def enter(sheet, values):
    for entry in sheet.entries:
        for control, value in zip(entry.controls, values[entry.question.name], strict=True):
            control.value = value


def commit(asked, given, shown=None):
    asked.entry.value = given
    asked.on_commit(None)
    if shown:
        shown.on_show(None)
        return shown.status.value


def check(asked, given):
    asked.entry.value = given
    asked.on_check(None)
    return asked.feedback.value


RIGHT_ANSWERS = {
    "a": ["20 min"],
    "b": ["half the flow"],
    "c": ["check the hose", "open the valve", "start the pump"],
    "d": ["More water at the same flow."],
}


def test_a_full_round_of_self_study(opened, own_records):
    sheet = opened()
    enter(sheet, RIGHT_ANSWERS | {"a": ["80 min"]})
    saved = json.loads((own_records / "exercises" / f"{EXERCISE}.sheet.json").read_text())
    assert saved["answers"]["c"] == RIGHT_ANSWERS["c"] and saved["numbers"] == NUMBERS
    assert "4 of 4 questions answered" in sheet.status.value
    assert sheet.solve.disabled
    sheet.on_check(None)
    told = {entry.question.name: entry.feedback.value for entry in sheet.entries}
    assert "✗ Not yet. You multiplied. Divide volume by flow." in told["a"]
    assert "✓ Right. Half the water comes each minute." in told["b"]
    assert "✓ Right. Safety first." in told["c"] and "✎ Read by hand." in told["d"]
    assert "Checked: 2 of 3 right." in sheet.status.value
    sheet.on_solve(None)
    assert "40 L at 2.0 L/min take 20.0 min." in sheet.solution.value
    assert "anchor-link" not in sheet.solution.value and "src=" not in sheet.solution.value
    (score,) = Record().scores(EXERCISE_SCORE)
    kept = {a.question: (a.right, a.mode) for a in Record().answers()}
    assert kept == {f"{EXERCISE}.{n}": (n != "a", "exercise") for n in "abc"}
    assert (score.right, score.out_of) == (2, 4)  # the points of the reason are only proposed
    sheet.entries[0].controls[0].value = "20 min"
    assert sheet.entries[0].feedback.value == ""
    again = opened()
    assert {e.question.name: [c.value for c in e.controls] for e in again.entries} == RIGHT_ANSWERS
    assert "Saved: 20 min" in again.entries[0].saved_line.value
    # Its text is whole, and does not follow what was entered.
    assert repr(sheet) == repr(again) == repr(opened()) == sheet._repr_mimebundle_()["text/plain"]
    assert "  a. How long does it take? [a number in min, read off the diagram above]" in repr(sheet).splitlines()


def test_a_handed_out_sheet_says_nothing_about_right_or_wrong(workbook, opened):
    sheet = opened(ticket=ticket_of("A01"))
    enter(sheet, RIGHT_ANSWERS)
    assert (workbook.exercises / f"{EXERCISE}.sheet.json").exists()
    everything = all_widgets(sheet)
    assert not [w for w in everything if isinstance(w, widgets.Button)]
    assert not [w for w in everything if isinstance(w, widgets.HTML) and ("✓" in w.value or "Right" in w.value)]
    assert "Your instructor marks this sheet" in sheet.status.value


def test_what_is_not_a_number_with_that_unit_is_saved_and_told(opened):
    sheet = opened()
    number, _, order, reason = sheet.entries
    for given in ("soon", "20 bar"):
        number.controls[0].value = given
        assert f"Saved: {given} (not readable yet: your answer " in number.saved_line.value
    assert "give one number in min" in number.saved_line.value
    order.controls[0].value = order.controls[1].value = STEPS[0]
    assert "chosen twice: start the pump" in order.saved_line.value
    assert "2 of 4 questions answered. Look again at a, c: this cannot be marked yet." in sheet.status.value
    reason.controls[0].value = "<img src=x onerror=alert(1)>" + "long " * 100
    assert "(528 characters)" in reason.saved_line.value and len(reason.saved_line.value) < 450
    assert "<img" not in reason.saved_line.value, "what a learner writes is never markup"


def test_errors_are_told_in_the_panel_and_nothing_is_lost(workbook, opened, monkeypatch):
    sheet = opened()
    enter(sheet, RIGHT_ANSWERS)
    with monkeypatch.context() as refusing:
        refusing.setattr("os.replace", lambda *_: (_ for _ in ()).throw(PermissionError(13, "Permission denied")))
        sheet.entries[0].controls[0].value = "21 min"
    assert "cannot be written" in sheet.error_line.value and 'role="alert"' in sheet.error_line.value
    workbook.answer(EXERCISE).unlink()
    sheet.on_check(None)
    assert "is unknown" in sheet.error_line.value
    monkeypatch.setattr(sheet, "_answers", lambda: 1 / 0)
    sheet.on_check(None)
    assert "Something went wrong in this panel (ZeroDivisionError" in sheet.error_line.value


def test_a_damaged_sheet_is_told_and_one_whose_time_was_edited_opens_all_the_same(opened, own_records):
    enter(opened(), RIGHT_ANSWERS)
    path = own_records / "exercises" / f"{EXERCISE}.sheet.json"
    for at in ("yesterday", "0001-01-01T00:00:00+14:00"):
        path.write_text(json.dumps(json.loads(path.read_text()) | {"saved_at": at}))
        again = opened()
        assert again.entries[0].given == "20 min" and again.error_line.value == ""
    path.write_text("{")
    assert "was damaged. It is kept as" in opened().children[0].value


def test_every_control_has_a_label(opened):
    boxes = [opened(), predict("01.a", "?", unit="bar"), reveal("01.a", 5.7, unit="bar", because="So."), final_check()]
    texts = widgets.HTML, widgets.HTMLMath
    controls = [w for box in boxes for w in all_widgets(box) if hasattr(w, "description") and not isinstance(w, texts)]
    assert len(controls) > 15
    assert all(w.description for w in controls)


@pytest.mark.parametrize(
    ("declare", "told"),
    [
        (lambda: answer_sheet(EXERCISE, numbers=NUMBERS, questions=QUESTIONS[:1] * 2), "no question, or one twice"),
        (lambda: ChoiceQuestion("a", "x", options=["one"]), "at least two different texts"),
        (lambda: predict("01.e", "?"), "either a unit or options"),
        (lambda: quick("?", because="b", right="x"), "right and wrong choices, or a value"),
        (lambda: quick("?", because="b"), "right and wrong choices, or a value"),
        (lambda: quick("?", because="b", right="x", wrong={"y": "z"}, value=1), "right and wrong choices, or a value"),
        (lambda: exit_check("01", [quick(**ITEMS[0])]), "three questions"),
    ],
)
def test_half_a_declaration_is_refused(declare, told):
    with pytest.raises(NotebookError, match=told):
        declare()


def test_prediction_opens_the_reveal_and_is_kept():
    asked = predict("01.a", "How high?", unit="bar")
    shown = reveal("01.a", 5.7, unit="bar", decimals=1, because="The van is warm.")
    assert shown.show.disabled and "Write your prediction first" in shown.status.value
    asked.on_commit(None)
    assert "the prediction is empty" in asked.error_line.value
    commit(asked, "warm")
    assert "is not a number" in asked.error_line.value and shown.show.disabled
    commit(asked, "400 kPa")
    assert asked.error_line.value == "" and asked.entry.disabled and not shown.show.disabled
    shown.on_show(None)
    assert "You predicted 400 kPa. The model says 5.7 bar." in shown.status.value
    assert "1.7 bar too low" in shown.status.value and "The van is warm." in shown.status.value
    reopened = predict("01.a", "How high?", unit="bar")
    assert reopened.entry.value == "400 kPa" and reopened.entry.disabled
    assert not reveal("01.a", 5.7, unit="bar", because="x").show.disabled
    reopened.on_again(None)
    assert not reopened.entry.disabled


@pytest.mark.parametrize(
    ("asked", "told", "given", "says", "came"),
    [
        ({"unit": "bar"}, {"actual": 5.7, "decimals": 1}, "5.7 bar", "As you predicted", 5.7e5),
        ({"unit": "bar"}, {"actual": 5.7, "decimals": 1}, "6 bar", "Close: 0.3 bar above", 5.7e5),
        ({"unit": "bar"}, {"actual": 5.7, "decimals": 1}, "9", "3.3 bar too high", 5.7e5),
        # A temperature is compared as a difference.
        ({"unit": "°C"}, {"actual": 0.0, "decimals": 1, "close": 2}, "41 °F", "5.0 °C too high", 273.15),
        ({"options": ["up", "down"]}, {"actual": "down"}, "up", "It went another way", None),
    ],
)
def test_how_a_prediction_is_compared(asked, told, given, says, came):
    shown = reveal("01.b", **told, unit=asked.get("unit"), because="x")
    assert says in commit(predict("01.b", "?", **asked), given, shown)
    shown.on_show(None)
    (kept,) = Record().predictions()
    assert (kept.came, kept.unit) == (shown.told, asked.get("unit", "")) and kept.came_value == pytest.approx(came)


def test_what_gives_the_answer_away_waits_with_it():
    def revealed(actual=5.71, result="5.7 bar"):
        shown = table("The working", ["step", "result"], [["boils at", result]])
        return reveal("01.g", actual, unit="bar", decimals=1, because="x", shown=shown)

    shown, same = revealed(), revealed(5.72)
    before = [child.value for child in shown.children if isinstance(child, widgets.HTML)]
    assert "The working" not in repr(shown) and not any("The working" in value for value in before)
    assert "You predicted 5. " in commit(predict("01.g", "?", unit="bar"), "5", same)
    assert sum("The working" in child.value for child in same.children if isinstance(child, widgets.HTML)) == 1
    # The regression run sees that the answer or what waits has changed; a reader is told nothing.
    assert repr(shown) == repr(same) and "5.7" not in repr(shown)
    assert len({repr(one) for one in (shown, revealed(5.8), revealed(result="6 bar"))}) == 3


def test_what_waits_for_a_prediction_is_out_of_sight_until_it_is_there():
    first, second = table("Times", ["t"], [["33.8 s"]]), table("More times", ["t"], [["50 s"]])
    gates = [after("01.w", thing) for thing in (first, second)]
    assert not any("33.8" in repr(gate) or "Times" in repr(gate) for gate in gates)
    assert repr(gates[0]) != repr(gates[1])
    assert not any("33.8" in getattr(child, "value", "") for child in gates[0].children)
    asked = predict("01.w", "How long?", unit="s")
    commit(asked, "20 s")
    assert "33.8" in gates[0].children[0].value and "50 s" in gates[1].children[0].value
    assert "33.8" in after("01.w", first).children[0].value
    panel = widgets.VBox()
    assert after("01.w", panel).children[0] is panel


ITEMS = (
    dict(text="Is it?", right="No", because="It is not.", wrong={"Yes": "A gauge shows a difference."}),
    dict(text="kPa?", value=200, unit="kPa", tolerance=1, because="1 bar is 100.", mistakes=[Mistake("x", 20, "Ten.")]),
    dict(text="What?", right="A scale", because="It weighs.", wrong={"A gauge": "No.", "A nose": "No."}),
)


def final_check():
    return exit_check("01", [quick(**item) for item in ITEMS])


def test_quick_question_says_what_the_mistake_was():
    asked = quick_question("01.q1", **ITEMS[0])
    asked.on_check(None)
    assert "– Not answered. Nothing is written here yet." in asked.feedback.value
    asked.entry.value = "Yes"
    assert asked.feedback.value == ""
    asked.on_check(None)
    assert "✗ Not yet. A gauge shows a difference." in asked.feedback.value
    assert "✓ Right. It is not." in check(asked, "No")
    number = quick_question("01.q2", **ITEMS[1])
    for given, told in [("2 bar", "✓ Right. 1 bar is 100."), ("20", "Ten."), ("x", "? Not readable.")]:
        assert told in check(number, given)


@pytest.mark.parametrize("how", ["a folder", "of a later version"])
def test_without_a_record_that_can_be_used_the_lesson_still_asks(own_records, how):
    if how == "a folder":
        (own_records / "record.sqlite").mkdir(parents=True)
    else:
        Record().keep_answer("a", right=True, mode="lesson")
        work_in(Record().path, "PRAGMA user_version = 4")
    for box in (final_check(), quick_question("01.q1", **ITEMS[0]), predict("01.a", "?", options=["up", "down"])):
        assert "cannot be used" in box.error_line.value or "is of version 4" in box.error_line.value
    asked = quick_question("01.q1", **ITEMS[0])
    assert "✓ Right." in check(asked, "No") and asked.error_line.value


def test_what_a_step_within_tells_stays(monkeypatch):
    asked = predict("01.a", "How high?", unit="bar")
    asked.entry.value = "3"
    monkeypatch.setattr(asked.record, "last_prediction", lambda _name: 1 / 0)
    asked.on_commit(None)
    assert "ZeroDivisionError" in asked.error_line.value


def test_the_right_choice_does_not_always_stand_first():
    places = {
        quick(f"Question {i}", right="R", because="b", wrong={"W": "w", "V": "v"}).options.index("R") for i in range(20)
    }
    assert places == {0, 1, 2}


def test_a_quick_answer_is_kept_and_shown_again():
    asked = quick_question("01.q1", **ITEMS[0])
    asked.on_check(None)
    assert Record().answers() == ()
    for given in ("Yes", "No"):
        check(asked, given)
    kept = Record().last_answer("01.q1")
    assert (kept.text, kept.right, kept.at.date()) == ("No", True, date.today())
    again = quick_question("01.q1", **ITEMS[0])
    assert again.entry.value == "No" and repr(again) == repr(asked)
    assert f"You answered this on {date.today().isoformat()}." in again.feedback.value
    assert "✓ Right. It is not." in again.feedback.value
    Record().keep_answer("01.q1", right=False, mode="practice", text="Yes")
    assert quick_question("01.q1", **ITEMS[0]).entry.value == "No", "practice may have asked with other numbers"
    other = quick_question("01.q1", **(ITEMS[0] | dict(right="Never")))
    assert other.entry.value is None and other.feedback.value == ""
    check(quick_question("01.q2", **ITEMS[1]), "x")
    assert Record().last_answer("01.q2") is None


def test_with_a_decimal_comma_a_point_parts_thousands_here_as_in_the_panels(opened, monkeypatch):
    monkeypatch.setattr(the_view(), "comma", True)
    in_two_ways = "two ways: write 200,000 or 200000."
    for typed, told in [("200,000", "✓ Right."), ("200.000", in_two_ways), ("200,0", "✓ Right.")]:
        assert told in check(quick_question("01.q2", **ITEMS[1]), typed)
    assert quick_question("01.q2", **ITEMS[1]).entry.value == "200,0"
    sheet = opened()
    sheet.entries[0].controls[0].value = "1.200"
    assert "can be read in two ways: write 1,200 or 1200" in sheet.entries[0].saved_line.value
    sheet.entries[0].controls[0].value = "20,000"
    sheet.on_check(None)
    assert "✓ Right" in sheet.entries[0].feedback.value
    assert opened().entries[0].controls[0].value == "20,000"
    assert sheet.sheet.answers["a"] == "20.000", "a sheet is marked where nobody knows which sign was chosen"


def test_exit_check_keeps_the_result():
    check = final_check()
    check.entries[0].value = "No"
    check.on_finish(None)
    assert "has no answer to 2, 3" in check.error_line.value
    check.entries[1].value, check.entries[2].value = "2 bananas", "A nose"
    check.on_finish(None)
    assert "has an answer to 2 that cannot be read" in check.error_line.value and Record().answers() == ()
    assert "? Not readable." in check.feedback[1].value
    check.entries[1].value = "2 bar"
    check.on_finish(None)
    assert "2 of 3 right" in check.status.value and "tomorrow" in check.status.value
    check.entries[2].value = "A scale"
    check.on_finish(None)
    assert "3 of 3 right" in check.status.value and "in 2 days" in check.status.value
    assert "Last time, on " in final_check().status.value and "3 of 3 right" in final_check().status.value
    assert [score.right for score in Record().scores(EXIT_CHECK)] == [2, 3]
    kept = [(a.question, a.right) for a in Record().answers()]
    names = [f"01.exit.{number}" for number in (1, 2, 3)]
    assert kept == [*zip(names, (True, True, False), strict=True), (names[2], True)]


@pytest.fixture
def clock():
    clock = Clock()
    clock.at = datetime.now().astimezone() - timedelta(days=3)
    return clock


def checked(lesson, record, *wrong):
    """Answer an exit check, each question rightly that no wrong answer is given to."""
    check = ExitCheck(lesson, [quick(**item) for item in ITEMS], record)
    for place, (entry, item) in enumerate(zip(check.entries, check.items, strict=True)):
        right = item.key.right if item.options else f"{item.key.value} {item.key.unit}"
        entry.value = wrong[place] if place < len(wrong) else right
    check.on_finish(None)
    return check


def test_on_a_later_day_what_was_known_comes_from_the_exercise_with_fresh_numbers(workbook, monkeypatch, clock):
    monkeypatch.chdir(workbook.lessons)
    record = Record(now=clock)
    first, again = checked("01", record, "Yes"), checked("01", record, "Yes")
    assert again.names == first.names == ["01.exit.1", "01.exit.2", "01.exit.3"], "the same day"
    clock.goes(days=1)
    second = checked("01", record)
    assert second.names[0] == "01.exit.1", "not known yet"
    assert all(name.startswith(f"{EXERCISE}.") for name in second.names[1:])
    assert repr(second) == repr(first) and "3 of 3 right" in second.status.value
    clock.goes(days=1)
    third = checked("01", record)
    assert all(name.startswith(f"{EXERCISE}.") for name in third.names)
    assert [item.text for item in third.items] != [item.text for item in second.items]


def test_on_a_later_day_what_was_wrong_comes_back_with_other_numbers(clock):
    record = Record(now=clock)
    first, same_day = (checked("13", record, "Yes", "20", "A nose") for _ in range(2))
    assert same_day.items == first.items
    clock.goes(days=1)
    again = checked("13", record)
    assert again.names == first.names and repr(again) == repr(first)
    assert "0.48 kg recovered" not in again.items[0].text and "kg recovered" in again.items[0].text
    assert "3 of 3 right" in again.status.value


# Options and steps stand in an order drawn for each learner and question; an answer is its text, not its place.
OPTIONS = ("right", "second", "third", "fourth")
IN_ORDER = [ChoiceQuestion("b", "Which?", options=OPTIONS), OrderQuestion("c", "In which order?", steps=OPTIONS)]


def test_every_place_is_equally_likely():
    places = Counter(drawn_order("Which?", OPTIONS, f"A{i}").index("right") for i in range(400))
    assert all(70 < places[place] < 130 for place in range(4))


def test_the_order_differs_between_questions_of_one_learner():
    assert len({drawn_order(f"Which {i}?", OPTIONS, "A01") for i in range(20)}) > 10


def handed_out(tmp_path, learner):
    ticket, folder = ticket_of(learner), tmp_path / learner
    return answer_sheet(EXERCISE, numbers=NUMBERS, questions=IN_ORDER, ticket=ticket, folder=folder)


def orders(sheet):
    choice, order = sheet.entries
    return tuple(choice.controls[0].options), tuple(step for step, value in order.controls[0].options if value)


def test_a_handed_out_sheet_draws_by_its_ticket(tmp_path):
    sheets = [handed_out(tmp_path, f"A{i:02d}") for i in range(8)]
    assert len({orders(sheet)[0] for sheet in sheets}) > 4 and len({orders(sheet)[1] for sheet in sheets}) > 4
    assert orders(handed_out(tmp_path, "A00")) == orders(sheets[0])
    assert all(sorted(order) == sorted(OPTIONS) for sheet in sheets for order in orders(sheet))
    # The stored text is the same for all, and does not follow the order in which the author wrote.
    assert len({repr(sheet) for sheet in sheets}) == 1
    assert "right | second | third | fourth" not in repr(sheets[0])


WRONG = dict.fromkeys(OPTIONS[1:], "No.")
SELF_STUDY = {
    "quick question": lambda: quick_question("q", "Which?", right="right", because="b", wrong=WRONG).entry,
    "exit check": lambda: exit_check("01", [quick("Which?", right="right", because="b", wrong=WRONG)] * 3).entries[0],
    "prediction": lambda: predict("01.a", "Which?", options=OPTIONS).entry,
    "sheet": lambda: answer_sheet(EXERCISE, numbers=NUMBERS, questions=IN_ORDER).entries[0].controls[0],
}


@pytest.mark.parametrize("kind", SELF_STUDY)
def test_in_self_study_the_record_draws(kind, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    found = set()
    for number in range(8):
        monkeypatch.setenv("THERMO_KIT_RECORDS", str(tmp_path / str(number)))
        assert tuple(SELF_STUDY[kind]().options) == drawn_order("Which?", OPTIONS)
        Record().keep_score(EXIT_CHECK, "01", 3, 3)
        drawn = tuple(SELF_STUDY[kind]().options)
        assert drawn == tuple(SELF_STUDY[kind]().options) == drawn_order("Which?", OPTIONS, Record().order_seed)
        found.add(drawn)
    assert len(found) >= 3  # of 24 orders; by chance fewer once in a million
