from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.course.sample_workbook import EXERCISE, PARAMETERS, answers_notebook
from thermo_kit.course.answers import load_answers
from thermo_kit.course.cases import Case, draw_case, read_parameters
from thermo_kit.errors import FileAccessError, NotebookError, OutOfRangeError

READ = read_parameters(PARAMETERS)


def test_parameters_are_read_with_their_ranges():
    volume, flow, pump, floor = READ
    assert (volume.default, volume.unit, volume.values[0], volume.values[-1]) == (40, "L", 20, 60)
    assert all(type(value) is int for value in volume.values)
    assert flow.values == (0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0)
    assert pump.values == ("small", "large") and pump.unit == ""
    assert floor.values == (0,) and floor.meaning == "height of the floor"


def test_decimal_steps_leave_no_rounding_dust():
    (gauge,) = read_parameters("gauge = 1.7  # bar; from 1.6 to 2.4 step 0.1; suction")
    assert gauge.values == (1.6, 1.7, 1.8, 1.9, 2.0, 2.1, 2.2, 2.3, 2.4)


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("volume = 40", "does not say unit, range and meaning"),
        ("volume = 40  # L; 20 to 60; volume", "from LOW to HIGH step STEP"),
        ("volume = 41  # L; from 20 to 60 step 5; volume", "range does not hold"),
        ("volume = 40  # L; from 20 to 61 step 5; volume", "step does not divide"),
        ("volume = 40  # L; from 20 to 60 step 0; volume", "step does not divide"),
        ("volume = 40  # L; from x to 60 step 5; volume", "not a number"),
        ("volume = open('x')  # L; from 20 to 60 step 5; volume", "plain number"),
        ("import os  # L; fixed; volume", "name = value"),
        ("a = 1  # L; fixed; x\na = 1  # L; fixed; x", "second time"),
        ("pump = 'a'  # choice; one of a, b; pump", "plain values"),
        ("ticket = 'mine'  # ticket; x", "ticket empty"),
        ("volume = (", "not readable"),
    ],
)
def test_a_bad_line_is_named_with_what_to_write(line, told):
    with pytest.raises(NotebookError, match=told) as caught:
        read_parameters(line)
    assert "write `name = " in str(caught.value)


def test_drawing_is_the_same_for_the_same_learner_only():
    draw = {who: draw_case(EXERCISE, READ, secret=b"s", learner=who) for who in ("A01", "A02", "A03", "A04")}
    assert draw["A01"] == draw_case(EXERCISE, READ, secret=b"s", learner="A01")
    assert len({case.fingerprint for case in draw.values()}) > 1
    assert draw["A01"] != draw_case(EXERCISE, READ, secret=b"other", learner="A01")


def test_a_new_parameter_leaves_the_other_numbers_as_they_were():
    before = draw_case(EXERCISE, READ, secret=b"s", learner="A01").numbers
    more = read_parameters(PARAMETERS + "\nslope = 1  # %; from 0 to 9 step 1; slope of the floor")
    after = draw_case(EXERCISE, more, secret=b"s", learner="A01").numbers
    assert {name: after[name] for name in before} == before


@given(st.text(min_size=1, max_size=12), st.binary(min_size=1, max_size=40))
def test_every_draw_lies_on_the_grid_and_is_plain(learner, secret):
    numbers = draw_case(EXERCISE, READ, secret=secret, learner=learner).numbers
    for parameter in READ:
        assert numbers[parameter.name] in parameter.values
        assert type(numbers[parameter.name]) in (int, float, str, bool)


def test_every_value_that_a_line_allows_is_drawn_sooner_or_later():
    cases = [draw_case(EXERCISE, READ, secret=b"s", learner=f"L{number}").numbers for number in range(300)]
    for parameter in READ:
        assert {numbers[parameter.name] for numbers in cases} == set(parameter.values)


@pytest.fixture
def answers(workbook):
    return load_answers(workbook.answer(EXERCISE))


def test_key_is_computed_with_the_case_and_fails_where_physics_fails(answers):
    numbers = answers.default_case().numbers | {"volume": 30, "flow": 1.5}
    assert answers.key(Case(EXERCISE, tuple(numbers.items()))).parts[0].value == pytest.approx(20.0)
    with pytest.raises(OutOfRangeError, match="longer than the shift"):
        answers.key(Case(EXERCISE, tuple((numbers | {"volume": 60, "flow": 0.5}).items())))


def test_worked_solution_holds_text_and_printed_numbers(answers):
    told = [(step.kind, step.text) for step in answers.worked(answers.default_case())[1]]
    assert told[1:] == [("result", "40 L at 2.0 L/min take 20.0 min."), ("result", "A picture for readers.")]
    assert told[0][0] == "text"


def test_a_cell_tagged_show_does_not_run_for_a_key(make_workbook):
    answers = load_answers(make_workbook(answers=answers_notebook(drawing="1 / 0")).answer(EXERCISE))
    assert answers.key(answers.default_case()).out_of == 5
    with pytest.raises(NotebookError, match="ZeroDivisionError"):
        answers.worked(answers.default_case())


def test_names_must_fit_exactly(answers):
    misspelt = replace(answers.default_case(), drawn=(("volume", 40), ("flwo", 2.0), ("pump", "small"), ("floor", 0)))
    told = r"'flwo' is not a parameter.*'flow' of 01_water_tank.ipynb was given no number"
    with pytest.raises(NotebookError, match=told):
        answers.key(misspelt)


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"working": "1 / 0", "key": "key = 1"}, "cell 2 fails with ZeroDivisionError"),
        ({"working": "%matplotlib inline", "key": "key = 1"}, "is not plain Python"),
        ({"working": "x = 1", "key": "answers = 1"}, "declares no `key`"),
        ({"tag": "paramters"}, r"no code cell tagged `parameters`.*same numbers"),
    ],
)
def test_a_broken_answers_notebook_names_the_cell(make_workbook, changes, told):
    book = make_workbook(answers=answers_notebook(**changes))
    with pytest.raises(NotebookError, match=told):
        answers = load_answers(book.answer("01"))
        answers.key(answers.default_case())


def test_damaged_and_missing_notebooks_say_so(workbook):
    path = workbook.answer("01")
    path.write_text("{ half", encoding="utf-8")
    with pytest.raises(NotebookError, match=r"damaged or no notebook.*fresh copy"):
        load_answers(path)
    with pytest.raises(FileAccessError, match="does not exist"):
        load_answers(path.with_name("99_gone.ipynb"))


def test_the_cache_follows_the_file(workbook):
    path = workbook.answer("01")
    assert load_answers(path) is load_answers(path)
    path.write_text(path.read_text(encoding="utf-8").replace("You multiplied.", "You have multiplied."))
    key = load_answers(path).key(load_answers(path).default_case())
    assert key.parts[0].mistakes[0].help.startswith("You have multiplied.")
