"""A tiny workbook for the tests of the course: one exercise about a tank, with its answers."""

import nbformat
from nbformat.v4 import new_code_cell, new_markdown_cell, new_notebook

from thermo_kit.course.workbook import find_workbook

EXERCISE = "01_water_tank"
PARAMETERS = """\
volume = 40            # L; from 20 to 60 step 5; volume of the tank
flow = 2.0             # L/min; from 0.5 to 4.0 step 0.5; flow of the pump
pump = "small"         # choice; one of "small", "large"; pump on the shelf
floor = 0              # m; fixed; height of the floor"""
TICKET_LINE = '\nticket = ""            # ticket; filled in when handed out'
SHEET = """\
from thermo_kit.course.questions import ChoiceQuestion, NumberQuestion, OrderQuestion, ReasonQuestion
from thermo_kit.course.sheet_panel import answer_sheet

answer_sheet(
    "01_water_tank",
    numbers=dict(volume=volume, flow=flow, pump=pump, floor=floor),
    ticket=ticket,
    questions=[
        NumberQuestion("a", "How long does the pump need to fill the tank?", unit="min"),
        ChoiceQuestion("b", "What doubles the time?", options=["twice the flow", "half the flow"]),
        OrderQuestion("c", "Put the steps in order.", steps=["start the pump", "open the valve", "check the hose"]),
        ReasonQuestion("d", "Why does the time grow with the volume?"),
    ],
)"""
WORKING = """\
from thermo_kit.course.keys import ChoiceKey, Key, Mistake, NumberKey, OrderKey, Partial, ReasonKey
from thermo_kit.errors import OutOfRangeError, Problem

if volume == 60 and flow == 0.5:
    raise OutOfRangeError(Problem("the time", "is longer than the shift", "of 110 min", "draw again"))
if flow == 1.0:
    raise OutOfRangeError(Problem("a flow of 1 L/min", "does not tell a division from a product", "", "draw again"))
minutes = volume / flow
print(f"{volume} L at {flow} L/min take {minutes:.1f} min.")"""
DRAWING = '"A picture for readers."'
KEY = """\
key = Key(
    NumberKey("a", value=minutes, unit="min", tolerance=0.02 * minutes, why="the flow reads to 2 %", points=2,
              partial=[Partial(within=0.1 * minutes, points=1, help="Close. Divide once more.")],
              mistakes=[Mistake("multiplied", volume * flow, "You multiplied. Divide volume by flow.")]),
    ChoiceKey("b", right="half the flow", why="Half the water comes each minute.",
              mistakes=[Mistake("flow upside down", "twice the flow", "More flow means less time.")]),
    OrderKey("c", right=["check the hose", "open the valve", "start the pump"], why="Safety first.",
             mistakes=[Mistake("pump first", ["start the pump", "open the valve", "check the hose"],
                               "A pump against a closed valve runs hot.")]),
    ReasonKey("d", ideas=[["more water", "more litre"], ["same flow", "flow stays"]],
              example="There is more water to move and the flow stays the same."),
)
key"""


def tagged(source, tag):
    return new_code_cell(source, metadata={"tags": [tag]})


def exercise_notebook(parameters=PARAMETERS + TICKET_LINE, tag="parameters"):
    return new_notebook(
        cells=[new_markdown_cell("# The tank"), tagged(parameters, tag), new_code_cell(SHEET)],
        metadata={"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}},
    )


def write_workbook(root, exercise=None, answers=None):
    made = {"exercises": exercise or exercise_notebook(), "answers": answers or answers_notebook()}
    for name in ("lessons", *made):
        (root / name).mkdir(parents=True, exist_ok=True)
    for name, notebook in made.items():
        nbformat.write(notebook, root / name / f"{EXERCISE}.ipynb")
    return find_workbook(root)


def answers_notebook(parameters=PARAMETERS, working=WORKING, key=KEY, drawing=DRAWING, tag="parameters"):
    return new_notebook(
        cells=[
            new_markdown_cell("# The tank, worked\n\nDivide the volume by the flow."),
            tagged(parameters, tag),
            new_code_cell(working),
            tagged(drawing, "show"),
            new_code_cell(key),
        ]
    )
