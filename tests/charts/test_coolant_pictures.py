"""The coolant pictures: what is drawn follows the result, and words carry what colour carries."""

import functools
import re

import pytest

from tests.charts.told import LOOKS, tells, texts
from thermo_kit.charts import Look
from thermo_kit.charts.coolant import mixture_picture, operating_picture, part_text, run_picture
from thermo_kit.charts.coolant_layout import BANDS, band_of, layout_picture
from thermo_kit.charts.coolant_places import SIZE, places_of
from thermo_kit.service import cold_state, read_refractometer, top_up
from thermo_kit.service.mixture import freezing_curve
from thermo_kit.systems import coolant_network as network
from thermo_kit.systems.coolant_network.faults import with_heats, with_parts_off
from thermo_kit.systems.operating_curves import operating_curves
from thermo_kit.units import celsius


def fault(kind, part="", amount=None):
    return network.NetworkFault(kind=kind, part=part, amount=amount)


def solved(layout, *faults):
    return network.solve_coolant_network(network.apply_faults(network.load_layout(layout), faults))


def curves(*faults):
    spec = network.apply_faults(network.load_layout("two_loops"), faults)
    return operating_curves(spec, "drive pump", temperature=celsius(25))


@pytest.mark.parametrize("layout", network.LAYOUT_NAMES)
def test_every_layout_names_its_parts_and_is_the_same_each_time(layout):
    result = solved(layout)
    titles = [line.title for line in places_of(result.spec).lines if line.title]
    assert titles and layout_picture(result, Look()) == layout_picture(result, Look())
    tells(layout_picture, result, "; ".join(f"|{title}|" for title in titles))


@pytest.mark.parametrize("layout", network.LAYOUT_NAMES)
def test_boxes_lie_on_the_picture_and_not_on_each_other(layout):
    boxes = [line.box for line in places_of(network.load_layout(layout)).lines if line.box]
    for i, (x, y, width, height) in enumerate(boxes):
        assert width / 2 <= x <= SIZE[0] - width / 2 and height / 2 <= y <= SIZE[1] - 60 - height / 2
        for other_x, other_y, other_width, other_height in boxes[:i]:
            assert abs(x - other_x) >= (width + other_width) / 2 or abs(y - other_y) >= (height + other_height) / 2


def test_a_part_moves_off_a_stretch_that_two_branches_share():
    lines = {line.name: line for line in places_of(network.load_layout("warm_cabin")).lines}
    (x1, _), (x2, _) = lines["radiator"].points[1:3]
    assert lines["radiator"].box[0] == x1 == x2


def test_a_dead_loop_is_dashed_and_says_so():
    dead, dashes = solved("two_loops", fault("pump dead", "drive pump")), "stroke-dasharray: 6,6"
    seen = "|DEAD|; |no flow|; |stands still|; |OVER LIMIT {limit:temperature.0}|"
    tells(layout_picture, dead, seen, "No flow in drive pump; Over the limit: inverter, motor", limit=celsius(85))
    assert layout_picture(dead, Look()).moving.count(dashes) >= 5
    assert layout_picture(solved("two_loops"), Look()).moving.count(dashes) == 0


def test_a_closed_port_is_named_and_an_open_one_has_flow():
    closed = layout_picture(solved("warm_cabin"), Look())
    assert {"shut", "radiator", "in", "cabin", "position: cabin"} <= {*texts(closed.still), *texts(closed.moving)}
    stuck = solved("warm_cabin", fault("valve stuck", "cabin valve", 0.5))
    tells(layout_picture, stuck, "STUCK, 50 % to radiator", unseen="|shut|")


def test_arrows_turn_with_the_flow():
    forwards, backwards = solved("one_loop"), solved("one_loop", fault("pump reversed", "pump"))
    tells(layout_picture, backwards, "BACK TO FRONT", "backwards")
    tells(layout_picture, forwards, unseen="backwards")

    def downwards(result):
        """Arrow heads on the long vertical line at the left whose tip lies below its tail."""
        moving = layout_picture(result, Look()).moving
        heads = re.findall(r"M ([\d.]+) ([\d.]+) L ([\d.]+) ([\d.]+) L ([\d.]+) ([\d.]+) z", moving)
        left = [tuple(map(float, head)) for head in heads if float(head[0]) < 180]
        return [head[1] > head[3] for head in left if abs(head[3] - head[5]) < 0.1]

    assert downwards(forwards) and not any(downwards(forwards)) and all(downwards(backwards))


def test_more_flow_is_drawn_thicker_than_less():
    result = solved("warm_cabin", fault("valve stuck", "cabin valve", 0.8))
    widths = sorted({float(w) for w in re.findall(r"stroke-width: ([\d.]+)", layout_picture(result, Look()).moving)})
    assert widths[-1] == pytest.approx(9.0) and any(3.0 < width < 8.5 for width in widths)


@pytest.mark.parametrize(
    ("kind", "part", "word"),
    [
        ("hose kinked", "drive return", "10.9 L/min KINKED"),
        ("hose kinked", "motor jacket", "KINKED, 10 % open"),
        ("radiator blocked", "radiator", "70 % BLOCKED"),
        ("pump air-locked", "drive pump", "AIR-LOCKED 100 %"),
    ],
)
def test_every_fault_is_told_in_words(kind, part, word):
    tells(layout_picture, solved("two_loops", fault(kind, part)), word, looks=LOOKS[:1])


def test_bands_tell_temperature_without_colour():
    assert [band_of(celsius(t))[0] for t in (-5, 10, 30, 50, 70, 99)] == [band[0] for band in BANDS]
    assert len({str(band[3]) for band in BANDS}) == len(BANDS)


def test_a_loop_that_flows_without_a_steady_temperature_can_be_drawn():
    spec = with_heats(network.load_layout("two_loops"), battery=6000.0, drive=1800.0)
    result = network.solve_coolant_network(with_parts_off(spec, "chiller"))
    assert result.body("battery").temperature is None
    tells(layout_picture, result, "no steady value")


def test_pump_and_loop_curve_are_named_and_meet_unless_that_is_left_to_the_learner():
    told, bare = curves(), functools.partial(operating_picture, point_shown=False)
    flow, lost = "{point.volume_flow:volume_flow}", dict(told.shares)["motor jacket"]
    seen = f"|the pump gives|; |the loop takes|; |{flow}|; |motor jacket, {{lost:pressure_difference}}|"
    tells(operating_picture, told, seen, unseen="pump, healthy, full speed", lost=lost)
    tells(bare, told, "the pump gives; the loop takes", unseen=f"{flow}; motor jacket")
    full_of_air = curves(fault("pump air-locked", "drive pump", 1.0))
    seen = "no flow: the pump lifts nothing; pump, healthy, full speed"
    tells(operating_picture, full_of_air, seen, "no operating point")


def test_the_run_names_parts_limits_fault_and_the_first_over():
    scene = network.fast_charge(duration=3600, ambient_temperature=celsius(35))
    dead = fault("pump dead", "battery pump")
    charge = network.simulate_network(network.load_layout("two_loops"), scene, faults=(dead,), fault_time=600)
    draw = functools.partial(run_picture, cursor=900.0, fault_time=600.0)
    seen = "|fault|; |limit of the battery, {limit:temperature.0}|; |battery|; |inverter|; |motor|; |drive pump|"
    said = "First over its limit: battery, at 20.3 min, 10.3 min after the fault."
    tells(draw, charge, f"{seen}; |15.0 min|; battery passes its limit", said, limit=celsius(45))


def test_no_figure_beyond_what_the_model_knows():
    assert part_text(celsius(149), Look()) == "149.0 °C"
    assert part_text(celsius(300), Look()) == "above 150 °C"


def test_the_mixture_chart_names_both_mixtures_and_both_regions():
    kind = "ethylene glycol"

    def draw(reading, look):
        state = cold_state(kind, mass_fraction=reading.mass_fraction, temperature=celsius(-25))
        plan = top_up(kind, system_volume=8e-3, volume_fraction=reading.volume_fraction, target_volume_fraction=0.5)
        return mixture_picture(freezing_curve(kind), reading, state, plan, celsius(-25), look)

    weak, strong = (read_refractometer(kind, scale_freezing_point=celsius(shown)) for shown in (-18.0, -37.0))
    tells(draw, weak, "liquid; slush; in the loop: 33 %; after topping up: 50 %; coldest night", "slush")
    assert draw(strong, Look()).moving != draw(weak, Look()).moving
