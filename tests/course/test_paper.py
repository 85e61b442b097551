"""A paper of questions that a number draws by a blueprint is an exercise like any other, and shows no answer."""

import nbformat
from nbformat.v4 import new_code_cell, new_notebook

from tests.course.sample_class import LEARNERS, SampleClass
from tests.course.sample_workbook import EXERCISE, TICKET_LINE, tagged
from thermo_kit.course.answers import load_answers
from thermo_kit.course.sheet import Sheet

PARAMETERS = "paper = 1  # number; from 1 to 9999 step 1; which questions are drawn"
DRAWING = """\
import random
from importlib.resources import files
from thermo_kit.practice.bank import read_facts
from thermo_kit.practice.blueprint import read_blueprint

plan = read_blueprint('''
title = "Cylinders and safety"
questions = 6
minutes = 15
pass_mark = 70.0
shares = {cylinders = 50.0, safety = 50.0}
''')
chance, drawn = random.Random(paper), []
for topic, count in plan.counts.items():
    file = files("thermo_kit.practice") / "facts" / f"{topic}.toml"
    facts = read_facts(file.read_text(encoding="utf-8"), file.name)
    drawn += [item.draw(paper) for item in chance.sample(facts, count)]"""
ASKING = f"""
from thermo_kit.course.questions import ChoiceQuestion
from thermo_kit.course.sheet_panel import answer_sheet

questions = [ChoiceQuestion(f"q{{n}}", one.text, one.options) for n, one in enumerate(drawn, 1)]
answer_sheet("{EXERCISE}", numbers=dict(paper=paper), ticket=ticket, questions=questions)"""
KEY = """
from dataclasses import replace
from thermo_kit.course.keys import Key

key = Key(*(replace(one.key, question=f"q{n}") for n, one in enumerate(drawn, 1)))
key"""


def test_a_paper_is_handed_out_and_marked(make_workbook, give, monkeypatch):
    exercise = new_notebook(cells=[tagged(PARAMETERS + TICKET_LINE, "parameters"), new_code_cell(DRAWING + ASKING)])
    answers = new_notebook(cells=[tagged(PARAMETERS, "parameters"), new_code_cell(DRAWING + KEY)])
    book = make_workbook(exercise, answers)
    monkeypatch.chdir(book.root)
    room, papers = SampleClass(give().folder, book), set()
    for learner in LEARNERS:
        case = room.cases().case(EXERCISE, learner)
        key = load_answers(book.answer(EXERCISE)).key(case)
        papers.add(tuple(part.right for part in key.parts))
        namespace, notebook = {}, room.notebook(learner, EXERCISE)
        for cell in nbformat.read(notebook, 4).cells:
            exec(cell.source.replace("answer_sheet(", "dict(exercise="), namespace)
            assert not any(part.right in cell.source for part in key.parts)
        sheet = Sheet(notebook.with_name(f"{EXERCISE}.sheet.json"), case, namespace["ticket"])
        for part, asked in zip(key.parts, namespace["questions"], strict=True):
            assert part.right in asked.options
            sheet.answer(part.question, part.right)
    assert len(papers) == len(LEARNERS)
    assert [m.points for m in room.mark().marked] == [6] * len(LEARNERS)
