"""No answer of an exercise can be read off a stored result."""

import pytest

from thermo_kit.course.keys import ChoiceKey, Key, Mistake, NumberKey
from thermo_kit.course.leaks import answers_told

KEY = Key(
    NumberKey("a", value=10.09, unit="K", tolerance=1, why="w"),
    NumberKey("b", value=2.474, unit="", tolerance=0.1, why="w"),
    NumberKey("c", value=-7.9, unit="°C", tolerance=0.5, why="w"),
    ChoiceKey("d", right="the clamps are swapped", why="w", mistakes=[Mistake("m", "the part is worn", "h")]),
)
TABLE = " ".join(f"{-i / 10} °C" for i in range(70, 90))


@pytest.mark.parametrize(
    ("output", "told"),
    [
        ({"data": {"text/html": "<svg><title>It shows 10.1 K of it.</title></svg>"}}, ["a: 10.1 K"]),
        ({"data": {"text/html": '<svg aria-label="10 K"><text>5</text></svg>'}}, ["a: 10 K"]),
        ({"data": {"image/svg+xml": "<svg><text>10.09 K</text></svg>"}}, ["a: 10.09 K"]),
        ({"data": {"text/html": '<img alt="COP 2.47">'}}, ["b: 2.47"]),
        ({"text": "freezes at −7.9 °C, COP 2.5"}, ["b: 2.5", "c: −7.9 °C"]),
        ({"text": "So the clamps are swapped."}, ["d: the clamps are swapped"]),
        ({"text": "Either the part is worn or the clamps are swapped."}, []),
        ({"text": "10.2 K, 10.1 kW, 110.1 K, 7.9 °C, 2.47 bar, COP 2"}, []),
        ({"data": {"text/html": "<svg><text>2.5</text><text>10.1</text></svg>"}}, []),
        ({"text": TABLE}, []),
        ({"data": {"text/plain": "Answer sheet 02\n 10.1 K"}}, []),
        ({"data": {"image/png": "10.1 K"}}, []),
    ],
)
def test_what_tells_an_answer_is_seen(output, told):
    notebook = {"cells": [{"cell_type": "code", "source": "x", "outputs": [output]}]}
    assert answers_told(notebook, KEY) == told
