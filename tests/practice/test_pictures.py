"""The pictures of the bank: all are drawn, can be read, and tell no answer."""

import math
import re
import xml.etree.ElementTree as ElementTree

import pytest

from tests.practice.test_facts import whole_bank
from thermo_kit.charts import Look
from thermo_kit.charts.pen import text_size
from thermo_kit.errors import InputError
from thermo_kit.fleet import fault, vehicle
from thermo_kit.practice.pictures import draw
from thermo_kit.systems.vehicle import Conditions, solve_vehicle
from thermo_kit.units import UnitSystem, format_both

SVG = "{http://www.w3.org/2000/svg}"
HEAVIEST, WIDEST = 60_000, 960


QUESTIONS = [question for question in whole_bank() if "picture" in question]
TOPICS = sorted({question["name"].split("_")[0] for question in QUESTIONS})


def texts(svg):
    """Return text, font size and box of each text that is not turned, in units of the picture."""
    found = []
    for one in ElementTree.fromstring(svg).iter(SVG + "text"):
        size = float(re.search(r"font-size: ([.\d]+)px", one.get("style")).group(1))
        place = one.get("transform", "")
        numbers = [float(number) for number in re.findall(r"-?[.\d]+", place)]
        turned = place.startswith("rotate") and abs(numbers[0]) > 1.0
        x, y = (float(one.get("x")), float(one.get("y"))) if one.get("x") else numbers[-2:]
        wide = text_size(one.text, size, "700" in one.get("style"))[0]
        anchor = re.search("text-anchor: (start|middle|end)", one.get("style"))
        left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor.group(1) if anchor else "start"]
        found.append((one.text, size, None if turned else (left, y - 0.75 * size, left + wide, y)))
    return found


def touch(a, b):
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def test_the_bank_has_its_pictures():
    assert len(QUESTIONS) >= 60
    assert len({question["picture"]["draw"] for question in QUESTIONS}) >= 15


@pytest.mark.parametrize("topic", TOPICS)
def test_each_picture_can_be_read_and_tells_no_answer(topic):
    for question in QUESTIONS:
        if not question["name"].startswith(topic):
            continue
        name, right = question["name"], question["right"].lower()
        svg, alt = draw(name, question["picture"]), question["picture"]["alt"]
        if "words" in question["picture"]:
            draw(name, question["picture"], Look(system=UnitSystem.US))  # its words must be found in other units too
        assert len(svg.encode()) <= HEAVIEST, name
        assert len(right) < 2 or right not in alt.lower(), name
        top = ElementTree.fromstring(svg)
        assert top.find(SVG + "title").text == alt
        wide = float(top.get("width"))
        assert wide <= WIDEST, name
        scale = wide / float(top.get("viewBox").split()[2])
        told = texts(svg)
        assert all(size * scale >= 10.95 for _, size, _ in told), name
        boxes = [box for _, _, box in told if box]
        for mark in (box for text, _, box in told if re.fullmatch("[A-E]", text) and box):
            assert [box for box in boxes if touch(mark, box)] == [mark], name


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"draw": "gouges"}, "'gouges' is not a kind: use one of"),
        ({"altt": "x"}, "altt"),
        ({"alt": ""}, "alt is missing"),
        ({"words": {"no such words": "A"}}, "no such words stands nowhere"),
        ({"low": "2 K"}, "low '2 K'"),
        ({"low": "-2 bar(g)"}, "below a perfect vacuum"),
    ],
)
def test_a_wrong_picture_is_refused_with_the_name_of_its_question(change, told):
    right = {"draw": "gauges", "alt": "two gauges", "low": "2 bar(g)", "high": "12 bar(g)"}
    draw("sound", right)
    with pytest.raises(InputError, match="picture of question diagnosis_x:.*" + re.escape(told)):
        draw("diagnosis_x", {**right, **change})


@pytest.mark.parametrize(
    ("kind", "change"),
    [("CondenserPanel", {"tubes": "many"}), ("ReceiverPanel", {"vessel": "bath tub"}), ("BlankSheetPanel", {})],
)
def test_a_panel_s_parameter_is_refused_too(kind, change):
    with pytest.raises(InputError, match="picture of question parts_x"):
        draw("parts_x", {"draw": kind, "alt": "x", **change})


@pytest.mark.parametrize(("shown", "share"), [("-1.0 bar(g)", 0.0), ("4.5 bar(g)", 0.5), ("10 bar(g)", 1.0)])
def test_the_needle_stands_at_its_share_of_the_scale(shown, share):
    svg = draw("x", {"draw": "gauges", "alt": "a gauge", "low": shown})
    (needle,) = re.findall(r'<path d="M ([-.\d]+) ([-.\d]+) L [^"]* z"[^>]*style="fill: #0072b2', svg)
    x, y = float(needle[0]) - 165.0, 169.0 - float(needle[1])
    turn = math.radians(225.0 - 270.0 * share)
    assert math.hypot(x / math.hypot(x, y) - math.cos(turn), y / math.hypot(x, y) - math.sin(turn)) < 0.03


def test_a_vehicle_s_gauges_show_what_the_model_gives():
    asked = {"draw": "vehicle gauges", "vehicle_name": "older_van", "faults": [["weak_fan", 0.5]], "alt": "two gauges"}
    told = " ".join(text for text, _, _ in texts(draw("x", asked)))
    sound = solve_vehicle(vehicle("older_van"), Conditions())
    faulty = solve_vehicle(vehicle("older_van"), Conditions(), (fault("weak_fan", 0.5),))
    for result in (sound, faulty):
        assert format_both(result.discharge_pressure, "gauge_pressure") in told
