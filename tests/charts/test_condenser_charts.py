"""The condenser's pictures: what is drawn is what the result says, and it fits into the picture."""

import dataclasses
import itertools
import re

import pytest

from tests.charts.told import texts
from tests.components.condenser_cases import CORES, WARM, head, solve
from thermo_kit.charts import Look
from thermo_kit.charts.condenser import (
    ComparedQuantity,
    comparison_picture,
    fin_picture,
    fin_strip,
    path_picture,
    percent_words,
)
from thermo_kit.charts.condenser_core import BOTTOM, SIZE, TOP, core_picture, is_condensed, layout_of, pieces
from thermo_kit.components.condenser import (
    CompressorDuty,
    condensing_pressure_for,
    fin_curve,
    pass_spans,
    with_fin_density,
)
from thermo_kit.components.louvered_fins import fins_per_inch
from thermo_kit.units import UnitSystem

LOOKS = [Look(system, altitude) for system in UnitSystem for altitude in (0.0, 1600.0)]
VAN = CORES["R-1234yf"]
SHAPES = [
    ((15, 9, 6, 6), 3, "bottom"),
    ((15, 9, 6, 6), 3, "top"),
    ((15, 9, 6, 6), 4, "bottom"),
    ((17, 10, 6), 2, "bottom"),
    ((17, 10, 6), None, "top"),
    ((20,), 1, "bottom"),
    ((6, 5, 4, 4, 3, 3, 3, 2, 2, 2, 1, 1), 11, "bottom"),
]


def start_side(box):
    return "left" if box.rightward else "right"


def built(tubes, receiver, place, **changes):
    return dataclasses.replace(VAN, tubes=tubes, receiver_after=receiver, subcooling_pass_at=place, **changes)


def solved(core):
    duty = CompressorDuty(refrigerant="R-1234yf", evaporating_temperature=278.15, cooling_capacity=2500.0)
    subcooling = 5.0 if core.receiver_after is None else None
    return condensing_pressure_for(core, duty, WARM, subcooling=subcooling).condenser


@pytest.mark.parametrize("shape", SHAPES, ids=str)
def test_the_passes_fill_the_core_once_in_flow_order(shape):
    tubes, receiver, place = shape
    core = built(tubes, receiver, place)
    layout = layout_of(tubes, pass_spans(core), receiver)
    assert sum(box.top - box.bottom for box in layout.passes) == pytest.approx(TOP - BOTTOM)
    for before, after in itertools.pairwise(layout.passes):
        assert before.end_side == start_side(after)
        assert before.across(1.0) == after.across(0.0)
    highest = max(layout.passes, key=lambda box: box.top)
    assert highest.number == (len(tubes) if place == "top" and len(tubes) > 1 else 1)


@pytest.mark.parametrize("shape", SHAPES, ids=str)
def test_a_separator_stands_wherever_neighbours_do_not_turn_into_each_other(shape):
    tubes, receiver, place = shape
    layout = layout_of(tubes, pass_spans(built(tubes, receiver, place)), receiver)
    open_turns = 0
    for upper, lower in itertools.pairwise(sorted(layout.passes, key=lambda box: -box.top)):
        shut = {side for side, height in layout.separators if height == pytest.approx(upper.bottom)}
        turns = lower.number == upper.number + 1 and receiver != upper.number
        assert shut == ({start_side(upper)} if turns else {"left", "right"})
        open_turns += turns
    assert open_turns == dict(zip(SHAPES, (2, 2, 3, 1, 1, 0, 10), strict=True))[shape], "counted by hand"


@pytest.mark.parametrize("look", LOOKS, ids=str)
@pytest.mark.parametrize("shape", SHAPES, ids=str)
def test_the_core_names_every_pass_and_stays_inside_the_picture(shape, look):
    core = built(*shape)
    picture = core_picture(solved(core), pass_spans(core), look)
    words = " ".join(texts(picture.whole()))
    for number, count in enumerate(core.tubes, start=1):
        assert f"pass {number}, {count} tube" in words
    assert "in, larger line" in words and "out, smaller line: liquid" in words
    assert ("receiver" in texts(picture.still)) == (core.receiver_after is not None)
    places = re.findall(r'<text[^>]* x="([-\d.]+)" y="([-\d.]+)"', picture.whole())
    assert len(places) >= 8
    assert all(0 <= float(x) <= SIZE[0] and 0 <= float(y) <= SIZE[1] for x, y in places)


def test_the_pieces_of_a_pass_are_the_phases_of_its_result():
    result = solve("R-1234yf", 331.15)
    for one in result.passes:
        found = pieces(one)
        assert found[0][1] == 0.0 and found[-1][2] == pytest.approx(1.0)
        assert all(end == start for (_, _, end), (_, start, _) in itertools.pairwise(found))
    assert [phase for phase, _, _ in pieces(result.passes[0])] == ["vapour", "two-phase"]


def test_more_vapour_more_and_larger_bubbles():
    dots = re.compile(r'd="([^"]*)"[^>]*stroke: #ffffff; stroke-width: ([\d.]+);[^"]*linecap: round')
    found = []
    for temperature in (325.0, 333.0):
        moving = core_picture(solve("R-1234yf", temperature), pass_spans(CORES["R-1234yf"]), Look()).moving
        found.append({float(wide): path.count("M") for path, wide in dots.findall(moving)})
    cold, hot = found
    assert sum(cold.values()) > sum(hot.values()) > 20
    assert cold[max(cold)] > hot.get(max(cold), 0)


def test_vapour_at_the_outlet_is_said():
    result = solve("R-1234yf", 318.15)
    assert not is_condensed(result)
    picture = core_picture(result, pass_spans(result.spec), Look())
    assert "Vapour leaves the core." in picture.sentence
    assert "vapour leaves the core" in texts(picture.moving)


@pytest.mark.parametrize(
    ("changes", "told", "drawn"),
    [
        ({"blocked_fraction": 0.2}, "20 % of the whole face", "blocked: 20 % of the face"),
        (
            {"blocked_profile": (0, 0, 0, 0, 0, 0.8)}, "80 % of the face from 83 to 100 % of the height",
            "blocked: 80 % here",
        ),
        (
            {"air_profile": (1.3, 0.7)}, "Weak air, 70 % of the mean speed, from 50 to 100 % of the height",
            "weak air: 70 % of the mean speed",
        ),
    ],
)  # fmt: skip
def test_dirt_and_weak_air_are_hatched_and_told(changes, told, drawn):
    core = dataclasses.replace(VAN, **changes)
    clean = core_picture(solved(VAN), pass_spans(VAN), Look())
    dirty = core_picture(solved(core), pass_spans(core), Look())
    assert told in dirty.sentence and "Blocked" not in clean.sentence and "Weak" not in clean.sentence
    assert drawn in texts(dirty.moving)
    assert dirty.moving.count("<pattern") > clean.moving.count("<pattern")
    assert dirty.still == clean.still


@pytest.mark.parametrize("look", LOOKS, ids=str)
def test_the_way_tells_share_temperature_and_flux_of_each_pass(look):
    result = head("R-1234yf", VAN).condenser
    picture = path_picture(result, look)
    words = texts(picture.moving)
    for one in result.passes[:2]:
        assert picture.moving.count(f">{100 * one.quality:.0f} %<") == 1  # the exercise takes one out by this text
        assert any(word.startswith(look.text(one.mass_flux, "mass_flux").split()[0]) for word in words)
    assert look.text(result.outlet_temperature, "temperature") in picture.sentence
    assert "receiver" in words and "last vapour" in words


def test_bars_go_right_for_more_and_left_for_less_and_are_hatched_where_it_costs():
    rows = (
        ComparedQuantity("Head pressure", 10e5, 11e5, "pressure", "more", difference="+1.00 bar"),
        ComparedQuantity("Air flow", 0.5, 0.4, "air_flow"),
        ComparedQuantity("Hot gas", 340.0, 343.0, "temperature", has_bar=False, difference="+3.0 K"),
        ComparedQuantity("Power", 1000.0, 1000.0, "electric_power", "more"),
    )
    picture = comparison_picture(rows, ("First core", "Second core"), Look(gauge=False))
    words = texts(picture.moving)
    assert {"+1.00 bar", "20.0 % less", "+3.0 K", "the same", "10.00 bar abs", "11.00 bar abs"} <= set(words)
    assert picture.moving.count("<pattern") == 1  # one bar costs, and only that is hatched
    assert picture.sentence.startswith("First core against Second core. Head pressure: 10.00 bar abs and 11.00")
    assert rows[1].shift == pytest.approx(-0.2)
    assert percent_words(0.0004) == "the same" and percent_words(0.25) == "25.0 % more"


@pytest.mark.parametrize("count", [12, 16, 17, 20, 40])
def test_the_strip_holds_as_many_fins_as_it_says(count):
    fins = with_fin_density(VAN, fins_per_inch(count)).fins
    picture = fin_strip(fins, Look())
    assert f"{count}.0 fins to the inch" in picture.sentence
    drawn = re.search(r' d="(M [^"]*)"', picture.moving).group(1)
    xs = [float(x) for x in re.findall(r"[ML] ([-\d.]+)", drawn)]
    inside = sum(49.9 <= 0.5 * (a + b) <= 710.1 for a, b in itertools.pairwise(xs))
    assert inside == count
    assert fin_strip(fins, Look(), sentence="Count them.").sentence == "Count them."


@pytest.mark.parametrize("look", LOOKS, ids=str)
def test_the_curves_mark_this_core_and_the_best(look):
    duty = CompressorDuty(refrigerant="R-1234yf", evaporating_temperature=278.15, cooling_capacity=4500.0)
    curve = fin_curve(VAN, duty, WARM, tuple(fins_per_inch(count) for count in (16, 20, 34, 40)))
    picture = fin_picture(curve, curve.heads[1], look)
    assert {"cheaper: 16 to 18", "original: near 20", "least power"} <= set(texts(picture.moving))
    assert look.text(curve.heads[1].condensing_pressure, "pressure") in texts(picture.moving)
    assert "34 fins/in" in picture.sentence
    moved = fin_picture(curve, curve.heads[0], look)
    assert moved.still == picture.still and moved.moving != picture.moving
