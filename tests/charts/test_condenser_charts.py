"""The condenser's pictures: what is drawn is what the result says, and it fits into the picture."""

import functools
import itertools
import re
from dataclasses import replace

import pytest

from tests.charts.told import LOOKS, tells, texts
from tests.components.condenser_cases import CORES, WARM, head, solve
from thermo_kit.charts import Look, condenser
from thermo_kit.charts.condenser_core import BOTTOM, SIZE, TOP, core_picture, is_condensed, layout_of, pieces
from thermo_kit.components import condenser as part
from thermo_kit.components.louvered_fins import fins_per_inch

VAN = CORES["R-1234yf"]
DUTY = part.CompressorDuty(refrigerant="R-1234yf", evaporating_temperature=278.15, cooling_capacity=2500.0)
SHAPES = (
    ((15, 9, 6, 6), 3, "bottom", 2),
    ((15, 9, 6, 6), 3, "top", 2),
    ((15, 9, 6, 6), 4, "bottom", 3),
    ((17, 10, 6), 2, "bottom", 1),
    ((17, 10, 6), None, "top", 1),
    ((20,), 1, "bottom", 0),
    ((6, 5, 4, 4, 3, 3, 3, 2, 2, 2, 1, 1), 11, "bottom", 10),
)
"""Tubes of the passes, the pass before the receiver, where the last one lies; turns from neighbour to neighbour."""


def start_side(box):
    return "left" if box.rightward else "right"


@functools.cache
def solved(core):
    subcooling = 5.0 if core.receiver_after is None else None
    return part.condensing_pressure_for(core, DUTY, WARM, subcooling=subcooling).condenser


def draw_core(result, look):
    return core_picture(result, part.pass_spans(result.spec), look)


@pytest.mark.parametrize(("tubes", "receiver", "place", "turns"), SHAPES, ids=str)
def test_passes_fill_the_core_in_flow_order_shut_off_where_neighbours_do_not_turn(tubes, receiver, place, turns):
    core = replace(VAN, tubes=tubes, receiver_after=receiver, subcooling_pass_at=place)
    layout = layout_of(tubes, part.pass_spans(core), receiver)
    assert sum(box.top - box.bottom for box in layout.passes) == pytest.approx(TOP - BOTTOM)
    for before, after in itertools.pairwise(layout.passes):
        assert before.end_side == start_side(after) and before.across(1.0) == after.across(0.0)
    down = sorted(layout.passes, key=lambda box: -box.top)
    assert down[0].number == (len(tubes) if place == "top" and len(tubes) > 1 else 1)
    for upper, lower in itertools.pairwise(down):
        shut = {side for side, height in layout.separators if height == pytest.approx(upper.bottom)}
        is_turn = lower.number == upper.number + 1 and receiver != upper.number
        assert shut == ({start_side(upper)} if is_turn else {"left", "right"})
        turns -= is_turn
    assert turns == 0, "counted by hand"


@pytest.mark.parametrize(("tubes", "receiver", "place", "_"), SHAPES, ids=str)
def test_the_core_names_every_pass_and_stays_inside_the_picture(tubes, receiver, place, _):
    result = solved(replace(VAN, tubes=tubes, receiver_after=receiver, subcooling_pass_at=place))
    passes = "; ".join(f"pass {number}, {count} tube" for number, count in enumerate(tubes, start=1))
    tells(draw_core, result, f"{passes}; in, larger line; out, smaller line: liquid")
    for look in LOOKS:
        picture = draw_core(result, look)
        assert ("receiver" in texts(picture.still)) == (receiver is not None)
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
    cold, hot = (
        {float(wide): path.count("M") for path, wide in dots.findall(draw_core(solve("R-1234yf", T), Look()).moving)}
        for T in (325.0, 333.0)
    )
    assert sum(cold.values()) > sum(hot.values()) > 20
    assert cold[max(cold)] > hot.get(max(cold), 0)


def test_vapour_at_the_outlet_is_said():
    result = solve("R-1234yf", 318.15)
    assert not is_condensed(result)
    tells(draw_core, result, "vapour leaves the core", "Vapour leaves the core.")


@pytest.mark.parametrize(
    ("changes", "said", "seen"),
    [
        ({"blocked_fraction": 0.2}, "20 % of the whole face", "blocked: 20 % of the face"),
        ({"blocked_profile": (0, 0, 0, 0, 0, 0.8)}, "80 % of the face from 83 to 100 % of", "blocked: 80 % here"),
        ({"air_profile": (1.3, 0.7)}, "mean speed, from 50 to 100 % of", "weak air: 70 % of the mean speed"),
    ],
)
def test_dirt_and_weak_air_are_hatched_and_told(changes, said, seen):
    dirty = solved(replace(VAN, **changes))
    tells(draw_core, dirty, seen, said)
    tells(draw_core, solved(VAN), unseen="locked; eak air")
    dirty, clean = (draw_core(result, Look()) for result in (dirty, solved(VAN)))
    assert dirty.moving.count("<pattern") > clean.moving.count("<pattern") and dirty.still == clean.still


def test_the_way_tells_share_temperature_and_flux_of_each_pass():
    result = head("R-1234yf", VAN).condenser
    tells(condenser.path_picture, result, "|receiver|; |last vapour|", "{outlet_temperature:temperature}")
    for look in LOOKS:
        picture = condenser.path_picture(result, look)
        for one in result.passes[:2]:
            assert picture.moving.count(f">{100 * one.quality:.0f} %<") == 1  # the exercise takes one out by this text
            flux = look.text(one.mass_flux, "mass_flux").split()[0]
            assert any(word.startswith(flux) for word in texts(picture.moving))


def test_bars_go_right_for_more_and_left_for_less_and_are_hatched_where_it_costs():
    rows = (
        condenser.ComparedQuantity("Head pressure", 10e5, 11e5, "pressure", "more", difference="+1.00 bar"),
        condenser.ComparedQuantity("Air flow", 0.5, 0.4, "air_flow"),
        condenser.ComparedQuantity("Hot gas", 340.0, 343.0, "temperature", has_bar=False, difference="+3.0 K"),
        condenser.ComparedQuantity("Power", 1000.0, 1000.0, "electric_power", "more"),
    )
    picture = condenser.comparison_picture(rows, ("First core", "Second core"), Look(gauge=False))
    words = texts(picture.moving)
    assert {"+1.00 bar", "20.0 % less", "+3.0 K", "the same", "10.00 bar abs", "11.00 bar abs"} <= set(words)
    assert picture.moving.count("<pattern") == 1  # one bar costs, and only that is hatched
    assert picture.sentence.startswith("First core against Second core. Head pressure: 10.00 bar abs and 11.00")
    assert rows[1].shift == pytest.approx(-0.2)
    assert condenser.percent_words(0.0004) == "the same" and condenser.percent_words(0.25) == "25.0 % more"


@pytest.mark.parametrize("count", [12, 17, 40])
def test_the_strip_holds_as_many_fins_as_it_says(count):
    fins = part.with_fin_density(VAN, fins_per_inch(count)).fins
    picture = condenser.fin_strip(fins, Look())
    assert f"{count}.0 fins to the inch" in picture.sentence
    drawn = re.search(r' d="(M [^"]*)"', picture.moving).group(1)
    xs = [float(x) for x in re.findall(r"[ML] ([-\d.]+)", drawn)]
    assert sum(49.9 <= 0.5 * (a + b) <= 710.1 for a, b in itertools.pairwise(xs)) == count
    assert condenser.fin_strip(fins, Look(), sentence="Count them.").sentence == "Count them."


def test_the_curves_mark_this_core_and_the_best():
    counts = tuple(fins_per_inch(count) for count in (16, 20, 34, 40))
    curve = part.fin_curve(VAN, replace(DUTY, cooling_capacity=4500.0), WARM, counts)
    draw = functools.partial(condenser.fin_picture, curve)
    seen = "cheaper: 16 to 18; original: near 20; least power; {condensing_pressure:pressure}"
    tells(draw, curve.heads[1], seen, "34 fins/in")
    moved, picture = (draw(one, Look()) for one in curve.heads[:2])
    assert moved.still == picture.still and moved.moving != picture.moving
