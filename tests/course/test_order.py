"""Options and steps stand in an order drawn for each learner and question; an answer is its text, not its place."""

from collections import Counter

import pytest

from tests.course.sample_workbook import EXERCISE
from thermo_kit.course.cases import Case
from thermo_kit.course.predict import predict
from thermo_kit.course.questions import ChoiceQuestion, OrderQuestion, drawn_order
from thermo_kit.course.quick import exit_check, quick, quick_question
from thermo_kit.course.record import EXIT_CHECK, Record
from thermo_kit.course.sheet_panel import answer_sheet
from thermo_kit.course.tickets import issue_ticket

OPTIONS = ("right", "second", "third", "fourth")
NUMBERS = {"volume": 40, "flow": 2.0, "pump": "small", "floor": 0}
QUESTIONS = [ChoiceQuestion("b", "Which?", options=OPTIONS), OrderQuestion("c", "In which order?", steps=OPTIONS)]


def test_every_place_is_equally_likely():
    places = Counter(drawn_order("Which?", OPTIONS, f"A{i}").index("right") for i in range(400))
    assert all(70 < places[place] < 130 for place in range(4))


def test_the_order_differs_between_questions_of_one_learner():
    assert len({drawn_order(f"Which {i}?", OPTIONS, "A01") for i in range(20)}) > 10


def handed_out(tmp_path, learner):
    ticket = issue_ticket(b"k" * 32, learner, Case(EXERCISE, tuple(NUMBERS.items())))
    return answer_sheet(EXERCISE, numbers=NUMBERS, questions=QUESTIONS, ticket=ticket, folder=tmp_path / learner)


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
    "sheet": lambda: answer_sheet(EXERCISE, numbers=NUMBERS, questions=QUESTIONS).entries[0].controls[0],
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
