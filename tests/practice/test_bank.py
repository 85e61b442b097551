"""Everything in the bank can be asked: alone, with its right answer among the options, with other numbers each time."""

import ast
import json
import re
from collections import Counter

import pytest

from tests.house.source import ROOT
from tests.practice.test_facts import right_is_longest
from thermo_kit.course import drawn
from thermo_kit.course.answers import load_answers
from thermo_kit.course.declared import declaring
from thermo_kit.course.keys import RIGHT, WRONG, ChoiceKey, Key, NumberKey
from thermo_kit.course.leaks import answers_told
from thermo_kit.course.quick import questions_of_lesson, quick
from thermo_kit.errors import CourseError, NotebookError
from thermo_kit.practice.bank import load, read_facts

TITLE = re.compile(r"<title>([^<]*)</title>")
ALONE = [item for item in load().values() if item.kind != "fact"]
LESSONS = sorted({item.lesson for item in ALONE})


def all_declared():
    names = set()
    for path in [*(ROOT / "lessons").glob("*.ipynb"), *(ROOT / "exercises").glob("*.ipynb")]:
        notebook = declaring(path)
        names |= {call.args[0].value for _place, call in notebook.calls("quick_question")}
        names |= {f"{path.stem[:2]}.exit.{number}" for _ in notebook.calls("exit_check") for number in (1, 2, 3)}
        asked = notebook.calls("NumberQuestion", "ChoiceQuestion", "OrderQuestion")
        names |= {f"{path.stem}.{call.args[0].value}" for _place, call in asked}
    return names


@pytest.mark.parametrize("lesson", LESSONS)
def test_what_is_asked_of_a_lesson_and_its_exercise_has_its_answer(lesson):
    for item in (item for item in ALONE if item.lesson == lesson):
        asked = item.draw("7")
        right = f"{asked.key.value} {asked.key.unit}" if isinstance(asked.key, NumberKey) else asked.key.right
        assert asked.key.judge(right).verdict == RIGHT, item.name
        assert bool(asked.options) != isinstance(asked.key, NumberKey), item.name
        assert not asked.options or right in asked.options, item.name
        assert asked == item.draw("7"), item.name
        assert (asked.name, asked.topic) == (item.name, item.topic) and asked.text and asked.source
        # Its axes may bear any figure.
        seen = {"data": {"text/plain": f"{asked.alt} {' '.join(TITLE.findall(asked.picture))}"}}
        assert answers_told({"cells": [{"outputs": [seen]}]}, Key(asked.key)) == [], item.name


def test_an_exercise_comes_back_with_other_numbers():
    item = load()["12_refrigerant_purity.f"]
    first, second = item.draw("1"), item.draw("2")
    assert first.key.value != second.key.value and first.case != second.case
    assert any("water capacity: " in line for line in first.case)
    steps = {load()["12_refrigerant_purity.g"].draw(str(seed)).text for seed in range(12)}
    assert len(steps) >= 3 and all("right after" in text for text in steps)


ASKED = {
    (path, name): (ask, ask("1"))
    for path in sorted((ROOT / "lessons").glob("[0-9]*.ipynb"))
    for name, ask in questions_of_lesson(path).items()
}
NUMBERS = {place: asked for place, asked in ASKED.items() if isinstance(asked[1].key, NumberKey)}


def test_the_right_option_is_the_longest_in_at_most_one_of_three():
    keys = [first.key for _ask, first in ASKED.values()]
    for path in sorted((ROOT / "answers").glob("[0-9]*.ipynb")):
        answers = load_answers(path)
        keys += answers.key(answers.default_case()).parts
    choices = [(k.question, k.right, [m.value for m in k.mistakes]) for k in keys if isinstance(k, ChoiceKey)]
    assert len(choices) >= 110
    longest = right_is_longest(choices)
    assert len(longest) <= len(choices) // 3, longest


def test_only_what_asks_about_its_page_keeps_its_numbers():
    fixed = {name for (_path, name), (ask, first) in NUMBERS.items() if first.text == ask("2").text == ask("3").text}
    assert fixed == {"02.superheat", "06.effectiveness", "09.flow"}
    assert fixed <= set(drawn._LESSONS["not_alone"]["names"]) and len(NUMBERS) == 37


@pytest.mark.parametrize("path", sorted({path for path, _name in NUMBERS}), ids=lambda path: path.stem[:2])
def test_a_number_of_a_lesson_comes_back_as_another(path):
    notebook = declaring(path)
    nodes = (node for statement in notebook.statements for node in ast.walk(statement))
    bound = Counter(node.id for node in nodes if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store))
    assert all(bound[number.name] == 1 for number in notebook.numbers), "or a question would change its page"
    used = set()
    for name, ask in questions_of_lesson(path).items():
        _notebook, place, node, _name = ask.args
        used |= (varying := set(notebook.varying(place, node)))
        if not varying:
            continue
        usual = notebook.value(place, node, {"quick_question": lambda _name, text, **declared: quick(text, **declared)})
        first, *others = (ask(seed) for seed in "1234")
        assert usual.is_clear and first.text != usual.text, name
        assert any(first.text != other.text and first.key.value != other.key.value for other in others), name
        assert first.key.judge(f"{first.key.value:.4g}").verdict == RIGHT, name
        assert first.key.judge(f"{usual.key.value:.4g}").verdict == WRONG, name
        for mistake in first.key.mistakes:
            judged = first.key.judge(f"{mistake.value:.9g}")
            assert (judged.verdict, judged.mistake) == (WRONG, mistake.name), name
    assert used == set(notebook.numbers), "each belongs to a question"


def test_every_name_in_the_lists_is_one_that_a_notebook_declares():
    lists = drawn._LESSONS
    listed = {name for part in ("not_alone", "alone", "no_case") for name in lists[part]["names"]}
    listed |= {name for name in lists["topics"] if len(name) > 2}
    assert listed - all_declared() == set()


def test_what_speaks_of_its_page_is_not_asked_bare():
    asked = {item.name for item in ALONE}
    assert len(asked) > 220
    boils = load()["01_pressure_and_temperature.b"].draw("1")
    assert any(line.startswith("0.0 °C (32.0 °F): ") for line in boils.case), "with a table of saturation"
    assert "<svg" in load()["01_pressure_and_temperature.e"].draw("1").picture
    assert "04_condenser_passes_and_fins.d" not in asked, "read from a panel"
    assert "08.hidden" not in asked, "on a list"
    node = ast.parse('"Look at the panel above: which one?"').body[0].value
    assert not drawn.stands_alone("99.new", node)
    assert drawn.stands_alone("99.new", ast.parse('"Which one is it?"').body[0].value)


def test_a_declaration_is_worked_out_with_only_what_it_rests_on(tmp_path):
    path = tmp_path / "01_a.ipynb"
    cells = ["from math import sqrt\nunused = 1 / 0", "a = 16", "b = sqrt(a) + given", "ask('q', b)", "ask('r', c)"]
    code = [{"cell_type": "code", "metadata": {}, "source": source} for source in cells]
    path.write_text(json.dumps({"cells": code}))
    notebook = declaring(path)
    (place, call), (late, broken) = notebook.calls("ask")
    assert notebook.value(place, call.args[1], {"given": 1}) == 5
    with pytest.raises(NotebookError, match=r"01_a.ipynb, c fails alone with NameError"):
        notebook.value(late, broken.args[1])
    path.write_text("{")
    with pytest.raises(NotebookError, match="cannot be read as a notebook"):
        declaring(path)


FACT = """topic = "leaks"
[[question]]
name = "leaks_oil"
ask = "Where does oil stand?"
right = "below the leak"
because = "It drips down."
wrong = [ { text = "above it", reason = "It falls." }, { text = "on the roof", reason = "It is inside." } ]
source = "common practice, no source"
seen = "common practice"
"""


def test_a_fact_is_asked_with_its_reasons():
    (item,) = read_facts(FACT + 'date = 2024-03-11\nregion = "EU"\n', "leaks.toml")
    asked = item.draw("s")
    assert set(asked.options) == {"below the leak", "above it", "on the roof"} and asked.key.why == "It drips down."
    assert asked.key.judge("above it").feedback == "It falls." and asked.topic == "leaks"
    assert asked.source.endswith("In force 2024-03-11, EU; ask your authority")


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('source = "common practice, no source"\n', "", "leaks.toml, question leaks_oil source Field required"),
        ("leaks_oil", "oil", "question oil Value error, the name does not begin with the topic"),
        ("above it", "below the leak", "question leaks_oil Value error, two options are the same"),
        ('{ text = "above it", reason = "It falls." }, ', "", "wrong List should have at least 2 items"),
        ('reason = "It falls."', 'reason = ""', "question leaks_oil wrong.0.reason String should have at least 1"),
        ('seen = "common practice"', 'seen = "dreamt"', "question leaks_oil seen Input should be"),
        ('seen = "common practice"', 'seen = "read"\nregion = "EU"', "law needs date and region"),
        ('because = "It drips down."', 'because = "It drips."\nanswer = 1', "question leaks_oil answer Extra inputs"),
        ('topic = "leaks"', 'topic = "law_eu"', "leaks.toml holds the topic 'law_eu'"),
        ('topic = "leaks"', "topic =", "leaks.toml is no list of questions"),
    ],
)
def test_a_bad_row_names_file_and_question(old, new, told):
    with pytest.raises(CourseError) as error:
        read_facts(FACT.replace(old, new), "leaks.toml")
    assert told in str(error.value)
