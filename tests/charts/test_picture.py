"""The two layers of a picture: same axes, own ids, same text each time."""

import re
import xml.etree.ElementTree as ElementTree

import pytest

from tests.charts.told import SVG
from thermo_kit.charts import Look
from thermo_kit.charts.picture import _tidy_path, one_layer, still_layer
from thermo_kit.units import UnitSystem

calls = []


def still(figure, low, high):
    calls.append((low, high))
    axes = figure.add_axes([0.1, 0.1, 0.8, 0.8])
    axes.set(yscale="log", xlim=(0, 10), ylim=(low, high))
    axes.fill_between([0, 10], low, high, hatch="//", alpha=0.2)


def dot_at(x, y):
    def moving(axes):
        axes.plot([x], [y], "o", clip_on=False)
        axes.text(5, y, "here & <there>")

    return moving


def picture(x=5, y=10.0, low=1.0):
    return still_layer(still, (400, 300), low, 100.0).under(dot_at(x, y), sentence="A dot & a <word>.")


def ids(svg):
    return set(re.findall(r'id="([^"]+)"', svg))


def test_still_layer_is_drawn_once():
    calls.clear()
    first, second = picture(x=2, low=1.25), picture(x=3, low=1.25)
    assert first.still == second.still
    assert first.moving != second.moving
    assert calls == [(1.25, 100.0)]


def test_moving_layer_lies_on_the_axes_of_the_still_one():
    tree = ElementTree.fromstring(picture(x=5, y=10.0).moving)
    dot = next(tree.iter(SVG + "use"))
    assert float(dot.get("x")) == 200  # middle of axes that run from 10 % to 90 % of 400 px
    assert float(dot.get("y")) == 150  # 10 is halfway from 1 to 100 on a logarithmic axis


def test_nothing_of_an_earlier_moving_layer_stays():
    for x in (1, 2, 3):
        again = picture(x=x)
    assert again.moving.count("<use") == 1
    assert picture(x=3) == again


def test_a_drawing_error_leaves_the_layer_clean():
    def broken(axes):
        axes.plot([1], [1], "o")
        raise RuntimeError("stop")

    good = picture(x=4)
    with pytest.raises(RuntimeError):
        still_layer(still, (400, 300), 1.0, 100.0).under(broken, sentence="")
    assert picture(x=4) == good


def test_two_pictures_on_one_page_share_no_id():
    first, second = picture(x=2, low=1.0), picture(x=3, low=2.0)
    found = [ids(layer) for layer in (first.still, first.moving, second.still, second.moving)]
    assert ids(first.still) and len(set().union(*found)) == sum(map(len, found))


def test_every_id_that_is_pointed_at_exists():
    for layer in (picture().still, picture().moving):
        pointed_at = set(re.findall(r'(?:url\(#|href="#)([^")]+)', layer))
        assert pointed_at == ids(layer)


def test_a_layer_acts_on_nothing_else_of_the_page():
    for layer in (picture().still, picture().moving):
        assert not [word for word in ("<style", "<?xml", "<!DOCTYPE", "metadata") if word in layer]


def test_text_stays_text_and_whole_is_one_well_formed_svg():
    tree = ElementTree.fromstring(picture().whole())
    assert tree.find(SVG + "title").text == "A dot & a <word>."
    assert "here & <there>" in [t.text for t in tree.iter(SVG + "text")]


def test_still_layer_has_a_light_plate_and_the_moving_one_has_none():
    assert 'fill="#ffffff"' in picture().still
    assert 'fill="#ffffff"' not in picture().moving


def test_one_layer_is_the_same_every_time():
    once = one_layer(still, 3.0, 30.0, sentence="s", size=(200, 100))
    assert once == one_layer(still, 3.0, 30.0, sentence="s", size=(200, 100))
    assert ElementTree.fromstring(once.moving).get("viewBox") == "0 0 200 100"


def test_look_shows_gauge_at_altitude_and_absolute():
    assert Look(UnitSystem.SI, 1600.0).text(301325.0, "pressure") == "2.18 bar(g)"
    assert Look(UnitSystem.US, 0.0, gauge=False).text(101325.0, "gauge_pressure") == "14.7 psia"
    look = Look(UnitSystem.US, 300.0)
    assert abs(look.stored(look.number(5e5, "pressure"), "pressure") - 5e5) < 1e-6
    assert hash(look) == hash(Look(UnitSystem.US, 300.0))


def dotted(figure):
    figure.add_axes((0, 0, 1, 1)).axhspan(0.2, 0.8, facecolor="#ffffff", edgecolor="#000000", hatch="ooo")


def test_the_dots_of_a_hatch_are_written_as_arcs_and_not_as_curves():
    svg = one_layer(dotted, sentence="Dots.").still
    pattern = re.search(r"<pattern.*?</pattern>", svg, re.DOTALL).group(0)
    assert " C " not in pattern and pattern.count("a") > 700 and len(svg) < 60_000


def test_a_circle_of_curves_becomes_the_same_circle_of_arcs_and_turns_the_same_way():
    from matplotlib.path import Path

    for step, sweep in ((1, 1), (-1, 0)):
        points = Path.unit_circle().vertices[:-1][::step] * 3.0 + (10.0, 20.0)
        rows = [points[k : k + 3].ravel() for k in range(1, 25, 3)]
        curves = " ".join("C " + " ".join(f"{value:.3f}" for value in row) for row in rows)
        told = _tidy_path(f"M {points[0][0]:.3f} {points[0][1]:.3f} {curves} z" + " M 1 1 L 2 2" * 300)
        half = f"a3.00 3.00 0 1 {sweep} 0 "
        assert told.startswith(f"M10.00 23.00{half}-6.00{half}6.00z M 1 1")
